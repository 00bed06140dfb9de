"""What the guide shows of colours, shapes and scenes: painted when the site is built."""

from __future__ import annotations

import base64
import html
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from PIL import Image, ImageDraw

from guide.run import DOCS, fresh

SCENES = DOCS.parent / "scenes"
SMALL_PX = 300

SIZE_MM, DPI = (34.0, 24.0), 250
LINED = 'sketch = "sketch.png"'
SQUARE = "polygon_mm = [[6, 5], [28, 5], [28, 19], [6, 19]]"
SHAPES = {
    "area": ("area = [1, 3]", "areas of the sketch by number"),
    "enclosed_at_mm": ("enclosed_at_mm = [25, 6]", "what the lines round a point enclose"),
    "polygon_mm": ("polygon_mm = [[4, 18], [14, 3], [30, 8], [26, 21]]", "corner by corner"),
    "ellipse_mm": (
        "ellipse_mm = { centre = [17, 12], radii = [12, 8], turn_degrees = 20 }",
        "turned by 20 degrees",
    ),
    "band_mm": ("band_mm = { from = [4, 20], to = [30, 4], width = 5 }", "a straight strip"),
    "pen_line_mm": (
        "pen_line_mm = { points = [[4, 18], [12, 5], [20, 18], [30, 6]], width = 0.8 }",
        "as a pen draws",
    ),
    "mask": ('mask = "greys.png"', "a grey picture: white is full"),
    "union": ('union = ["hole", "strip"]', "two regions as one"),
    "soft_mm": (f"{SQUARE}\nsoft_mm = 3", "a feathered edge"),
    "inside": (f'{SQUARE}\ninside = ["hole"]', "kept within another region"),
    "minus": (f'{SQUARE}\nminus = ["hole"]', "another region taken away"),
}
EDGES = {
    "drying line": '`edge = "drying line"`: usual (a corner, larger)',
    "none": '`edge = "none"` or `"soft"`: an even film',
}
NEARER = 3
"""A corner, so many times as large: there an edge is seen."""
SCENE = """format = 1
palette = "lifting"
paper = "white cartridge"
{ground}
size_mm = [34, 24]
[region.hole]
ellipse_mm = {{ centre = [17, 12], radii = [6, 6] }}
[region.strip]
band_mm = {{ from = [4, 20], to = [30, 4], width = 3 }}
[region.shape]
{region}
[[step]]
wash = "wash"
mix = "Blue 2 + Red 1 + water 9"
region = "shape"
edge = "{edge}"
{more}
"""


def shapes() -> Iterator[str]:
    """A small picture for each shape, each edge, and a grade."""
    folder = fresh("shapes")
    _draw_ground(folder)
    yield ":::{div} shapes\n"
    for name, (region, words) in SHAPES.items():
        ground = LINED if name in ("area", "enclosed_at_mm") else ""
        yield from _shape(folder, name, f"`{name}`: {words}", region=region, ground=ground)
    for edge, words in EDGES.items():
        name = f"edge-{edge.replace(' ', '-')}"
        yield from _shape(folder, name, words, edge=edge, nearer=NEARER)
    grade = "graded = { from_mm = [6, 12], to_mm = [28, 12], start = 1, end = 0 }"
    yield from _shape(folder, "graded", "`graded`: thinner along a line", more=grade)
    yield ":::\n"


def _shape(
    folder: Path,
    name: str,
    told: str,
    region: str = SQUARE,
    edge: str = "drying line",
    ground: str = "",
    more: str = "",
    nearer: int = 1,
) -> Iterator[str]:
    from glaze.pipeline import paint

    scene = folder / f"{name}.toml"
    ground = ground or f"dpi = {nearer * DPI}"
    scene.write_text(SCENE.format(region=region, edge=edge, ground=ground, more=more), "utf-8")
    picture = Image.fromarray(paint(scene).rgb)
    wide, high = picture.width // nearer, picture.height // nearer
    left, top = ((nearer - 1) * side * 4 // 5 for side in (wide, high))
    picture.crop((left, top, left + wide, top + high)).save(folder / f"{name}.png")
    yield f"![A wash: {told.replace('`', '')}](/made/shapes/{name}.png)\n{told}\n"


def _draw_ground(folder: Path) -> None:
    """A sketch of three areas, and a mask whose right half is thinner."""
    wide, high = (round(side * DPI / 25.4) for side in SIZE_MM)
    per_mm = DPI / 25.4
    sketch, mask = Image.new("L", (wide, high), 255), Image.new("L", (wide, high), 0)
    pen, brush = ImageDraw.Draw(sketch), ImageDraw.Draw(mask)
    for line in ((3, 3, 31, 3, 31, 21, 3, 21, 3, 3), (19, 3, 19, 21), (19, 12, 31, 12)):
        pen.line([mm * per_mm for mm in line], fill=20, width=round(0.5 * per_mm))
    for grey, box in ((255, (5, 4, 21, 20)), (90, (13, 4, 29, 20))):
        brush.ellipse([mm * per_mm for mm in box], fill=grey)
    for picture, name in ((sketch, "sketch.png"), (mask, "greys.png")):
        picture.save(folder / name, dpi=(DPI, DPI))


def colour_words() -> Iterator[str]:
    """All colour words with a swatch at the middle of what is called so."""
    from glaze.materials.colour_words import load_names
    from glaze.patch.seen import chip_of_xyz, hex_of
    from glaze.planning.recipe.wanted import wanted_colour

    yield '<div class="words">'
    for word in sorted({name.told() for name in load_names()}):
        colour = hex_of(chip_of_xyz(wanted_colour(word).xyz))
        yield f'<div><span class="swatch" style="background:{colour}"></span> {html.escape(word)}'
        yield "</div>"
    yield "</div>\n"


def gallery() -> Iterator[str]:
    """Every scene, and how it is painted: the steps as small pictures in their order."""
    from glaze.charts.screen import stages
    from glaze.painting.settle import resolve
    from glaze.scene.file import load_scene

    for place in sorted(SCENES.glob("*/scene.toml")):
        name = place.parent.name
        scene = load_scene(place)
        # every other pixel is plenty for pictures of this size
        whole = resolve(scene)
        painting = replace(whole.taken((slice(None, None, 2),) * 2), dpi=whole.dpi / 2)
        folder = fresh(f"gallery-{name}")
        shown = stages.stages_of(painting, lambda share: None, long_side_px=SMALL_PX * 3)
        files = [_saved(stage.picture, folder / f"{n}.webp") for n, stage in enumerate(shown)]
        yield f"## {scene.title}\n"
        yield f"![{scene.title}, as painted](/made/gallery-{name}/{files[-1]})\n"
        page = DOCS / "scenes" / f"{name}.md"
        if page.exists():
            yield f"[What it shows and how sure it is](/scenes/{name}.md).\n"
        yield "::::{dropdown} How it is painted\n:::{div} stages\n"
        for number, (step, file) in enumerate(zip(scene.steps, files[1:], strict=True), start=1):
            yield f"![After step {number}, {step.name}](/made/gallery-{name}/{file})"
            yield f"{number}. {step.name}: {step.kind}{', ' + step.recipe if step.recipe else ''}\n"
        yield ":::\n::::\n"


def _saved(uri: str, path: Path) -> str:
    path.write_bytes(base64.b64decode(uri.split(",", 1)[1]))
    return path.name
