"""A colour rough beside the sheet, and its colour at a place."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import numpy as np

from glaze.errors import InputError
from glaze.picture.file import picture_from_linear
from glaze.planning.rough.laid import OnSheet, lay_rough, on_pixels
from glaze.sheet.rect import whole

from .asking import Answered, drops_for
from .filling import Point
from .pyramid import Pyramid
from .saying import say, translated
from .sitting import Sitting

Rgb = tuple[int, int, int]

NEAR = 1
"""A colour is read from so many samples of the rough to each side."""


@dataclass(frozen=True, eq=False)
class Rough:
    """A rough that lies over the sheet.

    picture : as it lies there, in the sheet's own pixels
    """

    path: Path
    laid: OnSheet
    picture: Pyramid

    @property
    def words(self) -> str:
        """Which it is, and by what it was laid over the sheet."""
        told = say("rough.lies", name=self.path.name, how=translated(self.laid.how))
        return " ".join((told, *map(translated, self.laid.notes)))


def open_rough(sitting: Sitting, path: Path, corners: str | None = None) -> Rough:
    """Lay a rough over the sheet; takes a few seconds.

    Raises
    ------
    NotLaidError : it is of another shape or drawing, and no `corners` [px] are given
    InputError : it can't be read, or is blank
    """
    areas, shape = sitting.settling.areas(), sitting.painting.shape
    laid, picture = lay_rough(path, areas, sitting.table, corners), Pyramid(shape)
    linear = on_pixels(path, laid, shape, areas.per_mm)
    picture.put(whole(shape), np.asarray(picture_from_linear(linear, sitting.painting.dpi).rgb))
    return Rough(path, laid, picture)


# ---- a colour


def drops_at(sitting: Sitting, rough: Rough, point: Point) -> Answered:
    """Which drops make the rough's colour at a place of the sheet [mm].

    Raises
    ------
    InputError : there is a line, or the rough doesn't reach there
    """
    return drops_for(sitting, ",".join(f"{part:.1f}" for part in colour_at(rough, point)))


def colour_at(rough: Rough, point: Point) -> tuple[float, float, float]:
    """The rough's colour at a place of the sheet [mm], CIELAB (D65), its white as the paper's."""
    laid = rough.laid
    column, row = (int(mm / laid.mm) for mm in point)
    rows, columns = laid.seen.shape
    if not (0 <= row < rows and 0 <= column < columns and laid.seen[row, column]):
        raise InputError(say("rough.line", x=f"{point[0]:.0f}", y=f"{point[1]:.0f}"))
    near = tuple(slice(max(0, at - NEAR), at + NEAR + 1) for at in (row, column))
    read = laid.lab[near][laid.seen[near]]
    return tuple(np.median(read, axis=0).tolist())
