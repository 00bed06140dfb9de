"""What a painted swatch sheet was found to say."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from glaze.calibrate.fit.ghosts import Dot
from glaze.calibrate.fit.lift_trial import LiftFound
from glaze.calibrate.fit.own_paper import PaperFound
from glaze.calibrate.fit.scanner import Scanner
from glaze.calibrate.fit.strip import value_gap
from glaze.calibrate.scan.swatch import apart
from glaze.materials.checked import NO_ERROR, Off
from glaze.materials.dye import Dye
from glaze.materials.ink import Ink, Palette
from glaze.patch.table import Table

INSTRUMENT = "instrument"
"""What tells the paper's colour, and stands for the scanner, where spectra were measured."""

SPECTRUM = "spectrum"
"""The kind of an ink whose strip was measured."""

Colour = tuple[float, float, float]


def triple(rgb: NDArray[np.float64]) -> Colour:
    """A colour as it is kept. Linear sRGB [-], shape (3,)."""
    return float(rgb[0]), float(rgb[1]), float(rgb[2])


@dataclass(frozen=True)
class ReadRung:
    """One patch against its explanation.

    name : of the patch
    seen, fitted : linear sRGB, read and explained
    unseen : explained by what hadn't seen this patch; None where nothing has
    aside : the same at the strength that suits this patch best
    law : standard deviations that the law gives washes so laid over each other; nothing for one
    acts_as : parts of water it acts as if it held; below 0 stronger than neat
    """

    name: str
    seen: Colour
    fitted: Colour
    unseen: Colour | None = None
    aside: Colour | None = None
    acts_as: float | None = None
    law: Off = NO_ERROR

    @property
    def de00(self) -> float:
        """CIEDE2000 between them."""
        return apart(np.array(self.seen), np.array(self.fitted))

    @property
    def value_gap(self) -> float:
        """Value steps, read lighter than explained."""
        return value_gap(np.array(self.seen), np.array(self.fitted))

    @property
    def unseen_de00(self) -> float:
        """CIEDE2000 when the explanation hadn't seen this patch."""
        return apart(np.array(self.seen), np.array(self.unseen or self.fitted))


@dataclass(frozen=True, eq=False)
class InkFit:
    """One ink as it was found.

    kind : strength, dyes, measured or spectrum
    ink : with its new contents, band and standing; dyes : those that are new with it
    strength : path of a neat coat over that of the palette's ink, mean over 400 to 700 nm; 1 where
        the palette has none
    strength_band : how well that is known, times or over, 9 of 10, with the scanner's error
    unseen_de00 : mean over rungs predicted from the others, for each explanation tried
    lift : what the lift experiment says of it, None where no dot of it was made
    crowding : b that suits this strip best, and its gain [mean CIEDE2000]
    """

    kind: str
    ink: Ink
    dyes: tuple[Dye, ...]
    strength: float
    strength_band: float
    rungs: tuple[ReadRung, ...]
    unseen_de00: dict[str, float]
    crowding: tuple[float, float]
    dots: tuple[Dot, ...] = ()
    notes: tuple[str, ...] = ()
    lift: LiftFound | None = None

    @property
    def mean_de00(self) -> float:
        """Mean difference over the strip, fitted."""
        return float(np.mean([rung.de00 for rung in self.rungs]))


@dataclass(frozen=True, eq=False)
class Calibration:
    """What a painted swatch sheet says.

    inks : by name, those that could be fitted
    checks : patches that were predicted and not fitted: mixes, black over hues
    paper : what the sheet says of the paper
    scanner : what is known of the scanner
    palette : the palette with its new inks, and what the sheet's own patches held
    """

    inks: dict[str, InkFit]
    checks: tuple[ReadRung, ...]
    dots: tuple[Dot, ...]
    paper: PaperFound
    scanner: Scanner
    palette: Palette
    table: Table
    notes: tuple[str, ...] = field(default=())
