"""A draft written as a scene: wells, regions and steps in painting order, and its masks."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from glaze.errors import number_of
from glaze.materials.colour_words import colour_words
from glaze.materials.munsell import munsell_from_xyz
from glaze.physics.colour import D65_XYZ, xyz_from_lab
from glaze.planning.rough.draft import Attempt, Easel
from glaze.planning.rough.pieces import NONE
from glaze.planning.rough.shapes import Shapes
from glaze.planning.rough.stocks import Stock, Taken
from glaze.region.combine import Cover
from glaze.region.records import Graded, Region
from glaze.scene.called import free_name
from glaze.scene.parcel import files_named
from glaze.scene.records import Scene
from glaze.sheet.lift import Touches
from glaze.sheet.units import Mask
from glaze.step.kind import Step
from glaze.step.lift_step import Lift
from glaze.step.rinse_step import Rinse
from glaze.step.wash_step import Wash

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Written:
    """A scene with steps, the coverage of its new masks by file name, and which wash each is.

    before : how many steps were there already; washes : of each of those after them
    wells : new ones, recipes by name
    """

    scene: Scene
    masks: Mapping[str, Mask]
    washes: tuple[int, ...]
    before: int = 0
    wells: Mapping[str, str] = field(default_factory=dict)

    @property
    def new(self) -> tuple[Step, ...]:
        """The steps that weren't there."""
        return self.scene.steps[self.before :]

    def covers(self) -> dict[str, Cover]:
        """Regions that masks stand for, by name, to paint with before any file is written."""
        named = {r.mask: name for name, r in self.scene.regions.items() if r.mask}
        return {
            named[file]: Cover(mask, ("rough", file, id(mask))) for file, mask in self.masks.items()
        }


def in_order(easel: Easel, draft: Attempt) -> list[int]:
    """Washes in painting order: graded ones first, as they fill whole fields; light under dark;
    shadows last, over all hues."""
    laid = easel.bottles.labs(draft.mixes, np.arange(len(draft.mixes))[:, None])

    def place(n: int) -> tuple[bool, bool, float]:
        return draft.grades[n] is None, draft.cast[n] != NONE, -float(laid[n, 0])

    return sorted(range(len(draft.mixes)), key=place)


def written(
    scene: Scene,
    easel: Easel,
    draft: Attempt,
    stocks: Sequence[Stock],
    taken: Sequence[Taken],
    shapes: Shapes,
    order: Sequence[int],
    lifts: Mapping[Touches, Sequence[int]] | None = None,
) -> Written:
    """The scene with a draft's wells and washes after its own steps.

    order : numbers of the washes in painting order
    lifts : numbers of the pieces that are lifted afterwards, by how
    """
    labs = easel.bottles.labs(draft.mixes, np.arange(len(draft.mixes))[:, None])
    there = {*scene.regions, *(step.name for step in scene.steps)}
    names = _names(labs, draft, order, there)
    wells = _well_names(easel, stocks, scene.wells)
    masks: dict[str, Mask] = {}
    regions: dict[str, Region] = dict(scene.regions)
    steps: list[Step] = []
    files = set(files_named(scene))
    for n in order:
        chosen = [p for p, stack in enumerate(draft.stacks) if n in stack]
        whole, parts = shapes.split(chosen)
        if parts:
            file = _file_name(names[n], files)
            masks[file] = shapes.coverage(whole, parts)
            regions[names[n]] = Region(mask=file)
        else:
            regions[names[n]] = Region(area=tuple(whole))
        first = any(_alike(draft, taken, n, k) for k in order[: order.index(n)])
        note = SECOND_GO if first else None
        steps.append(_step(names[n], wells[taken[n].well], taken[n], draft, n, bool(parts), note))
    for number, (touches, lifted) in enumerate((lifts or {}).items(), start=1):
        name = free_name(f"highlights {number}", regions)
        file = _file_name(name, files)
        masks[file] = shapes.coverage(*shapes.split(lifted))
        regions[name] = Region(mask=file)
        steps.append(_lift(name, touches))
    if lifts:
        steps.append(Rinse(name="blot, clean water, blot"))
    used = {taken[n].well for n in order}
    recipes = {wells[n]: stock.recipe.text for n, stock in enumerate(stocks) if n in used}
    own = {
        "wells": {**scene.wells, **recipes},
        "regions": regions,
        "steps": (*scene.steps, *steps),
    }
    made = scene.model_copy(update=own).in_folder(scene.folder)
    return Written(made, masks, tuple(order), len(scene.steps), recipes)


