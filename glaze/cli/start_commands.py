"""Commands that start a scene: from a sketch, or from one that comes with glaze."""

from __future__ import annotations

import shlex
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, Any

import click

from glaze.cli import completing
from glaze.cli.show import Answer, answers, first_run_note, progress
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
            help='Of a photo of the whole sheet: "find", or four in pixels; it is made square.',
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
    return lambda: _areas_json(areas, {}), [
        *_size_lines(areas),
        f"{home / 'scene.toml'}: change the mixes there; {home / 'areas.png'} numbers the areas.",
        f"glaze preview {shlex.quote(str(home))} -o preview.png",
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
    with first_run_note(), progress("Painting") as share:
        painting = resolve(scene)
        bits = 8 if path.suffix.lower() == ".png" else 16
        picture = render(painting, bits=bits, progress=share)
    write_picture(picture, path, {"scene": scene_text(scene)})
    found = lambda: {"picture": output, "scene": str(home), **_areas_json(areas, {})}  # noqa: E731
    kept = f"{home}: the scene it made, to go on from; areas.png there numbers the areas."
    return found, [*_size_lines(areas), *painting.notes, kept, f"{path}: painted."]


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
    mixes: dict[tuple[int, ...], str] | None = None,
) -> tuple[Path, Areas]:
    """A new scene's folder with its numbered sketch, and the areas."""
    from glaze.charts.sheets.areas_sheet import areas_sheet
    from glaze.picture.file import Picture, write_picture
    from glaze.scene.starter import DRAWN, start_scene

    home = Path(folder) if folder else source.with_suffix("")
    with TemporaryDirectory() as desk:
        if corners is not None:
            source, size = _straightened(source, corners, size, Path(desk))
        with progress("Finding the areas"):
            made, areas = start_scene(source, home, dpi, size, mixes=mixes)
    numbers = {area.number: str(area.number) for area in areas.listed}
    sheet = Picture(*areas_sheet(areas, numbers))
    write_picture(sheet, made.parent / DRAWN)
    return made.parent, areas


def _size_lines(areas: Areas) -> list[str]:
    wide, high = areas.sketch.size_mm
    closed = f", {len(areas.joins)} gaps in its lines closed" if areas.joins else ""
    return [
        f"The sheet is {wide:.0f} x {high:.0f} mm, at {areas.sketch.dpi:.0f} dpi: "
        f"{len(areas.listed)} areas{closed}."
    ]


def _areas_json(areas: Areas, named: dict[int, str]) -> dict[str, Any]:
    """The areas for JSON, with the number or name each goes by."""
    return {
        "size_mm": [round(side, 2) for side in areas.sketch.size_mm],
        "dpi": areas.sketch.dpi,
        "gap_mm": areas.gap_mm,
        "areas": [{**vars(a), "called": named.get(a.number, str(a.number))} for a in areas.listed],
        "joins": [{"at_mm": j.at_mm, "width_mm": round(j.width_mm, 2)} for j in areas.joins],
    }


@click.command()
@click.argument("scene_path", metavar="SCENE", shell_complete=completing.scenes)
@click.option("-o", "--output", default=None, help="Draw them: a .png or .tif.")
@click.option("--names", is_flag=True, help="By the names of the scene's regions.")
@click.option("--at", "at_mm", default=None, metavar="X,Y", help="Which area is at this mm?")
@click.option("--pixel", default=None, metavar="X,Y", help="Which area is at this pixel?")
@answers
def areas(
    scene_path: str, output: str | None, names: bool, at_mm: str | None, pixel: str | None
) -> Answer:
    """List the areas of SCENE's sketch by number, draw them, or say which lies at a place."""
    from glaze.painting.settle import regions_of
    from glaze.scene.file import load_scene

    scene = load_scene(scene_path)
    with progress("Finding the areas"):
        regions = regions_of(scene)
        found, kept = regions.areas(), regions.numbers()
    now = kept if kept is not None else {a.number: a.number for a in found.listed}
    called = {number: str(old) for old, number in now.items()}
    regions_at = {
        now[n]: name for name, region in scene.regions.items() for n in region.area if n in now
    }
    if at_mm is not None or pixel is not None:
        return _which(found, called, regions_at, at_mm, pixel)
    labels = {n: regions_at.get(n, text) for n, text in called.items()} if names else called
    if output is not None:
        from glaze.charts.sheets.areas_sheet import areas_sheet
        from glaze.picture.file import Picture, check_path, write_picture

        check_path(Path(output), scene.file(scene.sketch) if scene.sketch else None)
        write_picture(Picture(*areas_sheet(found, labels)), Path(output))
    rows = [
        f"  {called.get(a.number, 'new'):>4}  {a.mm2 / 100:8.2f} cm2  at {a.at_mm[0]:.0f}, "
        f"{a.at_mm[1]:.0f} mm  {regions_at.get(a.number, '')}".rstrip()
        for a in found.listed
    ]
    drawn = [f"{output}: written."] if output else []
    return _areas_json(found, called), [*_size_lines(found), *rows, *drawn]


def _which(
    found: Areas,
    called: dict[int, str],
    regions_at: dict[int, str],
    at_mm: str | None,
    pixel: str | None,
) -> Answer:
    """The area at a place given in mm or in pixels of the sketch."""
    text = at_mm if at_mm is not None else pixel or ""
    try:
        x, y = (float(part) for part in text.split(","))
    except ValueError:
        raise InputError(f'"{text}": a place is two numbers, across and down, as 112,45.') from None
    scale = 1.0 if at_mm is not None else 1 / found.per_mm
    number = found.at((x * scale, y * scale))
    region = regions_at.get(number)
    told = f'Area {called.get(number, "new")}, region "{region}".' if region else None
    told = told or f"Area {called.get(number, 'new')}; no region of the scene has it."
    return {"area": called.get(number), "region": region}, [told]


def _straightened(photo: Path, corners: str, size: str | None, desk: Path) -> tuple[Path, str]:
    """A photo's sheet seen square from above, as a picture in the folder `desk`; and its size."""
    from PIL import Image

    from glaze.sketch.scan import read_scan
    from glaze.sketch.size import size_mm_of
    from glaze.sketch.straighten import straighten

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
