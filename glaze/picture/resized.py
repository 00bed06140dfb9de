"""Images with fewer pixels, each the mean of what it covers, or with more, read between them."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.picture.on_disk import filled_field

ROWS_AT_ONCE = 256  # bounds the memory of a large sheet; no effect on the result


def reduce(linear_rgb: NDArray[Any], scale: float) -> NDArray[Any]:
    """The picture at a smaller scale: the mean, in linear light, of the area under each pixel.

    Rows and columns come to the nearest whole number of pixels, at least 1.

    Parameters
    ----------
    linear_rgb : shape (rows, columns, ...), floats
    scale : above 0, up to 1
    """
    check_scale(scale)
    if scale == 1.0:
        return linear_rgb
    return averaged(linear_rgb, scaled(linear_rgb.shape[:2], scale))


LEAST_SCALE = 0.001
"""Thirty pixels of the largest picture there is."""


def check_scale(scale: float, most: float = 1.0) -> None:
    """Refuse a scale that no picture can have."""
    if not LEAST_SCALE <= scale <= most:
        raise InputError(f"The scale is {scale:g}; allowed: {LEAST_SCALE:g} to {most:g}.")


def scaled(shape: tuple[int, ...], scale: float) -> tuple[int, int]:
    """Rows and columns at a smaller scale, to the nearest whole number, at least 1."""
    return max(1, round(shape[0] * scale)), max(1, round(shape[1] * scale))


def averaged(
    image: NDArray[Any],
    shape: tuple[int, int],
    strip: range | None = None,
    rows: int | None = None,
) -> NDArray[Any]:
    """The mean of what lies under each of fewer pixels [any unit], shape (rows, columns, ...).

    shape : rows and columns of the result
    strip : which of its rows, of a picture of so many `rows`; the image is then `rows_under` them
    """
    few = _reduce_rows(image, shape[0], strip, rows)
    turned = np.ascontiguousarray(few.swapaxes(0, 1))
    return np.ascontiguousarray(_reduce_rows(turned, shape[1]).swapaxes(0, 1))


def rows_under(strip: range, rows: int, count: int) -> tuple[int, int]:
    """First and last of so many rows, its end left out, that lie under some of fewer."""
    return strip.start * rows // count, -(-strip.stop * rows // count)


def _reduce_rows(
    image: NDArray[Any], count: int, strip: range | None = None, rows: int | None = None
) -> NDArray[Any]:
    """Mean over `count` equal stretches of the first axis, rows at their ends taken in part."""
    rows, strip = rows or image.shape[0], range(count) if strip is None else strip
    # whole-number arithmetic: stretch i spans rows i * rows / count to (i + 1) * rows / count
    i = np.arange(strip.start, strip.stop)
    start, stop = i * rows, (i + 1) * rows
    first, last = start // count, -(-stop // count)
    smaller = np.zeros((len(i), *image.shape[1:]), image.dtype)
    for n in range(int((last - first).max(initial=0))):
        row = np.minimum(first + n, last - 1)
        inside = np.minimum((row + 1) * count, stop) - np.maximum(row * count, start)
        share = np.where(first + n < last, inside / rows, 0.0).astype(image.dtype)
        smaller += share.reshape(-1, *[1] * (image.ndim - 1)) * image[row - first[0]]
    return smaller


def enlarged(image: NDArray[Any], shape: tuple[int, int]) -> NDArray[np.float32]:
    """An image read between its pixels' middles for more of them (Catmull and Rom's cubic).

    Shares from 0 to 1 [-], shape (rows, columns), to float32 of `shape`; a file where fields lie
    on disk.
    """
    made = filled_field(shape, np.float32)
    (down, rows), (aside, columns) = (
        _cubic(few, many) for few, many in zip(image.shape, shape, strict=True)
    )
    for row in range(0, shape[0], ROWS_AT_ONCE):
        strip = slice(row, row + ROWS_AT_ONCE)
        first = down[:, strip].min()
        seen = image[first : down[:, strip].max() + 1].astype(np.float32)
        wide = sum(seen[:, at] * share for at, share in zip(aside, columns, strict=True))
        tall = sum(
            wide[at - first] * share[:, None]
            for at, share in zip(down[:, strip], rows[:, strip], strict=True)
        )
        np.clip(tall, 0.0, 1.0, out=made[strip])
    return made


def _cubic(few: int, many: int) -> tuple[NDArray[np.intp], NDArray[np.float32]]:
    """For each of many pixels four of few and their shares, each of shape (4, many)."""
    place = (np.arange(many) + 0.5) * few / many - 0.5
    first = np.floor(place)
    t = place - first
    shares = (
        ((2.0 - t) * t - 1.0) * t / 2.0,
        ((3.0 * t - 5.0) * t * t + 2.0) / 2.0,
        ((4.0 - 3.0 * t) * t + 1.0) * t / 2.0,
        (t - 1.0) * t * t / 2.0,
    )
    at = np.clip(first + np.arange(-1, 3)[:, None], 0, few - 1).astype(np.intp)
    return at, np.array(shares, np.float32)
