"""The page on planning shows commands that run."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner

from glaze.cli.main import glaze

PAGE = Path("docs/planning.md").read_text(encoding="utf-8")
COMMANDS = re.findall(r"^glaze (.+)$", PAGE, re.MULTILINE)


def test_every_question_has_its_example() -> None:
    asked = {shlex.split(line)[0] for line in COMMANDS}
    questions = {
        "mix",
        "name",
        "swatch",
        "bottles",
        "jar",
        "shadow",
        "room",
        "wet",
        "keep",
        "lights",
    }
    assert asked == {*questions, "plan", "example"}


def test_no_answer_is_pasted() -> None:
    """The guide runs each command as it is built and shows what it says then."""
    assert "$ glaze" not in PAGE
    assert len(re.findall(r"^```\{run\}$", PAGE, re.MULTILINE)) == len(COMMANDS)


QUICK = [line for line in COMMANDS if "lighthouse" not in line]


@pytest.mark.parametrize("line", QUICK)
def test_commands_of_the_page_run(line: str) -> None:
    result = CliRunner().invoke(glaze, shlex.split(line), catch_exceptions=False)
    assert result.exit_code == 0


def test_the_page_never_names_a_neutraliser_but_water() -> None:
    for word in ("vinegar to stop", "thiosulf", "peroxide", "neutralis"):
        assert word not in PAGE.lower()
