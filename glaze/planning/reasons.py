"""Why each step stands where it does, and the orders that painters regret."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from glaze.painting import LaidStep, LiftStep, Painting, WaterStep


def reasons(
    painting: Painting,
    own_value: Sequence[float],
    over: NDArray[np.bool_],
    beside: NDArray[np.bool_],
) -> list[str]:
    """For each step, why it stands where it does."""
    told = []
    for n, step in enumerate(painting.steps):
        below = [k for k in range(n) if over[n, k] and isinstance(painting.steps[k], LaidStep)]
        if isinstance(step, LiftStep):
            told.append(_lift_reason(below))
        elif isinstance(step, WaterStep):
            told.append("Takes away active bleach." if step.rinse else "While the ink is loose.")
        else:
            told.append(_wash_reason(painting, n, below, own_value, bool(beside[n, :n].any())))
    return told


def _lift_reason(below: Sequence[int]) -> str:
    if not below:
        return "Bleach on bare paper; nothing over it until it is rinsed."
    return "Only once all below it is bone dry; nothing over it until it is rinsed."


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
    """Orders that painters regret, each in a sentence."""
    told = []
    steps = painting.steps
    for n, step in enumerate(steps):
        if not isinstance(step, LaidStep):
            continue
        for k in range(n):
            if over[n, k] and isinstance(steps[k], LiftStep):
                told.append(_over_bleach(painting, n, k))
        hidden = [k for k in range(n) if over[n, k] and own_value[k] < own_value[n] - 3.0]
        if hidden:
            names = ", ".join(f'"{steps[k].name}"' for k in hidden)
            told.append(
                f'"{step.name}" is much lighter than {names} under it and will hardly show there.'
            )
    return told


def _over_bleach(painting: Painting, wash: int, lift: int) -> str:
    steps = painting.steps
    between = steps[lift + 1 : wash]
    # a lift's own rinse shows as less kept of the bleach
    rinsed = any(isinstance(s, WaterStep) and s.rinse for s in between)
    name, under = steps[wash].name, steps[lift].name
    if rinsed:
        return (
            f'"{name}" goes over "{under}": rinsed, but some bleach stays. Wait overnight and try '
            "it on a bleached offcut first."
        )
    return (
        f'"{name}" goes over "{under}", where bleach is still active: it will eat the new ink. '
        "Rinse and wait overnight, or leave nothing over it."
    )
