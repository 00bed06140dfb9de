"""What was read from a swatch sheet, as a page: painted beside fitted, patch by patch."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import ArrayLike

from glaze.calibrate.fit.found import SPECTRUM, Calibration, InkFit, ReadRung
from glaze.calibrate.fit.ghosts import Dot
from glaze.calibrate.report.promised import promised_lines
from glaze.charts.content.card_words import in_lines
from glaze.charts.paper.marks import INK, THIN_SPACE, Colour, Line, box, circle, text_mm
from glaze.charts.paper.page import FINE_PT, LABEL_PT, Page
from glaze.charts.paper.readable import readable_on
from glaze.charts.sheets.parts import start_report
from glaze.physics.colour import map_into_gamut
from glaze.picture.file import encode

NAMES_MM = 34.0
HIGH_MM = 12.0
ROW_MM = 22.5
GAP_MM = 2.4
COLUMNS = 6
MOST_ROWS = 4
"""Of one strip that are kept on a page together."""

Keys = Mapping[str, str]

KINDS_TOLD = {
    "strength": "the palette's ink, {:.2f} times its strength",
    "dyes": "its dyes in other shares, {:.2f} times as strong",
    "measured": "a colour of its own, {:.2f} times as strong",
    SPECTRUM: "its spectrum, as measured",
}


def screen_colour(rgb: ArrayLike) -> Colour:
    """8-bit sRGB of a linear colour, the nearest a screen shows. Linear sRGB [-], shape (3,)."""
    r, g, b = encode(map_into_gamut(np.asarray(rgb, dtype=float))[0])
    return int(r), int(g), int(b)


def calibration_sheets(found: Calibration, day: str | None = None) -> list[Page]:
    """Pages of a calibration: every strip, then the patches that were predicted, then the dots."""
    keys = {ink.name: ink.key for ink in found.palette.inks.values()}
    pages = [_start(found, day)]
    for fit in found.inks.values():
        rows = math.ceil(len(fit.rungs) / COLUMNS)
        page = _with_room(pages, found, day, min(rows, MOST_ROWS) * ROW_MM)
        _ink(page, fit, keys)
        for row in range(1, rows):
            page = _with_room(pages, found, day, ROW_MM)
            _row(page, (), fit.rungs[row * COLUMNS : (row + 1) * COLUMNS], keys)
    checks, dots = list(found.checks), _all_dots(found)
    for part in (checks[i : i + COLUMNS] for i in range(0, len(checks), COLUMNS)):
        page = _with_room(pages, found, day, ROW_MM)
        first = part[0] is checks[0]
        words = ("Not fitted", "mixes and shadow", "washes, predicted", "with these inks")
        _row(page, words if first else (), part, keys)
    for some in (dots[i : i + COLUMNS] for i in range(0, len(dots), COLUMNS)):
        page = _with_room(pages, found, day, ROW_MM)
        words = ("Bleach dots", "patch, and in it", "what bleach left", "(value steps)")
        _dots(page, words if some[0] is dots[0] else (), some, keys)
    _notes(pages, found, day)
    return pages


def _start(found: Calibration, day: str | None) -> Page:
    told = "Left half of each patch as painted, right half as fitted."
    return start_report(found.table, "Your inks, as read", told, bool(_all_dots(found)), day)


def _with_room(pages: list[Page], found: Calibration, day: str | None, high: float) -> Page:
    """The last page, or a new one where so many millimetres no longer fit."""
    if pages[-1].top + high > pages[-1].bottom:
        pages.append(_start(found, day))
    return pages[-1]


def _all_dots(found: Calibration) -> list[Dot]:
    return [dot for fit in found.inks.values() for dot in fit.dots] + list(found.dots)


def _ink(page: Page, fit: InkFit, keys: Keys) -> None:
    """One strip: name, strength with its band, and its patches."""
    y = page.top
    page.text(page.left, y + 4.0, f"{fit.ink.key}  {fit.ink.name}", LABEL_PT, face="Bold")
    words = KINDS_TOLD[fit.kind].format(fit.strength)
    for number, line in enumerate(_two_lines(words)):
        page.text(page.left, y + 8.0 + 3.2 * number, line, FINE_PT)
    low, high = -math.log(fit.strength_band), math.log(fit.strength_band)
    middle = math.log(fit.strength)
    ends = math.log(1 / 4), math.log(4)
    left = page.left + 2.0  # half of the figure at its end
    page.band_bar(left, y + 16.5, 26.0, (middle + low, middle, middle + high), ends)
    for share, text in ((0.0, "1/4"), (0.5, "1"), (1.0, "4")):
        page.text(left + 26.0 * share, y + 20.5, text, FINE_PT, align="centre")
    _row(page, (), fit.rungs[:COLUMNS], keys)


def _two_lines(words: str) -> list[str]:
    head, _, tail = words.partition(", ")
    return [f"{head},", tail]


def _row(page: Page, words: Sequence[str], rungs: Sequence[ReadRung], keys: Keys) -> None:
    """A row of split patches with what lies between their halves."""
    y = page.top
    _words(page, y, words)
    for number, rung in enumerate(rungs):
        x, wide = _column(page, number)
        seen, fitted = screen_colour(rung.seen), screen_colour(rung.fitted)
        frame = Line((), 0.9, INK)
        page.polygon(box(x, y, wide / 2, HIGH_MM), seen, None, f"seen: {rung.name}")
        page.polygon(box(x + wide / 2, y, wide / 2, HIGH_MM), fitted, None, f"fit: {rung.name}")
        page.polygon(box(x, y, wide, HIGH_MM), None, frame)
        _fit_text(page, x, y + HIGH_MM + 3.2, wide, rung.name, keys)
        page.text(x, y + HIGH_MM + 6.3, gap_words(rung), FINE_PT, tabular=True)
    page.top = y + ROW_MM


def _column(page: Page, number: int) -> tuple[float, float]:
    pitch = (page.right - page.left - NAMES_MM + GAP_MM) / COLUMNS
    return page.left + NAMES_MM + pitch * number, pitch - GAP_MM


def _words(page: Page, y: float, words: Sequence[str]) -> None:
    for number, line in enumerate(words):
        face, points = ("Bold", LABEL_PT) if number == 0 else ("Regular", FINE_PT)
        page.text(page.left, y + 4.0 + 3.4 * number, line, points, face=face)


def _fit_text(page: Page, x: float, y: float, wide: float, text: str, inks: Keys) -> None:
    """A line of fine print; inks by their key letters where it is too long for its column."""
    if text_mm(text, FINE_PT) > wide:
        for name, key in inks.items():
            text = text.replace(name, key)
    page.text(x, y, text, FINE_PT)


def gap_words(rung: ReadRung) -> str:
    """What lies between a patch and its explanation: value steps in words, and CIEDE2000."""
    off = round(rung.value_gap, 1)
    side = "lighter" if off > 0 else "darker"
    steps = f"{abs(off):.1f} {side}" if off else "as light"
    return f"{steps} · {rung.de00:.1f}{THIN_SPACE}ΔE"


def _dots(page: Page, words: Sequence[str], dots: Sequence[Dot], keys: Keys) -> None:
    """Bleach dots on their patches."""
    y = page.top
    _words(page, y, words)
    for number, dot in enumerate(dots):
        x, wide = _column(page, number)
        ground, left = screen_colour(dot.before), screen_colour(dot.after)
        page.polygon(box(x, y, wide, HIGH_MM), ground, Line((), 0.9, INK), f"dot: {dot.name}")
        middle = x + wide / 2, y + HIGH_MM / 2
        page.polygon(circle(middle, 8.4), left, name=f"ghost: {dot.name}")
        gain = f"+{dot.value_gain:.1f}" if dot.value_gain > 0 else f"{dot.value_gain:.1f}"
        page.text(*middle, gain, FINE_PT, align="centre", colour=readable_on(left), tabular=True)
        _fit_text(page, x, y + HIGH_MM + 3.2, wide, dot.name, keys)
        for line, words_part in enumerate(in_lines(dot.words, wide, 2)):
            page.text(x, y + HIGH_MM + 6.2 + 2.9 * line, words_part, FINE_PT)
    page.top = y + ROW_MM


def _notes(pages: list[Page], found: Calibration, day: str | None) -> None:
    """What to know, as a list at the end."""
    notes = [
        *promised_lines(found),
        *found.notes,
        *(note for fit in found.inks.values() for note in fit.notes),
    ]
    told = [
        "ΔE is CIEDE2000; a careful eye sees about 1 on patches side by side. The bar under an "
        "ink's name is its strength against the palette's, with the band that 90 % of your washes "
        "keep to.",
        *notes,
    ]
    for note in told:
        page = _with_room(pages, found, day, 8.0 + 3.6 * (len(note) // 130))
        page.top = page.paragraph(page.left, page.top, page.right - page.left, note, 8.0) + 1.5
