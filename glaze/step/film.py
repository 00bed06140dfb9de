"""Films and doses: what a wash or a touch brings to each pixel, as 16-bit fields.

Everything here looks sideways (drying lines, creep, a hand's wandering); it works square by square
or in the box of a region, and leaves out where nothing happens.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glaze.physics.flow import MM_PER_INCH, reach_px
from glaze.region.areas import UNDER_LINE_MM
from glaze.region.grade import Share
from glaze.sheet.compiled_blur import creep_fast
from glaze.sheet.compiled_rim import dry
from glaze.sheet.field import box_of, part_of, raise_to, zero_field
from glaze.sheet.kernel import seen
from glaze.sheet.rect import Rect, squares, whole
from glaze.sheet.units import DOSE_UNIT, FILM_UNIT, FULL, Mask
from glaze.sheet.wash import drying_reach_px, rim_flow
from glaze.step.by_hand import EVENLY, FINE_NODES_MM, Drying, Lay, reach_of_wander_px
from glaze.step.ground import Ground
from glaze.step.steadiness import Strokes

TILE = 256
"""Side of the squares in which fields are settled [px]; squares without an edge are skipped."""

RIM_GAIN = {"drying line": 0.45, "soft": 0.0, "none": 0.0}
"""Dye gained at a drying edge, as a share of the film. Guess: no measurement found."""


_NO_LINE, _NO_RIM = np.zeros((0, 0), np.float32), np.zeros((0, 0), np.int16)


def film_of(coverage: Mask, graded: Share | None) -> Mask:
    """Film thickness of a covered region, graded or flat, uint16, FILM_UNIT = 1.

    Parameters
    ----------
    coverage : shape (rows, columns), FULL = inside
    graded : film as a share of the full one [-], same shape; None for a flat wash
    """
    share = np.float32(FILM_UNIT / FULL)
    out: Mask = zero_field((coverage.shape[0], coverage.shape[1]))
    for square in squares(whole(out.shape), TILE):
        covered = coverage[square.slices]
        if covered.any():
            film = covered * share if graded is None else covered * share * graded[square.slices]
            out[square.slices] = np.rint(film)
    return out


@dataclass(frozen=True, eq=False)
class WetFilm:
    """A film before it dries, in a box that holds all of it.

    Attributes
    ----------
    cover : where it is wet, FULL = wholly, shape (rows, columns) of the box
    film : its thickness, FILM_UNIT = 1, same shape
    box : where that lies in the rectangle it was laid over
    drying : how its drying line varies; None if it doesn't
    """

    cover: Mask
    film: Mask
    box: Rect
    drying: Drying | None = None


def film_by_hand(
    strokes: Strokes | None,
    ground: Ground,
    cover: Mask,
    graded: Share | None,
    rect: Rect,
    box: Rect | None = None,
) -> WetFilm:
    """A film as a hand lays it over a region; its sum is the even film's.

    Parameters
    ----------
    cover : of a rectangle of the sheet, FULL = inside, shape (rows, columns)
    graded : film as a share of the full one [-], same shape; None for a flat wash
    box : holds all of the region within the rectangle, if that is known
    """
    box = box_of(cover) if box is None else box
    if not box.empty:
        # beside an even film a pixel that is dry
        far = 1 if strokes is None else reach_of_wander_px(ground.dpi)
        box = box.grown(far, cover.shape)
    inner, share = part_of(cover, box), None if graded is None else graded[box.slices]
    film = film_of(inner, share)
    if strokes is None or box.empty:
        return WetFilm(inner, film, box)
    lay = Lay(strokes, box.inside(Rect(-rect.top, -rect.left, 0, 0)), ground.dpi)
    bead, even = lay.bead(inner), lay.sums_of(film)
    if strokes.wanders:
        inner = lay.edge_moved(inner)
        film = film_of(inner, share)
    lay.uneven(film, even, bead, part_of(ground.tooth, lay.rect))
    return WetFilm(inner, film, box, lay.drying(bead))


def placed(part: Mask, box: Rect, shape: tuple[int, ...]) -> Mask:
    """A field of a shape (rows, columns) that is zero but for a box of it; uint16, of any unit."""
    field: Mask = zero_field((shape[0], shape[1]))
    if not box.empty:
        raise_to(field, part, box, box[:2])
    return field


def add_drying_line(
    film: Mask,
    wet: WetFilm,
    rim: NDArray[np.int16] | None,
    mobility: float,
    rim_mm: float,
    gain: float,
    dpi: float,
    line: NDArray[np.float32] | None = None,
) -> None:
    """Add a wash's drying line to its film, and to `rim` where its dyes part; in place.

    Where a wash ends under a drawn line, the line's own border is the edge at which it dries: the
    rim lies in sight, not hidden in the middle of the line with its pale strip as a glow beside it.

    Parameters
    ----------
    film : as it was laid, placed in its rectangle, shape (rows, columns)
    wet : the same in its box
    rim : FILM_UNIT = one film, the film's shape
    mobility : of all its dye, 1 for one that goes with the water [-]
    rim_mm : width of the line
    gain : dye gained at a straight hard edge, as a share of the film [-]
    line : transmittance of what is drawn there [-], same shape; None for nothing
    """
    reach, under = rim_reach_px(rim_mm, dpi), under_line_px(dpi)
    flow, drying = rim_flow(rim_mm, gain, dpi), wet.drying or EVENLY
    for square in squares(wet.box, TILE):
        there = square.grown(reach, film.shape).overlap(wet.box)
        inner, outer = square.inside(there), there.inside(wet.box)
        dry(
            # of one kind each, whatever they come from: the kernel is compiled once
            *(seen(np.ascontiguousarray(one[outer.slices])) for one in (wet.cover, wet.film)),
            *(seen(_NO_LINE if line is None else np.ascontiguousarray(line[there.slices])), under),
            *(tuple(flow), np.float32(mobility * FILM_UNIT), tuple(inner)),
            *(drying.at(outer), there[:2], film, _NO_RIM if rim is None else rim),
        )


def dried_by_hand(
    strokes: Strokes | None,
    ground: Ground,
    cover: Mask,
    graded: Share | None,
    edge: str,
    mobility: float,
    rect: Rect,
    box: Rect | None = None,
    rim: NDArray[np.int16] | None = None,
) -> Mask:
    """A film as a hand lays it over a region, dried: with its drying line if it has one.

    uint16, FILM_UNIT = 1, shape (rows, columns) of the rectangle.

    edge, mobility, rim : as for `RIM_GAIN` and `add_drying_line`; the rest as for `film_by_hand`
    """
    wet = film_by_hand(strokes, ground, cover, graded, rect, box)
    film = placed(wet.film, wet.box, rect.shape)
    if gain := RIM_GAIN[edge]:
        line = None if ground.line is None else ground.line[rect.slices]
        rim_mm = ground.table.paper.rim_mm
        add_drying_line(film, wet, rim, mobility, rim_mm, gain, ground.dpi, line)
    return film


def rim_reach_px(rim_mm: float, dpi: float) -> int:
    """How far a drying line looks sideways [px], the line it may end under included."""
    return drying_reach_px(rim_mm, dpi) + under_line_px(dpi)


def under_line_px(dpi: float) -> int:
    """How far from the edge of a wash a drawn line may still be the one it ends under [px]."""
    return round(UNDER_LINE_MM * dpi / MM_PER_INCH) + 1


def dose_by_hand(
    strokes: Strokes | None, ground: Ground, cover: Mask, rect: Rect, box: Rect | None = None
) -> Mask:
    """Dose of bleach as a hand lays it over a region, and crept; its sum is the even dose's.

    Parameters
    ----------
    cover : of a rectangle of the sheet, FULL = a full dose, shape (rows, columns)
    box : holds all of the region within the rectangle, if that is known

    uint16, DOSE_UNIT = 1, same shape.
    """
    creep_mm, dpi = ground.table.paper.creep_mm, ground.dpi
    if strokes is None:
        return crept(cover, creep_mm, dpi, box)
    box = box_of(cover) if box is None else box
    if box.empty:
        return zero_field(rect.shape)
    box = box.grown(reach_of_wander_px(dpi) + reach_px(creep_mm, dpi), cover.shape)
    inner = part_of(cover, box)
    lay = Lay(strokes, box.inside(Rect(-rect.top, -rect.left, 0, 0)), dpi, FINE_NODES_MM)
    wet = lay.edge_moved(inner) if strokes.wanders else inner
    even = lay.sums_of(crept(inner, creep_mm, dpi))
    dose = crept(wet, creep_mm, dpi)
    lay.domed(dose, even, inner, part_of(ground.tooth, lay.rect))
    return placed(dose, box, cover.shape)


def crept(coverage: Mask, creep_mm: float, dpi: float, box: Rect | None = None) -> Mask:
    """Dose of bleach after it has crept past its mark, uint16, DOSE_UNIT = 1, same shape.

    coverage : shape (rows, columns), FULL = a full dose
    box : holds all of the coverage, if that is known
    """
    reach = reach_px(creep_mm, dpi)
    dose: Mask = zero_field((coverage.shape[0], coverage.shape[1]))
    box = (box or whole(coverage.shape)).grown(reach, coverage.shape)
    for inner in squares(box, TILE):
        outer = inner.grown(reach, coverage.shape)
        cover = coverage[outer.slices]
        if cover.max() == 0:
            continue
        if cover.min() == FULL:
            dose[inner.slices] = DOSE_UNIT
            continue
        spread = creep_fast(_share(cover, FULL), creep_mm, dpi)[inner.inside(outer).slices]
        dose[inner.slices] = np.rint(spread * np.float32(DOSE_UNIT))
    return dose


def _share(field: Mask, unit: int) -> NDArray[np.float32]:
    """A 16-bit field as shares, `unit` = 1."""
    return np.multiply(field, np.float32(1 / unit), dtype=np.float32)
