"""Laying a scan or photo of the finished painting over its prediction.

Both are reduced to their edges: the drawn line and the borders of washes stand in both, whatever
the inks turned out like and whatever the light was. Turn and scale are searched coarsely with a
correlation by Fourier transform, then a homography is refined on finer and finer edges.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError, percent
from glaze.sketch.edges import Edged, border_px, resized, scaled_by, shrink
from glaze.sketch.plane import Plane
from glaze.sketch.refine import FEWEST_PIXELS, lucas_kanade
from glaze.sketch.search import like_itself_turned, likely_places

Array = NDArray[np.float64]
Grey = NDArray[np.float32]

FINER_PX = (96, 192, 384, 640)
"""Long sides at which the homography is refined."""

CLEARER = 1.5
"""Finer edges are taken to agree at most so many times as well as coarser ones, so that a place
that can't be good enough is given up. In 41 roughs they agreed at most 1.22 times as well."""

LIKE_ENOUGH = 0.45
"""Correlation of edges that a match has to reach. In the tests pictures of something else reach
0.22 and synthetic paintings, patchy and in other inks, 0.77 and more; no real painting has been
tried."""

SHADES_ALIKE = 0.4
"""Correlation of what is dark and light within `AROUND_PX` that a match found anywhere has to reach
as well (a rough, which is looked for in its place, may have no lines of its own): a sheet's own
edge on a table has an edge where a drawn frame has one, and no line. When tried blank sheets and
other drawings reached 0.36, synthetic paintings 0.67 and more; a drawing of nothing but a frame
also finds any rectangle that is drawn."""
SHADES_PX, AROUND_PX = 384, 12.0

IN_PLACE = 0.25
"""Correlation that does where the picture is looked for in its own frame only. In the tests
pictures of something else reach 0.18 there, a night scene in dark washes 0.34."""

SURELY, LIKE_ITSELF = 0.9, 0.5
"""Correlation of edges at the coarsest from which a start has found the sheet and no other is
refined, unless the drawing looks so much like itself turned that another may be the right one. In
the tests starts that lead elsewhere reach 0.72 where it doesn't, the sheet 0.93 and more."""

LEAST_SEEN = 0.75
"""Share of the sheet that has to be in the picture."""


@dataclass(frozen=True, eq=False)
class Alignment:
    """Where the sheet lies in the picture.

    plane : from pixels (x, y) of the prediction to pixels of the picture
    likeness : correlation of the edges, -1 to 1
    seen : share of the sheet that is in the picture
    """

    plane: Plane
    likeness: float
    seen: float


def register(predicted: Grey, picture: Grey, likely: Plane | None = None) -> Alignment:
    """Where the predicted sheet lies in a picture of the painted one.

    Parameters
    ----------
    predicted, picture : linear luminance, shape (rows, columns)
    likely : where it is looked for first, and everywhere only if it isn't there

    Raises
    ------
    InputError : when no place is like enough, or too little of the sheet is shown
    """
    if likely is not None and (near := register_near(predicted, picture, likely)) is not None:
        return near
    best: Alignment | None = None
    both = Edged(predicted), Edged(picture)
    turns_alike = like_itself_turned(predicted) > LIKE_ITSELF
    for start in likely_places(predicted, picture):
        if best is not None and best.likeness >= SURELY and not turns_alike:
            break
        found = _refined(*both, start, FINER_PX[:1])
        if best is None or found.likeness > best.likeness:
            best = found
    if best is None:
        (rows, columns), (high, wide) = predicted.shape, picture.shape
        raise InputError(
            f"The sheet has {columns} x {rows} px and the picture {wide} x {high}: too few to find "
            "one in the other by its lines. Give the scene a higher dpi, or a larger picture."
        )
    match = _refined(*both, best.plane, _finer(predicted, 1), LIKE_ENOUGH)
    agreed = likely is None and match.likeness >= LIKE_ENOUGH
    if agreed and _shades(predicted, picture, match.plane) < SHADES_ALIKE:
        raise InputError(
            "The picture can't be laid over the scene's sketch: what would agree of it is an edge "
            "where the sketch has a line, or a line where it has none, as with the edge of another "
            "sheet on a table. Is it the painting of this scene? Scan the whole sheet, or "
            "photograph it square-on so that it fills the picture."
        )
    if match.likeness < LIKE_ENOUGH:
        raise InputError(
            "The picture can't be laid over the scene's sketch: their lines and edges agree by "
            f"{max(match.likeness, 0):.2f}, and {LIKE_ENOUGH:g} is needed. Is it the painting of "
            "this scene? Scan the whole sheet, or photograph it square-on so that it fills the "
            "picture."
        )
    if match.seen < LEAST_SEEN:
        raise InputError(
            f"Only {percent(match.seen)} of the sheet is in the picture; at least "
            f"{percent(LEAST_SEEN)} is needed to compare it."
        )
    return match


