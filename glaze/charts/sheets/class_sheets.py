"""The class lesson's parts, each alone too; here its hand-outs and their answers.

A hand-out gives one action a line, and nothing that it asks for.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from glaze.charts.content.class_plan import (
    Block9,
    ClassPlan,
)
from glaze.charts.content.ladder import Ladder
from glaze.charts.content.tertiary import Task
from glaze.charts.paper.marks import box
from glaze.charts.paper.page import LABEL_PT, MARGIN_MM, Page
from glaze.charts.sheets.grown_up_pages import demonstration_page, shopping_page
from glaze.charts.sheets.lesson_paper import LessonPaper
from glaze.charts.sheets.parts import (
    Layout,
    blank_line,
    put_swatch,
    told_on,
    value_strip,
)
from glaze.charts.sheets.wheel_sheet import draw_wheel
from glaze.materials.words import Words

SMALL_PT = 8.0


def class_parts(plan: ClassPlan, words: Words, layout: Layout) -> dict[str, list[Page]]:
    """The parts of the lesson by name: hand-outs, demonstration (if any), answers, shopping."""
    made = LessonPaper(plan, words, replace(layout, turned=False, mode="blank"))
    parts = {"handouts": _handouts(made)}
    if plan.bleach:
        parts["demonstration"] = [demonstration_page(made)]
    shown = replace(made, layout=replace(made.layout, mode="predicted"))
    return {**parts, "answers": _answers(shown), "shopping": [shopping_page(made)]}


# --- hand-outs and their answers ---


def _handouts(made: LessonPaper) -> list[Page]:
    drawn: list[tuple[str, Callable[[LessonPaper, Page], None]]] = [
        ("wheel", _wheel),
        ("blocks", _blocks),
        ("ladder", _ladder),
        ("glazes", _glazes),
    ]
    pages = []
    for number, (key, draw) in enumerate(drawn, start=1):
        page = made.start(made.words(f"{key}.title"), hand_out=True)
        steps = made.words.lines(f"{key}.steps")
        if key == "wheel" and made.plan.bleach:
            steps += made.words.lines("wheel.steps_bleach")
        made.steps(page, steps)
        draw(made, page)
        told = made.words("page", number=number, count=len(drawn))
        page.text(page.right, MARGIN_MM + 5.0, told, LABEL_PT, align="right", name="page-number")
        pages.append(page)
    return pages


def _wheel(made: LessonPaper, page: Page) -> None:
    wheel = made.plan.wheel
    keys = made.keys(wheel.primaries)
    told = made.words("wheel.keys", keys=keys, ink=made.plan.black, parts=made.shadow)
    page.bottom -= 9.0 if made.plan.bleach else 0.0
    page.text(page.left, page.bottom - 1.0, told, LABEL_PT, face="Bold")
    made.caution_line(page, page.bottom + 4.0)
    # draw_wheel leaves room for a legend of its own
    page.bottom += 17.0
    draw_wheel(page, wheel, made.layout.mode, figure=made.words.figure)


def _blocks(made: LessonPaper, page: Page) -> None:
    """Nine blocks in three rows of three, each of four fields with their drops."""
    gap, title, under = 6.0, 6.0, 8.5
    wide = (page.right - page.left - 2 * gap) / 3
    row = min((page.bottom - page.top) / 3, 62.0)
    for k, block in enumerate(made.plan.blocks):
        x, y = page.left + k % 3 * (wide + gap), page.top + k // 3 * row
        page.text(x, y + 4.0, f"{block.number}  {_block_title(made, block)}", LABEL_PT, face="Bold")
        count = max(1, len(block.looks))
        field, tall = wide / count, row - title - under - 4.0
        if not block.looks:
            page.swatch(box(x, y + title, wide, tall), None, name=f"block-{block.number}-blank")
            blank_line(page, x, x + wide, y + title + tall + 7.0)
            continue
        for n, look in enumerate(block.looks):
            at, name = x + n * field, f"block-{block.number}-{n + 1}"
            put_swatch(
                page, at, y + title, field, tall, look, made.layout.mode, made.standing, name
            )
            told = _short(made, block, n)
            page.text(at + field / 2, y + title + tall + 3.8, told, SMALL_PT, align="centre")
            if made.layout.mode == "predicted":
                told_on(page, at + field / 2, y + title + tall - 2.0, made.value(look), look)
        if made.layout.mode == "predicted":
            ends = f"{made.look(block.looks[0])} – {made.look(block.looks[-1])}"
            page.text(x, y + title + tall + 7.4, ends, SMALL_PT)
    letters = made.keys([*made.plan.wheel.primaries, made.plan.black], water=True)
    page.text(page.left, page.top + 3 * row + 4.0, f"{letters}.", LABEL_PT, face="Bold")


def _block_title(made: LessonPaper, block: Block9) -> str:
    if block.way == "free":
        return made.words("blocks.free")
    return made.words(f"blocks.to_{block.way}", hue=block.hue, black=made.plan.black)


def _short(made: LessonPaper, block: Block9, n: int) -> str:
    """Drops of a field by key letters, water's small: "Y3 R3 K2"."""
    recipe = made.plan.table.mix(block.recipes[n]).recipe
    keys = made.plan.wheel.keys
    inks = " ".join(f"{keys[name]}{count:g}" for name, count in recipe.amounts.items())
    return f"{inks} {made.water_key}{recipe.water:g}" if recipe.water else inks


