"""A wet passage: films that are laid into each other while they are wet, and how they dry.

The film flows over the cells of a coarse grid; paper, evaporation and dyes are those of each cell.
Water doesn't leave the outline of what was laid (the edge is pinned), and where it dries it leaves
its dye. Dye is conserved to rounding, water too: laid = dried + in the paper + still standing +
what a thirsty brush took up.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.physics.wet_film import DYE_DIFFUSION_M2_PER_S, tilted_per_m_s
from glaze.sheet.compiled_flowing import along, mean_with_turned, trade

Array = NDArray[np.float64]

CELL_MM = 0.5
LEAST_PART = 0.2
"""Cells that are wetted by less than this share of theirs are left out."""
LEAST_STEP_S, MOST_STEP_S = 0.02, 20.0
CELLS_A_STEP = 0.25
"""The film goes no further in a step than this [cells]."""


@dataclass(frozen=True)
class Ways:
    """How films behave on a sheet.

    Attributes
    ----------
    cell_m : side of a cell [m]
    retardation : Rf of each dye in this paper [-], shape (dyes,), above 0, at most 1
    evaporation_m_per_s : [m/s], a number or shape (rows, columns)
    sorptivity_m_per_root_s : uptake of the paper [m/s^1/2]; pores_m : what it can hold [m]
    tilt_degrees : of the board, its last row the low side
    bead_m : a bead that stands higher is taken up with a thirsty brush [m]
    ease : how much easier water runs there than over a smooth plate [-], a number or a field
    """

    cell_m: float
    retardation: Array
    evaporation_m_per_s: Array | float
    sorptivity_m_per_root_s: float
    pores_m: float
    tilt_degrees: float = 0.0
    bead_m: float = np.inf
    ease: Array | float = 1.0


@dataclass(frozen=True, eq=False)
class WetPassage:
    """Water and dye in each cell, per area of the cell.

    Attributes
    ----------
    part : share of each cell that has been wetted [-], shape (rows, columns)
    film, taken, peak : water on the paper, in it, and the most that was in it [m]
    dyes, settled, bound : dye in the film, in the paper and still loose, and dried fast before
        something was laid over it [g/m2], shape (dyes, rows, columns)
    near, damp : where a charge's front may lie, and how little of what it met still stood when it
        came [-], shape (rows, columns)
    mopped : water [m] and each dye [g/m2] that a thirsty brush took up, summed over the cells
    seconds, laid_at : since the first film, and when the last was laid
    dried : water gone into the air [m, summed over the cells]
    """

    part: Array
    film: Array
    taken: Array
    peak: Array
    dyes: Array
    settled: Array
    bound: Array
    mopped: Array
    near: Array
    damp: Array
    seconds: float = 0.0
    laid_at: float = 0.0
    dried: float = 0.0

    @property
    def all_dye(self) -> Array:
        """Film and paper together [g/m2], shape (dyes, rows, columns)."""
        return np.asarray(self.dyes + self.settled + self.bound)


def bare_passage(shape: tuple[int, int], dyes: int) -> WetPassage:
    """Dry paper."""
    part, film, taken, peak = (np.zeros(shape) for _ in range(4))
    swims, settled, bound = (np.zeros((dyes, *shape)) for _ in range(3))
    near, damp = np.zeros(shape), np.zeros(shape)
    return WetPassage(
        part, film, taken, peak, swims, settled, bound, np.zeros(1 + dyes), near, damp
    )


def laid_into(passage: WetPassage, part: Array, film_m: Array, g_per_l: Array) -> WetPassage:
    """The passage with a film more.

    What has dried fast in the paper stays below it: of the dye there as much as the paper has
    lost of its water since the shine was gone.

    Parameters
    ----------
    part : share of each cell that it covers [-], shape (rows, columns)
    film_m : its height where it covers [m], same shape or one for all
    g_per_l : dye in the liquid [g/L], shape (dyes,)
    """
    there = part > 0.0
    dry = np.where(passage.film > 0.0, 1.0, passage.taken)
    lost = 1.0 - np.divide(dry, passage.peak, out=np.ones_like(dry), where=passage.peak > 0.0)
    fast = np.clip(np.where(passage.film > 0.0, 0.0, lost), 0.0, 1.0) * passage.settled
    more = part * film_m
    return replace(
        passage,
        part=np.where(there, np.maximum(passage.part, part), passage.part),
        film=passage.film + more,
        dyes=passage.dyes + 1000.0 * g_per_l[:, None, None] * more,
        settled=passage.settled - fast,
        bound=passage.bound + fast,
        laid_at=passage.seconds,
    )


def after(passage: WetPassage, seconds: float, ways: Ways) -> WetPassage:
    """The passage so much later [s]; infinite: until no film is left."""
    rows, columns = (np.flatnonzero(passage.part.any(axis=axis)) for axis in (1, 0))
    if rows.size == 0:
        return passage
    box = slice(rows[0], rows[-1] + 1), slice(columns[0], columns[-1] + 1)
    air, ease = (
        np.ascontiguousarray(np.broadcast_to(np.asarray(field, float), passage.part.shape)[box])
        for field in (ways.evaporation_m_per_s, ways.ease)
    )
    fields = {name: field for name, field in vars(passage).items() if np.ndim(field) > 1}
    inner = replace(passage, **{name: field[..., *box].copy() for name, field in fields.items()})
    later = _later(replace(inner, mopped=passage.mopped.copy()), seconds, ways, air, ease)
    for name, field in fields.items():
        fields[name] = field.copy()
        fields[name][..., *box] = getattr(later, name)
    return replace(later, **fields)


def _later(p: WetPassage, seconds: float, ways: Ways, air: Array, ease: Array) -> WetPassage:
    """The same within the box that was wetted; `p` is changed."""
    out = p.film.copy(), p.dyes.copy()
    K, down = tilted_per_m_s(ways.tilt_degrees)
    time, step, dried = 0.0, LEAST_STEP_S, 0.0
    while time < seconds and p.film.any():
        step = min(step, seconds - time)
        fastest = _flow(p, out, step, ease, ways.cell_m, K, down, p.seconds + time - p.laid_at)
        dried += trade(
            *(p.film, p.taken, p.peak, p.dyes, p.settled, p.part, ways.retardation),
            *(air, ways.sorptivity_m_per_root_s, ways.pores_m, ways.bead_m, step),
            *(DYE_DIFFUSION_M2_PER_S, p.mopped),
        )
        time += step
        wanted = CELLS_A_STEP * ways.cell_m / max(fastest, 1e-12)
        step = min(max(wanted, LEAST_STEP_S), 1.3 * step + LEAST_STEP_S, MOST_STEP_S)
    if time < seconds < np.inf:
        # the film is gone; the paper dries on
        lost = np.minimum(p.taken, air * (seconds - time) * p.part)
        dried += float(lost.sum())
        p, time = replace(p, taken=p.taken - lost), seconds
    return replace(p, seconds=p.seconds + time, dried=p.dried + dried)


def _flow(
    p: WetPassage,
    out: tuple[Array, Array],
    step: float,
    ease: Array,
    cell_m: float,
    K: float,
    down: float,
    since_s: float,
) -> float:
    """Film and dyes after a step of flow, in place; the fastest flow [m/s]."""
    wet = ((p.film > 0.0) | (p.taken > 0.0)).astype(np.uint8)
    film, dyes = out
    here = p.film, p.dyes, p.part, wet, ease.copy()  # of one kind with its turned copy
    flow, mixing = (2.0 * step, cell_m, K), (DYE_DIFFUSION_M2_PER_S, since_s)

    def crossing() -> tuple[float, Array, Array]:
        turned = [_turned(field) for field in here]
        aside = np.empty_like(turned[0]), np.empty_like(turned[1])
        return (along(*(*turned, *flow, 0.0, *mixing, *aside)), *aside)

    half = len(dyes) // 2
    with ThreadPoolExecutor(1) as other:
        crossed = other.submit(crossing)
        fastest = along(*(*here, *flow, down, *mixing, *out))
        fastest_aside, aside, dyes_aside = crossed.result()
        rest = other.submit(lambda: mean_with_turned(dyes[half:], dyes_aside[half:], p.dyes[half:]))
        mean_with_turned(film[None], aside[None], p.film[None])
        mean_with_turned(dyes[:half], dyes_aside[:half], p.dyes[:half])
        rest.result()
    return float(max(fastest, fastest_aside))


def _turned(field: NDArray[Any]) -> NDArray[Any]:
    """Rows for columns."""
    return np.ascontiguousarray(np.swapaxes(field, -1, -2))
