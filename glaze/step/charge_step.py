"""A charge: a mix or clean water put into an earlier wash that is still wet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Annotated, ClassVar

import numpy as np
from numpy.typing import NDArray
from pydantic import Field

from glaze.errors import InputError, unknown
from glaze.patch.layers import Laid, Layer
from glaze.patch.table import Table
from glaze.record.checks import Name, Text, Within
from glaze.region.cover import Cover
from glaze.region.records import Where
from glaze.sheet.flowing import CELL_MM
from glaze.sheet.lift import touch_of_wash
from glaze.sheet.units import FULL
from glaze.sheet.wash import work_out
from glaze.step.film import film_of
from glaze.step.ground import Ground
from glaze.step.kind import COVERED, Film, Liquid, PaintedStep, Step, Tilt
from glaze.step.painted_charge import PaintedCharge
from glaze.step.passage import Passage, Pour
from glaze.step.timing import Minutes, drying_in_room, spoken, wash_minutes
from glaze.step.wash_step import Wash

DAMP = 0.02
"""A wash counts as dry once less than this of its water is left where the charge goes."""


class NotWetError(InputError):
    """A charge can't be laid: what it goes into isn't laid or wet, or something came in between.

    charge : its name
    """

    def __init__(self, problem: str, charge: str = "") -> None:
        super().__init__(problem)
        self.charge = charge


class Charge(Step):
    """A mix or clean water put into an earlier wash that is still wet."""

    key: ClassVar[str] = "charge"
    kind: ClassVar[str] = "charge"
    liquid: ClassVar[Liquid] = "ink"

    name: Name = Field(alias="charge")
    mix: Text
    region: Where
    into: Name
    minutes: Annotated[float, Within(0, 1440, "minutes after what it goes into")] = 1.0
    film_ml_per_m2: Film = 100.0
    tilt_degrees: Tilt = 0.0
    note: Text | None = None

    @property
    def recipe(self) -> str:
        """The mix in words."""
        return self.mix

    @property
    def joins(self) -> str:
        """What it goes into."""
        return self.into

    @property
    def joined_after_minutes(self) -> float:
        """Minutes after what it goes into."""
        return self.minutes

    def film_ml_per_m2_on(self, table: Table) -> float:
        """Liquid that it lays [ml/m2]."""
        return self.film_ml_per_m2

    def settled(self, ground: Ground, cover: Cover) -> PaintedStep:
        """Where the dyes of all that is wet together lie once it has dried.

        What is too small for the coarser cells of a small picture flows over those of the whole.
        """
        try:
            return self._settled(ground, cover)
        except InputError:
            if ground.cell_mm <= CELL_MM:
                raise
            return self._settled(replace(ground, cell_mm=CELL_MM), cover)

    def _settled(self, ground: Ground, cover: Cover) -> PaintedStep:
        joined = self._joined(ground)
        (first, first_cover), table = ground.earlier[joined[0]], ground.table
        assert isinstance(first, Wash)
        pours = [self._pour_of(ground, n) for n in joined]
        minutes = self._minutes_of(ground, joined)
        pours = [replace(pour, minutes=at) for pour, at in zip(pours, minutes, strict=False)]
        own = replace(_pour(self, ground, cover), minutes=minutes[-1])
        passage = Passage((*pours, own), ground, first.edge, first.strokes(ground, first_cover))
        between = tuple((step.name, cover.key) for step, cover in ground.earlier[joined[0] + 1 :])
        key = "can be charged", passage.key, between
        ground.memory.made(key, lambda: self._check(passage, joined))
        below, below_cover = ground.earlier[joined[-1]]
        residue = None
        if ground.bleached:
            residue = (
                touch_of_wash(self.film_ml_per_m2, table.room, table.paper),
                ground.chemistry(),
            )
        return PaintedCharge(
            *(self, cover.mask, key, passage.outline, passage),
            below.settled(ground.before(joined[-1]), below_cover),
            work_out(own.mix, 1, self.film_ml_per_m2, table.paper, table.dyes),
            residue,
        )

    def _joined(self, ground: Ground) -> list[int]:
        """Numbers of the earlier steps that are wet together with it, the wash first."""
        firsts: dict[int, int] = {}
        place: dict[str, int] = {}
        for n, (step, _) in enumerate(ground.earlier):
            into = getattr(step, "joins", None)
            firsts[n] = n if into is None else firsts[place[into]]
            place[step.name] = n
        if self.into not in place or not isinstance(
            ground.earlier[firsts[place[self.into]]][0], Wash
        ):
            washes = [s.name for s, _ in ground.earlier if isinstance(s, Wash | Charge)]
            problem = f'"{self.name}": into: {unknown("earlier wash", self.into, washes)}'
            raise NotWetError(problem, self.name)
        first = firsts[place[self.into]]
        return [n for n in range(first, len(ground.earlier)) if firsts[n] == first]

    def _minutes_of(self, ground: Ground, joined: Sequence[int]) -> list[float]:
        """When each of them was laid, and it at last, minutes after the wash."""
        at: dict[str, float] = {}
        told: list[float] = []
        for step in (*(ground.earlier[n][0] for n in joined), self):
            found = at[step.into] + step.minutes if isinstance(step, Charge) else 0.0
            at[step.name] = found
            if told and found < told[-1]:
                raise NotWetError(
                    f'"{step.name}" is charged {found:g} min after the wash, but comes after a '
                    f"step that is laid at {told[-1]:g} min. Put the steps in the order of their "
                    "minutes.",
                    step.name,
                )
            told.append(found)
        return told

    def _pour_of(self, ground: Ground, n: int) -> Pour:
        step, cover = ground.earlier[n]
        assert isinstance(step, Wash | Charge)
        return _pour(step, ground, cover)

    def _check(self, passage: Passage, joined: Sequence[int]) -> bool:
        """Refuse what can't be painted; else the water is laid, for what may come into it."""
        ground = passage.ground
        ready, into = passage.ready, f'"{self.name}" goes into "{self.into}"'
        # where things lie is asked in the cells of the whole, however coarse those it flows over
        coarse = ground.cell_mm > CELL_MM
        whole = replace(passage, ground=replace(ground, cell_mm=CELL_MM)) if coarse else passage
        if not _meeting(whole).any():
            raise NotWetError(
                f"{into}, but nowhere comes near it: let their regions touch, or lay a wash.",
                self.name,
            )
        film_m = passage.pours[0].film_ml_per_m2 * 1e-6
        left = (ready.film + ready.taken)[_meeting(passage)]
        if left.max(initial=0.0) < DAMP * film_m:
            room, film = ground.table.room, passage.pours[0].film_ml_per_m2
            raise NotWetError(
                f"{into} after {self.minutes:g} min, when that is dry: its film of {film:g} ml/m2 "
                f"lasts {spoken(drying_in_room(film, room))} in this room. Charge it "
                "sooner, or lay it as a wash.",
                self.name,
            )
        for step, cover in ground.earlier[joined[0] + 1 :]:
            over = not any(step is ground.earlier[n][0] for n in joined)
            if over and (whole.cells(cover.mask)[_grown(whole.wet)] > COVERED * FULL).any():
                raise NotWetError(
                    f'{into}, but "{step.name}" is done over the same place in between, while that '
                    "is wet. Put it after the charge, or before the wash.",
                    self.name,
                )
        passage.poured()
        return True

    def layer(self, table: Table, share: float) -> Layer:
        """It as a layer of a patch: its own film, as if on what is dry."""
        return Laid(table.mix(self.mix), 1, self.film_ml_per_m2, share)

    def minutes_for(self, area_cm2: float, table: Table) -> Minutes:
        """Laid, and dry with all that it went into."""
        return wash_minutes(area_cm2, self.film_ml_per_m2, 1, table.room)

    def amount_words(self, table: Table) -> tuple[str, str]:
        """Recipe, parts of water and when."""
        when = f', into "{self.into}" {self.minutes:g} min after it, while it is wet'
        return self.mix, table.mix(self.mix).parts + when

    def reason(self, below: Sequence[str], met: bool) -> str:
        """Why then."""
        return f'Into "{self.into}" while that is wet.'


def _meeting(passage: Passage) -> NDArray[np.bool_]:
    """Cells that are wet where the last pour comes near them, shape (rows, columns)."""
    return passage.wet & _grown(passage.cells(passage.pours[-1].coverage) > 0.0)


def _grown(cells: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Cells, and all that lie beside them."""
    near = cells.copy()
    near[1:] |= cells[:-1]
    near[:-1] |= cells[1:]
    near[:, 1:] |= near[:, :-1].copy()
    near[:, :-1] |= near[:, 1:].copy()
    return near


def _pour(step: Wash | Charge, ground: Ground, cover: Cover) -> Pour:
    """A step as a pour."""
    table, grade = ground.table, step.grade
    share, key = (None, None) if grade is None else ground.grade_of(grade)
    mix = table.mix(step.recipe)
    return Pour(
        name=step.name,
        mix=mix,
        laid=work_out(mix, step.times, step.film_ml_per_m2, table.paper, table.dyes),
        coverage=cover.mask,
        film=film_of(cover.mask, share),
        key=(cover.key, key),
        film_ml_per_m2=step.film_ml_per_m2,
        minutes=0.0,
        coats=step.times,
        tilt_degrees=step.tilt_degrees,
    )
