"""A class lesson on its way to paper: what all its pages are set with."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from glaze.charts.content.class_plan import ClassPlan
from glaze.charts.paper.marks import INK, Line
from glaze.charts.paper.page import LABEL_PT, Page
from glaze.charts.sheets.parts import Layout, name_lines, start_sheet
from glaze.materials.colour_words import languages
from glaze.materials.parts_told import told_parts
from glaze.materials.recipe import WATER
from glaze.materials.words import Words
from glaze.patch.layers import standing_of
from glaze.patch.seen import Look

STEP_PT = 10.5


@dataclass(frozen=True, eq=False)
class LessonPaper:
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

    @property
    def water_key(self) -> str:
        """What stands for water among the key letters."""
        return self.words("key_letters.water")

    def keys(self, inks: Sequence[str], *, water: bool = False) -> str:
        """What the key letters mean: "Y Yellow, R Red"."""
        named = [f"{self.plan.wheel.keys[name]} {name}" for name in inks]
        named += [f"{self.water_key} {self.words('bench.water')}"] if water else []
        return ", ".join(named)

    def value(self, look: Look) -> str:
        """A colour's value as it is printed."""
        return self.words.figure(f"{look.value:.1f}")

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

    def ticked(
        self, page: Page, title: str, lines: Sequence[str], notes: Sequence[str] = ()
    ) -> None:
        """A title, lines with a box to tick, and notes without one, as nothing is to be done."""
        page.text(page.left, page.top + 4.0, title, 11, face="Bold")
        page.top += 7.0
        for number, line in enumerate([*lines, *notes]):
            if number < len(lines):
                page.rect(page.left, page.top + 0.8, 3.0, 3.0, None, Line((), 0.6, INK), "tick")
            wide = page.right - page.left - 7.0
            page.top = page.paragraph(page.left + 7.0, page.top, wide, line, STEP_PT) + 1.2
        page.top += 4.0
