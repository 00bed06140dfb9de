"""The compiled per-pixel chain: masks -> load law -> path of the light -> linear sRGB.

The specification is plain numpy: `glaze.physics.absorption`, `glaze.sheet.wash.lay` and
`glaze.picture.light`. These kernels do the same, fused; `tests/sheet/test_compiled_wash.py`
holds them to it.

How it is fast: pixels are worked in blocks of `LANES`, and every loop over a block runs along
the pixels, so that LLVM turns it into vector code with no sums across lanes. A pixel's result
never depends on its neighbours in the block, so any rectangle of a sheet comes out bit for bit
as the whole does. Within it, four bands and two colourants go together, so that most figures
stay in registers. The form of the law travels as the *length of a tuple* (`law_of`), which numba
knows when it compiles, and so does the number of colourants of `lay` (`counted`), which works
pixel by pixel. No kernel uses numba's own threads: tiles run in a thread pool
(`glaze.pipeline`).

Shapes: pixels are a flat axis; arrays are float32 unless said otherwise.
"""

from __future__ import annotations

import numpy as np

from glaze.physics.absorption import CROWDING
from glaze.sheet.kernel import inner, kernel
from glaze.sheet.units import FILM_UNIT

LANES = 128
"""Pixels in a block: 128 float32 an array stay in the first-level cache (best of 64 to 256)."""

_FAST = {"contract", "nsz"}  # no reassociation: the order of sums stays as written
_b = np.float32(CROWDING)
_norm = np.float32(1.0 / np.log1p(CROWDING))
_two_norm = np.float32(2.0 / np.log1p(CROWDING))
_third, _fifth, _seventh = np.float32(1 / 3), np.float32(1 / 5), np.float32(1 / 7)
_ninth, _eleventh = np.float32(1 / 9), np.float32(1 / 11)
_zero, _one, _two = np.float32(0), np.float32(1), np.float32(2)
_weak_limit = np.float32(3)
_tiny = np.float32(1e-12)
_unit = np.float32(FILM_UNIT)
_black = np.float32(1e9)  # four of it can be multiplied in float32
_least_base = np.float32(0.05)  # keeps 1 + A/k positive where fluorescence makes A negative


def counted(count: int) -> tuple[int, ...]:
    """A tuple whose length tells `lay`, when it is compiled, how many colourants there are."""
    return (0,) * count


def law_of(path_spread: float) -> tuple[int, ...]:
    """A tuple whose length tells the kernels which form of (1 + A/k)^-k to compile."""
    return (0,) * {1.0: 1, 1.5: 2, 2.0: 3}.get(float(path_spread), 4)


@kernel(fastmath=_FAST, error_model="numpy", inline="always")
def _weak_step(Q, dQ):  # type: ignore[no-untyped-def]
    """(E(Q + dQ) - E(Q))/E(1) for dQ <= 3 neat coats.

    ln((1 + b(Q + dQ))/(1 + bQ)) = 2 artanh z, z = b dQ/(2 + 2bQ + b dQ); the series to z^11 is
    good to 2e-6 of the step at dQ = 3 on bare paper, and far better below.
    """
    bd = _b * dQ
    z = bd / (_two + _two * _b * Q + bd)
    zz = z * z
    series = _third + zz * (_fifth + zz * (_seventh + zz * (_ninth + zz * _eleventh)))
    return _two_norm * z * (_one + zz * series)


@kernel(fastmath=_FAST, error_model="numpy", inline="always")
def _strong_step(Q, dQ):  # type: ignore[no-untyped-def]
    """(E(Q + dQ) - E(Q))/E(1) for any dQ; the logarithm costs four times the series."""
    return _norm * np.log(_one + _b * dQ / (_one + _b * Q))


@kernel(inline="always")
def _four(rows, i, first):  # type: ignore[no-untyped-def]
    """Four neighbours of a row: named, they stay in registers while a loop runs."""
    return rows[i, first], rows[i, first + 1], rows[i, first + 2], rows[i, first + 3]


