"""Steps for one area of a colour rough, found and taken.

They are found by `glaze.planning.rough` to go over the steps that lie there, which those that are
set aside don't. Each is taken by itself, with the well and the region it needs, as one deed; those
of them that lie below it go below it in the order.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from glaze.errors import InputError
from glaze.materials.parts_told import parts_words
from glaze.painting.settle import Painting
from glaze.physics.colour import D65_XYZ, rgb_from_xyz, xyz_from_lab
from glaze.picture.file import picture_from_linear
from glaze.planning.rough.doubt import unsure
from glaze.planning.rough.propose import EFFORTS, Proposal, propose
from glaze.planning.rough.told import why_nothing
from glaze.region.areas import Areas
from glaze.region.records import Region
from glaze.scene.called import free_name
from glaze.sheet.lift import Touches
from glaze.sheet.units import Mask
from glaze.step.kind import Step
from glaze.step.lift_step import Lift
from glaze.step.wash_step import Wash

from . import drafting
from .drafting import Draft, changed
from .filling import Point
from .history import MaskChange
from .roughing import Rgb, Rough
from .saying import given, say, translated
from .sitting import Sitting
from .spot import read_at

MOST_STEPS, MOST_WELLS = EFFORTS["low"], 3
"""For one area: no more steps than low effort allows a whole sheet, from few mixes."""
TOO_DARK = 4.0
"""Where free colours over what lies there are still so far off, it is too dark [CIEDE2000]."""
SEARCHED = (0.25, 0.8)
"""While so much is done steps are looked for, and the best so far can be kept [share]."""


@dataclass(frozen=True, eq=False)
class StepFound:
    """A step that is proposed, with what it needs.

    well : its mix's name and recipe; None where it takes none
    region : where it lies; None for the whole sheet
    mask : coverage of that region where no line bounds it, uint16, shape (rows, columns)
    rgb : the wash's own colour on the bare paper
    """

    step: Step
    well: tuple[str, str] | None
    region: Region | None
    mask: Mask | None
    rgb: Rgb | None

    @property
    def words(self) -> str:
        """What to lay it with."""
        if isinstance(self.step, Lift):
            lift = self.step
            parts, tool = translated(parts_words(lift.parts_water)), say(f"dish.{lift.tool}")
            return say("rough.bleach", parts=parts, tool=tool, touches=lift.touches)
        if self.well is None or not isinstance(self.step, Wash):
            return translated(self.step.kind)
        name, recipe = self.well
        let_down = self.step.mix[len(name) :].removeprefix(" 1 part + water ")
        if let_down:
            recipe = say("rough.let_down", recipe=recipe, parts=let_down)
        coats = self.step.coats
        return say("rough.coats", recipe=recipe, coats=coats) if coats > 1 else recipe


@dataclass(frozen=True, eq=False)
class StepsFound:
    """Steps for an area in painting order, and what is said of them.

    taken_as : what each that was taken is known by in the order: its region, or its name
    """

    number: int
    steps: tuple[StepFound, ...]
    lines: tuple[str, ...]
    taken_as: dict[int, str] = field(default_factory=dict)

    @property
    def bleach(self) -> bool:
        """Whether any is done with bleach."""
        return any(one.step.liquid == "bleach" for one in self.steps)


def steps_for(
    sitting: Sitting,
    rough: Rough,
    point: Point,
    tell: Callable[[float], None] = lambda share: None,
    stopped: Callable[[], bool] = lambda: False,
) -> StepsFound:
    """Find steps for the area at a place of the sheet [mm]; takes some seconds.

    tell : is told the share done; stopped : whether to keep the best so far

    Raises
    ------
    InputError : there is no area, or it was stopped before a step was found
    """
    areas, scene = sitting.settling.areas(), sitting.draft.laid
    number = areas.at(point)

    def progress(share: float) -> None:
        tell(share)
        if stopped() and share < SEARCHED[1]:
            if share > SEARCHED[0]:
                raise KeyboardInterrupt
            raise InputError(say("rough.stopped"))

    found = propose(
        scene,
        rough.laid,
        steps=MOST_STEPS,
        wells=MOST_WELLS,
        only=[number],
        anew=False,
        memory=sitting.settling.memory,
        painted=sitting.settling.covers(sitting.scene),
        progress=progress,
    )
    steps = tuple(_step_found(found, areas, n) for n in range(len(found.made.new)))
    lying = _lying_at(found.painting.until(found.made.before), point)
    if not steps:
        raise InputError(why_nothing(found))
    return StepsFound(number, steps, _lines(found, lying))


def _step_found(found: Proposal, areas: Areas, n: int) -> StepFound:
    scene, step = found.scene, found.made.new[n]
    mix = step.mix if isinstance(step, Wash) else ""
    # as it is or let down
    own = (w for w in scene.wells.items() if mix == w[0] or mix.startswith(f"{w[0]} 1 part"))
    region = scene.regions.get(step.region) if isinstance(step.region, str) else None
    mask = None
    if region is not None and region.mask:
        mask = found.made.masks[region.mask]
    elif region is not None:
        # by a place inside: numbers that a scene keeps may be those of an older sketch
        places = tuple(area.at_mm for area in areas.listed if area.number in region.area)
        region = Region(enclosed_at_mm=places)
    step = changed(step, name=given(step.name))
    return StepFound(step, next(own, None), region, mask, _rgb(found, n))


def _rgb(found: Proposal, n: int) -> Rgb | None:
    if n >= len(found.made.washes):
        return None  # a lift, or a rinse
    wash = np.array([[found.made.washes[n]]])
    lab = found.easel.bottles.labs(found.draft.mixes, wash)
    linear = rgb_from_xyz(xyz_from_lab(lab, D65_XYZ))[None]
    red, green, blue = (int(part) for part in picture_from_linear(linear, 100).rgb[0, 0])
    return red, green, blue


def _lying_at(painting: Painting, point: Point) -> int:
    """How many steps lie at a place of the sheet [mm]."""
    row, column = (int(point[n] * painting.per_mm) for n in (1, 0))
    return len(read_at(painting, Touches(), row, column).steps)


def _lines(found: Proposal, lying: int) -> tuple[str, ...]:
    told: list[str] = [say("rough.near", mean=f"{found.mean:.1f}", bound=f"{found.bound:.1f}")]
    if found.stopped:
        told.append(say("rough.early"))
    if lying:
        told.append(say("rough.lying", n=lying))
        if found.bound > TOO_DARK:
            told.append(say("rough.dark"))
    told.append(translated((sure := unsure(found)).how_sure))
    if sure.strips:
        inks, steps = say("desk.and").join(sure.strips), f"{sure.settled_steps:.1f}"
        told.append(say("rough.strips", inks=inks, steps=steps))
    return tuple(told)


# ---- taken


def taken(sitting: Sitting, found: StepsFound, n: int) -> int | None:
    """Number in the order of a step that was taken; None if it isn't there."""
    known, steps = found.taken_as.get(n), sitting.scene.steps
    return next((k for k, s in enumerate(steps) if known and known in (s.region, s.name)), None)


