"""Mud and room: what each further glaze does, when it reads as neutral, how many are left."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from glaze.errors import InputError
from glaze.materials.mix import Mix
from glaze.patch.band import Band
from glaze.patch.layers import Laid
from glaze.patch.patches import glaze
from glaze.patch.seen import Look, looks_of
from glaze.patch.table import Table
from glaze.patch.trust import trusted
from glaze.planning.recipe.hue import Hue
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
    look: Look

    @property
    def reads_as_neutral(self) -> bool:
        """Whether it has hardly a hue left."""
        return self.look.chroma < NEUTRAL_CHROMA

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        told = {"glazes": self.glazes, **self.look.as_dict(), "chroma": round(self.look.chroma, 1)}
        return told | {"reads_as_neutral": self.reads_as_neutral, "band": self.band.as_dict()}


@dataclass(frozen=True)
class RoomLeft:
    """How far a hue can be glazed.

    darkest : value that no further glaze of this kind gets below, within a quarter step
    left : further glazes worth laying after those shown
    mud_after : glazes in all until it reads as neutral; 0 if it does bare, None if it never does
    """

    hue: str
    glazes: tuple[str, ...]
    rows: tuple[AfterGlaze, ...]
    darkest: float
    left: int
    mud_after: int | None
    note: str

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "hue": self.hue,
            "glazes": list(self.glazes),
            "after": [row.as_dict() for row in self.rows],
            "darkest": round(self.darkest, 2),
            "glazes_left": self.left,
            "mud_after": self.mud_after,
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
    sheet, over = hue.on(table), list(hue.layers)
    rows = [AfterGlaze(0, trusted(table, over).band, looks_of(table, sheet)[0])]
    for number, text in enumerate(glazes, start=1):
        mix = table.mix(text)
        over.append(Laid(mix))
        (look,) = looks_of(table, glaze(table, sheet, mix))
        rows.append(AfterGlaze(number, trusted(table, over).band, look))
    left, darkest, mud = _left(table, sheet, mix, rows)
    note = _note(rows, left, darkest, mud)
    return RoomLeft(hue.text, tuple(glazes), tuple(rows), darkest, left, mud, note)


def _left(
    table: Table, sheet: Sheet, mix: Mix, rows: Sequence[AfterGlaze]
) -> tuple[int, float, int | None]:
    """Further glazes of the last kind that still darken by a quarter step; where they end; mud.

    The last is after how many glazes in all a hue reads as neutral: 0 if it did before the first,
    None if a dozen more don't do.
    """
    looks = [row.look for row in rows]
    for _ in range(MOST_GLAZES):
        looks += looks_of(table, glaze(table, sheet, mix))
    values = [look.value for look in looks[len(rows) - 1 :]]
    small = np.flatnonzero(-np.diff(values) < LEAST_STEP)
    left = int(small[0]) if small.size else MOST_GLAZES
    mud = next((n for n, look in enumerate(looks) if look.chroma < NEUTRAL_CHROMA), None)
    return left, values[left], mud


def _note(rows: Sequence[AfterGlaze], left: int, darkest: float, mud: int | None) -> str:
    told = []
    if mud:
        stop = "before the first" if mud == 1 else f"after {mud - 1}"
        told.append(f"After glaze {mud} it reads as neutral, mud: stop {stop} to keep the hue.")
    elif rows[-1].look.chroma < 0.5 * rows[0].look.chroma:
        told.append("More than half of its chroma is gone: mud is near.")
    if left == 0:
        told.append("No room is left: a further glaze darkens by less than a quarter step.")
    else:
        told.append(f"Room for {left} more of the last kind, down to value {darkest:.1f}.")
    return " ".join(told)
