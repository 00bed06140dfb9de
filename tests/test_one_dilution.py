"""The same dilution asked at every door: the same drops and the same words."""

from __future__ import annotations

import json
from types import SimpleNamespace

import numpy as np
import pytest
from click.testing import CliRunner

import glaze.charts.content.blocks as blocks
import glaze.charts.content.ladder as ladder
import glaze.charts.sheets.swatches as swatches
import viewer.core.cards as desk
from glaze.charts.content.card_words import recipe_lines
from glaze.charts.content.tertiary import plan_lesson
from glaze.charts.content.wheel import plan_wheel
from glaze.charts.paper.marks import Text
from glaze.charts.sheets.parts import Layout
from glaze.charts.sheets.wheel_sheet import wheel_sheets
from glaze.cli.shadow_command import shadow as command
from glaze.materials.dropper import Dropper
from glaze.painting.settle import resolve
from glaze.patch.table import Table, table_of
from glaze.pipeline import linear_rgb
from glaze.planning.recipe.coats import value_under
from glaze.planning.recipe.hue import read_hue
from glaze.planning.recipe.shadow import shadow
from glaze.planning.sheet.planner import plan_of
from glaze.scene.file import read_text, scene_of
from glaze.sheet.memory import Memory

# worked by hand with 35 drops of ink and 20 of water to the ml: the fewest drops, three of ink or
# more, that come within 5 % of the strength 1/(1 + n); a ml of water to 20 drops, so k drops of ink
# take k x n x 20/35 of water
TOLD = {
    0.0: ("neat", "Black 1"),
    0.03: ("neat", "Black 1"),  # 3 % weaker at most
    0.5: ("1 part + 0.5 parts water", "Black 4 + water 1"),  # 1.14 -> 1: 1 + 0.44
    1.0: ("1 part + 1 part water", "Black 5 + water 3"),  # 3 and 1.7 -> 2: 1 + 1.17; 5 and 2.9
    3.3: ("1 part + 3.3 parts water", "Black 3 + water 6"),  # 5.7 -> 6: 1 + 3.5
    8.0: ("1 part + 8 parts water", "Black 3 + water 14"),  # 13.7
    16.0: ("1 part + 16 parts water", "Black 3 + water 27"),  # 27.4
    # 54.9 and 90.9 of water: two steps, worked in tests/materials/test_dilution.py
    32.0: ("1 part + 32 parts water", "Black 3 + water 9, then 3 of that + water 11"),
    53.0: ("1 part + 53 parts water", "Black 3 + water 11, then 3 of that + water 17"),
}
PARTS = tuple(TOLD)


@pytest.fixture(scope="module")
def table() -> Table:
    return table_of("lifting", "white cartridge")


def short(words: str) -> str:
    """ "1 + 8" for "1 part + 8 parts water"."""
    return words if words == "neat" else f"1 + {words.split()[3]}"


@pytest.mark.parametrize("parts", PARTS)
def test_a_shadow_of_the_value_those_parts_have(table: Table, parts: float) -> None:
    paper = read_hue("paper", table)
    wanted = value_under(table, paper.on(table), table.mix("Black 1"), 1 / (1 + parts))
    found = shadow(table, paper, to_value=wanted)
    assert found.coats == 1
    assert (found.parts, found.dilution.text) == TOLD[parts]
    told = found.as_dict()
    assert (told["parts"], told["recipe"]) == TOLD[parts]
    assert told["parts_water"] == pytest.approx(parts, abs=0.02 * (1 + parts))


def test_the_ladder_of_the_shadow_command() -> None:
    done = CliRunner().invoke(command, ["paper", "--ladder", "4", "--json"])
    rungs = json.loads(done.output)["doubling"]
    for rung in rungs:
        if rung["parts_water"] in TOLD:
            assert (rung["parts"], rung["recipe"]) == TOLD[rung["parts_water"]]
    assert {0.0, 1.0, 8.0, 16.0, 32.0} <= {rung["parts_water"] for rung in rungs}
    assert all(rung["parts_told"] == rung["parts_water"] for rung in rungs)
    plain = CliRunner().invoke(command, ["paper", "--ladder", "4"]).output
    for parts in (1.0, 8.0, 16.0, 32.0):
        words, drops = TOLD[parts]
        (line,) = [one for one in plain.splitlines() if f"  {words}  " in one]
        assert line.endswith(f" {drops}")


def test_the_ladder_sheet(table: Table, monkeypatch) -> None:
    monkeypatch.setattr(ladder, "doubling_parts", lambda _: list(PARTS))
    rungs = ladder.dilution_ladder(table, "Black 1", len(PARTS)).rungs
    assert [(rung.words, rung.recipe) for rung in rungs] == list(TOLD.values())


def test_the_blocks_of_the_class_pack(table: Table, monkeypatch) -> None:
    monkeypatch.setattr(blocks, "GLAZE_PARTS", PARTS[::-1])
    stops = blocks.glazed_block(table, "Red 3 + Yellow 3", "Black").to_black.stops[1:]
    for stop, (words, drops) in zip(stops, list(TOLD.values())[::-1], strict=True):
        assert stop.told == short(words)
        brief = drops.replace("Black ", "K").replace(" of that + water ", " w")
        assert stop.drops == brief.replace(" + water ", " w").replace("then ", "")


