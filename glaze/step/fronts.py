"""The front of a charge, finer than the cells in which water runs: fingers, lobes, or nothing.

Into what shines a charge runs out in fingers, few long and many short, along the way it spreads;
into what is damp it pushes a bulging, notched front before it; a charge all over the same place
has no front at all. Kinds and reach follow from how wet it was there; where each finger lies is the
paper's and the day's (sizes are guesses by eye; docs/wet.md). Dyes are read a little beside their
place and their sums put right: none is lost.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from glaze.physics.flow import MM_PER_INCH
from glaze.sheet import compiled_dried
from glaze.sheet.flowing import WetPassage
from glaze.sheet.unevenness import Wave, noise
from glaze.step.steadiness import Steadiness

Floats = NDArray[np.float64]
Out = NDArray[np.float32]
"""Ways that charges spread, as down and right, at most 1 long; shape (2, rows, columns)."""

NODE_CELLS = 0.4
"""Where a front lies is worked out so far apart [cells] and read between."""
REACH_MM, FULLY = 4.5, 0.15
"""So far round a charge (a standard deviation) its front may lie, and how steeply the charge must
fall away there for all that is said below. Guess."""
STANDS = 0.4
"""Where less of the wash's film than this still stands a front begins to bulge. Guess."""
MATT, LOST = 0.75, 0.25
"""The front bulges so much where the shine is gone, and wholly where the paper has lost so much of
its water. Guess."""
FINGERS = (4.2, 0.75), (1.9, 0.5), (0.8, 0.22)
"""Width [mm] and usual reach [mm] of fingers. Guess by eye."""
LOBES = (5.5, 1.9), (2.4, 1.0), (1.0, 0.4)
"""Width [mm] and reach [mm] of bulges, each on the back of the larger. Guess by eye."""
LONG = 4.0, 1.5
"""So many times as long as wide is a finger, and the side of a lobe. Guess."""
VARIED = 9.0, 0.45
"""Over so many mm fingers grow longer and shorter, by so much of their logarithm. Guess."""
CRISP_MM = 2.3
"""A front in what is damp is drawn together over so far to either side. Guess."""
PACES = 3
"""In so many paces, so that between two fronts nothing is read from beyond the other."""


@dataclass(frozen=True, eq=False)
class Moved:
    """How far beside its place a pixel's dye is read.

    Attributes
    ----------
    by_px : down and right [px], shape (2, rows, columns) of nodes; (2, 0, 0) if nowhere
    pitch : from node to node [px]
    """

    by_px: NDArray[np.float32]
    pitch: float


NOWHERE = Moved(np.zeros((2, 0, 0), np.float32), 1.0)


def met(
    ready: WetPassage, poured: WetPassage, part: Floats, film_m: float, cell_mm: float
) -> WetPassage:
    """A passage with where its fronts may lie, and how damp it was there.

    Parameters
    ----------
    ready, poured : before and after a charge
    part : share of each cell that it covers [-], shape (rows, columns)
    film_m : of the wash when it was laid [m]; cell_mm : side of a cell [mm]
    """
    from scipy.ndimage import gaussian_filter

    near = gaussian_filter(part, REACH_MM / cell_mm)
    film, wetted = gaussian_filter(ready.film, 1.0), gaussian_filter(ready.part, 1.0)
    gone = np.clip(1.0 - film / np.maximum(wetted, 0.05) / (STANDS * film_m), 0.0, 1.0)
    left = np.divide(ready.taken, ready.peak, out=np.ones_like(part), where=ready.peak > 0.0)
    damp = gone * (MATT + (1.0 - MATT) * np.clip((1.0 - left) / LOST, 0.0, 1.0))
    share = near / np.maximum(near + ready.near, 1e-9)
    damp = share * damp + (1.0 - share) * ready.damp
    return replace(poured, near=near + ready.near - near * ready.near, damp=damp)


def fronts_of(p: WetPassage, grid: NodeGrid, hand: Steadiness, name: str) -> Moved:
    """How a passage's fronts lie on its sheet, as a hand laid the step of that name."""
    slope = np.array(np.gradient(p.near)) * (REACH_MM / grid.cell_mm)
    down, right, damp = (grid.read(field, grid.places) for field in (*slope, p.damp))
    steep = np.hypot(down, right)
    out = (-np.stack([down, right]) / (steep + 0.03)).astype(np.float32)
    amount = np.clip(steep / FULLY, 0.0, 1.0) ** 2 * hand.amount
    seed, node_mm = crc32(name.encode()) + 7919 * (hand.seed - 1), grid.node_mm
    with ThreadPoolExecutor(1) as other:
        away = other.submit(_from_front, p, grid.cell_mm)
        lobes = other.submit(_lobes, out, seed + 40, node_mm)
        fingers = _fingers(out, seed, node_mm)
    far = amount * ((1.0 - damp) * fingers + damp * lobes.result())
    by_mm = -out * far
    # then what is damp is read farther from the front, so that the front is crisp
    places = grid.places + by_mm / grid.node_mm
    drawn = np.sqrt(np.maximum(grid.read(p.damp, places), 0.0)) * np.minimum(amount, 1.0)
    for _ in range(PACES):
        step = np.stack([grid.read(field, places) for field in away.result()])
        by_mm += drawn / PACES * step
        places = grid.places + by_mm / grid.node_mm
    return Moved((by_mm * grid.pitch / grid.node_mm).astype(np.float32), grid.pitch)


