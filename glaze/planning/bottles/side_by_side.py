"""Two bottles side by side: undertone, strength, fringe, what bleach and water leave, keeping."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from glaze.errors import InputError
from glaze.materials.bleach import CAUTION_LINE
from glaze.materials.ink import Ink
from glaze.materials.mix import diluted
from glaze.materials.parts_told import parts_of, parts_short
from glaze.patch.layers import Laid, Layer, Lifted, Watered
from glaze.patch.seen import looks_of
from glaze.patch.table import Table
from glaze.physics.colour import delta_e_2000
from glaze.planning.looks.all_sides import YEARS, SwatchState, state_of
from glaze.planning.looks.fringe import WASH_PARTS, fringe_of
from glaze.planning.looks.fringe import told_of as fringe_told
from glaze.planning.looks.keeping import WALL_MLX_H_A_YEAR, faded
from glaze.planning.recipe.hue import Hue
from glaze.planning.recipe.shadow import Shadow, shadow
from glaze.planning.recipe.verdict import paper_value
from glaze.sheet.lift import Touches

UNDERTONE = "1+8"
WATER_MINUTES = 1.0
ALIKE_DE00 = 2.0
"""Up to here two swatches side by side are hardly told apart [CIEDE2000]."""


@dataclass(frozen=True)
class Pair:
    """Both bottles in one state, and how far apart they look [CIEDE2000]."""

    one: SwatchState
    other: SwatchState

    @property
    def state(self) -> str:
        """What was done to both."""
        return self.one.state

    @property
    def de00(self) -> float:
        """CIEDE2000 of the two."""
        return float(delta_e_2000(self.one.look.lab, self.other.look.lab))

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        each = [{k: v for k, v in s.as_dict().items() if k != "state"} for s in self.both]
        return {"state": self.state, "bottles": each, "de00": round(self.de00, 2)}

    @property
    def both(self) -> tuple[SwatchState, SwatchState]:
        """The first bottle's and the second's."""
        return self.one, self.other


@dataclass(frozen=True)
class SideBySide:
    """Two bottles in the same states, and what sets them apart in sentences."""

    names: tuple[str, str]
    pairs: tuple[Pair, ...]
    told: tuple[str, ...]

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "bottles": list(self.names),
            "states": [pair.as_dict() for pair in self.pairs],
            "told": list(self.told),
            "caution": CAUTION_LINE,
        }


def side_by_side(table: Table, one: str, other: str) -> SideBySide:
    """Two bottles of a palette neat, thin, at one value, at the rim, lifted, wetted and kept.

    Raises
    ------
    InputError : for names that aren't there, and for one bottle named twice
    """
    inks = table.palette.ink(one), table.palette.ink(other)
    if inks[0].name == inks[1].name:
        raise InputError(f'"{one}" and "{other}" are one bottle; name two.')
    level = _level(table, inks)
    even = [shadow(table, "paper", to_value=level, ink=ink.name) for ink in inks]
    states = (_states(table, ink, level) for ink, level in zip(inks, even, strict=True))
    pairs = [Pair(*both) for both in zip(*states, strict=True)]
    told = [_strength(inks, even, level), _apart(pairs)]
    for ink in inks:
        told.append(f"{ink.name}: {_habits(table, ink)}")
    return SideBySide((inks[0].name, inks[1].name), tuple(pairs), tuple(told))


def _level(table: Table, inks: tuple[Ink, Ink]) -> float:
    """A value both bottles reach in one wash: halfway from paper to the lighter of them, neat."""
    neat = [state_of(table, _hue(table, ink), "", ()).look.value for ink in inks]
    return round(2 * (paper_value(table) + max(neat)) / 2) / 2


def _hue(table: Table, ink: Ink, parts: float = 0.0) -> Hue:
    return Hue(ink.name, (Laid(diluted(table.mix(f"{ink.name} 1"), parts)),))


def _states(table: Table, ink: Ink, even: Shadow) -> Iterator[SwatchState]:
    neat, thin = _hue(table, ink), _hue(table, ink, parts_of(UNDERTONE))
    level = Hue(
        ink.name, (Laid(table.mix(f"{ink.name} 1"), coats=even.coats / (1 + even.parts_water)),)
    )
    yield state_of(table, neat, "neat", ())
    yield state_of(table, thin, f"undertone, {parts_short(parts_of(UNDERTONE))}", ())
    yield state_of(table, level, f"thinned to value {even.wanted_value:g}", ())
    rim = fringe_of(table, f"{ink.name} 1").rim
    yield SwatchState(f"rim of a wash, {parts_short(WASH_PARTS)}", rim)
    for name, more in _done().items():
        yield state_of(table, neat, name, (more,))
    (kept,) = looks_of(table, faded(table, neat.on(table), YEARS * WALL_MLX_H_A_YEAR))
    yield SwatchState(f"after {YEARS:g} years on a wall", kept)


def _done() -> dict[str, Layer]:
    """What is done to the neat swatch, by its words."""
    return {
        "bleach once, 1 + 4": Lifted(Touches(parts_water=4.0)),
        "bleach thrice, neat": Lifted(Touches(3)),
        "clear water, blotted": Watered(WATER_MINUTES),
    }


def _strength(inks: tuple[Ink, Ink], even: list[Shadow], level: float) -> str:
    each = zip(even, inks, strict=True)
    parts = [f"{parts_short(one.parts_water)} of {ink.name}" for one, ink in each]
    times = (1 + even[0].parts_water) / (1 + even[1].parts_water)
    strong, by = (inks[0].name, times) if times >= 1 else (inks[1].name, 1 / times)
    if by < 1.05:
        return f"Both darken alike: value {level:g} takes {parts[0]} and {parts[1]}."
    return (
        f"{strong} darkens {float(f'{by:.2g}'):g} times as much: value {level:g} takes {parts[0]} "
        f"and {parts[1]}."
    )


def _apart(pairs: list[Pair]) -> str:
    alike = [pair.state for pair in pairs if pair.de00 <= ALIKE_DE00]
    most = max(pairs, key=lambda pair: pair.de00)
    told = f"Furthest apart {most.state}: {most.de00:.0f} (CIEDE2000)."
    return f"{told} Hardly told apart: {'; '.join(alike)}." if alike else told


def _habits(table: Table, ink: Ink) -> str:
    """What its dyes do at an edge, and what is known of it under water, bleach and light."""
    known = {
        "under water": {"none": "holds", "slight": "loosens a little", "strong": "loosens"},
        "under bleach": {"lifts": "lifts", "partly": "lifts in part", "resists": "resists"},
        "in the bottle": {"yes": "settles, shake it", "no": ""},
    }
    classes = ink.rewet_class, ink.bleach_class, ink.sediment
    told = [
        f"{words[found]} {where}" if words.get(found, "") else ""
        for (where, words), found in zip(known.items(), classes, strict=True)
    ]
    habits = ", ".join(part for part in told if part)
    return f"{habits}. {fringe_told(fringe_of(table, f'{ink.name} 1'))}".lstrip(". ")
