"""What a palette reaches on a paper: hue, chroma and value, plain, under shadow washes, lifted.

A few thousand mixes, thinned and shadowed, are worked out, and the largest chroma is kept for
each sector of hue and each step of value. All colours between a reached one and grey can be had
as well (with water, black or the opposite hue), so the largest chroma is the whole boundary.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from copy import deepcopy
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError, unknown
from glaze.materials.ink import Ink
from glaze.materials.mix import diluted
from glaze.materials.munsell import munsell_from_xyz
from glaze.materials.parts_told import parts_of, parts_words
from glaze.patch.patches import bleach_patches, glaze, linear_rgb, xyz
from glaze.patch.seen import Colour, rgb8_of
from glaze.patch.table import Table
from glaze.patch.washes import hued_inks, lay_shares, shadow_ink
from glaze.physics.colour import lab_from_xyz
from glaze.sheet.lift import Touches
from glaze.sheet.state import Sheet

Array = NDArray[np.float64]

PAIR_DROPS, TRIPLE_DROPS = 24, 8
STRENGTHS = (2.0, 1.4, 1.0, 0.7, 0.5, 0.35, 0.25, 0.17, 0.12, 0.08, 0.05, 0.03)
"""Neat coats of a wash: two coats down to 1 part + 32 parts water."""
SHADOWS = (0.0, 0.005, 0.01, 0.02, 0.035, 0.06, 0.1, 0.17, 0.3, 0.5, 1.0)
"""Strength of the shadow wash over it; the weakest matter most over yellow."""
ENDS = tuple(float(1 / n) for n in (400, 270, 180, 120, 80, 55, 36))
"""Shares of a strong ink that already turn the hue of a weak one."""
SPACES = ("munsell", "cielab")
SECTORS = 40
STEPS = 20


@dataclass(frozen=True, eq=False)
class Cloud:
    """Colours that were worked out, one entry each.

    hue : turns, 0 to 1 (Munsell hue over 100, or CIELAB angle over 360). lightness : Munsell
    value or L*/10. chroma : Munsell chroma or C*ab. rgb8 : shape (colours, 3).
    """

    hue: Array
    lightness: Array
    chroma: Array
    rgb8: NDArray[np.uint8]


@dataclass(frozen=True, eq=False)
class GamutReach:
    """The boundary of a cloud.

    plane : largest chroma of each of 40 sectors of hue; colours : of the patch that has it.
    slices : largest chroma by ten families of hue and twenty steps of lightness, shape (10, 20);
    0 where nothing lies. chips : colour of the patch that has it, shape (10, 20, 3).
    """

    name: str
    plane: Array
    colours: tuple[Colour, ...]
    slices: Array
    chips: NDArray[np.uint8]


@dataclass(frozen=True, eq=False)
class Gamut:
    """What a palette reaches, in one space: mixes alone, with shadow washes, and what is lifted."""

    table: Table
    space: str
    mixes: GamutReach
    shadowed: GamutReach
    lifted: GamutReach
    inks: tuple[str, ...]
    black: str
    bleach_words: str


def plan_gamut(table: Table, space: str = "munsell", inks: Sequence[str] | None = None) -> Gamut:
    """What the bottles of a palette reach on its paper, in one space; see `plan_gamuts`."""
    return plan_gamuts(table, (space,), inks)[0]


def plan_gamuts(
    table: Table,
    spaces: Sequence[str] = SPACES,
    inks: Sequence[str] | None = None,
    bleach: str = "1+4",
) -> list[Gamut]:
    """What the bottles of a palette reach on its paper, in each space.

    Parameters
    ----------
    spaces : of "munsell" and "cielab"
    inks : bottles to mix from, the palette's own if None; greys among them only shadow
    bleach : dilution of the touch
    """
    wrong = [unknown("colour space", space, SPACES) for space in spaces if space not in SPACES]
    if wrong:
        raise InputError(wrong)
    hued, black = _bottles(table, inks)
    plain = lay_shares(table, hued, mixtures(len(hued)))
    whole = under_shadows(table, plain, black)
    lifted = deepcopy(whole)
    bleach_patches(table, lifted, Touches(parts_water=parts_of(bleach, "--bleach")))
    sheets = (("mixes", plain), ("with shadow washes", whole), ("after a touch of bleach", lifted))
    names = tuple(ink.name for ink in hued)
    found = []
    for space in spaces:
        mixes, shadowed, left = (
            reach_of(name, cloud_of(table, sheet, space)) for name, sheet in sheets
        )
        words = parts_words(parts_of(bleach))
        found.append(Gamut(table, space, mixes, shadowed, left, names, black, words))
    return found


def _bottles(table: Table, inks: Sequence[str] | None) -> tuple[list[Ink], str]:
    """The bottles with a hue, and the one that shadows."""
    chosen = [table.palette.ink(n) for n in inks] if inks else list(table.palette.bottles)
    with_hue = hued_inks(table, chosen)
    hued = [ink for ink in chosen if ink.name in with_hue]
    if len(hued) < 2:
        told = ", ".join(ink.name for ink in hued) or "none"
        raise InputError(
            f"A gamut needs two inks with a hue of their own; here: {told}. Name more bottles."
        )
    return hued, next((i.name for i in chosen if i not in hued), shadow_ink(table))


def mixtures(inks: int, together: int = 3) -> Array:
    """Shares of up to so many inks at a time in all strengths, shape (mixes, inks).

    Sums above 1 are more than one coat.

    Shares are [-] of a neat coat.
    """
    rows = {tuple(row) for row in np.eye(inks)}
    for drops, size in ((PAIR_DROPS, 2), (TRIPLE_DROPS, 3)):
        for chosen in itertools.combinations(range(inks), min(size, together, inks)):
            for counts in _counts(drops, len(chosen)):
                row = np.zeros(inks)
                row[list(chosen)] = np.array(counts) / drops
                rows.add(tuple(row))
    for first, second in itertools.permutations(range(inks), 2):
        for share in ENDS:
            row = np.zeros(inks)
            row[first], row[second] = 1 - share, share
            rows.add(tuple(row))
    shares = np.array(sorted(rows))
    return np.concatenate([strength * shares for strength in STRENGTHS])


def _counts(drops: int, inks: int) -> list[tuple[int, ...]]:
    """All ways to share drops between inks, in whole drops."""
    every = itertools.product(range(drops + 1), repeat=inks)
    return [counts for counts in every if sum(counts) == drops]


def under_shadows(table: Table, plain: Sheet, black: str) -> Sheet:
    """All patches of a sheet under each of the shadow washes, side by side."""
    ink = table.mix(f"{black} 1")
    sheets = []
    for strength in SHADOWS:
        sheet = deepcopy(plain)
        if strength > 0:
            glaze(table, sheet, diluted(ink, 1 / strength - 1))
        sheets.append(sheet)
    fields = ("load_g_per_m2", "optical_g_per_m2", "coats", "bleached", "residue_mol_per_m2")
    return Sheet(*(np.concatenate([getattr(s, f) for s in sheets], axis=1) for f in fields))


def cloud_of(table: Table, sheet: Sheet, space: str) -> Cloud:
    """The colours of a sheet in a space."""
    seen, white = xyz(table, sheet)[0], table.light.white_xyz
    rgb8 = rgb8_of(linear_rgb(table, sheet)[0])
    if space == "munsell":
        found = munsell_from_xyz(seen, white)
        return Cloud(found.hue / 100.0 % 1.0, found.value, found.chroma, rgb8)
    L, a, b = lab_from_xyz(seen, white).T
    return Cloud(np.arctan2(b, a) / (2 * np.pi) % 1.0, L / 10.0, np.hypot(a, b), rgb8)


def reach_of(name: str, cloud: Cloud) -> GamutReach:
    """The boundary of a cloud."""
    sector = np.floor(cloud.hue * SECTORS + 0.5).astype(int) % SECTORS
    plane, colours = np.zeros(SECTORS), [(255, 255, 255)] * SECTORS
    for k in range(SECTORS):
        inside = np.flatnonzero(sector == k)
        if inside.size:
            best = inside[cloud.chroma[inside].argmax()]
            plane[k] = cloud.chroma[best]
            r, g, b = (int(v) for v in cloud.rgb8[best])
            colours[k] = (r, g, b)
    family, level = places_of(cloud)
    slices, chips = np.zeros((10, STEPS)), np.full((10, STEPS, 3), 255, np.uint8)
    rising = np.argsort(cloud.chroma)
    # of equal places the last one written stays: the one of largest chroma
    slices[family[rising], level[rising]] = cloud.chroma[rising]
    chips[family[rising], level[rising]] = cloud.rgb8[rising]
    return GamutReach(name, plane, tuple(colours), closed(slices), chips)


def places_of(cloud: Cloud) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Family of hue and step of lightness of each colour: whole numbers from 0 [-].

    Two arrays of shape (colours,).
    """
    # families of Munsell are centred on 5, 15, ... of a hundred; sectors of CIELAB on 18, 54, ...
    family = np.floor(cloud.hue * 10).astype(int) % 10
    return family, np.clip((cloud.lightness / 10 * STEPS).astype(int), 0, STEPS - 1)


def closed(slices: Array) -> Array:
    """Dips one step wide filled: a mix between those of the steps beside it lies there.

    Largest chroma [-] by step of lightness on the last axis, of any shape.
    """
    beside = np.minimum(slices[..., :-2], slices[..., 2:])
    slices = slices.copy()
    slices[..., 1:-1] = np.maximum(slices[..., 1:-1], beside)
    return slices


def area(reach: GamutReach) -> float:
    """Area of the hue and chroma plane that is reached [chroma squared]."""
    return float(np.pi / SECTORS * (reach.plane**2).sum())
