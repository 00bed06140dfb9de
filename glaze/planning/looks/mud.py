"""Mud and room: what each further glaze does, when it reads as neutral, how many are left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from glaze.errors import InputError
from glaze.patch.band import Band
from glaze.patch.layers import Laid
from glaze.patch.patches import glaze, value
from glaze.patch.table import Table
from glaze.patch.trust import trusted
from glaze.planning.recipe.hue import Hue, munsell_of, notations, words
from glaze.planning.recipe.shadow import NEUTRAL_CHROMA
from glaze.sheet.state import Sheet

LEAST_STEP = 0.25
"""A glaze that darkens by less than a quarter value step is not worth its drying."""
MOST_GLAZES = 12


@dataclass(frozen=True)
class AfterGlaze:
    """What lies there after so many glazes (0: before the first)."""

    glazes: int
    band: Band
    munsell: str
    chroma: float
    words: str
    reads_as_neutral: bool

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        told = vars(self) | {"value": round(self.band.best, 2), "band": self.band.as_dict()}
        return told | {"chroma": round(self.chroma, 1)}


@dataclass(frozen=True)
class RoomLeft:
    """How far a hue can be glazed.

    darkest : value that no further glaze of this kind gets below, within a quarter step
    left : further glazes worth laying after those shown
    """

    hue: str
    glazes: tuple[str, ...]
    rows: tuple[AfterGlaze, ...]
    darkest: float
    left: int
    note: str

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "hue": self.hue,
            "glazes": list(self.glazes),
            "after": [row.as_dict() for row in self.rows],
            "darkest": round(self.darkest, 2),
            "glazes_left": self.left,
            "note": self.note,
        }


def room(table: Table, hue: Hue, glazes: Sequence[str]) -> RoomLeft:
    """Value and chroma after each glaze in turn, and the room that is left under the last kind.

    Parameters
    ----------
    glazes : recipes in the order they are laid, each on the dry one before
    """
    if not glazes:
        raise InputError('Name at least one glaze, as --glaze "Black 1 + water 4".')
    sheets = _stacked(table, hue, glazes)
    rows = tuple(_row(table, hue, glazes[:n], sheet) for n, sheet in enumerate(sheets))
    left, darkest = _left(table, hue, glazes)
    return RoomLeft(hue.text, tuple(glazes), rows, darkest, left, _note(rows, left, darkest))


def _stacked(table: Table, hue: Hue, glazes: Sequence[str]) -> list[Sheet]:
    """The patch before any glaze and after each."""
    return [_under(table, hue, glazes[:n]) for n in range(len(glazes) + 1)]


def _under(table: Table, hue: Hue, glazes: Sequence[str]) -> Sheet:
    sheet = hue.on(table)
    for text in glazes:
        glaze(table, sheet, table.mix(text))
    return sheet


def _row(table: Table, hue: Hue, glazes: Sequence[str], sheet: Sheet) -> AfterGlaze:
    found = munsell_of(table, sheet)
    over = [Laid(table.mix(text)) for text in glazes]
    band = trusted(table, [*hue.layers, *over]).band
    chroma = float(found.chroma[0])
    return AfterGlaze(
        len(glazes),
        band,
        notations(table, sheet)[0],
        chroma,
        words(found),
        chroma < NEUTRAL_CHROMA,
    )


def _left(table: Table, hue: Hue, glazes: Sequence[str]) -> tuple[int, float]:
    """Further glazes of the last kind that still darken by a quarter step, and where they end."""
    sheet, mix = _under(table, hue, glazes), table.mix(glazes[-1])
    values = [float(value(table, sheet)[0, 0])]
    for _ in range(MOST_GLAZES):
        glaze(table, sheet, mix)
        values.append(float(value(table, sheet)[0, 0]))
    steps = -np.diff(values)
    small = np.flatnonzero(steps < LEAST_STEP)
    left = int(small[0]) if small.size else MOST_GLAZES
    return left, values[left]


def _note(rows: Sequence[AfterGlaze], left: int, darkest: float) -> str:
    told = []
    grey = next((r for r in rows if r.reads_as_neutral and not rows[0].reads_as_neutral), None)
    if grey is not None:
        stop = "before the first" if grey.glazes == 1 else f"after {grey.glazes - 1}"
        told.append(f"After glaze {grey.glazes} it reads as neutral: stop {stop} to keep the hue.")
    elif rows[-1].chroma < 0.5 * rows[0].chroma:
        told.append("More than half of its chroma is gone: mud is near.")
    if left == 0:
        told.append("No room is left: a further glaze darkens by less than a quarter step.")
    else:
        told.append(f"Room for {left} more of the last kind, down to value {darkest:.1f}.")
    return " ".join(told)
