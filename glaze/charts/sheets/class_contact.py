"""The scenes of a class as painted, on a contact sheet."""

from __future__ import annotations

import io
from collections.abc import Mapping

import numpy as np

from glaze.charts.paper.page import Page
from glaze.charts.sheets.contact import Cell, contact_pages
from glaze.charts.sheets.parts import Layout
from glaze.charts.sheets.variant_sheet import common_table
from glaze.errors import number_of
from glaze.physics.colour import srgb_decode
from glaze.picture.resized import reduce
from glaze.planning.many.variants import ACROSS_PX
from glaze.scene.file import load_scene
from glaze.scene.records import Scene


def class_contact_pages(painted: Mapping[str, tuple[str, bytes]]) -> list[Page]:
    """Every scene by its folder's name, with its title and table.

    painted : a scene's path and its picture as a PNG file, by name
    """
    scenes = {name: load_scene(path) for name, (path, _) in painted.items()}
    cells = [_cell(name, png, scenes[name]) for name, (_, png) in painted.items()]
    bleach = any(step.liquid == "bleach" for one in scenes.values() for step in one.steps)
    told = ["Each as glaze paints its scene, and its values as greys."]
    count = number_of(len(cells), "scene")
    return contact_pages(cells, Layout(), common_table(scenes.values()), count, told, bleach=bleach)


def _cell(name: str, png: bytes, scene: Scene) -> Cell:
    from PIL import Image

    with Image.open(io.BytesIO(png)) as picture:
        # at most twice as fine as it is shown, then in linear light
        coarse = picture.convert("RGB").reduce(max(1, max(picture.size) // (2 * ACROSS_PX)))
    linear = srgb_decode(np.asarray(coarse) / 255.0)
    linear = reduce(linear, min(1.0, ACROSS_PX / max(coarse.size)))
    title = [scene.title] if scene.title != "Untitled" else []
    steps = number_of(len(scene.steps), "step")
    return Cell(linear, name, [*title, f"{scene.paper} paper, {steps}"])
