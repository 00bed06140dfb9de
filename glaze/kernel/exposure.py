"""The compiled bleach touch: `glaze.lift.lift` at ten million pixels a second.

The specification is plain numpy (`glaze.lift`, `glaze.physics.depletion`);
tests/test_exposure.py holds this to it.

How it is fast: h(s) is a sum of exponentials whose rates are the same for every pixel. So the
exponentials at the nodes of a few dozen panels in s are worked out once, and h at a node is a
short sum of products. A pixel marches over the panels with three points of Gauss and Legendre.
In the panel in which its time runs out, or its bleach, h is the parabola of fourth order through
the panel's five nodes, and the plain version's steps along the tangent are taken on that.
Pixels are worked in blocks whose loops run along the pixels; a pixel's result never depends on
its neighbours, so a tile comes out bit for bit as the whole sheet does. No threads of numba's
own: tiles run in a thread pool.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numba import njit
from numpy.typing import NDArray

from glaze.lift import Chemistry, Mask, Touch, share_of
from glaze.physics.depletion import LONGEST_TAU, panel_width
from glaze.sheet import Sheet

LANES = 64
"""Pixels in a block."""

FINENESS, GRADING = 0.5, 8.0
"""Width of the panels (`glaze.physics.depletion.panel_width`): 16 for each rate, error 1e-6."""

FARTHEST_S = 1e13
"""Beyond any exposure [mol s/L]; the panels don't depend on the tile, so neither do results."""

_FAST = {"contract", "nsz"}  # no reassociation: the order of sums stays as written
_ROOT = 0.5 * np.sqrt(0.6)
_NODES = np.array([0.5 - _ROOT, 0.5, 0.5 + _ROOT, 1.0])
_COEFFICIENTS = np.linalg.inv(np.vander(np.append(0.0, _NODES), increasing=True))
_near, _middle, _far = float(_NODES[0]), 0.5, float(_NODES[2])
_outer_weight, _inner_weight = 5.0 / 18.0, 8.0 / 18.0
_log2_e, _ln2_high, _ln2_low = 1.4426950408889634, 0.6931471803691238, 1.9082149292705877e-10
_t3, _t4, _t5, _t6 = 1 / 6, 1 / 24, 1 / 120, 1 / 720  # Taylor's series of exp
_t7, _t8, _t9 = 1 / 5040, 1 / 40320, 1 / 362880
_round_to_integer = 6755399441055744.0  # 1.5 x 2^52: the sum's last bits are the integer


@dataclass(frozen=True, eq=False)
class Panels:
    """The exponentials at the nodes of the panels, for one chemistry.

    start, width : of each panel [mol s/L], shape (panels,)
    decay : exp(-k s), shape (panels, 4 nodes, rates)
    """

    start: NDArray[np.float64]
    width: NDArray[np.float64]
    decay: NDArray[np.float64]


def panels_of(k: NDArray[np.float64]) -> Panels:
    """Panels in s from 0 to beyond any exposure for the rates `k` [L/(mol s)]."""
    start, width = [0.0], []
    while start[-1] < FARTHEST_S:
        here = float(panel_width(k, np.array(start[-1]), FINENESS, GRADING))
        width.append(min(here, FARTHEST_S))
        start.append(start[-1] + width[-1])
    first, wide = np.array(start[:-1]), np.array(width)
    nodes = first[:, None] + wide[:, None] * _NODES
    return Panels(first, wide, np.exp(-np.multiply.outer(nodes, k)))


