"""Makes dye_bands.toml: absorption bands of the dyes as sums of Gaussians in wavenumber.

    python -m glaze.materials.tables.make_dyes FOLDER_OF_CURVES

The folder holds measured curves as text files (`wavelength_nm,value`), which are not part of
this project: no licence is stated for most of them. Only the fitted bands are kept. A curve
measured in another solvent, or of a close relative, is moved to the dye's own maximum in water,
in wavenumber, because a band keeps its shape there.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import least_squares

from glaze.physics.spectrum import gaussian_sum, wavenumber_per_cm

FINE_NM = np.arange(350.0, 800.5, 0.5)
GOOD_RESIDUAL = 0.004
"""Bands are added until the rms residual falls below this share of the peak (or at eight)."""


@dataclass(frozen=True)
class Curve:
    """One dye's curve: where it was measured, and where its maximum lies in water."""

    dye: str
    stem: str
    peak_nm: float | None  # None: the curve stays where it was measured
    how: str  # fitted: the dye's own curve; analogue: a relative's curve, moved
    source: str
    emission: str | None = None
    last_nm: float = 800.0


P, F = "photochemcad", "foodcolour"
CURVES = [
    Curve("Acid Blue 9", "foodcolour_blue_water_norm", None, "fitted", F),
    Curve("Acid Blue 3", "foodcolour_blue_water_norm", 638.0, "analogue", F),
    Curve("Acid Blue 93", "abs_acid_blue_93_methyl_blue_pbs", None, "fitted", P),
    Curve("Acid Violet 3", "abs_acid_violet_3_pbs", None, "fitted", P),
    Curve("Basic Violet 3", "abs_crystal_violet_water", None, "fitted", P),
    Curve("Basic Green 4", "abs_malachite_green_water", None, "fitted", P),
    Curve("Acid Yellow 23", "derived_tartrazine_shape_from_green_minus_blue_norm", 426.0,
          "fitted", F, last_nm=560.0),
    Curve("Food Yellow 3", "abs_acid_orange_7_pbs", 485.0, "analogue", P),
    Curve("Acid Orange 7", "abs_acid_orange_7_pbs", None, "fitted", P),
    Curve("Acid Orange 10", "abs_orange_g_pbs", None, "fitted", P),
    Curve("Food Red 17", "foodcolour_red_water_norm", 504.0, "fitted", F, last_nm=680.0),
    Curve("Acid Red 14", "abs_acid_red_14_azorubine_pbs", 516.0, "fitted", P),
    Curve("Acid Red 27", "abs_acid_red_14_azorubine_pbs", 520.0, "analogue", P),
    Curve("Acid Red 1", "abs_acid_red_1_pbs", None, "fitted", P),
    Curve("Acid Red 52", "abs_acid_red_52_sulforhodamine_b_ethanol", 565.0, "fitted", P,
          "em_acid_red_52_sulforhodamine_b_ethanol"),
    Curve("Basic Violet 10", "abs_rhodamine_b_ethanol", 554.0, "fitted", P,
          "em_rhodamine_b_ethanol"),
    Curve("Acid Red 87", "abs_eosin_y_basic_ethanol", 516.0, "fitted", P,
          "em_eosin_y_basic_ethanol"),
    Curve("Acid Red 92", "abs_phloxine_b_ethanol", 538.0, "fitted", P,
          "em_phloxine_b_ethanol"),
    Curve("Acid Red 51", "abs_erythrosine_b_ethanol", 527.0, "fitted", P,
          "em_erythrosine_b_ethanol"),
    Curve("Acid Yellow 73", "abs_fluorescein_basic_ethanol", 490.0, "fitted", P,
          "em_fluorescein_basic_ethanol"),
    Curve("Acid Black 1", "abs_acid_black_1_pbs", None, "fitted", P),
    Curve("Food Black 1", "abs_acid_black_1_pbs", 570.0, "analogue", P),
]  # fmt: skip


