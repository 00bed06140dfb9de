"""Areas of a rough parted into pieces: what one colour, or one grade, will do for.

An area that the line encloses may hold a shadow, a highlight or a grade that no line bounds. A
piece is judged along the direction in which its colours run; what strays from that run is parted
off, until every piece keeps to its own.
"""

from __future__ import annotations

from collections.abc import Container, Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.planning.rough.laid import OnSheet
from glaze.planning.rough.runs import (
    MOST_TRIED,
    WORTH_DE00,
    Run,
    colours_along,
    one_colour,
    run_of,
    xy_mm_of,
)

Array = NDArray[np.float64]
Numbers = NDArray[np.intp]

GOOD_DE00 = 2.2
"""A piece is of one run if most of it strays no further: a wash laid twice strays as much."""
MOST_PARTS = 7
LEAST_MM2 = 6.0
"""Smaller shapes that no line bounds aren't painted apart."""
STRAYS_DE00 = 5.0
BORDER_DE00_MM = 5.0
"""What parting has to gain for each mm of new border [dE00 mm2]: mottled colour is one wash."""
SMOOTH_MM = 0.6
NONE = -1
"""In place of a shadow's number: none."""


@dataclass(frozen=True, eq=False)
class Piece:
    """What one colour, or one grade, is wanted for.

    area : number of the sketch's area it lies in
    at : its samples, as flat indices of the grid
    mm2 : its size
    lab : wanted along its run, CIELAB, shape (places, 3)
    xy_mm : those places, shape (places, 2)
    share : of the piece that each stands for [-], shape (places,)
    way : the direction in which its colours run from one to another, of length 1; None if they
        don't
    alone : whether it is the whole of its area
    shadow : number of the rough's shadow it lies in, NONE for none
    ground : number of what lies under it already
    shut : whether no wash goes over that
    """

    area: int
    at: Numbers
    mm2: float
    lab: Array
    xy_mm: Array
    share: Array
    way: Array | None
    alone: bool
    shadow: int = NONE
    ground: int = 0
    shut: bool = False

    @property
    def runs(self) -> bool:
        """Whether its colours run."""
        return self.way is not None

    def along(self, colours: Array, at: Numbers, laid: OnSheet) -> Array:
        """Colours of its places at some samples, between them along its run, (samples, 3)."""
        if self.way is None or len(colours) == 1:
            return np.broadcast_to(colours[0], (len(at), 3))
        place, own = xy_mm_of(at, laid) @ self.way, self.xy_mm @ self.way
        return np.stack([np.interp(place, own, colours[:, n]) for n in range(3)], axis=-1)


@dataclass(frozen=True, eq=False)
class _Cut:
    """What pieces are cut from: a rough, its colours evened out, whether a run may be one piece."""

    laid: OnSheet
    lab: Array
    runs: bool

    def run(self, at: Numbers) -> tuple[Run, Array | None]:
        """How the colours of some samples run, and which way; None where one colour does."""
        return run_of(at, self.lab, self.laid) if self.runs else (one_colour(self.lab[at]), None)

    @property
    def fewest(self) -> int:
        """Samples of the smallest shape that is painted apart."""
        return max(4, round(LEAST_MM2 / self.laid.mm**2))


