"""Commands that start a scene: from a sketch, or from one that comes with glaze."""

from __future__ import annotations

import shlex
from pathlib import Path
from tempfile import TemporaryDirectory

import click

from glaze.errors import InputError


@click.command()
@click.argument("sketch")
@click.option(
    "-o", "--folder", default=None, help="Folder to make; beside the sketch if not given."
)
@click.option("--dpi", type=float, default=None, help="Of a scan that doesn't say: 300 or 600.")
@click.option("--size", default=None, help="Of a photo: the sheet, as 210x148 (mm), A5, or 210.")
@click.option(
    "--corners",
    default=None,
    metavar="X,Y ...",
    help='Of a photo of the whole sheet: "find", or four corners in pixels; it is made square.',
)
def new(
    sketch: str, folder: str | None, dpi: float | None, size: str | None, corners: str | None
) -> None:
    """Start a scene from SKETCH (PNG, JPEG or TIFF): a folder with a copy and a scene file."""
    from glaze.scene.starter import start_scene

    source = Path(sketch)
    home = Path(folder) if folder else source.with_suffix("")
    with TemporaryDirectory() as desk:
        if corners is not None:
            source, size = _straightened(source, corners, size, Path(desk))
        made, found = start_scene(source, home, dpi, size)
    wide, high = found.size_mm
    click.echo(f"The sheet is {wide:.0f} x {high:.0f} mm, at {found.dpi:.0f} dpi.")
    click.echo(
        f"{made}: open scene.toml there and add washes, then run: "
        f"glaze preview {shlex.quote(str(made.parent))} -o preview.png"
    )


def _straightened(photo: Path, corners: str, size: str | None, desk: Path) -> tuple[Path, str]:
    """A photo's sheet seen square from above, as a picture in the folder `desk`; and its size."""
    from PIL import Image

    from glaze.calibrate.scan.straighten import straighten
    from glaze.sketch.scan import read_scan
    from glaze.sketch.size import size_mm_of

    if size is None:
        raise InputError("--corners needs the sheet's size, as --size A5 or --size 210x148 (mm).")
    rows, columns = read_scan(photo).values.shape[:2]
    size_mm = size_mm_of(size, (columns, rows))
    made = desk / f"{photo.stem} straight.png"
    Image.fromarray(straighten(photo, corners, size_mm)).save(made)
    return made, "{:g}x{:g}".format(*size_mm)


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
            click.echo(known)
        return
    click.echo(f"{copy_example(name, Path(folder) if folder else None)}: copied.")
