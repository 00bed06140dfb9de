"""A first scene file for a sketch, for the painter to go on from."""

from __future__ import annotations

from pathlib import Path

from glaze.errors import InputError
from glaze.picture.writing import make_folder, together, write_whole
from glaze.scene.file import FILE
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

# An area that the lines of the sketch enclose, found from a point in it:
# [region.sky]
# enclosed_at_mm = [{x:.0f}, {y:.0f}]

# A wash over the whole sheet; take the # away, or name a region:
# [[step]]
# wash = "first tint"
# mix = "Yellow 1 part + water 16 parts"
# region = "sheet"
"""


def start_scene(
    sketch_path: str | Path,
    folder: str | Path | None = None,
    dpi: float | None = None,
    size_mm: tuple[float, float] | str | None = None,
    palette: str = "lifting",
    paper: str = "white hot-pressed",
) -> tuple[Path, Sketch]:
    """Make a folder with a copy of a sketch, byte for byte, and a scene file to go on from.

    Parameters
    ----------
    sketch_path : PNG, JPEG or TIFF; it is never written
    folder : where to; by default a folder beside the sketch, of its name
    dpi, size_mm : one of them where the picture doesn't say how large it is; the size also in
        words, as "A5"

    Returns
    -------
    file, sketch : the new scene file, and the sketch as it is read
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
    for taken in (file, copy):
        if taken.exists() and taken.resolve() != source.resolve():
            raise InputError(
                f'"{taken}" is there already and is left as it is; name another folder.'
            )
    try:
        text = _starter(sketch, source, dpi, size_mm, palette, paper).encode()
    except UnicodeEncodeError:
        raise InputError(
            f"\"{source.name}\" has a name that isn't UTF-8, which a scene file can't hold: rename "
            "the picture first."
        ) from None
    with together():
        make_folder(home)
        if copy.resolve() != source.resolve():
            write_whole(copy, source.read_bytes())
        write_whole(file, text)
    return file, sketch


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
) -> str:
    import tomlkit

    width, height = sketch.size_mm
    size = f"# the sketch says {sketch.dpi:g} dpi: {width:.0f} x {height:.0f} mm"
    if size_mm:
        size = f"size_mm = [{size_mm[0]:g}, {size_mm[1]:g}]"
    elif dpi:
        size = f"dpi = {dpi:g}"
    names = {"title": source.stem, "palette": palette, "paper": paper, "sketch": source.name}
    quoted = {key: tomlkit.string(name).as_string() for key, name in names.items()}
    return STARTER.format(**quoted, size=size, x=width / 2, y=height / 4)
