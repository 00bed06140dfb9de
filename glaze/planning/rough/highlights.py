"""Places lighter than the wash about them: kept bare of it, or lifted from it afterwards.

A brush paints round what is wide enough; what is narrower is covered before the wash, or lifted
with a pen after it. Each way has its price in steps, and what the band of a lift falls short of the
wanted value is in the price: the cheapest way for all such places together is taken.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.patch.band import Band
from glaze.patch.layers import Laid as LaidWash
from glaze.patch.layers import Layer, Lifted
from glaze.patch.trust import bands_of
from glaze.physics.colour import D65_XYZ, munsell_value, xyz_from_lab
from glaze.planning.rough.draft import Attempt, Easel, Stack
from glaze.planning.rough.laid import OnSheet
from glaze.planning.rough.written import words_of
from glaze.sheet.lift import Touches

Array = NDArray[np.float64]

LIGHTER = 0.7
"""So many value steps lighter than the middle of its area is a highlight."""
BRUSH_MM = 2.0
"""Narrower than that no brush paints round it (common practice, no source)."""
MOST_TOLD, LEAST_MM2 = 6, 1.0
STRENGTHS, TOUCHES = (0.0, 4.0, 9.0, 19.0), (1, 2, 3)
DRAWS = 80
EDGE_SAMPLES = 2.9
ROUND, COVERED, LIFTED = 0.1, 0.5, 0.25
"""Price of a place that is painted round, covered, or lifted [steps] (guesses)."""
COVERING, LIFTING = 2.0, 1.0
"""Price of covering at all, as the cover is laid and taken off, and of each bleach step and of the
rinse after the last [steps]."""
TOUCH, UNSURE = 0.1, 1.0
"""Price of each touch after the first, and of each value step that the low end of a lift's band
falls short of what is wanted [steps] (guesses)."""


@dataclass(frozen=True, eq=False)
class Highlight:
    """A place lighter than what lies about it.

    piece : its number. width_mm : where it is widest
    low, value, high : what the surest bleach plan brings the wash about it to
    plan : its touches. lifted : whether it is lifted; else it is reserved
    under : the washes about it
    """

    piece: int
    name: str
    wanted: float
    width_mm: float
    low: float
    value: float
    high: float
    plan: Touches
    lifted: bool
    under: Stack

    @property
    def covered(self) -> bool:
        """Whether it has to be covered, where it is reserved."""
        return self.width_mm < BRUSH_MM

    @property
    def reserve_price(self) -> float:
        """Of keeping it bare, beside what covering costs at all [steps]."""
        return COVERED if self.covered else ROUND

    @property
    def lift_price(self) -> float:
        """Of lifting it, beside the bleach step and the rinse [steps]."""
        return LIFTED + plan_price(self.plan, self.low, self.wanted)

    @property
    def text(self) -> str:
        """In a sentence."""
        reach = f"value {self.value:.1f} ({self.low:.1f} to {self.high:.1f})"
        if self.lifted:
            return f"{self.name}: lifted with a pen, to {reach}; wanted {self.wanted:.1f}."
        how = "cover it before the wash" if self.covered else "paint round it"
        return (
            f"{self.name}, {self.width_mm:.0f} mm wide: {how}. Bleach would bring the wash there "
            f"to {reach}, and {self.wanted:.1f} is wanted."
        )

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "place": self.name,
            "width_mm": round(self.width_mm, 1),
            "wanted_value": round(self.wanted, 2),
            "how": "lift" if self.lifted else "cover" if self.covered else "paint round",
            "price_steps": {
                "reserve": round(self.reserve_price, 2),
                "lift": round(self.lift_price, 2),
            },
            "bleach_reaches": {
                "low": round(self.low, 2),
                "value": round(self.value, 2),
                "high": round(self.high, 2),
                "parts_water": self.plan.parts_water,
                "touches": self.plan.touches,
            },
            "text": self.text,
        }


def highlights(easel: Easel, draft: Attempt, laid: OnSheet, room: int) -> list[Highlight]:
    """The largest places that a draft keeps bare of the wash about them, each kept so or lifted.

    room : steps that are left for bleach
    """
    places = _lighter_places(easel, draft, laid)
    lifted = _lifted(easel, draft, places)
    found = [
        _highlight(easel, laid, *place, tries) for place, tries in zip(places, lifted, strict=True)
    ]
    return cheapest(found, room)


def cheapest(found: Sequence[Highlight], room: int) -> list[Highlight]:
    """Each of some places reserved or lifted, as it costs least for all of them together.

    room : steps that are left for bleach
    """
    ways = [
        [replace(one, lifted=lifted) for one, lifted in zip(found, way, strict=True)]
        for way in product((False, True), repeat=len(found))
    ]
    fit = [way for way in ways if lift_steps(way) <= room]
    return min(fit, key=price)


def lift_steps(found: Sequence[Highlight]) -> int:
    """Bleach steps, and the rinse after them, that some places ask for."""
    plans = {one.plan for one in found if one.lifted}
    return len(plans) + bool(plans)


def price(found: Sequence[Highlight]) -> float:
    """Of some places as they are kept bare and lifted [steps]."""
    own = sum(one.lift_price if one.lifted else one.reserve_price for one in found)
    covering = COVERING * any(one.covered and not one.lifted for one in found)
    return own + covering + LIFTING * lift_steps(found)


def plan_price(plan: Touches, low: float, wanted: float) -> float:
    """Of a lift's touches, and of what the low end of its band falls short [steps]."""
    return TOUCH * (plan.touches - 1) + UNSURE * max(0.0, wanted - low)


