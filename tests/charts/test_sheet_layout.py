"""Every sheet in every size: nothing in the margins, no type over type, none too small to read."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from glaze.charts.content.blocks import plan_blocks
from glaze.charts.content.class_plan import plan_class
from glaze.charts.content.ladder import dilution_ladder, usual_ladders
from glaze.charts.content.lesson_words import lesson_languages, lesson_words
from glaze.charts.content.lift_curve import lift_curve, plan_curves
from glaze.charts.content.lift_rows import plan_lift
from glaze.charts.content.swatch_layout import SIZES
from glaze.charts.content.tertiary import plan_lesson
from glaze.charts.content.wheel import plan_wheel
from glaze.charts.paper.marks import Shape
from glaze.charts.paper.page import Page
from glaze.charts.sheets.blocks_sheet import blocks_sheets
from glaze.charts.sheets.class_sheets import class_parts
from glaze.charts.sheets.fringe_sheet import fringe_sheets
from glaze.charts.sheets.gamut_sheet import gamut_sheets
from glaze.charts.sheets.jar_sheet import jar_sheets
from glaze.charts.sheets.ladder_sheet import ladder_sheets
from glaze.charts.sheets.lift_sheet import lift_chart
from glaze.charts.sheets.parts import Layout
from glaze.charts.sheets.swatches import swatch_sheet
from glaze.charts.sheets.tertiary_sheet import lesson_sheets
from glaze.charts.sheets.two_bottles_sheet import two_bottles_sheets
from glaze.charts.sheets.wheel_sheet import wheel_sheets
from glaze.errors import InputError
from glaze.patch.table import Table, table_of
from glaze.planning.bottles.gamut import plan_gamuts
from glaze.planning.bottles.side_by_side import side_by_side
from glaze.planning.looks.fringe import plan_fringes
from glaze.planning.recipe.jar import fill_jar
from tests.charts.sheet_faults import faults

DAY = "2026-01-02"
FAULTS = r"\bfaults\(|\blooked_over\b"
"""How a test looks pages over."""


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
        "lift": plan_lift(table()),
        "curves": plan_curves(table(), "Black 1 + water 4"),
        "pair": side_by_side(table(), "Black", "Blue"),
        "jar": fill_jar(table(), table().mix("Blue 5 + Yellow 2 + Black 1 + water 9"), 30),
        "class": plan_class(table()),
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
    yield from lift_chart(found["lift"], layout)
    yield from lift_curve(found["curves"], layout)
    yield from two_bottles_sheets(table(), found["pair"], layout)
    yield from jar_sheets(table(), found["jar"], layout)
    if layout.size in SIZES:
        yield from swatch_sheet(table(), layout.size, [], DAY)
    for language in lesson_languages():
        for part in class_parts(found["class"], lesson_words(language), layout).values():
            yield from part


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


@pytest.mark.parametrize("mode", ["predicted", "half", "blank"])
def test_what_fits_a5(mode: str) -> None:
    found, layout = plans(), Layout("A5", False, mode, DAY)
    wheels = [page for wheel in found["wheels"][:3] for page in wheel_sheets(wheel, layout)]
    assert not faults([*ladder_sheets(table(), found["ladders"], layout), *wheels])


def test_what_would_be_too_small_on_a5_is_refused() -> None:
    found, layout = plans(), Layout("A5", day=DAY)
    for draw in (
        lambda: blocks_sheets(table(), found["blocks"], layout),
        lambda: lesson_sheets(found["lesson"], layout),
        lambda: gamut_sheets(found["gamuts"], layout),
        lambda: fringe_sheets(table(), found["fringes"], layout),
        lambda: class_parts(found["class"], lesson_words("en"), layout),
    ):
        with pytest.raises(InputError, match="too small to read"):
            draw()


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda a: f"{a.size}-{a.turned}-{a.mode}")
def test_every_sheet(layout: Layout) -> None:
    found = faults(pages(layout))
    assert not found, "\n".join(found[:40])


BY_COMMAND = {
    "rough_sheets": "rough_command",
    "class_contact_pages": "each_scene",
    "shade_pages": "shade",
}
SHARED = {"stacked", "with_caution", "contact_pages", "key_pages"}
"""What others draw pages with."""


def test_every_function_that_draws_pages_is_held_to_it() -> None:
    root = Path(__file__).parents[2]
    code = "\n".join(file.read_text() for file in (root / "glaze").rglob("*.py"))
    drawing = set(re.findall(r"^def ([a-z]\w+)\([^)]*\) -> [^:]*list\[Page\]", code, re.M))
    assert len(drawing - SHARED) > 20
    tests = {file.stem: file.read_text() for file in (root / "tests").rglob("test_*.py")}
    held = {name: text for name, text in tests.items() if re.search(FAULTS, text)}
    for name in drawing - SHARED - set(BY_COMMAND):
        assert any(re.search(rf"\b{name}\(", text) for text in held.values()), name
    assert all(f"test_{name}" in held for name in BY_COMMAND.values())


@pytest.mark.parametrize(
    ("mode", "filled", "empty"), [("predicted", 2, 0), ("half", 2, 2), ("blank", 0, 2)]
)
def test_two_bottles_are_filled_halved_or_left_to_paint(mode: str, filled: int, empty: int) -> None:
    # as the help says: colours as predicted, half of each as predicted, outlines to paint
    pair = side_by_side(table(), "Black", "Blue")
    (page,) = two_bottles_sheets(table(), pair, Layout(mode=mode, day=DAY))
    swatches = [mark.name for mark in page.marks if isinstance(mark, Shape)]
    first = [name for name in swatches if re.fullmatch(r"bottle-[12]-1", name)]
    outlined = [name for name in swatches if re.fullmatch(r"bottle-[12]-1-blank", name)]
    assert (len(first), len(outlined)) == (filled, empty)
