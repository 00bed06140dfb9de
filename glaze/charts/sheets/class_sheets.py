"""The class lesson's parts: hand-outs, the grown-up's page, answers, shopping list; each alone too.

A hand-out gives one action a line, and nothing that it asks for.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from glaze.charts.content.class_plan import (
    BLEACH_PARTS,
    Block9,
    ClassPlan,
)
from glaze.charts.content.ladder import Ladder
from glaze.charts.content.lesson_words import Words
from glaze.charts.content.tertiary import Task
from glaze.charts.paper.marks import INK, Line, box
from glaze.charts.paper.page import LABEL_PT, MARGIN_MM, Page
from glaze.charts.sheets.parts import (
    Layout,
    blank_line,
    name_lines,
    put_swatch,
    start_sheet,
    told_on,
    value_strip,
)
from glaze.charts.sheets.wheel_sheet import draw_wheel
from glaze.materials.colour_words import languages
from glaze.materials.parts_told import ml_words, parts_of, told_parts
from glaze.materials.recipe import WATER
from glaze.patch.layers import standing_of
from glaze.patch.seen import Look

STEP_PT, SMALL_PT = 10.5, 8.0
TOUCH_MINUTES = 1


@dataclass(frozen=True, eq=False)
class _Class:
    """A lesson on its way to paper: what is told, in which words, on which sheets."""

    plan: ClassPlan
    words: Words
    layout: Layout

    @property
    def standing(self) -> str:
        """Of its colours."""
        return standing_of(self.plan.table, [*self.plan.wheel.primaries, self.plan.black])

    @property
    def shadow(self) -> str:
        """The one dilution, in words."""
        parts = told_parts(self.plan.shadow.parts_water)
        return self.words("parts", parts=f"{parts:g}")

    def look(self, look: Look) -> str:
        """A colour in words, in the lesson's language where it has them."""
        from glaze.materials.colour_words import colour_words

        language = self.words.language if self.words.language in languages() else "en"
        return colour_words(look.hue, look.value, look.chroma, language)

    def drops(self, recipe: str) -> str:
        """A recipe in drops, its water and its one or many drops in the lesson's words."""
        told = re.sub(rf"\b{WATER}\b", self.words("bench.water"), recipe)
        return self.words("drop" if re.fullmatch(r"\D*1", recipe) else "drops", recipe=told)

    def start(self, title: str, *, hand_out: bool = False) -> Page:
        """A page with its title and, on a hand-out, a line for the name."""
        page = start_sheet(self.plan.table, self.layout, title, words=self.words)
        if hand_out:
            name_lines(page, self.words("name_line"), self.words("class_line"))
        return page

    def caution_line(self, page: Page, y: float) -> None:
        """The caution in a line, where bleach is in the lesson."""
        if self.plan.bleach:
            wide = page.right - page.left
            page.paragraph(page.left, y - 3.5, wide, self.words.caution_line, LABEL_PT)

    def steps(self, page: Page, steps: Sequence[str], points: float = STEP_PT) -> None:
        """Numbered lines, one action each."""
        for number, step in enumerate(steps, start=1):
            page.text(page.left, page.top + points * 0.363, f"{number}", points, face="Bold")
            wide = page.right - page.left - 7.0
            page.top = page.paragraph(page.left + 7.0, page.top, wide, step, points) + 1.0
        page.top += 2.0


def class_parts(plan: ClassPlan, words: Words, layout: Layout) -> dict[str, list[Page]]:
    """The parts of the lesson by name: hand-outs, demonstration (if any), answers, shopping."""
    made = _Class(plan, words, replace(layout, turned=False, mode="blank"))
    parts = {"handouts": _handouts(made)}
    if plan.bleach:
        parts["demonstration"] = [_demonstration(made)]
    shown = replace(made, layout=replace(made.layout, mode="predicted"))
    return {**parts, "answers": _answers(shown), "shopping": [_shopping(made)]}


# --- hand-outs and their answers ---


