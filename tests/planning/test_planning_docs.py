"""The page on planning shows commands that run."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner

from glaze.cli.main import glaze

PAGE = Path("docs/planning.md").read_text(encoding="utf-8")
COMMANDS = re.findall(r"^\$ glaze (.+)$", PAGE, re.MULTILINE)


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
    assert asked == {*questions, "plan"}


@pytest.mark.parametrize("line", [line for line in COMMANDS if not line.startswith("plan")])
def test_commands_of_the_page_run(line: str) -> None:
    result = CliRunner().invoke(glaze, shlex.split(line), catch_exceptions=False)
    assert result.exit_code == 0
    # the shape of the answer, figures apart: the first line starts as the page says
    shown = PAGE.split(f"$ glaze {line}\n")[1].splitlines()[0]
    plain = [re.sub(r"[\d.]+", "#", text)[:20] for text in (shown, result.stdout.splitlines()[0])]
    assert plain[0] == plain[1]


def test_the_page_never_names_a_neutraliser_but_water() -> None:
    for word in ("vinegar to stop", "thiosulf", "peroxide", "neutralis"):
        assert word not in PAGE.lower()