@pytest.mark.parametrize("rungs", [PARTS[:6], PARTS[3:]])
def test_the_swatch_sheet(table: Table, monkeypatch, rungs) -> None:
    monkeypatch.setattr(swatches, "RUNGS", rungs)
    (page, *_) = swatches.swatch_sheet(table, "A4", [], "2026-01-02")
    told = [mark.text for mark in page.marks if isinstance(mark, Text)]
    for parts in rungs:
        words, drops = TOLD[parts]
        assert words in told or words.split(" + ")[-1] in told
        if parts >= 0.05:
            counts = drops.replace("Black ", "").replace("water ", "").replace(" of that", "")
            assert (counts if "then" in counts else f"{counts} drops") in told


@pytest.mark.parametrize("parts", [n for n in PARTS if n])
def test_the_key_of_the_wheel_and_the_lesson(table: Table, parts: float) -> None:
    words, drops = TOLD[parts]
    wheel = plan_wheel(table, 6, inner=f"1+{parts:g}")
    (page, *_) = wheel_sheets(wheel, Layout(day="2026-01-02"))
    told = " ".join(mark.text for mark in page.marks if isinstance(mark, Text))
    assert f"{words} (drops: {drops})" in told
    lesson = plan_lesson(table, dilution=f"1+{parts:g}")
    assert (lesson.shadow_words, lesson.shadow_drops) == (words, drops)


def test_the_ladder_of_the_window(table: Table, monkeypatch) -> None:
    monkeypatch.setattr(desk, "LADDER", PARTS)
    for line in ("Black", "Black 1 part + water 2 parts"):
        rungs = desk.ladder_of(SimpleNamespace(table=table), line)
        assert [(r.dilution.words, r.dilution.text) for r in rungs] == list(TOLD.values())
        assert [r.dilution.short for r in rungs] == [short(words) for words, _ in TOLD.values()]


def planned(parts: float, dropper: str = ""):
    scene = f"""
format = 1
palette = "lifting"
paper = "white cartridge"
size_mm = [30, 20]
dpi = 50.8
{dropper}
[[step]]
wash = "shade"
mix = "Black 1 part + water {parts:g} parts"
region = "sheet"
"""
    return plan_of(scene_of(read_text(scene), "."))


@pytest.mark.parametrize("parts", [n for n in PARTS if n])
def test_the_plan_and_its_card(parts: float) -> None:
    words, drops = TOLD[parts]
    (step,) = planned(parts).steps
    assert step.amount is not None
    told = step.amount.as_dict()
    assert told["parts"] == words
    # 0.5 ml is the least that can be stirred: below 1 + 8 it takes more drops than those
    if parts >= 8:
        assert step.amount.text == drops
    else:
        black, water = told["drops"]["Black"], told["drops"].get("water", 0)
        assert black / 35 + water / 20 >= 0.5 - 1e-9
        strength = black / 35 / (black / 35 + water / 20)
        assert strength * (1 + parts) == pytest.approx(1, abs=0.05)
    assert " ".join(recipe_lines(step, 200.0)) == f"{step.amount.text}; {words}"


def test_a_dropper_of_ones_own_is_asked_at_every_door(table: Table) -> None:
    # one pipette for both, 25 drops to the ml: drops are parts, so 1 + 8 is 3 and 24
    both = table_of("lifting", "white cartridge", dropper=Dropper(25, 25))
    assert plan_lesson(both, dilution="1+8").shadow_drops == "Black 3 + water 24"
    assert desk.ladder_of(SimpleNamespace(table=both), "Black")[4].dilution.text == (
        "Black 3 + water 24"
    )
    words = ["paper", "--ladder", "3", "--dropper", "both 25"]
    assert "Black 3 + water 24\n" in CliRunner().invoke(command, words).output
    key = "[dropper]\nink_drops_per_ml = 25\nwater_drops_per_ml = 25\n"
    (step,) = planned(8, key).steps
    assert step.amount is not None
    assert step.amount.text == "Black 3 + water 24"


def test_a_recipe_in_drops_changes_with_the_dropper_of_the_scene() -> None:
    # Black 1 + water 4 is 1 + 7 at 35 and 20 drops to the ml, 1 + 4 where both drop alike
    scene = """
format = 1
palette = "lifting"
paper = "white cartridge"
size_mm = [30, 20]
dpi = 50.8
[[step]]
wash = "shade"
mix = "Black 3 + water 12"
region = "sheet"
"""
    key = "[dropper]\nink_drops_per_ml = 20\n"
    own = scene.replace("[[step]]", key + "[[step]]")
    found = [plan_of(scene_of(read_text(text), ".")).steps[0] for text in (scene, own)]
    assert [step.amount.parts for step in found] == [
        "1 part + 7 parts water",
        "1 part + 4 parts water",
    ]
    assert found[0].value.best > found[1].value.best + 0.3
    # what is kept of the one is no good for the other
    kept = Memory()
    first, second = (scene_of(read_text(text), ".") for text in (scene, own))
    resolve(first, memory=kept)
    again, fresh = resolve(second, memory=kept), resolve(second)
    assert np.array_equal(linear_rgb(again), linear_rgb(fresh))
    assert not np.array_equal(linear_rgb(again), linear_rgb(resolve(first)))


@pytest.mark.parametrize("count", [0, 4, 101, "many"])
def test_a_dropper_that_is_none_is_refused_in_a_scene(count) -> None:
    told = f'"{count}"' if isinstance(count, str) else count
    with pytest.raises(Exception, match=r"dropper.*ink_drops_per_ml") as refused:
        planned(8, f"[dropper]\nink_drops_per_ml = {told}\n")
    assert type(refused.value).__name__ == "InputError"
