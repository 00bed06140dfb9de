"""The compiled end of the per-pixel chain: linear sRGB -> line -> picture numbers.

The specification is plain numpy: `glaze.painting.develop.lined`, `glaze.physics.colour`;
`tests/sheet/test_compiled_wash.py` holds these kernels to it.
"""

from __future__ import annotations

import numpy as np

from glaze.physics.colour import LUMINANCE_OF_RGB
from glaze.sheet.kernel import kernel

_FAST = {"contract", "nsz"}  # no reassociation: the order of sums stays as written
_zero, _half, _one = np.float32(0), np.float32(0.5), np.float32(1)
_y_of_r, _y_of_g, _y_of_b = (np.float32(share) for share in LUMINANCE_OF_RGB)
_tiny = np.float32(1e-12)
_full = np.float32(65535)


@kernel(fastmath=_FAST, error_model="numpy", inline="always")
def _lined(r, g, b, line, black):  # type: ignore[no-untyped-def]
    """`glaze.painting.develop.lined` of one pixel."""
    if line == _one:
        return r, g, b
    share = (_one - line) / (_one - black[3])
    y = _y_of_r * r + _y_of_g * g + _y_of_b * b
    y_black = _y_of_r * black[0] + _y_of_g * black[1] + _y_of_b * black[2]
    left = min(_one, max(y, _zero) / max(y_black, _tiny))
    r += share * (left * black[0] - r)
    g += share * (left * black[1] - g)
    b += share * (left * black[2] - b)
    return r, g, b


@kernel(fastmath=_FAST, error_model="numpy")
def encode8(rgb, line, black, table, out):  # type: ignore[no-untyped-def]
    """Light to 8-bit picture numbers; returns how many pixels had to be mapped into sRGB.

    Colours outside sRGB move towards the grey of the same luminance by the least share that
    brings them in (as `glaze.physics.colour.map_into_gamut`).

    Parameters
    ----------
    rgb : linear sRGB, shape (pixels, 3); left as it is
    line : transmittance of the sketch's line [-], shape (pixels,)
    black : linear sRGB of its black on bare paper, and that as a transmittance [-], shape (4,)
    table : sRGB number of each of 65536 equal steps of light, uint8
    out : shape (pixels, 3), uint8, written
    """
    mapped = 0
    for p in range(rgb.shape[0]):
        r, g, b = _lined(rgb[p, 0], rgb[p, 1], rgb[p, 2], line[p], black)
        r, g, b, moved = _mapped(r, g, b)
        mapped += moved
        out[p, 0] = table[int(r * _full + _half)]
        out[p, 1] = table[int(g * _full + _half)]
        out[p, 2] = table[int(b * _full + _half)]
    return mapped


@kernel(fastmath=_FAST, error_model="numpy")
def encode16(rgb, line, black, out):  # type: ignore[no-untyped-def]
    """Light to 16-bit picture numbers (IEC 61966-2-1); otherwise as `encode8`."""
    mapped = 0
    for p in range(rgb.shape[0]):
        r, g, b = _lined(rgb[p, 0], rgb[p, 1], rgb[p, 2], line[p], black)
        r, g, b, moved = _mapped(r, g, b)
        mapped += moved
        out[p, 0] = int(_srgb(r) * _full + _half)
        out[p, 1] = int(_srgb(g) * _full + _half)
        out[p, 2] = int(_srgb(b) * _full + _half)
    return mapped


@kernel(fastmath=_FAST, error_model="numpy", inline="always")
def _srgb(v):  # type: ignore[no-untyped-def]
    if v <= np.float32(0.0031308):
        return np.float32(12.92) * v
    return np.float32(1.055) * v ** np.float32(1 / 2.4) - np.float32(0.055)


@kernel(fastmath=_FAST, error_model="numpy", inline="always")
def _mapped(r, g, b):  # type: ignore[no-untyped-def]
    low, high = min(r, g, b), max(r, g, b)
    if low >= _zero and high <= _one:
        return r, g, b, 0
    y = _y_of_r * r + _y_of_g * g + _y_of_b * b
    y = min(max(y, _zero), _one)
    share = _one
    if low < _zero:
        share = min(share, y / (y - low))
    if high > _one:
        share = min(share, (_one - y) / (high - y))
    r = min(max(y + share * (r - y), _zero), _one)
    g = min(max(y + share * (g - y), _zero), _one)
    b = min(max(y + share * (b - y), _zero), _one)
    return r, g, b, 1
