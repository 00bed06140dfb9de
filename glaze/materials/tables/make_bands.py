"""Choose the 40 bands glaze works in, and write bands.csv, bands_estimator.csv and two more.

Run from the root of the repository: `python glaze/materials/tables/make_bands.py`; with `glow`
after it only bands_glow.csv and reference_weights.csv are made, from the bands there are. Needs
colour-science. The question, the choices and the measured errors are in
docs/decisions/005-bands.md.

1. A large seeded ensemble of reflectances of ink on paper at 1 nm gives a covariance.
2. Positions: those from which the covariance best predicts XYZ under all lights (exchange search).
3. Estimator: ordinary kriging, 1 nm reflectance from the bands; a flat spectrum comes out exact.
4. Weights of D65, D50 and A: their 1 nm weights through the estimator.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from glaze.physics.absorption import stack_reflectance
from glaze.physics.spectrum import REFERENCE_NM, gaussian_sum

Array = NDArray[np.float64]

SEED = 7
SAMPLES = 12_000
BANDS = 40
STORED = ("D65", "D50", "A")
LUMINANCE_POWER = 0.8  # dark colours count for more: differences go about as Y^(-2/3)
JITTER = 1e-6  # share of the mean variance: ripple that a sum of Gaussians lacks but real dyes have
MAIN_LIGHTS_COUNT = 5.0  # how much more D65, D50 and A count than other lights
ERROR_POWER = 4  # between mean square (2) and worst case


def random_dye(rng: np.random.Generator) -> Array:
    """A made-up dye: a visible band, its vibronic shoulder, up to three others; peak 1.

    Shape (401,), [-].
    """
    centre, width = 1e7 / rng.uniform(390, 720), np.exp(rng.uniform(np.log(330), np.log(1800)))
    centres, widths = (
        [centre, centre + rng.uniform(1000, 1600)],
        [width, width * rng.uniform(0.9, 1.8)],
    )
    heights = [1.0, rng.uniform(0.1, 0.6)]
    for _ in range(rng.integers(0, 4)):
        centres.append(1e7 / rng.uniform(340, 740))
        widths.append(np.exp(rng.uniform(np.log(500), np.log(3000))))
        heights.append(rng.uniform(0.02, 0.7))
    curve = gaussian_sum(REFERENCE_NM, 1e7 / np.array(centres), widths, heights)
    return curve / curve.max()


def random_paper(rng: np.random.Generator) -> Array:
    """A made-up paper: white to cream, dark in the violet, at times with a brightener.

    Reflectance [-], shape (401,).
    """
    nm = REFERENCE_NM
    at, width = rng.uniform(370, 420), rng.uniform(8, 25)
    R = rng.uniform(0.75, 0.95) * (1 - rng.uniform(0, 0.5) / (1 + np.exp((nm - at) / width)))
    R = R * (
        1 - 0.6 * rng.uniform(-0.1, 0.35) * np.clip((600 - nm) / 220, 0, 1) ** rng.uniform(1, 2)
    )
    if rng.random() < 0.4:
        R = R + rng.uniform(0, 0.12) * np.exp(-0.5 * ((nm - 437) / rng.uniform(10, 18)) ** 2)
    return R


def random_stack(rng: np.random.Generator) -> Array:
    """One to three dyes, from a trace to several neat coats, on a paper of any surface.

    Reflectance [-], shape (401,).
    """
    A = np.zeros_like(REFERENCE_NM)
    for _ in range(rng.integers(1, 4)):
        A = A + np.exp(rng.uniform(np.log(0.03), np.log(25))) * random_dye(rng)
    A = A * min(1.0, 40.0 / A.max())
    spread, surface = ((1.0, 0.03), (1.5, 0.02), (2.0, 0.0))[rng.integers(3)]
    return stack_reflectance(A, random_paper(rng), surface, spread)


def ensemble(samples: int, seed: int) -> Array:
    """Reflectances of made-up stacks, shape (samples, 401). [-]."""
    rng = np.random.default_rng(seed)
    return np.stack([random_stack(rng) for _ in range(samples)])


def light_weights() -> dict[str, Array]:
    """1 nm weights (401, 3), Y of the diffuser 1, of each CIE illuminant in colour-science.

    [-], each of shape (401, 3).
    """
    from glaze.picture.light import LIGHT_NAMES, weights_at_reference

    return {name: weights_at_reference(name) for name in LIGHT_NAMES}


def covariance(R: Array, luminance_weights: Array) -> Array:
    """Second moment of reflectance, samples weighted by how visible an error is.

    R is [-], shape (samples, 401); the moment [-], shape (401, 401).
    """
    weighted = R / (R @ luminance_weights)[:, None] ** LUMINANCE_POWER
    C = weighted.T @ weighted / len(R)
    return C + np.eye(len(C)) * JITTER * np.trace(C) / len(C)


def estimator(C: Array, at: NDArray[np.int_]) -> Array:
    """Ordinary kriging: shape (bands, 401), R_1nm = R_bands @ estimator, flat spectra exact.

    [-]; `C` has shape (401, 401), `at` the indices of the bands.
    """
    M = np.linalg.solve(C[np.ix_(at, at)], C[at])
    share = np.linalg.solve(C[np.ix_(at, at)], np.ones(len(at)))
    return np.asarray(M + np.outer(share / share.sum(), 1.0 - M.sum(axis=0)), dtype=np.float64)


def choose_positions(C: Array, targets: Array, importance: Array) -> NDArray[np.int_]:
    """Exchange search: move one band at a time while the predicted error of XYZ falls.

    `C` [-] has shape (401, 401), `targets` (401, columns); gives the bands' indices, shape
    (bands,).
    """
    seen = targets @ C
    total = np.einsum("ij,ij->i", seen, targets)

    def error(at: NDArray[np.int_]) -> float:
        b = seen[:, at]
        left = total - np.einsum("ij,ij->i", b, np.linalg.solve(C[np.ix_(at, at)], b.T).T)
        return float(np.mean((importance * np.sqrt(np.maximum(left, 0))) ** ERROR_POWER))

    at = np.round(np.linspace(8, 345, BANDS)).astype(int)
    best = error(at)
    # small shifts of every band first, then each band to anywhere
    shifts = [tuple(s * d for d in (-1, 1)) for s in (8, 4, 2, 1, 6, 3, 1, 2, 1)]
    for step in [*shifts, *([None, (-1, 1)] * 3)]:
        for _ in range(8):
            before = best
            for j in range(BANDS):
                goals = range(0, 401, 2) if step is None else [at[j] + d for d in step]
                for goal in goals:
                    if 0 <= goal < 401 and goal not in at:
                        trial = at.copy()
                        trial[j] = goal
                        if (found := error(trial)) < best * (1 - 1e-6):
                            at, best = trial, found
            if best == before or step is None:
                break
    return np.sort(at)


def write(folder: Path) -> None:
    """Make both tables."""
    weights = light_weights()
    C = covariance(ensemble(SAMPLES, SEED), weights["D65"][:, 1])
    targets = np.concatenate([(w / w.sum(axis=0)).T for w in weights.values()])
    importance = np.repeat([MAIN_LIGHTS_COUNT if n in STORED else 1.0 for n in weights], 3)
    at = choose_positions(C, targets, importance)
    M = np.round(estimator(C, at), 7)
    head = (
        f"{BANDS} bands; made by make_bands.py (seed {SEED}, {SAMPLES} stacks), colour-science "
        f"{_colour_version()}, CIE 1931 2 degree observer\n"
        "how: fitted; docs/decisions/005-bands.md\n"
    )
    columns = ",".join(f"{n}_{axis}" for n in STORED for axis in "XYZ")
    rows = np.column_stack([REFERENCE_NM[at], *(M @ weights[n] for n in STORED)])
    np.savetxt(
        folder / "bands.csv",
        rows,
        ["%d"] + ["%.9f"] * 9,
        ",",
        header=f"Weights: XYZ = sum of weight x reflectance, diffuser Y = 1; {head}nm,{columns}",
    )
    np.savetxt(
        folder / "bands_estimator.csv",
        M.T,
        "%.7f",
        ",",
        header=f"Reflectance at 380 to 780 nm (rows, 1 nm) from the reflectance in {head}"
        + ",".join(f"nm_{nm:.0f}" for nm in REFERENCE_NM[at]),
    )


def write_reference(folder: Path) -> None:
    """Make the table of the stored lights' weights at 1 nm, which measured curves are fitted by."""
    weights = light_weights()
    rows = np.column_stack([REFERENCE_NM, *(weights[name] for name in STORED)])
    np.savetxt(
        folder / "reference_weights.csv",
        rows,
        ["%d"] + ["%.8f"] * 9,
        ",",
        header="XYZ weights at 1 nm (CIE 1931 2 degree), Y of the diffuser 1; made by "
        f"make_bands.py, colour-science {_colour_version()}\nhow: computed\n"
        f"nm,{','.join(f'{axis}_{name}' for name in STORED for axis in 'XYZ')}",
    )


