"""Feathered edges: a Gaussian of finite reach, the same at every place of the sheet."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.physics.blur import gaussian_taps
from glaze.region.cover import Boxed, kept_inside
from glaze.sheet.compiled_blur import spread_fast
from glaze.sheet.field import box_of, raise_to, zero_field
from glaze.sheet.mask import check_cover
from glaze.sheet.rect import Rect

# a straight edge goes from 6.7 % to 93.3 % within 3 standard deviations; that is called its width
WIDTH_IN_SIGMAS = 3.0
FINEST_SIGMA = 8.0  # [px] broader feathers are worked out on coarser pixels


def soften(cover: NDArray[np.uint16], width_px: float) -> NDArray[np.uint16]:
    """Coverage with its edges feathered over a width, half of it to either side.

    Broad feathers are worked out on pixels 2, 4, 8 ... times as coarse, of which the standard
    deviation still holds at least 8, and read between their middles.

    Coverage with 65535 for full, shape (rows, columns), same shape back; width [px].
    """
    check_cover(cover, "A coverage to soften")
    if not 0.0 <= width_px < np.inf:
        raise InputError(f"An edge {width_px:g} pixels wide; give 0 or more.")
    return softened(Boxed(cover, box_of(cover)), width_px).mask


def softened(one: Boxed, width_px: float) -> Boxed:
    """The same within the box that holds a coverage; memory of its own."""
    sigma = width_px / WIDTH_IN_SIGMAS
    if one.box.empty or sigma < 0.1:  # less than a hundredth of the neighbour would show
        return kept_inside(one, ())
    made: NDArray[np.uint16] = zero_field((one.mask.shape[0], one.mask.shape[1]))
    box = one.box.grown(int(np.ceil(3 * sigma)) + 1, made.shape)
    step = 1
    while sigma / (2 * step) >= FINEST_SIGMA:
        step *= 2
    # blocks lie on one grid for the sheet, wherever the box begins
    box = Rect(box.top // step * step, box.left // step * step, box.bottom, box.right)
    share = one.mask[box.slices].astype(np.float32) / np.float32(65535)
    soft = _coarse(share, sigma, step) if step > 1 else spread_fast(share, gaussian_taps(sigma))
    mask = np.rint(np.clip(soft, 0, 1) * np.float32(65535)).astype(np.uint16)
    raise_to(made, mask, box, box[:2])
    return Boxed(made, box)


def _coarse(share: NDArray[np.float32], sigma: float, step: int) -> NDArray[np.float32]:
    rows, columns = share.shape
    pads = [(0, -rows % step), (0, -columns % step)]
    blocks = np.pad(share, pads, mode="edge")
    tall, wide = blocks.shape[0] // step, blocks.shape[1] // step
    mean = blocks.reshape(tall, step, wide, step).mean(axis=(1, 3), dtype=np.float32)
    soft = spread_fast(mean, gaussian_taps(sigma / step))
    return _between(_between(soft, rows, step, 0), columns, step, 1)


def _between(coarse: NDArray[np.float32], length: int, step: int, axis: int) -> NDArray[np.float32]:
    """Values between the middles of blocks, along one axis."""
    place = np.clip((np.arange(length) + 0.5) / step - 0.5, 0, coarse.shape[axis] - 1)
    low = place.astype(np.int64)
    high = np.minimum(low + 1, coarse.shape[axis] - 1)
    share = (place - low).astype(np.float32)
    share = share[:, None] if axis == 0 else share
    start = np.take(coarse, low, axis)
    return np.asarray(start + (np.take(coarse, high, axis) - start) * share, np.float32)
