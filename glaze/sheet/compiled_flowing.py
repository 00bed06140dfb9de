"""The compiled step of a wet passage: film and dyes moved along lines, and traded with the paper.

Each step moves the film along the columns and along the rows, from the same start and for twice
the time, and takes the mean: conservative, positive for any step, and the same turned or mirrored.
Along a line both the film and the dye in it are solved implicitly (backward Euler), the film with
the coefficients of the start, the dye with the volumes that the film has just moved, from where
they come. `tests/published/test_wet_film.py` holds it to closed forms.

Shapes: fields (rows, columns), dyes (dyes, rows, columns), float64; film and dye are counted per
area of the cell, of which the share `part` is wetted.
"""

from __future__ import annotations

import numpy as np

from glaze.sheet.kernel import kernel

GONE_M = 2e-8
"""A film thinner than this counts as sunk in [m]: a five-thousandth of a wash."""

TINY = 1e-30

TAYLOR = 2.0 / 105.0
"""A film's surface runs ahead of its foot and draws a dye out along the flow, as if it diffused
with (2/105) v^2 h^2/D (Taylor, Proc. R. Soc. A 219 (1953) 186; a film: Aris 1956, remembered)."""
SHEAR = 0.2
"""Before that, with v^2 t/5: the variance of a parabolic profile is a fifth of its mean squared."""


@kernel(error_model="numpy")
def along(  # type: ignore[no-untyped-def]
    film, dyes, part, wet, ease, seconds, cell_m, K, drift, diffusion, since_s, film_out, dyes_out
):
    """Film and dyes after `seconds` of flow along axis 0; returns the fastest flow [m/s].

    Parameters
    ----------
    film, dyes : as they are [m3/m2, g/m2]
    part : share of each cell that can be wet [-]; wet : uint8, where water may stand or go
    ease : how much easier than over a smooth plate water runs there [-]
    K, drift : levelling, and drift along the axis, down it if above 0 [1/(m s)]
    since_s : for how long the film has been flowing [s]
    film_out, dyes_out : written
    """
    rows, columns = film.shape
    step = seconds / cell_m
    level, pull = np.zeros((rows, columns)), np.zeros((rows, columns))
    back, carry = np.zeros((rows, columns)), np.zeros((rows, columns))
    # what crosses the face to the next row: level (h - next) + pull h - back next
    for i in range(rows - 1):
        for j in range(columns):
            if wet[i, j] and wet[i + 1, j]:
                open_part = min(part[i, j], part[i + 1, j])
                ways = 0.5 * open_part * (ease[i, j] + ease[i + 1, j])
                a, b = film[i, j] / part[i, j], film[i + 1, j] / part[i + 1, j]
                mean_cube = 0.25 * (a * a * a + a * a * b + a * b * b + b * b * b)
                level[i, j] = ways * step / cell_m * K * mean_cube
                if drift > 0.0:
                    pull[i, j] = ways * step * drift * a * a
                elif drift < 0.0:
                    back[i, j] = -ways * step * drift * b * b
    # film: three-diagonal elimination down all columns at once
    h = film_out
    for i in range(rows):
        for j in range(columns):
            here = part[i, j] if wet[i, j] else 1.0
            diagonal = here + level[i, j] + pull[i, j]
            right = film[i, j]
            if i > 0:
                from_above = level[i - 1, j] + pull[i - 1, j]
                diagonal += level[i - 1, j] + back[i - 1, j] - from_above * carry[i - 1, j]
                right += from_above * h[i - 1, j]
            carry[i, j] = (level[i, j] + back[i, j]) / diagonal
            h[i, j] = right / diagonal
    for i in range(rows - 2, -1, -1):
        for j in range(columns):
            h[i, j] += carry[i, j] * h[i + 1, j]
    # volumes through the faces, in place of `pull`; mixing by diffusion, in place of `back`
    fastest = 0.0
    for i in range(rows - 1):
        for j in range(columns):
            if wet[i, j] and wet[i + 1, j]:
                a, b = h[i, j], h[i + 1, j]
                moved = level[i, j] * (a - b) + pull[i, j] * a - back[i, j] * b
                pull[i, j] = moved
                deep = max(a, b, 1e-12)
                speed = abs(moved) / (step * deep)
                fastest = max(fastest, speed)
                sheared = speed * speed * min(TAYLOR * deep * deep / diffusion, SHEAR * since_s)
                thin = min(part[i, j], part[i + 1, j]) * min(a, b)
                back[i, j] = step / cell_m * (diffusion + sheared) * thin
            else:
                pull[i, j] = back[i, j] = 0.0
    for i in range(rows):
        for j in range(columns):
            h[i, j] *= part[i, j] if wet[i, j] else 1.0
    # dyes: the same matrix for all, eliminated once
    inverse = np.empty((rows, columns))
    for i in range(rows):
        for j in range(columns):
            diagonal = h[i, j] + max(pull[i, j], 0.0) + back[i, j]
            if i > 0:
                above = max(pull[i - 1, j], 0.0) + back[i - 1, j]
                diagonal += max(-pull[i - 1, j], 0.0) + back[i - 1, j]
                diagonal -= above * carry[i - 1, j]
            inverse[i, j] = 1.0 / diagonal if diagonal > 1e-30 else 0.0
            carry[i, j] = (max(-pull[i, j], 0.0) + back[i, j]) * inverse[i, j]
    for d in range(dyes.shape[0]):
        c = dyes_out[d]
        for j in range(columns):
            c[0, j] = dyes[d, 0, j] * inverse[0, j]
        for i in range(1, rows):
            for j in range(columns):
                above = max(pull[i - 1, j], 0.0) + back[i - 1, j]
                c[i, j] = (dyes[d, i, j] + above * c[i - 1, j]) * inverse[i, j]
        for i in range(rows - 2, -1, -1):
            for j in range(columns):
                c[i, j] += carry[i, j] * c[i + 1, j]
        for i in range(rows):
            for j in range(columns):
                c[i, j] *= h[i, j]
    return fastest


