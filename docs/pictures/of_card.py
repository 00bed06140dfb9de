"""The first page of the lighthouse's recipe card."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from make import content
from PIL import Image

from glaze.charts.paper.png import page_pixels
from glaze.charts.sheets.card import card_pages
from glaze.planning.sheet.planner import plan_of
from glaze.scene.file import load_scene

SCENE = Path(__file__).resolve().parents[2] / "scenes" / "lighthouse"
DAY = "2026-11-25"
DPI, COLOURS = 90.0, 160


def pictures() -> Iterator[tuple[str, bytes]]:
    """Name and content of the one page."""
    page = card_pages(plan_of(load_scene(SCENE)), "A4", DAY)[0]
    yield "card.png", content(Image.fromarray(page_pixels(page, DPI)), COLOURS)
