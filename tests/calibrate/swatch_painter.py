"""A swatch sheet painted by numbers: a small painter of its own, to test the reading against.

Synthetic data. It takes from glaze only where patches lie on the page and the dyes' absorption
curves; the spot formula is written out here from its published form, and colours come from
colour-science at 5 nm, not from glaze's bands or fits.
"""

from __future__ import annotations

import re
import warnings

import numpy as np

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    import colour

NM = np.arange(380.0, 781.0, 5.0)
_OBSERVER = (
    colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    .copy()
    .align(colour.SpectralShape(380, 780, 5))
)
_D65 = colour.SDS_ILLUMINANTS["D65"].copy().align(colour.SpectralShape(380, 780, 5))
WEIGHTS = _OBSERVER.values * _D65.values[:, None]
WEIGHTS = WEIGHTS / WEIGHTS[:, 1].sum()
TO_RGB = colour.RGB_COLOURSPACES["sRGB"].matrix_XYZ_to_RGB
CROWDING = 0.4

FACTORS = {"Blue": 1.4, "Red": 0.7, "Yellow": 1.2, "Black": 0.6}
"""How strong the inks of the painted sheet are against those of the palette."""


def linear_rgb(reflectance: np.ndarray) -> np.ndarray:
    """Linear sRGB, not limited."""
    return reflectance @ WEIGHTS @ np.asarray(TO_RGB).T


def weight(q_before: float, q: float) -> float:
    """(E(Q + q) - E(Q))/E(1), E(Q) = ln(1 + 0.4 Q)/0.4."""
    up = np.log1p(CROWDING * (q_before + q)) - np.log1p(CROWDING * q_before)
    return float(up / np.log1p(CROWDING))


def washed(recipe: str) -> tuple[dict[str, float], float]:
    """Shares of inks, and strength, of a recipe by parts."""
    # a name may have a space in it
    counted = re.findall(r"(\D+?) (\d[\d.]*)(?: parts?)?(?: \+ |$)", recipe)
    parts = {name: float(count) for name, count in counted}
    water = parts.pop("water", 0.0)
    ink = sum(parts.values())
    return {name: share / ink for name, share in parts.items()}, ink / (ink + water)


class Painter:
    """Paints patches from inks of dyes at g/L times a factor of one's choosing."""

    def __init__(self, palette, paper, factors, slips=None):
        """factors : of an ink's strength. slips : of a patch's strength, by its name."""
        self.palette, self.paper, self.factors = palette, paper, factors
        self.slips = slips or {}
        self.paper_reflectance = np.interp(NM, *np.array(paper.curve).T)

    def path_of(self, ink: str) -> np.ndarray:
        """Path of one neat coat: gain ln 10 x absorbance."""
        found = np.zeros(NM.size)
        for dye, g_per_l in self.palette.inks[ink].contents_g_per_l.items():
            load = g_per_l * self.factors.get(ink, 1.0) * self.paper.film_ml_per_m2 / 1000
            found += load * 0.1 * self.palette.dyes[dye].absorptivity_l_per_g_cm(NM)
        return self.paper.path_gain * np.log(10) * found

    def reflectance(self, layers) -> np.ndarray:
        """Of washes given as (shares of inks, strength), laid dry over dry; none = bare paper."""
        A, Q = np.zeros(NM.size), 0.0
        for shares, q in layers:
            unit = sum(share * self.path_of(ink) for ink, share in shares.items())
            A = A + unit * weight(0.0, q) if Q == 0 else A + unit * weight(self.met(Q), q)
            Q += q
        s, k = self.paper.surface_reflectance, self.paper.path_spread
        return s + (self.paper_reflectance - s) * (1 + A / k) ** -k

    def met(self, Q: float) -> float:
        """Load a second wash meets: none, as hue and black differ (rough, overlays only)."""
        return 0.0

    def colour_of(self, place) -> np.ndarray:
        """Linear colour of a place of the sheet."""
        slip = self.slips.get(place.name, 1.0)
        if place.kind in ("bare", "bleached"):
            return linear_rgb(self.reflectance([]))
        if place.kind == "grey card":
            return np.full(3, 0.18)
        if place.kind == "rung":
            return linear_rgb(self.reflectance([({place.inks[0]: 1.0}, slip / (1 + place.parts))]))
        layers = [washed(recipe) for recipe in place.layers]
        return linear_rgb(self.reflectance(layers))


