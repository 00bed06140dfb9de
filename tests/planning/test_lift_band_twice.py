"""Two programs for the same band of a lift: `planning.lift.lift_band`, which moves the compiled
lift, and `glaze.patch.trust`, which moves the plain equations with all cases at once."""

from __future__ import annotations

import pytest

from glaze.patch.layers import Laid, Lifted
from glaze.patch.table import table_of
from glaze.patch.trust import by_draws
from glaze.planning.lift.lift_band import bands_of_lift, lay_in_layers
from glaze.sheet import compiled_lift
from glaze.sheet.lift import Touches


@pytest.mark.parametrize(
    ("recipe", "parts"), [("Black 1", 9.0), ("Blue 1", 19.0), ("Red 1", 4.0), ("Black 1", 0.0)]
)
def test_both_give_the_same_ends_within_what_draws_can_tell(recipe: str, parts: float) -> None:
    table = table_of("lifting", "white cartridge")
    # neat washes: `lift_band` leaves the law's error for thinning out
    mix, plan = table.mix(recipe), Touches(parts_water=parts)
    laid = lay_in_layers(table, [[mix]])
    one = bands_of_lift(
        table,
        laid,
        plan,
        lifter=compiled_lift.lift,
        touches=1,
        draws=600,
        overlaid=False,
    )
    other = by_draws(table, [Laid(mix), Lifted(plan)], draws=1200).band
    # seeds of 1500 draws move the dark end, a long thin tail, by 0.3 steps
    assert float(one.low[0, 0]) == pytest.approx(other.low, abs=0.5)
    assert float(one.high[0, 0]) == pytest.approx(other.high, abs=0.3)
