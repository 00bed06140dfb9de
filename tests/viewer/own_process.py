"""A window in a process of its own, for test_window.py and test_window_words.py."""

from __future__ import annotations

import importlib.util
import os
import subprocess
import sys
from functools import cache
from pathlib import Path

HERE = Path(__file__).resolve().parent
HANGS_S = 3600
"""A process that isn't done by then never will be, on however busy a machine."""


@cache
def why_not() -> str:
    """Why no window can be opened here; "" if one can."""
    if importlib.util.find_spec("napari") is None:
        return 'the window needs napari: pip install "glaze-lift[viewer]"'
    if sys.platform.startswith("linux") and not os.environ.get("DISPLAY"):
        return "no display: run the tests under xvfb-run to check the window"
    probe = "from qtpy import QtGui, QtTest, QtWidgets"
    tried = subprocess.run([sys.executable, "-c", probe], capture_output=True, text=True)
    if tried.returncode != 0:
        return f"Qt can't be loaded here: {tried.stderr.strip().splitlines()[-1]}"
    return ""


def in_python(
    env: dict[str, str], file: str, *given: str, screen: tuple[str, ...] = ()
) -> subprocess.CompletedProcess[str]:
    """Run a script of this folder to its end, on request on a screen of its own."""
    command = [*screen, sys.executable, "-X", "faulthandler", str(HERE / file), *given]
    return subprocess.run(
        command, capture_output=True, text=True, env=env, timeout=HANGS_S, check=False
    )


def own_places(folder: Path) -> dict[str, str]:
    """The environment of a window that keeps its things in a folder."""
    own = folder / "own"
    (own / "run").mkdir(parents=True, mode=0o700, exist_ok=True)
    root = HERE.parent.parent
    return {
        **os.environ,
        "QT_API": "pyside6",
        "NAPARI_CONFIG": str(own / "napari.yaml"),
        "LP_NUM_THREADS": "0",  # without a graphics card: threads for it cost more than they save
        "XDG_CONFIG_HOME": str(own),
        "XDG_STATE_HOME": str(own),
        "XDG_RUNTIME_DIR": str(own / "run"),
        "PYTHONPATH": os.pathsep.join([str(root), str(root / "tests")]),
    }
