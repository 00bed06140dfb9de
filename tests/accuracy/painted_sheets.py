"""Swatch sheets painted by others' inks: what a calibration then promises of patches not on them.

Paint here never follows the product's law. *Watercolours*: washes as measured (chen2019), black
over a colour and a colour over itself as measured, two hues by textbook Kubelka-Munk from the
measured washes. *Dyes*: each built-in dye left out of the prior, in paper by Kubelka and Munk.
*Presses*: measured overprints; only their strips are by the product's law, as there are no others.
A scanner of its own kind (crosstalk and a tone for each channel) reads the sheet. Read without a
picture, so that a dozen sheets take a minute: finding patches has its own tests.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache, partial
from itertools import combinations
from unittest.mock import patch

import numpy as np

from glaze.calibrate.fit import own_inks
from glaze.calibrate.fit.dye_prior import dye_prior
from glaze.calibrate.fit.found import Calibration
from glaze.calibrate.fit.overlay import overlaid
from glaze.calibrate.scan.swatch import LOST, Reading, SheetReading, lab_of
from glaze.charts.content.swatch_layout import swatch_pages
from glaze.charts.content.swatch_page import PrintedPlace
from glaze.materials.dye import load_dyes
from glaze.patch.layers import Laid
from glaze.patch.table import Table, table_of
from glaze.patch.trust import trusted
from glaze.physics.colour import D65_XYZ, delta_e_2000, munsell_value, xyz_from_rgb
from glaze.physics.spectrum import REFERENCE_NM
from glaze.picture.light import band_nm, weights_at_reference
from tests.accuracy.measured import NM, SHEET, UNCOATED, overprints, watercolours
from tests.accuracy.scores import by_smoothness, solids
from tests.textbook.scattering import k_over_s, reflectance_from_k_over_s

Array = np.ndarray
Wash = tuple[str, float]
"""An ink and its strength, 1 = neat."""
INKS = ("Blue", "Red", "Yellow", "Black")
NEAT_ML = 0.08
"""Watercolour of a neat coat: the strips then lie on measured amounts, but for their thin end."""
SCANNER = 0.05
"""Of a scanner's errors, standard deviation: 4 (CIEDE2000) on these sheets, mean of thirteen."""
SLIP, PATCHY = 0.05, 0.01
"""Of the hand, log of a patch's strength, and of the scan."""


@dataclass(frozen=True)
class Paint:
    """Inks of one kind, as someone else's sheet has them.

    share : linear colour over that of bare paper, of washes laid one over the other
    others : by kind, patches not on the sheet
    overlays : what stands on the sheet below the strips
    """

    kind: str
    share: Callable[[tuple[Wash, ...]], Array]
    others: dict[str, list[tuple[Wash, ...]]]
    overlays: tuple[tuple[Wash, ...], ...]
    without: tuple[str, ...] = ()


@cache
def to_linear() -> Array:
    """Linear sRGB under D65 of spectra on NM, shape (31, 3)."""
    W, out = weights_at_reference("D65"), np.empty((NM.size, 3))
    for j in range(NM.size):
        out[j] = np.interp(REFERENCE_NM, NM, np.eye(NM.size)[j]) @ W
    white = out.sum(axis=0)
    unit = np.linalg.inv(xyz_from_rgb(np.eye(3)))
    return (out * D65_XYZ / white) @ unit


def share_of(R: Array, paper: Array) -> Array:
    """Linear colour over the paper's."""
    return (R @ to_linear()) / (paper @ to_linear())


SETS = (
    ("prussian blue", "alizarin crimson", "lemon yellow"),
    ("ultramarine", "burnt sienna", "raw sienna"),
    ("cobalt blue", "alizarin crimson", "raw sienna"),
    ("prussian blue", "burnt sienna", "sap green"),
    ("cerulean blue", "burnt sienna", "lemon yellow"),
    ("ultramarine", "alizarin crimson", "sap green"),
)


def washed(pigment: str, ml: float) -> Array:
    """A wash between the amounts measured, along K/S; below the least in proportion."""
    singles, _ = watercolours()
    paper = singles["paper", 0.0]
    amounts = sorted(m for name, m in singles if name == pigment)
    rows = [k_over_s(paper), *(k_over_s(singles[pigment, m]) for m in amounts)]
    at = np.array([0.0, *amounts])
    return reflectance_from_k_over_s(
        np.array([np.interp(ml, at, column) for column in np.transpose(rows)])
    )


