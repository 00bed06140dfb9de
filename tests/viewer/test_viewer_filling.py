"""Areas under the pointer: what is outlined is what is filled, with the joins that close it."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from viewer.core.filling import Filling, straightened
from viewer.core.keep import open_sketch
from viewer.core.laying import Laying

PX_PER_MM = 6


@pytest.fixture
def sitting(tmp_path):
    """Two boxes of 12 x 9 mm, a long one of 40 x 6 mm, and one with a gap of 1.5 mm in its side."""
    grey = np.full((60 * PX_PER_MM, 70 * PX_PER_MM), 255, np.uint8)
    for left, top, wide, high in ((5, 5, 12, 9), (30, 20, 12, 9), (10, 40, 40, 6), (50, 5, 12, 10)):
        box = [int(mm * PX_PER_MM) for mm in (left, top, left + wide, top + high)]
        x, y, right, foot = box
        grey[y - 1 : y + 2, x - 1 : right + 2] = grey[foot - 1 : foot + 2, x - 1 : right + 2] = 0
        grey[y - 1 : foot + 2, x - 1 : x + 2] = grey[y - 1 : foot + 2, right - 1 : right + 2] = 0
    grey[9 * PX_PER_MM : int(10.5 * PX_PER_MM), 62 * PX_PER_MM - 3 : 62 * PX_PER_MM + 4] = 255
    Image.fromarray(grey).save(tmp_path / "boxes.png", dpi=(PX_PER_MM * 25.4,) * 2)
    found = open_sketch(tmp_path / "boxes.png", (70.0, 60.0))
    found.finish()
    yield found
    found.close()


@pytest.fixture
def filling(sitting):
    made = Filling(sitting)
    assert made.areas is None
    made.look()
    sitting.finish()
    return made


def _gaps(sitting, filling, gap_mm):
    from viewer.core import drafting

    sitting.do("gaps", drafting.with_gaps(sitting.draft, gap_mm=gap_mm))
    filling.look()
    sitting.finish()


def _area_mm2(outline) -> float:
    """Area of a polygon (Gauss's formula)."""
    x, y = outline.T
    return abs(float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)))) / 2


def test_an_outline_goes_round_the_box_that_was_drawn(filling):
    number = filling.number_at((10, 10))
    pointed = filling.pointed([number], (10, 10))
    (outline,) = pointed.outlines
    # a pixel of 0.17 mm narrower each way: the middle of the line is one pixel wide
    assert _area_mm2(outline) == pytest.approx(12 * 9, rel=0.04)
    assert outline.min(axis=0) == pytest.approx([5, 5], abs=0.3)
    assert outline.max(axis=0) == pytest.approx([17, 14], abs=0.3)
    assert pointed.words == "12 x 9 mm, 1.0 cm²"
    assert filling.number_at((500, 10)) == 0


def test_boxes_of_one_size_and_shape_are_likes(filling):
    one, other, long = (filling.number_at(at) for at in ((10, 10), (36, 24), (30, 43)))
    assert set(filling.likes(one)) == {one, other}
    assert filling.likes(long) == (long,)
    pointed = filling.pointed(filling.likes(one), (10, 10))
    assert len(pointed.outlines) == 2
    assert pointed.words == "2 areas, 2.1 cm²"


def test_all_likes_are_filled_as_one_deed(sitting, filling):
    likes = filling.likes(filling.number_at((10, 10)))
    Laying(sitting).fill(*filling.points(likes, (10, 10)))
    sitting.finish()
    cover = sitting.settling.painted_step(0).coverage > 32768
    assert np.count_nonzero(cover) / PX_PER_MM**2 == pytest.approx(2 * 12 * 9, rel=0.04)
    assert sitting.history.place == 1
    assert sitting.history.back_name == "fill 2 areas"


def test_a_join_closes_an_area_until_it_is_refused(sitting, filling):
    outside = filling.number_at((68, 55))
    assert filling.number_at((55, 10)) == outside
    _gaps(sitting, filling, 3)
    inside = filling.number_at((55, 10))
    assert inside != filling.number_at((68, 55))
    (join,) = filling.pointed([inside], (55, 10)).joins
    assert join.width_mm == pytest.approx(1.5, abs=0.3)
    assert join.at_mm == pytest.approx((62, 9.75), abs=0.4)
    pointed = filling.pointed([inside], (61.8, 9.8), reach_mm=1)
    assert pointed.at is join
    assert "gap of 1." in pointed.words
    assert filling.pointed([inside], (55, 10), reach_mm=1).at is None
    filling.refuse(join)
    sitting.finish()
    assert filling.number_at((55, 10)) == filling.number_at((68, 55))
    assert sitting.scene.areas.open_at_mm == (pytest.approx(join.at_mm, abs=0.01),)
    sitting.take_back()
    filling.look()
    sitting.finish()
    assert filling.number_at((55, 10)) != filling.number_at((68, 55))


def test_outlines_lie_within_a_pixel_of_the_edge_with_few_points():
    """A circle of 200 px against its own radius; a box against its four corners."""
    from skimage.measure import find_contours

    rows, columns = np.mgrid[:440, :440]
    disc = (rows - 220) ** 2 + (columns - 220) ** 2 < 200**2
    (line,) = find_contours(disc.astype(np.float32), 0.5)
    fewer = straightened(line)
    assert len(fewer) < len(line) / 5
    assert np.abs(np.hypot(*(fewer - 220).T) - 200).max() < 1
    # between its points, too: the sagitta of the longest chord
    chord = np.hypot(*np.diff(fewer, axis=0).T).max()
    assert 200 - np.sqrt(200**2 - chord**2 / 4) < 1
    assert np.array_equal(fewer[0], fewer[-1])
    (line,) = find_contours(np.pad(np.ones((90, 70)), 1), 0.5)
    fewer = straightened(line, times=9)
    assert len(fewer) < 16
    assert np.abs(fewer.max(axis=0) - (90.5, 70.5)).max() < 0.01
