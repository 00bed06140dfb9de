"""The compiled per-pixel chain: masks -> load law -> path of the light -> linear sRGB.

The specification is plain numpy: `glaze.physics.absorption`, `glaze.sheet.wash.lay` and
`glaze.picture.light`. These kernels do the same, fused; `tests/sheet/test_compiled_wash.py`
holds them to it.

How it is fast: pixels are worked in blocks of `LANES`, and every loop over a block runs along
the pixels, so that LLVM turns it into vector code with no sums across lanes. A pixel's result
never depends on its neighbours in the block, so any rectangle of a sheet comes out bit for bit
as the whole does. The number of washes or colourants travels as the *length of a tuple*
(`counted`), which numba knows when it compiles. No kernel uses numba's own threads: tiles run
in a thread pool (`glaze.pipeline`).

Shapes: pixels are a flat axis; arrays are float32 unless said otherwise.
"""

from __future__ import annotations

import numpy as np

from glaze.physics.absorption import CROWDING
from glaze.sheet.kernel import kernel
from glaze.sheet.units import FILM_UNIT

LANES = 128
"""Pixels in a block: 128 float32 an array stay in the first-level cache (best of 64 to 256)."""

PADDED_COUNTS = (4, 6, 8, 10, 12, 16, 24, 32, 48, 64)
"""Kernels are compiled for these counts; shorter lists are filled up with washes of no strength."""

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
_least_base = np.float32(0.05)  # keeps 1 + A/k positive where fluorescence makes A negative


def padded_count(count: int) -> int:
    """The smallest compiled count that holds `count`; beyond the list, `count` itself."""
    return next((n for n in PADDED_COUNTS if n >= count), count)


def counted(count: int) -> tuple[int, ...]:
    """A tuple whose length tells a kernel, when it is compiled, how many washes there are."""
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


@kernel(fastmath=_FAST, error_model="numpy")
def _develop_block(  # type: ignore[no-untyped-def]
    w, path_per_k, beta, s, paper, bleached_gain, weights, k, counts, law, A, sums
):
    """Amounts w of a block, shape (count, LANES), to its linear sRGB `sums`, shape (3, LANES)."""
    for c in range(3):
        for t in range(LANES):
            sums[c, t] = _zero
    for band in range(paper.shape[0]):
        for t in range(LANES):
            A[t] = _one
        for i in range(len(counts)):
            path = path_per_k[i, band]
            for t in range(LANES):
                A[t] += path * w[i, t]
        Rp, gain = paper[band], bleached_gain[band]
        w0, w1, w2 = weights[band, 0], weights[band, 1], weights[band, 2]
        for t in range(LANES):
            x = max(A[t], _least_base)
            if len(law) == 1:
                G = _one / x
            elif len(law) == 2:
                G = _one / (x * np.sqrt(x))
            elif len(law) == 3:
                G = _one / (x * x)
            else:
                G = np.exp(-k * np.log(x))
            R = s[t] + (Rp + beta[t] * gain - s[t]) * G
            sums[0, t] += w0 * R
            sums[1, t] += w1 * R
            sums[2, t] += w2 * R


@kernel(fastmath=_FAST, error_model="numpy")
def develop(  # type: ignore[no-untyped-def]
    amount, path_per_k, bleached, surface, paper, bleached_gain, weights, k, counts, law, rgb
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
    k : path spread [-]; counts, law : see `counted` and `law_of`
    rgb : linear sRGB, shape (pixels, 3), written
    """
    n = len(counts)
    pixels = rgb.shape[0]
    w = np.zeros((n, LANES), np.float32)
    beta = np.zeros(LANES, np.float32)
    s = np.zeros(LANES, np.float32)
    A = np.zeros(LANES, np.float32)
    sums = np.zeros((3, LANES), np.float32)
    for start in range(0, pixels, LANES):
        used = min(LANES, pixels - start)
        for t in range(used):
            beta[t] = bleached[start + t]
            s[t] = surface[start + t]
            for i in range(n):
                w[i, t] = amount[start + t, i]
        _develop_block(
            w, path_per_k, beta, s, paper, bleached_gain, weights, k, counts, law, A, sums
        )
        for t in range(used):
            for c in range(3):
                rgb[start + t, c] = sums[c, t]


@kernel(fastmath=_FAST, error_model="numpy")
def glaze_washes(  # type: ignore[no-untyped-def]
    masks, strength, overlap, path_per_k, surface, paper, weights, k, counts, law, rgb
):
    """The whole chain for a sheet that only has washes on it; nothing is kept but the picture.

    Parameters
    ----------
    masks : film thickness in units of 1/FILM_UNIT, shape (count, pixels), uint16
    strength : of each wash per unit of its mask [neat coats], shape (count,)
    overlap : coats of wash i that one coat of wash k below it stands for, in each third of light
        Shape (3, count, count), [-]; see `glaze.physics.crowding`
    surface : surface reflectance [-]
    path_per_k, paper, weights, k, counts, law, rgb : as in `develop`
    """
    n = len(counts)
    pixels = rgb.shape[0]
    q = np.zeros((n, LANES), np.float32)
    w = np.zeros((n, LANES), np.float32)
    Q = np.zeros(LANES, np.float32)
    total = np.zeros(LANES, np.float32)
    beta = np.zeros(LANES, np.float32)
    s = np.full(LANES, surface, np.float32)
    A = np.zeros(LANES, np.float32)
    sums = np.zeros((3, LANES), np.float32)
    no_gain = np.zeros(paper.shape[0], np.float32)
    weak = _weak_limit / _unit
    for start in range(0, pixels, LANES):
        used = min(LANES, pixels - start)
        for i in range(n):
            for t in range(used):
                q[i, t] = strength[i] * np.float32(masks[i, start + t])
        for t in range(LANES):
            total[t] = _zero
        for i in range(n):
            # the running load: the least of the three thirds of light, at most all coats
            for t in range(LANES):
                Q[t] = total[t]
            for third in range(3):
                for t in range(LANES):
                    A[t] = _zero
                for below in range(i):
                    share = overlap[third, i, below]
                    for t in range(LANES):
                        A[t] += share * q[below, t]
                for t in range(LANES):
                    Q[t] = min(Q[t], A[t])
            for t in range(LANES):
                total[t] += q[i, t]
            if strength[i] <= weak:
                for t in range(LANES):
                    w[i, t] = _weak_step(Q[t], q[i, t])
            else:
                for t in range(LANES):
                    w[i, t] = _strong_step(Q[t], q[i, t])
        _develop_block(w, path_per_k, beta, s, paper, no_gain, weights, k, counts, law, A, sums)
        for t in range(used):
            for c in range(3):
                rgb[start + t, c] = sums[c, t]


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
