"""How light bleach can get every place of a sheet back, and what has to be reserved instead.

The sheet is taken as it would lie without any bleach, and lifted by every plan of strength and
touches. *Reach* is the lightest value that comes of it; *darkest* the other end, one neat coat of
the darkest bottle over what lies there. Against wanted values every place is to be kept, lifted or
reserved, or can't be had on this paper at all.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError, unknown
from glaze.materials.bleach import Bleach
from glaze.painting.settle import Painting, regions_of, resolve
from glaze.physics.colour import munsell_value
from glaze.planning.lift.reach_map import VERDICTS, sure_map, verdicts, want_map
from glaze.planning.lift.reach_plans import (
    Image,
    Index,
    LiftPlan,
    Reached,
    plans_of,
    reached,
)
from glaze.planning.lift.reach_regions import RegionReach, regions_reach
from glaze.region.combine import Regions
from glaze.region.records import SHEET, Region
from glaze.scene.records import Scene
from glaze.sheet.memory import Memory
from glaze.sheet.units import FULL

STRENGTHS = (0.0, 4.0, 9.0, 19.0)
"""Parts of water to one of bleach that are tried."""
TOUCHES = 3
MOST_PX = 600
"""Longest side of the picture that is worked out [px]; regions are looked at in full."""


@dataclass(frozen=True, eq=False)
class Reach:
    """The whole answer for a scene.

    step : every so many pixels of the sheet are in `map`
    sure : value that the best plan reaches in 19 cases of 20, at the pixels of `map`; where
        nothing is wanted it isn't worked out, and is just the lightest value
    covers : regions' coverage at the pixels of `map`
    want : wanted values there, NaN for none; verdict : shape (rows, columns), of VERDICTS
    paper_value : of bare paper, which a reserve keeps
    """

    painting: Painting
    plans: tuple[LiftPlan, ...]
    map: Reached
    sure: Image
    step: int
    regions: tuple[RegionReach, ...]
    covers: Mapping[str, NDArray[np.bool_]]
    want: Image
    verdict: NDArray[np.uint8]
    paper_value: float
    bleach: Bleach = field(default_factory=Bleach)

    @property
    def shares(self) -> dict[str, float]:
        """Share of the sheet of each verdict."""
        count = np.bincount(self.verdict.ravel(), minlength=len(VERDICTS)) / self.verdict.size
        return {word: float(count[i]) for i, word in enumerate(VERDICTS) if word}


def reach_of(
    scene: Scene,
    wants: Mapping[str, float] | None = None,
    want_picture: Image | None = None,
    strengths: Sequence[float] = STRENGTHS,
    touches: int = TOUCHES,
) -> Reach:
    """How light bleach gets a scene back, place by place and region by region.

    Pictures of values [value steps] have shape (rows, columns).

    Parameters
    ----------
    wants : wanted value by region, over those that regions themselves say (`want_value`)
    want_picture : wanted values of the whole sheet, NaN or 0 for none, any size
    strengths : parts of water to one of bleach to try
    touches : most touches to try, 1 to 6
    """
    _check(scene, wants or {}, strengths, touches)
    wanted = _wanted(scene, wants or {})
    memory = Memory()
    painting = resolve(scene, even=True, memory=memory).unlifted()
    covers = _covers(scene, regions_of(scene, memory), wanted)
    plans = plans_of(strengths, touches)
    paper = value_of_paper(painting)
    step, index = _thinned(painting.shape)
    lifted = reached(painting, index, plans)
    thin = {name: cover[index] >= FULL // 2 for name, cover in covers.items()}
    want = want_map(lifted.now.shape, wanted, thin, want_picture)
    # its bands take as long as all the rest, and only wishes are judged by it
    sure = sure_map(painting, lifted, plans, step) if (want > 0).any() else lifted.best
    return Reach(
        painting=painting,
        plans=plans,
        map=lifted,
        sure=sure,
        step=step,
        regions=regions_reach(painting, covers, plans, wanted, paper),
        covers=thin,
        want=want,
        verdict=verdicts(want, lifted.now, sure, paper),
        paper_value=paper,
        bleach=painting.table.bleach,
    )


def _wanted(scene: Scene, wants: Mapping[str, float]) -> dict[str, float]:
    """Wanted value by region: what the scene says, and over it what is asked for."""
    said = {n: r.want_value for n, r in scene.regions.items() if r.want_value is not None}
    return said | dict(wants)


def _thinned(shape: tuple[int, ...]) -> tuple[int, Index]:
    """Every so many pixels of a sheet, so that its picture stays within MOST_PX."""
    step = max(1, -(-max(shape) // MOST_PX))
    return step, (slice(step // 2, None, step), slice(step // 2, None, step))


def _covers(
    scene: Scene, regions: Regions, wanted: Mapping[str, float]
) -> dict[str, NDArray[np.uint16]]:
    """Coverage of the regions that matter: those wanted, those lifted, those washes are laid on.

    A step's own region goes by the step's name. The whole sheet stands in where there is none.
    """
    lifts = [step for step in scene.steps if step.liquid == "bleach"]
    others = [step for step in scene.steps if step.liquid != "bleach"]
    named: dict[str, str | Region] = {name: name for name in wanted}
    for step in (*lifts, *others):
        own = isinstance(step.region, Region)
        if own or step.region != SHEET:
            named.setdefault(step.name if own else str(step.region), step.region)
    named = named or dict.fromkeys(scene.regions) or {SHEET: SHEET}  # type: ignore[assignment]
    return {name: regions.cover(region or name).mask for name, region in named.items()}


def value_of_paper(painting: Painting) -> float:
    """Munsell value of the bare paper."""
    table = painting.table
    Y = table.paper_reflectance @ table.light.xyz_weights[:, 1]
    return float(munsell_value(Y))


def _check(
    scene: Scene, wants: Mapping[str, float], strengths: Sequence[float], touches: int
) -> None:
    known = [*scene.regions, SHEET]
    problems = [unknown("region", name, known) for name in wants if name not in known]
    problems += [
        f"--want {name}={value:g}: a value is 0 (black) to 10 (white)."
        for name, value in wants.items()
        if not 0 <= value <= 10
    ]
    if not 1 <= touches <= 6:
        problems.append(f"{touches} touches: give 1 to 6.")
    if not 1 <= len(strengths) <= 8:
        problems.append(f"{len(strengths)} strengths of bleach: give 1 to 8.")
    if problems:
        raise InputError(problems)
