"""The order of the steps: why each stands where it does, what goes wrong, when it matters."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.errors import percent
from glaze.painting.settle import Painting
from glaze.physics.colour import D65_XYZ, lab_from_xyz
from glaze.planning.sheet.layout import Arrangement
from glaze.planning.sheet.place import LEAST_MM2, labelled, lies
from glaze.planning.sheet.stack import off, stack_of
from glaze.sheet.units import FULL

Colour = tuple[float, float, float]

SEEN_DE00 = 2.0
"""From here two orders can be told apart side by side."""
STRONG_DE00 = 5.0
TOUCHING_PX = 2
OVERLAP_SHARE = 0.02


@dataclass(frozen=True)
class OrderChoice:
    """Two washes over each other, in the planned order and in the other one.

    lower, upper : numbers of the steps as planned
    de00 : between the two orders where nothing stirs, at the place where it shows most
    xyz, other_xyz : the colour there in either order, D65
    smears, other_smears : CIEDE2000 of what the wash on top may drag across an edge of the one
        below it, in either order
    """

    lower: int
    upper: int
    place: str
    de00: float
    smears: float
    other_smears: float
    advice: str
    xyz: Colour
    other_xyz: Colour

    @property
    def keep(self) -> bool:
        """Whether the planned order drags less and looks the same."""
        return self.de00 < SEEN_DE00 and self.smears < self.other_smears

    def as_dict(self) -> dict[str, Any]:
        """For JSON; steps count from 1."""
        return {
            "lower_step": self.lower + 1,
            "upper_step": self.upper + 1,
            "place": self.place,
            "lab": _rounded(lab_from_xyz(self.xyz, D65_XYZ)),
            "lab_other_order": _rounded(lab_from_xyz(self.other_xyz, D65_XYZ)),
            "de00_between_orders": round(self.de00, 2),
            "smear_de00": round(self.smears, 2),
            "smear_de00_other_order": round(self.other_smears, 2),
            "advice": self.advice,
        }


@dataclass(frozen=True)
class Risk:
    """What a wet step may do to a dry one below it, or to one beside it.

    kind : "re-wet" (it drags the one below across its edge) or "bleed" (both wet run together)
    level : slight or strong
    border_mm : length along which it may happen, 0 where it wasn't measured
    """

    step: int
    other: int
    kind: str
    level: str
    border_mm: float
    text: str

    def as_dict(self) -> dict[str, Any]:
        """For JSON; steps count from 1."""
        return {
            "step": self.step + 1,
            "on" if self.kind == "re-wet" else "beside": self.other + 1,
            "kind": self.kind,
            "level": self.level,
            "border_mm": round(self.border_mm, 1),
            "text": self.text,
        }


def meetings(painting: Painting) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Which steps lie over each other, and which meet or come within a millimetre.

    Two symmetric tables, shape (steps, steps); a rinse meets everything. Over each other counts
    from 4 mm2 and 2 % of the smaller one on, so that edges that only just meet don't; nor does a
    soft edge where one region was taken from the other, as their shares there make one.

    True where they do.
    """
    there = lies(painting)
    labels, sets = labelled(there)
    held = np.array([[n in steps for n in range(len(there))] for steps in sets], bool)
    common = (held * np.bincount(labels.ravel())[:, None]).T @ held - _shared_edges(painting, there)
    smaller = np.minimum.outer(common.diagonal(), common.diagonal())
    least = np.maximum(LEAST_MM2 * painting.per_mm**2, OVERLAP_SHARE * smaller)
    over = common >= np.maximum(np.minimum(least, smaller), 1)
    near = [np.bincount(labels[_grown(one)], minlength=len(sets)) for one in there]
    beside = np.array(near).reshape(len(there), len(sets)) @ held > 0
    for n, step in enumerate(painting.steps):
        if step.step.everywhere:
            over[n, :] = over[:, n] = beside[n, :] = beside[:, n] = True
    return over, beside | beside.T


def _shared_edges(painting: Painting, there: NDArray[np.bool_]) -> NDArray[np.intp]:
    """Samples in which two steps lie that share a soft edge: their regions together make one."""
    share = np.array([step.coverage for step in painting.steps], np.int32).reshape(there.shape)
    soft = there & (share > 0.02 * FULL) & (share < 0.98 * FULL)
    two = soft.sum(axis=0) > 1
    soft, share = soft[:, two], share[:, two]
    found = np.zeros((len(there),) * 2, np.intp)
    for n, k in combinations(range(len(there)), 2):
        one = np.abs(share[n] + share[k] - FULL) < 0.02 * FULL
        found[n, k] = found[k, n] = np.count_nonzero(one & soft[n] & soft[k])
    return found


