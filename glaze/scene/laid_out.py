"""What a scene lays out: its table, and its sketch."""

from __future__ import annotations

from glaze.materials.bleach import Bleach
from glaze.materials.dropper import Dropper
from glaze.materials.ink import Palette, load_palette
from glaze.materials.paper import Paper, load_paper
from glaze.materials.room import Room
from glaze.patch.table import Table, table_of
from glaze.picture.light import Light
from glaze.scene.ahead import begun_sketch
from glaze.scene.records import Scene
from glaze.sketch.line import Sketch, blank_shape, blank_sketch, read_sketch, sheet_of

PLAIN_DPI = 300.0
"""Of a bare sheet whose scene names none."""


def table_of_scene(
    scene: Scene,
    palette: str | Palette | None = None,
    paper: str | Paper | None = None,
    light: str | Light | None = None,
    dropper: Dropper | None = None,
) -> Table:
    """The table that a scene lays out; what is named outright takes precedence."""
    bottle, air = scene.bleach, scene.room
    return table_of(
        palette or palette_of(scene),
        paper or paper_of(scene),
        light or scene.light,
        wells=scene.wells,
        bleach=Bleach(bottle.percent, bottle.ph, bottle.age_months, bottle.storage_c),
        room=Room(air.temperature_c, air.humidity_percent, air.air_m_per_s),
        dropper=dropper or dropper_of(scene),
    )


def palette_of(scene: Scene) -> Palette:
    """The scene's inks: a built-in palette, or a file of the scene's folder."""
    return load_palette(scene.file(scene.palette) if _is_file(scene.palette) else scene.palette)


def dropper_of(scene: Scene) -> Dropper | None:
    """The dropper that the scene counts with; None where it names none."""
    if scene.dropper is None:
        return None
    return Dropper(scene.dropper.ink_drops_per_ml, scene.dropper.water_drops_per_ml)


def paper_of(scene: Scene) -> Paper:
    """The scene's paper: a built-in one, or a file of the scene's folder."""
    return load_paper(scene.file(scene.paper) if _is_file(scene.paper) else scene.paper)


def sketch_of(scene: Scene) -> Sketch:
    """The scene's sketch as a line over bare paper; a bare sheet where it has none."""
    if scene.sketch is None:
        assert scene.size_mm is not None  # the scene's own check
        return blank_sketch(scene.size_mm, scene.dpi or PLAIN_DPI)
    asked = scene.file(scene.sketch), scene.dpi, scene.size_mm
    return begun_sketch(*asked) or read_sketch(*asked)


def sheet_of_scene(scene: Scene) -> tuple[tuple[int, int], float]:
    """Rows and columns of its sketch [px], and its dpi, before that is read."""
    if scene.sketch is None:
        assert scene.size_mm is not None
        dpi = scene.dpi or PLAIN_DPI
        return blank_shape(scene.size_mm, dpi), dpi
    return sheet_of(scene.file(scene.sketch), scene.dpi, scene.size_mm)


def _is_file(name: str) -> bool:
    return name.endswith(".toml")
