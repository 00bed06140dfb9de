"""Taking colour off again: bleach that eats dye, water that loosens it, and the rinse.

A touch of bleach is a new film of hypochlorite. What it does to a pixel follows from one number,
the exposure s = integral of concentration dt, which `glaze.physics.depletion` finds from all that
uses up bleach there. This is the plain version, for any leading axes, and the specification;
`glaze.sheet.compiled_lift` is the compiled one for pictures, and there is no third. docs/lift.md
tells the model in words.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.materials.bleach import TouchHabits, touch_habits
from glaze.materials.chemistry import Chemistry, chemistry_of
from glaze.physics import depletion
from glaze.sheet.mask import check_film, check_shape
from glaze.sheet.state import Sheet
from glaze.sheet.touch import Touch, Touches, refuse_unless, touch_of, touch_of_wash

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

CHUNK_PX = 4096
"""Pixels worked on at once by the plain version."""


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
    driven: Array | None = None,
) -> None:
    """Wet, wait, blot: the loose part of each colourant leaves, stains stay. In place.

    Takes loose x blotted x (1 - exp(-t/t0)) of each load (`tables/bleach.toml`, assumed). The
    sheet doesn't remember what was loose, so a second water lift takes the same share again.

    The mask is [-], 0 to 1 or uint16, shape (rows, columns); minutes [min].

    driven : share of what has risen that creeps there with the water [-], same shape, its sum 0
    """
    habits = touch_habits()
    refuse_unless(minutes, "A water lift", "minutes")
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
