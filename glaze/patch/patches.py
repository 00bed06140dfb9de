"""Inks, paper and light together: what any mix, glaze or lift looks like on a patch of paper.

`glaze.pipeline` paints whole sheets with the same constants; the planning functions and charts
ask for patches. Patches are a `Sheet` of one row, one column for each, so that thousands of
recipes are laid at once; the law is `glaze.sheet.wash`'s and `glaze.sheet.lift`'s.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glaze.errors import InputError
from glaze.materials.mix import Mix
from glaze.patch.table import Table
from glaze.physics.absorption import SQUARE_METRE_TO_PATH, path, stack_reflectance
from glaze.physics.colour import lab_from_xyz, munsell_value
from glaze.physics.crowding import crowding_overlap
from glaze.physics.fluorescence import glow as glow_of_dyes
from glaze.physics.spectrum import REFERENCE_NM
from glaze.sheet.lift import Chemistry, Touch, Touches, chemistry_of, lift, touch_of
from glaze.sheet.mask import check_range
from glaze.sheet.state import Sheet, bare
from glaze.sheet.wash import VISIBLE_NM, check_wash, lay, parted_by_none

Array = NDArray[np.float64]


def bare_patches(table: Table, count: int = 1) -> Sheet:
    """Bare paper, one patch for each case, shape (1, count)."""
    return bare((1, count), len(table.dyes))


def glaze(
    table: Table,
    sheet: Sheet,
    mixes: Mix | Sequence[Mix],
    coats: float = 1,
    film_ml_per_m2: float | None = None,
    thickness: Array | float = 1.0,
) -> Sheet:
    """Lay a wash on dry patches, in place; one mix for all of them or one for each column.

    The film is the paper's own unless it is given [ml/m2]; `thickness` of it lies there [-], of
    the patches' shape (rows, columns) or one for all.
    """
    each = [mixes] if isinstance(mixes, Mix) else mixes
    if not isinstance(mixes, Mix) and len(each) != sheet.shape[1]:
        raise InputError(
            f"{len(mixes)} mixes for {sheet.shape[1]} patches; give one mix for all, or one for "
            "each patch."
        )
    film = table.paper.film_ml_per_m2 if film_ml_per_m2 is None else film_ml_per_m2
    for mix in each:
        check_wash(mix, coats, film, table.dyes)
    contents, strength = table.contents_g_per_l(each), np.array([m.strength for m in each])
    lay_contents(table, sheet, contents, strength, coats, film, thickness)
    return sheet


def lay_contents(
    table: Table,
    sheet: Sheet,
    contents_g_per_l: Array,
    strength: Array,
    coats: float = 1,
    film_ml_per_m2: float | None = None,
    thickness: Array | float = 1.0,
) -> Sheet:
    """Lay a wash of its own on each dry patch, in place.

    contents_g_per_l : of the liquids [g/L], shape (..., colourants); strength : q [-], shape (...)
    thickness : of the film that lies there [-], shape (...) or one for all
    """
    paper = table.paper
    film = paper.film_ml_per_m2 if film_ml_per_m2 is None else film_ml_per_m2
    overlap = np.zeros((3, len(table.dyes)))
    if sheet.coats.any():  # else nothing lies below that could crowd it
        neat = contents_g_per_l / np.maximum(strength, 1e-12)[..., None]
        load = neat * paper.film_ml_per_m2 / 1000.0
        overlap = crowding_overlap(load, table.visible_path_m2_per_g, VISIBLE_NM, paper.path_spread)
    full = contents_g_per_l * film * coats / 1000.0
    q = strength * coats * film / paper.film_ml_per_m2
    lay(sheet, parted_by_none(q, full, overlap), thickness)
    return sheet


def first_washes(table: Table, contents_g_per_l: Array, strength: Array, coats: float = 1) -> Sheet:
    """Bare paper with one wash on each patch, for thousands at once; as `lay_contents`.

    Contents [g/L] of shape (patches, colourants), strength [-] of shape (patches,).
    """
    return lay_contents(
        table, bare_patches(table, len(strength)), contents_g_per_l, strength, coats
    )


def bleach_patches(
    table: Table, sheet: Sheet, touches: Touches, dose: Array | float = 1.0
) -> Sheet:
    """Lift dry patches with the table's bleach, in place.

    dose : share of a full film [-], of the patches' shape (rows, columns) or one for all
    """
    touch = touch_of(touches, table.bleach, table.room, table.paper)
    ph = table.bleach.diluted_ph(touches.parts_water)
    lift(sheet, dose, touch, chemistry_of(table.dyes, table.paper, table.room.temperature_c, ph))
    return sheet


def bleach_each(table: Table, sheet: Sheet, touches: Sequence[Touches]) -> Sheet:
    """Lift dry patches with one touch each, in place, all at once. Sheet of shape (1, touches)."""
    touch, chemistry = touch_of_each(table, touches)
    lift(sheet, 1.0, touch, chemistry)
    return sheet


def touch_of_each(table: Table, touches: Sequence[Touches]) -> tuple[Touch, Chemistry]:
    """What one touch on each of many patches means: a touch and a chemistry with that axis."""
    each = [touch_of(one, table.bleach, table.room, table.paper) for one in touches]
    touch = replace(
        each[0],
        dose_mol_per_m2=np.array([one.dose_mol_per_m2 for one in each]),
        film_l_per_m2=np.array([one.film_l_per_m2 for one in each]),
        seconds=np.array([one.seconds for one in each]),
        kept=np.array([one.kept for one in each]),
    )
    ph = np.array([table.bleach.diluted_ph(one.parts_water) for one in touches])
    warm = np.full(ph.shape, table.room.temperature_c)
    return touch, chemistry_of(table.dyes, table.paper, warm, ph)


def seen_through(
    table: Table, A: Array, bleached: Array | float = 0.0, shade: Array | float = 1.0
) -> Array:
    """Reflectance of the table's paper under a path A [-], shape (..., bands).

    bleached : how far the paper is bleached, shape (...) with an axis for the bands
    shade : by what the paper's own reflectance is multiplied, for bands
    """
    Rp, paper = (table.paper_reflectance + bleached * table.bleached_gain) * shade, table.paper
    return stack_reflectance(A, Rp, paper.surface_reflectance, paper.path_spread)


def reflectance_at(table: Table, sheet: Sheet, wavelength_nm: ArrayLike) -> Array:
    """Reflectance of the patches [-] at any wavelengths [nm], shape (rows, columns, wavelengths).

    Exact where the bands are samples. Wavelengths run from 380 to 780 nm, as curves are known.
    """
    at_nm = np.atleast_1d(np.asarray(wavelength_nm, dtype=float))
    check_range(at_nm, REFERENCE_NM[0], REFERENCE_NM[-1], "The list of wavelengths [nm]")
    paper, curves = table.paper, [dye.absorptivity_l_per_g_cm(at_nm) for dye in table.dyes]
    absorptivity = np.array(curves).reshape(len(table.dyes), at_nm.size)
    A = sheet.optical_g_per_m2.astype(float) @ path(
        absorptivity * SQUARE_METRE_TO_PATH, paper.path_gain
    )
    Rp = paper.reflectance(at_nm)
    Rp = Rp + sheet.bleached[..., None] * (paper.bleached_reflectance(at_nm) - Rp)
    return stack_reflectance(A, Rp, paper.surface_reflectance, paper.path_spread)


def reflectance(
    table: Table, sheet: Sheet, gain: Array | float = 1.0, shade: Array | float = 1.0
) -> Array:
    """Reflectance of the patches [-], shape (rows, columns, bands).

    gain, shade : by what more than its figure ink works in the paper, and the paper is lighter
    """
    A = (sheet.optical_g_per_m2.astype(float) @ table.path_m2_per_g) * gain
    return seen_through(table, A, sheet.bleached[..., None], shade)


def xyz(table: Table, sheet: Sheet, gain: Array | float = 1.0, shade: Array | float = 1.0) -> Array:
    """XYZ of the patches under the table's light, Y = 1 for the perfect diffuser.

    Shape (..., 3), [-]; `gain` and `shade` as for `reflectance`.
    """
    seen = reflectance(table, sheet, gain, shade) @ table.light.xyz_weights
    return seen if table.glow is None else seen + glow_xyz(table, sheet, gain, shade)


def glow_xyz(
    table: Table, sheet: Sheet, gain: Array | float = 1.0, shade: Array | float = 1.0
) -> Array:
    """XYZ that the glow of fluorescent dyes adds; nothing if the table's `neon` is off.

    Shape (..., 3), [-].
    """
    if table.glow is None:
        return np.zeros((*sheet.shape, 3))
    return glow_of_dyes(
        sheet.optical_g_per_m2 * gain,
        sheet.load_g_per_m2.astype(float) @ table.glow.mol_per_g,
        table.path_m2_per_g,
        table.glow.quantum_yield,
        (table.paper_reflectance + sheet.bleached[..., None] * table.bleached_gain) * shade,
        table.paper.surface_reflectance,
        table.paper.path_spread,
        table.glow.photon_weights,
        table.glow.emission_xyz,
    )


def lab(table: Table, sheet: Sheet) -> Array:
    """CIELAB of the patches under the table's light, against the perfect diffuser.

    Shape (..., 3), [-].
    """
    return lab_from_xyz(xyz(table, sheet), table.light.white_xyz)


def value(table: Table, sheet: Sheet) -> Array:
    """Munsell value of the patches, 0 black to 10 white, shape (rows, columns). [value steps]."""
    return munsell_value(xyz(table, sheet)[..., 1])


def linear_rgb(table: Table, sheet: Sheet) -> Array:
    """Linear sRGB of the patches as a D65 screen shows them, not limited to 0 to 1.

    Shape (..., 3), [-], 1 for white.
    """
    seen = reflectance(table, sheet) @ table.light.display_weights
    if table.glow is None:
        return seen
    return seen + glow_xyz(table, sheet) @ table.light.display_matrix
