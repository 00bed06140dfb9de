"""What a painted swatch sheet was found to say."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from glaze.calibrate.fit.ghosts import Dot
from glaze.calibrate.fit.lift_trial import LiftFound
from glaze.calibrate.fit.own_paper import PaperFound
from glaze.materials.dye import Dye
from glaze.materials.ink import Ink, Palette
from glaze.patch.table import Table


@dataclass(frozen=True)
class ReadRung:
    """One patch against its explanation.

    name : of the patch
    seen, fitted : linear sRGB, read and explained
    de00 : between them; unseen_de00 : when the explanation hadn't seen this patch
    value_gap : value steps, read lighter than explained
    acts_as : parts of water it acts as if it held; below 0 stronger than neat
    """

    name: str
    seen: tuple[float, float, float]
    fitted: tuple[float, float, float]
    de00: float
    value_gap: float
    unseen_de00: float = 0.0
    acts_as: float | None = None


@dataclass(frozen=True, eq=False)
class InkFit:
    """One ink as it was found.

    kind : strength, dyes or measured
    ink : with its new contents, band and standing; dyes : those that are new with it
    strength : path of a neat coat over that of the palette's ink, mean over 400 to 700 nm
    unseen_de00 : mean over rungs predicted from the others, for each explanation tried
    lift : what the lift experiment says of it, None where no dot of it was made
    crowding : b that suits this strip best, and its gain [mean CIEDE2000]
    """

    kind: str
    ink: Ink
    dyes: tuple[Dye, ...]
    strength: float
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
    palette : the palette with its new inks
    """

    inks: dict[str, InkFit]
    checks: tuple[ReadRung, ...]
    dots: tuple[Dot, ...]
    paper: PaperFound
    palette: Palette
    table: Table
    notes: tuple[str, ...] = field(default=())
