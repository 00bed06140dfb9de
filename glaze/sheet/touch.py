"""Touches of bleach: how they are planned, and what each then is on the sheet."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.materials.bleach import Bleach, tool_named, touch_habits
from glaze.materials.room import Room
from glaze.physics import drying

if TYPE_CHECKING:
    from glaze.materials.paper import Paper

Array = NDArray[np.float64]

OVERNIGHT_MINUTES = 720.0
"""How long residue works on a new wash unless told otherwise."""


@dataclass(frozen=True)
class Touches:
    """How bleach is laid.

    Attributes
    ----------
    parts_water : n of "1 part bleach + n parts water"
    touches : how many times, each with fresh bleach
    minutes : from laying to blotting
    film_ml_per_m2 : the tool's own film if None
    rinse : whether clean water follows
    """

    parts_water: float = 0.0
    touches: int = 1
    minutes: float = 1.0
    tool: str = "brush"
    film_ml_per_m2: float | None = None
    rinse: bool = False


@dataclass(frozen=True)
class Touch:
    """One touch of bleach, or several alike: how much, for how long, and what stays behind.

    Attributes
    ----------
    dose_mol_per_m2 : hypochlorite in a full film [mol/m2]
    film_l_per_m2 : a full film [L/m2]
    seconds : from laying it to blotting it
    lag_seconds : of these, the time until bleach has got into the fibres
    evaporation_l_per_m2_s : water that leaves the film
    residual_l_per_m2 : moisture that the paper keeps [L/m2]
    cap_mol_per_l : the film dries no further than this strength
    kept : share of the bleach left over that stays in the paper afterwards
    touches : how many times, each with a new film

    Where many cases are asked at once, dose, film, times and `kept` have the sheet's leading axes.
    """

    dose_mol_per_m2: Any
    film_l_per_m2: Any
    seconds: Any
    lag_seconds: Any
    evaporation_l_per_m2_s: float
    residual_l_per_m2: float
    cap_mol_per_l: float
    kept: Any
    touches: int = 1

    def least_l_per_m2(self, dose: Array) -> Array:
        """Film [L/m2] below which a `dose` (0 to 1) doesn't dry during the touch. Same shape."""
        return np.maximum(self.residual_l_per_m2, dose * self.dose_mol_per_m2 / self.cap_mol_per_l)

    def woken(self, dose: Array) -> Array:
        """Share of an earlier touch's residue that a film of `dose` (0 to 1) dissolves again.

        All of it once the film holds as much water as the dry paper does; assumed, so that a
        touch that thins out to nothing at its edge does nothing there either.

        Same shape, [-].
        """
        return np.minimum(1.0, dose * self.film_l_per_m2 / max(self.residual_l_per_m2, 1e-9))

    def tau(self, dose: Array) -> Array:
        """Integral of dt/V [s m2/L] of a film that is `dose` (0 to 1) of a full one. Same shape."""
        film, least = dose * self.film_l_per_m2, self.least_l_per_m2(dose)
        whole = drying.thinness(self.seconds, film, self.evaporation_l_per_m2_s, least)
        lag = np.minimum(self.lag_seconds, self.seconds)
        return whole - drying.thinness(lag, film, self.evaporation_l_per_m2_s, least)


def touch_of(
    touches: Touches,
    bleach: Bleach,
    room: Room,
    paper: Paper,
) -> Touch:
    """The touch that planned touches mean with this bottle in this room."""
    habits = touch_habits()
    tool = tool_named(touches.tool)
    film_ml = tool.film_ml_per_m2 if touches.film_ml_per_m2 is None else touches.film_ml_per_m2
    refuse_unless(touches.minutes, "A touch of bleach", "minutes")
    refuse_unless(film_ml, "A film of bleach", "ml/m2")
    refuse_unless(touches.parts_water, "Bleach let down with", "parts of water")
    if touches.touches < 1 or touches.touches != int(touches.touches):
        raise InputError(f"{touches.touches:g} touches of bleach; give a whole number from 1 up.")
    kept = habits.kept_when_blotted * (habits.kept_when_rinsed if touches.rinse else 1.0)
    return Touch(
        dose_mol_per_m2=bleach.diluted_mol_per_l(touches.parts_water) * film_ml / 1000.0,
        film_l_per_m2=film_ml / 1000.0,
        seconds=touches.minutes * drying.SECONDS_PER_MINUTE,
        lag_seconds=drying.lag_s(habits.inked_depth_mm),
        evaporation_l_per_m2_s=_evaporation(room),
        residual_l_per_m2=paper.residual_ml_per_m2 / 1000.0,
        cap_mol_per_l=habits.cap_mol_per_l,
        kept=kept,
        touches=touches.touches,
    )


def refuse_unless(value: float, what: str, unit: str) -> None:
    """Refuse an amount that is negative, endless or no number."""
    if not 0.0 <= value < np.inf:
        raise InputError(f"{what}: {value:g} {unit}; give a number of {unit} from 0 up.")


def touch_of_wash(
    film_ml_per_m2: float,
    room: Room,
    paper: Paper,
    minutes: float = OVERNIGHT_MINUTES,
) -> Touch:
    """What a wash is to the bleach that an earlier lift left: a film without bleach of its own.

    It wakes the residue, which works until the wash is dry and on in the paper's moisture, for
    `minutes` in all. Nothing is blotted, so all that isn't used up stays.
    """
    habits = touch_habits()
    return Touch(
        dose_mol_per_m2=0.0,
        film_l_per_m2=film_ml_per_m2 / 1000.0,
        seconds=minutes * drying.SECONDS_PER_MINUTE,
        lag_seconds=0.0,
        evaporation_l_per_m2_s=_evaporation(room),
        residual_l_per_m2=paper.residual_ml_per_m2 / 1000.0,
        cap_mol_per_l=habits.cap_mol_per_l,
        kept=1.0,
    )


def _evaporation(room: Room) -> float:
    """Water leaving a wet sheet in this room [L/(m2 s)]."""
    grams = drying.evaporation_g_per_m2_h(
        room.temperature_c, room.humidity_percent, room.air_m_per_s
    )
    return float(grams) / 3600.0 / 1000.0
