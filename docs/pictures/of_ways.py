"""The first page of the contact sheet that docs/many.md begins with."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from of_scenes import small_jpeg
from PIL import Image

from glaze.charts.paper.png import page_pixels
from glaze.charts.sheets.parts import Layout
from glaze.charts.sheets.variant_sheet import variant_pages
from glaze.planning.many.variants import PARTS, vary
from glaze.scene.changed import Change

SCENE = Path(__file__).resolve().parents[2] / "scenes" / "huts"
STEP = "one shadow over all six"
DAY = "2026-11-26"
DPI = 90.0


def pictures() -> Iterator[tuple[str, bytes]]:
    """Name and content of the one page."""
    axes = [
        [Change(PARTS, float(parts), STEP) for parts in (2, 4, 8, 16)],
        [Change("light", light) for light in ("D65", "A")],
    ]
    page = variant_pages(vary(str(SCENE), axes), Layout(day=DAY))[0]
    yield "ways.jpg", small_jpeg(Image.fromarray(page_pixels(page, DPI)))
