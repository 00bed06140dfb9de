"""What the boundary means for the painter: which hues go dull, and which bottle would help."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from glaze.materials.colour_words import family_words
from glaze.materials.dye import Dye, load_dyes
from glaze.materials.ink import Ink
from glaze.materials.munsell import FAMILIES
from glaze.patch.table import Table, table_of
from glaze.patch.washes import hued_inks, lay_shares
from glaze.planning.bottles.gamut import SECTORS, Gamut, cloud_of, mixtures, reach_of

Array = NDArray[np.float64]

DULL = 0.6
"""A family counts as dull below this share of the median of the neat bottles' chroma (guess)."""
SEEN_CHROMA = 3.0
"""Munsell chroma from which a dark colour plainly has a hue (guess)."""
PALEST = 0.2
"""Neat coats below which a wash isn't tried as the most vivid one."""
RESISTS_L_PER_MOL_S = 1e-3
"""Below this rate a touch of minutes takes hardly anything: 0.1 mol/L for 100 s is 1 %."""


@dataclass(frozen=True)
class Bottle:
    """A bottle that would add to a palette.

    name : the dye in it. words : its colour neat. family : of Munsell hue that it helps most;
    before, after : chroma there. gain : growth of the area of the hue and chroma plane [-].
    resists : whether bleach hardly takes it.
    """

    name: str
    words: str
    family: str
    before: float
    after: float
    gain: float
    resists: bool


