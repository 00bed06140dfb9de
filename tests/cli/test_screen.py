"""Answers on a terminal: colours, width, help that ends with examples that run, completion."""

from __future__ import annotations

import contextlib
import io
import itertools
import json
import os
import pty
import re
import shlex
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import click
import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image, ImageDraw
from small_scenes import LIFTED

from glaze.cli.help_ends import EXAMPLES
from glaze.cli.main import COMMANDS, OTHER_NAMES, SHELVES, glaze
from glaze.cli.screen import columns, fitted
from glaze.errors import InputError, number_of

ROOT = Path(__file__).resolve().parents[2]
ANSWERS = (
    "mix teal",
    "name Blue",
    "shadow Yellow Red --darker 1",
    "shadow Red --darker 1",
    "shadow paper --ladder 4",
    "room Yellow",
    "wet Blue",
    "keep Blue",
    "lights Blue",
    "swatch Blue",
    "inks --palette resistant",
    "papers",
    "bottles nearest teal",
    "bottles choose 2",
    "bottles beside Black Blue",
    "jar teal",
)
"""Every answer that names a colour."""


def on_terminal(words: str, columns: int = 80, **environment: str) -> str:
    """What a command writes on a terminal of its own."""
    ours, theirs = pty.openpty()
    known = {key: text for key, text in os.environ.items() if key not in ("NO_COLOR", "TERM")}
    known |= {"COLUMNS": str(columns), "TERM": "xterm", **environment}
    run = subprocess.Popen(
        [sys.executable, "-m", "glaze", *shlex.split(words)],
        stdout=theirs,
        stderr=theirs,
        env=known,
    )
    os.close(theirs)
    told = b""
    try:
        while piece := os.read(ours, 65536):
            told += piece
    except OSError:  # the other end is closed
        pass
    os.close(ours)
    assert run.wait() == 0, told
    return told.decode()


class Terminal(io.StringIO):
    """A screen of this process: quicker than one with a process of its own."""

    def isatty(self) -> bool:
        return True


@pytest.fixture
def on_screen(monkeypatch: pytest.MonkeyPatch) -> Callable[[str], str]:
    """What a command writes on such a screen, 80 letters wide."""
    monkeypatch.delenv("NO_COLOR", raising=False)
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("TERM", "xterm")

    def told(words: str) -> str:
        with contextlib.redirect_stdout(Terminal()) as screen:
            glaze.main(shlex.split(words), "glaze", standalone_mode=False)
        return screen.getvalue()

    return told


@pytest.mark.parametrize("words", ANSWERS)
def test_nothing_is_wider_than_the_terminal_and_every_colour_has_its_swatch(
    words: str, on_screen: Callable[[str], str]
) -> None:
    told = on_screen(words)
    assert "\x1b[48;2;" in told
    lines = click.unstyle(told).splitlines()
    assert max(map(len, lines)) <= 80, max(lines, key=len)


def test_steps_of_a_plan_and_places_that_bleach_reaches_have_their_swatch(
    scene_folder, tmp_path: Path, on_screen: Callable[[str], str]
) -> None:
    scene = scene_folder(LIFTED)
    told = on_screen(f"plan {scene}")
    assert len(re.findall(r"\x1b\[48;2;[\d;]+m    \x1b\[0m  value ", told)) == 4  # a step each
    told = on_screen(f"reach {scene} -o {tmp_path / 'reach.png'} --dpi 40")
    assert re.search(r"(\x1b\[48;2;[\d;]+m    \x1b\[0m){2}  left ", told)  # now, and after


def test_colours_are_left_out_where_they_are_not_wanted() -> None:
    # no-color.org: NO_COLOR when present and not an empty string, whatever its value
    assert "\x1b[48" not in on_terminal("wet Blue", NO_COLOR="1")
    assert "\x1b[48" in on_terminal("wet Blue", NO_COLOR="")
    assert "\x1b" not in on_terminal("wet Blue", TERM="dumb")


def test_lines_part_at_words_and_rows_hang_in() -> None:
    assert list(fitted("one two three", 8)) == ["one two", "three"]
    assert list(fitted("  one two three", 10)) == ["  one two", "      three"]
    assert list(fitted("one two three", None)) == ["one two three"]


# --- help ---


def commands() -> list[str]:
    """All commands, those of groups with their group's name."""
    found = []
    for name in COMMANDS:
        command = glaze.get_command(click.Context(glaze), name)
        found.append(name)
        if isinstance(command, click.Group):
            found += [f"{name} {one}" for one in command.list_commands(click.Context(command))]
    return found


