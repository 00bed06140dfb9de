"""The window killed while somebody paints in it, a few times, in processes of its own.

`python -m tests.reliability window` does it two hundred times.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.viewer.own_process import why_not

ROOT = Path(__file__).resolve().parents[2]
pytestmark = pytest.mark.window
CODE = """
from tests.reliability.window_kills import window_kills
ends, wrong = window_kills(2)
print(dict(ends), wrong)
raise SystemExit(bool(wrong) or ends["deeds done"] < 1)
"""


def test_a_window_killed_while_it_is_worked_in_loses_the_deed_in_hand_at_most():
    if why := why_not():
        pytest.skip(why)
    path = os.pathsep.join([str(ROOT), str(ROOT / "tests")])
    run = subprocess.run(
        [sys.executable, "-c", CODE],
        cwd=ROOT,
        env={**os.environ, "PYTHONPATH": path},
        capture_output=True,
        text=True,
    )
    assert run.returncode == 0, run.stdout + run.stderr[-2000:]