def lift(sheet: Sheet, dose: Mask, touch: Touch, chemistry: Chemistry) -> None:
    """Bleach what lies on the sheet, in place: the compiled form of `glaze.lift.lift`."""
    count = len(chemistry.k_l_per_mol_s)
    network, panels = chemistry.network, _panels(chemistry)
    i, j, m = np.nonzero(network.share)
    pairs = np.array([i, j, m])
    wm, wj = np.nonzero(network.weight)
    for _ in range(touch.touches):
        _touch(
            np.ascontiguousarray(dose).reshape(-1),
            1.0 / 65535.0 if dose.dtype == np.uint16 else 1.0,
            sheet.load_g_per_m2.reshape(-1, count),
            sheet.optical_g_per_m2.reshape(-1, count),
            sheet.coats.reshape(-1),
            sheet.bleached.reshape(-1),
            sheet.residue_mol_per_m2.reshape(-1),
            _touch_numbers(touch),
            (panels.start, panels.width, panels.decay),
            (network.k, network.demand, 1.0 / chemistry.molar_mass_g_per_mol),
            (pairs, network.share[i, j, m], chemistry.molar_mass_g_per_mol),
            (np.array([wm, wj]), network.weight[wm, wj]),
            (
                chemistry.mean_absorptivity_l_per_g_cm,
                chemistry.tint_rate_l_per_mol_s,
                chemistry.fibre_mol_per_m2,
            ),
        )


def residue_attack(sheet: Sheet, cover: Mask, touch: Touch, chemistry: Chemistry) -> None:
    """Let the bleach that earlier lifts left eat what lies there now: as `glaze.lift`'s."""
    if sheet.residue_mol_per_m2.any():
        woken = np.where(sheet.residue_mol_per_m2 > 0.0, share_of(cover), 0.0)
        lift(sheet, woken.astype(np.float32), touch, chemistry)


_PANELS: dict[int, tuple[Chemistry, Panels]] = {}


def _panels(chemistry: Chemistry) -> Panels:
    """The panels of a chemistry, kept for the last few."""
    found = _PANELS.get(id(chemistry))
    if found is None or found[0] is not chemistry:
        if len(_PANELS) > 32:
            _PANELS.clear()
        found = (chemistry, panels_of(chemistry.network.k))
        _PANELS[id(chemistry)] = found
    return found[1]


def _touch_numbers(touch: Touch) -> tuple[float, ...]:
    return (
        touch.dose_mol_per_m2,
        touch.film_l_per_m2,
        touch.seconds,
        min(touch.lag_seconds, touch.seconds),
        touch.evaporation_l_per_m2_s,
        touch.residual_l_per_m2,
        touch.cap_mol_per_l,
        touch.kept,
    )


@njit(nogil=True, cache=True, fastmath=_FAST, error_model="numpy", inline="always")
def _thinness(seconds, film, evaporation, least):  # type: ignore[no-untyped-def]
    """`glaze.physics.drying.thinness` of one pixel."""
    start = max(film, least)
    if evaporation <= 0.0:
        return seconds / start
    shrinking = min(seconds, (start - least) / evaporation)
    share = min(evaporation * shrinking / start, 1.0 - least / start)
    return -np.log1p(-share) / evaporation + (seconds - shrinking) / least


@njit(nogil=True, cache=True, fastmath=_FAST, error_model="numpy", inline="always")
def _tau(dose, numbers):  # type: ignore[no-untyped-def]
    """`glaze.lift.Touch.tau` of one pixel."""
    full, film, seconds, lag, evaporation, residual, cap, _ = numbers
    least = max(residual, dose * full / cap)
    whole = _thinness(seconds, dose * film, evaporation, least)
    return min(whole - _thinness(lag, dose * film, evaporation, least), LONGEST_TAU)


@njit(nogil=True, cache=True, fastmath=_FAST, error_model="numpy")
def _touch(  # type: ignore[no-untyped-def]
    dose,
    unit,
    load,
    optical,
    coats,
    bleached,
    residue,
    numbers,
    panels,
    rates,
    becoming,
    weights,
    paper,
):
    """One touch on all pixels: gathers those with a dose into blocks and works each block."""
    count = load.shape[1]
    lanes = _lane_buffers(count)
    at, h0, tau, mol, seen = lanes[:5]
    full_tau = _tau(1.0, numbers)
    filled = 0
    for p in range(dose.size):
        if dose[p] > 0:
            d = dose[p] * unit
            at[filled] = p
            h0[filled] = d * numbers[0] + residue[p]
            tau[filled] = full_tau if d == 1.0 else _tau(d, numbers)
            for j in range(count):
                mol[j, filled] = load[p, j] * rates[2][j]
                seen[j, filled] = optical[p, j] * rates[2][j]
            filled += 1
        if filled == LANES or (p == dose.size - 1 and filled > 0):
            for q in range(filled, LANES):
                h0[q], tau[q] = 0.0, 0.0
                mol[:, q] = 0.0
            _work_block(lanes, panels, rates, weights, paper)
            _write_block(
                lanes,
                filled,
                load,
                optical,
                coats,
                bleached,
                residue,
                becoming,
                paper[0],
                numbers[7],
            )
            filled = 0


