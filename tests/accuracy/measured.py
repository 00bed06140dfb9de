"""The measured sets and the colour arithmetic they are scored with."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

import numpy as np

from glaze.physics.colour import delta_e_2000, lab_from_xyz, xyz_from_lab
from glaze.physics.spectrum import REFERENCE_NM
from glaze.picture.light import weights_at_reference

PUBLISHED = Path(__file__).parents[1] / "published"
NM = np.arange(400.0, 701.0, 10.0)
COATED, UNCOATED = ("FOGRA39L", "TR006"), ("FOGRA29L", "FOGRA30L", "TR002")
SHEET = {"coated": (2.0, 0.0), "hard-sized": (1.5, 0.02), "matte": (1.0, 0.03)}
TRANSPARENT = ("alizarin crimson", "burnt sienna", "cerulean blue", "cobalt blue", "lemon yellow")
TRANSPARENT += ("prussian blue", "raw sienna", "sap green", "ultramarine")
"""All of the set but its black, white and cadmiums. Names are the set's own; some are uncertain."""

NEAT_ML = 0.04
"""Amount taken as one neat coat: one of four tried (docs/accuracy.md shows all)."""


@cache
def weights() -> np.ndarray:
    """D50, 2 degree XYZ weights of NM: 1 nm weights shared linearly, ends held."""
    W = weights_at_reference("D50")
    out = np.empty((NM.size, 3))
    for j in range(NM.size):
        out[j] = np.interp(REFERENCE_NM, NM, np.eye(NM.size)[j]) @ W
    return out


def lab(reflectance: np.ndarray) -> np.ndarray:
    """Lab, D50, of spectra on NM."""
    W = weights()
    return lab_from_xyz(reflectance @ W, W.sum(axis=0))


def xyz(colour: np.ndarray) -> np.ndarray:
    """XYZ of a Lab, D50."""
    return xyz_from_lab(colour, weights().sum(axis=0))


def smoothest_paper(xyz: np.ndarray, xyz_weights: np.ndarray) -> np.ndarray:
    """Smoothest reflectance [-] of a bare paper with exactly that XYZ.

    Parameters
    ----------
    xyz : of the paper, in the scale of the weights
    xyz_weights : `XYZ = R @ xyz_weights`, shape (bands, 3), evenly spaced bands
    """
    W = np.asarray(xyz_weights, dtype=float)
    n = len(W)
    bend = np.diff(np.eye(n), 2, axis=0)
    # minimum of |bend R|^2 under W^T R = xyz: one linear system (Lagrange)
    system = np.block([[bend.T @ bend, W], [W.T, np.zeros((3, 3))]])
    return np.linalg.solve(system, np.concatenate([np.zeros(n), np.asarray(xyz, float)]))[:n]


def error(reflectance: np.ndarray, colour: np.ndarray) -> float:
    """CIEDE2000 of a predicted spectrum against a measured Lab."""
    return float(delta_e_2000(lab(reflectance), colour))


def _table(path: Path) -> list[dict[str, str]]:
    lines = [line for line in path.read_text().splitlines() if not line.startswith("#")]
    return list(csv.DictReader(lines))


@cache
def overprints() -> dict[str, dict[str, np.ndarray]]:
    """Measured Lab of each patch, by printing condition."""
    found: dict[str, dict[str, np.ndarray]] = {}
    for row in _table(PUBLISHED / "overprints.csv"):
        colour = np.array([float(row[k]) for k in "Lab"])
        found.setdefault(row["source"], {})[row["patch"]] = colour
    return found


def sheet_of(condition: str) -> tuple[float, float]:
    """k and s of a printing condition."""
    return SHEET["coated"] if condition in COATED else SHEET["matte"]


Pair = tuple[str, float, str, float]


def full_pairs(folder: Path) -> dict[Pair, np.ndarray]:
    """All pairs of the full tables."""
    pairs = {}
    for row in _table(folder / "watercolour_mixtures.csv"):
        key = (row["pigment1"], float(row["ml1"]), row["pigment2"], float(row["ml2"]))
        pairs[key] = np.array([float(row[str(int(nm))]) for nm in NM])
    return pairs


def full_singles(folder: Path) -> dict[tuple[str, float], np.ndarray]:
    """All single washes of the full tables."""
    return {
        (row["pigment"], float(row["amount_ml"])): np.array([float(row[str(int(nm))]) for nm in NM])
        for row in _table(folder / "watercolour_single_washes.csv")
        if row["kind"] == "R"
    }


@cache
def watercolours() -> tuple[dict[tuple[str, float], np.ndarray], dict[Pair, np.ndarray]]:
    """Single washes by pigment and ml (the paper is ("paper", 0)), and pairs."""
    singles, pairs = {}, {}
    for row in _table(PUBLISHED / "watercolour_excerpt.csv"):
        R = np.array([float(row[str(int(nm))]) for nm in NM])
        first, ml1, second, ml2 = (
            row["pigment1"],
            float(row["ml1"]),
            row["pigment2"],
            float(row["ml2"]),
        )
        if second:
            pairs[first, ml1, second, ml2] = R
        else:
            singles[first, ml1] = R
    return singles, pairs
