"""Commands that start a scene: from a sketch, or from one that comes with glaze."""

from __future__ import annotations

import shlex
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

import click

from glaze.cli.areas_command import areas_json, size_lines
from glaze.cli.show import Answer, answers, progress, working
from glaze.errors import InputError

if TYPE_CHECKING:
    from glaze.region.areas import Areas


def sketch_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Where a scene goes, and how large its sketch is."""
    for option in (
        click.option(
            "--corners",
            default=None,
            metavar="X,Y ...",
            help='Where table or lid shows round the sheet: "find", or four in pixels.',
        ),
        click.option(
            "--shape",
            default=None,
            metavar="crop|fit",
            help="Where picture and --size differ: crop it, or fit all of it in with a margin.",
        ),
        click.option("--size", default=None, help="Of a photo: 210x148 (mm), A5, or 210."),
        click.option("--dpi", type=float, default=None, help="Of a scan that doesn't say."),
        click.option(
            "--folder", default=None, help="Folder to make; beside the sketch if not given."
        ),
    ):
        command = option(command)
    return command


@click.command()
@click.argument("sketch")
@click.option("-o", "folder_as_output", default=None, help="The same as --folder.")
@sketch_options
@answers
def new(sketch: str, folder_as_output: str | None, folder: str | None, **given: Any) -> Answer:
    """Start a scene from SKETCH (PNG, JPEG or TIFF): a folder with a copy and a scene that paints.

    areas.png there shows the areas that the lines enclose by number, over a grid in mm; the scene
    has a first pale wash for every large one, to change.
    """
    home, areas = _started(Path(sketch), folder or folder_as_output, **given)
    return lambda: areas_json(areas, {}), [
        *size_lines(areas),
        f"{home / 'scene.toml'}: change the mixes there; {home / 'areas.png'} numbers the areas.",
        f"To see it: glaze preview {shlex.quote(str(home))} -o preview.png",
    ]


@click.command()
@click.argument("sketch")
@click.argument("washes", nargs=-1, metavar='["AREA, AREA: MIX"]...')
@click.option("-o", "--output", required=True, help="Picture to write: .png or .tif.")
@click.option("--table", default=None, help="A text file of such lines, one a wash.")
@sketch_options
@answers
def tint(
    sketch: str,
    washes: tuple[str, ...],
    output: str,
    table: str | None,
    folder: str | None,
    **given: Any,
) -> Answer:
    """Paint SKETCH in one go: areas by number, each with its mix, to a picture.

    Without any, every large area gets a first pale wash. The scene it made is kept in a folder
    beside the sketch, with areas.png that shows the numbers.
    """
    from glaze.painting.settle import resolve
    from glaze.picture.file import check_path, write_picture
    from glaze.picture.writing import place_all
    from glaze.pipeline import render
    from glaze.scene.file import load_scene, scene_text

    path = Path(output)
    check_path(path, Path(sketch))
    lines = [*washes, *(_lines_of(Path(table)) if table else [])]
    mixes = dict(_wash_of(line) for line in lines) if lines else None
    home, areas = _started(Path(sketch), folder, mixes=mixes, **given)
    place_all()
    scene = load_scene(home)
    with working("Painting") as share:
        painting = resolve(scene)
        bits = 8 if path.suffix.lower() == ".png" else 16
        picture = render(painting, bits=bits, progress=share)
    write_picture(picture, path, {"scene": scene_text(scene)})
    found = lambda: {"picture": output, "scene": str(home), **areas_json(areas, {})}  # noqa: E731
    kept = f"{home}: the scene it made, to go on from; areas.png there numbers the areas."
    return found, [*size_lines(areas), *painting.notes, kept, f"{path}: painted."]


def _wash_of(line: str) -> tuple[tuple[int, ...], str]:
    """Areas and their mix, written as "3, 7: Blue 1 + water 8"."""
    numbers, _, mix = line.partition(":")
    try:
        found = tuple(int(part) for part in numbers.replace(",", " ").split())
    except ValueError:
        found = ()
    if not found or not mix.strip():
        raise InputError(f'"{line}": write areas and their mix, as "3, 7: Blue 1 + water 8".')
    return found, mix.strip()


def _lines_of(table: Path) -> list[str]:
    """The lines of a table that say something."""
    from glaze.record.incoming import read_bytes

    lines = read_bytes(table).decode("utf-8-sig", "replace").splitlines()
    return [line for line in lines if line.strip() and not line.lstrip().startswith("#")]


def _started(
    source: Path,
    folder: str | None,
    dpi: float | None,
    size: str | None,
    corners: str | None,
    shape: str | None,
    mixes: dict[tuple[int, ...], str] | None = None,
) -> tuple[Path, Areas]:
    """A new scene's folder with its numbered sketch, and the areas."""
    from glaze.charts.sheets.areas_sheet import areas_sheet
    from glaze.picture.file import Picture, write_picture
    from glaze.scene.starter import DRAWN, start_scene

    home = Path(folder) if folder else source.with_suffix("")
    with TemporaryDirectory() as desk:
        if corners is not None or shape is not None:
            source, size = _made(source, corners, shape, size, Path(desk))
        with progress("Finding the areas"):
            made, areas = start_scene(source, home, dpi, size, mixes=mixes)
    numbers = {area.number: str(area.number) for area in areas.listed}
    sheet = Picture(*areas_sheet(areas, numbers))
    write_picture(sheet, made.parent / DRAWN)
    return made.parent, areas


def _made(
    photo: Path, corners: str | None, shape: str | None, size: str | None, desk: Path
) -> tuple[Path, str]:
    """A photo's sheet seen square from above, or a picture in its sheet's shape; and its size.

    It is a picture in the folder `desk`.
    """
    from PIL import Image

    from glaze.sketch.scan import read_scan
    from glaze.sketch.shape import shaped
    from glaze.sketch.size import size_mm_of
    from glaze.sketch.straighten import straighten

    option = "--shape" if corners is None else "--corners"
    if size is None:
        raise InputError(f"{option} needs the sheet's size, as --size A5 or --size 210x148 (mm).")
    if corners is not None and shape is not None:
        raise InputError("--corners gives the sheet its own shape; leave out --shape.")
    rows, columns = read_scan(photo).values.shape[:2]
    size_mm = size_mm_of(size, (columns, rows))
    if corners is not None:
        word, values = "straight", straighten(photo, corners, size_mm)
    else:
        word, values = shape or "", shaped(photo, shape or "", size_mm)
    made = desk / f"{photo.stem} {word}.png"
    Image.fromarray(values.squeeze()).save(made)
    return made, "{:g}x{:g}".format(*size_mm)


@click.command()
@click.argument("name", required=False)
@click.argument("folder", required=False)
@answers
def example(name: str | None, folder: str | None) -> Answer:
    """Copy the scene NAME that comes with glaze into FOLDER, to start from.

    Without NAME the scenes are listed.
    """
    from glaze.scene.examples import copy_example, example_names

    if name is None:
        return {"examples": list(example_names())}, example_names()
    home = copy_example(name, Path(folder) if folder else None)
    return {"scene": str(home)}, [f"{home}: copied."]
