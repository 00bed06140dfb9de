"""The map of a sheet: where to lift, where to reserve, and what can't be had.

A lift that fails can't be taken back, while a reserve always holds: so "lift" is said only where
the low end of the lift's band is light enough.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from glaze.painting.settle import Painting
from glaze.planning.lift.reach_plans import Image, LiftPlan, Reached, bands_of_plans

SEED = 3
BAND_SAMPLES = 150
"""Places of the sheet whose bands are worked out; the other places take the band of the one whose
load is most like theirs."""
TOLERANCE = 0.25
"""A value this near to the wanted one counts as reached: half of half a step."""

NO_WISH, KEEP, LIFT, RESERVE, CANT = range(5)
VERDICTS = ("", "as it is", "lift", "reserve", "can't")


def verdicts(want: Image, now: Image, sure: Image, paper: float) -> NDArray[np.uint8]:
    """What to do at every place for its wanted value: one of VERDICTS by number.

    sure : value that a lift reaches even at the low end of its band

    Values [value steps], shape (rows, columns); numbers of the same shape.
    """
    found = np.full(want.shape, CANT, np.uint8)
    found[want <= paper + TOLERANCE] = RESERVE
    found[want <= sure + TOLERANCE] = LIFT
    found[want <= now + TOLERANCE] = KEEP
    found[~(want > 0)] = NO_WISH
    return found


def want_map(
    shape: tuple[int, ...],
    wanted: Mapping[str, float],
    covers: Mapping[str, NDArray[np.bool_]],
    picture: Image | None,
) -> Image:
    """Wanted value at every pixel, NaN for none; later regions count over earlier ones.

    Values [value steps] of `shape`; covers are True inside, of the same shape.
    """
    want = np.full(shape, np.nan, np.float32)
    if picture is not None:
        rows = (np.arange(shape[0]) + 0.5) * picture.shape[0] / shape[0]
        columns = (np.arange(shape[1]) + 0.5) * picture.shape[1] / shape[1]
        want[:] = picture[rows.astype(int)[:, None], columns.astype(int)[None, :]]
    for name, value in wanted.items():
        want[covers[name]] = value
    return want


def sure_map(painting: Painting, lifted: Reached, plans: Sequence[LiftPlan], step: int) -> Image:
    """Value that the best plan reaches in 19 cases of 20, at every pixel.

    The band is worked out for some pixels; the others take that of the one nearest in what lies
    there, each colourant weighed by how much light it stops. `step`: every so many pixels of the
    sheet are in `lifted`.

    [value steps], shape (rows, columns).
    """
    from scipy.spatial import cKDTree

    if not painting.table.dyes:
        return lifted.best
    m = np.array([dye.mean_absorptivity_l_per_g_cm for dye in painting.table.dyes])
    state = np.sqrt(lifted.sheet.optical_g_per_m2.reshape(lifted.now.size, m.size) * m)
    some = np.random.default_rng(SEED).choice(
        len(state), min(BAND_SAMPLES, len(state)), replace=False
    )
    rows, columns = (at * step + step // 2 for at in np.unravel_index(some, lifted.now.shape))
    places = list(zip(rows.tolist(), columns.tolist(), strict=True))
    low = bands_of_plans(painting, places, plans)[0].max(axis=0)
    best = lifted.best.ravel()
    gap = np.maximum(best[some] - low, 0.0)
    _, nearest = cKDTree(state[some]).query(state)
    return np.asarray((best - gap[nearest]).reshape(lifted.now.shape), np.float32)