def write_glow(folder: Path) -> None:
    """Make the table for light that dyes send out again: sums over straight lines between bands.

    Not by the estimator: its weights swing below 0 at the ends, and photons have to be counted.
    """
    from glaze.picture.light import band_nm, hats, observer_at_reference, photons_at_reference

    H = hats(band_nm())
    photons = [H @ photons_at_reference(name) for name in STORED]
    rows = np.column_stack([band_nm(), H.sum(axis=1), H @ observer_at_reference(), *photons])
    columns = ",".join(["nm,width_nm", *"XYZ", *(f"photons_{name}" for name in STORED)])
    np.savetxt(
        folder / "bands_glow.csv",
        rows,
        ["%d"] + ["%.7f"] * 7,
        ",",
        header="Width of the bands, observer (CIE 1931 2 degree) and photons of the lights (power "
        f"times wavelength over luminance); made by make_bands.py, colour-science "
        f"{_colour_version()}\nhow: computed; docs/lift.md, Glow\n{columns}",
    )


def _colour_version() -> str:
    import colour

    return str(colour.__version__)


if __name__ == "__main__":
    if sys.argv[1:] != ["glow"]:
        write(Path(__file__).parent)
    write_reference(Path(__file__).parent)
    write_glow(Path(__file__).parent)
