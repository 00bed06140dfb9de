"""Spectra from one colour reading: ours against the methods colour-science carries."""

from __future__ import annotations

import warnings
from collections.abc import Callable

import numpy as np

from glaze.calibrate.fit.dye_prior import dye_prior
from glaze.materials.dye import load_dyes
from glaze.physics.absorption import stack_reflectance
from glaze.physics.colour import delta_e_2000
from tests.accuracy.measured import COATED, NM, SHEET, UNCOATED, lab, overprints, weights, xyz
from tests.accuracy.one_reading import dye_shaped, smoothest_density
from tests.accuracy.scores import COLOURS, SEED, by_dyes, by_smoothness, law, offset, solids

DEPTH = 8.0  # path of the left-out dyes at their peak: a full wash


def by_colour_science(method: str) -> Callable[..., np.ndarray]:
    """A recovery method of colour-science; D50 as its illuminant, NM as its shape."""

    def recover(colour: np.ndarray, _: np.ndarray, __: tuple[float, float]) -> np.ndarray:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            import colour as cs

            options = {}
            if method in ("Meng 2015", "Jakob 2019"):
                shape = cs.SpectralShape(400, 700, 10)
                observer = cs.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape)
                options = {
                    "cmfs": observer,
                    "illuminant": cs.SDS_ILLUMINANTS["D50"].copy().align(shape),
                }
            found = cs.XYZ_to_sd(xyz(colour), method=method, **options)
        return np.clip(np.interp(NM, found.wavelengths, found.values), 1e-3, 1.0)

    return recover


METHODS = {
    "smoothest density": by_smoothness,
    "dye-shaped": by_dyes,
    "colour-science: Jakob 2019": by_colour_science("Jakob 2019"),
    "colour-science: Meng 2015": by_colour_science("Meng 2015"),
    "colour-science: Otsu 2018": by_colour_science("Otsu 2018"),
}


def solids_missed(recover: Callable[..., np.ndarray]) -> np.ndarray:
    """CIEDE2000 between the single inks read and the spectra recovered from them."""
    found = []
    for condition in (*COATED, *UNCOATED):
        _, inks = solids(condition, recover)
        for ink in "CMY":
            found.append(float(delta_e_2000(lab(inks[ink]), overprints()[condition][ink])))
    return np.array(found)


def offset_by(recover: Callable[..., np.ndarray]) -> tuple[np.ndarray, np.ndarray]:
    """CIEDE2000 of coated and uncoated CMY overprints by the product's law."""
    return offset(law, COATED, COLOURS, recover), offset(law, UNCOATED, COLOURS, recover)


def unseen_dyes() -> dict[str, tuple[np.ndarray, np.ndarray]]:
    """Two dyes over each other, each known by its colour alone and left out of the prior.

    Gives, for each way, CIEDE2000 of the overlaps against the true spectra's, and the standard
    error of the reflectances. The dyes are the built-in ones on a paper of 0.85, path 8.
    """
    paper, (k, s) = np.full(NM.size, 0.85), SHEET["matte"]
    truth, ways = {}, {"smoothest density": {}, "dye-shaped": {}}
    for name, dye in load_dyes().items():
        if dye.kind == "dye":
            curve = dye.absorptivity_l_per_g_cm(NM)
            R = truth[name] = stack_reflectance(DEPTH * curve / curve.max(), paper, s, k)
            read = R @ weights()
            without = dye_prior(NM, SEED, 1500, [name])
            smooth = smoothest_density(read, paper, weights(), surface=s)
            ways["smoothest density"][name] = smooth.reflectance
            ways["dye-shaped"][name] = dye_shaped(read, paper, weights(), without).reflectance
    names = sorted(truth)
    pairs = [(a, b) for i, a in enumerate(names) for b in names[i + 1 :]]
    found = {}
    for way, spectra in ways.items():
        dE = [
            float(
                delta_e_2000(
                    *(law(np.array([R[a], R[b]]), paper, (k, s)) for R in (spectra, truth))
                )
            )
            for a, b in pairs
        ]
        missed = [float(np.std(spectra[name] - truth[name])) for name in names]
        found[way] = np.array(dE), np.array(missed)
    return found
