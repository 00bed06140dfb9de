"""A scene painted again after every save, until it is stopped."""

from __future__ import annotations

import contextlib
import time
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from glaze.cli.show import Answer, quiet
from glaze.errors import InputError

if TYPE_CHECKING:
    from glaze.sheet.memory import Key, Memory

LOOK_EVERY_S = 0.2
"""How often a watched scene is looked at."""
SCENE_FILES = (".toml", ".png", ".jpg", ".jpeg", ".tif", ".tiff", ".json")


def painted_again(scene_path: str, output: Path, paint: Callable[[Memory], Answer]) -> Answer:
    """Paint after every save of the scene or a picture of its folder, until stopped.

    Mistakes are told and waited out. What no save has touched stays settled.
    """
    from glaze.picture.writing import place_all
    from glaze.scene.file import scene_path as file_of
    from glaze.sheet.memory import Memory

    if quiet():
        raise InputError("--watch goes on for as long as you paint: leave --json out.")
    file, memory, seen = file_of(scene_path), Memory(), None
    click.echo("Painting again after every save; stop with Ctrl-C.")
    times = 0
    try:
        while True:
            if (now := _saved(file.parent, output)) != seen:
                seen, times = now, times + 1
                try:
                    told = list(paint(memory)[1])
                    place_all()
                except InputError as error:
                    told = error.problems
                click.echo("\n".join(told))
            time.sleep(LOOK_EVERY_S)
    except KeyboardInterrupt:
        return {}, [f"Stopped after {times} times."]


def _saved(folder: Path, output: Path) -> frozenset[Key]:
    """What tells the files of a scene's folder from what they were before a save."""
    from glaze.sheet.memory import file_key

    found: set[Key] = set()
    for file in folder.iterdir():
        with contextlib.suppress(OSError):  # an editor may just be putting it in its place
            if file.suffix.lower() in SCENE_FILES and file.resolve() != output.resolve():
                found.add(file_key(file))
    return frozenset(found)