@kernel()
def mean_with_turned(straight, turned, out):  # type: ignore[no-untyped-def]
    """Mean of fields and of others whose rows stand for columns; block by block for the cache.

    straight, out : shape (fields, rows, columns); turned : (fields, columns, rows)
    """
    fields, rows, columns = straight.shape
    for d in range(fields):
        for top in range(0, rows, 32):
            for left in range(0, columns, 32):
                for i in range(top, min(top + 32, rows)):
                    for j in range(left, min(left + 32, columns)):
                        out[d, i, j] = 0.5 * (straight[d, i, j] + turned[d, j, i])


@kernel(error_model="numpy")
def trade(  # type: ignore[no-untyped-def]
    film,
    taken,
    peak,
    dyes,
    settled,
    part,
    retardation,
    evaporation,
    sorptivity,
    room_m,
    bead_m,
    seconds,
    diffusion,
    mopped,
):
    """Drying, uptake, and dyes between film and fibres for `seconds`; all in place.

    Parameters
    ----------
    taken, peak : water in the paper, and the most that was [m3/m2 of cell]
    settled : dyes in the paper that can still come off [g/m2]
    evaporation : [m/s], shape (rows, columns); sorptivity : [m/s^1/2]
    room_m : water that the pores hold at most [m]
    bead_m : a film that stands higher is taken up with a thirsty brush, down to this [m]
    mopped : what it took, summed over the cells: water [m3/m2], then each dye [g/m2]; updated

    Returns
    -------
    dried : water that went into the air [m3/m2, summed over the cells]
    """
    dried = 0.0
    count, columns = dyes.shape[0], film.shape[1]
    # of each column of a row: what sinks in with the film, what film and fibres trade
    sunk, h_after, w_after = np.empty(columns), np.empty(columns), np.empty(columns)
    across = np.empty(columns)
    for i in range(film.shape[0]):
        for j in range(columns):
            share = part[i, j]
            h, w = (film[i, j] / share, taken[i, j] / share) if share > 0.0 else (0.0, 0.0)
            if h > bead_m:
                over = 1.0 - bead_m / h
                mopped[0] += (h - bead_m) * share
                for d in range(count):
                    mopped[1 + d] += over * dyes[d, i, j]
                    dyes[d, i, j] -= over * dyes[d, i, j]
                h = bead_m
            wet = h > 0.0
            # the air takes from the film first
            lost = evaporation[i, j] * seconds
            from_film = min(lost, h)
            from_paper = min(lost - from_film, w)
            dried += (from_film + from_paper) * share
            h, w = h - from_film, w - from_paper
            # the paper drinks, and what swims in it comes along
            drunk = min(np.sqrt(w * w + sorptivity * sorptivity * seconds) - w, room_m - w)
            drunk = min(max(drunk, 0.0), h)
            gone = h - drunk < GONE_M
            sunk[j] = (1.0 if gone else drunk / h) if wet else 0.0
            if wet:
                h, w = (0.0, w + h) if gone else (h - drunk, w + drunk)
            h_after[j], w_after[j] = h, w
            across[j] = diffusion / (0.5 * (h + w)) * seconds if h > 0.0 and w > 0.0 else 0.0
            film[i, j], taken[i, j] = h * share, w * share
            peak[i, j] = max(peak[i, j], w * share)
        for d in range(count):
            Rf = retardation[d]
            for j in range(columns):
                h, w, c = h_after[j], w_after[j], across[j]
                m, s = dyes[d, i, j], settled[d, i, j]
                down = sunk[j] * m
                m, s = m - down, s + down
                # film and fibres come to terms by diffusion across both: a rate c (1/h + Rf/w)
                # towards h/(h + w/Rf) of all
                come = c * ((m + s) * h * Rf - m * (h * Rf + w)) / (h * w + c * (h * Rf + w) + TINY)
                dyes[d, i, j], settled[d, i, j] = m + come, s - come
    return dried
