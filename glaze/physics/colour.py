"""Colour as numbers: XYZ, Lab, linear sRGB, differences, lightness and the limits of a screen.

XYZ has Y = 1 for the perfect diffuser. Colours run along the last axis. Nothing here imports
colour-science (1.3 s): the formulas are short and are checked against it in the tests.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]

D65_XY = (0.3127, 0.3290)
"""Chromaticity of the white of sRGB [IEC 61966-2-1]."""

_PRIMARIES_XY = ((0.64, 0.33), (0.30, 0.60), (0.15, 0.06))  # red, green, blue [IEC 61966-2-1]

# Cone-like responses of CAT16, equation for M16 in Li et al. (2017), Color Res. Appl. 42, 703.
_M16 = np.array(
    [
        [0.401288, 0.650173, -0.051461],
        [-0.250268, 1.204414, 0.045854],
        [-0.002079, 0.048952, 0.953127],
    ]
)

# Munsell value to luminance factor in percent of the perfect diffuser, ASTM D1535-14, equation 1.
_D1535 = (1.1914, -0.22533, 0.23352, -0.020484, 0.00081939)


def xyz_from_xy(xy: ArrayLike) -> Array:
    """XYZ with Y = 1 of a chromaticity (x, y). Shape (..., 2) to shape (..., 3), [-]."""
    x, y = np.moveaxis(np.asarray(xy, dtype=float), -1, 0)
    return np.stack([x / y, np.ones_like(x), (1.0 - x - y) / y], axis=-1)


D65_XYZ: Array = xyz_from_xy(D65_XY)
"""XYZ of the white of sRGB, (0.9505, 1, 1.0891)."""


def _rgb_to_xyz_matrix() -> Array:
    """Columns are the XYZ of the primaries, scaled so that rgb (1, 1, 1) is the white exactly."""
    primaries = xyz_from_xy(_PRIMARIES_XY).T
    return primaries * np.linalg.solve(primaries, D65_XYZ)


XYZ_FROM_RGB: Array = _rgb_to_xyz_matrix()
"""Linear sRGB to XYZ; from the primaries, as the printed matrix is rounded to four decimals."""

RGB_FROM_XYZ: Array = np.asarray(np.linalg.inv(XYZ_FROM_RGB), dtype=np.float64)
"""XYZ (white D65) to linear sRGB."""

LUMINANCE_OF_RGB: Array = XYZ_FROM_RGB[1]
"""Shares of red, green, blue in the luminance Y: 0.2126, 0.7152, 0.0722."""


def rgb_from_xyz(xyz: ArrayLike) -> Array:
    """Linear sRGB, not limited to 0 to 1, of XYZ seen under D65. Shape (..., 3), [-]."""
    return np.asarray(xyz, dtype=float) @ RGB_FROM_XYZ.T


def xyz_from_rgb(linear_rgb: ArrayLike) -> Array:
    """XYZ, white D65, of linear sRGB. Shape (..., 3), [-]."""
    return np.asarray(linear_rgb, dtype=float) @ XYZ_FROM_RGB.T


def srgb_encode(linear_rgb: ArrayLike) -> Array:
    """Linear 0 to 1 to the sRGB signal 0 to 1 [IEC 61966-2-1]. Same shape, [-]."""
    v = np.asarray(linear_rgb, dtype=float)
    curve = 1.055 * np.maximum(v, 0.0031308) ** (1.0 / 2.4) - 0.055
    return np.where(v <= 0.0031308, 12.92 * v, curve)


def srgb_decode(signal: ArrayLike) -> Array:
    """The sRGB signal 0 to 1 to linear 0 to 1 [IEC 61966-2-1]. Same shape, [-]."""
    v = np.asarray(signal, dtype=float)
    return np.where(v <= 0.04045, v / 12.92, ((np.maximum(v, 0.04045) + 0.055) / 1.055) ** 2.4)


def adaptation(white_from: ArrayLike, white_to: ArrayLike) -> Array:
    """Matrix that carries XYZ seen under one white to the colour that looks alike under another.

    CAT16 with full adaptation (Li et al. 2017); apply as `xyz @ adaptation(...).T`.

    Whites are XYZ [-], shape (3,); the matrix has shape (3, 3).
    """
    gain = (_M16 @ np.asarray(white_to, dtype=float)) / (_M16 @ np.asarray(white_from, dtype=float))
    return np.linalg.solve(_M16, gain[:, None] * _M16)


def lab_from_xyz(xyz: ArrayLike, white: ArrayLike) -> Array:
    """CIE 1976 L*a*b* [CIE 15:2018, equations 8.1 to 8.8] against the XYZ of a white.

    XYZ [-], shape (..., 3), the white of shape (3,); same shape back.
    """
    t = np.asarray(xyz, dtype=float) / np.asarray(white, dtype=float)
    f = np.where(t > (6 / 29) ** 3, np.cbrt(t), t * (29 / 6) ** 2 / 3 + 4 / 29)
    fx, fy, fz = np.moveaxis(f, -1, 0)
    return np.stack([116 * fy - 16, 500 * (fx - fy), 200 * (fy - fz)], axis=-1)


def xyz_from_lab(lab: ArrayLike, white: ArrayLike) -> Array:
    """XYZ of CIE 1976 L*a*b* against the XYZ of a white; the inverse of `lab_from_xyz`.

    Shape (..., 3), [-], the white of shape (3,).
    """
    L, a, b = np.moveaxis(np.asarray(lab, dtype=float), -1, 0)
    fy = (L + 16) / 116
    f = np.stack([fy + a / 500, fy, fy - b / 200], axis=-1)
    t = np.where(f > 6 / 29, f**3, (f - 4 / 29) * 3 * (6 / 29) ** 2)
    return t * np.asarray(white, dtype=float)


def map_into_gamut(linear_rgb: ArrayLike) -> tuple[Array, NDArray[np.bool_]]:
    """Colours a screen can't show, moved towards the grey of the same luminance until they fit.

    The largest share t of the way from the grey g out to the colour that stays within 0 to 1, in
    closed form: t = min over channels of (1 - g)/(c - g) where c > 1, g/(g - c) where c < 0.
    Luminance and the direction of the hue in linear light are kept. Y outside 0 to 1 is clipped.

    Parameters
    ----------
    linear_rgb : linear sRGB, shape (..., 3), any range

    Returns
    -------
    mapped : shape (..., 3), 0 to 1; colours that fitted already are returned unchanged, bit for bit
    moved : shape (...), True where the colour was moved
    """
    rgb = np.asarray(linear_rgb, dtype=float)
    moved = np.asarray(((rgb < 0.0) | (rgb > 1.0)).any(axis=-1))
    mapped = rgb.copy()
    outside = rgb[moved]
    luminance = (outside @ LUMINANCE_OF_RGB)[..., None]
    grey = np.clip(luminance, 0.0, 1.0)
    away = outside - luminance
    room = np.where(away > 0.0, 1.0 - grey, grey)
    share = np.divide(room, np.abs(away), out=np.ones_like(away), where=np.abs(away) > room)
    mapped[moved] = np.clip(grey + share.min(axis=-1, keepdims=True) * away, 0.0, 1.0)
    return mapped, moved


def luminance_of_value(value: ArrayLike) -> Array:
    """Luminance factor Y, 0 to 1, of a Munsell value 0 to 10 [ASTM D1535-14, equation 1].

    Same shape, [-].
    """
    V = np.asarray(value, dtype=float)
    c1, c2, c3, c4, c5 = _D1535
    return 0.01 * V * (c1 + V * (c2 + V * (c3 + V * (c4 + V * c5))))


def munsell_value(luminance: ArrayLike) -> Array:
    """Munsell value, 0 (black) to 10 (white), of a luminance factor Y, 0 to 1.

    Inverts ASTM D1535-14, equation 1, by two Newton steps from a table: exact to 1e-9 (checked).
    Y is limited to 0 to 1.

    Same shape, [-].
    """
    knots = np.linspace(0.0, 10.0, 201)
    Y = np.clip(np.asarray(luminance, dtype=float), 0.0, float(luminance_of_value(10.0)))
    V = np.interp(Y, luminance_of_value(knots), knots)
    c1, c2, c3, c4, c5 = _D1535
    for _ in range(2):
        slope = 0.01 * (c1 + V * (2 * c2 + V * (3 * c3 + V * (4 * c4 + V * 5 * c5))))
        V = V - (luminance_of_value(V) - Y) / slope
    return np.clip(V, 0.0, 10.0)


def delta_e_2000(lab_1: ArrayLike, lab_2: ArrayLike, *, kL: float = 1.0, kC: float = 1.0) -> Array:
    """CIEDE2000 colour difference, kL = kC = kH = 1 if not told; broadcasts over leading axes.

    Sharma, Wu and Dalal (2005), Color Res. Appl. 30, 21, equations 2 to 22. Own version, as a
    recipe search needs a hundred thousand differences without a second's wait for an import.

    CIELAB [-] of shape (..., 3) to differences [CIEDE2000] of shape (...).
    """
    L1, a1, b1 = np.moveaxis(np.asarray(lab_1, dtype=float), -1, 0)
    L2, a2, b2 = np.moveaxis(np.asarray(lab_2, dtype=float), -1, 0)
    # a* stretched near the neutrals (eq 2 to 7)
    mean_C = (np.hypot(a1, b1) + np.hypot(a2, b2)) / 2
    stretch = 1.5 - 0.5 * _share_of_25(mean_C)
    a1, a2 = a1 * stretch, a2 * stretch
    C1, C2 = np.hypot(a1, b1), np.hypot(a2, b2)
    h1, h2 = np.degrees(np.arctan2(b1, a1)) % 360, np.degrees(np.arctan2(b2, a2)) % 360
    # differences (eq 8 to 11)
    dh = (h2 - h1 + 180) % 360 - 180
    dh = np.where((dh == -180) & (h2 > h1), 180.0, dh)
    dH = 2 * np.sqrt(C1 * C2) * np.sin(np.radians(dh) / 2)
    # means; the hue of a neutral doesn't count (eq 12 to 14)
    L, C = (L1 + L2) / 2, (C1 + C2) / 2
    h = (h1 + h2) / 2 + np.where(np.abs(h1 - h2) > 180, np.where(h1 + h2 < 360, 180.0, -180.0), 0.0)
    h = np.where(C1 * C2 == 0, h1 + h2, h)
    S_L, S_C, S_H, R_T = _weights_2000(L, C, h)
    light, chroma, hue = (L2 - L1) / (kL * S_L), (C2 - C1) / (kC * S_C), dH / S_H
    return np.sqrt(np.maximum(light**2 + chroma**2 + hue**2 + R_T * chroma * hue, 0.0))


def _share_of_25(C: Array) -> Array:
    """sqrt(C^7/(C^7 + 25^7)), which occurs twice in CIEDE2000."""
    return np.sqrt(C**7 / (C**7 + 25.0**7))


def _weights_2000(L: Array, C: Array, h: Array) -> tuple[Array, Array, Array, Array]:
    """Weights of lightness, chroma, hue and their rotation term (eq 15 to 21)."""
    T = (
        1
        - 0.17 * np.cos(np.radians(h - 30))
        + 0.24 * np.cos(np.radians(2 * h))
        + 0.32 * np.cos(np.radians(3 * h + 6))
        - 0.20 * np.cos(np.radians(4 * h - 63))
    )
    turn = np.radians(60 * np.exp(-(((h - 275) / 25) ** 2)))
    S_L = 1 + 0.015 * (L - 50) ** 2 / np.sqrt(20 + (L - 50) ** 2)
    return S_L, 1 + 0.045 * C, 1 + 0.015 * C * T, -2 * _share_of_25(C) * np.sin(turn)
