"""What a scene leaves out is what its page says it usually is."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from glaze.materials.bleach import Bleach
from glaze.materials.dropper import Dropper
from glaze.materials.room import Room
from glaze.record.mistakes import Record
from glaze.region.records import Gaps
from glaze.scene.records import BleachBottle, DropperCount, RoomAir, Scene
from glaze.step.charge_step import Charge
from glaze.step.lift_step import Lift
from glaze.step.wash_step import Wash
from glaze.step.water_step import WaterLift

PAGE = (Path(__file__).parents[2] / "docs" / "scene-file.md").read_text(encoding="utf-8")


def usual(begins: str) -> dict[str, float]:
    """Numbers that the line of the page beginning so gives after "usually", by name."""
    (line,) = [line for line in PAGE.splitlines() if line.startswith(begins)]
    return {name: float(n) for name, n in re.findall(r"`(\w+)`[^`]*?usually ([\d.]*\d)", line)}


@pytest.mark.parametrize(
    ("begins", "record", "count"),
    [
        ("`[room]`", RoomAir, 3),
        ("`[dropper]`", DropperCount, 1),
        ("`[bleach]`", BleachBottle, 4),
        ("| `wash =", Wash, 3),
        ("| `charge =", Charge, 3),
        ("| `lift =", Lift, 3),
        ("| `water_lift =", WaterLift, 1),
    ],
)
def test_numbers_left_out_are_those_of_the_page(
    begins: str, record: type[Record], count: int
) -> None:
    told = usual(begins)
    assert len(told) == count
    assert {name: record.model_fields[name].default for name in told} == told


def test_the_widest_gap_left_out_is_that_of_the_page() -> None:
    told = re.search(r"gap_mm = .*usually ([\d.]*\d)", PAGE)
    assert told
    assert Gaps.model_fields["gap_mm"].default == float(told[1])


def test_a_scene_that_names_no_bottle_no_room_and_no_dropper_takes_those_of_the_page() -> None:
    scene = Scene(format=1, palette="lifting", paper="matte", size_mm=(100, 100))
    assert vars(Bleach()) == usual("`[bleach]`") == dict(scene.bleach)
    assert vars(Room()) == usual("`[room]`") == dict(scene.room)
    assert scene.dropper is None
    assert Dropper().water_drops_per_ml == usual("`[dropper]`")["water_drops_per_ml"]
