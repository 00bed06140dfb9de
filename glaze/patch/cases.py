"""Patches laid in all cases that a band is made of: as they are, each figure moved, and the draws.

The draws of a figure depend on nothing but the figure, so a patch has the same band wherever it is
asked for, alone or among thousands (docs/decisions/007-value-bands.md).
"""

from __future__ import annotations

import math
import zlib
from dataclasses import dataclass
from functools import cache, cached_property
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.patch.engine import Figures, Stacks
from glaze.patch.layers import Doubt, Key, Laid, Layer, doubts_of
from glaze.patch.table import Table
from glaze.physics.colour import lab_from_xyz, munsell_value
from glaze.physics.uncertainty import log_sd, meeting, shown

Array = NDArray[np.float64]

NUDGE = 0.2
"""By how much, as a logarithm, the dye of a wash is moved to see how the value hangs on it."""
DRAWS, SEED = 400, 1
"""400 draws, one of each 400th of a figure's odds, place the ends within about a tenth of the half
width (docs/decisions/007-value-bands.md)."""


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
class Cases:
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
        """XYZ [-] in all cases at each stage, shape (cases, patches, 3).

        And after every layer, as it is and with each wash's dye nudged, shape (layers + 1, 1 + 2
        washes, patches, 3).
        """
        figures, stacks, nudged = self.figures(), self.stacks, 1 + 2 * len(self.washes)
        found, plain = {}, []
        for stage, sheet in enumerate(stacks.after_each(figures)):
            if stage in self.stages:
                found[stage] = stacks.xyz(sheet, figures)
                plain.append(found[stage][:nudged])
            else:
                some = sheet.each(lambda field: field[:nudged])
                plain.append(stacks.xyz(some))
        return found, np.array(plain)

    @cached_property
    def values(self) -> dict[int, Array]:
        """Munsell value at each stage, shape (cases, patches), [value steps]."""
        return {n: np.asarray(munsell_value(xyz[..., 1])) for n, xyz in self.seen[0].items()}

    def shown(self, stage: int, patch: int) -> float:
        """How much of a reading's error a patch can have: 1, less where it hardly shows."""
        lab = lab_from_xyz(self.seen[0][stage][0, patch], self.seen[1][0, 0, patch])
        return float(shown(lab))

    @cached_property
    def held(self) -> NDArray[np.bool_]:
        """Whether each wash brings ink on each patch [-], shape (washes, patches)."""
        found = [[_holds_ink(layers[n]) for layers in self.layers] for n in self.washes]
        return np.array(found, dtype=bool).reshape(len(self.washes), len(self.layers))

    @cached_property
    def thinned(self) -> Array:
        """Factors of e from a wash to what is known of its inks [-], shape (washes, patches)."""
        found = np.zeros(self.held.shape)
        for i, patch in np.argwhere(self.held):
            found[i, patch] = _thinned(self.layers[patch][self.washes[i]], self.table)
        return found

    @cached_property
    def alone(self) -> Array:
        """XYZ of each wash alone on the paper, its dye nudged down, as it is, and nudged up.

        Shape (washes, 3, patches, 3), [-].
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
        """`meeting` of each wash and what lies below it [-], shape (washes, patches) each."""
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
        """Share of each wash and of those below that lifts have left [-], shape (washes, patches).

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
        """What a `LawError` takes, at each stage: thinned, overlaid, apart [-].

        Each of shape (washes, patches).

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


def _holds_ink(layer: Layer) -> bool:
    """Whether it is a wash that brings ink."""
    return isinstance(layer, Laid) and bool(layer.mix.ink_ml) and layer.share > 0.0


def _share(part: Array, whole: Array) -> Array:
    """Part of a whole, at most 1; 0 of nothing."""
    found: Array = np.divide(part, whole, out=np.zeros_like(part), where=whole > 0.0)
    return np.minimum(found, 1.0)


def _thinned(layer: Layer, table: Table) -> float:
    """Factors of e between the strength of a wash and the nearest that is known of its inks.

    Of a measured ink a whole strip is known, of others what is in the bottle.
    """
    assert isinstance(layer, Laid)
    paper = table.paper
    film = paper.film_ml_per_m2 if layer.film_ml_per_m2 is None else layer.film_ml_per_m2
    q = layer.mix.strength * layer.coats * max(layer.share, 1e-3) * film / paper.film_ml_per_m2
    weakest, strongest = table.palette.checked.weakest, 1.0
    if any(table.palette.inks[name].how != "measured" for name in layer.mix.ink_ml):
        weakest = strongest
    # water alone is thinned by no ink, and so not beyond what was measured
    return abs(math.log(q / min(max(q, weakest), strongest))) if q > 0 else 0.0
