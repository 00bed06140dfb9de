"""Finds contents for the built-in blacks, and prints how every bottle comes out on paper.

    python -m glaze.materials.tables.make_inks

The blacks are solved so that neat, 1 + 4, 1 + 8 and 1 + 16 come near values 3, 5, 6 and 7 on
white cartridge (common practice, no source) and stay near neutral; Black was then made a little
warmer by hand, so that yellow goes through olive to brown with it. The rounded contents stand
in palettes/*.toml, the other bottles were chosen by eye. docs/materials.md keeps the output.
"""

from __future__ import annotations

from collections.abc import Mapping

import colour
import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from glaze.materials.dye import load_dyes
from glaze.materials.ink import load_palette, palette_names
from glaze.materials.mix import mix_recipe
from glaze.materials.paper import Paper, load_paper
from glaze.physics.absorption import absorbance, path, stack_reflectance, wet_weight
from glaze.physics.spectrum import REFERENCE_NM

STRENGTHS = (1.0, 1 / 5, 1 / 9, 1 / 17)
WANTED_VALUES = (3.05, 4.95, 5.9, 6.9)
BLACKS = {
    "Black": {"Acid Black 1": 2.0, "Food Yellow 3": 2.0, "Food Red 17": 0.5},
    "Separating Black": {"Acid Blue 9": 1.0, "Acid Violet 3": 1.0, "Acid Orange 10": 3.0},
}


def weights() -> NDArray[np.float64]:
    """XYZ weights of D65 and the 2 degree observer at 1 nm, Y = 1 for the perfect diffuser.

    Shape (401, 3), [-].
    """
    shape = colour.SpectralShape(380, 780, 1)
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape)
    light = colour.SDS_ILLUMINANTS["D65"].copy().align(shape)
    product = observer.values * light.values[:, None]
    return product / product[:, 1].sum()


WEIGHTS = weights()


def look(neat_g_per_l: Mapping[str, float], strength: float, paper: Paper) -> tuple[float, ...]:
    """Munsell value and CIELAB (D65) of one wash on bare paper."""
    dyes = load_dyes()
    weight = float(wet_weight(strength, strength))
    film_l_per_m2 = paper.film_ml_per_m2 / 1000
    A = np.zeros_like(REFERENCE_NM)
    for name, grams in neat_g_per_l.items():
        absorptivity = dyes[name].absorptivity_l_per_g_cm(REFERENCE_NM)
        A += path(absorbance(grams * film_l_per_m2 * weight, absorptivity), paper.path_gain)
    R = stack_reflectance(
        A, paper.reflectance(REFERENCE_NM), paper.surface_reflectance, paper.path_spread
    )
    XYZ = R @ WEIGHTS
    white_xy = colour.XYZ_to_xy(WEIGHTS.sum(axis=0))
    L, a, b = colour.XYZ_to_Lab(XYZ, white_xy)
    value = float(colour.munsell_value(XYZ[1] * 100, method="ASTM D1535"))
    return value, float(L), float(a), float(b)


def solve_black(start: Mapping[str, float]) -> dict[str, float]:
    """Contents [g/L] of a near-neutral black with the ladder wanted."""
    papers = [load_paper("white cartridge"), load_paper("white hot-pressed")]

    def misses(amounts: NDArray[np.float64]) -> list[float]:
        contents = dict(zip(start, np.abs(amounts), strict=True))
        missed = []
        for paper in papers:
            for strength, wanted in zip(STRENGTHS, WANTED_VALUES, strict=True):
                value, _, a, b = look(contents, strength, paper)
                missed += [a, b]
                if paper.path_spread == 1:
                    missed.append(8 * (value - wanted))  # one L* is about a tenth of a value
        return missed

    found = least_squares(misses, list(start.values()), diff_step=0.02, max_nfev=60)
    return dict(zip(start, np.abs(found.x).round(2).tolist(), strict=True))


def hue_chroma(a: float, b: float) -> tuple[float, float]:
    """Hue angle [degrees] and chroma of CIELAB."""
    return float(np.degrees(np.arctan2(b, a)) % 360), float(np.hypot(a, b))


def report() -> None:
    """Print every bottle, the even mixes and the ladder of black on the two white papers."""
    even = ["Blue 1 + Yellow 3", "Blue 1 + Yellow 1", "Blue 2 + Red 1", "Blue 1 + Red 1",
            "Red 1 + Yellow 1", "Red 1 + Yellow 3", "Black 1 + Yellow 4"]  # fmt: skip
    for name in palette_names():
        palette = load_palette(name)
        for paper_name in ("white hot-pressed", "white cartridge"):
            paper = load_paper(paper_name)
            print(f"\n{name}, {paper_name}")
            bottles = [f"{ink} 1" for ink in palette.inks]
            ladder = [f"Black 1 part + water {n} parts" for n in (1, 2, 4, 8, 16, 32)]
            for recipe in bottles + even + ladder:
                mix = mix_recipe(recipe, palette)
                value, L, a, b = look(mix.neat_g_per_l, mix.strength, paper)
                hue, chroma = hue_chroma(a, b)
                print(f"{recipe:32s} value {value:4.2f}  L {L:5.1f}  C {chroma:5.1f}  h {hue:4.0f}")


if __name__ == "__main__":
    for black, start in BLACKS.items():
        print(black, solve_black(start))
    report()
