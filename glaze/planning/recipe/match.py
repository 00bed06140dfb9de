"""Which drops make a colour: every proportion of the inks is tried, then thinned to fit.

Proportions and strength are looked for apart: first all ways to count out the inks, each at its
best strength from two coats to 1 part + 60 parts water; then the one counter says how that strength
is measured out.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.materials.dilution import Dilution, dilution_of
from glaze.materials.ink import Ink
from glaze.materials.mix import Mix, mix_recipe
from glaze.materials.parts_told import parts_words
from glaze.materials.recipe import Recipe
from glaze.patch.band import Band
from glaze.patch.layers import Laid
from glaze.patch.seen import Colour, chip_of
from glaze.patch.table import Table
from glaze.patch.trust import trusted
from glaze.physics.colour import delta_e_2000, rgb_from_xyz
from glaze.planning.recipe.coats import in_coats
from glaze.planning.recipe.drops import Counts, amounts_of, worth_having
from glaze.planning.recipe.nearness import FAR_DE00, hue_first
from glaze.planning.recipe.strengths import (
    Score,
    Strengths,
    best_strengths,
    predicted_lab,
    proportions,
)
from glaze.planning.recipe.verdict import REACHED_DE00, verdict
from glaze.planning.recipe.wanted import Wanted, wanted_colour, wanted_lab

Array = NDArray[np.float64]

DROPS = (6, 12, 20)
THICKEST = 2.0
WORTH_A_COAT_DE00 = 1.0
"""A second coat has to come so much nearer to be worth its drying [CIEDE2000]."""


@dataclass(frozen=True)
class Match:
    """Proportions of inks at one strength, and the colour they make on bare paper.

    inks : whole drops of each bottle. dilution : of that, for each of the coats.
    seen : the colour as it would be asked for. de00 : CIEDE2000 from the wanted colour.
    """

    inks: Mix
    dilution: Dilution
    coats: int
    seen: Wanted
    de00: float
    band: Band
    mix: Mix

    @property
    def drops(self) -> int:
        """Drops of ink in its proportions."""
        return int(sum(self.inks.drops.values()))

    @property
    def proportions(self) -> str:
        """The inks without water: "Red 3 + Blue 2"."""
        return self.inks.recipe.text

    @property
    def parts(self) -> str:
        """Strength and coats in words."""
        return parts_words(self.dilution.parts_water, self.coats)

    @property
    def value(self) -> float:
        """Munsell value."""
        return self.seen.value

    @property
    def notation(self) -> str:
        """Munsell notation."""
        return self.seen.notation

    @property
    def lab(self) -> tuple[float, float, float]:
        """CIELAB by daylight."""
        L, a, b = self.seen.lab.tolist()
        return L, a, b

    @property
    def rgb8(self) -> Colour:
        """As a screen shows it, 8-bit sRGB."""
        return chip_of(rgb_from_xyz(np.array(self.seen.xyz)))

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "proportions": self.proportions,
            **self.dilution.as_dict(),
            "coats": self.coats,
            "parts": self.parts,
            "lab": [round(part, 2) for part in self.lab],
            "value": round(self.value, 2),
            "munsell": self.notation,
            "de00": round(self.de00, 2),
            "band": self.band.as_dict(),
        }


@dataclass(frozen=True)
class Answer:
    """What a search found.

    recipes : the best first, then each simpler one that is worth having
    best_within : the best of at most 6, 12 and 20 drops
    tried : how many proportions were looked at
    """

    wanted: Wanted
    recipes: tuple[Match, ...]
    best_within: dict[int, Match]
    reachable: bool
    note: str
    tried: int

    @property
    def best(self) -> Match:
        """The nearest recipe."""
        return self.recipes[0]

    def as_dict(self) -> dict[str, Any]:
        """For JSON, by the command's contract."""
        rows = []
        for match, simpler in itertools.zip_longest(self.recipes, self.recipes[1:]):
            row = match.as_dict()
            if simpler is not None:
                more = round(simpler.de00 - match.de00, 2)
                row["next_simpler"] = {"proportions": simpler.proportions, "de00_more": more}
            rows.append(row)
        return {
            "wanted": {
                "text": self.wanted.text,
                "lab": [round(float(part), 2) for part in self.wanted.lab],
                "value": round(self.wanted.value, 2),
                "munsell": self.wanted.notation,
            },
            "recipes": rows,
            "best_within": {str(n): match.as_dict() for n, match in self.best_within.items()},
            "reachable": self.reachable,
            "note": self.note,
            "tried": self.tried,
        }


