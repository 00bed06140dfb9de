"""A test of a real window that fails by chance is tried again, and the run tells so."""

from __future__ import annotations

from tests import tried_again

pytest_plugins = ["pytester"]
LEFT_OUT = "pytest-qt", "napari", "napari-plugin-engine", "npe2", "xdist", "playwright"
TESTS = """
import pytest

asked = []

def test_plain():
    asked.append("plain")
    raise OSError("a plain test")

@pytest.mark.window
@pytest.mark.parametrize("size", [1, 2])
def test_by_chance(size, tmp_path):
    asked.append(f"chance {size}")
    assert asked.count("chance 1") != 1, "the focus was elsewhere"

@pytest.mark.browser
def test_never():
    asked.append("never")
    raise OSError(f"verdict {asked.count('never')}")

@pytest.mark.window
def test_left_out():
    asked.append("left out")
    pytest.skip("no display")

def test_how_often():
    counts = {one: asked.count(one) for one in asked}
    assert counts == {"plain": 1, "chance 1": 2, "chance 2": 1, "never": 2, "left out": 1}
"""


def test_only_what_is_real_is_tried_again_and_what_it_said_is_told(pytester) -> None:
    # without the plugins that the project leaves out too: they load a whole window
    left_out = " ".join(f"-p no:{name}" for name in LEFT_OUT)
    pytester.makeini(f"[pytest]\naddopts = {left_out}\nmarkers =\n  window: \n  browser: ")
    pytester.makepyfile(TESTS)
    done = pytester.runpytest_inprocess("-p", "no:cacheprovider", plugins=[tried_again])
    done.assert_outcomes(passed=3, skipped=1, failed=2)
    failures, told = done.stdout.str().split("tried again, as it failed the first time")
    assert "OSError: verdict 2" in failures
    told = told.split("short test summary")[0]
    for first in ("test_by_chance[1]", "the focus was elsewhere", "test_never", "verdict 1"):
        assert first in told
    assert "test_plain" not in told