def _file_name(name: str, taken: set[str]) -> str:
    """A file for a mask, called as its region is and as no other file of the scene."""
    stem = name.replace(" ", "_").replace(",", "")
    stem = free_name(stem, {one.removesuffix(".png") for one in taken}, "_")
    taken.add(f"{stem}.png")
    return f"{stem}.png"


def _alike(draft: Attempt, taken: Sequence[Taken], n: int, other: int) -> bool:
    """Whether two washes are one that is laid in two goes."""
    same = taken[n] == taken[other] and draft.cast[n] == draft.cast[other]
    return same and draft.grades[n] is draft.grades[other] is None


def _step(
    name: str, well: str, taken: Taken, draft: Attempt, n: int, soft: bool, note: str | None = None
) -> Wash:
    mix = well
    if taken.parts_water:
        mix = f"{well} 1 part + water {_parts(taken.parts_water)}"
    grade = draft.grades[n]
    graded = (
        None
        if grade is None
        else Graded(from_mm=grade.from_mm, to_mm=grade.to_mm, start=1.0, end=grade.end)
    )
    return Wash(
        name=name,
        mix=mix,
        region=name,
        coats=taken.coats,
        graded=graded,
        edge="soft" if soft or graded else "drying line",
        note=note,
    )


def _lift(name: str, touches: Touches) -> Lift:
    return Lift(
        name=name,
        region=name,
        parts_water=touches.parts_water,
        touches=touches.touches,
        tool="dip pen",
        note="Once all is bone dry; try the pen and the bleach on a scrap first.",
    )


def _parts(parts: float) -> str:
    return number_of(parts, "part")


def _names(
    labs: Array, draft: Attempt, order: Sequence[int], taken: Collection[str] = ()
) -> dict[int, str]:
    """What each wash is called: its colour and what it does, told apart by number.

    taken : names that others have
    """
    plain: dict[int, str] = {}
    for n in order:
        under = {stack[: stack.index(n)] for stack in draft.stacks if n in stack}
        over = len({below for below in under if below}) > 1
        cast = draft.cast[n] != NONE or (over and np.hypot(*labs[n, 1:]) < SHADOW_CHROMA)
        what = "shadow" if cast else "glaze" if over else "wash"
        plain[n] = f"{words_of(labs[n])} {'grade' if draft.grades[n] else what}"
    return _told_apart(plain, taken)


SECOND_GO = (
    "The same wash in a second go, up to the edge of the first: in one it would drag the colour "
    "below out over that edge. Let the first dry to the bone."
)

SHADOW_CHROMA = 14.0
"""A glaze over several hues with no more chroma is called a shadow [CIELAB]."""


def _well_names(easel: Easel, stocks: Sequence[Stock], taken: Collection[str] = ()) -> list[str]:
    """What each well is called, by the colour it dries to; never as a bottle is."""
    shares = np.array([s.share for s in stocks]).reshape(-1, len(easel.bottles.inks))
    labs = easel.bottles.labs(shares, np.arange(len(stocks))[:, None])
    named = _told_apart({n: f"{words_of(lab)} mix" for n, lab in enumerate(labs)}, taken)
    return [named[n] for n in range(len(stocks))]


def _told_apart(names: Mapping[int, str], taken: Collection[str] = ()) -> dict[int, str]:
    """Names of which none is there twice, nor among those that others have."""
    found: dict[int, str] = {}
    for n, name in names.items():
        count = sum(1 for other in names.values() if other == name)
        before = sum(1 for k in found if names[k] == name)
        found[n] = free_name(f"{name} {before + 1}" if count > 1 else name, taken)
    return found


def words_of(lab: Array) -> str:
    """A colour in words, CIELAB (D65) [-] of shape (3,)."""
    found = munsell_from_xyz(xyz_from_lab(lab, D65_XYZ)[None], D65_XYZ)
    return colour_words(float(found.hue[0]), float(found.value[0]), float(found.chroma[0]))