def read_curve(path: Path) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Wavelength [nm] and value of a curve, the value as a share of its visible maximum.

    Both of shape (wavelengths,).
    """
    wavelength_nm, value = np.loadtxt(path, delimiter=",", skiprows=1, unpack=True)
    visible = wavelength_nm >= 400
    return wavelength_nm, value / value[visible].max()


def fit(
    wavelength_nm: NDArray[np.float64], value: NDArray[np.float64], bands: int
) -> tuple[NDArray[np.float64], float]:
    """Bands (centre [nm], width [1/cm], height) of least squares, and their rms residual.

    Shape (bands, 3) of a curve of shape (wavelengths,).
    """
    peak_nm = wavelength_nm[np.argmax(np.where(wavelength_nm >= 400, value, 0.0))]

    def model(p: NDArray[np.float64]) -> NDArray[np.float64]:
        centre, width, height = p.reshape(3, bands)
        return gaussian_sum(wavelength_nm, 1e4 / centre, width * 1e3, height)

    # centres and widths in 1000/cm, so that all unknowns are of the order of one
    low = np.concatenate([np.full(bands, 12.0), np.full(bands, 0.15), np.zeros(bands)])
    high = np.concatenate([np.full(bands, 31.0), np.full(bands, 4.0), np.full(bands, 1.5)])
    best, best_cost = np.zeros((bands, 3)), np.inf
    rng = np.random.default_rng(2)
    for _ in range(12):
        # one band starts at the peak, the others anywhere in the range of the curve
        start_nm = np.append(peak_nm, rng.uniform(355, min(wavelength_nm[-1], 700), bands - 1))
        start = np.concatenate(
            [1e4 / start_nm, rng.uniform(0.4, 2.0, bands), rng.uniform(0.1, 0.7, bands)]
        )
        found = least_squares(lambda p: model(p) - value, start, bounds=(low, high), max_nfev=400)
        if found.cost < best_cost:
            centre, width, height = found.x.reshape(3, bands)
            best = np.stack([1e4 / centre, width * 1e3, height], axis=1)
            best_cost = found.cost
    return best, float(np.sqrt(2 * best_cost / len(wavelength_nm)))


def moved(bands: NDArray[np.float64], peak_nm: float | None) -> NDArray[np.float64]:
    """The bands shifted in wavenumber until their visible maximum lies at `peak_nm`,
    with their sum there scaled to 1.

    Rows of centre [nm], width [1/cm] and height [-], shape (bands, 3).
    """
    bands = bands[bands[:, 2] > 5e-4].copy()
    visible = FINE_NM[FINE_NM >= 400]
    shape = gaussian_sum(visible, *bands.T)
    if peak_nm is not None:
        step = wavenumber_per_cm(peak_nm) - wavenumber_per_cm(visible[shape.argmax()])
        bands[:, 0] = 1e7 / (wavenumber_per_cm(bands[:, 0]) + step)
        shape = gaussian_sum(visible, *bands.T)
    bands[:, 2] /= shape.max()
    return bands[np.argsort(bands[:, 0])[::-1]]


def fit_curve(folder: Path, curve: Curve) -> str:
    """The table's entry of one dye, as TOML text."""
    wavelength_nm, value = read_curve(folder / f"{curve.stem}.csv")
    keep = wavelength_nm <= curve.last_nm
    for count in range(2, 9):
        bands, residual = fit(wavelength_nm[keep], value[keep], count)
        if residual < GOOD_RESIDUAL:
            break
    bands = moved(bands, curve.peak_nm)
    rows = ",\n".join(f"    [{c:.2f}, {w:.0f}, {h:.4f}]" for c, w, h in bands)
    moved_to = f", moved to {curve.peak_nm:g} nm" if curve.peak_nm else ""
    lines = [
        f'["{curve.dye}"]',
        f"bands = {{ value = [\n{rows},\n  ], "
        f'unit = "[nm, 1/cm, share of peak]", source = "{curve.source}", how = "{curve.how}" }}',
        f'curve = "{curve.stem}{moved_to}"',
        f'residual = {{ value = {residual:.4f}, unit = "rms, share of peak", '
        f'source = "make_dyes.py", how = "fitted" }}',
    ]
    if curve.emission:
        lines += emission_lines(folder, curve.emission)
    print(f"{curve.dye:18s} {len(bands)} bands, residual {residual:.4f}")
    return "\n".join(lines) + "\n"


def emission_lines(folder: Path, stem: str) -> list[str]:
    """Peak [nm] and width (standard deviation of the main band [1/cm]) of an emission curve."""
    wavelength_nm, value = read_curve(folder / f"{stem}.csv")
    main = value > 0.5
    nu = wavenumber_per_cm(wavelength_nm)
    width = np.ptp(nu[main]) / 2.3548
    peak_nm = wavelength_nm[value.argmax()]
    return [
        f'emission_peak = {{ value = {peak_nm:.0f}, unit = "nm", '
        f'source = "photochemcad", how = "fitted" }}',
        f'emission_width = {{ value = {width:.0f}, unit = "1/cm", '
        f'source = "photochemcad", how = "fitted" }}',
    ]


def main(folder: Path) -> None:
    """Fit every curve of the folder and write the table beside this script."""
    head = (
        "# Absorption bands: sums of Gaussians in wavenumber, [centre nm, width 1/cm, height],\n"
        "# summing to 1 at the visible maximum. Fitted curves, not measured ones.\n"
        f"# Made by make_dyes.py on {date.today().isoformat()} with numpy {np.__version__}.\n"
        "# how = fitted: the dye's own curve; analogue: a relative's, moved in wavenumber.\n\n"
    )
    entries = [fit_curve(folder, curve) for curve in CURVES]
    Path(__file__).with_name("dye_bands.toml").write_text(head + "\n".join(entries))


if __name__ == "__main__":
    main(Path(sys.argv[1]))
