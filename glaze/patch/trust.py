"""How far to trust a predicted colour: the band its value lies in 9 times of 10, and its standing.

For any washes and lifts over each other on one patch. Everything that isn't known for sure is
moved, and the error of the law itself, as it was measured (docs/accuracy.md), is added. `by_slopes`
moves one figure after the other and is fast; `by_draws` draws all at random and is honest also
where bleach runs out all at once. `trusted` takes the first for washes, the second for lifts
(docs/decisions/016-value-bands.md).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from glaze.patch.band import STANDINGS, Band, Cause, Trusted
from glaze.patch.engine import Cases, alone
from glaze.patch.layers import (
    OF_ENTRIES,
    OF_INKS,
    PAPER_FACTOR,
    Doubt,
    Laid,
    Layer,
    Lifted,
    doubts_of,
)
from glaze.patch.table import Table
from glaze.physics.colour import delta_e_2000, lab_from_xyz, munsell_value
from glaze.physics.uncertainty import LEVEL, log_sd, model_sd_de00, model_sd_value

Array = NDArray[np.float64]

HALF_WIDTH_SD = NormalDist().inv_cdf(0.5 + LEVEL / 2.0)
"""Half the width of a band [standard deviations]."""

STRIP = (1.0 / 17.0, 1.0)
"""Strengths that a strip of one's own covers: the swatch sheet goes from 1 + 16 to neat."""
MATTERS_VALUE, MATTERS_SHARE = 0.1, 0.25
"""A figure matters that moves the value so much [steps] and by that share of half the band."""
NUDGE = 0.2
"""By how much, as a logarithm, the dye of a wash is moved to see how the value hangs on it."""
DRAWS, SEED = 400, 1


def trusted(table: Table, layers: Sequence[Layer]) -> Trusted:
    """The colour of some layers over each other, the lowest first, and how far to trust it."""
    lifts = any(isinstance(layer, Lifted) for layer in layers)
    return by_draws(table, layers) if lifts else by_slopes(table, layers)


def by_slopes(table: Table, layers: Sequence[Layer]) -> Trusted:
    """The band from slopes: 2 to 5 ms for washes, 5 to 25 where there is a lift.

    Every figure is moved alone to the ends of its factor: that tells which way the value goes.
    Then all are moved together that way, each by its part, as far as 1 draw of 20 goes (the
    first-order reliability method, hasofer1974, one step of it). For washes the ends are within
    0.3 value steps of those by draws. Under a lift that takes nearly all, the dark end may lie a
    whole step too light, as single figures hardly move it. `de00` adds up in squares and is too
    wide by up to a third where a colour saturates.
    """
    cases = _cases(table, layers)
    factors = _one_by_one(cases)
    values, labs = _seen_as(cases, factors)
    count = len(cases.doubts)
    moved = values[1 : 1 + 2 * count].reshape(count, 2) - values[0]
    off = delta_e_2000(labs[1 : 1 + 2 * count], labs[0]).reshape(count, 2)
    law, law_de00 = _law_sd(cases, _still_seen(cases, values[1 + 2 * count :].reshape(-1, 2)))
    own = HALF_WIDTH_SD * law
    less, more = _together(cases, factors, moved) - values[0]
    low = values[0] - math.hypot(own, min(less, 0.0))
    high = values[0] + math.hypot(own, max(more, 0.0))
    de00 = math.sqrt((HALF_WIDTH_SD * law_de00) ** 2 + float(np.sum(np.mean(off**2, axis=1))))
    return _trusted(cases, moved, (low, float(values[0]), high), labs[0], de00)


def by_draws(
    table: Table, layers: Sequence[Layer], draws: int = DRAWS, seed: int = SEED
) -> Trusted:
    """The band from random figures, log-normal, all at once.

    Same seed, same band; 400 draws place its ends within about a tenth of its half width. 10 to
    30 ms; 80 where a wash lies on bleach that a lift has left.
    """
    cases = _cases(table, layers)
    rng = np.random.default_rng(seed)
    count = len(cases.doubts)
    sd = log_sd([doubt.factor for doubt in cases.doubts])
    drawn = np.ones((draws, len(cases.keys)))
    drawn[:, :count] = np.exp(sd * rng.standard_normal((draws, count)))
    one_by_one = _one_by_one(cases)
    values, labs = _seen_as(cases, np.vstack([one_by_one, drawn]))
    single, values, seen = values[: len(one_by_one)], values[len(one_by_one) :], labs[0]
    nudged = single[1 + 2 * count :].reshape(-1, 2)
    law, law_de00 = _law_sd(cases, _still_seen(cases, nudged))
    values = values + law * rng.standard_normal(draws)
    off = delta_e_2000(labs[len(one_by_one) :], seen)
    off = np.hypot(off, law_de00 * rng.standard_normal(draws))
    low, high = np.quantile(values, [0.5 - LEVEL / 2.0, 0.5 + LEVEL / 2.0])
    moved = single[1 : 1 + 2 * count].reshape(count, 2) - single[0]
    ends = float(low), float(single[0]), float(high)
    return _trusted(cases, moved, ends, seen, float(np.quantile(off, LEVEL)))


def _cases(table: Table, layers: Sequence[Layer]) -> Cases:
    return Cases(table, tuple(layers), doubts_of(layers, table))


