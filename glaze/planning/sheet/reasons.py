"""Why each step stands where it does, and the orders that painters regret."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from glaze.painting.settle import Painting

HIDDEN_STEPS = 3.0
"""A wash so much lighter than what lies under it hardly shows there [value steps] (guess)."""


def reasons(
    painting: Painting,
    own_value: Sequence[float],
    over: NDArray[np.bool_],
    beside: NDArray[np.bool_],
) -> list[str]:
    """For each step, why it stands where it does.

    `over` and `beside` are True where two steps meet, shape (steps, steps).
    """
    told = []
    for n, step in enumerate(painting.steps):
        inks = (k for k in range(n) if painting.steps[k].step.liquid == "ink")
        below, met = [k for k in inks if over[n, k]], bool(beside[n, :n].any())
        own = step.step.reason([painting.steps[k].name for k in below], met)
        told.append(own or _wash_reason(painting, n, below, own_value, met))
    return told


def _wash_reason(
    painting: Painting, n: int, below: Sequence[int], own_value: Sequence[float], met: bool
) -> str:
    if not below:
        if met:
            return "On bare paper, against neighbours that have to be dry."
        return "On bare paper: free to go down while other places dry."
    lighter = [k for k in below if own_value[k] > own_value[n] + 0.3]
    names = ", ".join(f'"{painting.steps[k].name}"' for k in below[-2:])
    if len(lighter) == len(below):
        return f"Darker than {names}: light goes under dark."
    if len(below) > 2:
        return f"Crosses {len(below)} dry washes in one go, so they share it."
    return f"Over dry {names}."


def mistakes(painting: Painting, own_value: Sequence[float], over: NDArray[np.bool_]) -> list[str]:
    """Orders that painters regret, each in a sentence.

    `over` is True where two steps lie over each other, shape (steps, steps).
    """
    told = []
    steps = painting.steps
    for n, step in enumerate(steps):
        if step.step.liquid != "ink":
            continue
        lifts = [k for k in range(n) if over[n, k] and steps[k].step.leaves_bleach]
        if lifts:
            told.append(_over_bleach(painting, n, lifts))
        hidden = hidden_by(painting, own_value, over, n)
        if hidden:
            told.append(
                f'"{step.name}" is much lighter than {_named(painting, hidden)} under it and will '
                "hardly show there."
            )
    return told


def hidden_by(
    painting: Painting, own_value: Sequence[float], over: NDArray[np.bool_], wash: int
) -> list[int]:
    """Steps under a wash that are so much darker that it hardly shows there.

    `over` is True where two steps lie over each other, shape (steps, steps).
    """
    # what bleach took away first no longer hides a light wash
    lifts = [k for k in range(wash) if over[wash, k] and painting.steps[k].step.leaves_bleach]
    since = max(lifts, default=-1) + 1
    least = own_value[wash] - HIDDEN_STEPS
    return [k for k in range(since, wash) if over[wash, k] and own_value[k] < least]


def _named(painting: Painting, numbers: Sequence[int]) -> str:
    return ", ".join(f'"{painting.steps[k].name}"' for k in numbers)


def _over_bleach(painting: Painting, wash: int, lifts: Sequence[int]) -> str:
    """A wash over earlier bleach: rinsed by a step in between, or still active."""
    steps = painting.steps
    name = steps[wash].name
    active = [k for k in lifts if not any(s.step.everywhere for s in steps[k + 1 : wash])]
    if active:
        return (
            f'"{name}" goes over {_named(painting, active)}, where bleach is still active: it will '
            "eat the new ink. Rinse and wait overnight, or leave nothing over it."
        )
    return (
        f'"{name}" goes over {_named(painting, lifts)}: rinsed, but some bleach stays. Wait '
        "overnight and try it on a bleached offcut first."
    )
