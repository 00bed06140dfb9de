"""Random bleach touches, and the full coupled system in time solved by scipy's stiff solver.

The reference knows nothing of exposures: it follows every dye, every product, the fibres and the
bleach in a film that dries, in seconds.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

FILM = 0.06


@dataclass(frozen=True)
class Case:
    """One touch on one pixel; units as in `glaze.physics.depletion`."""

    k: np.ndarray
    oxidant: np.ndarray
    product: np.ndarray
    product_yield: np.ndarray
    fibre: float
    fibre_rate: float
    mol: np.ndarray
    h0: float
    seconds: float
    evaporation: float
    residual: float

    def amount(self) -> np.ndarray:
        """The most there can ever be of each colourant [mol/m2]."""
        most = self.mol.copy()
        for j in range(len(most)):
            if self.product[j] >= 0:  # a product always stands after its parents
                most[self.product[j]] += most[j] * self.product_yield[j]
        return most


def random_case(rng: np.random.Generator) -> Case:
    """k over 6 decades, chains of up to 3, no dye to dense dye, weak to neat bleach."""
    count = int(rng.integers(1, 9))
    product = np.full(count, -1)
    depth = np.ones(count, int)
    for j in reversed(range(count - 1)):
        heir = int(rng.integers(j + 1, count))
        if rng.random() < 0.5 and depth[heir] < 3:
            product[j], depth[j] = heir, depth[heir] + 1
    mol = 10 ** rng.uniform(-8, -2, count) * (rng.random(count) < 0.8)
    return Case(
        k=10 ** rng.uniform(-4, 2, count),
        oxidant=rng.uniform(1, 6, count),
        product=product,
        product_yield=rng.uniform(0.3, 1, count),
        fibre=10 ** rng.uniform(-5, -2),
        fibre_rate=10 ** rng.uniform(-4, -1),
        mol=mol * (rng.random() < 0.95),
        h0=10 ** rng.uniform(-4.5, -1.3),
        seconds=10 ** rng.uniform(0, 3.5),
        evaporation=10 ** rng.uniform(-6, -4),
        residual=0.006,
    )


def solve_in_time(case: Case) -> tuple[np.ndarray, float]:
    """Colourants [mol/m2] and bleach left [mol/m2] at the end of the touch."""
    from scipy.integrate import solve_ivp

    count = len(case.k)
    into = np.zeros((count, count))
    for j in np.flatnonzero(case.product >= 0):
        into[case.product[j], j] = case.product_yield[j]

    def change(t: float, y: np.ndarray) -> np.ndarray:
        film = max(FILM - case.evaporation * t, case.residual)
        reacting = case.k * y[:count] * y[-1] / film
        fibres = case.fibre_rate * y[count] * y[-1] / film
        used = case.oxidant @ reacting + fibres
        return np.concatenate([into @ reacting - reacting, [-fibres, -used]])

    y = np.concatenate([case.mol, [case.fibre, case.h0]])
    dry = (FILM - case.residual) / case.evaporation
    for start, end in ((0.0, min(dry, case.seconds)), (dry, case.seconds)):
        if start < end:
            solved = solve_ivp(change, (start, end), y, method="BDF", rtol=1e-9, atol=1e-15)
            assert solved.success
            y = solved.y[:, -1]
    return y[:count], float(y[-1])
