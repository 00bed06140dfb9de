"""A network of reactions as lists of what isn't zero in it, for the compiled lift."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.physics.depletion import Network

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Paths:
    """A network as lists of what isn't zero in it; figures may have cases in front.

    pairs, share : i, j, m and C[i, j, m]; places, weight : m, j and W[m, j] (see `Network`)
    """

    k: Array
    demand: Array
    pairs: NDArray[np.intp]
    share: Array
    places: NDArray[np.intp]
    weight: Array


def paths_of(network: Network) -> Paths:
    """The parts of a network that aren't zero in every case."""
    cases = tuple(range(network.k.ndim - 1))
    pairs: Any = np.nonzero((network.share != 0.0).any(axis=cases))
    places: Any = np.nonzero((network.weight != 0.0).any(axis=cases))
    return Paths(
        *(network.k, network.demand, np.array(pairs), network.share[(..., *pairs)]),
        *(np.array(places), network.weight[(..., *places)]),
    )


def of_case(paths: Paths, case: int) -> Paths:
    """The figures of one case."""
    own = (field[case, 0] for field in (paths.k, paths.demand, paths.share, paths.weight))
    k, demand, share, weight = own
    return Paths(k, demand, paths.pairs, share, paths.places, weight)
