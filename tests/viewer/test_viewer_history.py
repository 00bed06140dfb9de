"""Named deeds, taken back and done again, within a limit of memory."""

from __future__ import annotations

import pytest

from glaze.scene.records import Scene
from viewer.core.drafting import Draft
from viewer.core.history import Deed, History, MaskChange
from viewer.core.squares import Square

SCENES = [
    Draft(Scene(format=1, title=str(n), palette="lifting", paper="white cartridge", size_mm=(9, 9)))
    for n in range(12)
]


def _deed(n: int, merge: str = "", bytes_: int = 0) -> Deed:
    part = Square((256, 256), bytes(bytes_ // 2))
    masks = (MaskChange("a", {(0, 0): part}, {(0, 0): part}),) if bytes_ else ()
    return Deed(f"deed {n}", SCENES[n], SCENES[n + 1], masks, merge=merge)


def test_deeds_are_taken_back_last_first_and_done_again_first_first():
    history = History()
    for n in range(3):
        history.add(_deed(n))
    assert [history.back().name for _ in range(3)] == ["deed 2", "deed 1", "deed 0"]
    assert history.back() is None
    assert [history.again().name for _ in range(3)] == ["deed 0", "deed 1", "deed 2"]
    assert history.again() is None


def test_a_new_deed_ends_what_could_have_been_done_again():
    history = History()
    history.add(_deed(0))
    history.add(_deed(1))
    history.back()
    history.add(_deed(5))
    assert history.again_name is None
    assert [history.back().name for _ in range(2)] == ["deed 5", "deed 0"]
    assert history.back() is None


def test_a_dilution_dragged_along_its_ladder_is_one_deed():
    history = History()
    for n in range(6):
        history.add(_deed(n, merge="dilution of sky"))
    assert len(history.deeds) == 1
    deed = history.back()
    assert (deed.before, deed.after) == (SCENES[0], SCENES[6])


def test_letting_go_ends_a_run_of_deeds():
    history = History()
    history.add(_deed(0, merge="dilution of sky"))
    history.settle()
    history.add(_deed(1, merge="dilution of sky"))
    assert len(history.deeds) == 2


def test_painted_deeds_of_one_kind_are_taken_back_one_by_one():
    history = History()
    history.add(_deed(0, merge="stroke", bytes_=400))
    history.add(_deed(1, merge="stroke", bytes_=400))
    history.add(_deed(2, merge="stroke"))
    assert [history.back().name for _ in range(3)] == ["deed 2", "deed 1", "deed 0"]


def test_another_kind_of_deed_is_a_deed_of_its_own():
    history = History()
    history.add(_deed(0, merge="dilution of sky"))
    history.add(_deed(1, merge="coats of sky"))
    assert len(history.deeds) == 2


@pytest.mark.parametrize("most", [10_000, 50_000, 200_000])
def test_old_deeds_are_let_go_when_they_take_too_much_memory(most):
    history = History(most_bytes=most)
    for n in range(10):
        history.add(_deed(n, bytes_=20_000))
        assert history.size <= most or len(history.deeds) == 1
    assert history.back_name == "deed 9"


def test_the_last_deed_stays_however_large_it_is():
    history = History(most_bytes=10)
    history.add(_deed(0, bytes_=40_000))
    assert history.back_name == "deed 0"