def family_reach(plane: Array) -> dict[str, float]:
    """Largest chroma at the middle of each family of Munsell hue (5R, 5YR ...).

    `plane`: Munsell chroma [-] by sector of hue, shape (sectors,).
    """
    per_family = SECTORS // 10
    middles = [plane[k * per_family + per_family // 2] for k in range(10)]
    return dict(zip(FAMILIES, map(float, middles), strict=True))


def dull_families(gamut: Gamut) -> list[str]:
    """Families that this palette reaches only dully."""
    inks = [gamut.table.palette.inks[name] for name in gamut.inks]
    neat = [patch.chroma for patch in hued_inks(gamut.table, inks).values()]
    limit = DULL * float(np.median(neat))
    return [family for family, chroma in family_reach(gamut.mixes.plane).items() if chroma < limit]


def told_of(gamut: Gamut, lift: bool = True) -> list[str]:
    """The boundary in sentences; for a gamut in Munsell.

    lift : also what a touch of bleach leaves
    """
    reach = family_reach(gamut.mixes.plane)
    best = max(reach, key=reach.__getitem__)
    dull = dull_families(gamut)
    told = [
        f"{', '.join(gamut.inks)} reach furthest in {family_words()[best]}: chroma "
        f"{reach[best]:.0f} at 5{best}."
    ]
    if dull:
        parts = [f"{family_words()[f]} (5{f}, chroma {reach[f]:.0f})" for f in dull]
        told.append(f"Mixes go dull in {_and(parts)}: no drops of these bottles make them bright.")
    else:
        told.append("No hue goes dull: every family reaches six tenths of the bottles' own chroma.")
    at_4 = (reach.slices[:, 2 * 4] for reach in (gamut.mixes, gamut.shadowed))
    alone, under = (int((chroma >= SEEN_CHROMA).sum()) for chroma in at_4)
    told.append(
        f"At value 4 mixes alone keep a hue (chroma {SEEN_CHROMA:g}) in {alone} of ten families; "
        f"shadow washes of {gamut.black} bring it to {under}."
    )
    if not lift:
        return told
    kept = family_reach(gamut.lifted.plane)
    stays = max(kept, key=kept.__getitem__)
    told.append(
        f"After a touch of bleach, {gamut.bleach_words}, at most chroma {kept[stays]:.0f} is left, "
        f"in {family_words()[stays]}."
    )
    return told


def _and(parts: Sequence[str]) -> str:
    return parts[0] if len(parts) == 1 else f"{', '.join(parts[:-1])} and {parts[-1]}"


# --- one bottle more ---


def bottles_that_add(gamut: Gamut, count: int = 3) -> list[Bottle]:
    """The fourth, fifth and sixth bottle of one dye each that widen the plane most, in turn.

    The gamut has to be one in Munsell. Candidates are the dyes of the table, each as strong a
    bottle as the palette's own, and tried in mixes with each of the others; the one that adds
    most area of hue and chroma is taken.
    """
    table, names = with_single_dyes(gamut)
    have = list(gamut.inks)
    found: list[Bottle] = []
    plane = gamut.mixes.plane
    for _ in range(count):
        tried = {name: np.maximum(plane, _plane(table, name, have)) for name in names}
        best = max(tried, key=lambda name: float((tried[name] ** 2).sum()))
        gain = float((tried[best] ** 2).sum() / (plane**2).sum()) - 1
        if gain < 0.01:
            break
        found.append(_bottle(table, best, plane, tried[best], gain))
        plane, have = tried[best], [*have, best]
        names.remove(best)
    return found


def _bottle(table: Table, name: str, before: Array, after: Array, gain: float) -> Bottle:
    old, new = family_reach(before), family_reach(after)
    family = max(FAMILIES, key=lambda f: new[f] - old[f])
    resists = load_dyes()[name].bleach.k_ocl_l_per_mol_s < RESISTS_L_PER_MOL_S
    words = hued_inks(table, [table.palette.inks[name]])[name].words
    return Bottle(name, words, family, old[family], new[family], gain, resists)


def bottles_told(bottles: Sequence[Bottle], lift: bool = True) -> list[str]:
    """The bottles in sentences; with `lift` also those that bleach hardly takes."""
    if not bottles:
        return ["No bottle of one dye would widen this palette by more than a hundredth."]
    ranks = ("fourth", "fifth", "sixth", "seventh")
    told = []
    for rank, bottle in zip(ranks, bottles, strict=False):
        bleach = "; bleach hardly takes it" if lift and bottle.resists else ""
        told.append(
            f"A {rank} colour, {bottle.words} ({bottle.name}), takes "
            f"{family_words()[bottle.family]} from chroma {bottle.before:.0f} to "
            f"{bottle.after:.0f}, {100 * bottle.gain:.0f} % more of the plane{bleach}."
        )
    return [
        *told,
        "Each is as strong as the palette's own bottles and mixed with one other at a time.",
    ]


def with_single_dyes(gamut: Gamut) -> tuple[Table, list[str]]:
    """A table with a bottle of each single dye, as strong as the palette's own, and their names."""
    own = gamut.table.palette
    strength = _mean_strength(gamut)
    made: dict[str, Ink] = dict(own.inks)
    names = []
    taken = {tuple(ink.contents_g_per_l) for ink in own.inks.values()}
    for dye in load_dyes().values():
        if dye.kind != "dye" or (dye.name,) in taken:
            continue
        made[dye.name] = Ink(dye.name, "?", {dye.name: strength / dye.mean_absorptivity_l_per_g_cm})
        names.append(dye.name)
    dyes: Mapping[str, Dye] = MappingProxyType({**load_dyes(), **own.dyes})
    palette = replace(own, inks=MappingProxyType(made), dyes=dyes)
    table = table_of(palette, gamut.table.paper, gamut.table.light)
    return table, [n for n in names if n in hued_inks(table, [made[m] for m in names])]


def _mean_strength(gamut: Gamut) -> float:
    """Mean absorption of the palette's bottles: grams a litre times mean absorptivity."""
    palette = gamut.table.palette
    sums = [
        sum(
            g * palette.dyes[d].mean_absorptivity_l_per_g_cm
            for d, g in ink.contents_g_per_l.items()
        )
        for ink in (palette.inks[name] for name in gamut.inks)
    ]
    return float(np.mean(sums))


def _plane(table: Table, new: str, others: Sequence[str]) -> Array:
    """Boundary in hue and chroma of a new bottle mixed with each of the others."""
    inks = [table.palette.inks[name] for name in (new, *others)]
    pairs = mixtures(2)
    # pale washes are never the most vivid
    pairs = pairs[pairs.sum(axis=1) >= PALEST]
    shares = np.zeros((len(pairs) * len(others), len(inks)))
    for k in range(len(others)):
        rows = slice(k * len(pairs), (k + 1) * len(pairs))
        shares[rows, 0], shares[rows, k + 1] = pairs.T
    sheet = lay_shares(table, inks, shares)
    return reach_of("mixes", cloud_of(table, sheet, "munsell")).plane


def compared(one: Gamut, other: Gamut) -> list[str]:
    """Where two palettes differ in reach, in sentences."""
    mine, theirs = (family_reach(g.mixes.plane) for g in (one, other))
    told = []
    for gamut, far, near in ((one, mine, theirs), (other, theirs, mine)):
        more = [f for f in FAMILIES if far[f] - near[f] >= 1.0]
        if more:
            parts = [f"{family_words()[f]} ({far[f]:.0f} against {near[f]:.0f})" for f in more]
            told.append(f"{gamut.table.palette.name} reaches further in {_and(parts)}.")
    return told or ["Both reach alike to within one step of chroma."]
