"""The window itself, with real mouse events, in a process of its own.

A crash in Qt or OpenGL would end the whole run; here it ends one process, and its return code is
looked at. Without a display, or without Qt's own libraries, these tests are left out and say so.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest
from small_scenes import LIFTED, PLAIN, write_sketch

from tests.viewer.own_process import in_python, own_places, why_not

HERE = Path(__file__).resolve().parent
pytestmark = pytest.mark.window
KINDS = {"control": "control_checks.py", "trap": "desk_checks.py", "check": "desk_checks.py"}
"""Kinds of checks and where each is listed; the last of them close the window."""


def _names(kind: str) -> list[str]:
    """Names in a list of checks, read without importing Qt."""
    text = (HERE / KINDS[kind]).read_text(encoding="utf-8")
    part = text.split(f"{kind.upper()}S = (", 1)[1].split(")", 1)[0]
    return re.findall(r"\w+", part)


class Windows:
    """Checks in windows: all of them in one, and each that is asked for again in one of its own.

    A window that ends before its last check leaves out the check that it ended in, and another
    goes on after it.

    said : what was wrong, by check, "" if nothing was
    ended : return code and error output of each window
    """

    def __init__(self, place: Path, names: list[str]) -> None:
        self.place, self.names = place, names
        self.go_through()

    def go_through(self) -> None:
        """Every check, as if none had been done."""
        self.said, self.ended = dict[str, str](), list[tuple[int, str]]()
        self.asked = set[str]()
        left = self.names
        while left:
            done = self._in_a_window(left)
            left = left[done + 1 :]

    def verdict(self, name: str) -> str:
        """What was wrong in a check; asked for again it is done again by itself."""
        if name in self.asked:
            self._in_a_window([name])
        self.asked.add(name)
        return self.said.pop(name, "the window ended in this check; its own test tells how")

    def _in_a_window(self, names: list[str]) -> int:
        """Do some checks in a fresh window; how many came to their end."""
        folder = Path(tempfile.mkdtemp(dir=self.place))
        (folder / "scene").mkdir()
        write_sketch(folder / "scene" / "sketch.png")
        (folder / "scene" / "scene.toml").write_text(LIFTED, encoding="utf-8")
        done = in_python(own_places(folder), "desk_checks.py", str(folder), *names)
        said = [json.loads(line) for line in done.stdout.splitlines() if line.startswith("{")]
        self.said |= {one["check"]: one["problem"] for one in said}
        self.ended.append((done.returncode, done.stderr[-3000:]))
        return len(said)


@pytest.fixture(scope="module")
def windows(request, tmp_path_factory) -> Windows:
    """Checks that were asked for; all if none is."""
    if why := why_not():
        pytest.skip(why)
    asked = [getattr(item, "callspec", None) for item in request.session.items]
    params = [spec.params for spec in asked if spec]
    found = [some[kind] for kind in KINDS for some in params if kind in some]
    every = [name for kind in KINDS for name in _names(kind)]
    return Windows(tmp_path_factory.mktemp("windows"), found or every)


@pytest.mark.parametrize("control", _names("control"))
def test_single_controls(windows, control):
    assert not (wrong := windows.verdict(control)), wrong


@pytest.mark.parametrize("trap", _names("trap"))
def test_traps_that_would_end_the_process(windows, trap):
    assert not (wrong := windows.verdict(trap)), wrong


@pytest.mark.parametrize("check", _names("check"))
def test_in_the_window(windows, check):
    assert not (wrong := windows.verdict(check)), wrong


def test_windows_end_without_complaint(windows):
    if not windows.ended:
        windows.go_through()
    ended, windows.ended = windows.ended, []
    for code, errors in ended:
        assert code == 0, errors
        assert "Traceback" not in errors, errors


def test_a_scene_with_mistakes_is_told_and_no_window_stays(tmp_path):
    if why := why_not():
        pytest.skip(why)
    (tmp_path / "scene.toml").write_text(LIFTED.replace("white cartridge", "slate"), "utf-8")
    command = [sys.executable, "-m", "viewer", str(tmp_path)]
    done = subprocess.run(command, capture_output=True, text=True, env=own_places(tmp_path))
    assert done.returncode == 2, done.stderr
    assert 'No paper is called "slate"' in done.stderr
    assert "Traceback" not in done.stderr


CLOSED = """
import sys
import viewer.__main__ as start

seen, bare = start._first_seen, start._bare_window

def first_seen(path):
    start.glimpse = seen(path)
    if sys.argv[1] == "at once":
        start.glimpse.close()
    return start.glimpse

def bare_window():
    start.glimpse.close()
    return bare()

start._first_seen, start._bare_window = first_seen, bare_window
sys.exit(start.main([sys.argv[2]]))
"""


@pytest.mark.parametrize("when", ["at once", "at last"])
def test_who_closes_the_glimpse_gets_no_window(tmp_path, when):
    if why := why_not():
        pytest.skip(why)
    (tmp_path / "scene.toml").write_text(PLAIN, encoding="utf-8")
    command = [sys.executable, "-c", CLOSED, when, str(tmp_path)]
    done = subprocess.run(command, capture_output=True, text=True, env=own_places(tmp_path))
    assert (done.returncode, done.stderr) == (0, "")


def test_python_does_not_look_through_all_of_napari_again_and_again(tmp_path):
    """A window has 320,000 objects; to look through them took 0.18 s of its own thread."""
    if why := why_not():
        pytest.skip(why)
    (tmp_path / "scene.toml").write_text(PLAIN, encoding="utf-8")
    command = [sys.executable, "-m", "tests.bench.window_start", str(tmp_path), "0"]
    done = subprocess.run(command, capture_output=True, text=True, env=own_places(tmp_path))
    assert done.returncode == 0, done.stderr
    found = json.loads(done.stdout.splitlines()[-1])
    # the sheet is seen before anything heavy is loaded
    assert found["loaded"] == []
    assert found["glimpse"] < found["modules"] < found["desk"] < found["first picture"]
    assert found["first picture"] <= found["finished picture"]
    assert found["objects"] < 50_000
