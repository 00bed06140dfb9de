"""Masks from outside: where a film lies, as a share of a full one, or told why it can't be used.

Masks come as true and false, as shares from 0 to 1, or as whole numbers of 8 or 16 bits with 255
or 65535 for 1. Taken for one another they would paint nothing or far too much, so they are told.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glaze.errors import InputError
from glaze.sheet.units import FULL

Shares = NDArray[np.float64]

WHOLE = {"uint8": 255, "uint16": FULL}
"""Whole numbers that stand for a full film, by dtype."""
MOST_FILMS = 100.0
"""More films at one place [-] than anybody lays; fields of 255 or 65535 lie beyond."""


def shares_of(mask: ArrayLike, shape: tuple[int, ...], what: str = "The mask") -> Shares:
    """A mask as shares of a full film.

    Parameters
    ----------
    mask : [-], of `shape` or broadcast to it: bool, floats from 0 to 1, or uint8 or uint16
        with 255 or 65535 for 1; a lone number is a share
    shape : of what it lies on, as (rows, columns)
    what : stands in front of the message

    Returns
    -------
    [-], shape `shape`, 0 to 1

    Raises
    ------
    InputError : for another shape or kind of number, for shares out of range, and for whole
        numbers 0 and 1 that look like true and false
    """
    given = np.asarray(mask)
    found = given.astype(np.float64) if given.ndim == 0 and given.dtype.kind in "iu" else given
    if found.dtype.kind not in "bf" and found.dtype.name not in WHOLE:
        raise InputError(
            f"{what} holds {_kind(found)}; it may hold True and False, shares from 0 to 1, or "
            "uint8 or uint16 with 255 or 65535 for a full film. Divide it to shares from 0 to 1."
        )
    check_shape(found, shape, what)
    shares = found.astype(np.float64) / WHOLE.get(found.dtype.name, 1)
    if found.dtype.name in WHOLE and found.max(initial=0) == 1:
        raise InputError(
            f"{what} holds {_kind(found)} up to 1, of {WHOLE[found.dtype.name]} for full: it "
            "would paint next to nothing. Give True and False (mask > 0) or shares from 0 to 1."
        )
    check_range(shares, 0.0, 1.0, what, "shares of a full film; divide by the greatest first")
    return np.broadcast_to(shares, shape)


def check_film(film: NDArray[Any], shape: tuple[int, ...]) -> None:
    """Refuse what can't be films in floats of `shape`, 1 for a full one [-].

    A drying line may be twice as thick as its wash, and several coats lie in one film.
    """
    if film.dtype.kind != "f":
        raise InputError(
            f"A film as {film.dtype.name}; give floats, 1 for a full film. Fields of whole numbers "
            "are divided by what stands for a full one first."
        )
    check_shape(film, shape, "The film")
    check_range(film, 0.0, MOST_FILMS, "The film", "1 for a full one")


def check_cover(cover: NDArray[Any], what: str) -> None:
    """Refuse a coverage that isn't uint16 with 65535 for full, shape (rows, columns)."""
    if cover.dtype != np.uint16 or cover.ndim != 2:
        raise InputError(
            f"{what} is {cover.dtype.name} of shape {cover.shape}; give uint16, 65535 for full, in "
            "rows and columns. Shares from 0 to 1: np.rint(65535 * shares).astype(np.uint16)."
        )


def check_shape(array: NDArray[Any], shape: tuple[int, ...], what: str) -> None:
    """Refuse an array that can't be broadcast to a shape. Numbers of any unit [-]."""
    try:
        fits = np.broadcast_shapes(array.shape, shape) == tuple(shape)
    except ValueError:
        fits = False
    if not fits:
        raise InputError(
            f"{what} has shape {array.shape}; what it lies on has {tuple(shape)}. Give one number "
            "for each of its rows and columns."
        )


def check_range(array: NDArray[Any], low: float, high: float, what: str, hint: str = "") -> None:
    """Refuse numbers that are none (NaN) or lie outside a range. Of any shape and unit [-]."""
    wrong = ~((array >= low) & (array <= high))
    if wrong.any():
        first = np.asarray(array)[wrong][0]
        raise InputError(
            f"{what} holds {first:g} ({np.count_nonzero(wrong)} of {array.size} numbers are out of "
            f"range); allowed: {low:g} to {high:g}{', ' if hint else ''}{hint}."
        )


def _kind(array: NDArray[Any]) -> str:
    """What an array holds, in words."""
    return {"c": "complex numbers", "O": "things that aren't numbers", "U": "text"}.get(
        array.dtype.kind, f"whole numbers of the kind {array.dtype.name}"
    )
