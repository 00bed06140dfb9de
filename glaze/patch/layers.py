"""What lies over each other on one patch, and which of its figures aren't sure, by how much.

A *doubt* is one figure that is known within a factor only, with its standing: measured, estimated
or assumed. `engine` moves the figures, `trust` makes bands of what that changes.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from glaze.materials.bleach import bleach_entries
from glaze.materials.dye import Dye, colourants
from glaze.materials.entries import Entry, sections_of
from glaze.materials.ink import Ink
from glaze.materials.mix import Mix
from glaze.patch.band import STANDINGS
from glaze.patch.table import Table
from glaze.sheet.lift import Touches

OF_INKS = {"measured": "measured", "estimated": "estimated", "invented": "assumed"}
OF_ENTRIES = dict.fromkeys(("measured", "read", "digitised", "fitted", "computed"), "measured")
OF_ENTRIES |= {"analogue": "estimated", "remembered": "estimated", "assumed": "assumed"}


@cache
def doubt_entries() -> dict[str, dict[str, Entry]]:
    """By what figures may be off that say nothing of it themselves (`tables/doubts.toml`)."""
    return sections_of("doubts.toml")


def paper_factor() -> float:
    """How far the shade of a sheet that isn't measured may be off, times or over."""
    return float(doubt_entries()["wash"]["paper"].value)


@dataclass(frozen=True)
class Laid:
    """A wash laid on what is dry: coats of a mix. The film is the paper's own if not given.

    share : of its film that lies on the patch [-], 1 = all of it
    """

    mix: Mix
    coats: float = 1.0
    film_ml_per_m2: float | None = None
    share: float = 1.0


@dataclass(frozen=True)
class Lifted:
    """Touches of the table's bleach; `share` of a full dose arrives."""

    touches: Touches
    share: float = 1.0


@dataclass(frozen=True)
class Watered:
    """A water lift of some minutes, or a rinse (None), over `share` of the patch."""

    minutes: float | None
    share: float = 1.0


Layer = Laid | Lifted | Watered

Key = tuple[str, str]
"""What a doubt is of, and which one: ("ink", "Blue"), ("rate", "Acid Blue 9"), ("film", "")."""


@dataclass(frozen=True)
class Doubt:
    """A figure that isn't sure.

    words : in a painter's words
    factor : times or over, 9 times of 10
    """

    key: Key
    words: str
    factor: float
    standing: str


def standing_of(table: Table, inks: Iterable[str] | None = None) -> str:
    """What colours of these bottles are worth, of all if None: the least standing among them.

    Without ink only the paper's own, which is assumed.
    """
    chosen = table.palette.inks if inks is None else inks
    found = {OF_INKS[table.palette.inks[name].how] for name in chosen} or {"assumed"}
    return max(found, key=STANDINGS.index)


def inks_of(layers: Sequence[Layer], table: Table) -> tuple[Ink, ...]:
    """The bottles that some layers hold, each once."""
    names = (name for layer in layers if isinstance(layer, Laid) for name in layer.mix.ink_ml)
    return tuple(table.palette.inks[name] for name in dict.fromkeys(names))


def dyes_of(layers: Sequence[Layer], table: Table) -> tuple[Dye, ...]:
    """Colourants that can lie there: the dyes of the inks, and what bleach makes of them."""
    used = [name for ink in inks_of(layers, table) for name in ink.contents_g_per_l]
    if not any(isinstance(layer, Lifted) for layer in layers):
        return tuple(table.palette.dyes[name] for name in dict.fromkeys(used))
    return colourants(used, table.palette.dyes)


def doubts_of(layers: Sequence[Layer], table: Table) -> tuple[Doubt, ...]:
    """Every figure of some layers that isn't sure; those known exactly are left out."""
    found = [*_of_paper(table), *washes_in_doubt(table, inks_of(layers, table))]
    lifts = [layer for layer in layers if isinstance(layer, Lifted)]
    if lifts:
        found += [doubt for dye in dyes_of(layers, table) for doubt in _of_dye(dye)]
        found += _of_lifts(lifts[-1], table)
    return tuple(doubt for doubt in found if doubt.factor > 1.0)


