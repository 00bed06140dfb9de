"""Questions in place: small windows that ask, and offer what can be taken."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from qtpy.QtWidgets import (
    QCheckBox,
    QDialog,
    QFileDialog,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from glaze.errors import InputError
from glaze.scene.records import Wash
from viewer.core import asking
from viewer.window.controls import DragNumber, Swatch, empty, faint
from viewer.window.look import style

if TYPE_CHECKING:
    from viewer.window.app import Desk

CHARTS = {
    "wheel": "colour wheel",
    "ladder": "ladders",
    "blocks": "graded blocks",
    "tertiary": "what a black glaze does",
    "lift": "what bleach leaves",
    "swatches": "swatch sheet to paint",
}


class Question(QDialog):
    """A question, its answer in lines, and offers with a button each."""

    def __init__(self, desk: Desk, title: str) -> None:
        super().__init__(desk.window)
        self.desk = desk
        self.setStyleSheet(style(desk.wall))
        self.setWindowTitle(title)
        self.setMinimumWidth(460)
        self.box = QVBoxLayout(self)
        self.box.setContentsMargins(16, 14, 16, 14)
        self.box.setSpacing(8)
        self.answer = QVBoxLayout()

    def end(self, ask: Callable[[], asking.Answered]) -> None:
        """The button that asks, and the place of the answer."""
        row = QHBoxLayout()
        row.addStretch()
        button = QPushButton("ask")
        button.setDefault(True)
        button.clicked.connect(lambda: self.show_answer(ask))
        row.addWidget(button)
        self.box.addLayout(row)
        self.box.addLayout(self.answer)

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
        row.addWidget(QLabel(offer.words), 1)
        take = QPushButton("take it")
        take.clicked.connect(lambda: self._take(offer))
        row.addWidget(take)
        return whole

    def _take(self, offer: asking.Offer) -> None:
        holding = self.desk.table.holding
        holding.take_kind("wash")
        hand = replace(self.desk.sitting.hand, mix=offer.mix, coats=offer.coats)
        holding.take(hand, "mix")


def ask(desk: Desk, what: str) -> None:
    """Open the window of a question."""
    makers: dict[str, Callable[[Desk], Any]] = {
        "value": _value,
        "colour": _colour,
        "even": _even,
        "card": _card,
        "charts": _charts,
    }
    made = makers[what](desk)
    if made is not None:
        desk.question = made
        made.show()


def _value(desk: Desk) -> Question:
    made = Question(desk, "how much water for a value?")
    row = QHBoxLayout()
    number = DragNumber(0, 10, 0.1, 1, "", "Value: 0 is black, 10 is white.")
    number.show_value(5.0)
    row.addWidget(QLabel("The wash in hand is to reach value"))
    row.addWidget(number)
    row.addStretch()
    made.box.addLayout(row)
    made.end(lambda: asking.dilution_for(desk.sitting, number.value))
    return made


def _colour(desk: Desk) -> Question:
    made = Question(desk, "which drops make a colour?")
    made.box.addWidget(QLabel("The colour: #8fa37c, or 5R 4/8 after Munsell, or L*, a*, b*"))
    text = QLineEdit("5GY 6/4")
    made.box.addWidget(text)
    made.end(lambda: asking.drops_for(desk.sitting, text.text()))
    return made


def _even(desk: Desk) -> Question:
    made = Question(desk, "even the shadows of several hues")
    made.box.addWidget(QLabel("Shadows over these washes are to darken by as much:"))
    boxes = {}
    for n, step in enumerate(desk.sitting.scene.steps[:14]):
        if isinstance(step, Wash):
            boxes[n] = QCheckBox(f"{step.name}   {step.mix}")
            made.box.addWidget(boxes[n])
    row = QHBoxLayout()
    steps = DragNumber(0.5, 6, 0.5, 1, "", "Value steps to darken by.")
    steps.show_value(2.0)
    row.addWidget(steps)
    row.addWidget(QLabel("value steps darker, with black"))
    row.addStretch()
    made.box.addLayout(row)
    made.end(
        lambda: asking.even_shadows_of(
            desk.sitting, [n for n, box in boxes.items() if box.isChecked()], steps.value
        )
    )
    return made


def _where(desk: Desk, title: str, name: str, kinds: str) -> Path | None:
    found, _ = QFileDialog.getSaveFileName(desk.window, title, name, kinds)
    return Path(found) if found else None


def _later(desk: Desk, path: Path, write: Callable[[], Any]) -> None:
    """Write in the background and say when it is done."""

    def failed(error: Exception) -> None:
        if not isinstance(error, InputError):
            raise error
        desk.tell(" ".join(error.problems))

    desk.tell(f"writing {path.name}")
    desk.keeper.do(write, lambda _: desk.tell(f"written: {path}"), failed)


def _card(desk: Desk) -> None:
    path = _where(desk, "recipe card", "card.pdf", "Sheets (*.pdf *.svg *.png)")
    if path is not None:
        sitting = desk.sitting
        _later(desk, path, lambda: asking.write_card(sitting, path))


def proof(desk: Desk) -> None:
    """Pull a proof: the picture at true size."""
    path = _where(desk, "pull a proof", "proof.png", "Pictures (*.png *.tif)")
    if path is not None:
        sitting = desk.sitting
        _later(desk, path, lambda: asking.write_proof(sitting, path))


def _charts(desk: Desk) -> Question:
    made = Question(desk, "charts of these bottles")
    made.box.addWidget(faint("Printed at true size, for the palette and the paper on the table."))
    for name, words in CHARTS.items():
        button = QPushButton(words)
        button.clicked.connect(lambda _=False, n=name: _chart(desk, n))
        made.box.addWidget(button)
    return made


def _chart(desk: Desk, name: str) -> None:
    path = _where(desk, CHARTS[name], f"{name}.pdf", "Sheets (*.pdf *.svg *.png)")
    if path is not None:
        sitting = desk.sitting
        _later(desk, path, lambda: asking.write_chart(sitting, name, path))
