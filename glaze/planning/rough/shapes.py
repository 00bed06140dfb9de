"""Where a wash lies: whole areas by their numbers, and shapes that no line bounds as coverage."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from glaze.planning.rough.laid import OnSheet
from glaze.planning.rough.pieces import Piece
from glaze.region.areas import Areas
from glaze.sheet.units import FULL, Mask

Numbers = NDArray[np.intp]
Box = tuple[slice, slice]

EDGE_MM = 0.5
"""Edges of shapes are smoothed over so much: no brush follows a grid."""
FINER = 3
"""Borders between pieces are drawn on samples so many times as fine."""
RIM = 3


@dataclass(eq=False)
class Shapes:
    """The pieces of a rough as shapes on its sheet; each area is parted once."""

    laid: OnSheet
    areas: Areas
    pieces: Sequence[Piece]
    parted: dict[int, tuple[NDArray[np.int32], list[int]]] = field(default_factory=dict)

    def split(self, chosen: Sequence[int]) -> tuple[list[int], list[int]]:
        """Areas all of whose pieces are chosen, and those pieces that are in others."""
        count: dict[int, int] = {}
        for piece in self.pieces:
            count[piece.area] = count.get(piece.area, 0) + 1
        own: dict[int, list[int]] = {}
        for n in chosen:
            own.setdefault(self.pieces[n].area, []).append(n)
        whole = sorted(area for area, some in own.items() if len(some) == count[area])
        return whole, [n for area, some in own.items() if len(some) < count[area] for n in some]

    def coverage(self, whole: Sequence[int], parts: Sequence[int]) -> Mask:
        """Coverage of whole areas and of some pieces of others.

        uint16, FULL = inside, shape (rows, columns).
        """
        shape = self.areas.number.shape
        cover = self.areas.mask(whole) if whole else np.zeros(shape, np.uint16)
        for area in dict.fromkeys(self.pieces[n].area for n in parts):
            self._add(cover, area, [n for n in parts if self.pieces[n].area == area])
        return cover

    def _add(self, cover: Mask, area: int, chosen: Sequence[int]) -> None:
        """Some pieces of one area, added to a coverage in place.

        What borders on one another sums to full coverage everywhere, so no gap shows between.
        """
        from scipy.ndimage import gaussian_filter, map_coordinates

        label, low = self._label(area)
        per = self.areas.per_mm * self.laid.mm / FINER
        soft = gaussian_filter(np.isin(label, chosen).astype(np.float32), 1.0, mode="nearest")
        box = _box(self.areas.number == area)
        at = [(np.arange(s.start, s.stop) + 0.5) / per - 0.5 - low[n] for n, s in enumerate(box)]
        fine = map_coordinates(soft, np.meshgrid(*at, indexing="ij"), order=1, mode="nearest")
        share = np.rint(fine * (self.areas.number[box] == area) * FULL).astype(np.uint16)
        np.maximum(cover[box], share, out=cover[box])

    def _label(self, area: int) -> tuple[NDArray[np.int32], list[int]]:
        """Number of the piece at each fine sample about an area, and where those begin."""
        if area not in self.parted:
            self.parted[area] = self._drawn(area)
        return self.parted[area]

    def _drawn(self, area: int) -> tuple[NDArray[np.int32], list[int]]:
        """Each piece spread a little, and every fine sample given to what is most there."""
        from scipy.ndimage import distance_transform_edt, gaussian_filter, zoom

        own = [n for n, piece in enumerate(self.pieces) if piece.area == area]
        home = np.full(self.laid.number.size, -1, np.int32)
        for n in own:
            home[self.pieces[n].at] = n
        grid = home.reshape(self.laid.number.shape)
        box = _box(grid >= 0)
        low = [max(0, s.start - RIM) for s in box]
        some = grid[tuple(slice(b, s.stop + RIM) for b, s in zip(low, box, strict=True))]
        near = distance_transform_edt(some < 0, return_distances=False, return_indices=True)
        some = some[tuple(near)]
        best, label = np.full(np.array(some.shape) * FINER, -1.0, np.float32), None
        label = np.full(best.shape, own[0], np.int32)
        for n in own:
            soft = gaussian_filter((some == n).astype(np.float32), EDGE_MM / self.laid.mm)
            fine = zoom(soft, FINER, order=1, mode="nearest", grid_mode=True)
            more = fine > best
            best[more], label[more] = fine[more], n
        return label, [b * FINER for b in low]


def _box(mask: NDArray[np.bool_]) -> Box:
    rows, columns = (np.flatnonzero(mask.any(axis=axis)) for axis in (1, 0))
    return slice(int(rows[0]), int(rows[-1]) + 1), slice(int(columns[0]), int(columns[-1]) + 1)