def match_colour(
    wanted: Wanted | str,
    table: Table,
    most_drops: int = 12,
    most_inks: int = 3,
    inks: Sequence[str] | None = None,
) -> Answer:
    """The recipes that come nearest to a colour on bare paper, in one wash or in two coats.

    Nearest by CIEDE2000; beyond 10 that no longer says what an eye would take, and the order is
    hue, then value, then chroma (`hue_first`).

    Parameters
    ----------
    wanted : also in words, as "#7a8a3c", "5Y 6/4" or "62,-4,30" (L*, a*, b*)
    most_drops : drops of ink in the proportions, 1 to 40
    most_inks : bottles in one recipe
    inks : names of the bottles allowed, the palette's own if None

    Raises
    ------
    InputError : for a number of drops or inks that can't be mixed, and unknown names
    """
    wanted = wanted_colour(wanted) if isinstance(wanted, str) else wanted
    bottles = _bottles(table, inks)
    counts = proportions(len(bottles), most_drops, most_inks)
    search = _Search(table, bottles, counts, wanted)
    front = worth_having(search.rows, search.off)
    matches = tuple(search.match(n) for n in front)
    within = {}
    for most in sorted({*(d for d in DROPS if d <= most_drops), most_drops}):
        fits = np.flatnonzero(search.rows.sum(axis=1) <= most)
        within[most] = search.match(int(fits[0]))
    best = matches[0]
    note = verdict(wanted, best.lab, best.de00, table)
    return Answer(wanted, matches, within, best.de00 <= REACHED_DE00, note, len(counts))


def mix_or_match(text: str, table: Table) -> tuple[Mix, list[str]]:
    """A mix from its words; or from the name of a colour the nearest mix, and how near it comes."""
    try:
        return table.mix(text), []
    except InputError as error:
        try:
            wanted = wanted_colour(text)
        except InputError:
            raise error from None
    best = match_colour(wanted, table).best
    told = f"{text} is {wanted.notation}; nearest {best.proportions}, {best.parts}"
    return best.mix, [f"{told}, {best.de00:.1f} off (CIEDE2000)."]


class _Search:
    """Proportions at their best strengths, the nearest first.

    rows : proportions, shape (n, inks) [drops]. strength : of each, in neat coats, shape (n,) [-].
    off : how far off each is, shape (n,)
    """

    def __init__(
        self, table: Table, bottles: Sequence[Ink], counts: Counts, wanted: Wanted
    ) -> None:
        self.table, self.bottles, self.counts, self.wanted = table, bottles, counts, wanted

        found = self._in_one_or_two(partial(delta_e_2000, lab_2=wanted.lab))
        if found[2].min() > FAR_DE00:
            found = self._in_one_or_two(partial(hue_first, wanted_lab=wanted.lab))
        rows, strength, off = found
        order = np.lexsort((rows.sum(axis=1), off))
        self.rows, self.strength, self.off = rows[order], strength[order], off[order]

    def _in_one_or_two(self, score: Score) -> Strengths:
        """The proportions at their best in one coat, or up to two where that is worth it."""
        one = best_strengths(self.table, self.bottles, self.counts, {1.0: score})
        if self._de00(one) <= REACHED_DE00:
            return one
        two = best_strengths(self.table, self.bottles, one[0], {1.0: score}, THICKEST)
        return two if self._de00(two) < self._de00(one) - WORTH_A_COAT_DE00 else one

    def _de00(self, found: Strengths) -> float:
        """CIEDE2000 of the best of them."""
        rows, strength, off = found
        best = [int(off.argmin())]
        lab = predicted_lab(self.table, self.bottles, rows[best], strength[best])
        return float(delta_e_2000(lab, self.wanted.lab)[0])

    def match(self, n: int) -> Match:
        """One of them, with its drops, colour and band."""
        strength = float(self.strength[n])
        return match_of(self.table, self.bottles, self.rows[n], strength, self.wanted)


def match_of(
    table: Table, bottles: Sequence[Ink], counts: Counts, strength: float, wanted: Wanted
) -> Match:
    """Whole drops of the bottles, shape (bottles,), at a strength [neat coats], beside a colour."""
    neat = mix_recipe(Recipe(amounts_of(bottles, counts)), table.palette)
    coats, parts = in_coats(strength)
    dilution = dilution_of(neat, parts)
    mix = mix_recipe(_in_one_well(neat, dilution), table.palette)
    lab = predicted_lab(table, bottles, counts[None], np.array([strength]))[0]
    return Match(
        inks=neat,
        dilution=dilution,
        coats=coats,
        seen=wanted_lab(lab),
        de00=float(delta_e_2000(lab, wanted.lab)),
        band=trusted(table, [Laid(mix, coats=coats)]).band,
        mix=mix,
    )


def _in_one_well(neat: Mix, dilution: Dilution) -> Recipe:
    """The dilution as one recipe: its drops where one step does, else parts by volume."""
    if dilution.recipe is not None and dilution.then is None:
        return dilution.recipe
    ink_ml = sum(neat.ink_ml.values())
    share = {name: float(f"{ml / ink_ml:.4g}") for name, ml in neat.ink_ml.items()}
    return Recipe(share, float(f"{dilution.parts_water:.4g}"), "parts")


def _bottles(table: Table, names: Sequence[str] | None) -> list[Ink]:
    if names is None:
        return list(table.palette.bottles) or list(table.palette.inks.values())
    if not names:
        raise InputError("No ink is named; give at least one bottle, as --only Blue,Yellow.")
    return [table.palette.ink(name) for name in dict.fromkeys(names)]
