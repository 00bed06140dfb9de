"""Errors of the product's law, and of what else a painter might use, on measured sets.

Nothing is fitted: every prediction knows the bare paper and each single wash, and no more.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cache, partial

import numpy as np
from numpy.typing import ArrayLike

from glaze.calibrate.fit.dye_prior import DyePrior, dye_prior
from glaze.calibrate.fit.overlay import overlaid
from glaze.physics.colour import (
    D65_XYZ,
    adaptation,
    delta_e_2000,
    lab_from_xyz,
    munsell_value,
    rgb_from_xyz,
    srgb_decode,
    srgb_encode,
    xyz_from_rgb,
)
from glaze.physics.uncertainty import LawError, meeting
from tests.accuracy.measured import (
    COATED,
    NEAT_ML,
    NM,
    TRANSPARENT,
    UNCOATED,
    lab,
    overprints,
    sheet_of,
    smoothest_paper,
    watercolours,
    weights,
    xyz,
)
from tests.accuracy.one_reading import dye_shaped, smoothest_density
from tests.textbook import scattering
from tests.textbook.scattering import overlaid_by_k_over_s

COLOURS = ("CM", "CY", "MY", "CMY")
BLACKS = ("CK", "MK", "YK", "CMK", "CYK", "MYK", "CMYK")
SEED = 1
MATTE = (1.0, 0.03)
DILUTIONS = {"down from .12 ml": 0.12, "both ways from .04": 0.04, "up from .01": 0.01}

Model = Callable[[np.ndarray, np.ndarray, tuple[float, float]], np.ndarray]
"""(reflectances of the single washes, paper, sheet) -> Lab of them over each other."""


def law(
    reflectances: np.ndarray, paper: np.ndarray, sheet: tuple[float, float], coats: object = 1.0
) -> np.ndarray:
    """The product's law, by the product's code."""
    return lab(overlaid(reflectances, paper, NM, sheet, coats))


def k_over_s(reflectances: np.ndarray, paper: np.ndarray, _: tuple[float, float]) -> np.ndarray:
    """Textbook Kubelka-Munk, K/S added."""
    return lab(overlaid_by_k_over_s(reflectances, paper))


def clear(reflectances: np.ndarray, paper: np.ndarray, _: tuple[float, float]) -> np.ndarray:
    """Beer-Lambert, clear layers."""
    return lab(paper * (reflectances / paper).prod(axis=0))


def multiply(reflectances: np.ndarray, _: np.ndarray, __: tuple[float, float]) -> np.ndarray:
    """W3C multiply of the scanned swatches in 8-bit sRGB, by Pillow."""
    from PIL import Image, ImageChops

    white = weights().sum(axis=0)
    to_d65 = adaptation(white, D65_XYZ)
    rgb = srgb_encode(np.clip(rgb_from_xyz(xyz(lab(reflectances)) @ to_d65.T), 0, 1))
    layers = [Image.new("RGB", (1, 1), tuple(np.round(255 * c).astype(int).tolist())) for c in rgb]
    top = layers[0]
    for layer in layers[1:]:
        top = ImageChops.multiply(top, layer)
    seen = xyz_from_rgb(srgb_decode(np.array(top.getpixel((0, 0))) / 255.0))
    return lab_from_xyz(seen @ np.linalg.inv(to_d65).T, white)


MODELS: dict[str, Model] = {
    "multiply": multiply,
    "clear layers": clear,
    "Kubelka-Munk": k_over_s,
    "glaze": law,
}

Recovery = Callable[[np.ndarray, np.ndarray, tuple[float, float]], np.ndarray]


def by_smoothness(colour: np.ndarray, paper: np.ndarray, sheet: tuple[float, float]) -> np.ndarray:
    """Smoothest density with the exact Lab."""
    return smoothest_density(xyz(colour), paper, weights(), surface=sheet[1]).reflectance


@cache
def _prior() -> DyePrior:
    return dye_prior(NM, SEED)


def by_dyes(colour: np.ndarray, paper: np.ndarray, sheet: tuple[float, float]) -> np.ndarray:
    """Dye-shaped spectrum with the exact Lab."""
    return dye_shaped(xyz(colour), paper, weights(), _prior(), sheet).reflectance


@cache
def solids(condition: str, recover: Recovery) -> tuple[np.ndarray, dict[str, np.ndarray]]:
    """Paper and each single ink of a printing condition, as spectra from their Lab."""
    patches = overprints()[condition]
    paper = smoothest_paper(xyz(patches["paper"]), weights())
    inks = {ink: recover(patches[ink], paper, sheet_of(condition)) for ink in "CMYK"}
    return paper, inks


def offset(
    model: Model,
    conditions: Iterable[str],
    patches: Iterable[str],
    recover: Recovery = by_smoothness,
) -> np.ndarray:
    """CIEDE2000 of overprints from single inks; black last, as a painter lays it."""
    found = []
    for condition in conditions:
        paper, inks = solids(condition, recover)
        for patch in patches:
            R = np.array([inks[ink] for ink in patch])
            got = model(R, paper, sheet_of(condition))
            found.append(float(delta_e_2000(got, overprints()[condition][patch])))
    return np.array(found)


def black_over_known(model: Model, conditions: Iterable[str]) -> np.ndarray:
    """CIEDE2000 of solid black over a measured solid (C to CMY taken as one known wash)."""
    found = []
    for condition in conditions:
        paper, inks = solids(condition, by_smoothness)
        for patch in BLACKS:
            known = by_smoothness(overprints()[condition][patch[:-1]], paper, sheet_of(condition))
            got = model(np.array([known, inks["K"]]), paper, sheet_of(condition))
            found.append(float(delta_e_2000(got, overprints()[condition][patch])))
    return np.array(found)


Case = tuple[np.ndarray, np.ndarray]
"""Predicted and measured Lab."""


@dataclass(frozen=True)
class Overlay:
    """Washes over each other: predicted and measured Lab, and how they meet (`meeting`)."""

    predicted: np.ndarray
    measured: np.ndarray
    shown: np.ndarray
    apart: np.ndarray

    def sd(self, law: LawError) -> float:
        """Standard deviation that the program gives the law here; no wash is thinned."""
        return float(law.sd(np.zeros(self.shown.shape), self.shown, self.apart))


def overlay(
    washes: list[np.ndarray],
    measured: np.ndarray,
    paper: np.ndarray,
    sheet: tuple[float, float],
    coats: ArrayLike = 1.0,
) -> Overlay:
    """Washes, the lowest first, by the product's law."""
    strengths = np.broadcast_to(np.asarray(coats, float), len(washes))
    W, white = weights(), paper @ weights()
    meets = []
    for n in range(1, len(washes)):
        under = overlaid(np.array(washes[:n]), paper, NM, sheet, strengths[:n])
        meets.append(meeting(*(lab_from_xyz(R @ W, white) for R in (washes[n], under))))
    shown, apart = np.array(meets, dtype=float).T
    return Overlay(law(np.array(washes), paper, sheet, strengths), measured, shown, apart)


