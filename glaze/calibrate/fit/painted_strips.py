"""Which strips of a swatch sheet were painted, and which of their patches count."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from glaze.calibrate.fit.strip import Strip
from glaze.calibrate.scan.swatch import PAPER, Reading, apart, is_painted
from glaze.errors import InputError
from glaze.patch.table import Table

Array = NDArray[np.float64]

FEWEST_RUNGS = 3
"""Rungs an ink needs to be fitted: fewer can't be checked by leaving one out."""


def strips_of(
    readings: Sequence[Reading], table: Table, scale: Array
) -> tuple[list[Strip], list[str]]:
    """The strips that were painted, and what was left out.

    `scale`: linear sRGB [-] of the bare paper, shape (3,).
    """
    strips, notes = [], []
    names = dict.fromkeys(r.place.inks[0] for r in readings if r.place.kind == "rung")
    for name in names:
        rungs = [r for r in readings if r.place.kind == "rung" and r.place.inks == (name,)]
        painted = painted_rungs(rungs)
        left = [r.place.name for r in rungs if r not in painted]
        if not painted:
            notes.append(f"{name}: not painted, so it stays as it was.")
            continue
        if len(painted) < FEWEST_RUNGS:
            notes.append(
                f"{name}: only {len(painted)} patches are painted, and at least {FEWEST_RUNGS} "
                "are needed; it stays as it was."
            )
            continue
        if left:
            notes.append(f"{', '.join(left)}: as light as bare paper, so left out.")
        strips.append(
            Strip(
                table.palette.inks[name],
                tuple(r.place.name for r in painted),
                np.array([1.0 / (1.0 + r.place.parts) for r in painted]),
                np.array([r.rgb for r in painted]) * scale,
                np.array([r.lost for r in painted]),
            )
        )
    if not strips:
        raise InputError(
            "No ink on this sheet has enough painted patches to be read. Paint the strips, at "
            f"least {FEWEST_RUNGS} patches of an ink, let them dry and scan again."
        )
    return strips, notes


def painted_rungs(rungs: Sequence[Reading]) -> list[Reading]:
    """Rungs that hold ink: darker than paper, or thinner than all that are."""
    coloured = [r for r in rungs if is_painted(r)]
    if len(coloured) < 2:
        return []
    weakest = max(r.place.parts for r in coloured)
    # a pale last rung counts if its neighbour is pale as well; a hole in the strip does not
    pale = [r for r in rungs if r not in coloured and r.place.parts > weakest]
    near = min((apart(r.rgb, PAPER) for r in coloured), default=99.0)
    return [r for r in rungs if r in coloured or (r in pale and near < 4.0)]