def watercolour_share(names: dict[str, str], washes: tuple[Wash, ...]) -> Array:
    """One wash, or a measured pair as it was measured, else K/S added."""
    singles, pairs = watercolours()
    paper = singles["paper", 0.0]
    each = [(names[ink], round(q * NEAT_ML, 6)) for ink, q in washes]
    measured = pairs.get((*each[0], *each[1])) if len(each) == 2 else None
    if measured is not None:
        return share_of(measured, paper)
    if len(each) == 1:
        return share_of(washed(*each[0]), paper)
    q = k_over_s(paper) + sum(k_over_s(washed(*one)) - k_over_s(paper) for one in each)
    return share_of(reflectance_from_k_over_s(np.maximum(q, 0.0)), paper)


def watercolour_paint() -> Iterator[Paint]:
    """A painter for each of some sets of three pigments and ivory black."""
    _, pairs = watercolours()
    for pigments in SETS:
        names = dict(zip(INKS, (*pigments, "ivory black"), strict=True))
        inks = {pigment: ink for ink, pigment in names.items()}
        over, itself = [], []
        for first, ml, second, more in sorted(pairs):
            if first in inks and second in inks and 0.04 <= ml + more <= 0.16:
                washes = ((inks[first], ml / NEAT_ML), (inks[second], more / NEAT_ML))
                (itself if first == second else over).append(washes)
        sheet = tuple(((ink, 0.5), ("Black", 0.25)) for ink in INKS[:3])
        held = [one for one in over if one not in sheet]
        others = {"one wash": singles_of((0.125, 0.375, 0.75)), "black over a colour": held}
        others |= {"over itself": itself[:: max(1, len(itself) // 12)]}
        yield Paint(
            "watercolours",
            partial(watercolour_share, names),
            others | hues_of(),
            (*sheet, *mixes()),
        )


def singles_of(strengths: Sequence[float]) -> list[tuple[Wash, ...]]:
    """Each ink alone at strengths between the rungs."""
    return [((ink, q),) for ink in INKS for q in strengths]


def hues_of() -> dict[str, list[tuple[Wash, ...]]]:
    """Two hues over each other in both orders, and three."""
    two = [((a, p), (b, q)) for a in INKS[:3] for b in INKS[:3] if a != b
           for p, q in ((1.0, 0.5), (0.25, 0.5))]  # fmt: skip
    three = [((a, 0.5), (b, 0.5), ("Black", 0.2)) for a, b in combinations(INKS[:3], 2)]
    return {"two hues": two, "three washes": three}


def mixes() -> tuple[tuple[Wash, ...], ...]:
    """What stands on the sheet as a mix of two hues: equal parts, as much water."""
    return tuple(((a, 0.25), (b, 0.25)) for a, b in combinations(INKS[:3], 2))


DYES = (
    ("Acid Blue 9", "Acid Red 52", "Acid Yellow 23", "Acid Black 1"),
    ("Acid Blue 93", "Acid Red 27", "Food Yellow 3", "Food Black 1"),
    ("Acid Violet 3", "Acid Red 14", "Acid Orange 7", "Acid Black 1"),
    ("Basic Green 4", "Acid Red 87", "Acid Yellow 73", "Food Black 1"),
)


def dye_share(names: dict[str, str], washes: tuple[Wash, ...]) -> Array:
    """K/S of dye in paper, added; a neat coat reflects about 1/20 of the light at its peak."""
    paper, dyes = watercolours()[0]["paper", 0.0], load_dyes()
    q = k_over_s(paper)
    for ink, strength in washes:
        curve = dyes[names[ink]].absorptivity_l_per_g_cm(NM)
        q = q + strength * 9.0 * curve / curve.max()
    return share_of(0.03 + 0.97 * reflectance_from_k_over_s(q), 0.03 + 0.97 * paper)


def dye_paint() -> Iterator[Paint]:
    """A painter for each of some sets of three dyes and a black."""
    for dyes in DYES:
        names = dict(zip(INKS, dyes, strict=True))
        sheet = tuple(((ink, 0.5), ("Black", 0.2)) for ink in INKS[:3])
        over = [((ink, p), ("Black", q)) for ink in INKS[:3] for p, q in ((1.0, 0.5), (0.25, 0.1))]
        others = {"one wash": singles_of((0.1, 0.4, 0.75)), "black over a colour": over}
        yield Paint("dyes", partial(dye_share, names), others | hues_of(), (*sheet, *mixes()), dyes)


LETTERS = dict(zip("CMYK", INKS, strict=True))


def press_share(condition: str, washes: tuple[Wash, ...]) -> Array:
    """A measured overprint; single inks thinned by the product's law."""
    paper, inks = solids(condition, by_smoothness)
    letters = {ink: letter for letter, ink in LETTERS.items()}
    if len(washes) > 1:
        lab = overprints()[condition]["".join(letters[ink] for ink, _ in washes)]
        R = by_smoothness(lab, paper, SHEET["matte"])
    else:
        R = overlaid(inks[letters[washes[0][0]]], paper, NM, SHEET["matte"], 1.0, washes[0][1])
    return share_of(R, paper)


def press_paint() -> Iterator[Paint]:
    """A painter for each uncoated press."""

    def of(patch_: str) -> tuple[Wash, ...]:
        return tuple((LETTERS[letter], 1.0) for letter in patch_)

    for condition in UNCOATED:
        others = {
            "two hues": [of("CY"), of("MY")],
            "black over a colour": [of("MK")],
            "three washes": [of(one) for one in ("CMY", "CMK", "CYK", "MYK")],
        }
        sheet = tuple(of(one) for one in ("CM", "CK", "YK"))
        yield Paint("presses", partial(press_share, condition), others, sheet)


def scanner(seed: int, size: float) -> Callable[[Array], Array]:
    """Crosstalk and a tone for each channel, paper right; `size` in standard deviations."""
    rng = np.random.default_rng(seed)
    M = np.eye(3) + size * rng.standard_normal((3, 3))
    M, tone = M / M.sum(axis=1, keepdims=True), 1.0 + size * rng.standard_normal(3)
    return lambda share: np.clip(np.maximum(share, 1e-5) ** tone @ M.T, 0.0, None)


def recipe(wash: Wash) -> str:
    """A wash as a recipe."""
    ink, strength = wash
    return f"{ink} {strength:.6g} parts" + (f" + water {1 - strength:.6g} parts" * (strength < 1))


def sheet_of_paint(paint: Paint, table: Table, seed: int, size: float) -> SheetReading:
    """The page painted with it and read by a scanner."""
    rng, seen_by = np.random.default_rng(seed), scanner(seed, size)
    page = swatch_pages(table)[0]

    def read(place: PrintedPlace, washes: tuple[Wash, ...]) -> Reading:
        slip = float(np.exp(SLIP * rng.standard_normal())) if paint.kind != "presses" else 1.0
        if len(washes) == 1:  # pairs are measured as they are
            washes = ((washes[0][0], washes[0][1] * slip),)
        rgb = seen_by(paint.share(washes)) * (1.0 + PATCHY * rng.standard_normal())
        return Reading(place, rgb, 0.5, bool((rgb < LOST).any()))

    readings = {}
    for place in page.places:
        if place.kind == "rung":
            readings[place.name] = read(place, ((place.inks[0], 1 / (1 + place.parts)),))
    over = next(place for place in page.places if place.kind == "over")
    for washes in paint.overlays:
        inks = tuple(ink for ink, _ in washes)
        mixed = "Black" not in inks and paint.kind != "presses"
        layers = tuple(recipe(wash) for wash in washes)
        if mixed:
            layers = (f"{inks[0]} 1 part + {inks[1]} 1 part + water 2 parts",)
        place = replace(over, name=" over ".join(reversed(inks)), layers=layers, inks=inks)
        readings[place.name] = read(place, washes)
    return SheetReading(page, readings, np.ones(3), 1.0, 12.0)


def calibrated(paint: Paint, seed: int, size: float) -> Calibration:
    """The inks read from that sheet, its dyes left out of the prior."""
    table = table_of("lifting", "white cartridge")
    prior = dye_prior(band_nm(), mixtures=1500, leave_out=paint.without)
    with patch.object(own_inks, "usual_prior", lambda: prior):
        return own_inks.calibrate([sheet_of_paint(paint, table, seed, size)], table)


@dataclass(frozen=True)
class Held:
    """A patch not on the sheet: how far off, and whether its bands held."""

    kind: str
    patch: str
    de00: float
    value: float
    promised_de00: float
    promised_value: float
    in_de00: bool
    in_value: bool


def held(paint: Paint, found: Calibration) -> list[Held]:
    """What the calibration promises of patches that weren't on the sheet."""
    rows, table = [], found.table
    paper = table.paper_reflectance @ table.light.display_weights
    for kind, stacks in paint.others.items():
        for washes in stacks:
            told = trusted(table, [Laid(table.mix(recipe(wash))) for wash in washes])
            rgb = np.maximum(paint.share(washes) * paper, 1e-5)
            true = lab_of(rgb)
            off = float(delta_e_2000(np.array(told.lab), true))
            Y = float(xyz_from_rgb(rgb)[1])
            value = float(munsell_value(Y))
            low, best, high = told.band.low, told.band.best, told.band.high
            promised = told.de00, (high - low) / 2
            holds = off <= told.de00, low <= value <= high
            rows.append(Held(paint.kind, kind, off, value - best, *promised, *holds))
    return rows


def paints() -> list[Paint]:
    """Thirteen painters, none of whom paints by the product's law."""
    return [*watercolour_paint(), *dye_paint(), *press_paint()]
