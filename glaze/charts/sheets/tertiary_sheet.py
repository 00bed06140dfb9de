"""The lesson on tertiaries drawn: the lesson, the exercise, and its answers on a page apart."""

from __future__ import annotations

from dataclasses import replace

from glaze.charts.content.tertiary import CURVE_NM, QUESTIONS, THIRDS, Lesson, Task, answers, why
from glaze.charts.paper.page import FINE_PT, LABEL_PT, Page
from glaze.charts.paper.plot import Frame, curve, grid, names_on
from glaze.charts.sheets.parts import (
    BAR_WORDS,
    Layout,
    band_of,
    blank_line,
    bracket,
    name_lines,
    put_swatch,
    start_sheet,
    value_strip,
)
from glaze.patch.band import promise
from glaze.patch.layers import standing_of
from glaze.patch.seen import Look

QUESTIONS_MM = 68.0
"""Room for the questions and the value strip under the fields."""
DEFINITION = "A tertiary here is a secondary (two primaries mixed) under a black glaze."
PENS = ((1.0, False, 0.0), (1.2, True, 0.0), (1.7, True, 5.0))
"""Width [pt], dots and dashes of the three curves, so that they part in black and white."""
BESIDE_MM = 160.0
"""Room that all but the plot takes on the lesson's page."""


def lesson_sheets(lesson: Lesson, layout: Layout) -> list[Page]:
    """The lesson, the exercise and the answers: three pages, always upright."""
    layout = replace(layout, turned=False)
    return [_lesson(lesson, layout), _exercise(lesson, layout), _answers(lesson, layout)]


def _lesson(lesson: Lesson, layout: Layout) -> Page:
    page = start_sheet(lesson.table, layout, "Tertiaries", DEFINITION)
    y = _sum(page, lesson, page.top + 3.0, layout.mode)
    y = _curves(page, lesson, y + 8.0)
    page.text(page.left, y + 6.0, "Why", 10, face="Bold")
    y += 7.0
    for told in why(lesson):
        y = page.paragraph(page.left, y, page.right - page.left, told, LABEL_PT) + 0.6
    _pairs(page, lesson, y + 4.0, layout.mode)
    return page


def _sum(page: Page, lesson: Lesson, y: float, mode: str) -> float:
    """Secondary, shadow wash and glaze as a sum of swatches."""
    wide, tall, sign = 54.0, 26.0, 12.0
    told = (
        ("Secondary", f"{lesson.secondary} drops"),
        ("Shadow wash", f"{lesson.black}, {lesson.shadow_words}"),
        ("Tertiary", "the shadow wash over the dry secondary"),
    )
    standing = standing_of(lesson.table, lesson.inks)
    left = page.left + (page.right - page.left - 3 * wide - 2 * sign) / 2
    for k, ((name, recipe), patch) in enumerate(zip(told, lesson.patches, strict=True)):
        x = left + k * (wide + sign)
        value = f"{patch.value:.1f}"
        put_swatch(page, x, y, wide, tall, patch, mode, standing, f"sum-{k + 1}", value)
        if k:
            mark = "under" if k == 1 else "gives"
            page.text(x - sign / 2, y + tall / 2 + 1, mark, 8, align="centre")
        page.text(x, y + tall + 4.2, name, LABEL_PT, face="Bold")
        page.text(x, y + tall + 8.0, recipe, FINE_PT)
        if mode != "blank":
            page.text(x, y + tall + 11.6, f"{patch.words}, {patch.munsell}", FINE_PT)
    return y + tall + 11.6


def _curves(page: Page, lesson: Lesson, y: float) -> float:
    """Light sent back over the visible band."""
    page.text(page.left, y, "Light that each sends back, by its wavelength in nm", 10, face="Bold")
    tall = min(110.0, page.bottom - page.top - BESIDE_MM)
    frame = Frame(page.left + 12, y + 4, page.right - page.left - 16, tall, (400, 700), (0, 100))
    percents = [0, 25, 50, 75, 100]
    words = [f"{p}\u2009%" for p in percents]
    ticks = list(range(400, 701, 50))
    grid(page, frame, ticks, percents, [f"{t}" for t in ticks], words)
    curve(page, frame, CURVE_NM, 100 * lesson.paper.reflectance, 0.4, name="curve-paper")
    for pen, line in zip(PENS, lesson.curves, strict=True):
        name = f"curve-{line.name.replace(' ', '-')}"
        curve(page, frame, CURVE_NM, 100 * line.reflectance, *pen, name=name)
    lines = (*lesson.curves, lesson.paper)
    names_on(page, frame, CURVE_NM, {line.name: 100 * line.reflectance for line in lines})
    foot = frame.y + frame.height
    for word, low, high in THIRDS:
        x0, x1 = frame.at(low, 0)[0], frame.at(high, 0)[0]
        bracket(page, x0 + 0.5, x1 - 0.5, foot + 7.0, f"{word} light", -1.2)
    return foot + 10.0


