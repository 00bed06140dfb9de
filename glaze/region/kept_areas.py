"""Areas of a sketch kept in the user's cache folder, so that they are looked for once.

A sketch is painted over many times, and its areas are half of the work of a small picture. They are
kept by all that they come from: the walls, pixel by pixel, the dpi, the gaps, and the sources.
"""

from __future__ import annotations

import hashlib
import pickle
import zlib
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.region.areas import WALL, Areas, Drawn, areas_of
from glaze.region.leaks import Leaks
from glaze.sheet.cache_folder import keep, kept_bytes, kept_in
from glaze.sketch.line import Sketch

ROOMS = ("physics", "sheet", "sketch", "region")
"""Whose sources say what areas a sketch has."""
LEAST_PX = 1_000_000  # smaller sketches take no time
MOST_FILES = 40  # sketches with as many widths of gaps; about 0.2 MB each for A4


def areas_found(
    sketch: Sketch,
    gap_mm: float,
    open_at_mm: Sequence[tuple[float, float]] = (),
    drawn: Callable[[], Drawn] | None = None,
) -> Areas:
    """The areas of a sketch, looked for unless they are known from last time.

    gap_mm, open_at_mm : as for `glaze.region.areas.areas_of`, of shape (places, 2) [mm]
    drawn : gives what is drawn on it, if that is at hand
    """
    file = _file_of(sketch, gap_mm, open_at_mm)
    found = None if file is None else _read(file, sketch, gap_mm)
    if found is None:
        found = areas_of(sketch, gap_mm, open_at_mm, drawn() if drawn else None)
        if file is not None:
            _keep(file, found)
    return found


def _file_of(
    sketch: Sketch, gap_mm: float, open_at_mm: Sequence[tuple[float, float]]
) -> Path | None:
    """Where the areas of a sketch are kept; None for small ones or where nothing can be."""
    folder = kept_in("areas", ROOMS, np.__version__) if sketch.line.size >= LEAST_PX else None
    if folder is None:
        return None
    made_from = repr((sketch.shape, sketch.dpi, float(gap_mm), [tuple(at) for at in open_at_mm]))
    found = hashlib.sha256(made_from.encode())
    found.update(np.packbits(sketch.line < WALL).tobytes())
    return folder / f"{found.hexdigest()[:32]}.areas"


def _read(file: Path, sketch: Sketch, gap_mm: float) -> Areas | None:
    """Areas that are kept in a file, or None where they aren't there whole."""
    content = kept_bytes(file, asked=True)
    if content is None:
        return None
    try:
        number, listed, boxes, joins, gaps, pieces, *rest = pickle.loads(zlib.decompress(content))
        leaks = Leaks(gaps, _from_runs(*pieces), *rest)
        found = Areas(_from_runs(*number), joins, leaks, sketch, gap_mm)
    except Exception:  # whatever is wrong with a file that only saves time: look for them anew
        return None
    # as `cached_property` keeps them: numbers ask in each run
    found.__dict__.update(listed=listed, boxes=boxes)
    return found


def _keep(file: Path, areas: Areas) -> None:
    """Keep the areas of a sketch for next time."""
    leaks = areas.leaks
    found = _runs(areas.number), areas.listed, areas.boxes, areas.joins
    content = pickle.dumps((*found, leaks.gaps, _runs(leaks.pieces), leaks.beyond, leaks.per_mm))
    keep(file, zlib.compress(content, 1), MOST_FILES)


def _runs(number: NDArray[np.int32]) -> tuple[Any, ...]:
    """Numbers of shape (rows, columns) as their shape, values one after another, and how often."""
    flat = number.ravel()
    starts = np.concatenate([[0], np.flatnonzero(flat[1:] != flat[:-1]) + 1])
    return number.shape, flat[starts], np.diff(starts, append=flat.size).astype(np.int32)


def _from_runs(
    shape: tuple[int, int], value: NDArray[np.int32], times: NDArray[np.int32]
) -> NDArray[np.int32]:
    return np.repeat(value, times).reshape(shape)
