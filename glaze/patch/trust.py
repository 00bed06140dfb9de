"""How far to trust a predicted colour: the band its value lies in 9 times of 10, and its standing.

For any washes and lifts over each other. Every figure that isn't known for sure is drawn at random,
all at once, and the error of the law itself, as it was measured (docs/accuracy.md), is added. The
draws of a figure depend on nothing but the figure, so a patch has the same band wherever it is
asked for, alone or among thousands (docs/decisions/007-value-bands.md).
"""

from __future__ import annotations

import math
import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache, cached_property
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.patch.band import STANDINGS, Band, Cause, Trusted
from glaze.patch.engine import Figures, Stacks, alike
from glaze.patch.layers import (
    OF_ENTRIES,
    OF_INKS,
    Doubt,
    Key,
    Laid,
    Layer,
    doubts_of,
    inks_of,
    paper_factor,
)
from glaze.patch.table import Table
from glaze.physics.colour import delta_e_2000, lab_from_xyz, munsell_value
from glaze.physics.uncertainty import LEVEL, log_sd, model_sd_de00, model_sd_value

Array = NDArray[np.float64]

STRIP = (1.0 / 17.0, 1.0)
"""Strengths that a strip of one's own covers: the swatch sheet goes from 1 + 16 to neat."""
MATTERS_VALUE, MATTERS_SHARE = 0.1, 0.25
"""A figure matters that moves the value so much [steps] and by that share of half the band."""
NUDGE = 0.2
"""By how much, as a logarithm, the dye of a wash is moved to see how the value hangs on it."""
DRAWS, SEED = 400, 1
"""400 draws, one of each 400th of a figure's odds, place the ends within about a tenth of the half
width (docs/decisions/007-value-bands.md)."""


def trusted(table: Table, layers: Sequence[Layer], draws: int = DRAWS, seed: int = SEED) -> Trusted:
    """The colour of some layers over each other, the lowest first, and how far to trust it."""
    run = _Run(table, (tuple(layers),), (len(layers),), draws, seed)
    return run.trusted(len(layers))


