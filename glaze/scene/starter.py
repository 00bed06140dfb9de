"""A first scene file for a sketch, for the painter to go on from."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from glaze.errors import InputError
from glaze.picture.writing import make_folder, together, write_whole
from glaze.record.toml_text import toml_value
from glaze.region.areas import Areas
from glaze.region.groups import groups_of, parted
from glaze.region.kept_areas import areas_found
from glaze.region.numbered import kept_text
from glaze.region.records import Gaps
from glaze.scene.file import FILE
from glaze.scene.records import Scene
from glaze.sketch.line import NO_REAL_DPI, Sketch, read_sketch
from glaze.sketch.scan import read_scan
from glaze.sketch.size import size_mm_of

STARTER = """\
# A scene of glaze: what lies on the table, and the steps in painting order.
# Places are in mm from the upper left corner of the sheet: x to the right, y down.
# docs/scene-file.md tells all keys; `glaze check` tells what is wrong with a scene.
format = 1
title = {title}
palette = {palette}
paper = {paper}
sketch = {sketch}
{size}
line = "waterproof"    # or the name of an ink, if the line is drawn with one: it runs and lifts

[bleach]
percent = 5.0    # copy it from the bottle's label

# A stock mix, ready in a well:
# [well]
# dusk = "Red 2 + Yellow 3 + water 40"

# The sketch's areas by number: areas.png shows them, `glaze areas` draws it again. Gaps in the
# line up to gap_mm are closed; one that should stay open gets its place in open_at_mm = [[x, y]].
[areas]
gap_mm = {gap_mm:g}
numbered = "{kept}"
{blocks}"""

BLOCK = """
[region."{name}"]
area = [{numbers}]

[[step]]
wash = "{name}"
mix = "{mix}"
region = "{name}"
"""

PALETTE, PAPER = "lifting", "white hot-pressed"
GAP_MM = 4.0
KEPT = "areas.json"
DRAWN = "areas.png"

MIXES = (
    "Blue 1 part + water 14 parts",
    "Yellow 1 part + water 9 parts",
    "Red 1 part + water 14 parts",
    "Yellow 3 parts + Blue 1 part + water 40 parts",
    "Yellow 3 parts + Red 1 part + water 40 parts",
    "Black 1 part + water 20 parts",
    "Red 1 part + Blue 1 part + water 30 parts",
)
"""First washes to change: pale, and told apart at a glance."""


def start_scene(
    sketch_path: str | Path,
    folder: str | Path | None = None,
    dpi: float | None = None,
    size_mm: tuple[float, float] | str | None = None,
    palette: str = PALETTE,
    paper: str = PAPER,
    mixes: Mapping[tuple[int, ...], str] | None = None,
) -> tuple[Path, Areas]:
    """Make a folder with a copy of a sketch, byte for byte, and a scene file to go on from.

    Parameters
    ----------
    sketch_path : PNG, JPEG or TIFF; it is never written
    folder : where to; by default a folder beside the sketch, of its name
    dpi, size_mm : one of them where the picture doesn't say how large it is; the size also in
        words, as "A5"
    mixes : recipes by the numbers of the areas they are laid in, each an index from 1; else the
        large areas get a first one, neighbours alike in one go

    Returns
    -------
    file, areas : the new scene file, and the areas of its sketch, of shape (rows, columns)
    """
    source = Path(sketch_path)
    if isinstance(size_mm, str):
        rows, columns = read_scan(source).values.shape[:2]
        size_mm = size_mm_of(size_mm, (columns, rows))
    sketch = read_sketch(source, dpi, size_mm)
    if not (dpi or size_mm):
        _refuse_no_real_dpi(sketch, source.name)
    home = source.with_suffix("") if folder is None else Path(folder)
    file, copy = home / FILE, home / source.name
    for taken in (file, copy, home / KEPT, home / DRAWN):
        if taken.exists() and taken.resolve() != source.resolve():
            raise InputError(
                f'"{taken}" is there already and is left as it is; name another folder.'
            )
    areas = areas_found(sketch, GAP_MM)
    washes = _first_washes(areas) if mixes is None else _known(areas, mixes)
    try:
        text = _starter(sketch, source, dpi, size_mm, palette, paper, washes).encode()
    except UnicodeEncodeError:
        raise InputError(
            f"\"{source.name}\" has a name that isn't UTF-8, which a scene file can't hold: rename "
            "the picture first."
        ) from None
    with together():
        make_folder(home)
        if copy.resolve() != source.resolve():
            write_whole(copy, source.read_bytes())
        write_whole(home / KEPT, kept_text(areas).encode())
        write_whole(file, text)
    return file, areas


def sketch_scene(sketch_path: Path, size_mm: str | None = None) -> Scene:
    """A scene without a step for a sketch, at home in the sketch's folder; nothing is written.

    size_mm : in words, as "A5" or "210x148", where the picture doesn't say how large it is
    """
    sides = None
    if size_mm is not None:
        rows, columns = read_scan(sketch_path).values.shape[:2]
        sides = size_mm_of(size_mm, (columns, rows))
    else:
        _refuse_no_real_dpi(read_sketch(sketch_path), sketch_path.name)
    values = {"title": sketch_path.stem, "sketch": sketch_path.name, "size_mm": sides}
    made = Scene(format=1, palette=PALETTE, paper=PAPER, areas=Gaps(gap_mm=GAP_MM), **values)
    return made.in_folder(sketch_path.parent)


def _first_washes(areas: Areas) -> dict[tuple[int, ...], str]:
    """A pale wash for every group of large areas, another than its neighbours'."""
    groups = groups_of(areas)
    colours = parted(areas, groups, len(MIXES))
    return {numbers: MIXES[n] for numbers, n in zip(groups, colours, strict=True)}


