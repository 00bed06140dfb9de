"""Dyes, their products and the fibres sharing a film of bleach: one scalar equation per pixel.

With the exposure s = integral of c dt [mol s/L] every colourant decays at its own k in s,
whatever the others do:  da_j/ds = -k_j a_j + sum_i y_i k_i a_i  over the i that turn into j.
The oxidant left in the film, h [mol/m2], is then a sum of exponentials in s, and since
c = h/V, the whole coupled system is  ds/dtau = h(s)  with  tau = integral of dt/V.

`N_j` is what one mol of colourant j and all that comes of it can use up; the demand still open,
sum N_j a_j, falls by just what the bleach loses, so  h(s) = h0 - sum N_j (a_j(0) - a_j(s)).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

LONGEST_CHAIN = 3
"""A dye, its product, and that product's product."""

LEAST_GAP = 1e-5
"""Rates in a chain are set apart by this share: Bateman's formula divides by their difference.
Moves a remaining fraction by less than 4e-6 and keeps rounding below 1e-6."""


LONGEST_TAU = 1e12
"""Stands for "for ever" [s m2/L]."""

GAUSS_PLACES, GAUSS_WEIGHTS = (
    0.5 + 0.5 * np.polynomial.legendre.leggauss(5)[0],
    0.5 * np.polynomial.legendre.leggauss(5)[1],
)
"""Five points of Gauss and Legendre from 0 to 1: 1e-7 of 1/h while h halves."""

TINY = 1e-300
MOST_STEPS = 5000


@dataclass(frozen=True)
class Network:
    """Who turns into what, solved once for a set of colourants (see `network_of`).

    All places share one, or each has its own: then every array has their axes in front.

    Attributes
    ----------
    k : rates [L/(mol s)], shape (colourants + 1,); the last is the fibres' rate
    demand : N_j, oxidant that a mol can use up in all [mol/mol], shape (colourants,)
    share : C[i, j, m]: mol of i from a mol of j is sum_m C[i, j, m] exp(-k_m s), shape
        (colourants, colourants, colourants)
    weight : W[m, j]: open demand is sum_m exp(-k_m s) sum_j W[m, j] a_j(0)
    fibre_mol_per_m2 : what the fibres can use up [mol/m2]
    """

    k: Array
    demand: Array
    share: Array
    weight: Array
    fibre_mol_per_m2: float | Array


def chain_of(product: NDArray[np.intp], first: int) -> list[int]:
    """A colourant and, in order, what it turns into.

    `product`: index of what each turns into, -1 for none, shape (colourants,).
    """
    chain = [first]
    while product[chain[-1]] >= 0:
        chain.append(int(product[chain[-1]]))
        if len(chain) > LONGEST_CHAIN:
            raise ValueError(f"colourant {first} has a chain longer than {LONGEST_CHAIN}: {chain}")
    return chain


def network_of(
    k: Array,
    oxidant: Array,
    product: NDArray[np.intp],
    product_yield: Array,
    fibre_mol_per_m2: float | Array,
    fibre_rate: float | Array,
) -> Network:
    """Solve the network once, so that each pixel only needs exponentials.

    Parameters
    ----------
    k : rate of each colourant [L/(mol s)], shape (colourants,), >= 0; or with pixels in front,
        as `oxidant`, `product_yield` and the fibres' may have then
    oxidant : n_j used up when a mol reacts [mol/mol]
    product : index of what it turns into, -1 for nothing that has colour; the same for all
    product_yield : y_j, mol of product from a mol [mol/mol]
    fibre_mol_per_m2, fibre_rate : a slow consumer without colour [mol/m2], [L/(mol s)]
    """
    pixels, count = k.shape[:-1], k.shape[-1]
    chains = [chain_of(product, j) for j in range(count)]
    apart, product_yield = _set_apart(k, chains), np.broadcast_to(product_yield, k.shape)
    demand = np.zeros((*pixels, count))
    share = np.zeros((*pixels, count, count, count))
    for j, chain in enumerate(chains):
        one = np.ones((*pixels, 1))
        reach = np.cumprod(np.concatenate([one, product_yield[..., chain[:-1]]], axis=-1), axis=-1)
        demand[..., j] = np.sum(reach * oxidant[..., chain], axis=-1)
        for length, i in enumerate(chain):
            part = chain[: length + 1]
            share[..., i, j, part] = reach[..., length, None] * _bateman(apart[..., part])
    weight = np.einsum("...i,...ijm->...mj", demand, share)
    fibre = np.broadcast_to(np.asarray(fibre_rate, dtype=float), pixels)
    rates = np.concatenate([apart, fibre[..., None]], axis=-1)
    return Network(rates, demand, share, weight, fibre_mol_per_m2)


def _set_apart(k: Array, chains: list[list[int]]) -> Array:
    """The rates with any two of one chain at least `LEAST_GAP` apart."""
    apart = k.astype(float).copy()
    # longest chains first, so that a product shared by several parents is moved only once
    for chain in sorted(chains, key=len, reverse=True):
        for place in range(len(chain) - 2, -1, -1):
            first, later = chain[place], apart[..., chain[place + 1 :]]
            while np.any(
                near := np.any(np.abs(apart[..., first, None] - later) < LEAST_GAP * later, axis=-1)
            ):
                apart[..., first] *= np.where(near, 1.0 + LEAST_GAP, 1.0)
    return apart


