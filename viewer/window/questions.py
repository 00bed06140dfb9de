"""Questions in place: small windows that ask, and offer what can be taken."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

from qtpy.QtWidgets import (
    QCheckBox,
    QFileDialog,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from glaze.errors import InputError
from glaze.step.wash_step import Wash

from ..core import asking
from ..core.saying import say, translated
from ..core.sitting import Sitting
from .controls import DragNumber, empty, faint, push
from .dialogs import Box
from .drawing import Swatch
from .errands import Errands
from .holding import Holding
from .surround import Surround

CHARTS = "wheel", "ladder", "blocks", "tertiary", "lift", "swatches"
SHEETS = "*.pdf *.svg *.png"


class Question(Box):
    """A question, its answer in lines, and offers with a button each."""

    def __init__(self, holding: Holding, surround: Surround, title: str) -> None:
        super().__init__(surround.host, title, 460, once=True)
        self.holding = holding
        self.answer = QVBoxLayout()

    def end(self, ask: Callable[[], asking.Answered]) -> None:
        """The button that asks, and the place of the answer."""
        self.add_ends((say("common.ask"), lambda: self.show_answer(ask)))
        self.places.addLayout(self.answer)

    def show_answer(self, ask: Callable[[], asking.Answered]) -> None:
        """Ask, and show what comes."""
        empty(self.answer)
        try:
            found = ask()
        except InputError as error:
            found = asking.Answered(tuple(map(translated, error.problems)))
        for line in found.lines:
            label = QLabel(line)
            label.setWordWrap(True)
            self.answer.addWidget(label)
        for offer in found.offers:
            self.answer.addWidget(self._offer(offer))

    def _offer(self, offer: asking.Offer) -> QWidget:
        whole = QWidget()
        row = QHBoxLayout(whole)
        row.setContentsMargins(0, 0, 0, 0)
        if offer.rgb is not None:
            swatch = Swatch()
            swatch.show_rgb(offer.rgb)
            row.addWidget(swatch)
        words = QLabel(offer.words.replace("   ", "\n", 1))
        row.addWidget(words, 1)
        text = say("common.take")
        name = say("common.named", what=text, name=offer.words)
        row.addWidget(push(text, lambda: self._take(offer), name=name))
        return whole

    def _take(self, offer: asking.Offer) -> None:
        self.holding.take_kind("wash")
        hand = replace(self.holding.sitting.hand, mix=offer.mix, coats=offer.coats)
        self.holding.take(hand, "mix")


class Questions:
    """The windows of the questions.

    shown : the last one that was opened
    """

    def __init__(self, holding: Holding, errands: Errands, surround: Surround) -> None:
        self.holding, self.errands, self.surround = holding, errands, surround
        self.shown: Question | None = None

    @property
    def sitting(self) -> Sitting:
        """What is asked about."""
        return self.holding.sitting

    def _open(self, title: str) -> Question:
        self.shown = Question(self.holding, self.surround, title)
        return self.shown

    def colour(self) -> None:
        """Which drops make a colour."""
        made = self._open(say("menu.drops"))
        words = say("questions.colour")
        made.add_words(words)
        text = QLineEdit("5GY 6/4")
        text.setAccessibleName(words)
        made.places.addWidget(text)
        made.end(lambda: asking.drops_for(self.sitting, text.text()))
        made.show()

    def of_the_rough(self, title: str, ask: Callable[[], asking.Answered]) -> None:
        """Which drops make a colour that was pointed at."""
        made = self._open(title)
        made.places.addLayout(made.answer)
        made.show_answer(ask)
        made.show()

    def even(self) -> None:
        """Shadows of several hues that darken alike."""
        made = self._open(say("menu.even"))
        made.add_words(say("questions.even"))
        boxes = {}
        for n, step in enumerate(self.sitting.scene.steps[:14]):
            if isinstance(step, Wash):
                boxes[n] = QCheckBox(f"{step.name}   {step.mix}")
                made.places.addWidget(boxes[n])
        row = QHBoxLayout()
        steps = DragNumber(0.5, 6, 0.5, 1, "", say("questions.steps"))
        steps.show_value(2.0)
        row.addWidget(steps)
        row.addWidget(QLabel(say("questions.darker")))
        row.addStretch()
        made.places.addLayout(row)

        def ask() -> asking.Answered:
            ticked = [n for n, box in boxes.items() if box.isChecked()]
            return asking.even_shadows_of(self.sitting, ticked, steps.value)

        made.end(ask)
        made.show()

    def charts(self) -> None:
        """Charts of the bottles on the table."""
        made = self._open(say("menu.charts"))
        made.places.addWidget(faint(say("questions.printed")))
        for name in CHARTS:
            made.places.addWidget(push(say(f"chart.{name}"), partial(self._chart, name)))
        made.show()

    def _chart(self, name: str) -> None:
        def write(sitting: Sitting, path: Path) -> None:
            asking.write_chart(sitting, name, path)

        kinds = say("files.sheets", kinds=SHEETS)
        self._write(say(f"chart.{name}"), f"{name}.pdf", kinds, write)

    def card(self) -> None:
        """The recipe card."""
        kinds = say("files.sheets", kinds=SHEETS)
        self._write(say("menu.card"), "card.pdf", kinds, asking.write_card)

    def page(self) -> None:
        """The bench page."""
        kinds = say("files.pages", kinds="*.html")
        self._write(say("files.page"), "painting.html", kinds, asking.write_page)

    def proof(self) -> None:
        """The picture at true size."""
        kinds = say("common.pictures", kinds="*.png *.tif")
        self._write(say("files.picture"), "picture.png", kinds, asking.write_proof)

    def _write(
        self, title: str, name: str, kinds: str, write: Callable[[Sitting, Path], Any]
    ) -> None:
        """Ask where, write in the background, and say when it is done."""
        found, _ = QFileDialog.getSaveFileName(self.surround.window, title, name, kinds)
        if found:
            sitting, path, told = self.sitting, Path(found), self.errands.told
            told.emit(say("files.writing", name=path.name))
            done = say("files.written", place=path)
            self.errands.run(lambda: write(sitting, path), lambda _: told.emit(done))
