"""Areas that were found once are known again, and nothing that befalls them can mislead a run."""

from __future__ import annotations

import time
from pathlib import Path

import numpy as np
import pytest

from glaze.region import areas as areas_room
from glaze.region import kept_areas
from glaze.region.areas import areas_of
from glaze.region.kept_areas import areas_found
from glaze.sketch.line import Sketch


@pytest.fixture(autouse=True)
def cache(tmp_path, monkeypatch) -> Path:
    """A folder of the test's own to keep things in."""
    monkeypatch.setattr(kept_areas, "kept_in", lambda *of: tmp_path)
    return tmp_path


def boxes(gap_px: int = 3) -> Sketch:
    """Two boxes side by side on 150 x 100 mm; the wall between them has a gap."""
    line = np.ones((1000, 1500), np.float32)
    for row in (100, 900):
        line[row - 3 : row + 3, 100:1400] = 0.0
    for column in (100, 750, 1400):
        line[97:903, column - 3 : column + 3] = 0.0
    line[500 : 500 + gap_px, 740:760] = 1.0
    return Sketch(line, 254.0)


def told(areas):
    """What is read of a finding, its arrays apart."""
    return areas.listed, areas.joins, areas.leaks.gaps, areas.gap_mm


def same(one, other) -> bool:
    """Whether two findings are alike in all that is read of them."""
    return (
        told(one) == told(other)
        and bool((one.number == other.number).all())
        and one.number.dtype == other.number.dtype
        and bool((one.leaks.pieces == other.leaks.pieces).all())
        and one.leaks.through([(30, 50)]) == other.leaks.through([(30, 50)])
    )


def forbid_looking(monkeypatch) -> None:
    def look(*given):
        raise AssertionError("looked for again")

    monkeypatch.setattr(kept_areas, "areas_of", look)
    monkeypatch.setattr(areas_room, "_listed", look)


def test_areas_are_looked_for_once(monkeypatch):
    sketch = boxes(30)
    looked_for = areas_of(sketch, 0.5)
    assert looked_for.leaks.gaps, "a leak has to be kept too"
    assert same(areas_found(sketch, 0.5), looked_for)
    forbid_looking(monkeypatch)  # in the list that numbers are told by as well
    again = areas_found(sketch, 0.5)
    assert same(again, looked_for)
    assert again.sketch is sketch


@pytest.mark.parametrize(
    "change",
    [
        lambda sketch: (Sketch(np.flipud(sketch.line), 254.0), 0.5, ()),
        lambda sketch: (Sketch(sketch.line, 255.0), 0.5, ()),
        lambda sketch: (sketch, 4.0, ()),
        lambda sketch: (sketch, 0.5, [(75.0, 50.0)]),
    ],
)
def test_any_change_of_line_dpi_or_gaps_is_looked_at_anew(change):
    areas_found(boxes(), 0.5)
    changed = change(boxes())
    assert same(areas_found(*changed), areas_of(*changed))
    assert same(areas_found(*changed), areas_of(*changed))


@pytest.mark.parametrize("damage", [b"", b"short", None])
def test_what_is_damaged_is_looked_for_again_and_kept_whole(damage, cache):
    sketch, looked_for = boxes(), areas_of(boxes(), 0.5)
    areas_found(sketch, 0.5)
    (file,) = cache.glob("*.areas")
    whole = file.read_bytes()
    middle = len(whole) // 2
    one_bit = whole[:middle] + bytes([whole[middle] ^ 1]) + whole[middle + 1 :]
    file.write_bytes(one_bit if damage is None else damage)
    assert same(areas_found(sketch, 0.5), looked_for)
    assert file.read_bytes() == whole


def test_nothing_is_lost_where_nothing_can_be_kept(monkeypatch):
    monkeypatch.setattr(kept_areas, "kept_in", lambda *of: None)
    assert same(areas_found(boxes(), 0.5), areas_of(boxes(), 0.5))


def test_the_sketches_not_asked_for_longest_go_first(monkeypatch, cache):
    monkeypatch.setattr(kept_areas, "MOST_FILES", 2)
    for gap_mm in (0.5, 1.0):
        areas_found(boxes(), gap_mm)
        time.sleep(0.02)
    areas_found(boxes(), 0.5)
    time.sleep(0.02)
    areas_found(boxes(), 2.0)
    assert len(list(cache.glob("*.areas"))) == 2
    forbid_looking(monkeypatch)
    areas_found(boxes(), 0.5)
