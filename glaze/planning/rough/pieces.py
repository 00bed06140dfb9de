"""Areas of a rough parted into pieces: what one colour, or one grade, will do for.

An area that the line encloses may hold a shadow, a highlight or a grade that no line bounds. A
piece is judged along the direction in which its colours run; what strays from that run is parted
off, until every piece keeps to its own.
"""

from __future__ import annotations

from collections.abc import Container, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glaze.physics.colour import delta_e_2000
from glaze.planning.rough.laid import OnSheet

Array = NDArray[np.float64]
Numbers = NDArray[np.intp]

GOOD_DE00 = 2.2
"""A piece is of one run if most of it strays no further: a wash laid twice strays as much."""
WORTH_DE00 = 0.8
"""A grade, or a part of its own, has to come so much nearer on average."""
MOST_PARTS = 7
LEAST_MM2 = 6.0
"""Smaller shapes that no line bounds aren't painted apart."""
BINS, FEWEST_IN_BIN = 12, 12
STEP_DE00, STEP_SHARE = 5.0, 0.5
STRAYS_DE00 = 5.0
SHORTEST_MM = 22.0
"""Of a graded wash, from full to thin (common practice, no source)."""
SMOOTH_MM = 0.6
ANGLES = np.radians(np.arange(0, 180, 15))
ASLANT_DE00 = 0.3
MOST_TRIED = 3000


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
    """

    area: int
    at: Numbers
    mm2: float
    lab: Array
    xy_mm: Array
    share: Array
    way: Array | None
    alone: bool

    @property
    def runs(self) -> bool:
        """Whether its colours run."""
        return self.way is not None

    def along(self, colours: Array, at: Numbers, laid: OnSheet) -> Array:
        """Colours of its places at some samples, between them along its run, (samples, 3)."""
        if self.way is None or len(colours) == 1:
            return np.broadcast_to(colours[0], (len(at), 3))
        place, own = _xy_mm(at, laid) @ self.way, self.xy_mm @ self.way
        return np.stack([np.interp(place, own, colours[:, n]) for n in range(3)], axis=-1)


def pieces_of(laid: OnSheet, only: Container[int] = ()) -> list[Piece]:
    """The pieces of a rough, the largest first; those of some areas, of all if none is named."""
    lab = _smoothed(laid)
    found = []
    for number, at in _areas(laid):
        if only and number not in only:
            continue
        seen = at[laid.seen.ravel()[at]]
        if not seen.size:
            # all of it lies under or beside the line: its lightest samples show most of it
            seen = at[np.argsort(-laid.lab.reshape(-1, 3)[at, 0])[: max(1, len(at) // 4)]]
        parts = list(_parted(seen, lab, laid)) if seen.size > 1 else [seen]
        homes = _grown_over(at, parts, laid)
        for part, home in zip(parts, homes, strict=True):
            found.append(_piece(number, part, home, lab, laid, len(parts) == 1))
    return sorted(found, key=lambda piece: -piece.mm2)


def _smoothed(laid: OnSheet) -> Array:
    """The wanted colours with what tooth and brush do evened out, shape (samples, 3)."""
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


def _xy_mm(at: Numbers, laid: OnSheet) -> Array:
    rows, columns = np.divmod(at, laid.number.shape[1])
    return (np.stack([columns, rows], axis=-1) + 0.5) * laid.mm


@dataclass(frozen=True, eq=False)
class _Run:
    """Colours of some samples along a direction.

    along : each sample's place, 0 to just below the number of bins
    lab : middle colour of each bin, shape (bins, 3)
    off : CIEDE2000 of each sample from the run
    """

    along: Array
    lab: Array
    off: Array


def _run(at: Numbers, lab: Array, laid: OnSheet) -> tuple[_Run, Array | None]:
    """How the colours of some samples run, and which way; None where one colour does as well."""
    own, xy = lab[at], _xy_mm(at, laid)
    flat = np.median(own, axis=0)[None]
    one = _Run(np.zeros(len(at)), flat, delta_e_2000(own, flat))
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


def _binned(own: Array, place: Array) -> _Run:
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
    if _has_step(lab):
        # a grade is smooth: a step is the edge of a shape, which should stray and be parted off
        smooth = np.vander(np.arange(bins) / bins, min(3, len(known)))
        lab = smooth @ np.linalg.lstsq(smooth, lab, rcond=None)[0]
    at = along - 0.5
    between = np.stack([np.interp(at, np.arange(bins), lab[:, n]) for n in range(3)], axis=-1)
    return _Run(along, lab, delta_e_2000(own, between))


def _has_step(lab: Array) -> bool:
    """Whether the colours of a run change at one place rather than all along it."""
    jumps = delta_e_2000(lab[1:], lab[:-1])
    two = jumps[1:] + jumps[:-1] if len(jumps) > 2 else jumps
    return bool(two.max() > STEP_DE00 and two.max() > STEP_SHARE * jumps.sum())


def _parted(at: Numbers, lab: Array, laid: OnSheet) -> Iterator[Numbers]:
    """The samples of an area in parts, each of one run; what gains most is parted first."""
    parts = [at]
    done: list[Numbers] = []
    while parts and len(parts) + len(done) < MOST_PARTS:
        gains = [_split(part, lab, laid) for part in parts]
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


def _split(at: Numbers, lab: Array, laid: OnSheet) -> tuple[float, tuple[Numbers, ...]]:
    """What parting some samples in two gains [dE00 mm2], 0 if it isn't worth it, and the two."""
    least = max(4, round(LEAST_MM2 / laid.mm**2))
    run, _ = _run(at, lab, laid)
    strays = int(np.count_nonzero(run.off > STRAYS_DE00))  # a moon in a sky is a hundredth of it
    if len(at) < 2 * least or (strays < least and np.quantile(run.off, 0.97) < GOOD_DE00):
        return 0.0, ()
    off = lab[at] - _along(run)
    ways = [_heaped(off), run.off > STRAYS_DE00]
    tries = [_gain(at, run, _even(way, at, laid), lab, laid) for way in ways if way.any()]
    return max(tries, key=lambda one: one[0], default=(0.0, ()))


