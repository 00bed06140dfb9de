"""What a wet wash stirs up from below: the *stirred* end of the preview."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from glaze.physics.flow import MM_PER_INCH
from glaze.sheet import compiled_stir
from glaze.sheet.field import box_of
from glaze.sheet.rect import Rect
from glaze.sheet.state import Field, Sheet
from glaze.sheet.units import FULL, Mask


def stir_reach_px(mixing_mm: float, dpi: float) -> int:
    """How far a stirring wash looks sideways [px]."""
    return compiled_stir.reach_px(_mixing_px(mixing_mm, dpi))


def _mixing_px(mixing_mm: float, dpi: float) -> float:
    return max(mixing_mm * dpi / MM_PER_INCH, 0.3)


ALL_OF_IT = np.array([[0.0, 1.0]])
"""Of the one thing there is, all is sent."""


def stir(
    sheet: Sheet,
    loose: NDArray[np.float64],
    coverage: Mask,
    rect: Rect,
    mixing_mm: float,
    dpi: float,
) -> None:
    """Let a wet wash move all that is loose below it: the *stirred* end of the preview.

    What leaves a pixel arrives at others within the wash, weighted by a Gaussian of the mixing
    length that is normalised where it leaves, so nothing is lost and nothing crosses the edge.
    What has moved lies mixed with the rest and gets the mixed-wet weight E(Q)/(Q E(1)).

    Parameters
    ----------
    sheet : a tile of the sheet, changed in place; near its own edges it is then wrong as far as
        `stir_reach_px`, unless the sheet ends there
    loose : fraction of each colourant that dissolves again [-], shape (colourants,)
    coverage : where the wash is wet, FULL = wholly; of the whole sheet, shape (rows, columns)
    rect : where the tile lies on it
    mixing_mm : mixing length, a property of the paper [mm]
    """
    sigma = _mixing_px(mixing_mm, dpi)
    part = box_of(coverage, rect)
    if part.empty:
        return
    # how much of what leaves each pixel finds the wash: that looks further than the tile
    around = part.grown(compiled_stir.reach_px(sigma), coverage.shape)
    wet = np.multiply(coverage[around.slices], np.float32(1 / FULL), dtype=np.float32)
    grid, nodes = _sent(np.ones((*wet.shape, 1), np.float32), wet, ALL_OF_IT, sigma, around)
    found = np.empty(wet.shape, np.float32)
    compiled_stir.read(nodes, grid, found)
    here = part.inside(around).slices
    wet, found = np.ascontiguousarray(wet[here]), found[here]
    leaves = np.divide(wet, found, where=found > 1e-6, out=np.zeros_like(wet))
    # what is loose leaves, and lies down where it arrives
    within = part.inside(rect).slices
    load, optical = sheet.load_g_per_m2[within], sheet.optical_g_per_m2[within]
    dissolves = np.flatnonzero(loose > 0)
    dyes = np.column_stack([dissolves, loose[dissolves]])
    grid, nodes = _sent(load, leaves, dyes, sigma, part)
    there = nodes.any(axis=(1, 2))
    compiled_stir.settle(load, optical, sheet.coats[within], wet, grid, nodes[there], dyes[there])


def _sent(
    amount: NDArray[np.float32],
    share: Field,
    which: NDArray[np.float64],
    sigma_px: float,
    rect: Rect,
) -> tuple[compiled_stir.Grid, NDArray[np.float32]]:
    """What each pixel sends, blurred at the nodes; arguments as in `compiled_stir.gather`."""
    grid, taps = compiled_stir.grid_of(sigma_px, rect.top, rect.left)
    nodes = np.zeros((len(which), *grid.shape(*share.shape)), np.float32)
    compiled_stir.gather(amount, share, which, grid, nodes)
    return grid, compiled_stir.blurred(nodes, taps)
