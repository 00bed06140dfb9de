"""Speed of a band; run with `python -m tests.bench`. It has to keep up with a pen."""

from __future__ import annotations

import pytest

from glaze.patch.layers import Laid, Lifted
from glaze.patch.table import table_of
from glaze.patch.trust import trusted
from glaze.sheet.lift import Touches

TABLE = table_of("lifting", "white cartridge")
THREE = [
    Laid(TABLE.mix(text))
    for text in ("Yellow 3 + water 1", "Red 1 + water 4", "Black 1 part + water 8 parts")
]
STACKS = {
    "three washes": THREE,
    "a lift": [Laid(TABLE.mix("Black 1")), Lifted(Touches(parts_water=9))],
}


@pytest.mark.parametrize("stack", STACKS)
def test_band(benchmark, stack):
    benchmark(trusted, TABLE, STACKS[stack])
