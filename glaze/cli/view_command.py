"""The command that opens the window."""

from __future__ import annotations

import importlib.util
import os
import subprocess
import sys
from pathlib import Path

import click

from glaze.cli.window import PLACE
from glaze.errors import InputError

MISSING = (
    'The window isn\'t installed. Install it with: pip install "glaze-lift[viewer]" '
    "(it brings napari and Qt)."
)


@click.command()
@click.argument("path", metavar="[SCENE | SKETCH]", required=False)
@click.option("--language", help="en, de, fr or es; else as chosen there, or the computer's.")
def view(path: str | None, language: str | None) -> None:
    """Open a scene (a folder, its scene.toml or a .zip) or a sketch in the window.

    Without a name the lighthouse is opened, with a tour of three steps.
    """
    if path is not None and not Path(path).exists():
        raise InputError(f'There is no scene and no sketch at "{path}".')
    if missing():
        raise InputError(MISSING)
    # a program of its own: the model never loads a window; -P: no code of the current folder
    asked = [f"--language={language}"] if language else []
    command = [sys.executable, "-P", "-m", PLACE, *([path] if path else []), *asked]
    if os.name == "posix":
        # in this one's place, so that whoever ends `glaze` ends the window
        sys.stdout.flush()
        os.execv(command[0], command)
    sys.exit(subprocess.run(command, check=False).returncode)


def missing() -> bool:
    """Whether something the window needs isn't installed."""
    needed = (PLACE, "napari", "qtpy")
    if any(importlib.util.find_spec(name) is None for name in needed):
        return True
    bindings = ("PySide6", "PyQt6")
    return all(importlib.util.find_spec(name) is None for name in bindings)
