"""How well an explanation of a strip predicts a rung it hasn't seen: what its band rests on."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glaze.calibrate.fit.strip import (
    KINDS,
    Fitted,
    Strip,
    log_error,
    strip_rgb,
)
from glaze.calibrate.scan.swatch import apart
from glaze.patch.table import Table

Array = NDArray[np.float64]

BETTER_DE00, BETTER_SHARE = 0.4, 0.15
"""A richer explanation has to predict rungs it hasn't seen better by that much, and by that share
of the simpler one's error (guess: half of what a careful eye sees on swatches side by side)."""

LEAST_FACTOR, MOST_FACTOR = 1.10, 3.0
"""Never surer than a tenth: the next wash may be laid thicker or thinner than six small patches
were (guess; a dropper alone is good to 15 % [USP 32 <1101>])."""


@dataclass(frozen=True, eq=False)
class LeftOut:
    """How well an explanation predicts rungs it hasn't seen.

    unseen_de00 : of each rung, predicted from the others, shape (rungs,)
    predicted : linear sRGB of each so predicted, shape (rungs, 3)
    aside : the same at the strength that suits that rung best
    log_errors, slopes : of each rung, as `log_error` gives them, from the others
    """

    unseen_de00: Array
    predicted: Array
    aside: Array
    log_errors: Array
    slopes: Array

    @property
    def mean_de00(self) -> float:
        """Mean over the rungs."""
        return float(self.unseen_de00.mean())

    @property
    def strength_factor(self) -> float:
        """Band of the strength, times or over, 90 %: Student's t on the rungs' own errors.

        It holds what one wash differs from the next in this painter's hand, weighted by how well
        each rung tells its strength.
        """
        from scipy.stats import t

        w = self.slopes**2
        if self.log_errors.size < 2 or w.sum() <= 0:
            return MOST_FACTOR
        sd = math.sqrt(float((w * self.log_errors**2).sum() / w.sum()))
        count = float(w.sum() ** 2 / (w**2).sum())
        width = float(t.ppf(0.95, max(count - 1.0, 1.0))) * sd
        return float(np.clip(math.exp(width), LEAST_FACTOR, MOST_FACTOR))


def leave_one_out(
    table: Table, strip: Strip, fit: Callable[[Strip], Fitted | None]
) -> LeftOut | None:
    """Each rung predicted from the others alone, by a way to fit them."""
    rows, colours = [], []
    for rung in range(strip.strength.size):
        fitted = fit(strip.without(rung))
        if fitted is None:
            return None
        predicted = strip_rgb(table, fitted.unit_path, strip.strength[rung : rung + 1])[0]
        off = log_error(table, fitted.unit_path, strip, rung)
        rows.append((apart(strip.rgb[rung], predicted), *off))
        best = math.exp(off[0]) * fitted.unit_path
        aside = strip_rgb(table, best, strip.strength[rung : rung + 1])[0]
        colours.append((predicted, aside))
    apart_, errors, slopes = np.array(rows).T
    plain, aside = np.moveaxis(np.array(colours), 1, 0)
    return LeftOut(apart_, plain, aside, errors, slopes)


def choose(found: Mapping[str, LeftOut]) -> str:
    """The simplest explanation that nothing richer beats by enough."""
    kinds = [kind for kind in KINDS if kind in found]
    best = kinds[0]
    for kind in kinds[1:]:
        gain = found[best].mean_de00 - found[kind].mean_de00
        if gain > BETTER_DE00 and gain > BETTER_SHARE * found[best].mean_de00:
            best = kind
    return best