def as_started(scene: Scene) -> bool:
    """Whether all steps are the first washes of a new scene, which are there to be changed."""
    firsts = ("area ", "areas ")
    return all(
        step.recipe in MIXES and step.name == step.region and step.name.startswith(firsts)
        for step in scene.steps
    )


def _known(areas: Areas, mixes: Mapping[tuple[int, ...], str]) -> Mapping[tuple[int, ...], str]:
    """The mixes, if all areas they name are there."""
    there = {area.number for area in areas.listed}
    lost = sorted({number for numbers in mixes for number in numbers} - there)
    if lost:
        raise InputError(
            f"There is no area {', '.join(map(str, lost))}; this sketch has 1 to {max(there)}. "
            "`glaze new` draws them with their numbers."
        )
    return mixes


def _refuse_no_real_dpi(sketch: Sketch, name: str) -> None:
    if round(sketch.dpi) in NO_REAL_DPI:
        wide, high = sketch.size_mm
        raise InputError(
            f'"{name}" says {sketch.dpi:g} dpi, as pictures do whose size nobody knows: its sheet '
            f"would be {wide:.0f} x {high:.0f} mm. Measure the sheet and give --size, as "
            "--size 210x148 (mm) or --size A5."
        )


def _starter(
    sketch: Sketch,
    source: Path,
    dpi: float | None,
    size_mm: tuple[float, float] | None,
    palette: str,
    paper: str,
    washes: Mapping[tuple[int, ...], str],
) -> str:
    width, height = sketch.size_mm
    size = f"# the sketch says {sketch.dpi:g} dpi: {width:.0f} x {height:.0f} mm"
    if size_mm:
        size = f"size_mm = [{size_mm[0]:g}, {size_mm[1]:g}]"
    elif dpi:
        size = f"dpi = {dpi:g}"
    names = {"title": source.stem, "palette": palette, "paper": paper, "sketch": source.name}
    quoted = {key: toml_value(name) for key, name in names.items()}
    blocks = ""
    for numbers, mix in washes.items():
        told = ", ".join(map(str, numbers))
        few = told if len(numbers) <= 6 else f"{', '.join(map(str, numbers[:6]))} and others"
        name = f"area{'s' if len(numbers) > 1 else ''} {few}"
        mix = toml_value(mix)[1:-1]
        blocks += BLOCK.format(name=name, numbers=told, mix=mix)
    return STARTER.format(**quoted, size=size, gap_mm=GAP_MM, kept=KEPT, blocks=blocks)
