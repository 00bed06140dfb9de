"""From dye on the sheet to reflected light: absorbance, crowding, and the stack of washes.

The colour of glazes on paper follows one law with three numbers of the sheet (docs/model.md,
docs/accuracy.md): the mean path gains nothing from a thin film, `surface` is light that never
enters the ink, and `path_spread` says how unequal the paths of the light through the ink are.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

CROWDING = 0.4
"""b of the load law, fitted to overprints and washes (docs/accuracy.md): lumps limits of uptake."""

SQUARE_METRE_TO_PATH = 0.1
"""(g/m2) x L/(g cm) -> absorbance: 1 g/m2 = 1e-4 g/cm2 and 1 L/(g cm) = 1000 cm2/g."""


def absorbance(load_g_per_m2: ArrayLike, absorptivity_l_per_g_cm: ArrayLike) -> NDArray[np.float64]:
    """Single-pass decadic absorbance of a layer of dye (Beer-Lambert).

    Parameters
    ----------
    load_g_per_m2 : [g/m2], broadcast against the absorptivity
    absorptivity_l_per_g_cm : [L/(g cm)]; E(1 %, 1 cm) / 10
    """
    load = np.asarray(load_g_per_m2, dtype=float)
    return load * np.asarray(absorptivity_l_per_g_cm, dtype=float) * SQUARE_METRE_TO_PATH


def path(single_pass_absorbance: ArrayLike, path_gain: float) -> NDArray[np.float64]:
    """Mean absorption path A [-] (natural logarithm) of a layer in the paper's fibres.

    `path_gain` is how often light crosses the ink on its way through the fibres and out [-].

    Same shape.
    """
    return path_gain * np.log(10.0) * np.asarray(single_pass_absorbance, dtype=float)


def path_from_reflectance(
    reflectance_of_wash: ArrayLike, paper: ArrayLike, surface: ArrayLike, path_spread: float
) -> NDArray[np.float64]:
    """Path A of a wash from its measured reflectance: the inverse of `stack_reflectance`.

    Negative where the wash is lighter than the paper (fluorescence), which is allowed.

    All [-], broadcast to one shape.
    """
    R, Rp, s = (np.asarray(v, dtype=float) for v in (reflectance_of_wash, paper, surface))
    return path_spread * (((R - s) / (Rp - s)) ** (-1.0 / path_spread) - 1.0)


def stack_reflectance(
    A: ArrayLike, paper: ArrayLike, surface: ArrayLike, path_spread: float
) -> NDArray[np.float64]:
    """Reflectance of inked paper: s + (Rp - s) (1 + A/k)^-k.

    The mean of exp(-A u) over light paths u that are gamma-distributed with mean 1 and variance
    1/k. k = 1 (exponential paths) is close to Kubelka-Munk in the darks; k -> infinity is the
    clear layer of Beer and Lambert.

    All are broadcast to one shape, that of the result [-].

    Parameters
    ----------
    A : path of all that lies on the paper [-], >= 0 unless fluorescent
    paper : Rp, reflectance of the bare paper [-], 0 to 1
    surface : s, light returned by the surface of the sheet without entering the ink [-]
    path_spread : k [-]
    """
    Rp, s = np.asarray(paper, dtype=float), np.asarray(surface, dtype=float)
    return s + (Rp - s) * (1.0 + np.asarray(A, dtype=float) / path_spread) ** -path_spread


def crowded(Q: ArrayLike, crowding: float = CROWDING) -> NDArray[np.float64]:
    """Load law E(Q) = ln(1 + b Q)/b: what the eye gets of a running load Q [neat coats].

    Later and stronger washes count for less. b -> 0 gives E(Q) = Q.

    Same shape.
    """
    Q = np.asarray(Q, dtype=float)
    return np.log1p(crowding * Q) / crowding if crowding > 0 else Q.copy()


def glaze_weight(Q: ArrayLike, dQ: ArrayLike, crowding: float = CROWDING) -> NDArray[np.float64]:
    """Weight of a wash of strength dQ laid on dry load Q, in units of one neat coat on bare paper.

    w = (E(Q + dQ) - E(Q))/E(1); earlier washes keep their weight, so more ink never lightens.

    All [-], broadcast to one shape.
    """
    Q = np.asarray(Q, dtype=float)
    step = crowded(Q + np.asarray(dQ, dtype=float), crowding) - crowded(Q, crowding)
    return step / crowded(1.0, crowding)


def wet_weight(q: ArrayLike, Q: ArrayLike) -> NDArray[np.float64]:
    """Weight of a part q of a load Q that was mixed wet: w = q E(Q)/(Q E(1)), 0 where Q = 0.

    All [-], broadcast to one shape.
    """
    q, Q = np.broadcast_arrays(np.asarray(q, dtype=float), np.asarray(Q, dtype=float))
    share = np.divide(q, Q, out=np.zeros_like(q), where=Q > 0)
    return share * crowded(Q, CROWDING) / crowded(1.0, CROWDING)
