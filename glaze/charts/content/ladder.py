"""Ladders: one wash in rungs of falling strength, a shadow wash over a hue, coat upon coat."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glaze.charts.content.primaries import order_primaries
from glaze.errors import InputError, unknown
from glaze.materials.dilution import dilution_of
from glaze.materials.mix import Mix, diluted
from glaze.patch.band import Band
from glaze.patch.layers import Laid
from glaze.patch.patches import bare_patches, glaze
from glaze.patch.seen import Look, looks_of
from glaze.patch.table import Table
from glaze.patch.trust import trusted
from glaze.patch.washes import lay_first, named, refuse_water, shadow_ink
from glaze.planning.recipe.rungs import doubling_parts, even_parts

Array = NDArray[np.float64]

SPACINGS = ("doubling", "even")
FEWEST_RUNGS, MOST_RUNGS = 2, 12
MOST_COATS = 8


@dataclass(frozen=True)
class Rung:
    """One swatch of a ladder.

    words : strength in full, as "1 part + 4 parts water", or "3 coats", or "paper".
    recipe : whole drops to mix. band : of its value.
    """

    words: str
    recipe: str
    patch: Look
    band: Band


@dataclass(frozen=True)
class Ladder:
    """A row of rungs.

    title : what is laid. note : what to see in it. inks : bottles it needs.
    """

    title: str
    note: str
    rungs: tuple[Rung, ...]
    inks: tuple[str, ...]


def dilution_ladder(table: Table, recipe: str, rungs: int = 6, spacing: str = "doubling") -> Ladder:
    """An ink or mix from neat downward: each rung half the strength, or even steps of value.

    A doubling ladder is neat, 1+1, 1+2, 1+4 ...; an even one goes from neat to bare paper.
    """
    mix = _checked(table, recipe, rungs, spacing)
    if spacing == "doubling":
        parts = doubling_parts(rungs)
        note = "Each rung has twice the water of the last; the steps of value aren't even."
    else:
        parts = even_parts(table, mix, bare_patches(table), rungs)
        note = "Even steps of value from neat to bare paper."
    patches = looks_of(table, lay_first(table, [_wash(mix, n) for n in parts]))
    made = tuple(_rung(table, mix, n, patch) for n, patch in zip(parts, patches, strict=True))
    return Ladder(named(recipe), note, made, tuple(mix.ink_ml))


def shadow_ladder(
    table: Table, hue: str, rungs: int = 6, spacing: str = "doubling", shadow: str = "Black"
) -> Ladder:
    """A hue alone, then under shadow washes of growing strength.

    Doubling: ..., 1+8, 1+4, 1+2, 1+1; even: equal drops of value down to the neat shadow ink.
    """
    black = _checked(table, f"{table.palette.ink(shadow).name} 1", rungs, spacing)
    below = table.mix(hue)
    refuse_water(table, below, hue)
    if spacing == "doubling":
        parts = [np.inf, *doubling_parts(rungs)[1:][::-1]]
    else:
        under = lay_first(table, [below])
        parts = even_parts(table, black, under, rungs)[::-1]
    sheet = lay_first(table, [below] * rungs)
    patches = looks_of(table, glaze(table, sheet, [_wash(black, n) for n in parts]))
    hue_band = trusted(table, [Laid(below)]).band
    made = [Rung("the hue alone", below.recipe.text, patches[0], hue_band)]
    made += [
        _rung(table, black, n, p, [Laid(below)])
        for n, p in zip(parts[1:], patches[1:], strict=True)
    ]
    darker = patches[0].value - patches[-1].value
    note = f"From value {patches[0].value:.1f} down to {patches[-1].value:.1f}: {darker:.1f} steps."
    title = f"{shadow} over {named(hue)}"
    return Ladder(title, note, tuple(made), (*below.ink_ml, *black.ink_ml))


def glaze_ladder(table: Table, recipe: str, coats: int = 5) -> Ladder:
    """The same wash laid one to so many times, each coat on the dry last one."""
    if not 1 <= coats <= MOST_COATS:
        raise InputError(f"{coats} coats: a glaze ladder has 1 to {MOST_COATS}.")
    mix = table.mix(recipe)
    refuse_water(table, mix, recipe)
    made = []
    sheet = bare_patches(table)
    for number in range(1, coats + 1):
        (patch,) = looks_of(table, glaze(table, sheet, mix))
        words = f"{number} coat{'s' if number > 1 else ''}"
        band = trusted(table, [Laid(mix)] * number).band
        made.append(Rung(words, recipe if number == 1 else "", patch, band))
    drops = [a.patch.value - b.patch.value for a, b in itertools.pairwise(made)]
    note = "Each coat on the dry last one."
    if drops:
        note += f" The second darkens by {drops[0]:.1f}, the last by {drops[-1]:.1f}."
    return Ladder(f"{recipe}, coat upon coat", note, tuple(made), tuple(mix.ink_ml))


def _checked(table: Table, recipe: str, rungs: int, spacing: str) -> Mix:
    """The mix of a ladder, once its wishes are found to be possible."""
    if spacing not in SPACINGS:
        raise InputError(unknown("spacing of rungs", spacing, SPACINGS))
    if not FEWEST_RUNGS <= rungs <= MOST_RUNGS:
        raise InputError(f"{rungs} rungs: a ladder has {FEWEST_RUNGS} to {MOST_RUNGS}.")
    mix = table.mix(recipe)
    refuse_water(table, mix, recipe)
    return mix


def _wash(mix: Mix, parts: float) -> Mix:
    """The mix diluted; water alone for infinite parts (as good as that: 1 + a million)."""
    return diluted(mix, min(parts, 1e6))


def _rung(table: Table, mix: Mix, parts: float, patch: Look, below: Sequence[Laid] = ()) -> Rung:
    if np.isinf(parts):
        return Rung("paper", "", patch, trusted(table, below).band)
    band = trusted(table, [*below, Laid(_wash(mix, parts))]).band
    dilution = dilution_of(mix, parts)
    return Rung(dilution.words, dilution.text, patch, band)


def usual_ladders(table: Table) -> list[Ladder]:
    """The ladders of a lesson: the black two ways, shadows over three hues, coat upon coat."""
    black = shadow_ink(table)
    ladders = [
        dilution_ladder(table, f"{black} 1", 6),
        dilution_ladder(table, f"{black} 1", 6, "even"),
    ]
    first, second, third = order_primaries(table)
    hues = (f"{first} 1", f"{first} 3 + {second} 3", f"{second} 3 + {third} 3")
    ladders += [shadow_ladder(table, hue, 6, shadow=black) for hue in hues]
    return [*ladders, glaze_ladder(table, f"{black} 3 + water 14", 5)]