def _handouts(made: _Class) -> list[Page]:
    drawn: list[tuple[str, Callable[[_Class, Page], None]]] = [
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


def _wheel(made: _Class, page: Page) -> None:
    wheel = made.plan.wheel
    keys = ", ".join(f"{wheel.keys[name]} {name}" for name in wheel.primaries)
    told = made.words("wheel.keys", keys=keys, ink=made.plan.black, parts=made.shadow)
    page.bottom -= 9.0 if made.plan.bleach else 0.0
    page.text(page.left, page.bottom - 1.0, told, LABEL_PT, face="Bold")
    made.caution_line(page, page.bottom + 4.0)
    # draw_wheel leaves room for a legend of its own
    page.bottom += 17.0
    draw_wheel(page, wheel, made.layout.mode)


def _blocks(made: _Class, page: Page) -> None:
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
                told_on(page, at + field / 2, y + title + tall - 2.0, f"{look.value:.1f}", look)
        if made.layout.mode == "predicted":
            ends = f"{made.look(block.looks[0])} – {made.look(block.looks[-1])}"
            page.text(x, y + title + tall + 7.4, ends, SMALL_PT)


def _block_title(made: _Class, block: Block9) -> str:
    if block.way == "free":
        return made.words("blocks.free")
    return made.words(f"blocks.to_{block.way}", hue=block.hue, black=made.plan.black)


def _short(made: _Class, block: Block9, n: int) -> str:
    """Drops of a field by key letters, w for water: "Y3 R3 K2"."""
    recipe = made.plan.table.mix(block.recipes[n]).recipe
    keys = made.plan.wheel.keys
    inks = " ".join(f"{keys[name]}{count:g}" for name, count in recipe.amounts.items())
    return f"{inks} w{recipe.water:g}" if recipe.water else inks


def _ladder(made: _Class, page: Page) -> None:
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
            value = f"{value} {rung.patch.value:.1f}"
        page.text(x, y + 12.0, value, LABEL_PT)
        if made.layout.mode == "blank":
            blank_line(page, x + 14, x + 40, y + 12.6)
    value_strip(page, page.left, page.top + len(ladder.rungs) * row + 2.0, 160.0, 7.0)


def _glazes(made: _Class, page: Page) -> None:
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


def _beside(made: _Class, page: Page, x: float, y: float, task: Task) -> None:
    """Lines to write on, or what is predicted."""
    for k, (key, look) in enumerate((("expected", task.before), ("seen", task.after))):
        at = y + 8.0 * k
        if made.layout.mode == "predicted":
            under = "" if k == 0 else f"{made.words('answers.under')}: "
            value = f"{made.words('glazes.value')} {look.value:.1f}"
            page.text(x, at, f"{under}{made.look(look)}, {value}", LABEL_PT)
            continue
        page.text(x, at, made.words(f"glazes.{key}"), LABEL_PT)
        blank_line(page, x + 24, page.right - 36, at + 0.6)
        if key == "seen":
            page.text(page.right - 33, at, made.words("glazes.value"), LABEL_PT)
            blank_line(page, page.right - 18, page.right, at + 0.6)


def _answers(made: _Class) -> list[Page]:
    words, tasks = made.words, made.plan.glazes.tasks
    keys = ("wheel", "blocks", "ladder", "fields")
    pages = []
    for key, draw in zip(keys, (_wheel, _blocks, _ladder, _glazes), strict=True):
        page = made.start(f"{words('answers.title')}: {words(f'answers.{key}')}")
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


# --- the grown-up's pages ---


def demonstration_steps(plan: ClassPlan, words: Words) -> list[str]:
    """What the grown-up does, an action a line."""
    bleach, water = (ml_words(ml) for ml in plan.bleach_ml)
    filled = {
        "bleach_ml": bleach,
        "water_ml": water,
        "dilution": words("parts", parts=f"{parts_of(BLEACH_PARTS):g}"),
        "count": plan.pupils,
        "minutes": TOUCH_MINUTES,
    }
    return words.lines("demonstration.steps", **filled)


def _demonstration(made: _Class) -> Page:
    words = made.words
    page = made.start(words("demonstration.title"))
    wide = page.right - page.left
    page.top = page.paragraph(page.left, page.top + 2.0, wide, words("demonstration.intro"), 11)
    page.top += 4.0
    made.steps(page, demonstration_steps(made.plan, words), 11)
    page.top = page.paragraph(page.left, page.top, wide, words("demonstration.look"), 11) + 8.0
    for line in words.caution:
        page.top = page.paragraph(page.left, page.top, wide, line, STEP_PT, face="Bold") + 1.2
    return page


def _shopping(made: _Class) -> Page:
    words, plan = made.words, made.plan
    page = made.start(words("shopping.title"))
    page.top += 2.0
    _listed(made, page, words("shopping.told", pupils=plan.pupils), _bottles(made))
    groups = -(-plan.pupils // 4)
    wells = 12
    things = [
        words("shopping.sheets", count=4 * plan.pupils, paper=plan.table.paper.name),
        words("shopping.droppers", count=groups * (len(plan.table.palette.bottles) + 1)),
        words("shopping.wells", count=wells * plan.pupils, each=wells),
        words("shopping.brushes", count=plan.pupils),
        words("shopping.strip"),
    ]
    _listed(made, page, words("shopping.things"), things)
    stock = words(
        "shopping.stock_wash",
        ml=ml_words(plan.shadow_ml),
        ink_ml=ml_words(plan.stock_ml[0]),
        water_ml=ml_words(plan.stock_ml[1]),
        ink=plan.black,
        parts=made.shadow,
    )
    _listed(made, page, words("shopping.stock"), [stock])
    at, rows = 0.0, []
    for key, minutes in plan.times:
        rows.append(f"{at:.0f}–{at + minutes:.0f}  {words(f'plan.{key}')}")
        at += minutes
    if plan.spare_minutes >= 0:
        rows.append(words("shopping.fits", left=f"{plan.spare_minutes:.0f}"))
    else:
        parts = ", ".join(words(f"{key}.title") for key in plan.left_out)
        rows.append(words("shopping.too_long", over=f"{-plan.spare_minutes:.0f}", parts=parts))
    _listed(made, page, words("shopping.plan"), [*rows, words("shopping.plan_note")])
    made.caution_line(page, page.bottom - 5.0)
    return page


def _bottles(made: _Class) -> list[str]:
    words, plan = made.words, made.plan
    keys = {ink.name: ink.key for ink in plan.table.palette.bottles}
    told = [
        words("shopping.bottle", name=name, letter=keys[name], ml=ml_words(ml))
        for name, ml in plan.bottles_ml.items()
        if name != WATER
    ]
    told.append(words("shopping.water", ml=ml_words(plan.bottles_ml.get(WATER, 0.0))))
    if plan.bleach:
        told.append(words("shopping.bleach", ml=ml_words(plan.bleach_ml[0])))
    return told


def _listed(made: _Class, page: Page, title: str, lines: Sequence[str]) -> None:
    """A title and lines with a box to tick."""
    page.text(page.left, page.top + 4.0, title, 11, face="Bold")
    page.top += 7.0
    for line in lines:
        page.rect(page.left, page.top + 0.8, 3.0, 3.0, None, Line((), 0.6, INK))
        wide = page.right - page.left - 7.0
        page.top = page.paragraph(page.left + 7.0, page.top, wide, line, STEP_PT) + 1.2
    page.top += 4.0
