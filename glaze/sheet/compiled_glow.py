"""The compiled glow of fluorescent dyes, added to a picture after it is developed.

The specification is `glaze.physics.fluorescence.glow`; tests/test_neon.py holds this to it. Pixels
without a glowing dye are left alone, and nothing of this runs unless it is asked for.
"""

from __future__ import annotations

import numpy as np

from glaze.physics.fluorescence import HALF_LOAD_MOL_PER_M2, LEAST_PATH
from glaze.sheet.kernel import kernel

_half_load = HALF_LOAD_MOL_PER_M2
_least = LEAST_PATH


@kernel(error_model="numpy")
def add_glow(  # type: ignore[no-untyped-def]
    optical,
    load,
    mol_per_g,
    path,
    quantum_yield,
    bleached,
    paper,
    bleached_gain,
    surface,
    k,
    photon_weights,
    emission_weights,
    rgb,
):
    """Add the glow of every pixel to its linear sRGB, in place.

    Parameters
    ----------
    optical, load : as on the sheet [g/m2], shape (pixels, count)
    mol_per_g : of the glowing colourants, 0 for others, shape (count,)
    path : path of 1 g/m2 in each band, shape (count, bands)
    quantum_yield : shape (count,)
    bleached : shape (pixels,); paper, bleached_gain : shape (bands,)
    photon_weights : shape (bands,); emission_weights : linear sRGB of a photon of each colourant
        through each band, shape (count, bands, 3)
    rgb : linear sRGB, shape (pixels, 3), added to
    """
    count, bands = path.shape
    A, out = np.zeros(bands), np.zeros(bands)
    caught = np.zeros(bands)
    for p in range(rgb.shape[0]):
        mol = 0.0
        for j in range(count):
            mol += load[p, j] * mol_per_g[j]
        if mol <= 0.0:
            continue
        left = 1.0 / (1.0 + (mol / _half_load) ** 2)
        for b in range(bands):
            total = 0.0
            for j in range(count):
                total += optical[p, j] * path[j, b]
            total = max(total, 0.0)
            A[b] = total
            Rp = paper[b] + bleached[p] * bleached_gain[b]
            if k == 1.0:  # matte papers: no exponential needed
                out[b] = 0.5 * (1.0 + Rp) / (1.0 + 0.5 * total)
                part_stopped = total / (1.0 + total)
            else:
                out[b] = 0.5 * (1.0 + Rp) * np.exp(-k * np.log1p(total / (2.0 * k)))
                part_stopped = -np.expm1(-k * np.log1p(total / k))
            # what is stopped in a band for each unit of path, so that dyes share it by theirs
            share = part_stopped / total if total > _least else 0.0
            caught[b] = (1.0 - surface) * share * photon_weights[b]
        for j in range(count):
            if quantum_yield[j] <= 0.0 or load[p, j] <= 0.0:
                continue
            photons, r, g, blue = 0.0, 0.0, 0.0, 0.0
            for b in range(bands):
                photons += min(max(optical[p, j] * path[j, b], 0.0), A[b]) * caught[b]
                r += out[b] * emission_weights[j, b, 0]
                g += out[b] * emission_weights[j, b, 1]
                blue += out[b] * emission_weights[j, b, 2]
            sent = quantum_yield[j] * left * photons
            rgb[p, 0] += sent * r
            rgb[p, 1] += sent * g
            rgb[p, 2] += sent * blue
