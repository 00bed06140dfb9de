"""How much bleach a pixel sees: the compiled solver of ds/dtau = h(s), block by block.

h(s) is a sum of exponentials whose rates are the same for every pixel. So the exponentials at
the nodes of a few dozen panels in s are worked out once, and h at a node is a short sum of
products. A pixel marches over the panels with three points of Gauss and Legendre. In the panel
in which its time runs out, or its bleach, h is the parabola of fourth order through the panel's
five nodes, and the plain version's steps along the tangent are taken on that.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glaze.physics.depletion import LONGEST_TAU, panel_width
from glaze.physics.drying import NO_EVAPORATION
from glaze.sheet.kernel import inner, kernel

LANES = 64
"""Pixels in a block."""

FINENESS, GRADING = 0.9, 4.0
"""Width of the panels (`glaze.physics.depletion.panel_width`): 4 to 5 for each rate, error 2e-5
in a remaining fraction; half as wide is good to 4e-6 and takes a fifth longer."""

FARTHEST_S = 1e13
"""Beyond any exposure [mol s/L]; the panels don't depend on the tile, so neither do results."""

_FAST = {"contract", "nsz"}  # no reassociation: the order of sums stays as written
_ROOT = 0.5 * np.sqrt(0.6)
_NODES = np.array([0.5 - _ROOT, 0.5, 0.5 + _ROOT, 1.0])
_COEFFICIENTS = np.linalg.inv(np.vander(np.append(0.0, _NODES), increasing=True))
_near, _far = float(_NODES[0]), float(_NODES[2])
_outer_weight, _inner_weight = 5.0 / 18.0, 8.0 / 18.0
_log2_e, _ln2_high, _ln2_low = 1.4426950408889634, 0.6931471803691238, 1.9082149292705877e-10
_t3, _t4, _t5, _t6 = 1 / 6, 1 / 24, 1 / 120, 1 / 720  # Taylor's series of exp
_t7, _t8, _t9 = 1 / 5040, 1 / 40320, 1 / 362880
_round_to_integer = 6755399441055744.0  # 1.5 x 2^52: the sum's last bits are the integer


@dataclass(frozen=True, eq=False)
class Panels:
    """The exponentials at the nodes of the panels, for one chemistry, or with axes in front.

    start, width : of each panel [mol s/L], shape (panels,)
    decay : exp(-k s), shape (panels, 4 nodes, rates)
    """

    start: NDArray[np.float64]
    width: NDArray[np.float64]
    decay: NDArray[np.float64]


def panels_of(k: NDArray[np.float64]) -> Panels:
    """Panels in s from 0 to beyond any exposure for the rates `k` [L/(mol s)], shape (..., rates).

    Of several sets of rates all get as many panels, so the last lie far beyond.
    """
    start, width = [np.zeros(k.shape[:-1])], []
    while (start[-1] < FARTHEST_S).any():
        width.append(np.minimum(panel_width(k, start[-1], FINENESS, GRADING), FARTHEST_S))
        start.append(start[-1] + width[-1])
    first, wide = np.stack(start[:-1], axis=-1), np.stack(width, axis=-1)
    nodes = first[..., None] + wide[..., None] * _NODES
    return Panels(first, wide, np.exp(-nodes[..., None] * k[..., None, None, :]))


@inner(fastmath=_FAST, error_model="numpy", inline="always")
def _thinness(seconds, film, evaporation, least):  # type: ignore[no-untyped-def]
    """`glaze.physics.drying.thinness` of one pixel."""
    start = max(film, least)
    if evaporation < NO_EVAPORATION:
        return seconds / start
    shrinking = min(seconds, (start - least) / evaporation)
    share = min(evaporation * shrinking / start, 1.0 - least / start)
    return -np.log1p(-share) / evaporation + (seconds - shrinking) / least


@inner(fastmath=_FAST, error_model="numpy", inline="always")
def tau_of(dose, numbers):  # type: ignore[no-untyped-def]
    """`glaze.sheet.lift.Touch.tau` of one pixel."""
    full, film, seconds, lag, evaporation, residual, cap, _ = numbers
    least = max(residual, dose * full / cap)
    whole = _thinness(seconds, dose * film, evaporation, least)
    return min(whole - _thinness(lag, dose * film, evaporation, least), LONGEST_TAU)


@kernel(fastmath=_FAST, error_model="numpy")
def march(panels, fibre_rate, terms, rest, h0, tau, s, nodes, used):  # type: ignore[no-untyped-def]
    """s of every pixel of a block; uses up `tau`."""
    start, width, decay = panels
    going = 0
    for q in range(LANES):
        used[q] = 0.0
    for m in range(terms.shape[0] - 1):
        for q in range(LANES):
            used[q] += abs(terms[m, q])
    for q in range(LANES):
        nodes[0, q] = h0[q]
        s[q] = -1.0
        if tau[q] <= 0.0 or h0[q] <= 0.0:
            s[q] = 0.0
        elif used[q] == 0.0:
            s[q] = _bare(h0[q], terms[-1, q], fibre_rate, tau[q])
        else:
            going += 1
    for i in range(width.size):
        if going == 0:
            break
        _nodes_of(decay[i], terms, rest, nodes)
        for q in range(LANES):
            first, middle, last = nodes[1, q], nodes[2, q], nodes[3, q]
            ends = first * last  # the three terms over one division
            sum_ = _outer_weight * (first + last) * middle + _inner_weight * ends
            used[q] = width[i] * sum_ / (ends * middle)
        for q in range(LANES):
            if s[q] >= 0.0:
                continue
            if nodes[4, q] >= 0.5 * nodes[0, q] and used[q] < tau[q]:
                tau[q] -= used[q]
            else:
                x, tau[q] = _within(nodes[:, q], width[i], tau[q])
                if x < 1.0:
                    s[q] = start[i] + x * width[i]
                    going -= 1
            nodes[0, q] = nodes[4, q]


