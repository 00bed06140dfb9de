"""Blocks: graded washes from a hue towards water and towards black, and the earths on the way.

Between a hue and black lie the olives, browns, ochres and greys that nobody sells as a bottle; a
block shows where, and with how many drops. A *tertiary* here is a secondary under a black glaze:
its blocks are graded glazes over a flat secondary. An *intermediate* lies between a primary and
a secondary; the one next to the lightest primary gives the ochres.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glaze.charts.content.primaries import order_primaries
from glaze.charts.paper.marks import Colour
from glaze.errors import InputError, unknown
from glaze.materials.colour_words import name_of
from glaze.materials.dilution import Dilution, dilution_of
from glaze.materials.mix import Mix, diluted, mix_recipe
from glaze.materials.parts_told import parts_short
from glaze.materials.recipe import WATER, Recipe
from glaze.patch.patches import glaze
from glaze.patch.seen import Look, looks_of
from glaze.patch.table import Table
from glaze.patch.washes import lay_first, named, refuse_water, shadow_ink

Array = NDArray[np.float64]

SLICES = 61
"""Colours worked out along a block; neighbours differ by less than can be seen."""
DROPS = 12
BLACK_DROPS = (0, 1, 2, 3, 4, 6)
"""Drops of black in twelve at the stops; half black is nearly black on any hue."""
HALVINGS = 5
TERTIARY_PARTS = 4.0
GLAZE_PARTS = (16.0, 8.0, 4.0, 2.0, 1.0)
KINDS = ("primaries", "intermediates", "secondaries", "tertiaries")


@dataclass(frozen=True)
class Stop:
    """A place along a strip where the drops are written.

    at : 0 to 1 from the hue outward. told : strength or drops in a word. drops : whole drops.
    name : the plain name of an earth or a grey, or "".
    """

    at: float
    told: str
    drops: str
    patch: Look
    name: str


@dataclass(frozen=True)
class BlockStrip:
    """One half of a block, from its hue outward.

    colours : along it, evenly spaced. names : the plain name of
    each that is an earth or a grey, or "".
    """

    title: str
    stops: tuple[Stop, ...]
    colours: tuple[Colour, ...]
    names: tuple[str, ...]

    @property
    def stretches(self) -> list[tuple[str, float, float]]:
        """Name, start and end (0 to 1) of each stretch of one name."""
        found: list[tuple[str, float, float]] = []
        last = len(self.names) - 1
        for name, run in itertools.groupby(enumerate(self.names), key=lambda item: item[1]):
            places = [place for place, _ in run]
            if name:
                start, end = max(0.0, places[0] - 0.5) / last, min(last, places[-1] + 0.5) / last
                found.append((name, start, end))
        return found


@dataclass(frozen=True)
class Block:
    """A hue with its two strips: towards water and towards black."""

    kind: str
    name: str
    recipe: str
    to_water: BlockStrip
    to_black: BlockStrip
    inks: tuple[str, ...]


def plan_blocks(
    table: Table,
    hues: Sequence[str] | None = None,
    kinds: Sequence[str] = KINDS,
    shadow: str | None = None,
) -> list[Block]:
    """Blocks of the palette's primaries, secondaries and tertiaries, or of chosen hues.

    Parameters
    ----------
    hues : recipes in drops, as "Yellow 4 + Red 2"; the palette's own if None
    kinds : which of them to show
    shadow : ink they darken with; the darkest bottle if None
    """
    wrong = [unknown("kind of block", kind, KINDS) for kind in kinds if kind not in KINDS]
    if wrong:
        raise InputError(wrong)
    black = shadow_ink(table, shadow)
    first, second, third = order_primaries(table) if hues is None else ("", "", "")
    pairs = ((first, second), (second, third), (third, first))
    blocks: list[Block] = []
    if hues is not None:
        blocks = [mixed_block(table, "chosen", hue, black) for hue in hues]
    elif "primaries" in kinds:
        blocks += [mixed_block(table, "primaries", f"{n} 1", black) for n in (first, second, third)]
    if hues is None and "intermediates" in kinds:
        blocks.append(mixed_block(table, "intermediates", f"{first} 5 + {second} 1", black))
    secondaries = [f"{a} 3 + {b} 3" for a, b in pairs] if hues is None else []
    if "secondaries" in kinds:
        blocks += [mixed_block(table, "secondaries", hue, black) for hue in secondaries]
    if "tertiaries" in kinds:
        blocks += [glazed_block(table, hue, black) for hue in secondaries]
    return blocks


def mixed_block(table: Table, kind: str, hue: str, black: str) -> Block:
    """A hue mixed with water, and mixed with black in the well."""
    mix = table.mix(hue)
    refuse_water(table, mix, hue)
    thin = np.linspace(0.0, 1.0, SLICES)
    water = [diluted(mix, _parts(at)) for at in thin]
    to_water = _strip(table, "towards water", water, _water_stops(table, mix))
    dark = [_with_black(table, mix, black, at / 2) for at in thin]
    key = table.palette.inks[black].key
    stops = [
        (
            2 * k / DROPS,
            f"{DROPS - k} + {key}{k}" if k else "neat",
            "",
            _with_black(table, mix, black, k / DROPS),
        )
        for k in BLACK_DROPS
    ]
    to_black = _strip(table, f"{black} mixed in", dark, stops)
    return Block(kind, named(hue), mix.recipe.text, to_water, to_black, (*mix.ink_ml, black))


def glazed_block(table: Table, hue: str, black: str) -> Block:
    """A secondary under black glazes: the tertiary thinned, and the glaze strengthened."""
    mix, ink = table.mix(hue), table.mix(f"{black} 1")
    shade = diluted(ink, TERTIARY_PARTS)
    at = np.linspace(0.0, 1.0, SLICES)
    thin = [diluted(mix, _parts(a)) for a in at]
    title = f"thinned, under {black} {parts_short(TERTIARY_PARTS)}"
    to_water = _strip(table, title, thin, _water_stops(table, mix), [shade])
    glazes = [diluted(ink, _glaze_parts(a)) for a in at]
    keys = {black: table.palette.inks[black].key}
    stops = [(0.0, "no glaze", "", mix)]
    for k, n in enumerate(GLAZE_PARTS, start=1):
        drops = _short(dilution_of(ink, n), keys)
        stops.append((k / len(GLAZE_PARTS), parts_short(n), drops, diluted(ink, n)))
    to_black = _strip(table, f"{black} glazed over it", [mix] * SLICES, stops, glazes, below=mix)
    inks = (*mix.ink_ml, black)
    return Block("tertiaries", named(hue), mix.recipe.text, to_water, to_black, inks)


def _parts(at: float) -> float:
    """Parts of water along a strip: the strength halves at each fifth, to 1 in 32."""
    return float(2.0 ** (HALVINGS * at) - 1.0)


def _glaze_parts(at: float) -> float:
    """Parts of water of a glaze that grows along a strip: 1 + 16 at a fifth, 1 + 1 at the end."""
    steps = np.array([1e6, *GLAZE_PARTS])
    strength = np.interp(at, np.linspace(0, 1, steps.size), 1 / (1 + steps))
    return float(1 / strength - 1)


Place = tuple[float, str, str, Mix]


def _water_stops(table: Table, mix: Mix) -> list[Place]:
    """Stops of a strip towards water: half the strength each."""
    stops: list[Place] = [(0.0, "", "", mix)]
    for k in range(1, HALVINGS + 1):
        parts = _parts(k / HALVINGS)
        steps = dilution_of(mix, parts).counts
        drops = ", ".join(f"{ink} + w{water}" for ink, water in steps) or "by ml"
        stops.append((k / HALVINGS, parts_short(parts), drops, diluted(mix, parts)))
    return stops


def _short(dilution: Dilution, keys: Mapping[str, str]) -> str:
    """Drops by key letters, w for water: "K3 w14"; "K3 w14, 3 w9" in two steps."""
    short = {WATER: "w", "that": "", **keys}
    steps = [" ".join(f"{short[n]}{k}" for n, k in step.items()) for step in dilution.drops]
    return ", ".join(steps) or "by ml"


def _with_black(table: Table, mix: Mix, black: str, share: float) -> Mix:
    """The mix with a share of black drops in it."""
    if share == 0:
        return mix
    # a thousand drops: fine enough for a graded block
    black_drops = round(1000 * share)
    recipe = Recipe({"hue": float(1000 - black_drops), black: float(black_drops)})
    return mix_recipe(recipe, table.palette, {"hue": mix})


def _strip(
    table: Table,
    title: str,
    washes: Sequence[Mix],
    stops: Sequence[Place],
    over: Sequence[Mix] = (),
    below: Mix | None = None,
) -> BlockStrip:
    """A strip of washes; `over` glazes all of them, by one mix or one each.

    With `below` the stops' own mixes are glazes over it.
    """
    sheet = lay_first(table, washes)
    if over:
        glaze(table, sheet, over[0] if len(over) == 1 else over)
    along = looks_of(table, sheet)
    mixes = [mix for *_, mix in stops]
    if below is None:
        at_stops = lay_first(table, mixes)
        if over:
            glaze(table, at_stops, over[0])
    else:
        at_stops = lay_first(table, [below] * len(stops))
        glaze(table, at_stops, [diluted(below, 1e6), *mixes[1:]])
    made = tuple(
        Stop(at, told, drops, patch, earth_name(patch))
        for (at, told, drops, _), patch in zip(stops, looks_of(table, at_stops), strict=True)
    )
    names = tuple(earth_name(patch) for patch in along)
    return BlockStrip(title, made, tuple(patch.rgb8 for patch in along), names)


def earth_name(patch: Look) -> str:
    """The plain name of an earth, as olive or ochre; grey or black; nothing of a hue."""
    name = name_of(patch.hue, patch.value, patch.chroma)
    return name.plain() if name.kind in ("earth", "grey", "black") else ""
