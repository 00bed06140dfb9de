"""Error of the 40 bands against sums at 1 nm, for every built-in ink, paper and light."""

from __future__ import annotations

import numpy as np

from glaze.materials.ink import load_palette, palette_names
from glaze.materials.paper import load_paper, paper_names
from glaze.physics.absorption import absorbance, glaze_weight, path, stack_reflectance
from glaze.physics.colour import delta_e_2000, lab_from_xyz
from glaze.physics.spectrum import REFERENCE_NM
from glaze.picture.light import (
    LIGHT_NAMES,
    STORED_LIGHTS,
    band_nm,
    load_light,
    weights_at_reference,
)

STRENGTHS = (0.02, 0.1, 0.3, 1.0, 2.0)


def inks() -> dict[str, dict[str, float]]:
    """Contents of each built-in ink [g/L], by palette and name."""
    return {
        f"{palette}: {name}": dict(ink.contents_g_per_l)
        for palette in palette_names()
        for name, ink in load_palette(palette).inks.items()
    }


def _spectra(contents: dict[str, float], palette: str, nm: np.ndarray) -> np.ndarray:
    """Reflectance of an ink at all strengths on all papers, shape (cases, wavelengths)."""
    dyes = load_palette(palette).dyes
    rows = []
    for name in paper_names():
        paper = load_paper(name)
        A = sum(
            path(
                absorbance(g * paper.film_ml_per_m2 / 1000, dyes[dye].absorptivity_l_per_g_cm(nm)),
                paper.path_gain,
            )
            for dye, g in contents.items()
        )
        for q in STRENGTHS:
            w = float(glaze_weight(0.0, q))
            rows.append(
                stack_reflectance(
                    w * A, paper.reflectance(nm), paper.surface_reflectance, paper.path_spread
                )
            )
    return np.array(rows)


def worst(lights: tuple[str, ...] = LIGHT_NAMES) -> dict[str, dict[str, float]]:
    """Greatest CIEDE2000 of bands against 1 nm, by ink and light."""
    found: dict[str, dict[str, float]] = {}
    fine_weights = {light: weights_at_reference(light) for light in lights}
    for ink, contents in inks().items():
        palette = ink.split(": ")[0]
        coarse = _spectra(contents, palette, band_nm())
        fine = _spectra(contents, palette, REFERENCE_NM)
        for light in lights:
            W, V = load_light(light).xyz_weights, fine_weights[light]
            got = lab_from_xyz(coarse @ W, W.sum(axis=0))
            true = lab_from_xyz(fine @ V, V.sum(axis=0))
            found.setdefault(ink, {})[light] = float(delta_e_2000(got, true).max())
    return found


def by_group(table: dict[str, dict[str, float]]) -> dict[str, tuple[float, float]]:
    """Worst over D65, D50 and A, and over all other lights, for each ink."""
    return {
        ink: (
            max(row[light] for light in STORED_LIGHTS),
            max(v for light, v in row.items() if light not in STORED_LIGHTS),
        )
        for ink, row in table.items()
    }
