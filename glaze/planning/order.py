"""The order of the steps: why each stands where it does, what goes wrong, when it matters."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.painting import LaidStep, Painting, WaterStep
from glaze.planning.layout import Layout
from glaze.planning.place import LEAST_MM2, Place, lies
from glaze.planning.stack import Stack, off, stack_of

SEEN_DE00 = 2.0
"""From here two orders can be told apart side by side."""
STRONG_DE00 = 5.0
LOOSE = 0.5
"""A wash of which more than half dissolves again runs under the next wet brush; assumed."""
TOUCHING_PX = 2
OVERLAP_SHARE = 0.02


@dataclass(frozen=True)
class OrderChoice:
    """Two washes over each other, in the planned order and in the other one.

    lower, upper : numbers of the steps as planned
    de00 : between the two orders with nothing stirred
    disturbs, other_disturbs : CIEDE2000 between nothing and all stirred, for either order
    """

    lower: int
    upper: int
    place: str
    de00: float
    disturbs: float
    other_disturbs: float
    advice: str

    def as_dict(self) -> dict[str, Any]:
        """For JSON; steps count from 1."""
        return {
            "lower_step": self.lower + 1,
            "upper_step": self.upper + 1,
            "place": self.place,
            "de00_between_orders": round(self.de00, 2),
            "stirring_de00": round(self.disturbs, 2),
            "stirring_de00_other_order": round(self.other_disturbs, 2),
            "advice": self.advice,
        }


@dataclass(frozen=True)
class Risk:
    """What a wet step may do to a dry one below it, or to one beside it.

    kind : "re-wet" (below) or "bleed" (beside)
    level : slight or strong
    """

    step: int
    other: int
    kind: str
    level: str
    text: str

    def as_dict(self) -> dict[str, Any]:
        """For JSON; steps count from 1."""
        return {
            "step": self.step + 1,
            "on" if self.kind == "re-wet" else "beside": self.other + 1,
            "kind": self.kind,
            "level": self.level,
            "text": self.text,
        }


def meetings(painting: Painting) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
    """Which steps lie over each other, and which meet or come within a millimetre.

    Two symmetric tables, shape (steps, steps); a rinse meets everything. Over each other counts
    from 4 mm2 and 2 % of the smaller one on, so that edges that only just meet don't.
    """
    there = lies(painting)
    samples = (len(there), painting.shape[0] * painting.shape[1])
    flat = there.reshape(samples).astype(np.float32)
    common = flat @ flat.T
    smaller = np.minimum.outer(common.diagonal(), common.diagonal())
    least = np.maximum(LEAST_MM2 * (painting.dpi / 25.4) ** 2, OVERLAP_SHARE * smaller)
    over = common >= np.maximum(np.minimum(least, smaller), 1)
    near = np.array([_grown(one) for one in there]).reshape(samples).astype(np.float32)
    beside = (near @ flat.T) > 0
    for n, step in enumerate(painting.steps):
        if isinstance(step, WaterStep) and step.rinse:
            over[n, :] = over[:, n] = beside[n, :] = beside[:, n] = True
    return over, beside | beside.T


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


def loose_share(painting: Painting, step: LaidStep) -> float:
    """Share of a wash that dissolves again, weighed by what each dye absorbs."""
    loose = np.array([dye.loose_fraction for dye in painting.studio.dyes])
    return float(step.wash.share @ loose)


def order_choices(painting: Painting, layout: Layout) -> tuple[OrderChoice, ...]:
    """Every pair of washes, one directly over the other, where the order can be seen.

    Judged on the place where it shows most.
    """
    best: dict[tuple[int, int], OrderChoice] = {}
    for place in layout.places:
        stack = stack_of(painting, place)
        numbers = _numbers(painting, place)
        for below, above in _neighbouring_washes(stack):
            choice = _choice(stack, below, above, numbers, place, painting)
            key = choice.lower, choice.upper
            if key not in best or _shows(choice) > _shows(best[key]):
                best[key] = choice
    seen = [choice for choice in best.values() if _shows(choice) >= SEEN_DE00]
    return tuple(sorted(seen, key=lambda c: (c.lower, c.upper)))


def _shows(choice: OrderChoice) -> float:
    return max(choice.de00, abs(choice.disturbs - choice.other_disturbs))


def _numbers(painting: Painting, place: Place) -> list[int]:
    """Numbers of the steps of a place's stack."""
    return [
        n
        for n, step in enumerate(painting.steps)
        if n in place.steps or (isinstance(step, WaterStep) and step.rinse)
    ]


