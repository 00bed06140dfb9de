"""Light and keeping: what a dose of light leaves of a wash, and how it looks under other lights.

Dye inks fade. Each dye carries a blue wool class, most of them assumed, and each class a dose that
just shows; the rest is a stated model of fading that shows the way, not the year.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glaze.errors import InputError, number_of
from glaze.patch.seen import Look, looks_of
from glaze.patch.table import Table
from glaze.physics.colour import delta_e_2000
from glaze.picture.light import load_light
from glaze.planning.recipe.hue import Hue
from glaze.sheet.state import Sheet

Array = NDArray[np.float64]

JUST_SEEN_MLX_H = (0.3, 1.0, 3.0, 10.0, 30.0, 100.0, 300.0, 1100.0)
"""Dose [Mlx h] at which blue wool 1 to 8 just noticeably fades, light without ultraviolet: the
table that goes with cie157 and conservators' guides (from memory)."""

ALMOST_GONE = 30.0
"""Doses that just show, until almost nothing is left (the same guides, from memory)."""

FADED_SHARE = 0.95
"""What "almost nothing is left" takes away; assumed."""

WALL_MLX_H_A_YEAR = 0.15e-3 * 10 * 365
"""A wall away from the window: 150 lx, ten hours a day; assumed."""

LIGHTS = ("D65", "A", "LED-B3")


@dataclass(frozen=True)
class Faded:
    """A wash after a dose of light."""

    mlx_h: float
    years_on_a_wall: float
    look: Look
    de00: float

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "mlx_h": self.mlx_h,
            "years_on_a_wall": round(self.years_on_a_wall, 1),
            **self.look.as_dict(),
            "de00": round(self.de00, 2),
        }


@dataclass(frozen=True)
class Keeping:
    """How a hue keeps.

    classes : blue wool class of each dye in it, and how it is known
    """

    hue: str
    classes: dict[str, tuple[float, str]]
    rows: tuple[Faded, ...]
    note: str

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "hue": self.hue,
            "blue_wool": {d: {"class": c, "how": how} for d, (c, how) in self.classes.items()},
            "after": [row.as_dict() for row in self.rows],
            "standing": "assumed",
            "note": self.note,
        }


def just_seen_mlx_h(blue_wool: ArrayLike) -> Array:
    """Dose [Mlx h] at which a colour of a blue wool class, 1 to 8, just noticeably fades.

    Between classes by the logarithm, as each stands two to three times as long as the one before.

    Same shape as the classes [-].
    """
    classes = np.arange(1.0, 9.0)
    return np.exp(np.interp(np.asarray(blue_wool, float), classes, np.log(JUST_SEEN_MLX_H)))


def share_left(mlx_h: float, blue_wool: ArrayLike) -> Array:
    """Share of a dye left after a dose: exp(-r dose/just seen), 5 % after thirty of those.

    [-], same shape as the classes [-].
    """
    rate = -np.log(1.0 - FADED_SHARE) / ALMOST_GONE
    return np.exp(-rate * mlx_h / just_seen_mlx_h(blue_wool))


def faded(table: Table, sheet: Sheet, mlx_h: float) -> Sheet:
    """A copy of the patches after a dose of light; the paper is taken as keeping its colour."""
    left = share_left(mlx_h, [dye.light_fastness for dye in table.dyes]).astype(np.float32)
    loads = {"load_g_per_m2": sheet.load_g_per_m2, "optical_g_per_m2": sheet.optical_g_per_m2}
    return replace(sheet, **{key: load * left for key, load in loads.items()})


def years_words(years: float) -> str:
    """Years in two figures, months below one: "4 months", "2.5 years", "2000 years"."""
    if years < 1:
        return number_of(max(1, round(12 * years)), "month")
    return f"{years:.1f} years" if years < 10 else f"{float(f'{years:.2g}'):.0f} years"


def keeping(
    table: Table, hue: Hue, doses_mlx_h: Sequence[float] = (0.3, 1.0, 3.0, 10.0)
) -> Keeping:
    """A hue after doses of light [Mlx h]."""
    if not doses_mlx_h or any(not 0 <= dose <= 1e4 for dose in doses_mlx_h):
        raise InputError("Give doses of light from 0 to 10000 Mlx h, as --mlxh 1,3,10.")
    sheet = hue.on(table)
    (fresh,) = looks_of(table, sheet)
    rows = []
    for dose in doses_mlx_h:
        (look,) = looks_of(table, faded(table, sheet, dose))
        off = float(delta_e_2000(fresh.lab, look.lab))
        rows.append(Faded(dose, dose / WALL_MLX_H_A_YEAR, look, off))
    classes = _classes(table, hue)
    return Keeping(hue.text, classes, tuple(rows), _note(classes))


def _classes(table: Table, hue: Hue) -> dict[str, tuple[float, str]]:
    used = {dye for ink in hue.inks for dye in table.palette.inks[ink].contents_g_per_l}
    found = {}
    for dye in table.dyes:
        if dye.name in used:
            entry = dye.entries.get("light_fastness")
            found[dye.name] = dye.light_fastness, entry.how if entry else "assumed"
    return found


def _note(classes: dict[str, tuple[float, str]]) -> str:
    told = (
        "Not a forecast: most blue wool classes are assumed, and inks differ. Put a strip in the "
        "window; scan the picture at once."
    )
    if not classes:
        return told
    weakest = min(classes, key=lambda dye: classes[dye][0])
    seen = float(just_seen_mlx_h(classes[weakest][0]))
    years = seen / WALL_MLX_H_A_YEAR
    return (
        f"{weakest} goes first: it just shows after {float(f'{seen:.2g}'):g} Mlx h, about "
        f"{years_words(years)} on a wall of 150 lx, ten hours a day. {told}"
    )


@dataclass(frozen=True)
class UnderLight:
    """A hue as it looks under a light to an eye used to it.

    de00 : CIEDE2000 from its look by daylight (D65)
    """

    light: str
    look: Look
    de00: float

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        off = {"de00_from_daylight": round(self.de00, 2)}
        return {"light": self.light, **self.look.as_dict(), **off}


def under_lights(table: Table, hue: Hue, lights: Sequence[str] = LIGHTS) -> tuple[UnderLight, ...]:
    """A hue under several lights, each against its own white."""
    looks = {}
    for name in ("D65", *lights):
        lit = replace(table, light=load_light(name))
        looks[lit.light.name] = looks_of(lit, hue.on(lit))[0]
    day = looks["D65"].lab
    shown = dict.fromkeys(load_light(name).name for name in lights)
    off = {name: float(delta_e_2000(day, looks[name].lab)) for name in shown}
    return tuple(UnderLight(name, looks[name], off[name]) for name in shown)
