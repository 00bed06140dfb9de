"""What the window's start leaves out, or keeps from the last time: it is there all the same."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

pytest.importorskip("napari")


def run(home: Path, *code: str) -> str:
    """What a script prints that has a home of its own and a screen that nobody sees."""
    own = {"QT_API": "pyside6", "QT_QPA_PLATFORM": "offscreen", "HOME": str(home)}
    own |= {name: str(home) for name in ("XDG_CACHE_HOME", "XDG_CONFIG_HOME", "XDG_RUNTIME_DIR")}
    command = [sys.executable, "-c", "\n".join(code)]
    env = {name: value for name, value in os.environ.items() if name != "NAPARI_CONFIG"} | own
    done = subprocess.run(command, capture_output=True, text=True, check=False, env=env)
    if "libEGL" in done.stderr or "could not load the Qt" in done.stderr.lower():
        pytest.skip("Qt can't be loaded here")
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


def test_no_source_is_read_of_what_is_loaded_after_qt(tmp_path):
    """Qt's Python looks also into what another thread has loaded by half; the window didn't open
    then: `cannot import name ... from partially initialized module`."""
    read = run(
        tmp_path,
        "import linecache, viewer.__main__ as start",
        "start._first_seen(None)",
        "import pydantic, fractions",
        "print([f for f in linecache.cache if 'pydantic' in f or 'fractions' in f])",
    )
    assert read == "[]"


UNITS = (
    "from viewer.window.layer_units import load_units",
    "load_units()",
    "import pint",
    "units = pint.get_application_registry()",
    # an inch is 25.4 mm by the international yard and pound agreement of 1959, from memory
    "print(round(units.Quantity(1, 'inch').to('mm').magnitude, 6), units.Unit('pixel'))",
)


def test_all_units_are_there_whatever_was_kept(tmp_path):
    folder = tmp_path / "glaze" / "units"
    for kept in ("nothing", "all", "torn", "thrown away"):
        if kept == "torn":
            files = list(folder.glob("*.pickle"))
            assert files, "nothing was kept, so nothing is torn"
            for file in files:
                file.write_bytes(file.read_bytes()[:100])
        assert run(tmp_path, *UNITS) == "25.4 pixel", kept
    anew = list(folder.glob("*.pickle"))
    assert anew
    assert all(file.stat().st_size > 100 for file in anew)


def test_all_units_are_there_where_nothing_can_be_kept(tmp_path):
    (tmp_path / "glaze").mkdir()
    (tmp_path / "glaze" / "units").write_text("a file where a folder is wanted", encoding="utf-8")
    assert run(tmp_path, *UNITS) == "25.4 pixel"


def icons(home: Path, colour: str) -> tuple[int, bool, int]:
    """Of a theme with icons of a colour: how many there are, whether they have it, and when the
    last was written [ns]."""
    found = run(
        home,
        "from viewer.window.theme_icons import write_icons_once",
        "write_icons_once()",
        "from napari.resources._icons import _theme_path",
        "from napari.utils.theme import get_theme, register_theme",
        f"day = get_theme('light').model_copy(update=dict(id='day', icon={colour!r}))",
        "day = type(day).model_validate(day.model_dump())",
        "register_theme('day', day, 'glaze-lift')",
        "print(_theme_path('day'))",
    )
    files = list(Path(found).glob("*.svg"))
    text = next(file for file in files if file.name == "home.svg").read_text(encoding="utf-8")
    return len(files), colour in text, max(file.stat().st_mtime_ns for file in files)


def test_icons_are_written_once_and_again_in_another_colour(tmp_path):
    first = icons(tmp_path, "#37332f")
    count, right, written = first
    assert count > 100
    assert right
    assert icons(tmp_path, "#37332f") == first
    again, right, later = icons(tmp_path, "#e9e5df")
    assert (again, right) == (count, True)
    assert later > written