def _grown(mask: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """A mask grown by a millimetre along both axes."""
    grown = mask.copy()
    for axis in (0, 1):
        once = grown.copy()
        for shift in range(1, TOUCHING_PX + 1):
            index = [slice(None), slice(None)]
            other = [slice(None), slice(None)]
            index[axis], other[axis] = slice(shift, None), slice(None, -shift)
            once[tuple(index)] |= grown[tuple(other)]
            once[tuple(other)] |= grown[tuple(index)]
        grown = once
    return grown


def smear(painting: Painting, layout: Arrangement, dragged: int, wet: int) -> tuple[float, float]:
    """What a wet wash carries across the edges of a dry one it crosses.

    Of what is loose of the dry wash half has moved beyond its edge right at it, as a stirring
    wash spreads it evenly to both sides (`glaze.sheet.stir`); a mixing length away little has.

    Returns
    -------
    de00 : CIEDE2000 just beyond the edge, at the border where it shows most
    length_mm : of all such borders
    """
    worst, length = 0.0, 0.0
    lower = painting.steps[dragged]
    for border in layout.borders:
        one, other = layout.places[border.one], layout.places[border.other]
        inside, outside = (one, other) if dragged in one.steps else (other, one)
        if dragged not in inside.steps or dragged in outside.steps:
            continue
        if wet not in inside.steps or wet not in outside.steps:
            continue
        share = 0.5 * lower.loose_share(painting.table) * float(inside.film[dragged])
        clean = stack_of(painting, outside)
        dirty = clean.with_before(painting.steps[wet], lower, share)
        worst = max(worst, off(clean.lab(), dirty.lab()))
        length += border.length_mm
    return worst, length


def order_choices(
    painting: Painting, layout: Arrangement, over: NDArray[np.bool_]
) -> tuple[OrderChoice, ...]:
    """Every pair of washes over each other whose order can be seen, what shows most first.

    `over`: True where two lie over each other, shape (steps, steps).
    """
    found = []
    for lower, upper in _washes_over(painting, over):
        if _parted_by_bleach(painting, over, lower, upper):
            continue
        de00, place, looks = _between_orders(painting, layout, lower, upper)
        smears = smear(painting, layout, lower, upper)[0]
        other = smear(painting, layout, upper, lower)[0]
        if max(de00, abs(smears - other)) >= SEEN_DE00:
            advice = _advice(painting.steps[lower].name, painting.steps[upper].name, smears, other)
            found.append(OrderChoice(lower, upper, place, de00, smears, other, advice, *looks))
    return tuple(sorted(found, key=lambda c: -max(c.de00, abs(c.smears - c.other_smears))))


def _parted_by_bleach(painting: Painting, over: NDArray[np.bool_], lower: int, upper: int) -> bool:
    """Whether a lift between two washes takes the choice away."""
    return any(
        painting.steps[n].step.liquid == "bleach" and over[n, lower] and over[n, upper]
        for n in range(lower + 1, upper)
    )


def _washes_over(painting: Painting, over: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Pairs of washes that share some ground, the lower one first."""
    washes = [n for n, step in enumerate(painting.steps) if step.step.liquid == "ink"]
    return [(k, n) for n in washes for k in washes if k < n and over[n, k]]


def _between_orders(
    painting: Painting, layout: Arrangement, lower: int, upper: int
) -> tuple[float, str, tuple[Colour, Colour]]:
    """CIEDE2000 between both orders of two washes, the place where it shows most, both looks."""
    best = -1.0, "", ((0.0, 0.0, 0.0), (0.0, 0.0, 0.0))
    for place in layout.places:
        if lower in place.steps and upper in place.steps:
            stack = stack_of(painting, place)
            swapped = stack.swapped(painting.steps[lower], painting.steps[upper])
            de00 = off(stack.lab(), swapped.lab())
            if de00 > best[0]:
                best = de00, place.name, (_three(stack.xyz()), _three(swapped.xyz()))
    return best


def _three(xyz: NDArray[np.float64]) -> Colour:
    x, y, z = (float(part) for part in xyz)
    return x, y, z


def _rounded(lab: NDArray[np.float64]) -> list[float]:
    return [round(float(part), 2) for part in lab]


def _advice(lower: str, upper: str, smears: float, other: float) -> str:
    if other < smears - SEEN_DE00:
        return f'"{upper}" first, then "{lower}", would drag less colour about.'
    if smears < other - SEEN_DE00:
        return f'Keep it: "{upper}" first would have "{lower}" drag more colour about.'
    return "Either way drags about as much; choose by the colour you want."


def risks(
    painting: Painting, layout: Arrangement, over: NDArray[np.bool_], beside: NDArray[np.bool_]
) -> tuple[Risk, ...]:
    """Washes that drag what lies below across its edge, and neighbours that would run together.

    `over` and `beside` come from `meetings`.

    True where two do, shape (steps, steps).
    """
    found = [*_rewet(painting, layout, over), *_bleed(painting, beside & ~over)]
    return tuple(sorted(found, key=lambda risk: (risk.step, risk.other)))


def _rewet(painting: Painting, layout: Arrangement, over: NDArray[np.bool_]) -> list[Risk]:
    found = []
    for lower, upper in _washes_over(painting, over):
        change, length = smear(painting, layout, lower, upper)
        if change >= SEEN_DE00:
            found.append(_rewet_risk(painting, upper, lower, change, length))
    return found


def _rewet_risk(painting: Painting, step: int, other: int, change: float, length: float) -> Risk:
    lower = painting.steps[other]
    level = "strong" if change >= STRONG_DE00 else "slight"
    text = (
        f'"{painting.steps[step].name}" crosses {length:.0f} mm of the edge of "{lower.name}" and '
        f"may drag its colour about {painting.table.paper.mixing_mm:g} mm over it "
        f"({percent(lower.loose_share(painting.table))} dissolves again): one loaded stroke, no "
        "scrubbing, on bone-dry ink."
    )
    return Risk(step, other, "re-wet", level, length, text)


def _bleed(painting: Painting, touching: NDArray[np.bool_]) -> list[Risk]:
    """Washes laid one after the other that meet without lying over each other."""
    found = []
    for n in range(1, len(painting.steps)):
        one, other = painting.steps[n], painting.steps[n - 1]
        both_ink = one.step.liquid == other.step.liquid == "ink"
        if both_ink and touching[n, n - 1]:
            text = f'Wet, "{one.name}" would run into "{other.name}": let that dry first.'
            found.append(Risk(n, n - 1, "bleed", "strong", 0.0, text))
    return found
