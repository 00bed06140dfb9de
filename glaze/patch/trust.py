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
from glaze.physics.uncertainty import (
    LAW_CHROMA,
    LAW_DE00,
    LAW_VALUE,
    LEVEL,
    LawError,
    log_sd,
    meeting,
)
from glaze.sheet.state import Sheet

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
    def seen(self) -> tuple[dict[int, Array], Array]:
        """XYZ in all cases at each stage, shape (cases, patches, 3); and after every layer, as it
        is and with each wash's dye nudged, shape (layers + 1, 1 + 2 washes, patches, 3)."""
        figures, stacks, nudged = self.figures(), self.stacks, 1 + 2 * len(self.washes)
        found, plain = {}, []
        for stage, sheet in enumerate(stacks.after_each(figures)):
            if stage in self.stages:
                found[stage] = stacks.xyz(sheet, figures)
                plain.append(found[stage][:nudged])
            else:
                some = Sheet(**{name: field[:nudged] for name, field in vars(sheet).items()})
                plain.append(stacks.xyz(some))
        return found, np.array(plain)

    @cached_property
    def values(self) -> dict[int, Array]:
        """Munsell value at each stage, shape (cases, patches)."""
        return {n: np.asarray(munsell_value(xyz[..., 1])) for n, xyz in self.seen[0].items()}

    @cached_property
    def held(self) -> NDArray[np.bool_]:
        """Whether each wash brings ink on each patch, shape (washes, patches)."""
        found = [[_holds_ink(layers[n]) for layers in self.layers] for n in self.washes]
        return np.array(found, dtype=bool).reshape(len(self.washes), len(self.layers))

    @cached_property
    def thinned(self) -> Array:
        """Factors of e between a wash and the nearest known of its inks, (washes, patches)."""
        found = np.zeros(self.held.shape)
        for i, patch in np.argwhere(self.held):
            found[i, patch] = _thinned(self.layers[patch][self.washes[i]], self.table)
        return found

    @cached_property
    def alone(self) -> Array:
        """XYZ of each wash alone on the paper, its dye nudged down, as it is, and nudged up.

        Shape (washes, 3, patches, 3).
        """
        nudge = Figures({("wash", "0"): np.exp([-NUDGE, 0.0, NUDGE])}, 3)
        found = np.zeros((len(self.washes), 3, len(self.layers), 3))
        for i, number in enumerate(self.washes):
            stacks = Stacks(self.table, tuple((layers[number],) for layers in self.layers))
            *_, sheet = stacks.after_each(nudge)
            found[i] = stacks.xyz(sheet, nudge)
        return found

    @cached_property
    def meets(self) -> tuple[Array, Array]:
        """`meeting` of each wash alone and what lies below it, shape (washes, patches) each."""
        below = self.seen[1][:, 0]
        white = below[0, 0]
        alone = lab_from_xyz(self.alone[:, 1], white)
        return meeting(alone, lab_from_xyz(below[list(self.washes)], white))

    @cached_property
    def slopes(self) -> Array:
        """What the nudge of each wash's dye does to the value after every layer.

        Shape (layers + 1, washes, patches), [value steps].
        """
        value = np.asarray(munsell_value(self.seen[1][:, 1:, :, 1]))
        return np.abs(value[:, 1::2] - value[:, ::2])

    def left(self, stage: int) -> Array:
        """Share of each wash and those below it that lifts have left, (washes, patches).

        By all their slopes together, as a single one may hardly show.
        """
        lifts = [
            [layer.share > 0.0 and not isinstance(layer, Laid) for layer in layers[:stage]]
            for layers in self.layers
        ]
        lifted, up_to = np.array(lifts, dtype=bool).T, np.cumsum(self.slopes, axis=1)
        found = np.ones(self.held.shape)
        for i, number in enumerate(self.washes):
            if lifted[number:].any():
                first = number + lifted[number:].argmax(axis=0)
                before = up_to[first, i, np.arange(len(self.layers))]
                some = lifted[number:].any(axis=0)
                found[i, some] = _share(up_to[stage, i], before)[some]
        return found

    @cached_property
    def laws(self) -> dict[int, tuple[Array, Array, Array]]:
        """What a `LawError` takes, at each stage: thinned, overlaid, apart, (washes, patches).

        A thinned wash counts by how much of it is still seen: the value's slope on its dye over
        that of the wash alone. What lies over each other counts whole however dark it is, until
        a lift takes it.
        """
        low, _, high = np.moveaxis(munsell_value(self.alone[..., 1]), 1, 0)
        over = self.held & (np.cumsum(self.held, axis=0) > 1)
        shown, apart = self.meets if over.any() else np.zeros((2, *over.shape))
        found = {}
        for stage in self.stages:
            laid = self.held & (np.array(self.washes) < stage)[:, None]
            seen = laid * _share(self.slopes[stage], np.abs(high - low))
            overlaid = np.where(over & laid, shown * self.left(stage), 0.0)
            found[stage] = self.thinned * seen, overlaid, apart
        return found

    def law_draws(self, law: LawError, measure: str, stage: int, patch: int) -> Array:
        """Draws of the error of the law itself in one measure: thinning, and laying over.

        Two inks are promised no more than own patches of two have held.
        """
        terms, palette = (term[:, patch] for term in self.laws[stage]), self.table.palette
        sd = float(law.sd(*terms))
        if len(inks_of(self.layers[patch][:stage], self.table)) > 1:
            checked = {"value": palette.checked_value, "colour": palette.checked_de00}
            sd = max(sd, checked.get(measure, 0.0))
        return sd * drawn(("law", measure), self.draws, self.seed)

    def causes(self, stage: int, patch: int) -> tuple[Cause, ...]:
        """What each doubt does to the value, the greatest first; those that do nothing left out."""
        values = self.values[stage][:, patch]
        ends = values[1 + 2 * len(self.washes) : self.singles].reshape(-1, 2) - values[0]
        return _causes(self.doubts, ends)

    def band(self, stage: int, patch: int = 0) -> Band:
        """The value of a patch after so many layers, with its band."""
        values = self.values[stage][:, patch]
        low, high = _ends(values[self.singles :] + self.law_draws(LAW_VALUE, "value", stage, patch))
        layers = self.layers[patch][:stage]
        return _band(self.table, layers, self.causes(stage, patch), low, float(values[0]), high)

    def trusted(self, stage: int, patch: int = 0) -> Trusted:
        """The colour of a patch after so many layers, and how far to trust it."""
        labs = lab_from_xyz(self.seen[0][stage][:, patch], self.table.light.white_xyz)
        off = self.law_draws(LAW_DE00, "colour", stage, patch)
        off = np.hypot(delta_e_2000(labs[self.singles :], labs[0]), off)
        chroma = np.hypot(labs[:, 1], labs[:, 2])
        moved = chroma[self.singles :] + self.law_draws(LAW_CHROMA, "chroma", stage, patch)
        low, high = _ends(np.maximum(moved, 0.0))
        best = float(chroma[0])
        lab = float(labs[0, 0]), float(labs[0, 1]), float(labs[0, 2])
        return Trusted(
            self.band(stage, patch),
            lab,
            _quantile(off, LEVEL),
            (min(low, best), best, max(best, high)),
            self.causes(stage, patch),
        )


def _holds_ink(layer: Layer) -> bool:
    """Whether it is a wash that brings ink."""
    return isinstance(layer, Laid) and bool(layer.mix.ink_ml) and layer.share > 0.0


def _share(part: Array, whole: Array) -> Array:
    """Part of a whole, at most 1; 0 of nothing."""
    found: Array = np.divide(part, whole, out=np.zeros_like(part), where=whole > 0.0)
    return np.minimum(found, 1.0)


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
    """Factors of e between the strength of a wash and the nearest that is known of its inks.

    Of a measured ink a whole strip is known, of others what is in the bottle.
    """
    assert isinstance(layer, Laid)
    paper = table.paper
    film = paper.film_ml_per_m2 if layer.film_ml_per_m2 is None else layer.film_ml_per_m2
    q = layer.mix.strength * layer.coats * max(layer.share, 1e-3) * film / paper.film_ml_per_m2
    weakest, strongest = STRIP
    if any(table.palette.inks[name].how != "measured" for name in layer.mix.ink_ml):
        weakest = strongest
    # water alone is thinned by no ink, and so not beyond what was measured
    return abs(math.log(q / min(max(q, weakest), strongest))) if q > 0 else 0.0


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