def _of_paper(table: Table) -> Iterator[Doubt]:
    entry = table.paper.entries.get("reflectance")
    if entry is None or entry.how != "measured":
        yield Doubt(("paper", ""), "the paper's own shade", paper_factor(), "assumed")


def washes_in_doubt(table: Table, inks: Sequence[Ink] | None = None) -> Iterator[Doubt]:
    """Strengths, the film, and how often light crosses the ink in the fibres.

    Swatches of one's own hold all three together, so where every ink is measured only the hand
    that lays the film is left. `inks`: the palette's own bottles if None.
    """
    inks = table.palette.bottles if inks is None else inks
    for ink in inks:
        words = f"the strength of {ink.name}"
        yield Doubt(("ink", ink.name), words, ink.strength_factor, OF_INKS[ink.how])
    if not inks:
        return
    if all(ink.how == "measured" for ink in inks):
        hand = float(doubt_entries()["wash"]["hand"].value)
        yield Doubt(("film", ""), "the film of a wash", hand, "measured")
        return
    for key, name, words in (
        ("film", "film_ml_per_m2", "the film of a wash"),
        ("gain", "path_gain", "how deep ink works in this paper"),
    ):
        entry = table.paper.entries[name]
        yield Doubt((key, ""), words, entry.factor, OF_ENTRIES[entry.how])


def _of_dye(dye: Dye) -> Iterator[Doubt]:
    """Rate, appetite for bleach and yield of a colourant."""
    rate = dye.bleach
    words = f"how fast bleach takes {_named(dye)}"
    yield Doubt(("rate", dye.name), words, max(rate.factor, 1.0), OF_ENTRIES[rate.how])
    words = f"how much bleach {_named(dye)} uses up"
    factor, standing = _standing(dye.entries.get("oxidant"), "oxidant")
    yield Doubt(("oxidant", dye.name), words, factor, standing)
    if dye.product is not None:
        words = f"how much ghost {_named(dye)} leaves"
        factor, standing = _standing(dye.entries.get("product_yield"), "product_yield")
        yield Doubt(("yield", dye.name), words, factor, standing)


def _named(dye: Dye) -> str:
    return f"the {dye.name[0].lower()}{dye.name[1:]}" if dye.kind == "product" else dye.name


def _standing(entry: Entry | None, key: str) -> tuple[float, str]:
    """Factor and standing of a figure; the usual ones where the table gives no factor."""
    otherwise = float(doubt_entries()["lift"][key].value)
    if entry is None:
        return otherwise, "assumed"
    return (entry.factor if entry.factor > 1.0 else otherwise), OF_ENTRIES[entry.how]


def _of_lifts(lift: Lifted, table: Table) -> Iterator[Doubt]:
    """How the bleach is laid and left, and what the fibres use up of it."""
    usual, paper, guesses = bleach_entries(), table.paper.entries, doubt_entries()["lift"]
    film = usual[lift.touches.tool]["film"]
    depth, kept = usual["touch"]["inked_depth"], usual["touch"]["kept_when_blotted"]
    fibres, rate = paper["fibre_mol_per_m2"], paper["fibre_rate_l_per_mol_s"]
    for key, words, factor, how in (
        ("touch", "the film of a touch", film.factor, film.how),
        ("minutes", "the minutes to blotting", guesses["minutes"].value, "assumed"),
        ("bottle", "the strength of the bleach", guesses["bottle"].value, "assumed"),
        ("depth", "how deep the inked fibres lie", depth.factor, depth.how),
        ("kept", "the bleach that stays in the paper", kept.factor, kept.how),
        ("fibres", "what the fibres use up of bleach", fibres.factor, fibres.how),
        ("fibre rate", "how fast the fibres use up bleach", rate.factor, rate.how),
        ("alkali", "how alkaline the bleach is", math.exp(guesses["alkali"].value), "assumed"),
        ("room", "the warmth of the room", math.exp(guesses["room"].value), "assumed"),
    ):
        yield Doubt((key, ""), words, max(factor, 1.0), OF_ENTRIES[how])