def _lighter_places(easel: Easel, draft: Attempt, laid: OnSheet) -> list[tuple[int, Stack]]:
    """Numbers of the pieces that are lighter than what lies about them, and the washes there."""
    pieces = easel.wanted.pieces
    body: dict[int, int] = {}
    for n, piece in enumerate(pieces):
        body.setdefault(piece.area, n)  # the largest come first
    found = []
    for n, piece in enumerate(pieces):
        about = body[piece.area]
        missing = set(draft.stacks[about]) - set(draft.stacks[n])
        lighter = _value(piece.lab) - _value(pieces[about].lab)
        # what is no wider than the grid is the edge of a shape, not one of its own
        wide = piece.mm2 >= LEAST_MM2 and _width_mm(piece.at, laid) > EDGE_SAMPLES * laid.mm
        same = easel.ground(n) == easel.ground(about)
        if n != about and same and missing and lighter >= LIGHTER and wide:
            found.append((n, draft.stacks[about]))
        if len(found) == MOST_TOLD:
            break
    return found


def _lifted(
    easel: Easel, draft: Attempt, places: Sequence[tuple[int, Stack]]
) -> list[list[tuple[Touches, Band]]]:
    """What each plan brings each of some pieces to, with the washes that are given laid on it."""
    known = easel.lifted
    keys = [(easel.ground(n), *_washes(easel, draft, under, n)) for n, under in places]
    new = {key: place for key, place in zip(keys, places, strict=True) if key not in known}
    layers = [stack_layers(easel, draft, under, n) for n, under in new.values()]
    for plan in _plans() if new else ():
        stacks = [[*own, Lifted(plan)] for own in layers]
        bands = bands_of(easel.bottles.table, stacks, draws=DRAWS)
        for key, (band,) in zip(new, bands, strict=True):
            known.setdefault(key, []).append((plan, band))
    return [known[key] for key in keys]


def _value(lab: Array) -> float:
    """Middle Munsell value of some colours."""
    return float(munsell_value(np.median(xyz_from_lab(lab, D65_XYZ)[:, 1])))


def _highlight(
    easel: Easel, laid: OnSheet, n: int, under: Stack, tries: Sequence[tuple[Touches, Band]]
) -> Highlight:
    piece = easel.wanted.pieces[n]
    wanted, width = _value(piece.lab), _width_mm(piece.at, laid)
    # the gentlest of those that cost least
    plan, band = min(
        tries, key=lambda one: (round(plan_price(one[0], one[1].low, wanted), 2), one[1].best)
    )
    name = f"{words_of(np.median(piece.lab, axis=0))}, area {piece.area}"
    return Highlight(n, name, wanted, width, band.low, band.best, band.high, plan, False, under)


def _plans() -> Iterator[Touches]:
    for parts in STRENGTHS:
        for count in TOUCHES:
            yield Touches(parts_water=parts, touches=count, tool="dip pen")


def stack_layers(easel: Easel, draft: Attempt, stack: Stack, n: int) -> list[Layer]:
    """A stack of a draft over what lies there already, as layers of a patch; graded washes as they
    are in the middle of a piece.

    n : number of the piece
    """
    bottles = easel.bottles
    layers = easel.layers_under(n)
    for own, share in _washes(easel, draft, stack, n):
        strong = max(1.0, sum(own))
        parts = [
            f"{i.name} {v / strong:.5f} ml"
            for i, v in zip(bottles.inks, own, strict=True)
            if v > 1e-5
        ]
        water = 1.0 - min(1.0, sum(own))
        text = " + ".join([*parts, *([f"water {water:.5f} ml"] if water > 1e-5 else [])])
        layers.append(LaidWash(bottles.table.mix(text), strong, None, share))
    return layers


def _washes(
    easel: Easel, draft: Attempt, stack: Stack, n: int
) -> Iterator[tuple[tuple[float, ...], float]]:
    """The mix of each wash of a stack [neat coats], and the share of its film on a piece."""
    middle = easel.wanted.xy_mm[easel.wanted.piece == n].mean(axis=0)
    for wash in stack:
        grade = draft.grades[wash]
        share = 1.0 if grade is None else float(grade.film(middle[None])[0])
        yield tuple(draft.mixes[wash].tolist()), share


def _width_mm(at: NDArray[np.intp], laid: OnSheet) -> float:
    """Where some samples are widest [mm]."""
    from scipy.ndimage import distance_transform_edt

    rows, columns = np.divmod(at, laid.number.shape[1])
    field = np.zeros((np.ptp(rows) + 3, np.ptp(columns) + 3), bool)
    field[rows - rows.min() + 1, columns - columns.min() + 1] = True
    return float(2 * distance_transform_edt(field).max() * laid.mm)


def lifts_of(found: Sequence[Highlight]) -> dict[Touches, list[int]]:
    """Numbers of the pieces that are lifted, by how."""
    lifts: dict[Touches, list[int]] = {}
    for one in found:
        if one.lifted:
            lifts.setdefault(one.plan, []).append(one.piece)
    return lifts


def under_lifts(draft: Attempt, found: Sequence[Highlight]) -> Attempt:
    """The draft with the wash about them laid on what is lifted afterwards."""
    stacks = list(draft.stacks)
    for one in found:
        if one.lifted:
            stacks[one.piece] = one.under
    return replace(draft, stacks=tuple(stacks))
