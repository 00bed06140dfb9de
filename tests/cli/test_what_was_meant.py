"""Words of a painter's that are no command or scene yet: what to type is told with the refusal."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

import glaze as package
from glaze.cli.chart_commands import CHARTS
from glaze.cli.main import COMMANDS, MEANT, glaze
from glaze.errors import InputError, unknown
from glaze.scene.file import load_scene


@pytest.mark.parametrize("word", ["bleach", "lift", "Wheel", "paint", "dilute", "open"])
def test_a_painters_word_for_a_command_is_answered_with_what_there_is(word: str) -> None:
    """`glaze lift` was asked whether it meant lights, `glaze wheel` whether wet."""
    run = CliRunner().invoke(glaze, [word])
    assert run.exit_code == 2
    assert MEANT[word.lower()] in run.output
    assert "Did you mean" not in run.output


def test_what_was_meant_is_there() -> None:
    for told in MEANT.values():
        for command in told.split(", "):
            _, name, *rest = command.split()
            assert name in COMMANDS, command
            assert name != "chart" or rest[0] in CHARTS
    assert not set(MEANT) & set(COMMANDS)


def test_an_example_not_copied_yet_is_named_with_its_command(tmp_path, monkeypatch) -> None:
    """Each help ends with `glaze plan huts`, which told to make a scene of a sketch."""
    monkeypatch.chdir(tmp_path)
    with pytest.raises(InputError, match="`glaze example huts` copies ours"):
        load_scene("huts")
    with pytest.raises(InputError) as told:
        load_scene("boat")
    assert "example" not in str(told.value)


def test_names_with_commas_are_told_apart() -> None:
    told = unknown("step", "blot it", ["grass", "blot, clean water, blot"])
    assert told.endswith('Known: "blot, clean water, blot", "grass".')
    assert unknown("step", "x", ["grass", "sky"]).endswith("Known: grass, sky.")


def test_a_name_that_shares_half_its_letters_is_taken_for_a_slip() -> None:
    # "ro" of "rock" and of "roof": 4 of 8 letters in all; "r" alone of "reef": 2 of 8
    assert 'Did you mean "roof"?' in unknown("region", "rock", ["roof"])
    assert "mean" not in unknown("region", "rock", ["reef"])


def test_a_lesson_too_long_for_its_minutes_says_so_at_once(tmp_path: Path) -> None:
    out = str(tmp_path / "lesson.pdf")
    run = CliRunner().invoke(glaze, ["lesson", "-o", out, "--no-bleach"])
    # 10 + 23 + 12 + 20 + 12 + 10 + 10 minutes of the parts, by hand
    assert "All of it takes 97 minutes, and you have 90: leave out the ladder." in run.output
    run = CliRunner().invoke(glaze, ["lesson", "-o", out, "--no-bleach", "--minutes", "97"])
    assert "takes" not in run.output


def test_the_version_stands_in_one_place() -> None:
    project = (Path(__file__).parents[2] / "pyproject.toml").read_text(encoding="utf-8")
    assert 'dynamic = ["version"]' in project
    assert "\nversion = " not in project
    run = CliRunner().invoke(glaze, ["--version"])
    assert package.__version__ in run.output
