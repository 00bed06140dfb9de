"""A film as a hand leaves it, pixel by pixel: its edge moved, its thickness uneven, its sums kept.

What is smooth is known at nodes some tenths of a mm apart and read between them. Sums are whole
numbers, so that they are the same in any order; the laws are told in `glaze.step.by_hand`.
"""

from __future__ import annotations

import numpy as np

from glaze.sheet.compiled_cells import differs, extremes
from glaze.sheet.kernel import kernel

BLOCK = 16
"""Side of the blocks of pixels in which nothing is done where nothing happens."""


@kernel(inline="always")
def _read(nodes, first, v, u):  # type: ignore[no-untyped-def]
    """A field between its nodes, at row `v` and column `u` of the sheet's; `first` is its first."""
    j, i = np.int64(v), np.int64(u)
    fy, fx = np.float32(v - j), np.float32(u - i)
    j, i = j - first[0], i - first[1]
    upper = nodes[j, i] + (nodes[j, i + 1] - nodes[j, i]) * fx
    lower = nodes[j + 1, i] + (nodes[j + 1, i + 1] - nodes[j + 1, i]) * fx
    return upper + (lower - upper) * fy


@kernel(inline="always")
def _slope(cover, row, column):  # type: ignore[no-untyped-def]
    """1 on a soft edge, 0 beside it and at a hard one."""
    if cover[row, column] == 0 or cover[row, column] == 65535:
        return 0.0
    low, high = 1.0, 0.0
    for j in range(max(row - 2, 0), min(row + 3, cover.shape[0]), 2):
        for i in range(max(column - 2, 0), min(column + 3, cover.shape[1]), 2):
            low, high = min(low, cover[j, i] / 65535.0), max(high, cover[j, i] / 65535.0)
    return max(1.0 - 3.0 * (high - low), 0.0)


@kernel(inline="always")
def _lost_and_found(share, soft, found, odds):  # type: ignore[no-untyped-def]
    """A softened edge's share as a damp brush leaves it: shifted by `odds`, narrower where found.

    Full and nothing stay, and more stays more: no edge gets a second one beside it.
    """
    odds = 1.0 + soft * (odds - 1.0)
    share = share * odds / (share * odds + 1.0 - share)
    inner, outer = share**4, (1.0 - share) ** 4
    return share + soft * found * (inner / (inner + outer) - share)


@kernel()
def moved_edge(cover, out, corner, down, aside, found, odds, first, pitch, reach, softer):  # type: ignore[no-untyped-def]
    """A coverage read so many pixels `down` and `aside` of each place; into `out`, zeros before.

    On a slope up to `softer` times as far, and lost and found as a damp brush leaves it.

    found : how far a soft edge is drawn together [-]; odds : how it is shifted [-]; at the nodes
    corner : its first pixel on the sheet; first : the first node, pitch : pixels between nodes
    reach : farther than that [px] nothing is moved
    """
    rows, columns = cover.shape
    low, high = extremes(cover)
    for top in range(0, rows, BLOCK):
        for left in range(0, columns, BLOCK):
            bottom, right = min(top + BLOCK, rows), min(left + BLOCK, columns)
            upper, lower = top - reach, bottom + reach
            if not differs(low, high, upper, left - reach, lower, right + reach):
                if cover[top, left] != 0:
                    out[top:bottom, left:right] = cover[top, left]
                continue
            for row in range(top, bottom):
                v = (corner[0] + row + 0.5) / pitch
                for column in range(left, right):
                    u = (corner[1] + column + 0.5) / pitch
                    soft, share = _slope(cover, row, column), cover[row, column] / 65535.0
                    far = 1.0 + (softer - 1.0) * 4.0 * share * (1.0 - share) * soft
                    y = min(max(row + far * _read(down, first, v, u), 0.0), rows - 1.0)
                    x = min(max(column + far * _read(aside, first, v, u), 0.0), columns - 1.0)
                    j, i = min(int(y), rows - 2), min(int(x), columns - 2)
                    fy, fx = y - j, x - i
                    above = cover[j, i] + (float(cover[j, i + 1]) - cover[j, i]) * fx
                    below = cover[j + 1, i] + (float(cover[j + 1, i + 1]) - cover[j + 1, i]) * fx
                    value = above + (below - above) * fy
                    if soft > 0.0 and 0.0 < value < 65535.0:
                        here, shift = _read(found, first, v, u), _read(odds, first, v, u)
                        value = 65535.0 * _lost_and_found(value / 65535.0, soft, here, shift)
                    out[row, column] = np.uint16(value + 0.5)


@kernel()
def spread_unevenly(film, corner, lean, tooth, share, nodes, first, pitch, most):  # type: ignore[no-untyped-def]
    """Let a film lie unevenly, in place.

    film : uint16; tooth : int8 as `glaze.sheet.unevenness.tooth`
    lean : what 127 of the tooth is of a film, for each 1/64 of a film's thickness [-]
    share : a film as a share of 100 ml/m2 in the field's own unit
    nodes : factor at the nodes [-]
    """
    rows, columns = film.shape
    for row in range(rows):
        v = (corner[0] + row + 0.5) / pitch
        for column in range(columns):
            thick = film[row, column]
            if thick == 0:
                continue
            slow = _read(nodes, first, v, (corner[1] + column + 0.5) / pitch)
            deep = np.float32(tooth[row, column])
            value = thick * (slow + lean[min(np.int64(thick * share), lean.size - 1)] * deep)
            film[row, column] = np.uint16(min(max(value, np.float32(0)), most) + np.float32(0.5))


@kernel()
def between(nodes, corner, first, pitch, out, shape):  # type: ignore[no-untyped-def]
    """A field between its nodes, at `shape` pixels of `out`; beyond the nodes it stays."""
    last = first[0] + nodes.shape[0] - 1.001, first[1] + nodes.shape[1] - 1.001
    for row in range(shape[0]):
        v = min(max((corner[0] + row + 0.5) / pitch, float(first[0])), last[0])
        for column in range(shape[1]):
            u = min(max((corner[1] + column + 0.5) / pitch, float(first[1])), last[1])
            out[row, column] = _read(nodes, first, v, u)


@kernel()
def add_about(field, corner, side, sums):  # type: ignore[no-untyped-def]
    """Add up a field about nodes `side` pixels apart, each pixel shared by the four round it.

    sums : int64, shape (rows, columns) of nodes, the first before the first pixel
    """
    rows, columns = field.shape
    for row in range(rows):
        j, y = (corner[0] + row) // side - corner[0] // side, (corner[0] + row) % side
        start, i = 0, 0
        while start < columns:
            x = (corner[1] + start) % side
            end = min(start + side - x, columns)
            total = moment = np.int64(0)
            for column in range(start, end):
                value = np.int64(field[row, column])
                total += value
                moment += (x + column - start) * value
            near, far = side * total - moment, moment
            sums[j, i] += (side - y) * near
            sums[j, i + 1] += (side - y) * far
            sums[j + 1, i] += y * near
            sums[j + 1, i + 1] += y * far
            start, i = end, i + 1


@kernel()
def corrected(film, corner, factor, side, most):  # type: ignore[no-untyped-def]
    """A film times a factor that is known at nodes `side` pixels apart, in place."""
    first = corner[0] // side, corner[1] // side
    rows, columns = film.shape
    for row in range(rows):
        v = (corner[0] + row) / side
        for column in range(columns):
            if film[row, column] != 0:
                value = film[row, column] * _read(factor, first, v, (corner[1] + column) / side)
                film[row, column] = np.uint16(min(max(value, 0.0), most) + 0.5)
