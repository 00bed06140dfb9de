"""The class pack: every sheet of a palette in one file, with a contents page and the caution."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from glaze.charts.content.blocks import plan_blocks
from glaze.charts.content.ladder import dilution_ladder, usual_ladders
from glaze.charts.content.lift_rows import plan_lift
from glaze.charts.content.tertiary import plan_lesson
from glaze.charts.content.wheel import plan_wheel
from glaze.charts.paper.page import FINE_PT, LABEL_PT, Page
from glaze.charts.sheets.blocks_sheet import blocks_sheets
from glaze.charts.sheets.facts import facts_of
from glaze.charts.sheets.fringe_sheet import fringe_sheets
from glaze.charts.sheets.gamut_sheet import gamut_sheets
from glaze.charts.sheets.ladder_sheet import ladder_sheets
from glaze.charts.sheets.lift_sheet import lift_chart
from glaze.charts.sheets.parts import CLASS_CAUTION_LINE, Column, Layout, draw_table, put_swatch
from glaze.charts.sheets.swatches import swatch_sheet
from glaze.charts.sheets.tertiary_sheet import lesson_sheets
from glaze.charts.sheets.wheel_sheet import wheel_sheets
from glaze.patch.layers import standing_of
from glaze.patch.seen import looks_of
from glaze.patch.table import Table
from glaze.patch.washes import lay_first, shadow_ink
from glaze.planning.bottles.gamut import plan_gamuts
from glaze.planning.bottles.gamut_words import bottles_that_add
from glaze.planning.looks.fringe import plan_fringes

SWATCH_SIZES = ("A4", "Letter")
"""Swatch sheets have to fit a scanner."""


@dataclass(frozen=True)
class Part:
    """One sheet of the pack: its name, what it is for, and what draws it."""

    name: str
    use: str
    draw: Callable[[], list[Page]]


def class_pack(
    table: Table,
    layout: Layout,
    segments: int = 18,
    bleach: bool = True,
    progress: Callable[[float], None] = lambda share: None,
) -> list[Page]:
    """All sheets, the contents page first.

    Parameters
    ----------
    bleach : with the sheets that plan bleach
    progress : is told the share that is done [-], 0 to 1
    """
    parts = parts_of_pack(table, layout, segments, bleach)
    drawn: list[tuple[Part, list[Page]]] = []
    for number, part in enumerate(parts):
        progress(number / len(parts))
        drawn.append((part, part.draw()))
    progress(1.0)
    pages = [_contents(table, layout, drawn, bleach), *(p for _, made in drawn for p in made)]
    for number, page in enumerate(pages, start=1):
        told = f"{number} of {len(pages)}"
        page.text(page.right, page.height - 16.5, told, FINE_PT, align="right", name="page-number")
    return pages


def parts_of_pack(table: Table, layout: Layout, segments: int, bleach: bool) -> list[Part]:
    """What the pack holds, in order: to look at, then to paint, then to measure."""
    shown, blank = replace(layout, mode="predicted"), replace(layout, mode="blank")
    wheel = plan_wheel(table, segments)
    ladders = usual_ladders(table)
    blocks = plan_blocks(table)
    parts = [
        Part("Colour wheel", "for the wall", lambda: wheel_sheets(wheel, shown)),
        Part("Colour wheel, blank", "one a pupil", lambda: wheel_sheets(wheel, blank)),
        Part("Ladders", "for the wall", lambda: ladder_sheets(table, ladders, shown)),
        Part("Ladders, blank", "one a pupil", lambda: ladder_sheets(table, ladders, blank)),
        Part(
            "Value ladders, blank",
            "five and nine rungs",
            lambda: _value(table, blank),
        ),
        Part("Blocks", "for the wall", lambda: blocks_sheets(table, blocks, shown)),
        Part("Blocks, blank", "one a pupil", lambda: blocks_sheets(table, blocks, blank)),
        Part(
            "Tertiaries",
            "lesson, exercise for each pupil, answers for the teacher",
            lambda: lesson_sheets(plan_lesson(table), shown),
        ),
        Part(
            "Separation and fringe",
            "before buying inks",
            lambda: fringe_sheets(table, plan_fringes(table), shown),
        ),
        Part("Gamut", "for the teacher", lambda: _gamut(table, shown, bleach)),
    ]
    if bleach:
        parts.append(
            Part(
                "Bleach chart",
                "for the teacher's demonstration",
                lambda: lift_chart(plan_lift(table), shown),
            )
        )
    size = layout.size if layout.size in SWATCH_SIZES else "A4"
    use = "to paint once, scan and read back"
    parts.append(Part("Swatches", use, lambda: swatch_sheet(table, size, (), layout.day, bleach)))
    return parts


def _value(table: Table, layout: Layout) -> list[Page]:
    """Ladders of the black in even steps of value, to paint."""
    recipe = f"{shadow_ink(table)} 1"
    return ladder_sheets(
        table, [dilution_ladder(table, recipe, rungs, "even") for rungs in (5, 9)], layout
    )


def _gamut(table: Table, layout: Layout, bleach: bool) -> list[Page]:
    gamuts = plan_gamuts(table)
    bottles = bottles_that_add(gamuts[0])
    return gamut_sheets(gamuts, layout, lift=bleach, bottles=bottles)


def _contents(
    table: Table, layout: Layout, drawn: Sequence[tuple[Part, Sequence[Page]]], bleach: bool
) -> Page:
    """The first page: what is in the pack, how to print it, and the caution."""
    page = Page(layout.size, layout.turned)
    bottles = ", ".join(f"{ink.key} {ink.name}" for ink in table.palette.bottles)
    page.head("Class pack", f"{bottles}, on {table.paper.name} paper")
    page.foot(facts_of(table, layout.day))
    if bleach:
        page.caution()
    rows, first = [], 2
    for part, pages in drawn:
        last = first + len(pages) - 1
        span = f"{first}" if last == first else f"{first} to {last}"
        rows.append((span, part.name, part.use))
        first = last + 1
    columns = (Column("page", 22), Column("sheet", 60), Column("use", 100))
    y = draw_table(page, page.left, page.top + 2.0, columns, rows, 6.0, LABEL_PT)
    told = [
        "Print at 100 %, without fitting to the page, and check the line of 100 mm with a ruler. "
        "Blank sheets go on the paper that is painted on, not on copy paper.",
        "One palette for the whole class. Letters stand beside all colours: in a class of thirty "
        "expect one who can't tell red from green.",
        "Predicted colours are those of the inks named below; other bottles differ. Value: 0 black "
        "to 10 white.",
    ]
    if bleach:
        told.append(CLASS_CAUTION_LINE)
    for line in told:
        y = page.paragraph(page.left, y + 3.0, page.right - page.left, line, LABEL_PT)
    _bottles(page, table, y + 8.0, bleach)
    return page


def _bottles(page: Page, table: Table, y: float, bleach: bool) -> None:
    """The palette's bottles: each neat and thinned, with its letter and what bleach does."""
    count, gap, tall = len(table.palette.bottles), 5.0, 18.0
    wide = min(45.0, (page.right - page.left + gap) / count - gap)
    lifts = {"lifts": "bleach takes it", "partly": "bleach takes part", "resists": "stays"}
    for k, ink in enumerate(table.palette.bottles):
        x = page.left + k * (wide + gap)
        mixes = [table.mix(f"{ink.name} 1 ml"), table.mix(f"{ink.name} 1 ml + water 4 ml")]
        for half, patch in enumerate(looks_of(table, lay_first(table, mixes))):
            place = x + half * wide / 2
            name, told = f"bottle-{ink.key}-{half + 1}", f"{patch.value:.1f}"
            standing = standing_of(table, [ink.name])
            put_swatch(page, place, y, wide / 2, tall, patch, "predicted", standing, name, told)
        page.text(x, y + tall + 4.2, f"{ink.key}  {ink.name}", LABEL_PT, face="Bold")
        told = lifts.get(ink.bleach_class, "try bleach on it") if bleach else ""
        page.text(x, y + tall + 8.0, "neat, 1 part + 4 parts water", FINE_PT)
        page.text(x, y + tall + 11.2, told, FINE_PT)
