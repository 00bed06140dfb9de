"""Pixels of a true size: A4 is 210 x 297 mm (ISO 216), an inch 25.4 mm (ISO 80000-3)."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from glaze.picture.file import Picture

A4_300 = Picture(np.zeros((3508, 2480, 3), np.uint8), 300.0)


def test_a4_at_300_dpi_has_its_size_to_a_pixel():
    wide, high = A4_300.size_mm
    assert wide == pytest.approx(210, abs=25.4 / 300)
    assert high == pytest.approx(297, abs=25.4 / 300)
    assert A4_300.per_mm == pytest.approx(11.811, abs=0.0005)


@given(st.integers(0, 3507), st.integers(0, 2479))
def test_the_middle_of_a_pixel_lies_in_that_pixel(row, column):
    x, y = A4_300.middle_mm(row, column)
    assert (x * 300 / 25.4, y * 300 / 25.4) == pytest.approx((column + 0.5, row + 0.5))
    assert A4_300.pixel_at((x, y)) == (row, column)


@pytest.mark.parametrize("off", [(-0.01, 5.0), (5.0, -0.01), (209.98, 5.0), (5.0, 297.02)])
def test_a_place_just_off_the_sheet_has_no_pixel(off):
    assert A4_300.pixel_at(off) is None
