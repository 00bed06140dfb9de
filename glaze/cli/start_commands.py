"""Commands that start a scene: from a sketch, or from one that comes with glaze."""

from __future__ import annotations

import shlex
from pathlib import Path

import click

from glaze.cli.show import say
from glaze.errors import InputError


@click.command()
@click.argument("sketch")
@click.option(
    "-o", "--folder", default=None, help="Folder to make; beside the sketch if not given."
)
@click.option("--dpi", type=float, default=None, help="Of a scan that doesn't say: 300 or 600.")
@click.option("--size", default=None, metavar="MM", help="Of a photo: the sheet in mm, as 210x148.")
def new(sketch: str, folder: str | None, dpi: float | None, size: str | None) -> None:
    """Start a scene from SKETCH (PNG, JPEG or TIFF): a folder with a copy and a scene file."""
    from glaze.scene.starter import new_scene

    size_mm = _size(size) if size is not None else None
    made = new_scene(Path(sketch), Path(folder) if folder else None, dpi, size_mm)
    say(
        f"{made}: open scene.toml there and add washes, then run: "
        f"glaze preview {shlex.quote(str(made.parent))} -o preview.png"
    )


def _size(text: str) -> tuple[float, float]:
    """Width and height [mm] written as 210x148."""
    try:
        wide, high = (float(part) for part in text.lower().split("x"))
    except ValueError:
        raise InputError(
            f'--size "{text}": width x height of the sheet in mm, as 210x148.'
        ) from None
    return wide, high


@click.command()
@click.argument("name", required=False)
@click.argument("folder", required=False)
def example(name: str | None, folder: str | None) -> None:
    """Copy the scene NAME that comes with glaze into FOLDER, to start from.

    Without NAME the scenes are listed.
    """
    from glaze.scene.examples import copy_example, example_names

    if name is None:
        for known in example_names():
            say(known)
        return
    say(f"{copy_example(name, Path(folder) if folder else None)}: copied.")
