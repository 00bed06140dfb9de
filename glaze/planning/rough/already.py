"""Steps that lie on the sheet before a rough's own are laid over them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glaze.materials.dye import Dye
from glaze.painting.lay import sheet_at
from glaze.painting.settle import Painting
from glaze.patch.layers import Layer
from glaze.physics.colour import delta_e_2000
from glaze.planning.rough.laid import OnSheet
from glaze.planning.rough.pieces import LEAST_MM2, Piece
from glaze.planning.rough.runs import xy_mm_of
from glaze.planning.rough.trials import Bottles
from glaze.planning.sheet.place import labelled, lies
from glaze.planning.sheet.step_bands import layers_at
from glaze.sheet.rect import whole
from glaze.sheet.state import Sheet

Array = NDArray[np.float64]
Numbers = NDArray[np.intp]

NEAR_DE00 = 4.0
"""So near to what is wanted a shadow lies there already [CIEDE2000]."""
FINEST, MOST_KINDS = 1.0, 48
"""Colours no further apart than that in CIELAB are tried as one ground, or further apart where
there would be more grounds than that."""


@dataclass(frozen=True, eq=False)
class Already:
    """Steps of a scene as they lie under a rough.

    some : its painting on the rough's own samples
    sheet : what lies at each of them, in the bottles' colourants, shape (1, samples)
    lab : how that looks, CIELAB (D65), shape (samples, 3)
    number : of the ground of each, where the same steps lie, shape (samples,)
    shut : numbers of the grounds that bleach was on: no wash goes over them
    """

    some: Painting
    sheet: Sheet
    lab: Array
    number: Numbers
    shut: frozenset[int]

    @classmethod
    def of(cls, some: Painting, bottles: Bottles, laid: OnSheet) -> Already:
        """What a painting on a rough's samples has on it."""
        sheet = _in_columns(sheet_at(some, whole(some.shape)), some, bottles.own.dyes)
        labels, sets = labelled(lies(some))
        number = _evened(labels, max(4, round(LEAST_MM2 / laid.mm**2))).ravel()
        bleach = {n for n, step in enumerate(some.steps) if step.step.leaves_bleach}
        shut = frozenset(n for n, steps in enumerate(sets) if bleach.intersection(steps))
        return cls(some, sheet, bottles.lab(sheet), number, shut)

    def left_of(self, shadow: Numbers, wanted: Array) -> Numbers:
        """Numbers of shadows that don't lie there already, or none, shape (samples,).

        wanted : CIELAB [-], shape (samples, 3)
        """
        return np.where(delta_e_2000(self.lab, wanted) < NEAR_DE00, -1, shadow)


@dataclass(frozen=True, eq=False)
class Under:
    """What lies under every place of a rough's pieces.

    at : the sample that each place is taken from, shape (places,)
    kind : number of its ground among those that are tried, shape (places,)
    kinds : those, shape (1, kinds)
    """

    already: Already
    at: Numbers
    kind: Numbers
    kinds: Sheet

    @classmethod
    def of(cls, already: Already, pieces: Sequence[Piece], laid: OnSheet) -> Under:
        """Under the places of some pieces, one after the other."""
        at = np.concatenate([_nearest(piece, laid) for piece in pieces])
        apart = FINEST
        while True:
            rounded = np.round(already.lab[at] / apart)
            keys = np.column_stack([already.number[at], rounded])
            _, first, kind = np.unique(keys, axis=0, return_index=True, return_inverse=True)
            if len(first) <= MOST_KINDS or apart > 50:
                break
            apart *= 1.5
        return cls(already, at, kind.ravel(), _taken(already.sheet, at[first]))

    def on(self, kinds: Numbers) -> Sheet:
        """Patches of some of the grounds, to lay washes on, shape (1, patches)."""
        return _taken(self.kinds, kinds)

    def layers(self, place: int) -> list[Layer]:
        """What lies under a place, as layers of a patch."""
        row, column = divmod(int(self.at[place]), self.already.some.shape[1])
        return list(layers_at(self.already.some, (row, column)))


def _taken(sheet: Sheet, at: Numbers) -> Sheet:
    return Sheet(**{name: field[:, at] for name, field in vars(sheet).items()})


def _in_columns(sheet: Sheet, painting: Painting, dyes: Sequence[Dye]) -> Sheet:
    """A sheet as patches with columns for other colourants, in float64."""
    place = {dye.name: n for n, dye in enumerate(dyes)}
    to = [place[dye.name] for dye in painting.table.dyes]
    count = painting.shape[0] * painting.shape[1]

    def moved(field: NDArray[np.float32]) -> Array:
        if field.ndim == 2:
            return field.reshape(1, count).astype(float)
        wide = np.zeros((1, count, len(dyes)))
        wide[..., to] = field.reshape(1, count, -1)
        return wide

    return Sheet(**{name: moved(field) for name, field in vars(sheet).items()})


def _evened(number: NDArray[np.int32], fewest: int) -> Numbers:
    """Grounds without slivers, which go to what lies beside them."""
    from scipy.ndimage import distance_transform_edt, label

    left = number.astype(np.intp)
    for one in np.unique(number):
        shapes, _ = label(number == one)
        small = np.bincount(shapes.ravel()) < fewest
        small[0] = False
        left[small[shapes]] = -1
    if (left < 0).all():
        return number.astype(np.intp)
    near = distance_transform_edt(left < 0, return_distances=False, return_indices=True)
    return np.asarray(left[tuple(near)])


def _nearest(piece: Piece, laid: OnSheet) -> Numbers:
    """The sample of a piece that is nearest to each of its places."""
    xy = xy_mm_of(piece.at, laid)
    far = ((piece.xy_mm[:, None] - xy) ** 2).sum(axis=-1)
    return np.asarray(piece.at[far.argmin(axis=1)])


def on_samples(painting: Painting, laid: OnSheet) -> Painting:
    """A painting on the samples of a rough's grid, without its line."""
    rows, columns = laid.number.shape
    step = round(laid.mm * painting.per_mm)
    half = step // 2
    index = slice(half, rows * step, step), slice(half, columns * step, step)
    return replace(painting, line=None).taken(index)
