"""Every sheet in every size: nothing in the margins, no type over type."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import pytest

from glaze.charts.content.blocks import plan_blocks
from glaze.charts.content.ladder import dilution_ladder, usual_ladders
from glaze.charts.content.tertiary import plan_lesson
from glaze.charts.content.wheel import plan_wheel
from glaze.charts.paper.marks import Text, bounds
from glaze.charts.paper.page import MARGIN_MM, Page
from glaze.charts.sheets.blocks_sheet import blocks_sheets
from glaze.charts.sheets.fringe_sheet import fringe_sheets
from glaze.charts.sheets.gamut_sheet import gamut_sheets
from glaze.charts.sheets.ladder_sheet import ladder_sheets
from glaze.charts.sheets.parts import Layout
from glaze.charts.sheets.tertiary_sheet import lesson_sheets
from glaze.charts.sheets.wheel_sheet import wheel_sheets
from glaze.patch.table import Table, table_of
from glaze.planning.bottles.gamut import plan_gamuts
from glaze.planning.looks.fringe import plan_fringes

DAY = "2026-01-02"
FRAME_MM = 1.1  # bounds of a shape hold room for its frame, and the facts stand on the margin


@cache
def table() -> Table:
    return table_of("resistant", "cream cartridge")


@cache
def plans() -> dict:
    wheels = ((6, "drops", None), (18, "drops", "1+4"), (36, "hue", "neat"), (72, "hue", None))
    return {
        "wheels": [plan_wheel(table(), n, by, bleach=bleach) for n, by, bleach in wheels],
        "ladders": [
            *usual_ladders(table()),
            dilution_ladder(table(), "Blue 3 + Yellow 2 + Red 1", 12, "even"),
        ],
        "blocks": plan_blocks(table()),
        "lesson": plan_lesson(table()),
        "fringes": plan_fringes(table()),
        "gamuts": plan_gamuts(table()),
    }


def pages(layout: Layout) -> Iterator[Page]:
    found = plans()
    for wheel in found["wheels"]:
        yield from wheel_sheets(wheel, layout)
    yield from ladder_sheets(table(), found["ladders"], layout)
    yield from blocks_sheets(table(), found["blocks"], layout)
    yield from lesson_sheets(found["lesson"], layout)
    yield from fringe_sheets(table(), found["fringes"], layout)
    yield from gamut_sheets(found["gamuts"], layout)


LAYOUTS = [
    Layout(size, turned, mode, DAY)
    for size, turned, mode in (
        ("A4", False, "predicted"),
        ("A4", True, "half"),
        ("Letter", False, "half"),
        ("Letter", True, "predicted"),
        ("A3", False, "blank"),
    )
]


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda a: f"{a.size}-{a.turned}-{a.mode}")
def test_nothing_stands_in_the_margins(layout: Layout) -> None:
    least = MARGIN_MM - FRAME_MM
    for page in pages(layout):
        for mark in page.marks:
            if isinstance(mark, Text) and mark.turn_degrees:
                continue  # its bounds are those of all its turns
            left, top, right, bottom = bounds(mark)
            name = f"{page.title}: {getattr(mark, 'text', mark.name)}"
            assert left >= least, name
            assert top >= least, name
            assert right <= page.width - least, name
            assert bottom <= page.height - least, name


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda a: f"{a.size}-{a.turned}-{a.mode}")
def test_no_type_lies_over_other_type(layout: Layout) -> None:
    for page in pages(layout):
        texts = [m for m in page.marks if isinstance(m, Text) and not m.turn_degrees]
        # from the height of capitals down to a little below the base line
        boxes = [(x + 0.1, t + 0.6, r - 0.1, b - 0.9) for x, t, r, b in map(bounds, texts)]
        for k, (one, a) in enumerate(zip(texts, boxes, strict=True)):
            for other, b in zip(texts[k + 1 :], boxes[k + 1 :], strict=True):
                apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
                assert apart, f"{page.title}: {one.text!r} over {other.text!r}"
