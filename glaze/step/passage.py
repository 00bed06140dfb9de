"""What is wet together: pours in the order in which they were laid.

The water flows over cells of half a millimetre (`glaze.sheet.flowing`); `glaze.step.dried` says
where the dyes lie once it is gone.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.materials.mix import Mix
from glaze.materials.paper import Paper
from glaze.materials.room import Room
from glaze.physics.drying import evaporation_g_per_m2_h
from glaze.physics.flow import MM_PER_INCH
from glaze.physics.wet_film import DENSITY_KG_PER_M3, PORE_SHARE, sorptivity_m_per_root_s
from glaze.sheet.field import zero_field
from glaze.sheet.flowing import (
    LEAST_PART,
    Ways,
    WetPassage,
    after,
    bare_passage,
    laid_into,
)
from glaze.sheet.memory import Key
from glaze.sheet.unevenness import Wave, noise
from glaze.sheet.units import FILM_UNIT, FULL, Mask
from glaze.sheet.wash import LaidWash
from glaze.step.fronts import met
from glaze.step.ground import Ground
from glaze.step.steadiness import Steadiness, Strokes

Floats = NDArray[np.float64]

COBB60_G_PER_M2 = {"matte absorbent": 30.0, "hard-sized": 20.0, "coated": 10.0}
"""Water that a paper drinks in a minute (ISO 535), by surface. Writing and drawing papers 20 to 30,
remembered; which of them how much is a guess, and coated too."""
LEAST_RF = 0.02
FEATHERS = (3.1, 0.6), (7.0, 0.8)
"""Size [mm] and most of the logarithm of how easily water runs: in the hollows of the paper, and
where the brush left more of it, as the cube of its depth. Guess: depths within a third or so."""
POURED = (2.5, 0.2), (9.0, 0.25)
"""Size [mm] and most of how unevenly a hand puts a charge down, as a share of its film. Guess."""
BEAD_M = 3e-4
"""On a tilted board a bead deeper than this is taken up with the brush. Guess: three washes."""


@dataclass(frozen=True, eq=False)
class Pour:
    """One liquid laid: its film, where, and when.

    Attributes
    ----------
    laid : what a full film of it lays
    film : coverage of its region times its grade, FILM_UNIT = full, shape (rows, columns)
    key : all that the film was made from
    minutes : since the first pour
    coats : of which all but the last had dried before
    """

    name: str
    mix: Mix
    laid: LaidWash
    coverage: Mask
    film: Mask
    key: Key
    film_ml_per_m2: float
    minutes: float
    coats: int = 1
    tilt_degrees: float = 0.0

    @property
    def made_of(self) -> Key:
        """All that counts of it."""
        contents = tuple(sorted(self.mix.contents_g_per_l.items()))
        return self.key, contents, self.film_ml_per_m2, self.minutes, self.coats, self.tilt_degrees


@dataclass(frozen=True, eq=False)
class Passage:
    """Pours that are wet together, the first first.

    edge : how the whole dries at its edge
    strokes : how the hand lays them; None if perfectly even
    """

    pours: tuple[Pour, ...]
    ground: Ground
    edge: str
    strokes: Strokes | None

    # ---- what it is made from

    @cached_property
    def poured_key(self) -> Key:
        """All that its water and dyes are made from while they are wet."""
        ground, table = self.ground, self.ground.table
        dyes = tuple((d.name, d.retardation, d.mobility) for d in table.dyes)
        where = ground.dpi, ground.shape, ground.cell_mm, table.paper, table.room, dyes
        names = self.strokes and (self.strokes, *(pour.name for pour in self.pours))
        return ("poured", *(pour.made_of for pour in self.pours), where, names)

    @cached_property
    def key(self) -> Key:
        """All that it is made from once it is dry."""
        line = None if self.ground.line is None else self.ground.sketch_key
        return "dried", self.poured_key, self.strokes and self.ground.tooth_key, self.edge, line

    @cached_property
    def columns(self) -> tuple[int, ...]:
        """Columns of the sheet for the dyes that are in it."""
        loads = sum(pour.laid.full_load_g_per_m2 for pour in self.pours)
        return tuple(int(n) for n in np.flatnonzero(loads))

    @cached_property
    def outline(self) -> Mask:
        """Where it is or was wet, uint16, FULL = wholly, shape (rows, columns)."""
        outline: Mask = zero_field(self.ground.shape)
        for pour in self.pours:
            np.maximum(outline, pour.coverage, out=outline)
        return outline

    @property
    def earlier(self) -> Passage:
        """It before the last pour."""
        return replace(self, pours=self.pours[:-1])

    # ---- wet

    @property
    def cell_px(self) -> float:
        """Side of a cell [px]."""
        return max(self.ground.cell_mm * self.ground.dpi / MM_PER_INCH, 1.0)

    @property
    def ways(self) -> Ways:
        """How its films behave."""
        table = self.ground.table
        Rf = np.array([max(table.dyes[n].retardation, LEAST_RF) for n in self.columns])
        tilt = self.pours[-1].tilt_degrees
        return Ways(
            cell_m=self.cell_px * (MM_PER_INCH / 1000) / self.ground.dpi,
            retardation=Rf,
            evaporation_m_per_s=evaporation_m_per_s(table.room),
            sorptivity_m_per_root_s=sorptivity_of(table.paper),
            pores_m=pores_m(table.paper),
            tilt_degrees=tilt,
            bead_m=BEAD_M if tilt else np.inf,
            ease=self._ease(),
        )

    def _ease(self) -> Floats | float:
        """Where water runs more or less easily, shape (rows, columns) of cells [-]; 1 if even."""
        if self.strokes is None:
            return 1.0
        return np.exp(self._noise(self.strokes.hand, FEATHERS, self.pours[0].name).astype(float))

    def _noise(
        self, hand: Steadiness, waves: tuple[tuple[float, float], ...], name: str
    ) -> NDArray[np.float32]:
        """Smooth noise of cells, another for each name; shape (rows, columns) of cells [-]."""
        rows, columns = (cell_starts(pixels, self.cell_px).size for pixels in self.ground.shape)
        dpi, seed = self.ground.dpi / self.cell_px, crc32(name.encode()) + 7919 * (hand.seed - 1)
        seeded = [
            Wave(size_mm, most * hand.amount, seed + n, degrees=31.0 + 47.0 * n)
            for n, (size_mm, most) in enumerate(waves)
        ]
        return noise(0, 0, (rows, columns), dpi, seeded)

    @cached_property
    def wet(self) -> NDArray[np.bool_]:
        """True where a cell was wet before the last pour, shape (rows, columns)."""
        return np.any([self._part(pour) > 0.0 for pour in self.pours[:-1]], axis=0)

    def poured(self) -> WetPassage:
        """Water and dyes just after the last pour, kept for the next."""
        return self.ground.memory.made(self.poured_key, self._pour)

    @cached_property
    def ready(self) -> WetPassage:
        """Water and dyes just before the last pour."""
        if len(self.pours) == 1:
            return bare_passage(self.cells(self.pours[0].coverage).shape, len(self.columns))
        earlier = self.earlier
        wait = (self.pours[-1].minutes - earlier.pours[-1].minutes) * 60.0
        return _widened(after(earlier.poured(), wait, earlier.ways), earlier.columns, self.columns)

    def _pour(self) -> WetPassage:
        last = self.pours[-1]
        part = self._part(last)
        if not part.any():
            raise InputError(
                f'"{last.name}": its region is smaller than the {self.ground.cell_mm:g} mm squares '
                "in which a wet wash is worked out; lay it as a wash, or make it larger."
            )
        film = np.divide(self.cells(last.film) / FILM_UNIT, part, where=part > 0, out=0 * part)
        g_per_l = last.laid.full_load_g_per_m2[list(self.columns)] / (
            last.film_ml_per_m2 / 1000.0 * last.coats
        )
        if len(self.pours) > 1 and self.strokes is not None:
            film *= self._by_hand(self.strokes.hand, part, last.name)
        poured = laid_into(self.ready, part, film * last.film_ml_per_m2 * 1e-6, g_per_l)
        if len(self.pours) > 1:
            film_m = self.pours[0].film_ml_per_m2 * 1e-6
            cell_mm = self.cell_px * MM_PER_INCH / self.ground.dpi
            poured = met(self.ready, poured, part, film_m, cell_mm)
        if last.coats > 1:
            dry = (last.coats - 1) * poured.dyes
            poured = replace(poured, bound=poured.bound + dry)
        vars(self).pop("ready", None)  # what comes after begins with what is poured
        return poured

    def _part(self, pour: Pour) -> Floats:
        """Share of each cell that a pour covers [-], shape (rows, columns) of cells."""
        part = self.cells(pour.coverage) / FULL
        part[part < LEAST_PART] = 0.0
        return part

    def _by_hand(self, hand: Steadiness, part: Floats, name: str) -> Floats:
        """How much of the charge goes where, its mean over the charge 1 [-]."""
        uneven = np.maximum(1.0 + self._noise(hand, POURED, name), 0.1)
        return np.asarray(uneven / (float((uneven * part).sum()) / float(part.sum())))

    def cells(self, field: NDArray[np.uint16]) -> Floats:
        """Mean of a field over each cell, in its own unit [-], shape (rows, columns) of cells."""
        (down, aside), size = (cell_starts(n, self.cell_px) for n in field.shape), field.shape
        # 16-bit numbers add up to whole ones, which float64 holds exactly in any order
        total = np.empty((down.size, aside.size))
        for cell, (top, bottom) in enumerate(pairwise([*down, size[0]])):
            along = field[top:bottom].sum(axis=0, dtype=np.float64) / (bottom - top)
            total[cell] = np.add.reduceat(along, aside)
        return total / np.diff([*aside, size[1]])


def cell_starts(pixels: int, cell_px: float) -> NDArray[np.intp]:
    """First pixel of each cell along a side, indices of shape (cells,); the last may be wider."""
    count = max(int(pixels / cell_px), 1)
    return np.rint(np.arange(count) * cell_px).astype(np.intp)


def evaporation_m_per_s(room: Room) -> float:
    """Water that goes into the room's air [m/s]."""
    grams = evaporation_g_per_m2_h(room.temperature_c, room.humidity_percent, room.air_m_per_s)
    return float(grams) / (3600.0 * 1000.0 * DENSITY_KG_PER_M3)


def sorptivity_of(paper: Paper) -> float:
    """How fast a paper drinks [m/s^1/2], by its surface."""
    return float(sorptivity_m_per_root_s(COBB60_G_PER_M2[paper.surface]))


def pores_m(paper: Paper) -> float:
    """Water that a paper can hold [m]."""
    return PORE_SHARE * paper.thickness_mm * 1e-3


def _widened(p: WetPassage, old: tuple[int, ...], new: tuple[int, ...]) -> WetPassage:
    """The passage with room for the dyes of another pour."""
    at = [new.index(n) for n in old]

    def wide(field: Floats) -> Floats:
        more = np.zeros((len(new), *field.shape[1:]))
        more[at] = field
        return more

    mopped = np.concatenate([p.mopped[:1], wide(p.mopped[1:])])
    dyes, settled, bound = wide(p.dyes), wide(p.settled), wide(p.bound)
    return replace(p, mopped=mopped, dyes=dyes, settled=settled, bound=bound)