def press_overlay(condition: str, patch: str) -> Overlay:
    """An overprint of one condition, as "CMK", from its single inks."""
    paper, inks = solids(condition, by_smoothness)
    washes = [inks[ink] for ink in patch]
    return overlay(washes, overprints()[condition][patch], paper, sheet_of(condition))


def offset_cases(condition: str, patches: Iterable[str]) -> list[Case]:
    """Overprints of one condition, by the product's law."""
    found = (press_overlay(condition, patch) for patch in patches)
    return [(one.predicted, one.measured) for one in found]


Sets = tuple[dict[tuple[str, float], np.ndarray], dict[tuple[str, float, str, float], np.ndarray]]


def wash_pairs(
    second: str | None, sets: Sets | None = None
) -> Iterator[tuple[list[np.ndarray], np.ndarray, np.ndarray]]:
    """Watercolour pairs, `second` over a colour, or None: a colour over itself.

    Gives the two washes alone, their strengths [neat coats], and what was measured of both.
    """
    singles, pairs = sets or watercolours()
    for (first, ml1, other, ml2), R in sorted(pairs.items()):
        known = (first, ml1) in singles and (other, ml2) in singles
        if known and other == (second or first) and (first != second):
            yield [singles[first, ml1], singles[other, ml2]], np.array([ml1, ml2]) / NEAT_ML, R


