"""What bleach can do in each region of a sheet, and the plan to do it by."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from glaze.painting.settle import Painting
from glaze.patch.patches import bare_patches, lab
from glaze.physics.colour import lab_from_xyz
from glaze.planning.lift.ghost import ghost_words
from glaze.planning.lift.reach_map import LIFT, NO_WISH, RESERVE, TOLERANCE, verdicts
from glaze.planning.lift.reach_plans import (
    Array,
    Image,
    LiftPlan,
    Reached,
    bands_of_plans,
    linear_of,
    reached,
)
from glaze.sheet.units import FULL

SAMPLES = 400
"""Pixels looked at in each region."""
MIDDLE_WORDS = "the middle of a region's places"
"""Where the values of a region are read; a plan reads where a step lies fullest."""
AS_GOOD = 0.1
"""Of two plans that come this near in value the gentler one is named."""


@dataclass(frozen=True, eq=False)
class RegionReach:
    """What bleach can do in one region: the middle of its places.

    now, reach, darkest : values as it lies, at its lightest and at its darkest
    plan : the gentlest that surely reaches `want`; else the gentlest within 0.1 of `reach`
    leaves, low, high, ghost : value that plan leaves, its band, and the colour in words
    rgb_now, rgb_left : linear sRGB before, and after that plan
    verdict : of VERDICTS. doubtful : to be reserved although a lift may well do
    """

    name: str
    now: float
    reach: float
    darkest: float
    plan: LiftPlan
    leaves: float
    low: float
    high: float
    ghost: str
    rgb_now: Image
    rgb_left: Image
    want: float | None = None
    verdict: int = NO_WISH
    doubtful: bool = False


@dataclass(frozen=True, eq=False)
class _Lifted:
    """The pixels of a region among all that were lifted.

    span : its own; middle : the one in the middle by its value, with the bands of that one after
        each plan, shape (2, plans)
    """

    name: str
    all: Reached
    span: slice
    middle: int
    bands: Array

    @cached_property
    def now(self) -> float:
        """Value as it lies."""
        return float(np.median(self.all.now[0, self.span]))

    @cached_property
    def values(self) -> Array:
        """Value after each plan, shape (plans,)."""
        return np.median(self.all.values[:, 0, self.span], axis=1)

    @property
    def lows(self) -> Array:
        """Low end of the band after each plan, shape (plans,)."""
        return np.minimum(self.bands[0], self.values)

    @property
    def reach(self) -> float:
        """The lightest value that any plan leaves."""
        return max(float(self.values.max()), self.now)

    def colours(self, plan: int) -> Image:
        """XYZ of the middle before and after a plan, shape (2, 3)."""
        return np.stack(
            [self.all.xyz_now[0, self.middle], self.all.xyz_after[plan, 0, self.middle]]
        )


def regions_reach(
    painting: Painting,
    covers: Mapping[str, NDArray[np.uint16]],
    plans: Sequence[LiftPlan],
    wanted: Mapping[str, float],
    paper: float,
) -> tuple[RegionReach, ...]:
    """What bleach can do in each region, from pixels of it in full resolution.

    Covers are uint16, 65535 = inside, shape (rows, columns); wanted values [value steps].
    """
    lifted = _lifted(painting, covers, plans)
    return tuple(_region(painting, one, plans, wanted.get(one.name), paper) for one in lifted)


def _lifted(
    painting: Painting,
    covers: Mapping[str, NDArray[np.uint16]],
    plans: Sequence[LiftPlan],
) -> list[_Lifted]:
    """Some pixels of every region, all lifted together."""
    places = [_places(cover) for cover in covers.values()]
    if not places:
        return []
    rows, columns = np.unravel_index(np.concatenate(places), painting.shape)
    lifted = reached(painting, (rows[None], columns[None]), plans)
    ends = np.cumsum([place.size for place in places]).tolist()
    spans = [slice(end - place.size, end) for place, end in zip(places, ends, strict=True)]
    middles = [span.start + _middle(lifted.now[0, span]) for span in spans]
    pixels = [(int(rows[at]), int(columns[at])) for at in middles]
    bands = bands_of_plans(painting, pixels, plans)
    return [
        _Lifted(name, lifted, spans[i], middles[i], bands[:, :, i]) for i, name in enumerate(covers)
    ]


def _middle(values: Image) -> int:
    """Which of some values stands in their middle."""
    return int(np.argsort(values)[values.size // 2])


def _places(cover: NDArray[np.uint16]) -> NDArray[np.intp]:
    """Flat indices of some pixels of a region, evenly over it; of a faint one, its fullest."""
    most = int(cover.max())
    inside = np.flatnonzero(cover >= max(1, min(FULL // 2, most)))
    step = max(1, inside.size // SAMPLES)
    return inside[step // 2 :: step]


def _region(
    painting: Painting,
    lifted: _Lifted,
    plans: Sequence[LiftPlan],
    want: float | None,
    paper: float,
) -> RegionReach:
    """One region, from its pixels and the one in their middle."""
    verdict = _verdict(lifted, want, paper)
    named = _named(lifted, plans, want if verdict == LIFT else None)
    leaves, reach = float(lifted.values[named]), lifted.reach
    colours = lifted.colours(named)
    return RegionReach(
        name=lifted.name,
        now=lifted.now,
        reach=reach,
        darkest=float(np.median(lifted.all.darkest[0, lifted.span])),
        plan=plans[named],
        leaves=leaves,
        low=float(lifted.lows[named]),
        high=max(float(lifted.bands[1, named]), leaves),
        ghost=_ghost(painting, colours),
        rgb_now=linear_of(painting, colours[0]),
        rgb_left=linear_of(painting, colours[1]),
        want=want,
        verdict=verdict,
        doubtful=verdict == RESERVE and (want or 0.0) <= reach + TOLERANCE,
    )


def _verdict(lifted: _Lifted, want: float | None, paper: float) -> int:
    """What to do in a region, of VERDICTS."""
    if want is None:
        return NO_WISH
    one = [np.array([v], np.float32) for v in (want, lifted.now, float(lifted.lows.max()))]
    return int(verdicts(one[0], one[1], one[2], paper)[0])


def _named(lifted: _Lifted, plans: Sequence[LiftPlan], want: float | None) -> int:
    """The gentlest plan that surely lifts to what is wanted, else that gets about lightest."""
    gentle = sorted(range(len(plans)), key=lambda i: plans[i].bleach_used)
    good = [i for i in gentle if want is not None and lifted.lows[i] >= want - TOLERANCE]
    if good:
        return good[0]
    values = lifted.values
    return next(i for i in gentle if values[i] >= values.max() - AS_GOOD)


def _ghost(painting: Painting, colours: Image) -> str:
    """The colour that is left, in words; colours : XYZ before and after."""
    table = painting.table
    before, after = lab_from_xyz(colours.astype(float), table.light.white_xyz)
    return ghost_words(after, before, lab(table, bare_patches(table))[0, 0])
