"""The guide is made of commands that are run; its tools are held here, `.ci/run` builds it."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import pytest

DOCS = Path(__file__).resolve().parent.parent / "docs"
PAGES = sorted([*DOCS.glob("tutorials/*.md"), *DOCS.glob("how-to/*.md"), DOCS / "index.md"])
pytest.importorskip("sphinx", reason="the guide wants the extra `guide`")
sys.path.append(str(DOCS))


def commands_of(page: Path) -> list[str]:
    blocks = re.findall(r"```\{run\}\n(.*?)```", page.read_text("utf-8"), re.S)
    return [
        line
        for block in blocks
        for line in block.splitlines()
        if line.strip() and not line.startswith(":")
    ]


def test_the_six_tutorials_are_there_and_each_runs_commands_of_its_own() -> None:
    tutorials = sorted(DOCS.glob("tutorials/*.md"))
    assert len(tutorials) == 6
    for page in tutorials:
        assert sum(line.startswith("glaze ") for line in commands_of(page)) >= 2, page.name


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_a_page_pastes_no_answer_and_every_picture_has_words(page: Path) -> None:
    """What a command says is made when the guide is built; a pasted prompt would go stale."""
    text = page.read_text("utf-8")
    assert "$ glaze" not in text
    for block in re.findall(r"```\{run\}\n(.*?)```", text, re.S):
        shown = re.search(r":show: (.*)", block)
        told = re.search(r":alt: (.*)", block)
        names = shown[1].split() if shown else []
        assert len(names) == (len(told[1].split(" | ")) if told else 0), block
    assert re.findall(r"!\[\]\(", text) == []


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_a_command_of_the_guide_is_one_of_the_program(page: Path) -> None:
    from glaze.cli.main import COMMANDS

    for line in commands_of(page):
        words = line.split()
        assert words[0] in ("glaze", "python", "cp")
        assert words[0] != "glaze" or words[1] in COMMANDS


def test_the_reference_has_every_command_and_every_option() -> None:
    from guide.commands import commands

    from glaze.cli.main import COMMANDS

    told = "\n".join(commands())
    for name in COMMANDS:
        assert f"\n## glaze {name}\n" in f"\n{told}", name
    assert "`--bleach`" in told
    assert "### glaze chart wheel" in told


def test_the_reference_has_every_key_of_the_schema_with_its_limits() -> None:
    import json

    from guide.scene_keys import scene_keys

    told = "\n".join(scene_keys())
    schema = json.loads((DOCS / "scene.schema.json").read_text("utf-8"))
    for record in (schema, *schema["$defs"].values()):
        for key in record["properties"]:
            assert f"| `{key}` |" in told, key
    # two of them by hand: a lift has 1 to 20 touches; a gap is closed from 0 to 20 mm
    assert "| `touches` | a whole number from 1 to 20 | 1 |" in told
    assert "| `gap_mm` | a number from 0 to 20 |" in told