def _neighbouring_washes(stack: Stack) -> list[tuple[int, int]]:
    """Washes with nothing but washes, and none of those, between them."""
    pairs = []
    for n in range(1, len(stack.steps)):
        both = stack.steps[n - 1][0], stack.steps[n][0]
        if all(isinstance(step, LaidStep) for step in both):
            pairs.append((n - 1, n))
    return pairs


def _choice(
    stack: Stack,
    below: int,
    above: int,
    numbers: Sequence[int],
    place: Place,
    painting: Painting,
) -> OrderChoice:
    other = stack.swapped(below, above)
    as_planned, swapped = stack.lab(), other.lab()
    # only the wash on top stirs: it is the one laid on dry ink
    disturbs = off(as_planned, stack.lab(stirred=(above,)))
    other_disturbs = off(swapped, other.lab(stirred=(above,)))
    lower, upper = painting.steps[numbers[below]].name, painting.steps[numbers[above]].name
    return OrderChoice(
        numbers[below],
        numbers[above],
        place.name,
        off(as_planned, swapped),
        disturbs,
        other_disturbs,
        _advice(lower, upper, disturbs, other_disturbs),
    )


def _advice(lower: str, upper: str, disturbs: float, other: float) -> str:
    if other < disturbs - 1.0:
        return f'"{upper}" under "{lower}" would stir up less.'
    if disturbs < other - 1.0:
        return f'Keep it: "{lower}" over "{upper}" would stir up more.'
    return "Either stirs up as much; choose by the colour you want."


def risks(
    painting: Painting, layout: Layout, over: NDArray[np.bool_], beside: NDArray[np.bool_]
) -> tuple[Risk, ...]:
    """Washes that stir up what lies below, and neighbours that would run into each other wet.

    `over` and `beside` come from `meetings`.
    """
    found = [*_rewet(painting, layout), *_bleed(painting, beside & ~over)]
    return tuple(sorted(found, key=lambda risk: (risk.step, risk.other)))


def _rewet(painting: Painting, layout: Layout) -> list[Risk]:
    """For each wash and the wash directly below it, where stirring shows most."""
    worst: dict[tuple[int, int], float] = {}
    for place in layout.places:
        stack, numbers = stack_of(painting, place), _numbers(painting, place)
        for below, above in _neighbouring_washes(stack):
            part = stack.until(above + 1)
            change = off(part.lab(), part.lab(stirred=(above,)))
            key = numbers[above], numbers[below]
            worst[key] = max(worst.get(key, 0.0), change)
    return [
        _rewet_risk(painting, step, other, change)
        for (step, other), change in worst.items()
        if change >= SEEN_DE00
    ]


def _rewet_risk(painting: Painting, step: int, other: int, change: float) -> Risk:
    lower = painting.steps[other]
    assert isinstance(lower, LaidStep)
    level = "strong" if change >= STRONG_DE00 else "slight"
    text = (
        f'"{painting.steps[step].name}" may stir up "{lower.name}" '
        f"({loose_share(painting, lower):.0%} of it dissolves again): one loaded stroke, no "
        "scrubbing, on bone-dry ink."
    )
    return Risk(step, other, "re-wet", level, text)


def _bleed(painting: Painting, touching: NDArray[np.bool_]) -> list[Risk]:
    """Washes laid one after the other that meet without lying over each other."""
    found = []
    for n in range(1, len(painting.steps)):
        one, other = painting.steps[n], painting.steps[n - 1]
        if isinstance(one, LaidStep) and isinstance(other, LaidStep) and touching[n, n - 1]:
            text = f'Wet, "{one.name}" would run into "{other.name}": let that dry first.'
            found.append(Risk(n, n - 1, "bleed", "strong", text))
    return found
