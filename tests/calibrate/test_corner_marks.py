"""Corner marks: found where they were drawn, and only there."""

from __future__ import annotations

import zlib

import numpy as np
import pytest
from swatch_painter import photographed

from glaze.calibrate.scan.corner_marks import _is_code, find_marks, find_page, read_code
from glaze.charts.content.swatch_page import CODE_MAGIC, check_sum
from glaze.sketch.edges import shrink
from glaze.sketch.plane import plane_through

Y = np.array([0.2126, 0.7152, 0.0722], np.float32)


def test_marks_are_found_within_a_tenth_of_a_millimetre(painted, page):
    per_mm = 120 / 25.4
    found = np.array(find_marks(painted @ Y)) / per_mm
    assert len(found) == 4
    for mark in page.marks:
        # pixel middles lie half a pixel in
        assert np.hypot(*(found + 0.5 / per_mm - mark).T).min() < 0.1


def test_a_page_seen_from_the_side_is_placed_within_half_a_millimetre(painted, page):
    corners = [(250, 200), (1050, 150), (1200, 1350), (150, 1250)]
    seen = photographed(painted, corners, (1500, 1350))
    found, plane = find_page((seen @ Y).astype(np.float32), [page])
    true = plane_through([[0, 0], [210, 0], [210, 297], [0, 297]], corners)
    points = np.array([[p.x, p.y] for p in page.places])
    off = np.hypot(*(plane(points) - true(points)).T) / true.scale_at([105, 150])
    assert found is page
    assert off.max() < 0.5


def test_paint_and_type_are_not_taken_for_marks(painted, page):
    without = painted.copy()
    per_mm = 120 / 25.4
    for x, y in page.marks:
        box = [slice(round((v - 5) * per_mm), round((v + 5) * per_mm)) for v in (y, x)]
        without[tuple(box)] = 0.8
    assert find_marks(without @ Y) == []


def test_the_code_holds_its_own_check(page):
    # the lowest four bits of a CRC-32 [ISO 3309] of the first twenty, as three bytes
    told = "".join(map(str, page.code))
    assert int(told[:4], 2) == CODE_MAGIC
    assert int(told[20:], 2) == zlib.crc32(int(told[:20], 2).to_bytes(3, "big")) % 16
    assert _is_code(page.code)
    # a cell of the sum, or of the magic, taken for bare paper or for black
    for cell in (0, 3, 20, 23):
        assert not _is_code((*page.code[:cell], 1 - page.code[cell], *page.code[cell + 1 :]))


def test_any_single_wrong_bit_of_a_code_is_noticed(page):
    # a CRC finds every single-bit error; four bits of it find all but one in sixteen
    code = int("".join(map(str, page.code)), 2)
    wrong = [code ^ (1 << bit) for bit in range(24)]
    assert sum(check_sum(w >> 4) == w & 0xF for w in wrong) <= 3
    assert all(w != code for w in wrong)


def test_the_code_is_read_as_drawn(painted, page):
    plane = plane_through(page.marks, page.marks * 120 / 25.4 - 0.5)
    assert read_code(painted @ Y, page, plane) == page.code


def test_shrinking_averages_squares():
    picture = np.arange(24, dtype=np.float32).reshape(4, 6)
    assert shrink(picture, 2) == pytest.approx(
        np.array([[3.5, 5.5, 7.5], [15.5, 17.5, 19.5]], np.float32)
    )