def _gain(
    at: Numbers, run: _Run, other: NDArray[np.bool_], lab: Array, laid: OnSheet
) -> tuple[float, tuple[Numbers, ...]]:
    """What parting some samples off the others gains [dE00 samples], 0 if it isn't worth it."""
    parts = at[~other], at[other]
    fewer = min(map(len, parts))
    if fewer < max(4, round(LEAST_MM2 / laid.mm**2)):
        return 0.0, ()
    off = sum(float(_run(part, lab, laid)[0].off.sum()) for part in parts)
    gain = float(run.off.sum()) - off
    return (gain if gain > WORTH_DE00 * fewer else 0.0), parts


def _along(run: _Run) -> Array:
    """The run's own colour at each of its samples, shape (samples, 3)."""
    at, places = run.along - 0.5, np.arange(len(run.lab))
    return np.stack([np.interp(at, places, run.lab[:, n]) for n in range(3)], axis=-1)


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


def _even(heap: NDArray[np.bool_], at: Numbers, laid: OnSheet) -> NDArray[np.bool_]:
    """Some of an area's samples as a shape that a brush can follow."""
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


def _piece(
    number: int, seen: Numbers, home: Numbers, lab: Array, laid: OnSheet, alone: bool
) -> Piece:
    run, way = _run(seen, lab, laid)
    xy, bins = _xy_mm(seen, laid), len(run.lab)
    which = run.along.astype(int)
    count = np.bincount(which, minlength=bins)
    known = count > 0
    middle = np.stack([np.bincount(which, xy[:, n], bins) for n in range(2)], axis=-1)
    return Piece(
        area=number,
        at=home,
        mm2=len(home) * laid.mm**2,
        lab=run.lab[known],
        xy_mm=middle[known] / count[known, None],
        share=count[known] / count.sum(),
        way=way,
        alone=alone,
    )