def register_near(predicted: Grey, picture: Grey, likely: Plane) -> Alignment | None:
    """Where the predicted sheet lies in a picture near a likely place; None if it isn't there.

    The nearest is looked at first: coarse edges of a picture with strong tones of its own may pull
    a sheet away that lay right.

    Parameters
    ----------
    predicted, picture : linear luminance, shape (rows, columns)
    """
    best: Alignment | None = None
    both = Edged(predicted), Edged(picture)
    for first in reversed(range(len(FINER_PX) - 1)):
        found = _refined(*both, likely, _finer(predicted, first), IN_PLACE)
        if best is None or found.likeness > best.likeness:
            best = found
        if best.likeness >= LIKE_ENOUGH and best.seen >= LEAST_SEEN:
            break
    assert best is not None
    return best if best.likeness >= IN_PLACE and best.seen >= LEAST_SEEN else None


def _finer(predicted: Grey, first: int) -> tuple[int, ...]:
    """Long sides from the `first` on up to the prediction's own."""
    sides, own = FINER_PX[first:], max(predicted.shape)
    return sides[: 1 + sum(side < own for side in sides[:-1])]


def _shades(predicted: Grey, picture: Grey, plane: Plane) -> float:
    """Correlation of what is darker and lighter than what lies around it, -1 to 1."""
    from scipy import ndimage

    small, scale = resized(predicted, SHADES_PX)
    grid = Plane(plane.H @ np.linalg.inv(scaled_by(scale)))
    there = laid_over(np.repeat(picture[..., None], 3, axis=-1), grid, small.shape)[..., 0]
    rim = border_px(1.0)
    inside = np.isfinite(there)
    inside[:rim] = inside[-rim:] = inside[:, :rim] = inside[:, -rim:] = False
    both = []
    for shown in (small, np.where(np.isfinite(there), there, 0)):
        log = ndimage.gaussian_filter(np.log(np.maximum(shown, 0.0) + 0.03), 1.0)
        both.append((log - ndimage.gaussian_filter(log, AROUND_PX))[inside])
    if inside.sum() < FEWEST_PIXELS or min(float(part.std()) for part in both) == 0.0:
        return -1.0  # nothing to compare
    return float(np.corrcoef(*both)[0, 1])


def laid_over(
    picture: NDArray[np.float32], plane: Plane, shape: tuple[int, int]
) -> NDArray[np.float32]:
    """A picture on the sheet's grid; NaN where it doesn't reach.

    Linear sRGB [-], shape (rows, columns, 3).

    plane : from pixels of the sheet's grid to pixels of the picture
    """
    from scipy import ndimage

    middle = np.array([shape[1], shape[0]]) / 2.0
    fine = max(1, round(plane.scale_at(middle)))
    small = shrink(picture, fine)
    y, x = np.mgrid[0 : shape[0], 0 : shape[1]].astype(float)
    u, v = np.moveaxis(plane(np.stack([x, y], axis=-1)), -1, 0)
    u, v = (u + 0.5) / fine - 0.5, (v + 0.5) / fine - 0.5
    planes = [
        ndimage.map_coordinates(small[..., c], [v, u], order=1, mode="constant", cval=np.nan)
        for c in range(3)
    ]
    return np.asarray(np.stack(planes, axis=-1), dtype=np.float32)


def _refined(
    predicted: Edged, picture: Edged, start: Plane, sides: tuple[int, ...], wanted: float = 0.0
) -> Alignment:
    """The homography refined at one size after another, while it may still be like enough.

    wanted : correlation of edges that is asked of it in the end
    """
    H, likeness, seen = start.H, -1.0, 0.0
    for side in sides:
        from_scale = predicted.at(side)[1]
        # the picture at the same fineness as the prediction, as it lies now
        per = Plane(H).scale_at(np.array(predicted.whole.shape[::-1]) / 2)
        own = round(max(picture.whole.shape) * from_scale / max(per, 1e-3))
        to_scale = picture.at(own)[1]
        here = scaled_by(to_scale) @ H @ np.linalg.inv(scaled_by(from_scale))
        for sigma in (2.5, 1.2):
            template, scene = predicted.edges(side, sigma), picture.edges(own, sigma)
            here, likeness, seen = lucas_kanade(template, scene, here, border_px(sigma))
        H = np.linalg.inv(scaled_by(to_scale)) @ here @ scaled_by(from_scale)
        H = H / H[2, 2]
        if CLEARER * likeness < wanted:
            break
    return Alignment(Plane(H), likeness, seen)
