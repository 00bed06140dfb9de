"""The hand that lays a film: what it can't avoid, with the average kept.

A wash is carried over its region in strokes. Its edge wanders beside the line; it is thinner where
the brush began and fuller where it ended and the bead was left; it lies in faint bands along the
strokes and in patches; between the paper's fibres more ink gathers, the more the thinner it lies;
its drying line is broken in places and of uneven width. All sizes and amounts are guesses by eye
(docs/decisions/013-a-hand.md). What is taken somewhere is added within 20 mm: the mean of a region
stays what the law lays.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.physics.blur import REACH_IN_SIGMAS, gaussian_taps
from glaze.physics.flow import MM_PER_INCH, reach_px
from glaze.sheet import compiled_hand
from glaze.sheet.compiled_blur import spread_fast
from glaze.sheet.field import zero_field
from glaze.sheet.kernel import seen
from glaze.sheet.rect import Rect
from glaze.sheet.unevenness import TOOTH, Wave, noise
from glaze.sheet.units import DOSE_UNIT, FILM_UNIT, FULL, Mask
from glaze.step.steadiness import Strokes

Field = NDArray[np.float32]

NODES_MM = 0.8
"""What is smooth is worked out so far apart and read between."""
LEVEL_MM = 20.0
"""The mean is kept about nodes so far apart."""
PATCHES = (17.0, 0.11, 1.7), (7.0, 0.065, 1.5), (2.7, 0.025, 1.2)
"""Size [mm], most [-] and stretch along the stroke of where the brush left more or less."""
BANDS = (5.6, 0.035, 8.0), (2.1, 0.016, 14.0)
"""The same of single strokes; of a graded wash, where each stroke is another strength, twice."""
ENDS = (1.4, 0.06), (4.5, 0.07)
"""Reach [mm] and most [-] of what is gained where the wash ended and lost where it began."""
TILTED = 1 / 12.0
"""So much more of a bead for each degree of the board's tilt."""
WANDER = (5.0, 0.17), (1.9, 0.08)
"""Size [mm] and most [mm] of an edge's wandering."""
SLIP_MM, SLIPS = 13.0, 2.4
"""Now and then, at places of that size, the edge slips so many times farther."""
SOFTER = 2.6
"""A softened edge wanders so many times farther."""
MOST_MM = 0.9
"""No edge slips farther than that."""
LOST = 14.0, 1.2
"""Size [mm] and most of how far a softened edge is found; where it is below 0 it stays lost."""
LAPPED = (9.0, 0.6), (3.1, 0.35), (1.2, 0.2)
"""Size [mm] and most of how the damp brush shifts it, as the log of what is in to what is out."""
BROKEN = (5.5, 1.5), (2.1, 0.9)
"""Size [mm] and most of how the gain of a drying line varies; below -1 it is broken."""
NARROWED = (8.0, 1.2)
"""The same of its width: the share of it that is a quarter as wide, beside 0.3."""


FINE_NODES_MM = 0.2
"""The same for bleach, whose marks are small."""
DOME_MM, DOME = 0.5, 0.4
"""Reach [mm] and most by which bleach stands higher in the middle of a mark than at its edge."""
SPOTS = (4.2, 0.24, 1.3), (1.7, 0.2, 1.0)
"""Size [mm], most and stretch of how unevenly a touch lets bleach down."""
FEATHERED = 0.7
"""Where a dose runs out it runs along the fibres: share of it, most where it ends."""


@dataclass(frozen=True, eq=False)
class Drying:
    """How a drying line varies along an edge, at nodes `pitch` pixels apart.

    Attributes
    ----------
    gain : as a share of the usual one [-], shape (rows, columns) of nodes; (0, 0) for even
    narrow : share of it that gathers in a rim a quarter as wide [-], same shape
    first : the sheet's own row and column of the first node
    corner : the sheet's own row and column of the film's first pixel
    """

    gain: Field
    narrow: Field
    first: tuple[int, int]
    pitch: float
    corner: tuple[int, int]

    def at(self, rect: Rect) -> tuple[Any, ...]:
        """For a rectangle of the film, as `glaze.sheet.compiled_rim.dry` takes it."""
        place = self.corner[0] + rect.top, self.corner[1] + rect.left
        return self.gain, self.narrow, self.first, self.pitch, place


