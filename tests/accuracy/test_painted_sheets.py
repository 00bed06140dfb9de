"""Bands after a calibration hold on patches that weren't on the sheet, whoever painted it."""

from __future__ import annotations

import numpy as np
import pytest

from tests.accuracy.painted_sheets import (
    SCANNER,
    calibrated,
    dye_paint,
    held,
    press_paint,
    watercolour_paint,
)


@pytest.mark.parametrize("paint", [watercolour_paint, dye_paint, press_paint])
@pytest.mark.parametrize("size", [0.0, SCANNER], ids=["exact scanner", "scanner 4 off"])
def test_bands_hold_85_in_100_in_value_and_in_colour(paint, size):
    """One sheet of each kind here, all thirteen in docs/accuracy.md.

    With bands from the strips alone one wash in three to one in two was held with the scanner off.
    """
    found = held(one := next(iter(paint())), calibrated(one, 1, size))
    kinds = {row.patch: [] for row in found}
    for row in found:
        kinds[row.patch].append(row)
    for rows in (found, *(some for some in kinds.values() if len(some) >= 12)):
        assert np.mean([row.in_de00 for row in rows]) >= 0.85, rows[-1].patch
        assert np.mean([row.in_value for row in rows]) >= 0.85, rows[-1].patch
