"""The window itself, with real mouse events, in a process of its own.

A crash in Qt or OpenGL would end the whole run; here it ends one process, and its return code is
looked at. Without a display, or without Qt's own libraries, these tests are left out and say so.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest
from small_scenes import LIFTED, PLAIN

from tests.viewer.own_process import in_python, own_places, why_not

HERE = Path(__file__).resolve().parent
pytestmark = pytest.mark.window


def _names(wanted: str) -> list[str]:
    """Names in a list of checks, read without importing Qt."""
    file = "control_checks.py" if wanted == "CONTROLS" else "desk_checks.py"
    text = (HERE / file).read_text(encoding="utf-8")
    part = text.split(f"{wanted} = (", 1)[1].split(")", 1)[0]
    return re.findall(r"\w+", part)


def _run(folder: Path, names: list[str]) -> tuple[dict[str, str], int, str]:
    """Run checks in a window; what each said, the return code, and the error output."""
    env = own_places(folder)
    done = in_python(env, "desk_checks.py", str(folder), *names)
    said = [json.loads(line) for line in done.stdout.splitlines() if line.startswith("{")]
    return {s["check"]: s["problem"] for s in said}, done.returncode, done.stderr[-3000:]


@pytest.fixture(scope="module")
def checks(request, tmp_path_factory):
    return _in_window(request, tmp_path_factory, "check")


@pytest.fixture(scope="module")
def controls(request, tmp_path_factory):
    return _in_window(request, tmp_path_factory, "control")


@pytest.fixture(scope="module")
def traps(request, tmp_path_factory):
    return _in_window(request, tmp_path_factory, "trap")


def _in_window(request, tmp_path_factory, which: str) -> tuple[dict[str, str], int, str]:
    """Those that were asked for, in one window; all if none is."""
    asked = [getattr(item, "callspec", None) for item in request.session.items]
    found = [spec.params[which] for spec in asked if spec and which in spec.params]
    names = found or _names(f"{which.upper()}S")
    if why := why_not():
        pytest.skip(why)
    from small_scenes import write_sketch

    folder = tmp_path_factory.mktemp(which)
    (folder / "scene").mkdir()
    write_sketch(folder / "scene" / "sketch.png")
    (folder / "scene" / "scene.toml").write_text(LIFTED, encoding="utf-8")
    return _run(folder, names)


@pytest.mark.parametrize("check", _names("CHECKS"))
def test_in_the_window(checks, check):
    said, code, errors = checks
    assert check in said, f"the window ended with {code} before this check\n{errors}"
    assert not said[check], said[check]


@pytest.mark.parametrize("control", _names("CONTROLS"))
def test_single_controls(controls, control):
    said, code, errors = controls
    assert control in said, f"the window ended with {code} before this check\n{errors}"
    assert not said[control], said[control]


@pytest.mark.parametrize("trap", _names("TRAPS"))
def test_traps_that_would_end_the_process(traps, trap):
    said, code, errors = traps
    assert code == 0, f"the process ended with {code}\n{errors}"
    assert trap in said
    assert not said[trap], said[trap]


def test_the_window_ends_without_complaint(checks):
    _, code, errors = checks
    assert code == 0, errors
    assert "Traceback" not in errors, errors


def test_a_scene_with_mistakes_is_told_and_no_window_stays(tmp_path):
    if why := why_not():
        pytest.skip(why)
    (tmp_path / "scene.toml").write_text(LIFTED.replace("white cartridge", "slate"), "utf-8")
    command = [sys.executable, "-m", "viewer", str(tmp_path)]
    done = subprocess.run(
        command, capture_output=True, text=True, env=own_places(tmp_path), timeout=120
    )
    assert done.returncode == 2, done.stderr
    assert 'No paper is called "slate"' in done.stderr
    assert "Traceback" not in done.stderr


def test_python_does_not_look_through_all_of_napari_again_and_again(tmp_path):
    """A window has 320,000 objects; to look through them took 0.18 s of its own thread."""
    if why := why_not():
        pytest.skip(why)
    (tmp_path / "scene.toml").write_text(PLAIN, encoding="utf-8")
    command = [sys.executable, "-m", "tests.bench.window_start", str(tmp_path), "0"]
    done = subprocess.run(
        command, capture_output=True, text=True, env=own_places(tmp_path), timeout=300
    )
    assert done.returncode == 0, done.stderr
    found = json.loads(done.stdout.splitlines()[-1])
    # the sheet is seen before anything heavy is loaded
    assert found["glimpse"] < 0.4 * found["modules"]
    assert found["modules"] < found["desk"] < found["first picture"] <= found["finished picture"]
    assert found["objects"] < 50_000