def take(sitting: Sitting, found: StepsFound, n: int) -> None:
    """Take a proposed step into the order: one deed, with the well and the region it needs.

    Raises
    ------
    InputError : it can't be laid; nothing is changed
    """
    one, before = found.steps[n], (sitting.draft, sitting.chosen)
    draft, step = _with_its_well(sitting, one)
    name = free_name(step.name, {s.name for s in sitting.scene.steps})
    values, changes = {"name": name}, list[MaskChange]()
    if one.region is not None:
        called = sitting.free_region(name)
        values["region"] = called
        if one.mask is None:
            draft = drafting.with_region(draft, called, one.region)
        else:
            draft = drafting.with_mask(draft, called)
            changes.append(_painted(sitting, called, one.mask))
    above = [
        k for m in range(n + 1, len(found.steps)) if (k := taken(sitting, found, m)) is not None
    ]
    draft = drafting.with_step(draft, changed(step, **values), min(above, default=None))
    sitting.begin(draft, None)
    found.taken_as[n] = values.get("region", name)
    sitting.record(say("deed.rough", name=name), *before, tuple(changes))


def _with_its_well(sitting: Sitting, one: StepFound) -> tuple[Draft, Step]:
    """The draft with the well a step needs, and the step with that well's name in its mix."""
    draft, step, wells = sitting.draft, one.step, sitting.scene.wells
    if one.well is None or not isinstance(step, Wash):
        return draft, step
    name, recipe = one.well
    called = next((well for well, r in wells.items() if r == recipe), None)
    if called is None:
        called = free_name(given(name), wells)
        draft = drafting.with_well(draft, called, recipe)
    return draft, changed(step, mix=called + step.mix[len(name) :])


def _painted(sitting: Sitting, region: str, mask: Mask) -> MaskChange:
    """A painted region begun with a coverage."""
    change = MaskChange.between(region, sitting.settling.new_mask(region), mask)
    sitting.settling.put_back(region, change.after)
    return change
