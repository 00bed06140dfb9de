"""An ink from its own measured spectrum: the reflectance of a swatch, made a bottle."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glaze.errors import InputError
from glaze.materials.dye import Dye, read_dye
from glaze.materials.entries import Reader, tell
from glaze.materials.ink import Ink, Palette, find_name
from glaze.materials.paper import Paper
from glaze.physics.absorption import (
    SQUARE_METRE_TO_PATH,
    glaze_weight,
    path,
    path_from_reflectance,
)

Array = NDArray[np.float64]

G_PER_L = 1.0
"""Dye in the bottle: by definition, as only its product with the absorptivity shows."""
SWATCH_FACTOR = 1.3
"""Strength known from one swatch: the film of one brush in one hand. Guess: nothing measured."""


def absorptivity_of(
    wavelength_nm: ArrayLike,
    reflectance: ArrayLike,
    paper: Paper,
    bare: ArrayLike | None = None,
    parts_water: float = 0.0,
) -> Array:
    """Absorptivity [L/(g cm)] of what lies in a swatch, at 1 g/L in the bottle.

    The law of the stack turned round (`path_from_reflectance`), less the paper's gain and the
    load law. Where the swatch is lighter than the paper, as by noise, it counts as clear.

    Parameters
    ----------
    wavelength_nm : [nm], shape (wavelengths,), rising, two or more
    reflectance : of one coat, dry [-], same shape, above the paper's surface reflectance, to 1
    paper : what it was painted on
    bare : reflectance of the bare sheet [-], same shape; the paper's own if None
    parts_water : n of "1 part ink + n parts water" that was painted

    Returns
    -------
    [L/(g cm)], same shape
    """
    at_nm, R = _spectrum(wavelength_nm, reflectance, paper)
    Rp = paper.reflectance(at_nm) if bare is None else _spectrum(at_nm, bare, paper)[1]
    if not 0.0 <= parts_water < np.inf:
        raise InputError(f"A swatch of 1 part + {parts_water:g} parts water; give 0 or more parts.")
    A = path_from_reflectance(R, Rp, paper.surface_reflectance, paper.path_spread)
    one_neat_coat = np.maximum(A, 0.0) / glaze_weight(0.0, 1.0 / (1.0 + parts_water))
    return np.asarray(one_neat_coat / unit_path(paper), np.float64)


def unit_path(paper: Paper) -> float:
    """Path of a neat coat of an ink of 1 g/L with an absorptivity of 1 L/(g cm) [-]."""
    load_g_per_m2 = G_PER_L * paper.film_ml_per_m2 / 1000.0
    return float(path(SQUARE_METRE_TO_PATH * load_g_per_m2, paper.path_gain))


def with_measured_ink(
    palette: Palette,
    name: str,
    wavelength_nm: ArrayLike,
    reflectance: ArrayLike,
    paper: Paper,
    bare: ArrayLike | None = None,
    parts_water: float = 0.0,
) -> Palette:
    """The palette with one bottle more, or another in its place, from the spectrum of a swatch.

    Its colour is measured; how bleach and water take it isn't, and counts as assumed. See
    `absorptivity_of` for shapes and units.

    Wavelengths [nm] and reflectances [-] are of shape (wavelengths,).

    Raises
    ------
    InputError : for a falling axis, other shapes, values out of range, a name that can't be used
    """
    name = name.strip()
    if not name or any(sign in name for sign in "+,;:") or name.lower() == "water":
        raise InputError(
            f'An ink called "{name}": give it a name other than water, without + , ; or :'
        )
    curve = absorptivity_of(wavelength_nm, reflectance, paper, bare, parts_water)
    if not curve.any():
        raise InputError(
            f'The swatch of "{name}" is nowhere darker than the paper: it holds no ink. Give the '
            "reflectance of the painted swatch, and of the bare sheet as `bare`."
        )
    dye = _dye(f"{name}, as measured", np.asarray(wavelength_nm, float), curve)
    held = find_name(name, palette.inks)
    taken = {ink.key for ink in palette.inks.values() if ink.name != held}
    key = next(
        (c for c in f"{name.upper()}XYZABCDEFGHIJKLMNOPQRSTUVW" if c.isupper() and c not in taken),
        "?",
    )
    ink = Ink(name, key, {dye.name: G_PER_L}, how="measured", strength_factor=SWATCH_FACTOR)
    others = {other: found for other, found in palette.inks.items() if other != held}
    more = replace(palette, inks=others | {name: ink}, dyes={**palette.dyes, dye.name: dye})
    return more.counted_with(palette.dropper)


def _dye(name: str, at_nm: Array, absorptivity: Array) -> Dye:
    """A dye by its curve; all else at the usual values of an own ink."""
    problems: list[str] = []
    rows = [[float(nm), float(value)] for nm, value in zip(at_nm, absorptivity, strict=True)]
    dye = read_dye(name, Reader({"curve_l_per_g_cm": rows}, name, problems))
    tell(problems)
    return dye


def _spectrum(
    wavelength_nm: ArrayLike, reflectance: ArrayLike, paper: Paper
) -> tuple[Array, Array]:
    """A measured spectrum as two arrays, checked."""
    at_nm, R = np.asarray(wavelength_nm, float), np.asarray(reflectance, float)
    if at_nm.ndim != 1 or at_nm.size < 2 or R.shape != at_nm.shape:
        raise InputError(
            f"A spectrum of {at_nm.shape} wavelengths and {R.shape} reflectances; give two lists "
            "alike in length, of two or more numbers each."
        )
    if not (np.diff(at_nm) > 0).all():
        raise InputError(
            f"The wavelengths run from {at_nm[0]:g} to {at_nm[-1]:g} nm and don't rise all the "
            "way; turn both lists round (wavelength_nm[::-1], reflectance[::-1]) or sort them."
        )
    low = paper.surface_reflectance
    wrong = ~((low < R) & (R <= 1.0))
    if wrong.any():
        raise InputError(
            f"Reflectance {R[wrong][0]:g} at {at_nm[wrong][0]:g} nm; it lies above {low:g}, what "
            "the surface of this paper returns, and up to 1 (per cent figures: divide by 100)."
        )
    return at_nm, R