def paint_page(
    page, painter, dpi=150.0, size_mm=(210.0, 297.0), rng=None, noise=0.01, dots=None, skip=()
):
    """The whole page as linear RGB: marks, code and painted patches, with patchy washes.

    dots : colour of bleached dots by the patch's name. skip : patches left unpainted.
    """
    rng = rng or np.random.default_rng(1)
    per_mm = dpi / 25.4
    rows, columns = round(size_mm[1] * per_mm), round(size_mm[0] * per_mm)
    sheet = np.empty((rows, columns, 3), np.float32)
    sheet[:] = linear_rgb(painter.reflectance([]))

    def near(x, y, wide, high):
        """The part of the sheet about a box, and the mm of its pixels from the middle."""
        top, left = int((y - high / 2) * per_mm) - 1, int((x - wide / 2) * per_mm) - 1
        part = sheet[
            top : int((y + high / 2) * per_mm) + 2, left : int((x + wide / 2) * per_mm) + 2
        ]
        v, u = np.mgrid[0 : part.shape[0], 0 : part.shape[1]]
        return part, (u + left + 0.5) / per_mm - x, (v + top + 0.5) / per_mm - y

    def box(x, y, wide, high, colour, patchy=0.0):
        part, u, v = near(x, y, wide, high)
        inside = (abs(u) < wide / 2) & (abs(v) < high / 2)
        part[inside] = colour * (1 + patchy * rng.standard_normal((int(inside.sum()), 1)))

    for place in page.places:
        if place.name in skip:
            continue
        middle = place.x + place.width / 2, place.y + place.height / 2
        box(*middle, place.width, place.height, painter.colour_of(place), noise)
        if dots and place.name in dots:
            part, u, v = near(*place.dot, 7, 7)
            part[np.hypot(u, v) < 3.0] = dots[place.name]
    for x, y in page.marks:
        part, u, v = near(x, y, 9, 9)
        away = np.hypot(u, v)
        part[((away < 4.0) & (away > 2.6)) | (away < 1.4)] = 0.04
    for bit, (x, y) in zip(page.code, page.cells, strict=True):
        if bit:
            box(x, y, 2.6, 2.6, np.full(3, 0.04))
    return sheet


def encode(linear, noise=0.004, rng=None, gain=0.95):
    """8-bit sRGB as a scanner gives it: exposure, noise, clipping."""
    rng = rng or np.random.default_rng(2)
    seen = np.clip(linear * gain, 0, 1)
    signal = np.where(
        seen <= 0.0031308, 12.92 * seen, 1.055 * np.maximum(seen, 1e-9) ** (1 / 2.4) - 0.055
    )
    return np.clip(
        np.rint(255 * (signal + noise * rng.standard_normal(signal.shape))), 0, 255
    ).astype(np.uint8)


def photographed(linear, corners, shape, fall_off=0.0, tint=(1.0, 1.0, 1.0)):
    """A page seen by a camera: its corners at (x, y) px, with vignette, tint, a dark table."""
    from scipy.ndimage import map_coordinates

    rows, columns = linear.shape[:2]
    ends = np.array([[0, 0], [columns, 0], [columns, rows], [0, rows]], float)
    system, right = [], []
    for (u, v), (px, py) in zip(ends, np.asarray(corners, float), strict=True):
        system += [[px, py, 1, 0, 0, 0, -u * px, -u * py], [0, 0, 0, px, py, 1, -v * px, -v * py]]
        right += [u, v]
    h = np.append(np.linalg.solve(np.array(system), np.array(right)), 1).reshape(3, 3)
    y, x = np.mgrid[0 : shape[0], 0 : shape[1]].astype(float)
    w = h[2, 0] * x + h[2, 1] * y + h[2, 2]
    u, v = (h[0, 0] * x + h[0, 1] * y + h[0, 2]) / w, (h[1, 0] * x + h[1, 1] * y + h[1, 2]) / w
    out = np.stack(
        [map_coordinates(linear[..., c], [v, u], order=1, cval=0.06) for c in range(3)], axis=-1
    )
    r2 = ((x / shape[1] - 0.5) ** 2 + (y / shape[0] - 0.5) ** 2) * 4
    return out * np.array(tint) / (1 + fall_off * r2)[..., None] ** 2