@inner(fastmath=_FAST, error_model="numpy")
def _nodes_of(decay, terms, rest, nodes):  # type: ignore[no-untyped-def]
    """h of every pixel of a block at a panel's four nodes; terms that have died are left out."""
    first, second, third, fourth = nodes[1], nodes[2], nodes[3], nodes[4]
    for q in range(LANES):
        first[q] = second[q] = third[q] = fourth[q] = rest[q]
    for m in range(terms.shape[0]):
        e, f, g, h = decay[0, m], decay[1, m], decay[2, m], decay[3, m]
        if e > 1e-30:
            term = terms[m]
            for q in range(LANES):
                first[q] += e * term[q]
                second[q] += f * term[q]
                third[q] += g * term[q]
                fourth[q] += h * term[q]


@inner(fastmath=_FAST, error_model="numpy")
def _bare(h0, fibre, rate, tau):  # type: ignore[no-untyped-def]
    """s where only the fibres use up bleach: h = a + f exp(-k s) has a closed form.

    exp(k s) = 1 + (a + f)(exp(k a tau) - 1)/a with a = h0 - f.
    """
    a = h0 - fibre
    growth = rate * a * tau
    if rate * h0 * tau < 1e-9:
        return h0 * tau
    if growth > 600.0:
        return a * tau + np.log(h0 / a) / rate
    ratio = np.expm1(growth) / growth if abs(growth) > 1e-12 else 1.0
    return np.log1p(rate * h0 * tau * ratio) / rate


@inner(fastmath=_FAST, error_model="numpy", inline="always")
def _quartic(c, x):  # type: ignore[no-untyped-def]
    """c0 + c1 x + ... + c4 x^4."""
    return c[0] + x * (c[1] + x * (c[2] + x * (c[3] + x * c[4])))


@inner(fastmath=_FAST, error_model="numpy")
def _within(h_nodes, width, left):  # type: ignore[no-untyped-def]
    """Where in a panel (0 to 1) the time that is left runs out, and what is left of it at 1.

    `glaze.physics.depletion._step` on the fourth-order parabola through the panel's nodes.
    """
    c0, c1, c2, c3, c4 = h_nodes[0], 0.0, 0.0, 0.0, 0.0
    for n in range(5):
        c1 += _COEFFICIENTS[1, n] * h_nodes[n]
        c2 += _COEFFICIENTS[2, n] * h_nodes[n]
        c3 += _COEFFICIENTS[3, n] * h_nodes[n]
        c4 += _COEFFICIENTS[4, n] * h_nodes[n]
    c = (c0, c1, c2, c3, c4)
    x, left = 0.0, left / width
    for _ in range(200):
        h = _quartic(c, x)
        if h <= 0.0:
            break
        fall = max(-(c1 + x * (2.0 * c2 + x * (3.0 * c3 + x * 4.0 * c4))), 1e-12 * h)
        y = min(max(fall * left, -0.1), 0.6)
        step = y / fall * h / (1.0 + y * (0.5 + y / 12.0))  # (1 - exp(-y)) h/fall to 1e-4
        through = x + step >= 1.0
        step = min(step, 1.0 - x)
        while _quartic(c, x + step) <= 0.0 and step > 1e-12:
            step *= 0.5
            through = False
        outer = 1.0 / _quartic(c, x + _near * step) + 1.0 / _quartic(c, x + _far * step)
        time = step * (_outer_weight * outer + _inner_weight / _quartic(c, x + 0.5 * step))
        if through and time < left and h_nodes[4] > 0.0:
            return 1.0, (left - time) * width
        left -= time
        x += step
        # a step in full is right to 1e-4 of itself; one held back says nothing of what is left
        if abs(step) < (1e-4 if y < 0.6 else 1e-8):
            break
    return min(x, 1.0 - 1e-12), 0.0


@kernel(fastmath=_FAST, error_model="numpy")
def decay_of(k, s, out, bits):  # type: ignore[no-untyped-def]
    """exp(-k s) of a block to 1e-11; `bits` is room to work in.

    exp(x) = 2^n exp(r), |r| <= ln 2/2: Taylor's series for r, n added to the exponent's bits.
    """
    for q in range(LANES):
        x = max(-k * s[q], -700.0)
        shifted = x * _log2_e + _round_to_integer
        bits[q] = shifted
        n = shifted - _round_to_integer
        r = (x - n * _ln2_high) - n * _ln2_low
        p = _t8 + r * _t9
        p = _t7 + r * p
        p = _t6 + r * p
        p = _t5 + r * p
        p = _t4 + r * p
        p = _t3 + r * p
        p = 0.5 + r * p
        p = 1.0 + r * p
        out[q] = 1.0 + r * p
    whole, integer = out.view(np.int64), bits.view(np.int64)
    for q in range(LANES):
        whole[q] += integer[q] << 52