def test_a_row_too_wide_for_the_screen_hangs_in_and_a_close_one_fits(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Cells of 20 and 21 letters: 45 with gap and indent of 2, 42 close together."""
    rows = [("a" * 20, "b" * 21)]
    for letters, gap, inset in ((45, 2, 2), (42, 1, 0)):
        monkeypatch.setenv("COLUMNS", str(letters))
        assert list(columns(rows)) == [" " * inset + "a" * 20 + " " * gap + "b" * 21]
    monkeypatch.setenv("COLUMNS", "41")
    assert list(columns(rows)) == ["  " + "a" * 20 + "\n" + " " * 6 + "b" * 21]
    # a row with nothing in that column has no line for it
    assert list(columns([*rows, ("c", "")]))[1] == "  c"


def test_every_command_has_its_place_in_the_help_once() -> None:
    listed = [name for names in SHELVES.values() for name in names]
    assert sorted(listed) == sorted(COMMANDS)
    told = CliRunner().invoke(glaze, ["--help"]).output
    for name in COMMANDS:
        assert len(re.findall(rf"^  {name} ", told, re.MULTILINE)) == 1, name
    for alias in OTHER_NAMES:
        assert not re.search(rf"^  {alias} ", told, re.MULTILINE)
        assert CliRunner().invoke(glaze, [alias, "--help"]).exit_code == 0


def test_every_help_ends_with_two_examples() -> None:
    assert set(EXAMPLES) == set(commands())
    for name in commands():
        told = CliRunner().invoke(glaze, [*name.split(), "--help"]).output.rstrip().splitlines()
        assert [line.strip() for line in told[-2:]] == list(EXAMPLES[name]), name
        assert all(line.split()[1 : 1 + len(name.split())] == name.split() for line in
                   map(str.strip, told[-2:])), name  # fmt: skip


def test_every_help_fits_80_columns_in_painters_words() -> None:
    """Types are told as NUMBER and ranges as "2 to 9": no INTEGER RANGE, no [2<=x<=9], no 5.0."""
    for name in ("", *commands()):
        told = CliRunner().invoke(glaze, [*name.split(), "--help"], terminal_width=80).output
        assert max(map(len, told.splitlines())) <= 80, name
        assert not re.search(r"INTEGER|FLOAT|<=|default: \d+\.0\]", told), name
    told = CliRunner().invoke(glaze, ["preview", "--help"]).output
    assert "--hands NUMBER" in told
    assert "[2 to 9]" in told
    assert "[COUNT]" in CliRunner().invoke(glaze, ["bottles", "choose", "--help"]).output


def test_every_option_says_what_it_is_for() -> None:
    for name in commands():
        command = named(name)
        for option in command.params:
            assert not isinstance(option, click.Option) or option.help, (name, option.name)


def named(name: str) -> click.Command:
    """A command by its name, "chart wheel"."""
    found: click.Command = glaze
    for part in name.split():
        assert isinstance(found, click.Group)
        found = found.get_command(click.Context(found), part) or found
    return found


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What the examples take to lie here."""
    folder = tmp_path_factory.mktemp("examples")
    shutil.copytree(ROOT / "scenes" / "huts", folder / "huts")
    with Image.open(folder / "huts" / "sketch.png") as sketch:  # at 150 dpi in place of 300
        sketch.reduce(2).save(folder / "huts" / "sketch.png", dpi=(150, 150))
    for name in ("inks.toml", "list.toml"):
        shutil.copy(ROOT / "glaze/materials/tables/palettes/lifting.toml", folder / name)
        text = (folder / name).read_text(encoding="utf-8")
        (folder / name).write_text(re.sub(r"dyes_g_per_l = \{ value = (\{[^}]*\})[^\n]*",
                                          r"dyes_g_per_l = \1", text))  # fmt: skip
    drawing = Image.new("L", (583, 413), 255)
    for box in ((60, 60, 280, 300), (320, 90, 540, 330)):
        ImageDraw.Draw(drawing).rectangle(box, outline=0, width=5)
    drawing.save(folder / "sketch.png", dpi=(100, 100))
    Image.fromarray(np.full((50, 50, 3), 255, np.uint8)).save(folder / "scan.png")
    shutil.copy(folder / "scan.png", folder / "painting.png")
    return folder


READ_ONLY = ("calibrate", "compare", "rough", "spectra", "view")
"""Their examples want a painted sheet, minutes or a window: only their words are read here."""


@pytest.mark.parametrize("line", [line for lines in EXAMPLES.values() for line in lines])
def test_examples_run(line: str, bench: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(bench)
    _, name, *words = shlex.split(line)
    if name in READ_ONLY:
        command = glaze.get_command(click.Context(glaze), name)
        assert command is not None
        assert command.make_context(name, words).params
        return
    try:
        done = CliRunner().invoke(glaze, [name, *words], catch_exceptions=False)
    except InputError as error:
        raise AssertionError(error.problems) from None
    assert done.exit_code == 0, done.output
    for word, file in itertools.pairwise(words):
        assert word not in ("-o", "--card") or Path(file).exists() or "--help" in words


# --- completion ---


def offered_by(told: str) -> set[str]:
    """The words in what bash is told."""
    return {line.split(",", 1)[1] for line in told.splitlines() if line}


def asked_by_bash(words: str) -> dict[str, str]:
    """What bash sets to ask for the last word."""
    count = str(len(words.split(" ")))
    return {
        "_GLAZE_COMPLETE": "bash_complete",
        "COMP_WORDS": f"glaze {words}",
        "COMP_CWORD": count,
    }


def test_the_shell_asks_the_program_itself(bench: Path) -> None:
    known = os.environ | asked_by_bash("mix teal --paper c")
    run = subprocess.run(
        [sys.executable, "-m", "glaze"], cwd=bench, env=known, capture_output=True, text=True
    )
    assert run.stderr == ""
    assert "cream cartridge" in offered_by(run.stdout)


@pytest.mark.parametrize(
    ("words", "offered"),
    [
        ("mix teal --palette l", {"lifting", "list.toml"}),
        ("mix teal --light LED-B", {"LED-B1", "LED-B2"}),
        ("name Sep", {"Separating Black", "Separating Blue"}),
        ("swatch --scene huts ", {"Blue", "paper"}),
        ("check h", {"huts"}),
        ("fl", set()),
        ("shadow huts --region ", {"air", "clouds"}),
        ("vary huts --step blue", {"blue hut", "blue things"}),
        ("shadow --scene nowhere ", set()),
    ],
)
def test_the_shell_is_offered_names(
    words: str, offered: set[str], bench: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(bench)
    run = CliRunner().invoke(glaze, [], prog_name="glaze", env=asked_by_bash(words))
    assert run.stderr == ""
    found = offered_by(run.stdout)
    assert offered <= found
    assert bool(offered) == bool(found)


# --- so many of a thing ---


@pytest.mark.parametrize(
    ("count", "what", "told"),
    [(1, "area", "1 area"), (0, "area", "0 areas"), (2, "touch", "2 touches")],
)
def test_one_thing_is_told_as_one(count: float, what: str, told: str) -> None:
    assert number_of(count, what) == told


def test_a_scene_of_one_step_has_one_step_and_one_area_is_one(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    drawing = Image.new("L", (300, 200), 255)
    ImageDraw.Draw(drawing).line((0, 100, 300, 100), fill=0, width=4)
    drawing.save("line.png", dpi=(100, 100))
    one = Image.new("L", (300, 200), 255)
    ImageDraw.Draw(one).line((60, 100, 240, 100), fill=0, width=4)
    one.save("one.png", dpi=(100, 100))
    assert "2 areas." in CliRunner().invoke(glaze, ["new", "line.png"]).output
    assert "1 area." in CliRunner().invoke(glaze, ["new", "one.png"]).output
    checked = CliRunner().invoke(glaze, ["check", "one"]).output
    assert ", 1 step. It can be painted." in checked


def test_the_examples_are_listed_as_json_too() -> None:
    found = json.loads(CliRunner().invoke(glaze, ["example", "--json"]).output)
    assert "lighthouse" in found["examples"]


@pytest.mark.parametrize(
    ("encoding", "told"),
    [("cp1251", "ml to the m2."), ("cp437", "ml to the m²."), ("utf-8", "m².")],
)
def test_a_letter_that_the_terminal_lacks_gives_way_to_a_plain_one(encoding, told) -> None:
    """Which code pages have a raised two: the Unicode Consortium's mapping tables."""
    done = subprocess.run(
        [sys.executable, "-m", "glaze", "vary", "--help"],
        capture_output=True,
        env={**os.environ, "PYTHONIOENCODING": encoding},
    )
    assert done.returncode == 0, done.stderr
    assert told in done.stdout.decode(encoding)


def test_of_many_areas_a_terminal_shows_the_largest_and_counts_the_rest(
    tmp_path: Path, on_screen: Callable[[str], str]
) -> None:
    sheet = Image.new("L", (820, 620), 255)
    for n in range(48):  # one box larger than the other, on a sheet that is an area too
        left, top = 10 + n % 8 * 100, 10 + n // 8 * 100
        ImageDraw.Draw(sheet).rectangle(
            (left, top, left + 40 + n, top + 40 + n), outline=0, width=3
        )
    sheet.save(tmp_path / "sketch.png", dpi=(100, 100))
    (tmp_path / "scene.toml").write_text(
        'format = 1\ntitle = "boxes"\npalette = "lifting"\npaper = "white hot-pressed"\n'
        'sketch = "sketch.png"\n'
    )
    words = f"areas {shlex.quote(str(tmp_path))}"
    short, every = on_screen(words), on_screen(f"{words} --all")
    assert short.count(" cm² ") == 40
    assert "  and 9 smaller areas: --all lists them." in short
    assert every.count(" cm² ") == 49
    assert "smaller" not in every
    rows = [line for line in every.splitlines() if " cm² " in line]
    assert [line for line in short.splitlines() if " cm² " in line] == rows[:40]
    piped = CliRunner().invoke(glaze, ["areas", str(tmp_path)]).stdout
    assert piped.count(" cm² ") == 49
