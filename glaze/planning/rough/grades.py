"""Graded washes that make a run of colours: how many, of what, from where to where.

A run is what a sky or a sea asks for. One to three washes are fitted to it together, each easing
out along the run, by least squares in CIELAB (scipy's trust-region reflective method).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glaze.planning.rough.draft import MOST_LEFT, Easel, Grade
from glaze.planning.rough.runs import SHORTEST_MM
from glaze.planning.rough.wants import unlike

Array = NDArray[np.float64]

MOST_WASHES = 3
BEYOND = 0.4
"""A wash may begin or end so far beyond the run, in its lengths."""
STEPS = 40
NUDGE = 1e-4


@dataclass(frozen=True, eq=False)
class RunFit:
    """Washes for a run.

    mixes : shape (washes, bottles). off : how far off the run they are, weighted like the pieces.
    """

    piece: int
    mixes: Array
    grades: tuple[Grade, ...]
    off: float


def run_fits(easel: Easel, piece: int) -> Iterator[RunFit]:
    """The best one, two and three graded washes for a piece whose colours run."""
    run = _Run(easel, piece)
    best = np.zeros((0, run.width))
    for _ in range(MOST_WASHES):
        tries: list[Array] = [run.fitted(np.vstack([best, one])) for one in run.starts()]
        best = min(tries, key=run.off)
        yield run.fit(best)


class _Run:
    """One piece's run, its places counted from 0 at one end to 1 at the other.

    A wash is a row: how much of each bottle, where it is full, where it ends, what is left there.
    """

    def __init__(self, easel: Easel, piece: int) -> None:
        wanted = easel.wanted
        at = wanted.piece == piece
        self.piece, self.bottles = piece, easel.bottles
        self.lab, self.weight, xy = wanted.lab[at], wanted.weight[at], wanted.xy_mm[at]
        # along its own way: the middles of its places wander with the shape of the piece
        way = wanted.pieces[piece].way
        assert way is not None
        along = xy @ way
        self.way = way * (along[-1] - along[0])
        middle = np.average(xy, axis=0, weights=self.weight)
        self.start = middle + (along[0] - middle @ way) * way
        self.least = SHORTEST_MM / float(np.hypot(*self.way))
        self.place = (along - along[0]) / (along[-1] - along[0])
        self.width = len(self.bottles.inks) + 3
        self.under, self.at = easel.under, np.flatnonzero(at)
        L, C = self.lab[:, 0], np.hypot(self.lab[:, 1], self.lab[:, 2])
        # near to CIEDE2000 in the small, and smooth: its own weights of lightness and chroma
        S_L = 1 + 0.015 * (L - 50) ** 2 / np.sqrt(20 + (L - 50) ** 2)
        scale = np.stack([0.8 * S_L, 1 + 0.045 * C, 1 + 0.03 * C], axis=-1)
        self.scale = np.sqrt(self.weight / self.weight.sum())[:, None] / scale

    def starts(self) -> list[Array]:
        """A pale wash of every bottle, full at either end."""
        some = np.full(self.width - 3, 0.02)
        return [np.array([*some, *ends, 0.1]) for ends in ((0.0, 1.0), (1.0, 0.0))]

    def labs(self, washes: Array) -> Array:
        """Colours of the run under some washes, in any number of cases.

        washes : shape (cases, washes, width); gives (cases, places, 3)
        """
        cases, count = washes.shape[:2]
        start, stop, end = (washes[..., n, None] for n in (-3, -2, -1))
        gap = self._gap(start, stop)
        t = np.clip((self.place - start) / gap, 0, 1)
        films = 1 + (end - 1) * t * t * (3 - 2 * t)
        mixes = washes[..., :-3].reshape(-1, self.width - 3)
        of_case = np.arange(cases * count).reshape(cases, count)
        rows = np.repeat(of_case, len(self.place), axis=0)
        each = np.moveaxis(films, 1, 2).reshape(-1, count)
        on = self.under(np.tile(self.at, cases))
        return self.bottles.labs(mixes, rows, each, on).reshape(cases, -1, 3)

    def _gap(self, start: Array, stop: Array) -> Array:
        """From where washes are full to where they end, no steeper than a brush carries them."""
        gap = stop - start
        return np.asarray(
            np.where(gap < 0, np.minimum(gap, -self.least), np.maximum(gap, self.least))
        )

    def missing(self, washes: Array) -> Array:
        """What is missing, weighted, shape (cases, 3 places)."""
        return ((self.labs(washes) - self.lab) * self.scale).reshape(len(washes), -1)

    def fitted(self, washes: Array) -> Array:
        """Washes made to fit, from a first guess; shape (washes, width)."""
        from scipy.optimize import least_squares

        shape, inks = washes.shape, self.width - 3
        low = np.tile([*[0.0] * inks, -BEYOND, -BEYOND, 0.0], (shape[0], 1)).ravel()
        high = np.tile([*[1.5] * inks, 1 + BEYOND, 1 + BEYOND, MOST_LEFT], (shape[0], 1)).ravel()

        def off(x: Array) -> Array:
            return self.missing(x.reshape(1, *shape))[0]

        def slopes(x: Array) -> Array:
            nudged = np.vstack([x, x + NUDGE * np.eye(x.size)])
            found = self.missing(nudged.reshape(-1, *shape))
            return ((found[1:] - found[0]) / NUDGE).T

        x: Array = np.clip(washes.ravel(), low + 1e-6, high - 1e-6)
        made = least_squares(off, x, slopes, bounds=(low, high), max_nfev=STEPS, x_scale="jac")
        return np.asarray(made.x.reshape(shape))

    def off(self, washes: Array) -> float:
        """How far off the run is, as a draft counts it."""
        return float(unlike(self.labs(washes[None])[0], self.lab) @ self.weight)

    def fit(self, washes: Array) -> RunFit:
        """Washes in mm of the sheet."""
        return RunFit(
            self.piece, washes[:, :-3], tuple(self._grade(w) for w in washes), self.off(washes)
        )

    def _grade(self, wash: Array) -> Grade:
        start, stop = wash[-3], wash[-2]
        ends = [self.start + place * self.way for place in (start, start + self._gap(start, stop))]
        (x, y), (u, v) = ((round(float(a), 1), round(float(b), 1)) for a, b in ends)
        return Grade((x, y), (u, v), round(float(wash[-1]), 2))
