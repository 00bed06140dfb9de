"""The sheets shown in docs/sheets.md; run by itself it makes those pinned in tests.

The same pages at two sizes: 60 dpi for the eye, 25 dpi for tests/charts/test_pinned_sheets.py.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from make import content
from PIL import Image

from glaze.charts.content.blocks import plan_blocks
from glaze.charts.content.ladder import usual_ladders
from glaze.charts.content.lesson_words import lesson_words
from glaze.charts.content.tertiary import plan_lesson
from glaze.charts.content.wet_blocks import plan_wet_blocks
from glaze.charts.content.wheel import plan_wheel
from glaze.charts.paper.page import Page
from glaze.charts.paper.png import page_pixels
from glaze.charts.sheets.blocks_sheet import blocks_sheets
from glaze.charts.sheets.fringe_sheet import fringe_sheets
from glaze.charts.sheets.gamut_sheet import gamut_sheets
from glaze.charts.sheets.ladder_sheet import ladder_sheets
from glaze.charts.sheets.parts import Layout
from glaze.charts.sheets.strip_sheet import strip_sheets
from glaze.charts.sheets.tertiary_sheet import lesson_sheets
from glaze.charts.sheets.two_bottles_sheet import two_bottles_sheets
from glaze.charts.sheets.wet_blocks_sheet import wet_blocks_sheets
from glaze.charts.sheets.wheel_sheet import wheel_sheets
from glaze.patch.table import table_of
from glaze.planning.bottles.gamut import plan_gamut
from glaze.planning.bottles.gamut_words import bottles_that_add
from glaze.planning.bottles.side_by_side import side_by_side
from glaze.planning.looks.fringe import plan_fringes
from glaze.planning.looks.ink_strip import plan_strips

PINNED = Path(__file__).resolve().parents[2] / "tests" / "pinned"
DAY = "2026-01-02"
SHOWN_DPI, PINNED_DPI = 60.0, 25.0
COLOURS = 128


def sheets() -> dict[str, Page]:
    """The first page of each chart."""
    table = table_of("lifting", "white cartridge")
    layout = Layout(day=DAY)
    half = Layout(mode="half", day=DAY)
    gamut = plan_gamut(table)
    blacks = side_by_side(table, "Black", "Separating Black")
    wheel = plan_wheel(table, 36, "hue", bleach="1+4")
    return {
        "wheel": wheel_sheets(plan_wheel(table, 18), layout)[0],
        "wheel_half": wheel_sheets(wheel, half)[0],
        "ladder": ladder_sheets(table, usual_ladders(table), layout)[0],
        "blocks": blocks_sheets(table, plan_blocks(table), layout)[0],
        "tertiary": lesson_sheets(plan_lesson(table), layout)[0],
        "gamut": gamut_sheets([gamut], layout, bottles=bottles_that_add(gamut))[0],
        "fringe": fringe_sheets(table, plan_fringes(table), layout)[0],
        "strips": strip_sheets(table, plan_strips(table), layout)[0],
        "wet_blocks": wet_blocks_sheets(table, plan_wet_blocks(table), layout, lesson_words())[0],
        "two_bottles": two_bottles_sheets(table, blacks, layout)[0],
    }


def shown(page: Page) -> bytes:
    """A page as it stands in the docs."""
    return content(Image.fromarray(page_pixels(page, SHOWN_DPI)), COLOURS)


def pictures() -> Iterator[tuple[str, bytes]]:
    """Name and content of each."""
    for name, page in sheets().items():
        yield f"sheet_{name}.png", shown(page)


def main() -> None:
    """Write the pinned ones."""
    for name, page in sheets().items():
        Image.fromarray(page_pixels(page, PINNED_DPI)).save(PINNED / f"sheet_{name}.png")


if __name__ == "__main__":
    main()