def _ladder(made: LessonPaper, page: Page) -> None:
    """The black in rungs, one under the other, each with what to mix and a line for its value."""
    ladder: Ladder = made.plan.ladder
    strip = 16.0
    row = min((page.bottom - page.top - strip) / len(ladder.rungs), 30.0)
    for n, rung in enumerate(ladder.rungs):
        y, name = page.top + n * row, f"rung-{n + 1}"
        put_swatch(
            page, page.left, y, 70.0, row - 3.0, rung.patch, made.layout.mode, made.standing, name
        )
        x = page.left + 76.0
        page.text(x, y + 5.0, made.drops(rung.recipe), LABEL_PT, face="Bold")
        value = made.words("ladder.value")
        if made.layout.mode == "predicted":
            value = f"{value} {made.value(rung.patch)}"
        page.text(x, y + 12.0, value, LABEL_PT)
        if made.layout.mode == "blank":
            blank_line(page, x + 14, x + 40, y + 12.6)
    value_strip(page, page.left, page.top + len(ladder.rungs) * row + 2.0, 160.0, 7.0)


def _glazes(made: LessonPaper, page: Page) -> None:
    """Six hues, each half under the shadow wash: first what is expected, then what is seen."""
    questions = made.words.lines("glazes.questions")
    tasks, foot = made.plan.glazes.tasks, 10.0 * len(questions) + 16.0
    row = (page.bottom - page.top - foot) / len(tasks)
    for number, task in enumerate(tasks, start=1):
        y = page.top + (number - 1) * row
        told = f"{number}  {made.drops(task.recipe)}"
        page.text(page.left, y + 3.6, told, LABEL_PT, face="Bold")
        for k, look in enumerate((task.before, task.after)):
            x, name = page.left + 36.0 * k, f"field-{number}-{k + 1}"
            mode = made.layout.mode
            put_swatch(page, x, y + 5.0, 36.0, row - 8.0, look, mode, made.standing, name)
        _beside(made, page, page.left + 79.0, y + 7.5, task)
    y = page.bottom - foot + 2.0
    if made.layout.mode == "blank":
        for question in questions:
            page.text(page.left, y + 3.0, question, LABEL_PT)
            blank_line(page, page.left + 80.0, page.right, y + 3.6)
            y += 10.0
        value_strip(page, page.left, page.bottom - 12.0, 160.0, 7.0)


def _beside(made: LessonPaper, page: Page, x: float, y: float, task: Task) -> None:
    """Lines to write on, or what is predicted."""
    for k, (key, look) in enumerate((("expected", task.before), ("seen", task.after))):
        at = y + 8.0 * k
        if made.layout.mode == "predicted":
            seen = made.look(look) if k == 0 else made.words("answers.under", look=made.look(look))
            value = f"{made.words('glazes.value')} {made.value(look)}"
            page.text(x, at, f"{seen}, {value}", LABEL_PT)
            continue
        page.text(x, at, made.words(f"glazes.{key}"), LABEL_PT)
        blank_line(page, x + 24, page.right - 36, at + 0.6)
        if key == "seen":
            page.text(page.right - 33, at, made.words("glazes.value"), LABEL_PT)
            blank_line(page, page.right - 18, page.right, at + 0.6)


def _answers(made: LessonPaper) -> list[Page]:
    words, tasks = made.words, made.plan.glazes.tasks
    keys = ("wheel", "blocks", "ladder", "fields")
    pages = []
    for key, draw in zip(keys, (_wheel, _blocks, _ladder, _glazes), strict=True):
        page = made.start(words("answers.title", part=words(f"answers.{key}")))
        wide = page.right - page.left
        told = words("answers.told", paper=made.plan.table.paper.name)
        page.top = page.paragraph(page.left, page.top, wide, told, LABEL_PT) + 3.0
        draw(made, page)
        pages.append(page)
    drops = sorted(tasks, key=lambda task: task.value_drop)
    grey = min(tasks, key=lambda task: task.after.chroma)
    y = pages[-1].bottom - 34.0
    for line in (
        words("answers.most", hue=drops[-1].recipe, steps=f"{drops[-1].value_drop:.1f}"),
        words("answers.least", hue=drops[0].recipe, steps=f"{drops[0].value_drop:.1f}"),
        words("answers.grey", hue=grey.recipe, chroma=f"{grey.after.chroma:.1f}"),
    ):
        pages[-1].text(pages[-1].left, y, line, LABEL_PT)
        y += 6.0
    return pages
