"""The commands that answer questions: JSON alone, exit codes, words."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner

from glaze.cli.look_commands import keep, lights, swatch, wet
from glaze.cli.plan_command import plan
from glaze.cli.question_commands import mix, name, room
from glaze.cli.shadow_command import shadow
from glaze.errors import InputError

SCENE = """
format = 1
title = "Two fields"
palette = "lifting"
paper = "white cartridge"
size_mm = [60, 40]
dpi = 101.6
[well]
dusk = "Blue 3 + water 9"
[[step]]
wash = "field"
mix = "dusk"
region = { polygon_mm = [[0, 0], [30, 0], [30, 40], [0, 40]] }
[[step]]
lift = "star"
region = { ellipse_mm = { centre = [10, 10], radii = [4, 4] } }
"""


def run(command, *words: str):
    return CliRunner().invoke(command, words, catch_exceptions=False)


@pytest.fixture
def scene(tmp_path: Path) -> str:
    (tmp_path / "scene.toml").write_text(SCENE)
    return str(tmp_path)


@pytest.mark.parametrize(
    ("command", "words", "keys"),
    [
        (mix, ["#2f6f6a"], {"recipes", "reachable", "note"}),
        (mix, ["N 5", "--only", "Black", "--drops", "20"], {"recipes", "reachable", "note"}),
        (name, ["Separating Blue"], {"ink", "close_to", "note"}),
        (shadow, ["Yellow", "--value", "6"], {"parts_water", "coats", "value", "band", "note"}),
        (shadow, ["Yellow", "Red", "--darker", "1.5"], {"shadows", "one_wash_for_all", "note"}),
        (shadow, ["paper", "Red", "--value", "4"], {"shadows"}),
        (shadow, ["paper", "--ladder", "5"], {"even", "doubling"}),
        (room, ["Yellow", "--glaze", "Black 1 + water 9"], {"after", "darkest", "glazes_left"}),
        (wet, ["Black 1 + water 4"], {"looks", "dries_lighter_by", "standing"}),
        (swatch, ["Red 1 over Yellow 1"], {"states", "notes", "hue"}),
        (keep, ["Blue"], {"after", "blue_wool", "standing"}),
        (lights, ["Blue", "--under", "D65,A"], {"under"}),
    ],
)
def test_json_is_one_object_and_nothing_else(command, words, keys) -> None:
    result = run(command, *words, "--json")
    assert result.exit_code == 0
    told = json.loads(result.stdout)
    assert keys <= told.keys()
    assert "NaN" not in result.stdout
    assert "Infinity" not in result.stdout


@pytest.mark.parametrize(
    ("command", "words", "told"),
    [
        (mix, ["#2f6f6a"], "Next simpler"),
        (name, ["Separating Blue"], "close to"),
        (shadow, ["Yellow", "--darker", "2"], "1 part +"),
        (shadow, ["Yellow", "Blue", "--darker", "1"], "One wash for all, 1 part + "),
        (shadow, ["paper", "--ladder", "5"], "Doubled water"),
        (room, ["Yellow", "--glaze", "Black 1 + water 9"], "Room for"),
        (wet, ["Blue"], "lighter than it looks wet"),
        (swatch, ["Red 1 over Yellow 1"], "lifted once"),
        (keep, ["Blue"], "blue wool"),
        (lights, ["Blue", "--under", "D65"], "from daylight"),
    ],
)
def test_answers_are_in_words(command, words, told) -> None:
    result = run(command, *words)
    assert result.exit_code == 0
    assert told in result.stdout


@pytest.mark.parametrize(
    ("command", "words"),
    [
        (mix, ["glorp"]),
        (mix, ["#808080", "--only", "Teal"]),
        (name, ["Teal"]),
        (shadow, ["Yellow"]),
        (shadow, ["Teal", "--value", "5"]),
        (shadow, ["Yellow", "--value", "12"]),
        (keep, ["Blue", "--mlxh", "much"]),
        (lights, ["Blue", "--under", "moon"]),
    ],
)
def test_mistakes_are_told_before_anything_is_printed(command, words) -> None:
    with pytest.raises(InputError):
        run(command, *words)


def test_a_plan_is_told_and_its_card_written(scene: str, tmp_path: Path) -> None:
    card = tmp_path / "card.pdf"
    result = run(plan, scene, "--card", str(card), "--date", "2026-11-25")
    assert result.exit_code == 0
    assert card.read_bytes().startswith(b"%PDF")
    for words in ("from the well dusk", "BLEACH", "Bleach burns skin and eyes", "Values:"):
        assert words in result.stdout
    told = json.loads(run(plan, scene, "--json").stdout)
    assert {"steps", "minutes", "wells", "risks", "values", "caution"} <= told.keys()


def test_a_card_that_cannot_be_written_is_refused_at_once(scene: str, tmp_path: Path) -> None:
    for wrong in (
        ["--card", str(tmp_path / "card.doc")],
        ["--card", "c.pdf", "--card-size", "B9"],
        ["--page", "page.pdf"],
    ):
        with pytest.raises(InputError):
            run(plan, scene, *wrong)
    assert not (tmp_path / "card.doc").exists()


def test_exit_code_2_and_a_clean_output_from_the_shell() -> None:
    import subprocess
    import sys

    done = subprocess.run(
        [sys.executable, "-m", "glaze", "mix", "#12345"],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 2
    assert done.stdout == ""
    assert "hex code" in done.stderr
