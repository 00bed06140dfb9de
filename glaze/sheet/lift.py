"""Taking colour off again: bleach that eats dye, water that loosens it, and the rinse.

A touch of bleach is a new film of hypochlorite. What it does to a pixel follows from one number,
the exposure s = integral of concentration dt, which `glaze.physics.depletion` finds from all that
uses up bleach there. This is the plain version, for any leading axes, and the specification;
`glaze.sheet.compiled_lift` is the compiled one for pictures, and there is no third. docs/lift.md
tells the model in words.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.materials.bleach import Bleach, TouchHabits, tool_named, touch_habits
from glaze.materials.chemistry import Chemistry, chemistry_of
from glaze.materials.room import Room
from glaze.physics import depletion, drying
from glaze.sheet.mask import check_film, check_shape
from glaze.sheet.state import Sheet

if TYPE_CHECKING:
    from glaze.materials.paper import Paper

Array = NDArray[np.float64]
Mask = NDArray[np.float32] | NDArray[np.float64] | NDArray[np.uint16]

__all__ = [
    "Chemistry",
    "Touch",
    "Touches",
    "chemistry_of",
    "coats_share",
    "lift",
    "residue_attack",
    "rinse",
    "share_of",
    "touch_of",
    "touch_of_wash",
    "water_lift",
]

OVERNIGHT_MINUTES = 720.0
"""How long residue works on a new wash unless told otherwise."""

CHUNK_PX = 4096
"""Pixels worked on at once by the plain version."""


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
    habits: TouchHabits | None = None,
) -> Touch:
    """The touch that planned touches mean with this bottle in this room."""
    habits = habits or touch_habits()
    tool = tool_named(touches.tool)
    film_ml = tool.film_ml_per_m2 if touches.film_ml_per_m2 is None else touches.film_ml_per_m2
    _refuse_unless(touches.minutes, "A touch of bleach", "minutes")
    _refuse_unless(film_ml, "A film of bleach", "ml/m2")
    _refuse_unless(touches.parts_water, "Bleach let down with", "parts of water")
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


def _refuse_unless(value: float, what: str, unit: str) -> None:
    """Refuse an amount that is negative, endless or no number."""
    if not 0.0 <= value < np.inf:
        raise InputError(f"{what}: {value:g} {unit}; give a number of {unit} from 0 up.")


def touch_of_wash(
    film_ml_per_m2: float,
    room: Room,
    paper: Paper,
    minutes: float = OVERNIGHT_MINUTES,
    habits: TouchHabits | None = None,
) -> Touch:
    """What a wash is to the bleach that an earlier lift left: a film without bleach of its own.

    It wakes the residue, which works until the wash is dry and on in the paper's moisture, for
    `minutes` in all. Nothing is blotted, so all that isn't used up stays.
    """
    habits = habits or touch_habits()
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


def lift(sheet: Sheet, dose: Mask | float, touch: Touch, chemistry: Chemistry) -> None:
    """Bleach what lies on the sheet, in place.

    Parameters
    ----------
    dose : film of bleach as a share of a full one [-], shape (rows, columns) or one for all, 0 to
        1 or uint16 with 65535 for 1, after its creep; places with 0 are left alone
    touch, chemistry : of all places, or with the sheet's leading axes, of each
    """
    check_shape(np.asarray(dose), sheet.shape, "The dose of bleach")
    share = np.broadcast_to(share_of(dose), sheet.shape)
    for _ in range(touch.touches):
        if chemistry.k_l_per_mol_s.ndim > 1:  # every case has its own
            _lift_places(sheet, share, ..., touch, chemistry)
            continue
        where = np.flatnonzero(share)
        for start in range(0, where.size, CHUNK_PX):
            at = np.unravel_index(where[start : start + CHUNK_PX], sheet.shape)
            _lift_places(sheet, share, at, touch, chemistry)


def residue_attack(sheet: Sheet, cover: Mask | float, touch: Touch, chemistry: Chemistry) -> None:
    """Let the bleach that earlier lifts left eat what lies there now, in place.

    `cover` is the new wash's film as a share of a full one, `touch` comes from `touch_of_wash`.
    Where no bleach is left nothing happens.

    Shape (rows, columns), [-].
    """
    lift(sheet, np.where(sheet.residue_mol_per_m2 > 0.0, share_of(cover), 0.0), touch, chemistry)


def share_of(mask: Mask | float) -> Array:
    """A mask as shares from 0 to 1 [-], whether it is kept as those or as uint16. Same shape."""
    mask = np.asarray(mask)
    if mask.dtype == np.uint16:
        return mask.astype(np.float64) / np.iinfo(np.uint16).max
    check_film(mask, mask.shape)
    return mask.astype(np.float64)


def _lift_places(sheet: Sheet, dose: Array, at: Any, touch: Touch, chemistry: Chemistry) -> None:
    """One touch on some places of a sheet, or on all (...)."""
    network = chemistry.network
    share = dose[at]
    load = sheet.load_g_per_m2[at].astype(float)
    mol = load / chemistry.molar_mass_g_per_mol
    # what an earlier touch left is taken up by the new film, in part by a thin one
    woken = touch.woken(share)
    residue = sheet.residue_mol_per_m2[at]
    h0 = share * touch.dose_mol_per_m2 + woken * residue
    s = depletion.exposure(network, mol, h0, touch.tau(share))
    gram = depletion.shares(network, s) * chemistry.mass_ratio
    after = np.einsum("...ij,...j->...i", gram, load)
    sheet.load_g_per_m2[at] = after
    optical = sheet.optical_g_per_m2[at]
    sheet.optical_g_per_m2[at] = np.einsum("...ij,...j->...i", gram, optical)
    sheet.coats[at] *= coats_share(load, after, chemistry.mean_absorptivity_l_per_g_cm)
    left = np.maximum(depletion.oxidant_left(network, s, mol, h0), 0.0)
    sheet.residue_mol_per_m2[at] = (1.0 - woken) * residue + touch.kept * left
    fresh = (1.0 - sheet.bleached[at]) * np.exp(-chemistry.tint_rate_l_per_mol_s * s)
    sheet.bleached[at] = 1.0 - fresh


def coats_share(before: Array, after: Array, mean_absorptivity: Array) -> Array:
    """By what the running load falls when loads change: sum(load m) after/before, 1 for none.

    m is a colourant's mean absorptivity from 400 to 700 nm, so what no longer stops light no
    longer crowds out a later wash.

    Loads [g/m2], shape (..., colourants), m [L/(g cm)], shape (colourants,); [-], shape (...).
    """
    strength = before @ mean_absorptivity
    share = np.divide(
        after @ mean_absorptivity, strength, out=np.ones_like(strength), where=strength > 0.0
    )
    return share


def water_lift(
    sheet: Sheet,
    mask: Mask | float,
    minutes: float,
    chemistry: Chemistry,
    habits: TouchHabits | None = None,
    driven: Array | None = None,
) -> None:
    """Wet, wait, blot: the loose part of each colourant leaves, stains stay. In place.

    Takes loose x blotted x (1 - exp(-t/t0)) of each load (`tables/bleach.toml`, assumed). The
    sheet doesn't remember what was loose, so a second water lift takes the same share again.

    The mask is [-], 0 to 1 or uint16, shape (rows, columns); minutes [min].

    driven : share of what has risen that creeps there with the water [-], same shape, its sum 0
    """
    habits = habits or touch_habits()
    _refuse_unless(minutes, "A water lift", "minutes")
    risen = -np.expm1(-minutes / habits.loosening_minutes)
    taken = habits.water_blotted * share_of(mask)
    if driven is not None:
        taken = taken - driven
    _take_away(sheet, taken, risen, chemistry)


def rinse(
    sheet: Sheet, mask: Mask | float, chemistry: Chemistry, habits: TouchHabits | None = None
) -> None:
    """Blot, clean water, blot: most active bleach goes, and some of the loose ink. In place.

    The mask is [-], 0 to 1 or uint16, shape (rows, columns).
    """
    habits = habits or touch_habits()
    _take_away(sheet, share_of(mask), habits.water_rinsed, chemistry)
    stays = 1.0 - share_of(mask) * (1.0 - habits.kept_when_rinsed)
    sheet.residue_mol_per_m2 *= stays.astype(sheet.coats.dtype)


def _take_away(sheet: Sheet, mask: Array, share: float, chemistry: Chemistry) -> None:
    """Take a share of what is loose of each colourant away, times the mask; below 0 it comes."""
    check_shape(mask, sheet.shape, "The mask of the water")
    loose, m = share * chemistry.loose_share, chemistry.mean_absorptivity_l_per_g_cm
    covered, kind = np.broadcast_to(mask, sheet.shape), sheet.coats.dtype
    # a few rows at a time: working copies that outgrow the processor's own memory cost five times
    rows = max(1, CHUNK_PX // max(1, math.prod(sheet.shape[1:])))
    for start in range(0, sheet.shape[0], rows):
        at = slice(start, start + rows)
        before = sheet.load_g_per_m2[at].astype(float)
        stays = 1.0 - covered[at][..., None] * loose
        sheet.load_g_per_m2[at] *= stays.astype(kind)
        sheet.optical_g_per_m2[at] *= stays.astype(kind)
        sheet.coats[at] *= coats_share(before, before * stays, m).astype(kind)