def pieces_of(
    laid: OnSheet,
    only: Container[int] = (),
    shadow: NDArray[np.integer[Any]] | None = None,
    ground: NDArray[np.integer[Any]] | None = None,
    *,
    runs: bool = True,
) -> list[Piece]:
    """The pieces of a rough, the largest first; those of some areas, of all if none is named.

    shadow : number of the shadow that each sample lies in, NONE for none, shape (samples,); no
        piece is partly in one
    ground : number of what lies there already, in the same way
    runs : whether colours that run along a direction may be one piece
    """
    cut = _Cut(laid, evened_lab(laid), runs)
    found = []
    for number, at in _areas(laid):
        if only and number not in only:
            continue
        seen = at[laid.seen.ravel()[at]]
        if not seen.size:
            # all of it lies under or beside the line: its lightest samples show most of it
            seen = at[np.argsort(-laid.lab.reshape(-1, 3)[at, 0])[: max(1, len(at) // 4)]]
        none = np.full(len(seen), NONE)
        lies = [none if part is None else part[seen] for part in (shadow, ground)]
        parts, on = [], []
        for cast, lying in np.unique(np.stack(lies, axis=1), axis=0).tolist():
            some = seen[(lies[0] == cast) & (lies[1] == lying)]
            more = list(_parted(some, cut)) if some.size > 1 else [some]
            parts += more
            on += [(cast, lying)] * len(more)
        homes = _grown_over(at, parts, laid)
        for part, home, (cast, lying) in zip(parts, homes, on, strict=True):
            own = _piece(number, part, home, cut, len(parts) == 1)
            found.append(replace(own, shadow=cast, ground=max(lying, 0)))
    return sorted(found, key=lambda piece: -piece.mm2)


def evened_lab(laid: OnSheet) -> Array:
    """The wanted colours with tooth and brush evened out, CIELAB [-], shape (samples, 3)."""
    from scipy.ndimage import gaussian_filter

    weight = np.where(laid.seen, 1.0, 1e-6)
    low = gaussian_filter(weight, 0.8)
    planes = [gaussian_filter(laid.lab[..., n] * weight, 0.8) / low for n in range(3)]
    return np.stack(planes, axis=-1).reshape(-1, 3)


def _areas(laid: OnSheet) -> Iterator[tuple[int, Numbers]]:
    """Every area's number with its samples."""
    flat = laid.number.ravel()
    order = np.argsort(flat, kind="stable")
    starts = np.flatnonzero(np.diff(flat[order], prepend=-1))
    for at in np.split(order, starts[1:]):
        if flat[at[0]] > 0:
            yield int(flat[at[0]]), at


def _parted(at: Numbers, cut: _Cut) -> Iterator[Numbers]:
    """The samples of an area in parts, each of one run; what gains most is parted first."""
    parts = [at]
    done: list[Numbers] = []
    while parts and len(parts) + len(done) < MOST_PARTS:
        gains = [_split(part, cut) for part in parts]
        best = max(range(len(parts)), key=lambda n: gains[n][0])
        if gains[best][0] <= 0:
            break
        split = gains[best][1]
        for n, gain in enumerate(gains):
            if n != best and gain[0] <= 0:
                done.append(parts[n])
        parts = [p for n, p in enumerate(parts) if n != best and gains[n][0] > 0] + list(split)
    yield from done
    yield from parts


def _split(at: Numbers, cut: _Cut) -> tuple[float, tuple[Numbers, ...]]:
    """What parting some samples in two gains [dE00 mm2], 0 if it isn't worth it, and the two."""
    least = cut.fewest
    run, _ = cut.run(at)
    strays = int(np.count_nonzero(run.off > STRAYS_DE00))  # a moon in a sky is a hundredth of it
    if len(at) < 2 * least or (strays < least and np.quantile(run.off, 0.97) < GOOD_DE00):
        return 0.0, ()
    off = cut.lab[at] - colours_along(run)
    ways = [_heaped(off), run.off > STRAYS_DE00]
    if len(run.lab) > 1:
        ways.append(_heaped(cut.lab[at]))  # two tones side by side, not one that runs
    tries = [_gain(at, run, evened_shape(way, at, cut.laid), cut) for way in ways if way.any()]
    return max(tries, key=lambda one: one[0], default=(0.0, ()))


def _gain(
    at: Numbers, run: Run, other: NDArray[np.bool_], cut: _Cut
) -> tuple[float, tuple[Numbers, ...]]:
    """What parting some samples off the others gains [dE00 samples], 0 if it isn't worth it."""
    parts = at[~other], at[other]
    fewer = min(map(len, parts))
    if fewer < cut.fewest:
        return 0.0, ()
    off = sum(float(cut.run(part)[0].off.sum()) for part in parts)
    gain = float(run.off.sum()) - off
    price = BORDER_DE00_MM * border_mm(*parts, cut.laid) / cut.laid.mm**2
    return (gain if gain > max(WORTH_DE00 * fewer, price) else 0.0), parts


def border_mm(one: Numbers, other: Numbers, laid: OnSheet) -> float:
    """Length of the border of two parts [mm], along the grid; samples of shape (samples,)."""
    part = np.zeros(laid.number.shape, np.int8)
    part.ravel()[one], part.ravel()[other] = 1, 2
    meet = sum(int(np.count_nonzero(p[1:] * p[:-1] == 2)) for p in (part, part.T))
    # of a border at any slant the grid's stairs are 4 / pi times as long on average
    return meet * laid.mm * np.pi / 4


def _heaped(off: Array) -> NDArray[np.bool_]:
    """Which samples are in the second of the two heaps that their colours make."""
    some = (off - off.mean(axis=0))[:: max(1, len(off) // MOST_TRIED)]
    way = np.linalg.svd(some, full_matrices=False)[2][0]
    place = off @ way
    ends = place <= np.quantile(place, 0.1), place >= np.quantile(place, 0.9)
    middles = np.stack([off[end].mean(axis=0) for end in ends])
    for _ in range(8):
        far = np.linalg.norm(off[:, None] - middles, axis=-1)
        heap = far[:, 1] < far[:, 0]
        if not 0 < heap.sum() < len(heap):
            break
        middles = np.stack([off[~heap].mean(axis=0), off[heap].mean(axis=0)])
    return np.asarray(heap)


def evened_shape(heap: NDArray[np.bool_], at: Numbers, laid: OnSheet) -> NDArray[np.bool_]:
    """Some of an area's samples as a shape that a brush can follow: True inside.

    shape (samples,)
    """
    from scipy.ndimage import gaussian_filter

    rows, columns = np.divmod(at, laid.number.shape[1])
    rows, columns = rows - rows.min(), columns - columns.min()
    field = np.zeros((2, rows.max() + 1, columns.max() + 1), np.float32)
    field[0, rows, columns], field[1, rows, columns] = heap, 1.0
    sigma = SMOOTH_MM / laid.mm
    share, whole = (gaussian_filter(f, sigma, mode="constant")[rows, columns] for f in field)
    return np.asarray(share > 0.5 * whole)


def _grown_over(at: Numbers, parts: list[Numbers], laid: OnSheet) -> list[Numbers]:
    """All samples of an area, those by the line too, shared out to the nearest part."""
    if len(parts) == 1:
        return [at]
    from scipy.ndimage import distance_transform_edt

    home = np.full(laid.number.size, -1)
    for n, part in enumerate(parts):
        home[part] = n
    rows, columns = np.divmod(at, laid.number.shape[1])
    box = slice(rows.min(), rows.max() + 1), slice(columns.min(), columns.max() + 1)
    some = home.reshape(laid.number.shape)[box]
    near = distance_transform_edt(some < 0, return_distances=False, return_indices=True)
    found = some[tuple(near)][rows - box[0].start, columns - box[1].start]
    return [at[found == n] for n in range(len(parts))]


def _piece(number: int, seen: Numbers, home: Numbers, cut: _Cut, alone: bool) -> Piece:
    run, way = cut.run(seen)
    xy, bins = xy_mm_of(seen, cut.laid), len(run.lab)
    which = run.along.astype(int)
    count = np.bincount(which, minlength=bins)
    known = count > 0
    middle = np.stack([np.bincount(which, xy[:, n], bins) for n in range(2)], axis=-1)
    return Piece(
        area=number,
        at=home,
        mm2=len(home) * cut.laid.mm**2,
        lab=run.lab[known],
        xy_mm=middle[known] / count[known, None],
        share=count[known] / count.sum(),
        way=way,
        alone=alone,
    )
