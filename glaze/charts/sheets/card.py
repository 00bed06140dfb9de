"""The recipe card: a scene to paint beside, with its swatches, drops, amounts, order and times."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from glaze.charts.content.card_words import (
    RECIPE_PT,
    area_words,
    drop_words,
    fine_lines,
    recipe_lines,
    remarks,
    shortened,
    step_words,
)
from glaze.charts.paper.marks import INK, THIN_SPACE, Colour, Line, box, wrapped
from glaze.charts.paper.page import FINE_PT, LABEL_PT, Page
from glaze.charts.sheets.facts import facts_of
from glaze.charts.sheets.parts import band_of, caution_line, fitted
from glaze.materials.mix import Mix
from glaze.materials.parts_told import ml_words
from glaze.patch.patches import bare_patches, glaze
from glaze.patch.seen import chip_of_xyz, looks_of
from glaze.physics.colour import map_into_gamut
from glaze.physics.seeing import as_seen_by, few_values
from glaze.picture.file import encode
from glaze.picture.resized import reduce
from glaze.pipeline import linear_rgb
from glaze.planning.sheet.plan import Plan, PlannedStep, choice_words, kept_words, times_text
from glaze.step.timing import spoken

PICTURE_PX = 700  # width of the small picture: 200 dpi and more on the card
MOST_ORDERS = 5
MOST_WELLS = 8  # beside the picture; the rest stand below it
MOST_HUES, HUES_A_ROW, HUE_MM = 9, 3, 7.5
"""That a wash lies over: the largest, how many side by side, and the height of a row of them."""
NAME_X, AMOUNT_X, TIME_X, BAR_MM = 34.0, 114.0, 138.0, 26.0
"""From the left margin [mm]: the step, what to mix, how long; the value stands at the right."""
FINE_MM, RECIPE_MM = 3.0, 3.7


def card_pages(plan: Plan, size: str = "A4", day: str | None = None) -> list[Page]:
    """The card of a plan, as many pages as its steps need.

    Parameters
    ----------
    size : A4, A3 or Letter
    day : date to print, today's if None
    """
    writer = _Writer(plan, size, day)
    writer.front()
    writer.steps()
    writer.readings()
    writer.orders()
    for title, lines in remarks(plan):
        writer.remark(title, lines)
    writer.number_pages()
    return writer.pages


class _Writer:
    """Fills pages from top to bottom."""

    def __init__(self, plan: Plan, size: str, day: str | None) -> None:
        self.plan, self.size = plan, size
        self.facts = facts_of(plan.painting.table, day)
        self.pages: list[Page] = []

    @property
    def page(self) -> Page:
        """The one being filled."""
        return self.pages[-1]

    @cached_property
    def linear(self) -> NDArray[np.float32]:
        """The finished picture, small, linear sRGB within 0 to 1."""
        whole = linear_rgb(self.plan.painting)
        scale = min(1.0, PICTURE_PX / whole.shape[1])
        return np.asarray(map_into_gamut(reduce(whole, scale))[0], dtype=np.float32)

    @property
    def picture_mm(self) -> tuple[float, float]:
        """Width and height of the sheet [mm]."""
        return self.plan.painting.size_mm

    def turn(self) -> Page:
        """A new page with its head and foot; the first bears the whole caution, if any."""
        page, title = Page(self.size), self.plan.scene.title
        if self.pages:
            page.title = title
            page.text(page.left, page.top + 4.0, f"{title}, continued", 11, face="Bold")
            page.top += 10.0
        else:
            page.head(shortened(title, page.right - page.left, 18))
        page.foot(self.facts)
        if self.plan.bleaches:
            (caution_line if self.pages else Page.caution)(page)
        self.pages.append(page)
        return page

    def room(self, high: float) -> Page:
        """The page to go on with: a new one if what comes next doesn't fit."""
        return self.turn() if self.page.top + high > self.page.bottom else self.page

    def front(self) -> None:
        """Picture, stock mixes, bottles and time."""
        page = self.turn()
        wide, high = self.picture_mm
        paper = self.plan.painting.table.paper.name
        told = f"{wide:.0f}{THIN_SPACE}×{THIN_SPACE}{high:.0f}{THIN_SPACE}mm on {paper} paper. "
        page.text(page.left, page.top + 1.5, told + times_text(self.plan), LABEL_PT)
        page.top += 7.0
        shown = fitted(wide, high, 86.0, 96.0)
        page.image(page.left, page.top, *shown, encode(self.linear), "picture")
        left = page.left + shown[0] + 8.0
        wells = list(self.plan.wells)[:MOST_WELLS]
        y = self._wells(wells, left, page.top)
        y = self._bottles(page, left, y)
        page.top = max(page.top + shown[1], y) + 6.0
        for name in list(self.plan.wells)[MOST_WELLS:]:
            page = self.room(14.0)
            page.top = self._well(name, page.left, page.top)
        self.page.top += 4.0 if len(self.plan.wells) > MOST_WELLS else 0.0

    def _wells(self, names: Sequence[str], x: float, y: float) -> float:
        """The stock mixes beside the picture."""
        if not names:
            return y
        self.page.text(x, y + 3.0, "Stock mixes", 11, face="Bold")
        y += 6.0
        for name in names:
            y = self._well(name, x, y)
        return y + 2.0

    def _well(self, name: str, x: float, y: float) -> float:
        """A stock mix as it dries on this paper, its drops and ml; gives where it ends [mm]."""
        page, amount = self.page, self.plan.wells[name]
        colour = self._dry(self.plan.painting.table.wells[name])
        page.swatch(box(x, y, 10.0, 7.5), colour, self.plan.standing, name=f"well {name}")
        page.text(x + 13.0, y + 3.0, shortened(name, 60.0, LABEL_PT), LABEL_PT, face="Bold")
        ml = amount.ml_words
        page.text(page.right, y + 3.0, ml, LABEL_PT, align="right", tabular=True)
        lines = wrapped(f"{amount.text}; {amount.parts}", page.right - x - 13.0, 8)
        for n, line in enumerate(lines):
            page.text(x + 13.0, y + 6.5 + 3.4 * n, line, 8)
        return y + 7.6 + 3.4 * len(lines)

    def _dry(self, mix: Mix) -> Colour:
        table = self.plan.painting.table
        return looks_of(table, glaze(table, bare_patches(table), mix))[0].rgb8

    def _bottles(self, page: Page, x: float, y: float) -> float:
        """What the whole picture takes, and what the colours are worth."""
        page.text(x, y + 3.0, f"In all, with a spare of 40{THIN_SPACE}%", 11, face="Bold")
        used = [f"{n} {ml_words(ml)}" for n, ml in self.plan.bottles_ml.items() if ml > 0]
        y = page.paragraph(x, y + 5.0, page.right - x, ", ".join(used) or "nothing", LABEL_PT)
        return page.paragraph(x, y + 2.0, page.right - x, self.plan.promise, 8)

    # --- the steps ---

    def steps(self) -> None:
        """A row for each step."""
        self._row_heads()
        for step in self.plan.steps:
            recipe = recipe_lines(step, AMOUNT_X - NAME_X - 3.0)
            fine = list(fine_lines(step, self.page.right - self.page.left - NAME_X))
            rows = -(-len(step.glazed[:MOST_HUES]) // HUES_A_ROW)
            high = 8.5 + RECIPE_MM * len(recipe) + HUE_MM * rows
            high += FINE_MM * sum(points for _, points in fine) / FINE_PT
            if self.page.top + high > self.page.bottom:
                self.turn()
                self._row_heads()
            self._row(step, recipe, fine)
            self.page.top += high

    def _row_heads(self) -> None:
        page = self.page
        for x, text in ((NAME_X, "step"), (AMOUNT_X, "mix, area"), (TIME_X, "work, dry")):
            page.text(page.left + x, page.top, text, FINE_PT)
        page.text(page.right - BAR_MM - 9.0, page.top, "value there", FINE_PT)
        page.text(page.right - BAR_MM + 8.0, page.top, "0 dark", FINE_PT)
        page.text(page.right, page.top, "10 light", FINE_PT, align="right")
        page.top += 2.0

    def _row(
        self, step: PlannedStep, recipe: Sequence[str], fine: Sequence[tuple[str, float]]
    ) -> None:
        page, y, left = self.page, self.page.top, self.page.left
        page.line([(left, y), (page.right, y)])
        page.rect(left, y + 3.6, 4.5, 4.5, None, Line((), 0.6, INK), f"tick {step.number}")
        page.text(left + 12.5, y + 7.4, str(step.number), 12, face="Bold", align="right")
        if step.value is not None:
            swatch = box(left + 15.0, y + 2.5, 15.0, 10.0)
            page.swatch(
                swatch, chip_of_xyz(step.xyz), self.plan.standing, name=f"step {step.number}"
            )
        width = AMOUNT_X - NAME_X - 3.0
        page.text(left + NAME_X, y + 5.3, shortened(step_words(step), width, 10), 10, face="Bold")
        at = y + 9.2
        for line in recipe:
            page.text(left + NAME_X, at, line, RECIPE_PT)
            at += RECIPE_MM
        for line, points in fine:
            at += FINE_MM * (points / FINE_PT - 1.0)  # larger type has more room above it
            page.text(left + NAME_X, at, line, points)
            at += FINE_MM
        self._hues(step, at - 1.5)
        self._figures(step, y)

    def _hues(self, step: PlannedStep, y: float) -> None:
        """What a wash over others makes of each hue: before, after, and values."""
        page, wide = self.page, (self.page.right - self.page.left - NAME_X) / HUES_A_ROW
        for n, one in enumerate(step.glazed[:MOST_HUES]):
            row, column = divmod(n, HUES_A_ROW)
            x, at = page.left + NAME_X + column * wide, y + row * HUE_MM
            looks = one.before.rgb8, one.after.rgb8
            self._pair(x, at, (5.5, HUE_MM - 1.5), looks, f"step {step.number} hue {n + 1}")
            hue = shortened(one.hue, wide - 14.0, FINE_PT, "Regular")
            page.text(x + 12.5, at + 2.6, hue, FINE_PT)
            page.text(x + 12.5, at + 5.6, drop_words(one), FINE_PT, tabular=True)

    def _pair(
        self, x: float, y: float, size: tuple[float, float], looks: Sequence[Colour], name: str
    ) -> None:
        """Two colours side by side."""
        for n, colour in enumerate(looks):
            patch = box(x + size[0] * n, y, *size)
            self.page.swatch(patch, colour, self.plan.standing, name=f"{name} {n + 1}")

    def _figures(self, step: PlannedStep, y: float) -> None:
        """Millilitres, minutes, and the value with its band."""
        page, left = self.page, self.page.left
        if step.amount is not None:
            ml = step.amount.ml_words
            page.text(left + AMOUNT_X, y + 5.3, ml, LABEL_PT, tabular=True)
            page.text(left + AMOUNT_X, y + 9.2, area_words(step.amount.area_cm2), RECIPE_PT)
        page.text(left + TIME_X, y + 5.3, spoken(step.minutes.hands_on), LABEL_PT)
        page.text(left + TIME_X, y + 9.2, spoken(step.minutes.dry), RECIPE_PT)
        if step.value is not None:
            band, x = step.value, page.right - BAR_MM
            page.text(x - 2.0, y + 5.8, f"{band.best:.1f}", 10, align="right", tabular=True)
            band_of(page, x, y + 4.6, BAR_MM, band)

    # --- what to mind ---

    def remark(self, title: str, lines: Sequence[str]) -> None:
        """A title and its sentences."""
        page = self.room(14.0)
        page.top += 5.0
        page.text(page.left, page.top + 3.0, title, 11, face="Bold")
        page.top += 4.5
        wide = page.right - page.left
        for line in lines:
            page = self.room(len(wrapped(line, wide, 8.5)) * 4.2 + 1.0)
            page.top = 1.0 + page.paragraph(page.left, page.top, wide, line, 8.5, leading=1.35)

    def orders(self) -> None:
        """Both orders of two washes side by side, where it matters; then what to keep."""
        choices = [choice for choice in self.plan.choices if not choice.keep][:MOST_ORDERS]
        kept = kept_words(self.plan)
        if not choices and not kept:
            return
        self.remark("Where the order matters: as planned, and the other way round", kept)
        for choice in choices:
            page = self.room(9.0)
            looks = chip_of_xyz(choice.xyz), chip_of_xyz(choice.other_xyz)
            self._pair(page.left, page.top, (9.0, 6.5), looks, "order")
            wide = page.right - page.left - 22.0
            page.paragraph(page.left + 22.0, page.top - 0.5, wide, choice_words(choice), 8.5)
            page.top += 9.0

    def readings(self) -> None:
        """The picture in three values and in five, and as a weak green cone sees it."""
        shown = fitted(*self.picture_mm, 58.0, 58.0)
        page = self.room(shown[1] + 20.0)
        page.top += 5.0
        page.text(page.left, page.top + 3.0, "How it reads", 11, face="Bold")
        page.top += 6.5
        looks = (
            ("in three values", few_values(self.linear, 3)),
            ("in five values", few_values(self.linear, 5)),
            ("to weak green cones (deutan)", as_seen_by(self.linear, "deutan")),
        )
        for n, (told, linear) in enumerate(looks):
            x = page.left + n * (shown[0] + 6.0)
            page.image(x, page.top, *shown, encode(linear), told)
            page.text(x, page.top + shown[1] + 4.0, told, RECIPE_PT)
        page.top += shown[1] + 6.0

    def number_pages(self) -> None:
        """Page n of m, at the foot."""
        for number, page in enumerate(self.pages, start=1):
            told = f"page {number} of {len(self.pages)}"
            page.text(page.right, page.height - 16.5, told, FINE_PT, align="right")
