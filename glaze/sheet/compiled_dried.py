"""A dried passage at every pixel: dyes read between the middles of its cells, and laid.

The dyes lie on a coarse grid and `weight` is the film that carries them, as crisp as the regions
are. What is laid is the plain law of `glaze.sheet.wash.lay`, film by film, with a load of its own
at each pixel; `tests/step/test_dried.py` holds it to that.

Shapes: grid (rows, columns, films, dyes) of cells, the last of each side a copy of the one before
it; places (pixels,); float64 unless said otherwise.
"""

from __future__ import annotations

import numpy as np

from glaze.physics.absorption import CROWDING
from glaze.sheet.kernel import kernel

_norm = 1.0 / np.log1p(CROWDING)
_b = CROWDING


@kernel(inline="always")
def _before(pixel, cell_px, cells):  # type: ignore[no-untyped-def]
    """The cell whose middle lies before a pixel, and how far on to the next the pixel is."""
    at = min(max((pixel + 0.5) / cell_px - 0.5, 0.0), cells - 2.0)
    cell = int(at)
    return cell, at - cell


@kernel(inline="always")
def _moved(y, x, moved, pitch):  # type: ignore[no-untyped-def]
    """Where the dye of a pixel is read [px]."""
    if moved.shape[1] == 0:
        return float(y), float(x)
    i, j = int(y / pitch), int(x / pitch)
    u, v = y / pitch - i, x / pitch - j
    a, b, c, d = (1.0 - u) * (1.0 - v), (1.0 - u) * v, u * (1.0 - v), u * v
    down = a * moved[0, i, j] + b * moved[0, i, j + 1]
    down += c * moved[0, i + 1, j] + d * moved[0, i + 1, j + 1]
    right = a * moved[1, i, j] + b * moved[1, i, j + 1]
    right += c * moved[1, i + 1, j] + d * moved[1, i + 1, j + 1]
    return y + down, x + right


@kernel()
def read_at(field, places, pitch, cell_px, out):  # type: ignore[no-untyped-def]
    """A field of cells read between their middles; beyond the outer ones it stays.

    field : float64, shape (rows, columns) of cells
    places : rows and columns of nodes, `pitch` pixels apart, shape (2, rows, columns)
    out : shape (rows, columns), written
    """
    rows, columns = field.shape
    for y in range(out.shape[0]):
        for x in range(out.shape[1]):
            i, u = _before(places[0, y, x] * pitch, cell_px, rows + 1)
            j, v = _before(places[1, y, x] * pitch, cell_px, columns + 1)
            k, m = min(i + 1, rows - 1), min(j + 1, columns - 1)
            above = (1.0 - v) * field[i, j] + v * field[i, m]
            below = (1.0 - v) * field[k, j] + v * field[k, m]
            out[y, x] = (1.0 - u) * above + u * below


@kernel()
def streaked(field, out, reach, drawn):  # type: ignore[no-untyped-def]
    """Mean of a field along a way, so many nodes to either side; `drawn` is written.

    field, drawn : shape (rows, columns); out : unit vectors, shape (2, rows, columns)
    """
    rows, columns = field.shape
    for y in range(rows):
        for x in range(columns):
            total = 0.0
            for k in range(-reach, reach + 1):
                i = min(max(round(y + k * out[0, y, x]), 0), rows - 1)
                j = min(max(round(x + k * out[1, y, x]), 0), columns - 1)
                total += field[i, j]
            drawn[y, x] = total / (2 * reach + 1)


@kernel()
def gathered(weight, cell_px, moved, pitch, out):  # type: ignore[no-untyped-def]
    """Add up what each cell gives to all pixels: the sum of what is read is `out` times the cells.

    weight : uint16, shape (rows, columns) of pixels
    moved, pitch : how far beside its place a pixel is read, as in `glaze.step.fronts.Moved`
    out : shape (rows, columns) of cells, updated
    """
    rows, columns = out.shape
    for y in range(weight.shape[0]):
        for x in range(weight.shape[1]):
            w = float(weight[y, x])
            if w > 0.0:
                at_y, at_x = _moved(y, x, moved, pitch)
                i, u = _before(at_y, cell_px, rows)
                j, v = _before(at_x, cell_px, columns)
                out[i, j] += w * (1.0 - u) * (1.0 - v)
                out[i, j + 1] += w * (1.0 - u) * v
                out[i + 1, j] += w * u * (1.0 - v)
                out[i + 1, j + 1] += w * u * v


@kernel(error_model="numpy")
def between(grid, weight, ys, xs, cell_px, moved, pitch, out):  # type: ignore[no-untyped-def]
    """Dyes at pixels of rows `ys` and columns `xs`, times their weight (uint16).

    moved, pitch : as in `gathered`
    out : shape (pixels, films, dyes), written
    """
    rows, columns, films, dyes = grid.shape
    for p in range(weight.size):
        w = float(weight[p])
        at_y, at_x = _moved(ys[p], xs[p], moved, pitch)
        i, u = _before(at_y, cell_px, rows)
        j, v = _before(at_x, cell_px, columns)
        a, b = w * (1.0 - u) * (1.0 - v), w * (1.0 - u) * v
        c, d = w * u * (1.0 - v), w * u * v
        for n in range(films):
            for k in range(dyes):
                above = a * grid[i, j, n, k] + b * grid[i, j + 1, n, k]
                out[p, n, k] = above + c * grid[i + 1, j, n, k] + d * grid[i + 1, j + 1, n, k]


@kernel(error_model="numpy")
def lay_dyes(dye, columns, coats_per_g, overlap, load, optical, coats):  # type: ignore[no-untyped-def]
    """Films of given dyes on a sheet, the lowest first.

    Parameters
    ----------
    dye : [g/m2], shape (pixels, films, dyes)
    columns : of the sheet, for each dye
    coats_per_g : neat coats that 1 g/m2 stands for [m2/g], shape (films, dyes)
    overlap : of each film, as in `LaidWash`, shape (films, 3, colourants)
    load, optical, coats : the sheet's arrays, shape (pixels, colourants) and (pixels,), updated
    """
    for p in range(dye.shape[0]):
        for n in range(dye.shape[1]):
            dQ = 0.0
            for k in range(columns.size):
                dQ += coats_per_g[n, k] * dye[p, n, k]
            if dQ <= 0.0:
                continue
            Q = float(coats[p])
            for third in range(3):
                below = 0.0
                for j in range(load.shape[1]):
                    below += overlap[n, third, j] * load[p, j]
                Q = min(Q, below)
            weight = _norm * np.log1p(_b * dQ / (1.0 + _b * Q)) / dQ
            for k in range(columns.size):
                load[p, columns[k]] += dye[p, n, k]
                optical[p, columns[k]] += dye[p, n, k] * weight
            coats[p] += dQ