@kernel(fastmath=_FAST, error_model="numpy", inline="always")
def _darkened(base, k, law):  # type: ignore[no-untyped-def]
    """base^k, by a root or a product where one serves; four of them can be multiplied."""
    x = max(base, _least_base)
    if len(law) == 1:
        power = x
    elif len(law) == 2:
        power = x * np.sqrt(x)
    elif len(law) == 3:
        power = x * x
    else:
        power = np.exp(k * np.log(x))
    return min(power, _black)


@inner(fastmath=_FAST, error_model="numpy", inline="always")
def _sum_products(amounts, factors, count, first, base, sums):  # type: ignore[no-untyped-def]
    """A base and the first amounts times four factors each, into `sums`, shape (4, LANES).

    Two amounts at a time: each is read once for four sums, and each sum once for two.

    amounts : shape (at least count, rounded up to even; LANES)
    factors : of each amount, shape (as many, columns), four of them from column `first` on
    """
    if count == 0:
        for j in range(4):
            for t in range(LANES):
                sums[j, t] = base
    for i in range(0, count, 2):
        a0, a1, a2, a3 = _four(factors, i, first)
        b0, b1, b2, b3 = _four(factors, i + 1, first)
        for t in range(LANES):
            a, b = amounts[i, t], amounts[i + 1, t]
            sums[0, t] = (sums[0, t] if i else base) + a0 * a + b0 * b
            sums[1, t] = (sums[1, t] if i else base) + a1 * a + b1 * b
            sums[2, t] = (sums[2, t] if i else base) + a2 * a + b2 * b
            sums[3, t] = (sums[3, t] if i else base) + a3 * a + b3 * b


@inner(fastmath=_FAST, error_model="numpy")
def _develop_block(  # type: ignore[no-untyped-def]
    amounts, path_per_k, beta, s, paper, gain, weights, k, law, x, rgb
):
    """Amounts of a block, shape (even, LANES), to its linear sRGB, shape (3, LANES).

    Four bands at a time (there are 40), as one division serves them all: 1/a = bcd/(abcd).

    x : room for 1 + A/k of four bands, shape (4, LANES)
    """
    for c in range(3):
        for t in range(LANES):
            rgb[c, t] = _zero
    for b in range(0, paper.shape[0], 4):
        _sum_products(amounts, path_per_k, amounts.shape[0], b, _one, x)
        p0, p1, p2, p3 = paper[b], paper[b + 1], paper[b + 2], paper[b + 3]
        g0, g1, g2, g3 = gain[b], gain[b + 1], gain[b + 2], gain[b + 3]
        red0, green0, blue0 = weights[b, 0], weights[b, 1], weights[b, 2]
        red1, green1, blue1 = weights[b + 1, 0], weights[b + 1, 1], weights[b + 1, 2]
        red2, green2, blue2 = weights[b + 2, 0], weights[b + 2, 1], weights[b + 2, 2]
        red3, green3, blue3 = weights[b + 3, 0], weights[b + 3, 1], weights[b + 3, 2]
        for t in range(LANES):
            x0 = _darkened(x[0, t], k, law)
            x1 = _darkened(x[1, t], k, law)
            x2 = _darkened(x[2, t], k, law)
            x3 = _darkened(x[3, t], k, law)
            x01, x23 = x0 * x1, x2 * x3
            all_four = _one / (x01 * x23)
            G01, G23 = all_four * x23, all_four * x01
            R0 = s[t] + (p0 + beta[t] * g0 - s[t]) * (G01 * x1)
            R1 = s[t] + (p1 + beta[t] * g1 - s[t]) * (G01 * x0)
            R2 = s[t] + (p2 + beta[t] * g2 - s[t]) * (G23 * x3)
            R3 = s[t] + (p3 + beta[t] * g3 - s[t]) * (G23 * x2)
            rgb[0, t] += red0 * R0 + red1 * R1 + red2 * R2 + red3 * R3
            rgb[1, t] += green0 * R0 + green1 * R1 + green2 * R2 + green3 * R3
            rgb[2, t] += blue0 * R0 + blue1 * R1 + blue2 * R2 + blue3 * R3