def wash_cases(
    second: str | None, model: Model | None = None, sets: Sets | None = None
) -> list[Case]:
    """Watercolour pairs by a model, the product's law if None."""
    paper, found = (sets or watercolours())[0]["paper", 0.0], []
    for each, coats, R in wash_pairs(second, sets):
        both = np.array(each)
        got = model(both, paper, MATTE) if model else law(both, paper, MATTE, coats)
        found.append((got, lab(R)))
    return found


def wash_overlays(second: str | None) -> list[Overlay]:
    """The same by the product's law, with how the two washes meet."""
    paper = watercolours()[0]["paper", 0.0]
    return [overlay(each, lab(R), paper, MATTE, coats) for each, coats, R in wash_pairs(second)]


Dilute = Callable[[np.ndarray, np.ndarray, float, float], np.ndarray]
"""(known wash, paper, its ml, wanted ml) -> reflectance."""


def diluted(
    known: np.ndarray, paper: np.ndarray, known_ml: float, ml: float, neat_ml: float = NEAT_ML
) -> np.ndarray:
    """By the product's law."""
    return overlaid(known, paper, NM, MATTE, known_ml / neat_ml, ml / neat_ml)


def diluted_by_k_over_s(
    known: np.ndarray, paper: np.ndarray, known_ml: float, ml: float
) -> np.ndarray:
    """K/S linear in the amount."""
    ratio = scattering.k_over_s(paper)
    total = ratio + ml / known_ml * (scattering.k_over_s(known) - ratio)
    return scattering.reflectance_from_k_over_s(np.maximum(total, 0.0))


def diluted_clear(known: np.ndarray, paper: np.ndarray, known_ml: float, ml: float) -> np.ndarray:
    """Beer-Lambert, linear in the amount."""
    return paper * (known / paper) ** (ml / known_ml)


def dilution_cases(
    known_ml: float, dilute: Dilute = diluted, pigments: Iterable[str] = TRANSPARENT
) -> list[Case]:
    """Watercolours at all other amounts than the known one."""
    singles, _ = watercolours()
    paper = singles["paper", 0.0]
    return [
        (lab(dilute(singles[name, known_ml], paper, known_ml, ml)), lab(R))
        for (name, ml), R in sorted(singles.items())
        if name in pigments and ml != known_ml and (name, known_ml) in singles
    ]


def errors(cases: list[Case]) -> np.ndarray:
    """CIEDE2000 of each case."""
    got, true = (np.array(side) for side in zip(*cases, strict=True))
    return delta_e_2000(got, true)


def offsets(cases: list[Case]) -> dict[str, np.ndarray]:
    """How far each case is off: in Munsell value [steps], CIEDE2000 and CIELAB chroma."""
    got, true = (np.array(side) for side in zip(*cases, strict=True))
    value = munsell_value(_luminance(got[:, 0])) - munsell_value(_luminance(true[:, 0]))
    chroma = np.hypot(got[:, 1], got[:, 2]) - np.hypot(true[:, 1], true[:, 2])
    return {"value": np.abs(value), "dE00": errors(cases), "chroma": np.abs(chroma)}


def _luminance(L: np.ndarray) -> np.ndarray:
    """Y of a lightness L*, CIE 15."""
    return np.where(L > 8.0, ((L + 16.0) / 116.0) ** 3, L / 903.3)


def families() -> dict[str, Callable[[], list[Case]]]:
    """The measured sets, each as one family for leaving one out."""
    sets: dict[str, Callable[[], list[Case]]] = {}
    for name in (*COATED, *UNCOATED):
        sets[f"{name} overprints"] = partial(offset_cases, name, (*COLOURS, *BLACKS))
    sets["ivory black over colour"] = partial(wash_cases, "ivory black")
    sets["a colour over itself"] = partial(wash_cases, None)
    for word, ml in DILUTIONS.items():
        sets[f"dilution {word}"] = partial(dilution_cases, ml)
    return sets
