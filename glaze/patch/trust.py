"""How far to trust a predicted colour: the band its value lies in 9 times of 10, and its standing.

For any washes and lifts over each other. Every figure that isn't known for sure is drawn at random,
all at once (`cases`), and the error of the law itself, as it was measured (docs/accuracy.md), is
added; after a calibration, what its own patches held.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from glaze.patch.band import STANDINGS, Band, Cause, Trusted
from glaze.patch.cases import DRAWS, SEED, Array, Cases, drawn
from glaze.patch.engine import alike
from glaze.patch.layers import OF_ENTRIES, OF_INKS, Layer, doubts_of, inks_of, paper_factor
from glaze.patch.table import Table
from glaze.physics.colour import delta_e_2000, lab_from_xyz, munsell_value
from glaze.physics.uncertainty import LAW_CHROMA, LAW_DE00, LAW_VALUE, LEVEL

MATTERS_VALUE, MATTERS_SHARE = 0.1, 0.25
"""A figure matters that moves the value so much [steps] and by that share of half the band."""


def trusted(table: Table, layers: Sequence[Layer], draws: int = DRAWS, seed: int = SEED) -> Trusted:
    """The colour of some layers over each other, the lowest first, and how far to trust it."""
    stage = len(layers)
    cases = Cases(table, (tuple(layers),), (stage,), draws, seed)
    labs = lab_from_xyz(cases.seen[0][stage][:, 0], cases.table.light.white_xyz)
    off = law_draws(cases, "colour", stage, 0)
    off = np.hypot(delta_e_2000(labs[cases.singles :], labs[0]), off)
    chroma = np.hypot(labs[:, 1], labs[:, 2])
    moved = chroma[cases.singles :] + law_draws(cases, "chroma", stage, 0)
    low, high = _ends(np.maximum(moved, 0.0))
    best = float(chroma[0])
    return Trusted(
        band_of(cases, stage, 0),
        (float(labs[0, 0]), float(labs[0, 1]), float(labs[0, 2])),
        _quantile(off, LEVEL),
        (min(low, best), best, max(best, high)),
        causes_of(cases, stage, 0),
    )


def bands_of(
    table: Table,
    stacks: Sequence[Sequence[Layer]],
    last: int = 1,
    draws: int = DRAWS,
) -> list[list[Band]]:
    """The bands of the value of many patches, each as `trusted` gives it.

    Parameters
    ----------
    stacks : the layers of each patch, the lowest first
    last : after how many of its last layers each patch is looked at

    Returns
    -------
    for each patch its band after each of those
    """
    groups: dict[tuple[object, ...], list[int]] = {}
    for n, layers in enumerate(stacks):
        # swatches of one's own hold film and gain more closely: inks with and without part here
        films = tuple(d for d in doubts_of(layers, table) if d.key in (("film", ""), ("gain", "")))
        groups.setdefault((*alike(layers), films), []).append(n)
    found: list[list[Band]] = [[] for _ in stacks]
    for patches in groups.values():
        some = tuple(tuple(stacks[n]) for n in patches)
        stages = tuple(range(len(some[0]) + 1))[-last:]
        cases = Cases(table, some, stages, draws, SEED)
        for place, n in enumerate(patches):
            found[n] = [band_of(cases, stage, place) for stage in stages]
    return found


LAWS = {"value": LAW_VALUE, "colour": LAW_DE00, "chroma": LAW_CHROMA}
"""Error of the law itself in each measure of `Off`."""


def law_sd(cases: Cases, measure: str, stage: int, patch: int) -> float:
    """Standard deviation of the law itself; of overlays as own patches of them have it."""
    times = getattr(cases.table.palette.checked.overlay_times, measure)
    thinned, overlaid, apart = (term[:, patch] for term in cases.laws[stage])
    return float(LAWS[measure].sd(thinned, times * overlaid, apart))


def law_draws(cases: Cases, measure: str, stage: int, patch: int) -> Array:
    """Draws of the error of the law itself in one measure: thinning, and laying over.

    Never less than the patches of a painted sheet of one's own were off that nothing was fitted
    to, those of one ink or of more; and with them what its scanner may be off, which no patch of
    the sheet can tell. Both less on a tint that hardly shows.

    Shape (draws,), in the unit of the measure: [steps], [CIEDE2000], CIELAB chroma [-].
    """
    checked = cases.table.palette.checked
    sd = law_sd(cases, measure, stage, patch)
    if checked.known:
        shown, own = cases.shown(stage, patch), getattr(checked.one_ink, measure)
        if len(inks_of(cases.layers[patch][:stage], cases.table)) > 1:
            own = max(own, getattr(checked.more_inks, measure))
        sd = max(sd, shown * own)
        sd = math.hypot(sd, shown * getattr(checked.scanner, measure))
    return sd * drawn(("law", measure), cases.draws, cases.seed)


def causes_of(cases: Cases, stage: int, patch: int) -> tuple[Cause, ...]:
    """What each doubt does to the value, the greatest first; those that do nothing left out."""
    values = cases.values[stage][:, patch]
    moved = values[1 + 2 * len(cases.washes) : cases.singles].reshape(-1, 2) - values[0]
    found = [
        Cause(doubt.words, doubt.standing, float(ends.min()), float(ends.max()))
        for doubt, ends in zip(cases.doubts, moved, strict=True)
    ]
    return tuple(sorted((c for c in found if c.size > 0.005), key=lambda c: -c.size))


def band_of(cases: Cases, stage: int, patch: int = 0) -> Band:
    """The value of a patch after so many layers, within what a sheet can show.

    Its standing is the least of what matters in it.
    """
    values, table = cases.values[stage][:, patch], cases.table
    low, high = _ends(values[cases.singles :] + law_draws(cases, "value", stage, patch))
    best, causes = float(values[0]), causes_of(cases, stage, patch)
    half = max(best - low, high - best)
    words = {c.standing for c in causes if c.size >= max(MATTERS_VALUE, MATTERS_SHARE * half)}
    inks = inks_of(cases.layers[patch][:stage], table)
    words |= {OF_INKS[ink.how] for ink in inks}
    if not inks:
        entry = table.paper.entries.get("reflectance")
        words |= {OF_ENTRIES[entry.how] if entry else "assumed"}
    standing = max(words, key=STANDINGS.index)
    Rp = np.maximum(table.paper_reflectance, table.paper_reflectance + table.bleached_gain)
    lightest = float(munsell_value(paper_factor() * Rp @ table.light.xyz_weights[:, 1]))
    return Band(min(max(low, 0.0), best), best, max(best, min(high, lightest)), standing)


def _ends(values: Array) -> tuple[float, float]:
    """The ends of a band: quantiles of draws."""
    return _quantile(values, 0.5 - LEVEL / 2.0), _quantile(values, 0.5 + LEVEL / 2.0)


def _quantile(values: Array, level: float) -> float:
    """Linear between neighbours, as numpy's, which takes a tenth of `glaze mix` to load."""
    ranked = np.sort(values)
    below, part = divmod(level * (ranked.size - 1), 1.0)
    low, high = ranked[int(below)], ranked[min(int(below) + 1, ranked.size - 1)]
    return float(low + part * (high - low))
