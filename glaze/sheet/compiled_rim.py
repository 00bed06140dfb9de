"""The compiled drying line of a wash: `glaze.sheet.wash.drying_line`, square by square.

Bit for bit the plain version. Blocks that see no edge are left out: nothing flows there.
`tests/step/test_film.py` holds it to the plain one.
"""

from __future__ import annotations

import numpy as np

from glaze.sheet.compiled_blur import blur_box
from glaze.sheet.compiled_cells import differs, extremes
from glaze.sheet.compiled_hand import between
from glaze.sheet.kernel import inner, kernel
from glaze.sheet.units import FILM_UNIT, FULL
from glaze.sheet.widened import widened

BLOCK = 32
"""Side of the blocks that are worked out or left out [px]."""

_zero, _half, _two, _one = np.float32(0), np.float32(0.5), np.float32(2), np.float32(1)
_to_share, _to_film = np.float32(1 / FULL), np.float32(1 / FILM_UNIT)
_unit, _full, _least = np.float32(FILM_UNIT), np.float32(FULL), np.float32(-FILM_UNIT)


@kernel()
def dry(  # type: ignore[no-untyped-def]
    cover, film, line, under, flow, mobility, square, uneven, origin, thickness, rim
):
    """Add the drying line of a square to the sheet's thickness, and to `rim` where dyes part.

    Parameters
    ----------
    cover, film : coverage and film before it dries, uint16, of the square and all that it sees,
        shape (rows, columns); FULL = inside, FILM_UNIT = one film
    line : transmittance of what is drawn there [-], float32, same shape; (0, 0) for nothing
    under : how far from the wash's edge a line may be the one it ends under [px]
    flow : weights of the two blurs [-], float64, odd in number; their ratio; flux by depth and
        slope [px2]: `glaze.sheet.wash.RimFlow`
    mobility : of the wash as a whole [-], times FILM_UNIT
    square : top, left, bottom, right of the square within `cover`
    uneven : gain and share of the narrow rim at nodes [-], the first node, pixels between them, and
        the sheet's row and column of the first pixel; (0, 0) nodes for an even line
    origin : the sheet's row and column of the first pixel of `cover`
    thickness, rim : of the sheet, uint16 and int16, changed; rim (0, 0) where dyes stay together
    """
    if _alike(cover):
        return
    ends = np.empty(cover.shape, np.float32)
    for y in range(cover.shape[0]):
        for x in range(cover.shape[1]):
            ends[y, x] = np.float32(cover[y, x]) * _to_share
    if line.size:
        _leave_in_sight(ends, line, under)
    low, high = extremes(ends)
    top, left, bottom, right = square
    e = np.empty((BLOCK + 2, right - left + 2), np.float32)
    depth, close = np.empty_like(e), np.empty_like(e)
    wide, narrow, narrower, kappa = flow
    gains, shares, first, pitch, corner = uneven
    reach = wide.size // 2 + 1
    gain, share = np.empty_like(e), np.empty_like(e)
    for y in range(top, bottom, BLOCK):
        below = min(y + BLOCK, bottom)
        x = left
        while x < right:
            # blocks side by side that see an edge, in one go
            stop = x
            while stop < right:
                below_it, beyond = y + BLOCK + reach, stop + BLOCK + reach
                if not differs(low, high, y - reach, stop - reach, below_it, beyond):
                    break
                stop = min(stop + BLOCK, right)
            if stop == x:
                x += BLOCK
                continue
            box = max(y - 1, 0), max(x - 1, 0), below + 1, stop + 1
            box = box[0], box[1], min(box[2], ends.shape[0]), min(box[3], ends.shape[1])
            blur_box(ends, box, narrow, close)
            blur_box(ends, box, wide, e)
            for i in range(box[2] - box[0]):
                for j in range(box[3] - box[1]):
                    depth[i, j] = max(e[i, j] - _half, (close[i, j] - _half) / narrower)
            if gains.size:
                at = corner[0] + box[0], corner[1] + box[1]
                shape = box[2] - box[0], box[3] - box[1]
                between(gains, at, first, pitch, gain, shape)
                between(shares, at, first, pitch, share, shape)
            part, fields = (y, x, below, stop), (e, depth, close, gain, share)
            runs = kappa, narrower * narrower, gains.size > 0
            _flow(fields, film, box, part, runs, mobility, origin, thickness, rim)
            x = stop


@inner()
def _flow(  # type: ignore[no-untyped-def]
    fields, film, box, part, flow, mobility, origin, thickness, rim
):
    """Move dye between the pixels of a part; the fields are those of the box round it."""
    top, left, bottom, right = part
    rows, columns = box[2] - box[0], box[3] - box[1]
    for y in range(top, bottom):
        i = y - box[0]
        for x in range(left, right):
            j = x - box[1]
            here = film[y, x]
            if here == 0:
                continue
            moved = _zero
            if i + 1 < rows:
                moved -= _flux(fields, i, j, i + 1, j, here, film[y + 1, x], flow)
            if i > 0:
                moved += _flux(fields, i - 1, j, i, j, film[y - 1, x], here, flow)
            if j + 1 < columns:
                moved -= _flux(fields, i, j, i, j + 1, here, film[y, x + 1], flow)
            if j > 0:
                moved += _flux(fields, i, j - 1, i, j, film[y, x - 1], here, flow)
            rimmed = np.float32(here) + moved * mobility
            place = y + origin[0], x + origin[1]
            thickness[place] = np.uint16(min(max(np.rint(rimmed), _zero), _full))
            if rim.size:
                rim[place] = np.int16(min(max(np.rint(moved * _unit), _least), _unit - _one))


@kernel(inline="always")
def _flux(fields, i, j, k, m, near, far, flow):  # type: ignore[no-untyped-def]
    """What runs from one pixel to the next along an axis [films]."""
    e, depth, close, gain, share = fields
    kappa, narrower2, uneven = flow
    inside = max((depth[i, j] + depth[k, m]) / _two, _zero)
    film = np.float32(min(near, far)) * _to_film
    if not uneven:
        return kappa * inside * (e[i, j] - e[k, m]) * film
    broad = inside * (e[i, j] - e[k, m])
    within = max((close[i, j] + close[k, m]) / _two - _half, _zero) / narrower2
    fine = within * (close[i, j] - close[k, m])
    return (broad + share[i, j] * (fine - broad)) * (kappa * gain[i, j]) * film


@inner()
def _leave_in_sight(ends, line, reach):  # type: ignore[no-untyped-def]
    """Coverage less what lies under the drawn line that it ends under; lines within it stay."""
    near = widened(ends < _half, reach)
    for y in range(ends.shape[0]):
        for x in range(ends.shape[1]):
            if near[y, x]:
                ends[y, x] *= line[y, x]


@inner()
def _alike(cover):  # type: ignore[no-untyped-def]
    """Whether coverage is the same everywhere."""
    first = cover[0, 0]
    for y in range(cover.shape[0]):
        different = False
        for x in range(cover.shape[1]):
            different |= cover[y, x] != first
        if different:
            return False
    return True
