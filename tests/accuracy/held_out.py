"""One set left out: what a constant fitted on the others gives, and whether bands hold."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from statistics import NormalDist

import numpy as np

import glaze.calibrate.fit.overlay
import glaze.sheet.wash
from glaze.physics.absorption import glaze_weight
from tests.accuracy.measured import TRANSPARENT, watercolours
from tests.accuracy.scores import DILUTIONS, dilution_cases, errors, families, value_errors

GRID = (0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0)


@contextmanager
def crowding(b: float) -> Iterator[None]:
    """The product's code with another constant b of the load law."""
    places = (glaze.sheet.wash, glaze.calibrate.fit.overlay)
    for place in places:
        # the wash passes its own b on, third: this one stands in for it
        place.glaze_weight = lambda Q, dQ, _=b: glaze_weight(Q, dQ, b)
    try:
        yield
    finally:
        for place in places:
            place.glaze_weight = glaze_weight


def mean_errors() -> dict[str, dict[float, float]]:
    """Mean CIEDE2000 of each family at each b of the grid."""
    found: dict[str, dict[float, float]] = {name: {} for name in families()}
    for b in GRID:
        with crowding(b):
            for name, cases in families().items():
                found[name][b] = float(errors(cases()).mean())
    return found


def kind(name: str) -> str:
    """Sets of one kind, that are left out together: presses, pairs of washes, dilutions."""
    for word in ("overprints", "dilution"):
        if word in name:
            return word
    return "pairs"


def fitted_without(table: dict[str, dict[float, float]]) -> dict[str, float]:
    """For each family, the b of least mean error over the families of other kinds."""
    best = {}
    for name in table:
        others = [row for other, row in table.items() if kind(other) != kind(name)]
        best[name] = min(GRID, key=lambda b, rows=others: np.mean([row[b] for row in rows]))
    return best


Row = tuple[str, int, int, int, float, float]
"""(what was left out, cases, hits in value, hits in dE00, width in value, bound in dE00)."""


def pooled_coverage(level: float = 0.9) -> list[Row]:
    """Bands of one width for everything, from the families of other kinds only.

    Presses of one standard are near twins, and the dilutions share their washes: leaving out one
    of them alone would let the rest tell on it.
    """
    return _crossed(list(families()), lambda a, b: kind(a) != kind(b), level)


def overlay_coverage(level: float = 0.9) -> list[Row]:
    """Bands of washes over each other: presses judged by watercolours and the other way round."""
    names = [name for name in families() if kind(name) != "dilution"]
    return _crossed(names, lambda a, b: kind(a) != kind(b), level)


def _crossed(names: list[str], may_tell: Callable[[str, str], bool], level: float) -> list[Row]:
    value = {name: np.abs(value_errors(families()[name]())) for name in names}
    dE = {name: errors(families()[name]()) for name in names}
    rows = []
    for name in names:
        others = [other for other in names if may_tell(other, name)]
        half = _half_width([value[other] for other in others], level)
        bound = _half_width([dE[other] for other in others], level)
        hits = int((value[name] <= half).sum()), int((dE[name] <= bound).sum())
        rows.append((name, value[name].size, *hits, half, bound))
    return rows


def dilution_coverage(level: float = 0.9) -> list[Row]:
    """Bands that grow with the logarithm of the dilution, each pigment left out in turn.

    No error at the known strength, so a width proportional to |ln(wanted/known)|; its factor is
    that of the other pigments, over all three known amounts. Widths are for a factor of e.
    """
    value, dE = {}, {}
    for name in TRANSPARENT:
        away, steps, seen = [], [], []
        for known in DILUTIONS.values():
            cases = dilution_cases(known, pigments=(name,))
            away.extend(abs(np.log(ml / known)) for ml in amounts(name) if ml != known)
            steps.extend(np.abs(value_errors(cases)))
            seen.extend(errors(cases))
        value[name], dE[name] = np.array(steps) / away, np.array(seen) / away
    rows = []
    for name in TRANSPARENT:
        half = _half_width([v for other, v in value.items() if other != name], level)
        bound = _half_width([v for other, v in dE.items() if other != name], level)
        hits = int((value[name] <= half).sum()), int((dE[name] <= bound).sum())
        rows.append((name, value[name].size, *hits, half, bound))
    return rows


def amounts(pigment: str) -> list[float]:
    """Amounts of a pigment in the order of `dilution_cases` [ml]."""
    return [ml for name, ml in sorted(watercolours()[0]) if name == pigment]


def _half_width(sets: list[np.ndarray], level: float) -> float:
    """Half width of a band as the product forms it: normal, from a root mean square.

    Sets count alike, whatever their number of cases.
    """
    rms = float(np.sqrt(np.mean([np.mean(values**2) for values in sets])))
    return NormalDist().inv_cdf(0.5 + level / 2) * rms