@kernel(inline="always")
def _evenly(rows):  # type: ignore[no-untyped-def]
    """A copy with an even number of rows."""
    even = np.zeros((rows.shape[0] + rows.shape[0] % 2, rows.shape[1]), np.float32)
    for i in range(rows.shape[0]):
        for j in range(rows.shape[1]):
            even[i, j] = rows[i, j]
    return even


@kernel(fastmath=_FAST, error_model="numpy")
def develop(  # type: ignore[no-untyped-def]
    amount, path_per_k, bleached, surface, paper, bleached_gain, weights, k, law, rgb
):
    """What lies on the sheet to linear sRGB, not yet mapped into the gamut.

    Parameters
    ----------
    amount : optical load of each colourant [g/m2], shape (pixels, count)
    path_per_k : path of one unit of each, divided by k, shape (count, bands)
    bleached : how far the paper is bleached [-], shape (pixels,)
    surface : surface reflectance [-], shape (pixels,)
    paper, bleached_gain : reflectance of the paper, and what full bleaching adds, shape (bands,)
    weights : linear sRGB of a unit of reflectance in each band, shape (bands, 3)
    k : path spread [-]; law : see `law_of`
    rgb : linear sRGB, shape (pixels, 3), written
    """
    pixels = rgb.shape[0]
    paths = _evenly(path_per_k)
    w = np.zeros((paths.shape[0], LANES), np.float32)
    beta = np.zeros(LANES, np.float32)
    s = np.zeros(LANES, np.float32)
    x = np.zeros((4, LANES), np.float32)
    block = np.zeros((3, LANES), np.float32)
    for start in range(0, pixels, LANES):
        used = min(LANES, pixels - start)
        for t in range(used):
            beta[t] = bleached[start + t]
            s[t] = surface[start + t]
            for i in range(amount.shape[1]):
                w[i, t] = amount[start + t, i]
        _develop_block(w, paths, beta, s, paper, bleached_gain, weights, k, law, x, block)
        for t in range(used):
            for c in range(3):
                rgb[start + t, c] = block[c, t]


@kernel(fastmath=_FAST, error_model="numpy")
def glaze_washes(  # type: ignore[no-untyped-def]
    masks, strength, overlap, path_per_k, surface, paper, weights, k, law, rgb
):
    """The whole chain for a sheet that only has washes on it; nothing is kept but the picture.

    Parameters
    ----------
    masks : film thickness in units of 1/FILM_UNIT, shape (count, pixels), uint16
    strength : of each wash per unit of its mask [neat coats], shape (count,)
    overlap : coats of wash i that one coat of wash k below it stands for, in each third of light
        Shape (3, count, count), [-]; see `glaze.physics.crowding`
    surface : surface reflectance [-]
    path_per_k, paper, weights, k, law, rgb : as in `develop`
    """
    n = masks.shape[0]
    pixels = rgb.shape[0]
    paths = _evenly(path_per_k)
    q = np.zeros((paths.shape[0], LANES), np.float32)
    w = np.zeros((paths.shape[0], LANES), np.float32)
    below = _of_those_below(overlap, paths.shape[0])
    total = np.zeros(LANES, np.float32)
    none = np.zeros(LANES, np.float32)
    s = np.full(LANES, surface, np.float32)
    x = np.zeros((4, LANES), np.float32)
    block = np.zeros((3, LANES), np.float32)
    no_gain = np.zeros(paper.shape[0], np.float32)
    weak = _weak_limit / _unit
    for start in range(0, pixels, LANES):
        used = min(LANES, pixels - start)
        for i in range(n):
            coats = strength[i]
            for t in range(used):
                q[i, t] = coats * np.float32(masks[i, start + t])
        for t in range(LANES):
            total[t] = _zero
        for i in range(n):
            # the running load: the least of the three thirds of light, at most all coats; written
            # out twice, as LLVM makes no vector code of it as a function of its own
            _sum_products(q, below[i], i, 0, _zero, x)
            if strength[i] <= weak:
                for t in range(LANES):
                    Q = min(min(total[t], x[0, t]), min(x[1, t], x[2, t]))
                    w[i, t] = _weak_step(Q, q[i, t])
                    total[t] += q[i, t]
            else:
                for t in range(LANES):
                    Q = min(min(total[t], x[0, t]), min(x[1, t], x[2, t]))
                    w[i, t] = _strong_step(Q, q[i, t])
                    total[t] += q[i, t]
        _develop_block(w, paths, none, s, paper, no_gain, weights, k, law, x, block)
        for t in range(used):
            for c in range(3):
                rgb[start + t, c] = block[c, t]