def bands_of(
    table: Table,
    stacks: Sequence[Sequence[Layer]],
    last: int = 1,
    draws: int = DRAWS,
    seed: int = SEED,
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
        run = _Run(table, some, stages, draws, seed)
        for place, n in enumerate(patches):
            found[n] = [run.band(stage, place) for stage in stages]
    return found


@cache
def drawn(key: Key, draws: int = DRAWS, seed: int = SEED) -> Array:
    """A figure's own draws from the standard normal, the same wherever it is asked for.

    One from each of as many equally likely parts, in random order (Latin hypercube, mckay1979).

    Shape (draws,), [standard deviations].
    """
    if draws < 20:
        raise InputError(f"{draws} draws are too few for a band; give 20 or more.")
    normal, order = NormalDist(), np.random.default_rng([seed, zlib.crc32(repr(key).encode())])
    return np.array([normal.inv_cdf((n + 0.5) / draws) for n in order.permutation(draws)])


@dataclass(frozen=True, eq=False)
class _Run:
    """Patches laid in all cases: all as it is; each wash's dye nudged; each doubt at its ends; and
    the draws. What is seen is kept after so many layers as `stages` say."""

    table: Table
    layers: tuple[tuple[Layer, ...], ...]
    stages: tuple[int, ...]
    draws: int
    seed: int

    @cached_property
    def stacks(self) -> Stacks:
        return Stacks(self.table, self.layers)

    @cached_property
    def doubts(self) -> tuple[Doubt, ...]:
        """Every figure of any of the patches that isn't sure."""
        each = (doubt for layers in self.layers for doubt in doubts_of(layers, self.table))
        return tuple({doubt.key: doubt for doubt in each}.values())

    @cached_property
    def washes(self) -> tuple[int, ...]:
        """Places among the layers of washes that hold ink on some patch."""
        held = (n for layers in self.layers for n, layer in enumerate(layers) if _holds_ink(layer))
        return tuple(sorted(set(held)))

    @property
    def singles(self) -> int:
        """Cases before the draws."""
        return 1 + 2 * len(self.washes) + 2 * len(self.doubts)

    def figures(self) -> Figures:
        """What every figure is multiplied by in every case."""
        cases, factors = self.singles + self.draws, {}
        keys = [("wash", str(n)) for n in self.washes] + [doubt.key for doubt in self.doubts]
        ends = [math.exp(NUDGE)] * len(self.washes) + [doubt.factor for doubt in self.doubts]
        for n, (key, end) in enumerate(zip(keys, ends, strict=True)):
            factors[key] = np.ones(cases)
            factors[key][1 + 2 * n : 3 + 2 * n] = 1.0 / end, end
        for doubt in self.doubts:
            moved = log_sd(doubt.factor) * drawn(doubt.key, self.draws, self.seed)
            factors[doubt.key][self.singles :] = np.exp(moved)
        return Figures(factors, cases)

    @cached_property
    def xyz(self) -> dict[int, Array]:
        """XYZ at each stage, shape (cases, patches, 3)."""
        figures, stacks = self.figures(), self.stacks
        return {
            stage: stacks.xyz(sheet, figures)
            for stage, sheet in enumerate(stacks.after_each(figures))
            if stage in self.stages
        }

    @cached_property
    def values(self) -> dict[int, Array]:
        """Munsell value at each stage, shape (cases, patches)."""
        return {n: np.asarray(munsell_value(xyz[..., 1])) for n, xyz in self.xyz.items()}

    @cached_property
    def slopes(self) -> Array:
        """What the nudge of a wash's dye does where it lies alone on the paper, (washes, patches).

        0 where a patch has no ink in that wash.
        """
        found = np.zeros((len(self.washes), len(self.layers)))
        nudge = Figures({("wash", "0"): np.exp([-NUDGE, NUDGE])}, 2)
        for i, number in enumerate(self.washes):
            alone = Stacks(self.table, tuple((layers[number],) for layers in self.layers))
            *_, sheet = alone.after_each(nudge)
            low, high = munsell_value(alone.xyz(sheet, nudge)[..., 1])
            found[i] = high - low
        return found

    def law_sd(self, stage: int, patch: int) -> tuple[float, float]:
        """Error of the law itself, in value steps and in CIEDE2000: thinning, and laying over.

        A wash counts by how much of it is still seen: the value's slope on its dye over that of
        the wash alone.
        """
        layers, value, de00, most, count = self.layers[patch], 0.0, 0.0, 0.0, 0
        for i, number in enumerate(self.washes):
            if number >= stage or not _holds_ink(layers[number]):
                continue
            nudged = self.values[stage][1 + 2 * i : 3 + 2 * i, patch]
            slope = float(self.slopes[i, patch])
            seen = min(1.0, abs(float(nudged[1] - nudged[0]) / slope)) if slope else 0.0
            thinned = _thinned(layers[number], self.table)
            value += (seen * model_sd_value(thinned)) ** 2
            de00 += (seen * model_sd_de00(thinned)) ** 2
            most, count = max(most, seen), count + 1
        if count > 1:
            value += (most * model_sd_value(overlaid=True)) ** 2
            de00 += (most * model_sd_de00(overlaid=True)) ** 2
        return math.sqrt(value), math.sqrt(de00)

    def causes(self, stage: int, patch: int) -> tuple[Cause, ...]:
        """What each doubt does to the value, the greatest first; those that do nothing left out."""
        values = self.values[stage][:, patch]
        ends = values[1 + 2 * len(self.washes) : self.singles].reshape(-1, 2) - values[0]
        return _causes(self.doubts, ends)

    def band(self, stage: int, patch: int = 0) -> Band:
        """The value of a patch after so many layers, with its band."""
        values = self.values[stage][:, patch]
        law = self.law_sd(stage, patch)[0] * drawn(("law", "value"), self.draws, self.seed)
        low, high = _ends(values[self.singles :] + law)
        layers = self.layers[patch][:stage]
        return _band(self.table, layers, self.causes(stage, patch), low, float(values[0]), high)

    def trusted(self, stage: int, patch: int = 0) -> Trusted:
        """The colour of a patch after so many layers, and how far to trust it."""
        labs = lab_from_xyz(self.xyz[stage][:, patch], self.table.light.white_xyz)
        law = self.law_sd(stage, patch)[1] * drawn(("law", "colour"), self.draws, self.seed)
        off = np.hypot(delta_e_2000(labs[self.singles :], labs[0]), law)
        lab = float(labs[0, 0]), float(labs[0, 1]), float(labs[0, 2])
        de00 = _quantile(off, LEVEL)
        return Trusted(self.band(stage, patch), lab, de00, self.causes(stage, patch))


def _holds_ink(layer: Layer) -> bool:
    """Whether it is a wash that brings ink."""
    return isinstance(layer, Laid) and bool(layer.mix.ink_ml) and layer.share > 0.0


def _ends(values: Array) -> tuple[float, float]:
    """The ends of a band: quantiles of draws."""
    return _quantile(values, 0.5 - LEVEL / 2.0), _quantile(values, 0.5 + LEVEL / 2.0)


def _quantile(values: Array, level: float) -> float:
    """Linear between neighbours, as numpy's, which takes a tenth of `glaze mix` to load."""
    ranked = np.sort(values)
    below, part = divmod(level * (ranked.size - 1), 1.0)
    low, high = ranked[int(below)], ranked[min(int(below) + 1, ranked.size - 1)]
    return float(low + part * (high - low))


def _thinned(layer: Layer, table: Table) -> float:
    """Strength of a wash over the nearest that is known of its inks.

    Of a measured ink a whole strip is known, of others what is in the bottle.
    """
    assert isinstance(layer, Laid)
    paper = table.paper
    film = paper.film_ml_per_m2 if layer.film_ml_per_m2 is None else layer.film_ml_per_m2
    q = layer.mix.strength * layer.coats * max(layer.share, 1e-3) * film / paper.film_ml_per_m2
    weakest, strongest = STRIP
    if any(table.palette.inks[name].how != "measured" for name in layer.mix.ink_ml):
        weakest = strongest
    return q / min(max(q, weakest), strongest)


def _causes(doubts: Sequence[Doubt], moved: Array) -> tuple[Cause, ...]:
    """What each doubt does to the value, the greatest first; those that do nothing left out."""
    found = [
        Cause(doubt.words, doubt.standing, float(ends.min()), float(ends.max()))
        for doubt, ends in zip(doubts, moved, strict=True)
    ]
    return tuple(sorted((c for c in found if c.size > 0.005), key=lambda c: -c.size))


def _band(
    table: Table,
    layers: Sequence[Layer],
    causes: Sequence[Cause],
    low: float,
    best: float,
    high: float,
) -> Band:
    """A band within what a sheet can show; its standing is the least of what matters in it."""
    half = max(best - low, high - best)
    words = {c.standing for c in causes if c.size >= max(MATTERS_VALUE, MATTERS_SHARE * half)}
    inks = inks_of(layers, table)
    words |= {OF_INKS[ink.how] for ink in inks}
    if not inks:
        entry = table.paper.entries.get("reflectance")
        words |= {OF_ENTRIES[entry.how] if entry else "assumed"}
    standing = max(words, key=STANDINGS.index)
    Rp = np.maximum(table.paper_reflectance, table.paper_reflectance + table.bleached_gain)
    lightest = float(munsell_value(paper_factor() * Rp @ table.light.xyz_weights[:, 1]))
    return Band(min(max(low, 0.0), best), best, max(best, min(high, lightest)), standing)
