"""The compiled rinse: `glaze.sheet.lift.rinse` on a tile of a picture, in one pass.

The specification is plain numpy; tests/sheet/test_compiled_lift.py holds this to it.
"""

from __future__ import annotations

import numpy as np

from glaze.materials.bleach import touch_habits
from glaze.materials.chemistry import Chemistry
from glaze.sheet.kernel import kernel, seen
from glaze.sheet.state import Sheet
from glaze.sheet.units import FULL, Mask

_full = float(FULL)


def rinse(sheet: Sheet, cover: Mask, chemistry: Chemistry) -> None:
    """Blot, clean water, blot on a tile, in place: as `glaze.sheet.lift.rinse`.

    The cover is uint16, shape (rows, columns).
    """
    habits, size, count = touch_habits(), sheet.bleached.size, len(chemistry.loose_share)
    _rinse(
        seen(np.ascontiguousarray(cover).reshape(-1)),
        sheet.load_g_per_m2.reshape(size, count),
        sheet.optical_g_per_m2.reshape(size, count),
        sheet.coats.reshape(-1),
        sheet.residue_mol_per_m2.reshape(-1),
        habits.water_rinsed * chemistry.loose_share,
        chemistry.mean_absorptivity_l_per_g_cm,
        1.0 - habits.kept_when_rinsed,
    )


@kernel()
def _rinse(cover, load, optical, coats, residue, loose, m, goes):  # type: ignore[no-untyped-def]
    """loose : share of each colourant that leaves where all is covered; goes : of the bleach."""
    for p in range(cover.size):
        if cover[p] == 0:
            continue
        share = cover[p] / _full
        before, after = 0.0, 0.0
        for j in range(loose.size):
            stays = 1.0 - share * loose[j]
            strength = np.float64(load[p, j]) * m[j]
            before += strength
            after += strength * stays
            load[p, j] *= np.float32(stays)
            optical[p, j] *= np.float32(stays)
        if before > 0.0:
            coats[p] *= np.float32(after / before)
        residue[p] *= np.float32(1.0 - share * goes)
