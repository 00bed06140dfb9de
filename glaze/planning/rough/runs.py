"""Colours that run along a direction, as a graded wash does: which way, and what strays."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glaze.physics.colour import delta_e_2000
from glaze.planning.rough.laid import OnSheet

Array = NDArray[np.float64]
Numbers = NDArray[np.intp]

WORTH_DE00 = 0.8
"""A grade, or a part of its own, has to come so much nearer on average."""
BINS, FEWEST_IN_BIN = 12, 12
STEP_DE00, STEP_SHARE = 5.0, 0.5
SHORTEST_MM = 22.0
"""Of a graded wash, from full to thin (common practice, no source)."""
ANGLES = np.radians(np.arange(0, 180, 15))
ASLANT_DE00 = 0.3
MOST_TRIED = 3000


@dataclass(frozen=True, eq=False)
class Run:
    """Colours of some samples along a direction.

    along : each sample's place, 0 to just below the number of bins
    lab : middle colour of each bin, shape (bins, 3)
    off : CIEDE2000 of each sample from the run
    """

    along: Array
    lab: Array
    off: Array


def one_colour(own: Array) -> Run:
    """Some colours, CIELAB [-] of shape (samples, 3), as if they were the one in their middle."""
    flat = np.median(own, axis=0)[None]
    return Run(np.zeros(len(own)), flat, delta_e_2000(own, flat))


def run_of(at: Numbers, lab: Array, laid: OnSheet) -> tuple[Run, Array | None]:
    """How the colours of some samples run, and which way; None where one colour does as well.

    at : those samples, shape (samples,). lab : of all, CIELAB [-], shape (all samples, 3)
    """
    own, xy = lab[at], xy_mm_of(at, laid)
    one = one_colour(own)
    if len(at) < 3 * FEWEST_IN_BIN or one.off.mean() < WORTH_DE00:
        return one, None
    some = slice(None, None, max(1, len(at) // MOST_TRIED))
    off = [_binned(own[some], xy[some] @ _way(a)).off.mean() + _price(a) for a in ANGLES]
    way = _way(ANGLES[int(np.argmin(off))])
    if np.ptp(np.quantile(xy @ way, [0.02, 0.98])) < SHORTEST_MM:
        return one, None  # a brush can't carry a grade over less: it is a shape with a soft edge
    best = _binned(own, xy @ way)
    better = best.off.mean() < one.off.mean() - WORTH_DE00 / 2
    return (best, way) if better else (one, None)


def _price(angle: float) -> float:
    """A board is tilted up and down or from side to side, and aslant only where that shows."""
    return 0.0 if abs(np.sin(2 * angle)) < 0.01 else ASLANT_DE00


def _way(angle: float) -> Array:
    return np.array([np.cos(angle), np.sin(angle)])


def _binned(own: Array, place: Array) -> Run:
    bins = min(BINS, len(own) // FEWEST_IN_BIN)
    low, high = np.quantile(place, [0.005, 0.995])
    along = np.clip((place - low) / max(high - low, 1e-9), 0, 0.9999) * bins
    number = along.astype(int)
    order = np.argsort(number, kind="stable")
    count = np.bincount(number, minlength=bins)
    parts = np.split(own[order], np.cumsum(count)[:-1])
    middles = np.array([np.median(p, axis=0) if len(p) else np.full(3, np.nan) for p in parts])
    known = np.flatnonzero(count)
    lab = np.stack([np.interp(np.arange(bins), known, middles[known, n]) for n in range(3)], -1)
    if len(known) < bins and _has_step(middles[known]):
        lab = np.tile(np.median(own, axis=0), (bins, 1))  # a wall left and right of its door
    elif _has_step(lab):
        # a grade is smooth: a step is the edge of a shape, which should stray and be parted off
        smooth = np.vander(np.arange(bins) / bins, min(3, len(known)))
        lab = smooth @ np.linalg.lstsq(smooth, lab, rcond=None)[0]
    at = along - 0.5
    between = np.stack([np.interp(at, np.arange(bins), lab[:, n]) for n in range(3)], axis=-1)
    return Run(along, lab, delta_e_2000(own, between))


def _has_step(lab: Array) -> bool:
    """Whether the colours of a run change at one place rather than all along it."""
    if len(lab) < 2:
        return False
    jumps = delta_e_2000(lab[1:], lab[:-1])
    two = jumps[1:] + jumps[:-1] if len(jumps) > 2 else jumps
    return bool(two.max() > STEP_DE00 and two.max() > STEP_SHARE * jumps.sum())


def xy_mm_of(at: Numbers, laid: OnSheet) -> Array:
    """Where some samples lie on the sheet [mm], shape (samples, 2)."""
    rows, columns = np.divmod(at, laid.number.shape[1])
    return (np.stack([columns, rows], axis=-1) + 0.5) * laid.mm


def colours_along(run: Run) -> Array:
    """The run's own colour at each of its samples, CIELAB [-], shape (samples, 3)."""
    at, places = run.along - 0.5, np.arange(len(run.lab))
    return np.stack([np.interp(at, places, run.lab[:, n]) for n in range(3)], axis=-1)
