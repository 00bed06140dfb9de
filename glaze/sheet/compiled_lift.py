"""The compiled bleach touch: `glaze.sheet.lift.lift` at ten million pixels a second.

The specification is plain numpy (`glaze.sheet.lift`, `glaze.physics.depletion`);
tests/sheet/test_compiled_lift.py holds this to it.

Pixels with a dose are gathered into blocks, `compiled_exposure` finds their exposures, and all
loops over a block run along its pixels. A pixel's result never depends on its neighbours, so a
tile comes out bit for bit as the whole sheet does. No threads of numba's own: tiles run in a
thread pool.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.sheet.compiled_exposure import LANES, Panels, decay_of, march, panels_of, tau_of
from glaze.sheet.kernel import inner, kernel
from glaze.sheet.lift import Chemistry, Mask, Touch, share_of
from glaze.sheet.lift_paths import Paths, of_case, paths_of
from glaze.sheet.state import Sheet
from glaze.sheet.units import FULL

Array = NDArray[np.float64]

_FAST = {"contract", "nsz"}  # no reassociation: the order of sums stays as written


def lift(sheet: Sheet, dose: Mask, touch: Touch, chemistry: Chemistry) -> None:
    """Bleach what lies on the sheet, in place: the compiled form of `glaze.sheet.lift.lift`.

    The dose is [-], 0 to 1 or uint16, shape (rows, columns).
    """
    panels, paths = _panels(chemistry), paths_of(chemistry.network)
    numbers = tuple(float(number) for number in _numbers(touch))
    paper = float(chemistry.tint_rate_l_per_mol_s), float(chemistry.fibre_mol_per_m2)
    for _ in range(touch.touches):
        _lift(sheet, dose, numbers, panels, paths, paper, chemistry)


def lift_cases(sheet: Sheet, dose: Mask | float, touch: Touch, chemistry: Chemistry) -> None:
    """The same for patches of shape (cases, patches), each case with figures of its own.

    touch, chemistry : as for `glaze.sheet.lift.lift`, with figures of the shape (cases, 1)

    The dose is [-], 0 to 1 or uint16, one for all or of that shape.
    """
    cases, network = sheet.shape[0], chemistry.network
    kept = {name: field.astype(np.float32) for name, field in vars(sheet).items()}
    share = np.broadcast_to(share_of(dose), sheet.shape).astype(np.float32)
    numbers = np.array([np.broadcast_to(n, (cases, 1))[:, 0] for n in _numbers(touch)])
    panels, paths = panels_of(network.k[:, 0]), paths_of(network)
    tint, fibre = chemistry.tint_rate_l_per_mol_s, chemistry.fibre_mol_per_m2
    for n in range(cases):
        row = Sheet(**{name: field[n] for name, field in kept.items()})
        its = tuple(float(number) for number in numbers[:, n])
        paper = float(tint[n, 0]), float(fibre[n, 0])
        own_panels = Panels(panels.start[n], panels.width[n], panels.decay[n])
        for _ in range(touch.touches):
            _lift(row, share[n], its, own_panels, of_case(paths, n), paper, chemistry)
    for name, field in kept.items():
        getattr(sheet, name)[:] = field


def _lift(
    sheet: Sheet,
    dose: Mask,
    numbers: tuple[float, ...],
    panels: Panels,
    paths: Paths,
    paper: tuple[float, float],
    chemistry: Chemistry,
) -> None:
    """One touch. paper : rate of its tint [L/(mol s)], and what the fibres use up [mol/m2]."""
    count = len(paths.demand)
    assert sheet.load_g_per_m2.flags.c_contiguous, "a reshaped copy would be thrown away"
    _touch(
        _lane_buffers(count),
        # one kind of number, so that the kernel is compiled once
        np.divide(dose, FULL if dose.dtype == np.uint16 else 1, dtype=np.float32).ravel(),
        sheet.load_g_per_m2.reshape(sheet.bleached.size, count),
        sheet.optical_g_per_m2.reshape(sheet.bleached.size, count),
        sheet.coats.reshape(-1),
        sheet.bleached.reshape(-1),
        sheet.residue_mol_per_m2.reshape(-1),
        numbers,
        (panels.start, panels.width, panels.decay),
        (paths.k, paths.demand, 1.0 / chemistry.molar_mass_g_per_mol),
        (paths.pairs, paths.share, chemistry.molar_mass_g_per_mol),
        (paths.places, paths.weight),
        (
            chemistry.mean_absorptivity_l_per_g_cm,
            *paper,
        ),
    )


def residue_attack(sheet: Sheet, cover: Mask, touch: Touch, chemistry: Chemistry) -> None:
    """Let the bleach that earlier lifts left eat what lies there now: as `glaze.sheet.lift`'s.

    The cover is [-], shape (rows, columns).
    """
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


def _numbers(touch: Touch) -> tuple[Any, ...]:
    return (
        touch.dose_mol_per_m2,
        touch.film_l_per_m2,
        touch.seconds,
        np.minimum(touch.lag_seconds, touch.seconds),
        touch.evaporation_l_per_m2_s,
        touch.residual_l_per_m2,
        touch.cap_mol_per_l,
        touch.kept,
    )


@kernel(fastmath=_FAST, error_model="numpy")
def _touch(  # type: ignore[no-untyped-def]
    lanes,
    dose,
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
    at, h0, tau, mol, seen = lanes[:5]
    full_tau = tau_of(1.0, numbers)
    filled = 0
    for p in range(dose.size):
        if dose[p] > 0:
            d = np.float64(dose[p])
            at[filled] = p
            woken = min(1.0, d * numbers[1] / max(numbers[5], 1e-9))
            h0[filled] = d * numbers[0] + woken * residue[p]
            residue[p] *= 1.0 - woken
            tau[filled] = full_tau if d == 1.0 else tau_of(d, numbers)
            for j in range(count):
                mol[j, filled] = load[p, j] * rates[2][j]
                seen[j, filled] = optical[p, j] * rates[2][j]
            filled += 1
        if filled == LANES or (p == dose.size - 1 and filled > 0):
            for q in range(filled, LANES):
                h0[q], tau[q] = 0.0, 0.0
                for j in range(count):
                    mol[j, q] = 0.0
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


def _lane_buffers(count: int) -> tuple[NDArray[Any], ...]:
    """Working arrays of a block of `count` colourants, shape (LANES,) or (rows, LANES).

    at, h0, tau, mol, seen, terms, rest, s, nodes, used, decay, bits, new, new_seen, left, share
    """
    one, each = (LANES,), (count, LANES)
    shapes = [one, one, each, each, (count + 1, LANES), one, one, (5, LANES), one]
    shapes += [(count + 2, LANES), one, each, each, one, one]
    return np.zeros(one, np.int64), *map(np.zeros, shapes)


@inner(fastmath=_FAST, error_model="numpy")
def _work_block(lanes, panels, rates, weights, paper):  # type: ignore[no-untyped-def]
    """Exposure of a block, then the exponentials at it."""
    h0, tau, mol = lanes[1], lanes[2], lanes[3]
    terms, rest, s, nodes, used, decay, bits = lanes[5:12]
    k, demand, _ = rates
    count = mol.shape[0]
    for q in range(LANES):
        rest[q] = h0[q] - paper[2]
        terms[count, q] = paper[2]
    for j in range(count):
        for q in range(LANES):
            terms[j, q] = 0.0
            rest[q] -= demand[j] * mol[j, q]
    places, values = weights
    for n in range(values.size):
        m, j, value = places[0, n], places[1, n], values[n]
        for q in range(LANES):
            terms[m, q] += value * mol[j, q]
    march(panels, k[-1], terms, rest, h0, tau, s, nodes, used)
    for m in range(count + 1):
        decay_of(k[m], s, decay[m], bits)
    decay_of(paper[1], s, decay[count + 1], bits)


@inner(fastmath=_FAST, error_model="numpy")
def _write_block(  # type: ignore[no-untyped-def]
    lanes, filled, load, optical, coats, bleached, residue, becoming, m, kept
):
    """Bring the sheet's arrays to where the exposure leaves them."""
    at, mol, seen, terms, rest, decay = lanes[0], lanes[3], lanes[4], lanes[5], lanes[6], lanes[10]
    new, new_seen, left, share = lanes[12], lanes[13], lanes[14], lanes[15]
    count = mol.shape[0]
    for q in range(LANES):
        left[q] = rest[q]
    for j in range(count + 1):
        for q in range(LANES):
            left[q] += terms[j, q] * decay[j, q]
    _become(mol, seen, decay, becoming, new, new_seen, share)
    for q in range(filled):
        p = at[q]
        residue[p] += kept * max(left[q], 0.0)
        bleached[p] = 1.0 - (1.0 - bleached[p]) * decay[count + 1, q]
        before, after = 0.0, 0.0
        for j in range(count):
            before += load[p, j] * m[j]
            after += new[j, q] * m[j]
            load[p, j] = new[j, q]
            optical[p, j] = new_seen[j, q]
        if before > 0.0:
            coats[p] *= after / before


@inner(fastmath=_FAST, error_model="numpy")
def _become(  # type: ignore[no-untyped-def]
    mol, seen, decay, becoming, new, new_seen, share
):
    """Turn the colourants of a block into what is left of them and their products [g/m2]."""
    pairs, values, molar_mass = becoming
    n = 0
    for i in range(new.shape[0]):
        for q in range(LANES):
            new[i, q] = new_seen[i, q] = 0.0
    while n < values.size:
        i, j = pairs[0, n], pairs[1, n]
        for q in range(LANES):
            share[q] = 0.0
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
