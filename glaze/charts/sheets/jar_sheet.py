"""What goes with a jar: a label to cut out, what to measure, and the trial strip to paint."""

from __future__ import annotations

from dataclasses import replace

from glaze.charts.paper.marks import HAIR, INK, Line, wrapped
from glaze.charts.paper.page import FINE_PT, LABEL_PT, Page
from glaze.charts.sheets.facts import day_of
from glaze.charts.sheets.parts import (
    BAR_WORDS,
    Column,
    Layout,
    band_of,
    draw_table,
    put_swatch,
    start_sheet,
)
from glaze.patch.layers import standing_of
from glaze.patch.table import Table
from glaze.planning.recipe.jar import Jar, JarFilling

LABEL_MM = (70.0, 37.0)
"""Three by eight of them fill A4 (a common sheet of labels; common practice, no source)."""
KEEP_AWAY = "Never put bleach in it or near it."
STRIP_MM = (40.0, 24.0)


def jar_sheets(table: Table, jar: Jar, layout: Layout) -> list[Page]:
    """One page, always upright: label, amounts, trial strip, and how the mix behaves."""
    page = start_sheet(
        table,
        replace(layout, turned=False),
        f"A jar of {jar.name}" if len(jar.name) < 30 else "A jar of your own",
        "Mix a tenth first and paint the strip; if it suits, fill the jar.",
        bleach=True,
    )
    y = page.top + 4.0
    _label(page, jar, page.left, y, layout.day)
    page.text(page.left + LABEL_MM[0] + 6, y + 4, "Cut along the line.", FINE_PT)
    words = [f"Its coat is {jar.look.words}, {jar.look.munsell}.", *jar.habits]
    at = y + 6.0
    for line in words:
        x = page.left + LABEL_MM[0] + 6
        at = page.paragraph(x, at, page.right - x, line, FINE_PT) + 0.8
    y = max(y + LABEL_MM[1], at) + 7.0
    for title, filling in (("The trial", jar.tenth), ("The jar", jar.whole)):
        y = _amounts(page, title, filling, y) + 5.0
    _strip(page, table, jar, y, layout.mode)
    return [page]


def _label(page: Page, jar: Jar, x: float, y: float, day: str | None) -> None:
    wide, high = LABEL_MM
    page.rect(x, y, wide, high, None, Line((), 0.5, HAIR, True), "label")
    page.rect(x + 3, y + 3, 14, high - 13, jar.look.rgb8, None, "label-swatch")
    thin = jar.strip[-1].look
    page.rect(x + 3, y + high - 10, 14, 7, thin.rgb8, None, "label-thinned")
    left, room = x + 20.0, wide - 23.0
    line = y + 6.5
    page.text(left, line, wrapped(jar.name, room, 10, "Bold")[0], 10, face="Bold")
    for text in wrapped(jar.mix.recipe.text, room, LABEL_PT)[:3]:
        line += 4.2
        page.text(left, line, text, LABEL_PT)
    page.text(left, y + high - 11.0, f"{jar.whole.ml:g} ml, {day_of(day)}", LABEL_PT)
    for number, text in enumerate(wrapped(KEEP_AWAY, room, LABEL_PT)):
        page.text(left, y + high - 6.5 + 3.9 * number, text, LABEL_PT, face="Bold")


def _amounts(page: Page, title: str, filling: JarFilling, y: float) -> float:
    head = f"{title}, {filling.ml:g} ml: {filling.text}"
    y = page.paragraph(page.left, y, page.right - page.left, head, 10, face="Bold")
    columns = [
        Column("liquid", 50),
        *(Column(n, 30, "right") for n in ("ml", "to the mark", "drops")),
    ]
    rows = [(m.liquid, f"{m.ml:.2f}", f"{m.marks_ml:g}", f"{m.drops}") for m in filling.measures]
    y = draw_table(page, page.left, y, columns, rows, 4.6)
    told = (
        f"Rounding costs {filling.off:.1f} as advised, {filling.off_marks:.1f} by marks alone, "
        f"{filling.off_drops:.1f} by drops alone (CIEDE2000; under 2 is hardly seen)."
    )
    return page.paragraph(page.left, y + 1.0, page.right - page.left, told, FINE_PT)


def _strip(page: Page, table: Table, jar: Jar, y: float, mode: str) -> None:
    """The mix neat and thinned, predicted above and to paint beneath."""
    page.text(page.left, y + 4, "Trial strip", 10, face="Bold")
    if mode != "blank":
        page.text(page.left + 24, y + 4, f"Above as predicted. {BAR_WORDS}", FINE_PT)
    y += 6.5
    gap = 4.0
    wide = min(STRIP_MM[0], (page.right - page.left + gap) / len(jar.strip) - gap)
    tall = min(STRIP_MM[1], (page.bottom - y - 11.0) / 2)
    standing = standing_of(table, list(jar.mix.ink_ml))
    for number, state in enumerate(jar.strip):
        x = page.left + number * (wide + gap)
        top = y
        if mode != "blank":
            value = f"{state.look.value:.1f}"
            name = f"strip-{number + 1}"
            put_swatch(page, x, top, wide, tall, state.look, "predicted", standing, name, value)
            if state.band:
                band_of(page, x, top + tall + 2.2, wide, state.band)
            top += tall + 4.0
        put_swatch(page, x, top, wide, tall, state.look, "blank", standing, f"paint-{number + 1}")
        page.text(x, top + tall + 3.8, state.state, FINE_PT, colour=INK)