def _bateman(k: Array) -> Array:
    """Factors of exp(-k_m s) for the last member of a chain (Bateman 1910).

    prod(k_1..k_{n-1}) / prod_{l != m}(k_l - k_m); all 0 where a member before it never reacts.
    """
    before = np.prod(k[..., :-1], axis=-1)[..., None]
    differences = k[..., None, :] - k[..., :, None] + np.eye(k.shape[-1])
    apart = np.where(before == 0.0, 1.0, differences.prod(axis=-1))
    return np.asarray(before / apart)


def shares(network: Network, s: Array) -> Array:
    """X[..., i, j] [mol/mol]: mol of i that come of a mol of j after exposure s [mol s/L].

    Shape (..., colourants, colourants) for an exposure of shape (...).
    """
    decay = np.exp(-s[..., None] * network.k[..., :-1])
    return np.clip(np.einsum("...m,...ijm->...ij", decay, network.share), 0.0, None)


def oxidant_left(network: Network, s: Array, mol_per_m2: Array, h0: Array) -> Array:
    """h(s) [mol/m2] of bleach still active in the film, shape of `s`."""
    terms, rest = _terms(network, mol_per_m2, h0)
    return rest + np.sum(terms * np.exp(-s[..., None] * network.k), axis=-1)


def _terms(network: Network, mol_per_m2: Array, h0: Array) -> tuple[Array, Array]:
    """h(s) as rest + sum of terms exp(-k s): terms (..., colourants + 1), rest (...)."""
    fibres = np.broadcast_to(network.fibre_mol_per_m2, h0.shape)
    dyes = np.einsum("...mj,...j->...m", network.weight, mol_per_m2)
    demand = np.sum(mol_per_m2 * network.demand, axis=-1)
    return np.concatenate([dyes, fibres[..., None]], axis=-1), h0 - demand - fibres


def panel_width(k: Array, s: Array, fineness: float = 0.25, grading: float = 8.0) -> Array:
    """Longest step in s [mol s/L] over which no exponential bends much, shape of `s`.

    fineness min_k exp(k s/grading)/k: wider for a k whose exp(-k s) has died away, so that about
    grading/fineness steps are spent on each k.
    """
    bends = np.exp(np.minimum(s[..., None] * k / grading, 80.0))
    bends = np.divide(bends, k, out=np.full(bends.shape, np.inf), where=k > 0.0)
    return fineness * bends.min(axis=-1, initial=np.inf)


def exposure(network: Network, mol_per_m2: Array, h0: Array, tau: Array) -> Array:
    """Exposure s [mol s/L] at which tau = integral of ds/h(s): the plain version.

    Takes the step that the tangent of h promises, no longer than the exponentials allow and no
    further than h halves; sees how much of tau it really took; goes on with the
    rest, backwards too. Comes to within 1e-6 of 1/k.

    Parameters
    ----------
    mol_per_m2 : a_j(0), shape (..., colourants)
    h0 : active bleach at the start [mol/m2], shape (...)
    tau : integral of dt/V [s m2/L], shape of h0
    """
    terms, rest = _terms(network, mol_per_m2, h0)
    left = np.where(h0 > 0.0, np.minimum(tau, LONGEST_TAU), 0.0)
    k = network.k if network.k.ndim == 1 else np.broadcast_to(network.k, terms.shape)
    k = k.reshape(-1, k.shape[-1]) if k.ndim > 1 else k
    flat = terms.reshape(-1, terms.shape[-1]), rest.ravel(), left.ravel()
    return _exposed(k, *flat).reshape(h0.shape)


def _exposed(k: Array, terms: Array, rest: Array, left: Array) -> Array:
    """`exposure` of places in a row; k : of all, shape (rates,), or of each."""
    s, left = np.zeros_like(rest), left.copy()
    going = np.flatnonzero(left > 0.0)
    for _ in range(MOST_STEPS):
        if going.size == 0:
            break
        own = k if k.ndim == 1 else k[going]
        step, used = _step(own, terms[going], rest[going], s[going], left[going])
        s[going] += step
        left[going] -= used
        # a dye's remaining fraction moves by k ds at most
        still = (np.abs(step) * k.max() > 1e-9) & (left[going] != 0.0)
        going = going[still]
    return s


def _step(k: Array, terms: Array, rest: Array, s: Array, left: Array) -> tuple[Array, Array]:
    """One step in s [mol s/L] and the part of tau that it takes [s m2/L]."""

    def bleach(s: Array) -> Array:
        return rest + np.sum(terms * np.exp(-s[..., None] * k), axis=-1)

    still = terms * np.exp(-s[:, None] * k)
    h = np.maximum(rest + np.sum(still, axis=1), TINY)
    fall = np.maximum(np.sum(k * still, axis=1), TINY)
    # exact where h is straight: (1 - exp(-fall left)) h/fall, h at most halved
    time = np.clip(left, -0.1 / fall, 0.7 / fall)
    step = -np.expm1(-fall * time) * h / fall
    step = np.minimum(step, panel_width(k, s))
    while np.any(over := (bleach(s + step) <= 0.0) & (step > 0.0)):
        step[over] *= 0.5
        step[over & (step * k.max() < 1e-12)] = 0.0
    per_h = step / np.maximum(bleach(s + GAUSS_PLACES[:, None] * step), TINY)
    used = np.sum(GAUSS_WEIGHTS[:, None] * per_h, axis=0)
    return step, used
