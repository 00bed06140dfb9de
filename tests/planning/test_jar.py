"""A jar of one's own: amounts, what rounding costs, the trial and the label."""

from __future__ import annotations

import json
from pathlib import Path

import colour
import pytest
from click.testing import CliRunner

from glaze.cli.jar_command import jar
from glaze.errors import InputError
from glaze.materials.dropper import parse_dropper
from glaze.patch.patches import bare_patches, glaze, lab
from glaze.patch.table import table_of
from glaze.planning.recipe.jar import fill_jar
from glaze.planning.recipe.match import mix_or_match

TABLE = table_of("lifting", "white cartridge", dropper=parse_dropper("ink 30, water 20"))


def test_parts_are_measured_in_ml_and_in_the_dropper_s_own_drops() -> None:
    # 1 part + 2 parts of 30 ml are 10 and 20 ml; at 30 and 20 drops to the ml 300 and 400 drops
    found = fill_jar(TABLE, TABLE.mix("Blue 1 part + water 2 parts"), 30)
    told = {m.liquid: (round(m.ml, 6), m.marks_ml, m.drops) for m in found.whole.measures}
    assert told == {"Blue": (10.0, 10.0, 300), "water": (20.0, 20.0, 400)}
    assert found.whole.off_marks == pytest.approx(0.0, abs=1e-9)
    tenth = {m.liquid: (round(m.ml, 6), m.drops) for m in found.tenth.measures}
    assert tenth == {"Blue": (1.0, 30), "water": (2.0, 40)}
    assert found.tenth.text == "Blue 30 drops + water 40 drops"


def test_what_rounding_costs_is_the_difference_of_the_two_mixes() -> None:
    # second way: both mixes laid as recipes in ml, compared by a general colour library
    found = fill_jar(TABLE, TABLE.mix("Blue 7 parts + Black 1 part"), 10, marks_ml=1)
    seen = [
        lab(TABLE, glaze(TABLE, bare_patches(TABLE), TABLE.mix(text)))[0, 0]
        for text in ("Blue 8.75 ml + Black 1.25 ml", "Blue 9 ml + Black 1 ml")
    ]
    apart = float(colour.delta_E(*seen, method="CIE 2000"))
    assert apart > 0.3
    assert found.whole.off_marks == pytest.approx(apart, rel=0.02)
    assert found.whole.off_drops < found.whole.off_marks


def test_what_is_less_than_half_a_mark_is_counted_in_drops() -> None:
    found = fill_jar(TABLE, TABLE.mix("Blue 99 parts + Black 1 part"), 20)
    blue, black = found.whole.measures
    assert blue.text == "20 ml"
    assert black.marks_ml == 0
    assert black.text == "6 drops"  # 0.2 ml at 30 drops to the ml
    assert found.whole.off < found.whole.off_marks


def test_a_colour_s_name_is_answered_with_its_nearest_mix() -> None:
    mix, told = mix_or_match("olive", TABLE)
    assert "olive is 8Y" in told[0]
    assert mix.ink_ml.keys() <= set(TABLE.palette.inks)
    assert mix_or_match("Blue 2 + Yellow 1", TABLE)[1] == []


@pytest.mark.parametrize(
    "words", [["blorp"], ["teal", "--ml", "0"], ["teal", "--marks", "40"], ["water 3"]]
)
def test_jars_nobody_fills_are_told(words: list[str]) -> None:
    with pytest.raises(InputError):
        CliRunner().invoke(jar, words, catch_exceptions=False)


def test_the_label_says_recipe_date_and_to_keep_bleach_away(tmp_path: Path) -> None:
    file = tmp_path / "jar.svg"
    words = ["teal", "--ml", "30", "--name", "sea", "-o", str(file), "--date", "2026-01-02"]
    told = json.loads(CliRunner().invoke(jar, [*words, "--json"]).stdout)
    assert told["files"] == [str(file)]
    assert "Bleach burns" in told["caution"]
    text = file.read_text()
    for part in ("A jar of sea", "Never put bleach in it", "30 ml, 2026-01-02", "read this first"):
        assert part in text
    assert "water 1" in text
