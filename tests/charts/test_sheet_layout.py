"""Every sheet in every size: nothing in the margins, no type over type, none too small to read."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

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
from glaze.charts.paper.marks import Shape, Text, bounds
from glaze.charts.paper.page import MARGIN_MM, Page
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
from glaze.materials.bleach import CAUTION, CAUTION_LINE
from glaze.patch.table import Table, table_of
from glaze.planning.bottles.gamut import plan_gamuts
from glaze.planning.bottles.side_by_side import side_by_side
from glaze.planning.looks.fringe import plan_fringes
from glaze.planning.recipe.jar import fill_jar

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
        "lift": plan_lift(table()),
        "curves": plan_curves(table(), "Black 1 + water 4"),
        "pair": side_by_side(table(), "Black", "Blue"),
        "jar": fill_jar(table(), table().mix("Blue 5 + Yellow 2 + Black 1 + water 9"), 30),
        "class": plan_class(table()),
    }


@cache
def pages(layout: Layout) -> list[Page]:
    """All sheets in a layout, drawn once for all that is asked of them."""
    return list(drawn(layout))


def drawn(layout: Layout) -> Iterator[Page]:
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


LEAST_PT, CAUTION_PT = 8.0, 9.0


def in_margins(page: Page) -> Iterator[str]:
    least = MARGIN_MM - FRAME_MM
    for mark in page.marks:
        if isinstance(mark, Text) and mark.turn_degrees:
            continue  # its bounds are those of all its turns
        left, top, right, bottom = bounds(mark)
        inside = right <= page.width - least and bottom <= page.height - least
        if not (left >= least and top >= least and inside):
            yield f"{getattr(mark, 'text', mark.name)!r} in a margin"


def over_each_other(page: Page) -> Iterator[str]:
    texts = [m for m in page.marks if isinstance(m, Text) and not m.turn_degrees]
    # from the height of capitals down to a little below the base line
    boxes = [(x + 0.1, t + 0.6, r - 0.1, b - 0.9) for x, t, r, b in map(bounds, texts)]
    for k, (one, a) in enumerate(zip(texts, boxes, strict=True)):
        for other, b in zip(texts[k + 1 :], boxes[k + 1 :], strict=True):
            if not (a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]):
                yield f"{one.text!r} over {other.text!r}"


def too_small(page: Page) -> Iterator[str]:
    caution = {word for text in (CAUTION, CAUTION_LINE) for word in text.split()}
    for mark in page.marks:
        if not isinstance(mark, Text):
            continue
        words = mark.text.split()
        warns = len(words) > 3 and set(words) <= caution
        if mark.points < (CAUTION_PT if warns else LEAST_PT):
            yield f"{mark.text!r} in {mark.points:g} pt"


def uncautioned(page: Page) -> Iterator[str]:
    told = " ".join(mark.text for mark in page.marks if isinstance(mark, Text))
    if re.search(r"\bbleach", told, re.I) and "burns" not in told:
        yield "bleach without its caution"


def over_the_caution(page: Page) -> Iterator[str]:
    shapes = [mark for mark in page.marks if isinstance(mark, Shape)]
    for frame in (bounds(mark) for mark in shapes if mark.name == "caution"):
        for mark in shapes:
            left, top, right, bottom = bounds(mark)
            apart = left >= frame[2] or right <= frame[0] or top >= frame[3] - 1
            if mark.name != "caution" and not (apart or bottom <= frame[1] + 1):
                yield f"{mark.name!r} over the caution"


CHECKS = {
    check.__name__: check
    for check in (in_margins, over_each_other, too_small, uncautioned, over_the_caution)
}


@cache
def small(mode: str) -> list[Page]:
    """What fits A5, drawn once."""
    found, layout = plans(), Layout("A5", False, mode, DAY)
    wheels = [page for wheel in found["wheels"][:3] for page in wheel_sheets(wheel, layout)]
    return [*ladder_sheets(table(), found["ladders"], layout), *wheels]


@pytest.mark.parametrize("check", CHECKS)
@pytest.mark.parametrize("mode", ["predicted", "half", "blank"])
def test_what_fits_a5(mode: str, check: str) -> None:
    assert not [f"{page.title}: {told}" for page in small(mode) for told in CHECKS[check](page)]


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


@pytest.mark.parametrize("check", CHECKS)
@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda a: f"{a.size}-{a.turned}-{a.mode}")
def test_every_sheet(layout: Layout, check: str) -> None:
    found = [f"{page.title}: {told}" for page in pages(layout) for told in CHECKS[check](page)]
    assert not found, "\n".join(found[:40])


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