@kernel(inline="always")
def _of_those_below(overlap, even):  # type: ignore[no-untyped-def]
    """Of each wash, the overlap of those under it, the rest 0, shape (count, even, 4)."""
    below = np.zeros((overlap.shape[1], even, 4), np.float32)
    for third in range(3):
        for i in range(overlap.shape[1]):
            for j in range(i):
                below[i, j, third] = overlap[third, i, j]
    return below


@kernel(fastmath=_FAST, error_model="numpy", inline="always")
def _dot(a, b, n):  # type: ignore[no-untyped-def]
    """Sum of products in four strands, so that one addition needn't wait for the last."""
    s0 = s1 = s2 = s3 = _zero
    whole = n - n % 4
    for j in range(0, whole, 4):
        s0 += a[j] * b[j]
        s1 += a[j + 1] * b[j + 1]
        s2 += a[j + 2] * b[j + 2]
        s3 += a[j + 3] * b[j + 3]
    for j in range(whole, n):
        s0 += a[j] * b[j]
    return (s0 + s1) + (s2 + s3)


@kernel(fastmath=_FAST, error_model="numpy")
def lay(  # type: ignore[no-untyped-def]
    thickness,
    rim,
    strength,
    full_load,
    overlap,
    extra_mobility,
    load,
    optical,
    coats,
    counts,
):
    """One wash on a sheet: the compiled form of `glaze.sheet.wash.lay`.

    Parameters
    ----------
    thickness : film thickness in units of 1/FILM_UNIT, shape (pixels,), uint16
    rim : what the drying line moves, as thickness [-], shape (pixels,), or (0,) where the dyes
        stay together; the wash's mean gain is in the thickness already
    strength : of the wash at full thickness [neat coats]
    full_load : dye at full thickness [g/m2], shape (count,)
    overlap : coats of this wash in 1 g/m2 of what lies below [m2/g], shape (3, count)
    extra_mobility : of each colourant beyond the wash's mean [-], shape (count,)
    load, optical, coats : the sheet's arrays, shape (pixels, count) and (pixels,), updated
    """
    n = len(counts)
    rimmed = rim.shape[0] > 0
    to_share = _one / _unit
    for p in range(load.shape[0]):
        m = np.float32(thickness[p]) * to_share
        r = rim[p] if rimmed else _zero
        if m == _zero:
            continue
        Q = coats[p]
        for third in range(3):
            Q = min(Q, _dot(overlap[third], load[p], n))
        dQ = strength * m
        step = _weak_step(Q, dQ) if dQ <= _weak_limit else _strong_step(Q, dQ)
        weight = step / max(dQ, _tiny)
        for j in range(n):
            dload = full_load[j] * max(m + extra_mobility[j] * r, _zero)
            load[p, j] += dload
            optical[p, j] += dload * weight
        coats[p] += dQ