@dataclass(frozen=True)
class NodeGrid:
    """Nodes over a sheet of cells.

    Attributes
    ----------
    shape : of the sheet [px]
    cell_px : side of a cell [px]
    dpi : of the sheet
    """

    shape: tuple[int, int]
    cell_px: float
    dpi: float

    @property
    def cell_mm(self) -> float:
        """Side of a cell [mm]."""
        return self.cell_px * MM_PER_INCH / self.dpi

    @property
    def pitch(self) -> float:
        """From node to node [px]."""
        return max(NODE_CELLS * self.cell_px, 1.0)

    @property
    def node_mm(self) -> float:
        """From node to node [mm]."""
        return self.pitch * MM_PER_INCH / self.dpi

    @property
    def places(self) -> Floats:
        """Row and column of each node [nodes], shape (2, rows, columns)."""
        return np.indices([int(np.ceil(side / self.pitch)) + 1 for side in self.shape], float)

    def read(self, field: Floats, places: Floats) -> Floats:
        """A field of cells at places, in its own unit [-], shape (rows, columns) of the places."""
        found = np.empty(places.shape[1:])
        compiled_dried.read_at(np.ascontiguousarray(field), places, self.pitch, self.cell_px, found)
        return found


def _fingers(out: Out, seed: int, node_mm: float) -> Floats:
    """How far fingers reach beyond the front [mm], on the mean about 0; shape of the nodes."""
    long, found = LONG[0], np.zeros(out.shape[1:])
    for n, (wide_mm, most) in enumerate(FINGERS):
        streaks = np.minimum(_streaks(out, wide_mm, long, seed + n, node_mm), 2.0)
        found += most * (np.exp(0.7 * streaks) - 1.25)  # few long, many short
    over_mm, much = VARIED
    return np.asarray(found * np.exp(much * _streaks(out, over_mm, 1.0, seed + 20, node_mm)))


def _lobes(out: Out, seed: int, node_mm: float) -> Floats:
    """How far lobes bulge before the front [mm], on the mean about 0; shape of the nodes."""
    found = np.zeros(out.shape[1:])
    for n, (wide_mm, most) in enumerate(LOBES):
        # round in front, with notches between
        found += most * (np.abs(_streaks(out, wide_mm, LONG[1], seed + n, node_mm)) - 0.8)
    return found


def _streaks(out: Out, wide_mm: float, long: float, seed: int, node_mm: float) -> Floats:
    """Noise of one width drawn out along the way a charge spreads [-], mean 0, spread 1."""
    wave = Wave(wide_mm, 1.0, seed & 0xFFFFFFFF, degrees=31.0 + 47.0 * (seed % 7))
    field = noise(0, 0, out.shape[1:], MM_PER_INCH / node_mm, [wave])
    drawn = np.empty_like(field)
    compiled_dried.streaked(field, out, int(0.5 * long * wide_mm / node_mm), drawn)
    return np.asarray((drawn - drawn.mean()) / max(float(drawn.std()), 1e-9), dtype=float)


def _from_front(p: WetPassage, cell_mm: float) -> Floats:
    """Away from where the dyes change most, up to CRISP_MM [mm]; shape (2, rows, columns)."""
    from scipy.ndimage import gaussian_filter

    dense = np.divide(p.all_dye, p.part, out=np.zeros_like(p.dyes), where=p.part > 0.0)
    most = np.maximum(dense.max(axis=(1, 2), keepdims=True), 1e-30)
    change = np.hypot(*np.gradient(gaussian_filter((dense / most).sum(axis=0), 0.7)))
    edge = gaussian_filter(change, 0.8 / cell_mm)
    about = gaussian_filter(edge, CRISP_MM / cell_mm)
    share = np.array(np.gradient(edge)) * (CRISP_MM / cell_mm) / np.maximum(about, 1e-9)
    share /= np.maximum(np.hypot(*share), 1.0)
    return np.stack([-CRISP_MM * gaussian_filter(field, 0.7) for field in share])
