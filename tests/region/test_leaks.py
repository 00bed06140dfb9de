"""Where areas run out is told with its place and width: gaps of two ends, gaps before a line, necks
between lines that nearly meet; and regions that share an area.

Drawings are made here, so that every gap and neck is known as it was drawn.
"""

from __future__ import annotations

import numpy as np
import pytest

from glaze.region.areas import areas_of
from glaze.region.combine import Regions
from glaze.region.outline import fill, pen_line
from glaze.region.records import Gaps, Region
from glaze.sketch.line import Sketch

DPI = 200.0
Stroke = list[tuple[float, float]]
FRAME: Stroke = [(10, 10), (90, 10), (90, 70), (10, 70), (10, 10)]
WIDE_MM = 0.5  # of the pen


def drawn(strokes: list[Stroke]) -> Sketch:
    shape = round(80 * DPI / 25.4), round(100 * DPI / 25.4)
    outlines = [o for s in strokes for o in pen_line(np.array(s, float), WIDE_MM, DPI / 25.4)]
    return Sketch((1 - 0.97 * fill(outlines, shape) / 65535).astype(np.float32), DPI)


def notes(sketch: Sketch, gaps: Gaps | None = None, **named: Region) -> tuple[str, ...]:
    return Regions(named, sketch, gaps=gaps or Gaps()).notes()


@pytest.mark.parametrize("gap_mm", [1.5, 3.0, 8.0])
def test_a_stroke_that_ends_before_a_line_is_told(gap_mm: float) -> None:
    end = 70 - WIDE_MM - gap_mm  # half a pen's width on either side
    sketch = drawn([FRAME, [(50, 10), (50, end)]])
    (note,) = notes(sketch, left=Region(enclosed_at_mm=[(30, 40)]))
    (gap,) = areas_of(sketch).leaks.gaps
    assert gap.width_mm == pytest.approx(gap_mm, abs=0.25)  # two pixels
    assert gap.at_mm == pytest.approx((50, (end + 70) / 2), abs=0.4)
    assert f"a gap of {gap.width_mm:.1f} mm at [" in note
    # the gap_mm that it names closes it
    closed = areas_of(sketch, float(note.split("gap_mm = ")[1].split(";")[0]))
    assert closed.at((30, 40)) != closed.at((70, 40))
    assert closed.leaks.gaps == ()


@pytest.mark.parametrize("neck_mm", [0.8, 1.5, 2.5])
def test_a_neck_between_lines_that_nearly_meet_is_told(neck_mm: float) -> None:
    half = (neck_mm + WIDE_MM) / 2
    wedges: list[Stroke] = [
        [(40, 10), (50, 40 - half), (60, 10)],
        [(40, 70), (50, 40 + half), (60, 70)],
    ]
    sketch = drawn([FRAME, *wedges])
    (note,) = notes(sketch, left=Region(enclosed_at_mm=[(20, 40)]))
    (neck,) = areas_of(sketch).leaks.gaps
    assert neck.width_mm == pytest.approx(neck_mm, abs=0.25)
    assert neck.at_mm == pytest.approx((50, 40), abs=0.4)
    assert f"a neck of {neck.width_mm:.1f} mm at [" in note
    assert "draw the lines together" in note


def test_what_is_meant_isnt_told() -> None:
    sketch = drawn([FRAME, [(50, 10), (50, 66)]])
    left = Region(enclosed_at_mm=[(30, 40)])
    assert notes(sketch, left=left)
    assert not notes(sketch, Gaps(open_at_mm=[(50, 68)]), left=left)
    assert not notes(sketch, left=Region(enclosed_at_mm=[(30, 40)], gap_mm=0))
    assert not notes(sketch, left=Region(enclosed_at_mm=[(30, 40), (70, 40)]))


def test_a_fold_in_the_middle_of_an_area_is_no_leak() -> None:
    folds: list[Stroke] = [[(30, 25), (34, 50)], [(60, 20), (58, 40)], [(75, 30), (80, 50)]]
    assert not notes(drawn([FRAME, *folds]), coat=Region(enclosed_at_mm=[(20, 60)]))


def test_a_long_way_between_lines_is_no_neck() -> None:
    # a band of 2 mm all along the frame
    inner: Stroke = [(12.5, 12.5), (87.5, 12.5), (87.5, 67.5), (12.5, 67.5), (12.5, 12.5)]
    assert not notes(drawn([FRAME, inner]), band=Region(enclosed_at_mm=[(11.2, 40)]))


def test_an_area_by_number_tells_its_leaks_too() -> None:
    sketch = drawn([FRAME, [(50, 10), (50, 66)]])
    number = areas_of(sketch).at((30, 40))
    (note,) = notes(sketch, left=Region(area=number))
    assert "a gap of 3." in note  # 3.5 mm between the pen's round end and the line
    assert "in [areas]" in note


def test_regions_that_share_an_area_by_number_are_told() -> None:
    sketch = drawn([FRAME, [(40, 10), (40, 70)], [(65, 10), (65, 70)]])
    areas = areas_of(sketch)
    left, middle, right = (areas.at((x, 40)) for x in (20, 50, 80))
    body, tail = Region(area=[left, middle]), Region(area=[middle, right])
    (note,) = notes(sketch, body=body, tail=tail)
    assert note.startswith(f'"body" and "tail" share an area: both have area {middle}.')
    # by number and by place
    (note,) = notes(sketch, body=body, tail=Region(enclosed_at_mm=[(50, 30)]))
    assert f"no line parts area {middle} from [50, 30]" in note


def test_regions_that_share_areas_on_purpose_are_not() -> None:
    sketch = drawn([FRAME, [(40, 10), (40, 70)], [(65, 10), (65, 70)]])
    areas = areas_of(sketch)
    left, middle, right = (areas.at((x, 40)) for x in (20, 50, 80))
    body, again = Region(area=[left, middle]), Region(area=[middle, left])
    assert not notes(sketch, body=body, again=again)
    assert not notes(sketch, body=body, all=Region(area=[left, middle, right]))
    assert not notes(sketch, body=body, tail=Region(area=[right]))
    assert not notes(sketch, body=body, part=Region(area=[middle, right], inside=["body"]))