def _pairs(page: Page, lesson: Lesson, y: float, mode: str) -> None:
    """The palette's three secondaries, each with its tertiary beside it."""
    count, gap, tall = len(lesson.secondaries), 6.0, min(16.0, page.bottom - y - 9.0)
    if tall < 7.0:
        return
    wide = (page.right - page.left - gap * (count - 1)) / count
    for k, task in enumerate(lesson.secondaries):
        x = page.left + k * (wide + gap)
        _pair(page, lesson, task, x, y, wide, tall, mode, f"pair-{k + 1}")
        if mode == "blank":
            page.text(x, y + tall + 4.0, task.recipe, FINE_PT)
            continue
        page.text(x, y + tall + 4.0, f"{task.recipe}: {task.before.words},", FINE_PT)
        page.text(x, y + tall + 7.4, f"under the glaze {task.after.words}", FINE_PT)


def _pair(
    page: Page,
    lesson: Lesson,
    task: Task,
    x: float,
    y: float,
    wide: float,
    tall: float,
    mode: str,
    name: str,
) -> None:
    """A hue at the left, the same under the shadow wash at the right."""
    standing = standing_of(lesson.table, lesson.inks)
    sides: tuple[tuple[str, Look], ...] = (("hue", task.before), ("glaze", task.after))
    for k, (side, patch) in enumerate(sides):
        told = f"{patch.value:.1f}"
        place = x + k * wide / 2
        put_swatch(page, place, y, wide / 2, tall, patch, mode, standing, f"{name}-{side}", told)


# --- exercise and answers ---


def _exercise(lesson: Lesson, layout: Layout) -> Page:
    page = start_sheet(lesson.table, layout, "Tertiaries: exercise")
    name_lines(page)
    steps = (
        "1  Mix each hue in drops and paint its whole field in one go. Let it dry until it is no "
        f"longer cool to the back of the hand.  2  Mix one shadow wash for all: {lesson.black}, "
        f"{lesson.shadow_words} ({lesson.shadow_drops} drops). First write down what you expect "
        "to see.  3  Lay it once over the right half of every field, without scrubbing. Dry.  4  "
        "Compare with the value strip below, with half-closed eyes, and write down what you see."
    )
    y = page.paragraph(page.left, page.top, page.right - page.left, steps, LABEL_PT) + 4.0
    y = _rows(page, lesson, y, "blank")
    for number, question in enumerate(QUESTIONS, start=1):
        page.text(page.left, y + 5.0, f"{'abcd'[number - 1]}  {question}", LABEL_PT)
        blank_line(page, page.left + 5, page.right, y + 11.5)
        y += 12.5
    page.text(page.left, page.bottom - 8.6, "value strip", FINE_PT)
    value_strip(page, page.left + 18, page.bottom - 11.5, page.right - page.left - 18, 6.0)
    return page


def _answers(lesson: Lesson, layout: Layout) -> Page:
    told = "As predicted: your bottles may differ, by as much as the bars show."
    page = start_sheet(lesson.table, layout, "Tertiaries: answers", told)
    y = _rows(page, lesson, page.top + 3.0, "predicted")
    trust = f"{BAR_WORDS} {promise(standing_of(lesson.table, lesson.inks))}"
    y = page.paragraph(page.left, y, page.right - page.left, trust, LABEL_PT) + 1.0
    for number, told in enumerate(answers(lesson), start=1):
        told = f"{'abcd'[number - 1]}  {told}"
        y = page.paragraph(page.left, y + 2.0, page.right - page.left, told, LABEL_PT)
    return page


def _rows(page: Page, lesson: Lesson, y: float, mode: str) -> float:
    """The six tasks: field, and lines to write on or what is predicted."""
    # the questions take a fifth of the sheet
    step = min(34.0, (page.bottom - y - QUESTIONS_MM) / len(lesson.tasks))
    wide, tall = 74.0, step - 8.0
    for number, task in enumerate(lesson.tasks, start=1):
        page.text(page.left, y + 3.0, f"{number}  {task.recipe} drops", LABEL_PT, face="Bold")
        top = y + 4.5
        _pair(page, lesson, task, page.left, top, wide, tall, mode, f"task-{number}")
        x = page.left + wide + 8.0
        _beside(page, x, top + 5.0, mode, task)
        y += step
    return y


def _beside(page: Page, x: float, y: float, mode: str, task: Task) -> None:
    """What is predicted of a task, or lines to write on."""
    if mode == "predicted":
        before, after = task.before, task.after
        page.text(x, y, f"{before.words}, {before.munsell}", LABEL_PT)
        page.text(x, y + 5.0, f"under the wash: {after.words}, {after.munsell}", LABEL_PT)
        page.text(x, y + 10.0, f"value drop {task.value_drop:.1f}", LABEL_PT)
        for k, band in enumerate((task.before_band, task.after_band)):
            band_of(page, x, y + 13.5 + 2.8 * k, 60.0, band)
        return
    for k, told in enumerate(("expected name", "under the wash")):
        page.text(x, y + 8.0 * k, told, FINE_PT)
        blank_line(page, x + 25, x + 62, y + 8.0 * k)
        page.text(x + 65, y + 8.0 * k, "value", FINE_PT)
        blank_line(page, x + 74, page.right, y + 8.0 * k)
