"""Areas of drawings opened by hand are those of the closed drawing; hatching parts none of them.

The drawings are made here, line by line; an area is measured in the closed drawing, which is told
apart by its lines alone.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from glaze.errors import InputError
from glaze.region.areas import Areas, areas_of
from glaze.region.combine import Regions
from glaze.region.numbered import kept_text, matched, read_kept
from glaze.region.outline import fill, pen_line
from glaze.region.records import Gaps, Region
from glaze.sketch.line import Sketch

DPI = 200.0
PER_MM = DPI / 25.4
SIZE_MM = (100, 80)


def arc(x: float, y: float, rx: float, ry: float, start: float = 0, end: float = 360) -> np.ndarray:
    angle = np.radians(np.linspace(start, end, 200))
    return np.stack([x + rx * np.cos(angle), y + ry * np.sin(angle)], axis=1)


def path(*points: tuple[float, float]) -> np.ndarray:
    return np.array(points, float)


def wave(x0: float, x1: float, y: float) -> np.ndarray:
    x = np.linspace(x0, x1, 200)
    return np.stack([x, y + 4 * np.sin(x / 9)], axis=1)


# by name: strokes, and a place in each area that is looked at
DRAWINGS = {
    "circle": ([arc(50, 40, 25, 25)], [(50, 40), (5, 5)]),
    "egg": ([arc(50, 40, 34, 20)], [(50, 40)]),
    "house": (
        [path((20, 70), (20, 30), (50, 10), (80, 30), (80, 70), (20, 70))],
        [(50, 50), (3, 3)],
    ),
    "hills": ([wave(-1, 101, 30), wave(-1, 101, 55)], [(50, 5), (50, 45), (50, 75)]),
    "apples": (
        [arc(35, 40, 20, 20), arc(62, 42, 20, 18, -126, 132)],
        [(35, 40), (70, 42), (5, 5)],
    ),
    "room": (
        [path((15, 10), (85, 10), (85, 70), (15, 70), (15, 10)), path((50, 10), (50, 70))],
        [(30, 40), (70, 40)],
    ),
}
# where each is opened: an upright or level strip through one line, by its middle
OPENED = {
    "circle": [(75, 40), (50, 65), (32.3, 22.3)],
    "egg": [(50, 20), (16, 40)],
    "house": [(20, 50), (50, 70), (20, 70), (65, 20)],
    "hills": [(50, 27.35), (30, 54.2)],
    "apples": [(15, 40), (82, 42), (35, 60)],
    "room": [(50, 40), (50, 10.0), (15, 30), (50, 68)],
}


def drawn(
    strokes: list[np.ndarray],
    holes: list[tuple[float, float, float]] = (),
    width: float = 0.5,
    dpi: float = DPI,
) -> Sketch:
    """Black strokes on white, rubbed out in discs of a place and a diameter."""
    shape = tuple(round(mm * dpi / 25.4) for mm in SIZE_MM[::-1])
    ink = fill([o for s in strokes for o in pen_line(s, width, dpi / 25.4)], shape) / 65535
    return rubbed(Sketch((1 - 0.97 * ink).astype(np.float32), dpi), holes)


def rubbed(sketch: Sketch, holes: list[tuple[float, float, float]]) -> Sketch:
    """A sketch rubbed out in discs of a place and a diameter."""
    line = sketch.line.copy()
    for across, down, wide in holes:
        y, x = (np.ogrid[: line.shape[0], : line.shape[1]][i] + 0.5 for i in (0, 1))
        per_mm = sketch.dpi / 25.4
        line[np.hypot(x / per_mm - across, y / per_mm - down) < wide / 2] = 1.0
    return Sketch(line, sketch.dpi)


@cache
def whole(name: str) -> tuple[Sketch, Areas]:
    """A drawing as it is closed, and its areas: the same for every place it is opened at."""
    sketch = drawn(DRAWINGS[name][0])
    return sketch, areas_of(sketch, 0.5)


def mm2(areas: Areas, place: tuple[float, float]) -> float:
    return np.count_nonzero(areas.number == areas.at(place)) / areas.per_mm**2


@pytest.mark.parametrize("gap_mm", [1.0, 2.0, 3.5, 5.0, 8.0])
@pytest.mark.parametrize(
    ("name", "hole"), [(name, hole) for name, holes in OPENED.items() for hole in holes]
)
def test_a_gap_is_closed_as_it_was_drawn(
    name: str, hole: tuple[float, float], gap_mm: float
) -> None:
    sketch, closed = whole(name)
    opened = areas_of(rubbed(sketch, [(*hole, gap_mm)]), gap_mm + 0.5)
    for place in DRAWINGS[name][1]:
        assert mm2(opened, place) == pytest.approx(mm2(closed, place), rel=0.01)
    # a millimetre rubbed out of a corner leaves a neck between two ends, and no gap to join
    assert opened.joins or gap_mm == 1.0


@pytest.mark.parametrize("gap_mm", [3.0, 8.0])
def test_a_gap_left_open_is_told_with_its_place_and_width(gap_mm: float) -> None:
    strokes, _ = DRAWINGS["house"]
    opened = drawn(strokes, [(20, 50, gap_mm)])
    (told,) = areas_of(opened, 0.5).leaks.gaps
    assert told.width_mm == pytest.approx(gap_mm, abs=0.25)  # two pixels
    assert told.at_mm == pytest.approx((20, 50), abs=0.3)
    regions = Regions({"wall": Region(enclosed_at_mm=[(50, 50)])}, opened)
    (note,) = regions.notes()
    assert f"a gap of {told.width_mm:.1f} mm at [" in note


def test_a_closed_drawing_tells_nothing() -> None:
    for strokes, places in DRAWINGS.values():
        regions = {f"at {n}": Region(enclosed_at_mm=[place]) for n, place in enumerate(places)}
        assert Regions(regions, drawn(strokes)).notes() == ()


def test_a_join_that_is_refused_stays_open() -> None:
    opened = drawn(DRAWINGS["room"][0], [(50, 40, 4), (15, 30, 4)])
    both = areas_of(opened, 5)
    assert len(both.joins) == 2
    one = areas_of(opened, 5, [(50.5, 41)])
    assert len(one.joins) == 1
    assert one.at((30, 40)) == one.at((70, 40)) != one.at((5, 5))
    assert one.leaks.gaps == ()  # what is refused isn't told as a leak


def test_hatching_parts_no_area() -> None:
    outline = arc(50, 40, 20, 14)
    whole = mm2(areas_of(drawn([outline]), 0.5), (36, 40))
    upright = [(x, 14 * np.sqrt(1 - ((x - 50) / 20) ** 2)) for x in np.arange(52, 64, 1.2)]
    strokes = [path((x, 40 - half), (x, 40 + half)) for x, half in upright]
    level = [(y, 20 * np.sqrt(1 - ((y - 40) / 14) ** 2)) for y in np.arange(32, 48, 1.2)]
    crossing = [path((50 + 0.2 * half, y), (50 + half, y)) for y, half in level]
    hatched = areas_of(drawn([outline, *strokes], width=0.25), 4)
    assert mm2(hatched, (36, 40)) == pytest.approx(whole, rel=0.01)
    assert mm2(hatched, (3, 3)) > 3000
    # lines that cross shade one area too, though it may end at the first of them
    crossed = areas_of(drawn([outline, *strokes, *crossing], width=0.25), 4)
    large = [a.mm2 for a in crossed.listed if 30 < a.at_mm[0] < 70 and a.mm2 > 5 and a.number > 1]
    assert len(large) <= 3
    assert sum(large) == pytest.approx(whole, rel=0.02)


def test_hatching_right_up_to_a_frame_leaves_the_frame() -> None:
    frame = path((30, 20), (60, 20), (60, 45), (30, 45), (30, 20))
    upright = [path((x, 20), (x, 45)) for x in np.arange(31.2, 60, 1.2)]
    level = [path((30, y), (60, y)) for y in np.arange(21.2, 45, 1.2)]
    for shading in (upright, upright + level):
        found = areas_of(drawn([frame, *shading], width=0.25), 0.5)
        # the frame and half its line
        assert mm2(found, (31.8, 21.8)) == pytest.approx(30 * 25, rel=0.02)


def test_planks_are_no_hatching() -> None:
    planks = [path((x, 20), (x, 60)) for x in range(20, 81, 4)]
    frame = path((20, 20), (80, 20), (80, 60), (20, 60), (20, 20))
    found = areas_of(drawn([frame, *planks]), 0.5)
    assert sum(100 < area.mm2 < 200 for area in found.listed) == 15


def test_areas_count_from_the_largest_and_lie_where_they_say() -> None:
    found = areas_of(drawn(DRAWINGS["apples"][0]), 0.5)
    sizes = [area.mm2 for area in found.listed]
    assert sizes == sorted(sizes, reverse=True)
    assert [area.number for area in found.listed] == list(range(1, len(sizes) + 1))
    for area in found.listed:
        assert found.at(area.at_mm) == area.number
        assert area.mm2 == pytest.approx(mm2(found, area.at_mm), rel=1e-3)


def changed(sketch: Sketch, zoom: float, turn: float, right: int, down: int) -> Sketch:
    """The sketch scanned again: larger, turned and moved on a larger sheet."""
    picture = Image.fromarray(sketch.line)
    rows, columns = sketch.shape
    larger = picture.resize((round(columns * zoom), round(rows * zoom)), Image.Resampling.BICUBIC)
    sheet = Image.new("F", (larger.width + 120, larger.height + 120), 1.0)
    sheet.paste(larger, (right, down))
    return Sketch(np.clip(np.asarray(sheet.rotate(turn, fillcolor=1.0)), 0, 1), sketch.dpi)


@pytest.mark.parametrize(
    ("zoom", "turn", "right", "down"),
    [(1.0, 0.0, 0, 0), (1.0, 0.0, 45, 70), (1.25, 0.0, 10, 30), (0.9, 2.0, 60, 20)],
)
def test_numbers_are_found_again_in_a_sketch_that_has_changed(
    tmp_path: Path, zoom: float, turn: float, right: int, down: int
) -> None:
    inner = [arc(x, y, r, r) for x, y, r in ((30, 30, 6), (30, 52, 4), (60, 30, 8), (62, 55, 5))]
    before = areas_of(drawn([arc(46, 40, 40, 30), *inner]), 0.5)
    (tmp_path / "areas.json").write_text(kept_text(before), "utf-8")
    kept = read_kept(tmp_path / "areas.json")
    assert kept == list(before.listed)
    after = areas_of(changed(before.sketch, zoom, turn, right, down), 0.5)
    now = matched(kept, after.listed)
    for area in kept[1:]:  # the rest of the sheet has another size
        found = after.listed[now[area.number] - 1]
        assert found.mm2 == pytest.approx(area.mm2 * zoom**2, rel=0.015)
    assert len(set(now.values())) == len(now)


def test_a_region_of_numbers_follows_its_areas_and_tells_what_is_lost(tmp_path: Path) -> None:
    rings = [arc(x, 40, r, r) for x, r in ((25, 14), (60, 11), (84, 8))]
    (tmp_path / "areas.json").write_text(kept_text(areas_of(drawn(rings), 0.5)), "utf-8")
    named = {"pears": Region(area=[2, 4])}
    fewer = Regions(
        named, drawn(rings[:2]), file=lambda name: tmp_path / name, gaps=Gaps(numbered="areas.json")
    )
    assert fewer.cover("pears").mask[:, :].sum() / 65535 / PER_MM**2 == pytest.approx(
        np.pi * 14**2, rel=0.02
    )
    (note,) = fewer.notes()
    assert "area 4 can't be found in the sketch" in note
    with pytest.raises(InputError, match="area 9 can't be found"):
        Regions({"pears": Region(area=9)}, drawn(rings)).cover("pears")


def test_a_damaged_file_of_numbers_is_told(tmp_path: Path) -> None:
    for text in ("", "[]", '{"areas": [{"number": "x"}]}', "\x00"):
        (tmp_path / "areas.json").write_text(text, "utf-8")
        with pytest.raises(InputError, match="holds no numbers of areas"):
            read_kept(tmp_path / "areas.json")
