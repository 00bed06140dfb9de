"""The compiled wide blur that stirring needs: gathered on a grid, blurred there, read off between.

The grid lies still on the sheet, so that tiles agree with the whole bit for bit. Gathering and
reading use the same weights, so what q sends to p is what p sends to q, at the sheet's edges too;
beyond them nothing lies. `glaze.sheet.stir` uses it; tests/sheet/test_wash.py holds that to
the sum over all pairs of pixels.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from glaze.physics.absorption import CROWDING
from glaze.physics.blur import gaussian_taps
from glaze.sheet.kernel import kernel

_b, _norm = np.float32(CROWDING), np.float32(np.log1p(CROWDING))

Field = NDArray[np.float32]


class Grid(NamedTuple):
    """Nodes every `step` pixels of the sheet, those of a tile that begins at (top, left)."""

    top: int
    left: int
    step: int

    def shape(self, rows: int, columns: int) -> tuple[int, int]:
        """Rows and columns of nodes that a tile lies between."""
        down = (self.top + rows - 1) // self.step - self.top // self.step + 2
        across = (self.left + columns - 1) // self.step - self.left // self.step + 2
        return down, across


def grid_of(sigma_px: float, top: int, left: int) -> tuple[Grid, NDArray[np.float64]]:
    """The grid of a Gaussian of so many pixels, and the weights of the blur on it.

    Its width is that of `sigma_px` exactly, its shape off by under 2 % of the peak. The weights
    are [-], of shape (taps,).
    """
    step = max(1, int(sigma_px / 2))
    # gathering and reading are triangles of variance (step^2 - 1)/6 each
    left_over = sigma_px**2 - (step**2 - 1) / 3
    return Grid(top, left, step), gaussian_taps(left_over**0.5 / step)


def reach_px(sigma_px: float) -> int:
    """How far such a blur looks sideways [px]."""
    grid, taps = grid_of(sigma_px, 0, 0)
    return grid.step * (len(taps) // 2 + 2)


def blurred(nodes: Field, taps: NDArray[np.float64]) -> Field:
    """Values at nodes [any unit], shape (..., rows, columns), as sums of their neighbours'."""
    from scipy.ndimage import correlate1d

    for axis in (-2, -1):
        nodes = correlate1d(nodes, taps, axis=axis, mode="constant", output=np.float32)
    return nodes


@kernel(inline="always")
def _columns(grid, columns):  # type: ignore[no-untyped-def]
    """The node before each column of pixels, and how far on to the next the pixel is [-]."""
    place = grid[1] % grid[2] + np.arange(columns)
    return place // grid[2], (place % grid[2] / grid[2]).astype(np.float32)


@kernel()
def gather(amount, share, which, grid, nodes):  # type: ignore[no-untyped-def]
    """Add what every pixel sends to the nodes around it.

    Parameters
    ----------
    amount : of several things, shape (rows, columns, count)
    share : of them that is sent [-], shape (rows, columns)
    which : number of each thing, and the part of it that is sent, shape (things, 2)
    nodes : added to, shape (things, rows of nodes, columns of nodes)
    """
    top, _, step = grid
    things, row = which.shape[0], np.zeros((nodes.shape[0], nodes.shape[2]), np.float32)
    node, past = _columns(grid, share.shape[1])
    for y in range(share.shape[0]):
        row[:] = 0
        for x in range(share.shape[1]):
            if share[y, x] > 0.0:
                at, far = node[x], past[x]
                for n in range(things):
                    sent = amount[y, x, int(which[n, 0])] * share[y, x] * np.float32(which[n, 1])
                    row[n, at] += (np.float32(1) - far) * sent
                    row[n, at + 1] += far * sent
        at = (top + y) // step - top // step
        far = np.float32(((top + y) % step) / step)
        for n in range(things):
            for x in range(row.shape[1]):
                nodes[n, at, x] += (np.float32(1) - far) * row[n, x]
                nodes[n, at + 1, x] += far * row[n, x]


@kernel(inline="always")
def _row_between(nodes, grid, y, row):  # type: ignore[no-untyped-def]
    """Values of things at a row of pixels, at the columns of nodes: row of (things, nodes)."""
    top, _, step = grid
    at = (top + y) // step - top // step
    far = np.float32(((top + y) % step) / step)
    for n in range(row.shape[0]):
        for x in range(row.shape[1]):
            row[n, x] = (np.float32(1) - far) * nodes[n, at, x] + far * nodes[n, at + 1, x]


@kernel()
def read(nodes, grid, out):  # type: ignore[no-untyped-def]
    """Values of the first thing between the nodes, at every pixel: out of shape (rows, columns)."""
    row = np.zeros((1, nodes.shape[2]), np.float32)
    node, past = _columns(grid, out.shape[1])
    for y in range(out.shape[0]):
        _row_between(nodes, grid, y, row)
        for x in range(out.shape[1]):
            at = node[x]
            out[y, x] = (np.float32(1) - past[x]) * row[0, at] + past[x] * row[0, at + 1]


@kernel()
def settle(load, optical, coats, wet, grid, nodes, which):  # type: ignore[no-untyped-def]
    """Take away what left, and add what arrives from the nodes, in place.

    Parameters
    ----------
    load, optical : of the sheet [g/m2], shape (rows, columns, count)
    coats : running load there [neat coats], wet : coverage of the wash [-], both of shape (rows,
        columns)
    nodes : dye sent to the nodes, blurred, shape (dyes, rows of nodes, columns of nodes)
    which : number of each dye, and its loose fraction [-], shape (dyes, 2)
    """
    one, row = np.float32(1), np.zeros((nodes.shape[0], nodes.shape[2]), np.float32)
    node, past = _columns(grid, wet.shape[1])
    for y in range(wet.shape[0]):
        _row_between(nodes, grid, y, row)
        for x in range(wet.shape[1]):
            if wet[y, x] > 0.0:
                at, far = node[x], past[x]
                # what has moved lies mixed with the rest: E(Q)/(Q E(1))
                Q = max(coats[y, x], np.float32(1e-6))
                weight = np.log1p(_b * Q) / (_norm * Q)
                for n in range(row.shape[0]):
                    j = int(which[n, 0])
                    stays = one - np.float32(which[n, 1]) * wet[y, x]
                    came = wet[y, x] * ((one - far) * row[n, at] + far * row[n, at + 1])
                    load[y, x, j] = load[y, x, j] * stays + came
                    optical[y, x, j] = optical[y, x, j] * stays + came * weight
