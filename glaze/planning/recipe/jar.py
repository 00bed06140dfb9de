"""A jar of one's own: a mix in quantity, what measuring it costs, and a trial at a tenth first."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.materials.bleach import CAUTION_LINE
from glaze.materials.mix import Mix, diluted
from glaze.materials.parts_told import parts_of
from glaze.materials.recipe import WATER
from glaze.patch.layers import Laid, Lifted
from glaze.patch.seen import Look
from glaze.patch.table import Table
from glaze.physics.colour import delta_e_2000
from glaze.planning.looks.all_sides import TOUCH, SwatchState, state_of
from glaze.planning.looks.fringe import fringe_of, told_of
from glaze.planning.recipe.hue import Hue
from glaze.planning.recipe.strengths import lab_of
from glaze.sheet.lift import Touches

ML = (1.0, 5000.0)
TENTH = 0.1
MOST_COUNTED = 40
"""More drops of one liquid than that nobody counts (guess); it goes by the marks."""
MARKS_ML = 0.5
"""Marks of a common 10 or 20 ml syringe (common practice, no source)."""
STRIP = ("as mixed", "1+1", "1+4", "1+8")
"""Strengths of the trial strip."""
STAND = (
    "Mix the tenth first, let it stand a day and look: inks may curdle or settle (common practice, "
    "no source)."
)


@dataclass(frozen=True)
class Measure:
    """One liquid of a jar.

    ml : exact. marks_ml : to the nearest mark. drops : whole. counted : whether drops are few
    enough to count, and so the better measure
    """

    liquid: str
    ml: float
    marks_ml: float
    drops: int
    counted: bool

    @property
    def text(self) -> str:
        """As it is measured: "19.5 ml", "23 drops"."""
        return f"{self.drops} drops" if self.counted else f"{self.marks_ml:g} ml"


@dataclass(frozen=True)
class JarFilling:
    """So many ml of a mix, measured.

    off : what rounding costs, CIEDE2000 of one coat: as advised, all by marks, all by drops
    """

    ml: float
    measures: tuple[Measure, ...]
    off: float
    off_marks: float
    off_drops: float

    @property
    def text(self) -> str:
        """What to put together: "Blue 19.5 ml + Black 23 drops"."""
        return " + ".join(f"{m.liquid} {m.text}" for m in self.measures)

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        rows = [
            {
                "liquid": m.liquid,
                "ml": round(m.ml, 3),
                "marks_ml": round(m.marks_ml, 3),
                "drops": m.drops,
                "measure": m.text,
            }
            for m in self.measures
        ]
        off = {"advised": self.off, "all_by_marks": self.off_marks, "all_by_drops": self.off_drops}
        return {
            "ml": self.ml,
            "liquids": rows,
            "text": self.text,
            "rounding_de00": {name: round(cost, 2) for name, cost in off.items()},
        }


@dataclass(frozen=True, eq=False)
class Jar:
    """A mix in quantity.

    whole, tenth : the jar, and the trial at a tenth of it
    strip : the mix neat and thinned; lifted : after one touch of bleach
    habits : how it separates and what stands in its record
    """

    name: str
    mix: Mix
    whole: JarFilling
    tenth: JarFilling
    strip: tuple[SwatchState, ...]
    lifted: SwatchState
    habits: tuple[str, ...]

    @property
    def look(self) -> Look:
        """Of one coat, dry."""
        return self.strip[0].look

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "name": self.name,
            "recipe": self.mix.recipe.text,
            "parts": self.mix.parts,
            **self.strip[0].as_dict(),
            "whole": self.whole.as_dict(),
            "tenth": self.tenth.as_dict(),
            "strip": [state.as_dict() for state in self.strip],
            "lifted": self.lifted.as_dict(),
            "notes": list(self.habits),
            "caution": CAUTION_LINE,
        }


def fill_jar(table: Table, mix: Mix, ml: float, name: str = "", marks_ml: float = MARKS_ML) -> Jar:
    """So many ml of a mix: what to measure, what rounding costs, how it behaves.

    Parameters
    ----------
    ml : of the whole jar [ml], 1 to 5000
    name : for the label; its recipe if there is none
    marks_ml : of what is measured with [ml]

    Raises
    ------
    InputError : for amounts nobody fills, marks nobody has, and water alone
    """
    _check(mix, ml, marks_ml)
    states = {
        text: Laid(mix if text == STRIP[0] else diluted(mix, parts_of(text))) for text in STRIP
    }
    strip = tuple(state_of(table, Hue("", (laid,)), text, ()) for text, laid in states.items())
    touch = Lifted(Touches(parts_water=parts_of(TOUCH)))
    lifted = state_of(table, Hue("", (Laid(mix),)), f"lifted once, {TOUCH}", (touch,))
    return Jar(
        name=name or mix.recipe.text,
        mix=mix,
        whole=_filling(table, mix, ml, marks_ml),
        tenth=_filling(table, mix, TENTH * ml, marks_ml),
        strip=strip,
        lifted=lifted,
        habits=(
            told_of(fringe_of(table, mix.recipe.text)),
            f"One touch of bleach, {TOUCH}, leaves {lifted.look.words}, {lifted.look.munsell}.",
            *_settles(table, mix),
            STAND,
        ),
    )


def _check(mix: Mix, ml: float, marks_ml: float) -> None:
    if not ML[0] <= ml <= ML[1]:
        raise InputError(f"{ml:g} ml: a jar holds {ML[0]:g} to {ML[1]:g}.")
    if not 0.01 <= marks_ml <= ml:
        raise InputError(f"Marks of {marks_ml:g} ml: give 0.01 ml up to what the jar holds.")
    if not mix.ink_ml:
        raise InputError("Water alone needs no jar; name an ink.")


def _settles(table: Table, mix: Mix) -> list[str]:
    told = [name for name in mix.ink_ml if table.palette.inks[name].sediment == "yes"]
    return [f"{', '.join(told)} settles: shake before use."] if told else []


def _filling(table: Table, mix: Mix, ml: float, marks_ml: float) -> JarFilling:
    exact = {
        name: part / mix.all_ml * ml
        for name, part in {**mix.ink_ml, WATER: mix.water_ml}.items()
        if part > 0
    }
    per_ml = {name: _drops_per_ml(table, name) for name in exact}
    drops = {name: max(1, round(part * per_ml[name])) for name, part in exact.items()}
    marks = {name: round(part / marks_ml) * marks_ml for name, part in exact.items()}
    counted = {name: n <= MOST_COUNTED or marks[name] == 0 for name, n in drops.items()}
    by_drops = {name: n / per_ml[name] for name, n in drops.items()}
    advised = {name: by_drops[name] if counted[name] else marks[name] for name in exact}
    measures = tuple(
        Measure(name, exact[name], marks[name], drops[name], counted[name]) for name in exact
    )
    off = (_off(table, exact, taken) for taken in (advised, marks, by_drops))
    return JarFilling(ml, measures, *off)


def _drops_per_ml(table: Table, name: str) -> float:
    if name == WATER:
        return table.dropper.water_drops_per_ml
    return table.palette.inks[name].drops_per_ml


def _off(table: Table, exact: Mapping[str, float], taken: Mapping[str, float]) -> float:
    """CIEDE2000 between one coat of what was meant and of what was measured."""
    lab = [_lab(table, ml) for ml in (exact, taken)]
    return float(delta_e_2000(*lab))


def _lab(table: Table, ml: Mapping[str, float]) -> NDArray[np.float64]:
    all_ml = sum(ml.values()) or 1.0
    inks = {name: part / all_ml for name, part in ml.items() if name != WATER}
    held = table.palette.inks
    contents = [
        sum(share * held[name].contents_g_per_l.get(dye.name, 0.0) for name, share in inks.items())
        for dye in table.dyes
    ]
    return lab_of(table, np.array([contents]), np.array([sum(inks.values())]))[0]
