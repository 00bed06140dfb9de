"""Where the dyes of a passage lie once it is dry.

They come to lie on the cells over which the water ran; the outline stays as crisp as the regions
are, and the paper's tooth and the drying line lie over the whole as over any wash.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glaze.physics.crowding import crowding_overlap
from glaze.sheet.compiled_dried import between, gathered
from glaze.sheet.flowing import WetPassage, after
from glaze.sheet.rect import whole
from glaze.sheet.units import FILM_UNIT, Mask
from glaze.sheet.wash import VISIBLE_NM
from glaze.step.film import dried_by_hand
from glaze.step.fronts import NOWHERE, Moved, NodeGrid, fronts_of
from glaze.step.passage import Passage

Floats = NDArray[np.float64]
Places = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Dried:
    """Dyes of a passage once it is dry: what had dried before the last pour, and all above it.

    Attributes
    ----------
    weight : how much of a cell's dye a pixel has, from the hand, tooth and drying line, FILM_UNIT
        where it is the mean, shape (rows, columns)
    grid : dyes [g/m2 for each unit of `weight`], shape (rows, columns, 2, dyes) of cells
    cell_px : side of a cell [px]
    moved : how far beside its place a pixel's dye is read
    coats_per_g : neat coats that 1 g/m2 of each dye stands for [m2/g], shape (2, dyes)
    overlap : crowding, as in `LaidWash`, shape (2, 3, colourants)
    columns : of the sheet, for each dye
    """

    weight: Mask
    grid: Floats
    cell_px: float
    moved: Moved
    coats_per_g: Floats
    overlap: Floats
    columns: NDArray[np.intp]

    def dyes(self, rows: Places, columns: Places) -> Floats:
        """Both films [g/m2] at some pixels, shape (*rows.shape, 2, dyes)."""
        found = np.empty((rows.size, *self.grid.shape[2:]))
        weight = self.weight[rows, columns].ravel()
        at = rows.ravel(), columns.ravel(), self.cell_px, self.moved.by_px, self.moved.pitch
        between(self.grid, weight, *at, found)
        return found.reshape(*rows.shape, *self.grid.shape[2:])


def dried(passage: Passage) -> Dried:
    """A passage left alone until no water is left."""
    dry = after(passage.poured(), np.inf, passage.ways)
    everything = dry.all_dye
    total, bound = everything.sum(axis=(1, 2)), dry.bound.sum(axis=(1, 2))
    # what a thirsty brush took up is gone
    left = _brought(passage).sum(axis=0) * (1.0 - _shares(dry.mopped[1:], dry.mopped[1:] + total))
    sums = np.stack([left * _shares(bound, total), left * (1.0 - _shares(bound, total))])
    weight = _weight(passage)
    moved = _fronts(passage, dry)
    films = np.stack([dry.bound, everything - dry.bound])
    grid = _on_pixels(films, dry, weight, sums, moved, passage.cell_px)
    columns = np.array(passage.columns, dtype=np.intp)
    return Dried(weight, grid, passage.cell_px, moved, *_crowding(passage, *sums), columns)


def _fronts(passage: Passage, dry: WetPassage) -> Moved:
    """How the fronts of its charges lie; a steady hand leaves none."""
    ground, strokes = passage.ground, passage.strokes
    if strokes is None:
        return NOWHERE
    grid = NodeGrid(ground.shape, passage.cell_px, ground.dpi)
    return fronts_of(dry, grid, strokes.hand, passage.pours[0].name)


def _films(passage: Passage) -> Floats:
    """Of each pour, summed over the pixels, shape (pours, 1)."""
    films = [pour.film.sum(dtype=np.float64) / FILM_UNIT for pour in passage.pours]
    return np.array(films)[:, None]


def _brought(passage: Passage) -> Floats:
    """Each dye that each pour brought [g/m2, summed over the pixels], shape (pours, dyes)."""
    columns = list(passage.columns)
    return _films(passage) * [pour.laid.full_load_g_per_m2[columns] for pour in passage.pours]


def _weight(passage: Passage) -> Mask:
    """A flat film where it was wet, with tooth and drying line; FILM_UNIT = 1."""
    outline, mobility = passage.outline, passage.pours[0].laid.mean_mobility
    where = passage.edge, mobility, whole(outline.shape)
    return dried_by_hand(passage.strokes, passage.ground, outline, None, *where)


def _on_pixels(
    dyes: Floats, dry: WetPassage, weight: Mask, sums: Floats, moved: Moved, cell_px: float
) -> Floats:
    """The dyes of cells, shape (2, dyes, rows, columns), as `Dried.grid`: with these sums [g/m2].

    Cells that weren't wetted are filled from the nearest that was, and the last of each side stands
    twice, for reading between them.
    """
    from scipy.ndimage import distance_transform_edt

    dense = np.divide(dyes, dry.part, out=np.zeros_like(dyes), where=dry.part > 0.0)
    nearest = distance_transform_edt(dry.part == 0.0, return_distances=False, return_indices=True)
    wide = ((0, 0), (0, 0), (0, 1), (0, 1))
    full = np.pad(dense[:, :, *nearest], wide, mode="edge")
    given = np.zeros(full.shape[2:])
    gathered(weight, cell_px, moved.by_px, moved.pitch, given)
    full *= _shares(sums, (full * given).sum(axis=(2, 3)))[..., None, None]
    return np.ascontiguousarray(full.transpose(2, 3, 0, 1))


def _crowding(passage: Passage, under: Floats, over: Floats) -> tuple[Floats, Floats]:
    """Coats that 1 g/m2 of each dye stands for, and the overlap, of what lies under and over.

    A dye that came in several pours counts as their mean, by what each brought to the part; so a
    passage that is one mix throughout crowds as that mix, and a pour on dry paper as its own.
    """
    columns, table = list(passage.columns), passage.ground.table
    brought = _brought(passage)
    coats = _films(passage) * [p.laid.strength * p.laid.share[columns] for p in passage.pours]
    below = np.ones_like(brought)
    below[-1] = 0.0
    kept_under = below * _shares(under, (below * brought).sum(axis=0))
    per_g, overlaps = [], []
    for kept, dye in ((kept_under, under), (1.0 - kept_under, over)):
        each = _shares((kept * coats).sum(axis=0), (kept * brought).sum(axis=0))
        neat = np.zeros(len(table.dyes))
        neat[columns] = dye / max(float(each @ dye), 1e-30)
        k = table.paper.path_spread
        overlaps.append(crowding_overlap(neat, table.visible_path_m2_per_g, VISIBLE_NM, k))
        per_g.append(each)
    return np.stack(per_g), np.stack(overlaps)


def _shares(some: Floats, of: Floats) -> Floats:
    """One by the other, 0 where there is nothing [-], of one shape."""
    return np.divide(some, of, out=np.zeros_like(some), where=of > 0.0)
