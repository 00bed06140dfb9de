"""The compiled blurs: bit for bit `glaze.physics.blur.spread` and `glaze.physics.flow.creep`.

Sums over taps run in their order and in float64, with pixels side by side, so that LLVM turns them
into vector code. tests/sheet/test_compiled_blur.py holds them to the plain ones.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from glaze.physics.flow import creep_weights
from glaze.sheet.kernel import kernel


def spread_fast(field: NDArray[np.float32], taps: NDArray[np.float64]) -> NDArray[np.float32]:
    """The compiled form of `glaze.physics.blur.spread`.

    Field of any unit, shape (rows, columns), same shape back; taps [-], shape (taps,), odd.
    """
    out = np.empty(field.shape, np.float32)
    blur_box(np.ascontiguousarray(field), (0, 0, *field.shape), taps, out)
    return out


def creep_fast(dose: NDArray[np.float32], reach_mm: float, dpi: float) -> NDArray[np.float32]:
    """The compiled form of `glaze.physics.flow.creep`.

    Dose [-], shape (rows, columns), 0 to 1, same shape back.
    """
    weights = creep_weights(reach_mm, dpi)
    if weights.size == 1:
        return dose.copy()
    (rows, columns), half = dose.shape, weights.size // 2
    out = np.empty(dose.shape, np.float32)
    turned_back = np.pad(dose, half, mode="symmetric")
    blur_box(turned_back, (half, half, half + rows, half + columns), weights, out)
    return np.clip(out, 0.0, 1.0)


@kernel()
def blur_box(field, box, taps, out):  # type: ignore[no-untyped-def]
    """A box of a field blurred along rows, then columns; its edge pixels go on outward.

    Parameters
    ----------
    field : float32, shape (rows, columns); box : top, left, bottom, right
    taps : symmetric weights, float64, odd in number
    out : of the box, or larger; in between is rounded as it is
    """
    top, left, bottom, right = box
    half, last = taps.size // 2, field.shape[0] - 1
    first, stop = max(left - half, 0), min(right + half, field.shape[1])
    before, there, count = first - (left - half), stop - first, right - left
    total = np.empty(count + 2 * half)
    row = np.empty(count + 2 * half, out.dtype)
    for y in range(top, bottom):
        here = field[y, first:stop]
        for x in range(there):
            total[x] = np.float64(here[x]) * taps[half]
        for j in range(half):
            one = field[max(y - half + j, 0), first:stop]
            other = field[min(y + half - j, last), first:stop]
            for x in range(there):
                total[x] += (np.float64(one[x]) + np.float64(other[x])) * taps[j]
        for x in range(there):
            row[before + x] = total[x]
        row[:before] = row[before]
        row[before + there :] = row[before + there - 1]
        for x in range(count):
            total[x] = np.float64(row[x + half]) * taps[half]
        for j in range(half):
            one, other = row[j:], row[2 * half - j :]
            for x in range(count):
                total[x] += (np.float64(one[x]) + np.float64(other[x])) * taps[j]
        for x in range(count):
            out[y - top, x] = total[x]
