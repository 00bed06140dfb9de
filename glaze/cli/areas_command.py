"""`glaze areas`: the areas of a scene's sketch, by number or by name, and which lies where."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from glaze.cli import completing
from glaze.cli.screen import obeys
from glaze.cli.show import Answer, answers, progress
from glaze.errors import InputError, number_of

if TYPE_CHECKING:
    from glaze.region.areas import Areas
    from glaze.region.combine import Regions
    from glaze.scene.records import Scene

MOST_ROWS = 40
"""Areas that are listed on a terminal; more are counted."""


def size_lines(areas: Areas) -> list[str]:
    """How large the sheet is [mm], and the number of areas; their field is (rows, columns)."""
    wide, high = areas.sketch.size_mm
    closed = f", {number_of(len(areas.joins), 'gap')} in its lines closed" if areas.joins else ""
    return [
        f"The sheet is {wide:.0f} x {high:.0f} mm, at {areas.sketch.dpi:.0f} dpi: "
        f"{number_of(len(areas.listed), 'area')}{closed}."
    ]


def areas_json(areas: Areas, named: dict[int, str]) -> dict[str, Any]:
    """The areas for JSON, with the number or name each goes by; sizes [mm], shape (2,)."""
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
@click.option("--all", "every", is_flag=True, help=f"List more than {MOST_ROWS} on a terminal.")
@click.option("--renumber", is_flag=True, help="Keep the numbers for the sketch as it is now.")
@answers
def areas(
    scene_path: str,
    output: str | None,
    names: bool,
    at_mm: str | None,
    pixel: str | None,
    every: bool,
    renumber: bool,
) -> Answer:
    """List the areas of SCENE's sketch by number, draw them, or say which lies at a place.

    When the sketch was scanned again, --renumber keeps every number whose area is found again,
    counts on for new ones, and tells which are lost; the old numbers are kept beside.
    """
    from glaze.painting.settle import regions_of
    from glaze.scene.file import load_scene

    scene = load_scene(scene_path)
    with progress("Finding the areas"):
        regions = regions_of(scene)
        found = regions.areas()
    told, changed = _renumbered(scene, regions) if renumber else ([], {})
    kept = regions.numbers()
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
    listed = found.listed
    short = obeys() and not every and len(listed) > MOST_ROWS
    if short:
        largest = sorted(listed, key=lambda area: -area.mm2)[:MOST_ROWS]
        listed = tuple(sorted(largest, key=lambda area: area.number))
    rows = [
        f"  {called.get(a.number, 'new'):>4}  {a.mm2 / 100:8.2f} cm²  at {a.at_mm[0]:.0f}, "
        f"{a.at_mm[1]:.0f} mm  {regions_at.get(a.number, '')}".rstrip()
        for a in listed
    ]
    if short:
        rest = number_of(len(found.listed) - MOST_ROWS, "smaller area")
        rows.append(f"  and {rest}: --all lists them.")
    drawn = [f"{output}: written."] if output else []
    return areas_json(found, called) | changed, [*size_lines(found), *told, *rows, *drawn]


def _renumbered(scene: Scene, regions: Regions) -> tuple[list[str], dict[str, Any]]:
    """Keep the numbers for the sketch as it is; what became of them, in words and for JSON."""
    from glaze.picture.writing import place_all, write_whole
    from glaze.region.numbered import kept_text, read_kept, renumbered
    from glaze.scene.edited import write_changed
    from glaze.scene.starter import KEPT

    name, found = scene.areas.numbered, regions.areas()
    file = scene.folder / (name or KEPT)
    old = []
    if name is not None:
        try:
            old = read_kept(file)
        except InputError as error:
            click.echo(error.problems[0].split(".")[0] + ".", err=True)
    elif file.exists():
        raise InputError(f'Write numbered = "{KEPT}" into [areas] first: that file is there.')
    new = renumbered(old, found.listed)
    before = {area.number for area in old}
    lost = sorted(before - {area.number for area in new})
    added = sorted({area.number for area in new} - before)
    text = kept_text(found, new).encode()
    beside = write_changed(file, text, file.read_bytes()) if name else None
    if name is None:
        write_whole(file, text)
    place_all()
    gone = {n: one for one, region in scene.regions.items() for n in region.area if n in lost}
    count = len(before) - len(lost)
    keep = "keeps its number" if count == 1 else "keep their numbers"
    told = [f"{number_of(count, 'area')} {keep}; new: {len(added)}."]
    told += [f"Not found again: {', '.join(map(str, lost))}."] if lost else []
    told += [
        f'Region "{one}" names area {n}, which is gone: name another.' for n, one in gone.items()
    ]
    told += [f"{beside}: the numbers as they were."] if beside else []
    told += [f'{file}: written. Write numbered = "{KEPT}" into [areas].'] if name is None else []
    return told, {"new": added, "lost": lost, "kept": str(beside) if beside else None}


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
