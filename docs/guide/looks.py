"""What the guide shows of colours, inks, shapes and scenes: painted when the site is built."""

from __future__ import annotations

import base64
import html
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from guide.run import DOCS, fresh

if TYPE_CHECKING:
    from glaze.patch.table import Table

SCENES = DOCS.parent / "scenes"
SMALL_PX = 300

SHAPES = {
    "polygon_mm": "polygon_mm = [[4, 18], [14, 3], [30, 8], [26, 21]]",
    "ellipse_mm": "ellipse_mm = { centre = [17, 12], radii = [12, 8], turn_degrees = 20 }",
    "band_mm": "band_mm = { from = [4, 20], to = [30, 4], width = 5 }",
    "pen_line_mm": (
        "pen_line_mm = { points = [[4, 18], [12, 5], [20, 18], [30, 6]], width = 0.8 }"
    ),
    "soft_mm": "polygon_mm = [[6, 5], [28, 5], [28, 19], [6, 19]]\nsoft_mm = 3",
    "minus": 'polygon_mm = [[3, 3], [31, 3], [31, 21], [3, 21]]\nminus = ["hole"]',
}
EDGES = ("drying line", "soft", "none")
SCENE = """format = 1
palette = "lifting"
paper = "white cartridge"
size_mm = [34, 24]
dpi = 250
[region.hole]
ellipse_mm = {{ centre = [17, 12], radii = [6, 6] }}
[region.shape]
{region}
[[step]]
wash = "wash"
mix = "Blue 2 + Red 1 + water 12"
region = "shape"
edge = "{edge}"
"""


def shapes() -> Iterator[str]:
    """A small picture for each shape and each edge."""
    folder = fresh("shapes")
    yield ":::{div} shapes\n"
    for name, region in SHAPES.items():
        yield from _shape(folder, name, region, "drying line", f"`{name}`")
    square = "polygon_mm = [[6, 5], [28, 5], [28, 19], [6, 19]]"
    for edge in EDGES:
        yield from _shape(
            folder, f"edge-{edge.replace(' ', '-')}", square, edge, f'edge = "{edge}"'
        )
    yield ":::\n"


def _shape(folder: Path, name: str, region: str, edge: str, told: str) -> Iterator[str]:
    from glaze.pipeline import paint

    scene = folder / f"{name}.toml"
    scene.write_text(SCENE.format(region=region, edge=edge), "utf-8")
    paint(scene).save(folder / f"{name}.png")
    yield f"![A wash laid on a {name}](/made/shapes/{name}.png)\n{told}\n"


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


def inks() -> Iterator[str]:
    """Every bottle of the palettes: its swatch neat and thinned, its dyes, what bleach does."""
    from glaze.materials.ink import palette_names
    from glaze.patch.table import table_of

    for name in palette_names():
        table = table_of(name, "white cartridge")
        yield f"### {name}\n"
        yield "| bottle | neat | 1 + 8 | bleach | how it is known |\n|---|---|---|---|---|"
        for ink in table.palette.bottles:
            looks = [
                _swatch(table, f"{ink.name} 1"),
                _swatch(table, f"{ink.name} 1 part + water 8 parts"),
            ]
            yield f"| {ink.name} | {' | '.join(looks)} | {ink.bleach_class} | {ink.how} |"
        yield ""


def _swatch(table: Table, recipe: str) -> str:
    from glaze.patch.seen import looks_of
    from glaze.patch.washes import lay_first

    (look,) = looks_of(table, lay_first(table, [table.mix(recipe)]))
    return f'<span class="swatch" style="background:{look.hex}"></span>'


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
