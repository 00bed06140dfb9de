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


def _names(wanted: str) -> list[str]:
    """Names in a list of checks, read without importing Qt."""
    file = "control_checks.py" if wanted == "CONTROLS" else "desk_checks.py"
    text = (HERE / file).read_text(encoding="utf-8")
    part = text.split(f"{wanted} = (", 1)[1].split(")", 1)[0]
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
def checks(request, tmp_path_factory):
    return _windows(request, tmp_path_factory, "check")


@pytest.fixture(scope="module")
def controls(request, tmp_path_factory):
    return _windows(request, tmp_path_factory, "control")


@pytest.fixture(scope="module")
def traps(request, tmp_path_factory):
    return _windows(request, tmp_path_factory, "trap")


def _windows(request, tmp_path_factory, which: str) -> Windows:
    """Those that were asked for; all if none is."""
    if why := why_not():
        pytest.skip(why)
    asked = [getattr(item, "callspec", None) for item in request.session.items]
    found = [spec.params[which] for spec in asked if spec and which in spec.params]
    return Windows(tmp_path_factory.mktemp(which), found or _names(f"{which.upper()}S"))


@pytest.mark.parametrize("check", _names("CHECKS"))
def test_in_the_window(checks, check):
    assert not (wrong := checks.verdict(check)), wrong


@pytest.mark.parametrize("control", _names("CONTROLS"))
def test_single_controls(controls, control):
    assert not (wrong := controls.verdict(control)), wrong


@pytest.mark.parametrize("trap", _names("TRAPS"))
def test_traps_that_would_end_the_process(traps, trap):
    assert not (wrong := traps.verdict(trap)), wrong


@pytest.mark.parametrize("which", ["checks", "controls", "traps"])
def test_windows_end_without_complaint(request, which):
    windows = request.getfixturevalue(which)
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
