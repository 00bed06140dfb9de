"""Where the bottles' doubt leaves a rough's steps unsure, and which strips would settle most."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.errors import percent
from glaze.patch.layers import Layer
from glaze.patch.table import Table
from glaze.patch.trust import bands_of
from glaze.planning.rough.draft import Stack
from glaze.planning.rough.highlights import stack_layers
from glaze.planning.rough.propose import Proposal

Array = NDArray[np.float64]

STRIP_FACTOR = 1.2
"""What a strip leaves open of a bottle's strength, times or divided by (docs/calibrate.md)."""
STRIPS = 2
HALF_STEP = 0.5
DRAWS = 100
MOST_STACKS = 200
SETTLES = 0.02


@dataclass(frozen=True, eq=False)
class Unsure:
    """What the bottles' doubt does.

    share : of what is painted where the value isn't sure to half a step
    half_steps : mean half width of the band, by area [value steps]
    half_of : half width of each piece's band [value steps], NaN where nothing is laid, (pieces,)
    strips : bottles whose strips settle most together, the one that settles most first
    settled_steps : what the mean half width would be with them [value steps]
    """

    share: float
    half_steps: float
    half_of: Array
    strips: tuple[str, ...]
    settled_steps: float

    @property
    def how_sure(self) -> str:
        """In a sentence."""
        return (
            f"The values are sure to about {self.half_steps:.1f} steps either way; on "
            f"{percent(self.share)} of what is painted that is more than half a step."
        )

    @property
    def text(self) -> str:
        """In a sentence or two, with the strips to paint first."""
        told = self.how_sure
        if not self.strips:
            return told
        strips = "a dilution strip" if len(self.strips) == 1 else "dilution strips"
        return (
            f"{told} Paint {strips} of {' and '.join(self.strips)} first: with that known it would "
            f"be {self.settled_steps:.1f} steps."
        )

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "share_unsure": round(self.share, 3),
            "half_width_steps": round(self.half_steps, 2),
            "strips_first": list(self.strips),
            "half_width_steps_with_strips": round(self.settled_steps, 2),
            "text": self.text,
        }


def unsure(found: Proposal) -> Unsure:
    """Where the bottles' doubt leaves the rough unsure, and whose strips would settle most."""
    stacks, wanted = found.draft.stacks, found.easel.wanted
    half_of = np.full(len(stacks), np.nan)
    alike: dict[tuple[int, Stack], list[int]] = {}
    for n, stack in enumerate(stacks):
        if stack:
            alike.setdefault((found.easel.ground(n), stack), []).append(n)
    some = sorted(alike.values(), key=lambda of: -wanted.share[of].sum())[:MOST_STACKS]
    if not some:
        return Unsure(0.0, 0.0, half_of, (), 0.0)
    weight = np.array([wanted.share[of].sum() for of in some])
    layers = [stack_layers(found.easel, found.draft, stacks[of[0]], of[0]) for of in some]
    table = found.painting.table
    halves = half_widths(table, layers)
    for of, half in zip(some, halves, strict=True):
        half_of[of] = half
    now = float(np.average(halves, weights=weight))
    strips, then = _best_strips(table, layers, weight, now)
    share = float(weight @ (halves > HALF_STEP) / weight.sum())
    return Unsure(share, now, half_of, strips, then)


def half_widths(table: Table, stacks: Sequence[Sequence[Layer]]) -> Array:
    """Half widths of the bands of some patches' values, shape (patches,) [value steps]."""
    return np.array([last.half_width for (last,) in bands_of(table, stacks, draws=DRAWS)])


def with_strips(table: Table, names: Sequence[str]) -> Table:
    """The table with the strength of some bottles known as a strip tells it."""
    palette = table.palette
    inks = {
        name: replace(ink, strength_factor=min(ink.strength_factor, STRIP_FACTOR))
        if name in names
        else ink
        for name, ink in palette.inks.items()
    }
    return replace(table, palette=replace(palette, inks=inks))


def _best_strips(
    table: Table, layers: Sequence[Sequence[Layer]], weight: Array, now: float
) -> tuple[tuple[str, ...], float]:
    """The strips that leave least open together, and what that is; none where none settles any.

    Every one and every pair is tried: what two bottles leave open doesn't add up.
    """
    names = [name for name, ink in table.palette.inks.items() if ink.strength_factor > STRIP_FACTOR]
    left = {
        some: float(np.average(half_widths(with_strips(table, some), layers), weights=weight))
        for count in range(1, STRIPS + 1)
        for some in combinations(names, count)
    }
    if not left:
        return (), now
    best = min(left, key=lambda some: left[some])
    alone = sorted((left[name,], name) for name in best)
    # a second strip that settles next to nothing is left out
    if len(best) > 1 and alone[0][0] - left[best] < SETTLES * now:
        best = (alone[0][1],)
    if now - left[best] < SETTLES * now:
        return (), now
    return tuple(name for _, name in alone if name in best), left[best]