_NONE = np.zeros((0, 0), np.float32)
EVENLY = Drying(_NONE, _NONE, (0, 0), 1.0, (0, 0))


def reach_of_hand_px(dpi: float) -> int:
    """How far a film laid by hand looks sideways [px]."""
    far_mm = 2 * LEVEL_MM + REACH_IN_SIGMAS * ENDS[-1][0]
    return reach_px(far_mm, dpi) + 2 * reach_of_wander_px(dpi)


def reach_of_wander_px(dpi: float) -> int:
    """How far a film by hand may lie beside its region [px]."""
    return reach_px(MOST_MM * SOFTER + 2 * NODES_MM, dpi) + 2


class Lay:
    """One film laid over a rectangle of the sheet."""

    def __init__(
        self, strokes: Strokes, rect: Rect, dpi: float, nodes_mm: float = NODES_MM
    ) -> None:
        self.strokes, self.rect, self.dpi = strokes, rect, dpi
        self.nodes_mm, self.pitch = nodes_mm, nodes_mm * dpi / MM_PER_INCH
        self.first = int(rect.top / self.pitch), int(rect.left / self.pitch)
        ends = int(rect.bottom / self.pitch) + 2, int(rect.right / self.pitch) + 2
        self.shape = ends[0] - self.first[0], ends[1] - self.first[1]

    def _noise(self, waves: list[Wave]) -> Field:
        first = self.first[0] - 0.5, self.first[1] - 0.5
        return noise(*first, self.shape, MM_PER_INCH / self.nodes_mm, waves)

    def _waves(self, of: tuple[tuple[float, ...], ...], salt: int, times: float = 1.0) -> Field:
        """Noise of some sizes, along the strokes where it is stretched, turned where not."""
        waves = []
        for n, (size, most, *stretched) in enumerate(of):
            turned = self.strokes.degrees if stretched else 31.0 + 47.0 * n
            seed, stretch = self.strokes.seed + salt + n, stretched[0] if stretched else 1.0
            waves.append(Wave(size, most * times, seed, stretch, turned))
        return self._noise(waves)

    def edge_moved(self, cover: Mask) -> Mask:
        """The coverage with its edge as the brush left it; uint16, shape (rows, columns)."""
        slips = np.clip(self._waves(((SLIP_MM, 1.0),), 40) * 3.0 - 1.1, 0.0, 1.0)
        times, most = self.strokes.hand.amount * (1.0 + SLIPS * slips), MOST_MM
        down, aside = (
            np.clip(self._waves(WANDER, salt) * times, -most, most) * (self.dpi / MM_PER_INCH)
            for salt in (50, 60)
        )
        amount, out = self.strokes.hand.amount, zero_field((cover.shape[0], cover.shape[1]))
        found = np.clip(self._waves((LOST,), 110) * amount, 0.0, 1.0)
        odds = np.exp(self._waves(LAPPED, 120, amount))
        nodes = (one.astype(np.float32) for one in (down, aside, found, odds))
        compiled_hand.moved_edge(
            *(seen(cover), out, self.rect[:2], *nodes),
            *(self.first, self.pitch, reach_px(most * SOFTER, self.dpi) + 1, SOFTER),
        )
        return out

    def bead(self, cover: Mask) -> Field:
        """What is gained where the wash ended and lost where it began [-], shape of the nodes.

        Coverage uint16, shape (rows, columns).
        """
        inside, found = self._at_nodes(cover), np.zeros(self.shape, np.float32)
        for reach_mm, most in ENDS:
            sigma = reach_mm / self.nodes_mm
            slope = np.gradient(spread_fast(inside, gaussian_taps(sigma)))
            fall = -(slope[0] * self.strokes.carried[0] + slope[1] * self.strokes.carried[1])
            found += np.float32(most * sigma * np.sqrt(2 * np.pi)) * fall
        return found

    def _at_nodes(self, cover: Mask) -> Field:
        """Coverage at the nodes [-]."""
        at = [
            np.clip(((first + np.arange(count)) * self.pitch).astype(int) - corner, 0, size - 1)
            for first, count, corner, size in zip(
                self.first, self.shape, self.rect[:2], cover.shape, strict=True
            )
        ]
        return cover[np.ix_(*at)].astype(np.float32) / np.float32(FULL)

    def sums_of(self, film: Mask) -> NDArray[np.int64]:
        """Sums of a film about nodes `LEVEL_MM` apart, each pixel shared by the four round it.

        uint16, shape (rows, columns), to shape (rows, columns) of nodes.
        """
        (top, left, bottom, right), side = self.rect, self._level_px
        count = bottom // side - top // side + 2, right // side - left // side + 2
        sums = np.zeros(count, np.int64)
        compiled_hand.add_about(film, (top, left), side, sums)
        return sums

    @property
    def _level_px(self) -> int:
        return max(round(LEVEL_MM * self.dpi / MM_PER_INCH), 1)

    def uneven(
        self, film: Mask, even: NDArray[np.int64], bead: Field, tooth: NDArray[np.int8]
    ) -> None:
        """Let a film lie unevenly, in place, with the sums of an even one.

        film : uint16, shape (rows, columns), FILM_UNIT = 1
        """
        strokes, amount = self.strokes, self.strokes.hand.amount
        bands = self._waves(BANDS, 20, 2.0 if strokes.graded else 1.0)
        tilted = 1.0 + TILTED * strokes.tilt_degrees
        nodes = 1.0 + amount * (self._waves(PATCHES, 10) + bands + tilted * bead)
        compiled_hand.spread_unevenly(
            *(film, self.rect[:2], _lean(strokes), tooth, 64.0 * strokes.height / FILM_UNIT),
            *(np.maximum(nodes, 0.05).astype(np.float32), self.first, self.pitch, float(FULL)),
        )
        self._keep_mean(film, even)

    def domed(
        self, dose: Mask, even: NDArray[np.int64], cover: Mask, tooth: NDArray[np.int8]
    ) -> None:
        """Let bleach stand domed and patchy and run out along the fibres, in place.

        dose : after its creep, uint16, DOSE_UNIT = 1, shape (rows, columns)
        even : sums of an even one, crept as well
        cover : FULL = inside, same shape
        """
        amount = self.strokes.hand.amount
        middle = spread_fast(self._at_nodes(cover), gaussian_taps(DOME_MM / self.nodes_mm))
        nodes = 1.0 + amount * (DOME * (2.0 * middle - 1.0) + self._waves(SPOTS, 90))
        slope = np.linspace(1.0, -0.5, 97)  # of a dose of 0 to 1.5
        lean = np.maximum(slope, 0.0) * FEATHERED * amount / 127.0
        compiled_hand.spread_unevenly(
            *(dose, self.rect[:2], lean.astype(np.float32), tooth, 64.0 / DOSE_UNIT),
            *(np.maximum(nodes, 0.1).astype(np.float32), self.first, self.pitch, float(FULL)),
        )
        self._keep_mean(dose, even)

    def drying(self, bead: Field) -> Drying:
        """How its drying line varies, from `bead` [-], the nodes' `shape`."""
        amount = self.strokes.hand.amount
        gain = 1.0 + amount * (self._waves(BROKEN, 70) + 2.0 * bead)
        narrow = amount * (0.3 + self._waves((NARROWED,), 80))
        gain, narrow = np.clip(gain, 0.0, 2.4), np.clip(narrow, 0.0, 0.9)
        at = self.first, self.pitch, (int(self.rect.top), int(self.rect.left))
        return Drying(gain.astype(np.float32), narrow.astype(np.float32), *at)

    def _keep_mean(self, film: Mask, even: NDArray[np.int64]) -> None:
        """Give a film the sums of an even one all about, in place; uint16, (rows, columns).

        Each node has its share of the pixels within `LEVEL_MM`; the film is made so many times as
        thick there as it lacks. The shares add up to 1 at every pixel: the sum of all is kept too.
        """
        wanted, found = even.astype(np.float64), self.sums_of(film).astype(np.float64)
        factor = np.divide(wanted, found, out=np.ones(wanted.shape), where=found > 0)
        factor = np.clip(factor, 0.5, 2.0)
        compiled_hand.corrected(film, self.rect[:2], factor, self._level_px, float(FULL))


def _lean(strokes: Strokes) -> Field:
    """What 127 of the tooth is of a film, for each 1/64 of 100 ml/m2 of it; by 127 already."""
    height = np.arange(256) / 64.0
    thin = np.minimum(1.0 / (0.35 + 0.65 * height), 2.2)
    most = TOOTH.get(strokes.surface, 0.0) * strokes.hand.amount
    return np.asarray(most * thin / 127.0, np.float32)