def _seen_as(cases: Cases, factors: Array) -> tuple[Array, Array]:
    """Value and CIELAB of the patch in each case."""
    xyz = cases.xyz(factors)
    return munsell_value(xyz[:, 1]), lab_from_xyz(xyz, cases.table.light.white_xyz)


def _trusted(
    cases: Cases, moved: Array, ends: tuple[float, float, float], seen: Array, de00: float
) -> Trusted:
    """All of it together; `moved`: what each doubt does to the value, `ends`: low, best, high."""
    causes = _causes(cases.doubts, moved)
    lab = float(seen[0]), float(seen[1]), float(seen[2])
    return Trusted(_band(cases, causes, *ends), lab, de00, causes)


def _one_by_one(cases: Cases) -> Array:
    """Factors: all as they are, then each doubt at both ends, then each wash's dye nudged."""
    doubts, figures = len(cases.doubts), len(cases.keys)
    factors = np.ones((1 + 2 * figures, figures))
    for column in range(figures):
        end = cases.doubts[column].factor if column < doubts else math.exp(NUDGE)
        factors[1 + 2 * column, column], factors[2 + 2 * column, column] = 1.0 / end, end
    return factors


def _together(cases: Cases, factors: Array, moved: Array) -> Array:
    """Value with all doubts moved towards darker, and towards lighter, as far as 1 draw of 20."""
    count = len(cases.doubts)
    ends = np.log(factors[1 : 1 + 2 * count, :count]).sum(axis=1).reshape(count, 2)
    joint = np.ones((2, factors.shape[1]))
    for row, pick in enumerate((np.argmin, np.argmax)):
        side = pick(moved, axis=1)
        change = np.take_along_axis(moved, side[:, None], axis=1)[:, 0]
        change = np.minimum(change, 0.0) if row == 0 else np.maximum(change, 0.0)
        part = np.abs(change) / max(float(np.linalg.norm(change)), 1e-12)
        joint[row, :count] = np.exp(part * np.take_along_axis(ends, side[:, None], axis=1)[:, 0])
    return np.asarray(munsell_value(cases.xyz(joint)[:, 1]))


def _still_seen(cases: Cases, nudged: Array) -> Array:
    """How much of each wash is still seen: the value's slope on its dye over that of it alone.

    nudged : values with each wash's dye nudged down and up, shape (washes, 2)
    """
    seen = np.zeros(len(cases.washes))
    for i, number in enumerate(cases.washes):
        both = np.exp([[-NUDGE], [NUDGE]])
        low, high = munsell_value(alone(cases, number).xyz(both)[:, 1])
        slope = float(high - low)
        seen[i] = min(1.0, abs(float(nudged[i, 1] - nudged[i, 0]) / slope)) if slope else 0.0
    return seen


def _law_sd(cases: Cases, seen: Array) -> tuple[float, float]:
    """Error of the law itself, in value steps and in CIEDE2000: thinning, and laying over."""
    value = de00 = 0.0
    for number, share in zip(cases.washes, seen, strict=True):
        thinned = _thinned(cases, number)
        value += (share * model_sd_value(thinned)) ** 2
        de00 += (share * model_sd_de00(thinned)) ** 2
    if len(cases.washes) > 1:
        most = float(seen.max())
        value += (most * model_sd_value(overlaid=True)) ** 2
        de00 += (most * model_sd_de00(overlaid=True)) ** 2
    return math.sqrt(value), math.sqrt(de00)


def _thinned(cases: Cases, number: int) -> float:
    """Strength of a wash over the nearest that is known of its inks.

    Of a measured ink a whole strip is known, of others what is in the bottle.
    """
    layer, paper = cases.layers[number], cases.table.paper
    assert isinstance(layer, Laid)
    film = paper.film_ml_per_m2 if layer.film_ml_per_m2 is None else layer.film_ml_per_m2
    q = layer.mix.strength * layer.coats * max(layer.share, 1e-3) * film / paper.film_ml_per_m2
    weakest, strongest = STRIP
    if any(cases.table.palette.inks[name].how != "measured" for name in layer.mix.ink_ml):
        weakest = strongest
    return q / min(max(q, weakest), strongest)


def _causes(doubts: Sequence[Doubt], moved: Array) -> tuple[Cause, ...]:
    """What each doubt does to the value, the greatest first; those that do nothing left out."""
    found = [
        Cause(doubt.words, doubt.standing, float(ends.min()), float(ends.max()))
        for doubt, ends in zip(doubts, moved, strict=True)
    ]
    return tuple(sorted((c for c in found if c.size > 0.005), key=lambda c: -c.size))


def _band(cases: Cases, causes: Sequence[Cause], low: float, best: float, high: float) -> Band:
    """A band within what a sheet can show; its standing is the least of what matters in it."""
    table, half = cases.table, max(best - low, high - best)
    words = {c.standing for c in causes if c.size >= max(MATTERS_VALUE, MATTERS_SHARE * half)}
    words |= {OF_INKS[table.palette.inks[name].how] for name in cases.inks}
    if not cases.inks:
        entry = table.paper.entries.get("reflectance")
        words |= {OF_ENTRIES[entry.how] if entry else "assumed"}
    standing = max(words, key=STANDINGS.index)
    Rp = np.maximum(table.paper_reflectance, table.paper_reflectance + table.bleached_gain)
    lightest = float(munsell_value(PAPER_FACTOR * Rp @ table.light.xyz_weights[:, 1]))
    return Band(max(low, 0.0), best, max(best, min(high, lightest)), standing)
