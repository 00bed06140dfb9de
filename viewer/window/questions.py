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
from ..core.sitting import Sitting
from .controls import DragNumber, empty, faint, push
from .dialogs import Box
from .drawing import Swatch
from .errands import Errands
from .holding import Holding
from .surround import Surround

CHARTS = {
    "wheel": "colour wheel",
    "ladder": "ladders",
    "blocks": "graded blocks",
    "tertiary": "what a black glaze does",
    "lift": "what bleach leaves",
    "swatches": "swatch sheet to paint",
}
SHEETS = "Sheets (*.pdf *.svg *.png)"


class Question(Box):
    """A question, its answer in lines, and offers with a button each."""

    def __init__(self, holding: Holding, surround: Surround, title: str) -> None:
        super().__init__(surround.host, title, 460)
        self.holding = holding
        self.answer = QVBoxLayout()

    def end(self, ask: Callable[[], asking.Answered]) -> None:
        """The button that asks, and the place of the answer."""
        self.add_ends(("ask", lambda: self.show_answer(ask)))
        self.places.addLayout(self.answer)

    def show_answer(self, ask: Callable[[], asking.Answered]) -> None:
        """Ask, and show what comes."""
        empty(self.answer)
        try:
            found = ask()
        except InputError as error:
            found = asking.Answered(tuple(error.problems))
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
        take = push("take it", lambda: self._take(offer), name=f"take it: {offer.words}")
        row.addWidget(take)
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
        made = self._open("which drops make a colour?")
        words = "The colour: #8fa37c, or 5R 4/8 after Munsell, or L*, a*, b*"
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
        made = self._open("even the shadows of several hues")
        made.add_words("Shadows over these washes are to darken by as much:")
        boxes = {}
        for n, step in enumerate(self.sitting.scene.steps[:14]):
            if isinstance(step, Wash):
                boxes[n] = QCheckBox(f"{step.name}   {step.mix}")
                made.places.addWidget(boxes[n])
        row = QHBoxLayout()
        steps = DragNumber(0.5, 6, 0.5, 1, "", "Value steps to darken by.")
        steps.show_value(2.0)
        row.addWidget(steps)
        row.addWidget(QLabel("value steps darker, with black"))
        row.addStretch()
        made.places.addLayout(row)

        def ask() -> asking.Answered:
            ticked = [n for n, box in boxes.items() if box.isChecked()]
            return asking.even_shadows_of(self.sitting, ticked, steps.value)

        made.end(ask)
        made.show()

    def charts(self) -> None:
        """Charts of the bottles on the table."""
        made = self._open("charts of these bottles")
        made.places.addWidget(
            faint("Printed at true size, for the palette and the paper on the table.")
        )
        for name, words in CHARTS.items():
            made.places.addWidget(push(words, partial(self._chart, name)))
        made.show()

    def _chart(self, name: str) -> None:
        self._write(
            CHARTS[name], f"{name}.pdf", SHEETS, lambda s, path: asking.write_chart(s, name, path)
        )

    def card(self) -> None:
        """The recipe card."""
        self._write("recipe card", "card.pdf", SHEETS, asking.write_card)

    def page(self) -> None:
        """The bench page."""
        self._write("bench page", "painting.html", "Pages (*.html)", asking.write_page)

    def proof(self) -> None:
        """The picture at true size."""
        self._write("save the picture", "picture.png", "Pictures (*.png *.tif)", asking.write_proof)

    def _write(
        self, title: str, name: str, kinds: str, write: Callable[[Sitting, Path], Any]
    ) -> None:
        """Ask where, write in the background, and say when it is done."""
        found, _ = QFileDialog.getSaveFileName(self.surround.window, title, name, kinds)
        if found:
            sitting, path, told = self.sitting, Path(found), self.errands.told
            told.emit(f"writing {path.name}")
            self.errands.run(lambda: write(sitting, path), lambda _: told.emit(f"written: {path}"))