@njit(nogil=True, cache=True)
def _lane_buffers(count):  # type: ignore[no-untyped-def]
    """Working arrays of a block."""
    at = np.zeros(LANES, np.int64)
    h0, tau = np.zeros(LANES), np.zeros(LANES)
    mol, seen = np.zeros((count, LANES)), np.zeros((count, LANES))
    terms, rest = np.zeros((count + 1, LANES)), np.zeros(LANES)
    s, nodes, used = np.zeros(LANES), np.zeros((5, LANES)), np.zeros(LANES)
    decay, bits = np.zeros((count + 2, LANES)), np.zeros(LANES)
    new, new_seen = np.zeros((count, LANES)), np.zeros((count, LANES))
    left, share = np.zeros(LANES), np.zeros(LANES)
    return (
        at,
        h0,
        tau,
        mol,
        seen,
        terms,
        rest,
        s,
        nodes,
        used,
        decay,
        bits,
        new,
        new_seen,
        left,
        share,
    )


@njit(nogil=True, cache=True, fastmath=_FAST, error_model="numpy")
def _work_block(lanes, panels, rates, weights, paper):  # type: ignore[no-untyped-def]
    """Exposure of a block, then the exponentials at it."""
    h0, tau, mol = lanes[1], lanes[2], lanes[3]
    terms, rest, s, nodes, used, decay, bits = lanes[5:12]
    k, demand, _ = rates
    count = mol.shape[0]
    for q in range(LANES):
        rest[q] = h0[q] - paper[2]
        terms[count, q] = paper[2]
    terms[:count] = 0.0
    for j in range(count):
        for q in range(LANES):
            rest[q] -= demand[j] * mol[j, q]
    places, values = weights
    for n in range(values.size):
        m, j, value = places[0, n], places[1, n], values[n]
        for q in range(LANES):
            terms[m, q] += value * mol[j, q]
    _march(panels, terms, rest, h0, tau, s, nodes, used)
    for m in range(count + 1):
        _decay(k[m], s, decay[m], bits)
    _decay(paper[1], s, decay[count + 1], bits)


@njit(nogil=True, cache=True, fastmath=_FAST, error_model="numpy")
def _march(panels, terms, rest, h0, tau, s, nodes, used):  # type: ignore[no-untyped-def]
    """s of every pixel of a block; uses up `tau`."""
    start, width, decay = panels
    going = 0
    for q in range(LANES):
        nodes[0, q] = h0[q]
        s[q] = -1.0
        if tau[q] <= 0.0 or h0[q] <= 0.0:
            s[q] = 0.0
        else:
            going += 1
    for i in range(width.size):
        if going == 0:
            break
        for n in range(4):
            row = nodes[n + 1]
            row[:] = rest
            for m in range(terms.shape[0]):
                e = decay[i, n, m]
                if e > 1e-30:
                    for q in range(LANES):
                        row[q] += e * terms[m, q]
        for q in range(LANES):
            outer = 1.0 / nodes[1, q] + 1.0 / nodes[3, q]
            used[q] = width[i] * (_outer_weight * outer + _inner_weight / nodes[2, q])
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


