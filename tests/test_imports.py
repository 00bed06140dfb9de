"""What importing loads: help has to answer at once, and the model must know no window."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

SLOW = {"colour", "scipy", "numba", "matplotlib", "PIL", "reportlab", "napari", "qtpy", "pydantic"}


def loaded_after(code: str) -> set[str]:
    script = f"import sys\n{code}\nprint(' '.join(sys.modules))"
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    return {name.split(".")[0] for name in run.stdout.splitlines()[-1].split()}


def test_importing_glaze_loads_nothing_slow():
    assert not loaded_after("import glaze") & (SLOW | {"numpy"})


@pytest.mark.parametrize("option", ["--help", "--version"])
def test_help_loads_nothing_slow(option):
    code = f"""
from glaze.cli.main import glaze
try:
    glaze.main(["{option}"], prog_name="glaze")
except SystemExit as done:
    assert not done.code
"""
    assert not loaded_after(code) & (SLOW | {"numpy"})


def test_every_command_of_the_list_is_there():
    from click import Command, Context

    from glaze.cli.main import COMMANDS, glaze

    for name in COMMANDS:
        command = glaze.get_command(Context(glaze), name)
        assert isinstance(command, Command)
        assert command.help


def test_the_pipeline_never_loads_a_window_or_colour():
    assert not loaded_after("import glaze.pipeline") & {"napari", "qtpy", "PySide6", "colour"}


def test_a_sketch_is_cleaned_and_its_washes_are_settled_without_scipys_filters():
    """They take a sixth of a second of the processor to load, more than a small picture's tiles."""
    code = """
import numpy as np
from glaze.pipeline import paint
from glaze.sketch.cleaned import clean_line
clean_line(np.full((60, 60), 0.9, np.float32), 100.0)
assert "scipy.ndimage" not in sys.modules
"""
    assert "glaze" in loaded_after(code)


@pytest.mark.parametrize(
    "question", [["mix", "#7a8a3c"], ["shadow", "Yellow 1", "--darker", "2"], ["name", "Blue"]]
)
def test_a_question_of_bottles_loads_neither_scenes_nor_kernels(question):
    code = f"""
from glaze.cli.main import glaze
try:
    glaze.main({question!r}, prog_name="glaze")
except SystemExit as done:
    assert not done.code
"""
    assert not loaded_after(code) & {"numba", "pydantic", "colour", "PIL", "napari"}


def test_a_command_takes_one_thread_for_its_small_matrices():
    """Read before numpy is, which starts them; what the painter has set stays as it is."""
    code = (
        "import os, sys; from glaze import __main__ as m; early = 'numpy' not in sys.modules; "
        "m._run = lambda: 0; m._leave = print; m.main(); "
        "print(early, os.environ['OPENBLAS_NUM_THREADS'])"
    )
    for known, told in ((None, "True 1"), ("3", "True 3")):
        env = {k: v for k, v in os.environ.items() if k != "OPENBLAS_NUM_THREADS"}
        env |= {"OPENBLAS_NUM_THREADS": known} if known else {}
        done = subprocess.run([sys.executable, "-c", code], env=env, capture_output=True, text=True)
        assert done.stdout.splitlines()[-1] == told, done.stderr
