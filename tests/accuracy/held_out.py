"""One set left out: what a constant fitted on the others gives, and whether bands hold."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial
from statistics import NormalDist

import numpy as np

from glaze.calibrate.fit.overlay import overlaid
from glaze.physics.uncertainty import LAW_CHROMA, LAW_DE00, LAW_VALUE, LEVEL
from tests.accuracy import scores
from tests.accuracy.measured import COATED, TRANSPARENT, UNCOATED, watercolours
from tests.accuracy.scores import (
    BLACKS,
    COLOURS,
    DILUTIONS,
    Overlay,
    dilution_cases,
    errors,
    families,
    offsets,
    press_overlay,
    wash_overlays,
)

GRID = (0.0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0)


@contextmanager
def crowding(b: float) -> Iterator[None]:
    """The product's law with another constant b of the load law."""
    scores.overlaid = partial(overlaid, crowding=b)
    try:
        yield
    finally:
        scores.overlaid = overlaid


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


Row = tuple[str, int, list[tuple[int, float]]]
"""(what was left out, cases, (hits, mean half width) of each measure)."""

LAWS = {"value": LAW_VALUE, "dE00": LAW_DE00, "chroma": LAW_CHROMA}
"""The errors of the law that the program's bands are made of; none was taken from these sets."""

Z = NormalDist().inv_cdf(0.5 + LEVEL / 2)


def overlays() -> dict[str, list[Overlay]]:
    """Every measured overlay by its kind: presses by number of inks, watercolours by pair."""
    kinds: dict[str, list[Overlay]] = {}
    for condition in (*COATED, *UNCOATED):
        for patch in (*COLOURS, *BLACKS):
            one = press_overlay(condition, patch)
            kinds.setdefault(f"press, {len(patch)} inks", []).append(one)
    kinds["watercolour, black over a colour"] = wash_overlays("ivory black")
    kinds["watercolour, a colour over itself"] = wash_overlays(None)
    return kinds


def overlay_coverage() -> list[Row]:
    """What the program's 90 % bands of the law itself hold of each kind."""
    rows = []
    for kind, cases in overlays().items():
        off = offsets([(one.predicted, one.measured) for one in cases])
        half = {m: np.array([Z * one.sd(law) for one in cases]) for m, law in LAWS.items()}
        told = [(int((off[m] <= half[m]).sum()), float(half[m].mean())) for m in LAWS]
        rows.append((kind, len(cases), told))
    return rows


def dilution_coverage() -> list[Row]:
    """Bands that grow with the logarithm of the dilution, each pigment left out in turn.

    No error at the known strength, so a width proportional to |ln(wanted/known)|; its factor is
    that of the other pigments, over all three known amounts. Widths are for a factor of e.
    """
    off = {name: _per_factor_of_e(name) for name in TRANSPARENT}
    rows = []
    for name in TRANSPARENT:
        half = {m: _half_width([off[o][m] for o in off if o != name]) for m in LAWS}
        told = [(int((off[name][m] <= half[m]).sum()), half[m]) for m in LAWS]
        rows.append((name, off[name]["value"].size, told))
    return rows


def _per_factor_of_e(pigment: str) -> dict[str, np.ndarray]:
    """How far a pigment is off at other strengths, over factors of e, by measure."""
    cases, away = [], []
    for known in DILUTIONS.values():
        cases += dilution_cases(known, pigments=(pigment,))
        away += [abs(np.log(ml / known)) for ml in amounts(pigment) if ml != known]
    return {measure: off / away for measure, off in offsets(cases).items()}


def amounts(pigment: str) -> list[float]:
    """Amounts of a pigment in the order of `dilution_cases` [ml]."""
    return [ml for name, ml in sorted(watercolours()[0]) if name == pigment]


def _half_width(sets: list[np.ndarray]) -> float:
    """Half width of a band as the product forms it: normal, from a root mean square.

    Sets count alike, whatever their number of cases.
    """
    return Z * float(np.sqrt(np.mean([np.mean(values**2) for values in sets])))