@njit(nogil=True, cache=True, fastmath=_FAST, error_model="numpy")
def _within(h_nodes, width, left):  # type: ignore[no-untyped-def]
    """Where in a panel (0 to 1) the time that is left runs out, and what is left of it at 1.

    `glaze.physics.depletion._step` on the fourth-order parabola through the panel's nodes.
    """
    c0 = h_nodes[0]
    c1, c2, c3, c4 = 0.0, 0.0, 0.0, 0.0
    for n in range(5):
        c1 += _COEFFICIENTS[1, n] * h_nodes[n]
        c2 += _COEFFICIENTS[2, n] * h_nodes[n]
        c3 += _COEFFICIENTS[3, n] * h_nodes[n]
        c4 += _COEFFICIENTS[4, n] * h_nodes[n]
    x, left = 0.0, left / width
    ends_dry = h_nodes[4] <= 0.0
    for _ in range(200):
        h = c0 + x * (c1 + x * (c2 + x * (c3 + x * c4)))
        if h <= 0.0:
            break
        fall = max(-(c1 + x * (2.0 * c2 + x * (3.0 * c3 + x * 4.0 * c4))), 1e-12 * h)
        y = min(max(fall * left, -0.1), 0.6)
        step = y / fall * h / (1.0 + y * (0.5 + y / 12.0))  # (1 - exp(-y)) h/fall to 1e-4
        through = x + step >= 1.0
        if through:
            step = 1.0 - x
        end = x + step
        while c0 + end * (c1 + end * (c2 + end * (c3 + end * c4))) <= 0.0 and step > 1e-12:
            step *= 0.5
            end = x + step
            through = False
        a, b, c = x + _near * step, x + _middle * step, x + _far * step
        ha = c0 + a * (c1 + a * (c2 + a * (c3 + a * c4)))
        hb = c0 + b * (c1 + b * (c2 + b * (c3 + b * c4)))
        hc = c0 + c * (c1 + c * (c2 + c * (c3 + c * c4)))
        time = step * (_outer_weight * (1.0 / ha + 1.0 / hc) + _inner_weight / hb)
        if through and time < left and not ends_dry:
            return 1.0, (left - time) * width
        left -= time
        x += step
        if abs(step) < 1e-8:
            break
    return min(x, 1.0 - 1e-12), 0.0


@njit(nogil=True, cache=True, fastmath=_FAST, error_model="numpy")
def _decay(k, s, out, bits):  # type: ignore[no-untyped-def]
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


@njit(nogil=True, cache=True, fastmath=_FAST, error_model="numpy")
def _write_block(  # type: ignore[no-untyped-def]
    lanes, filled, load, optical, coats, bleached, residue, becoming, m, kept
):
    """Bring the sheet's arrays to where the exposure leaves them."""
    at, mol, seen, terms, rest, decay = lanes[0], lanes[3], lanes[4], lanes[5], lanes[6], lanes[10]
    new, new_seen, left, share = lanes[12], lanes[13], lanes[14], lanes[15]
    count = mol.shape[0]
    left[:] = rest
    for j in range(count + 1):
        for q in range(LANES):
            left[q] += terms[j, q] * decay[j, q]
    _become(mol, seen, decay, becoming, new, new_seen, share)
    for q in range(filled):
        p = at[q]
        residue[p] = kept * max(left[q], 0.0)
        bleached[p] = 1.0 - (1.0 - bleached[p]) * decay[count + 1, q]
        before, after = 0.0, 0.0
        for j in range(count):
            before += load[p, j] * m[j]
            after += new[j, q] * m[j]
            load[p, j] = new[j, q]
            optical[p, j] = new_seen[j, q]
        if before > 0.0:
            coats[p] *= after / before


@njit(nogil=True, cache=True, fastmath=_FAST, error_model="numpy")
def _become(  # type: ignore[no-untyped-def]
    mol, seen, decay, becoming, new, new_seen, share
):
    """Turn the colourants of a block into what is left of them and their products [g/m2]."""
    pairs, values, molar_mass = becoming
    new[:], new_seen[:] = 0.0, 0.0
    n = 0
    while n < values.size:
        i, j = pairs[0, n], pairs[1, n]
        share[:] = 0.0
        while n < values.size and pairs[0, n] == i and pairs[1, n] == j:
            part, value = decay[pairs[2, n]], values[n]
            for q in range(LANES):
                share[q] += value * part[q]
            n += 1
        gram = molar_mass[i]
        for q in range(LANES):
            x = max(share[q], 0.0) * gram
            new[i, q] += x * mol[j, q]
            new_seen[i, q] += x * seen[j, q]
