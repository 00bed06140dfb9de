"""Small windows of the desk, in its greys, and one that asks until its answer can be used."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from typing import Any, TypeVar

from qtpy.QtCore import QSize
from qtpy.QtWidgets import QDialog, QHBoxLayout, QLabel, QLineEdit, QVBoxLayout, QWidget

from glaze.errors import InputError
from glaze.record.incoming import PICTURES

from ..core.saying import problems, say
from .controls import push

Read = TypeVar("Read")
PICTURE_FILES = " ".join(f"*{end}" for end in PICTURES)
"""Which files are shown where a picture is asked for."""


class Box(QDialog):
    """A small window of the desk.

    host : the part of the desk that it belongs to; it is in its greys
    once : whether it is let go once it is closed
    places : what stands in it, from top to bottom
    """

    def __init__(self, host: QWidget, title: str, least_px: int = 0, once: bool = False) -> None:
        super().__init__(host)
        if once:
            self.finished.connect(self.deleteLater)
        self.setWindowTitle(title)
        self.setMinimumWidth(least_px)
        self.places = QVBoxLayout(self)
        self.places.setContentsMargins(16, 12, 16, 12)
        self.places.setSpacing(8)

    def sizeHint(self) -> QSize:
        """As high as its words are at its width; Qt would ask them how high they are narrow."""
        wide = max(super().sizeHint().width(), self.minimumWidth())
        return QSize(wide, self.places.totalHeightForWidth(wide))

    def add_words(self, text: str = "", caution: bool = False) -> QLabel:
        """Words in as many lines as they need."""
        words = QLabel(text)
        words.setWordWrap(True)
        words.setProperty("caution", caution)
        self.places.addWidget(words)
        return words

    def add_ends(self, *ends: tuple[str, Callable[[], object]]) -> None:
        """Buttons that end it, at its right; the first is pressed by Enter."""
        row = QHBoxLayout()
        row.addStretch()
        for n, (text, do) in enumerate(ends):
            button = push(text, do)
            button.setDefault(n == 0)
            row.addWidget(button)
        self.places.addLayout(row)


def choose(host: QWidget, words: str, answers: Sequence[str]) -> str:
    """Ask which of some answers, and wait; "" if the box is closed without one."""
    box, taken = Box(host, "glaze", 420, once=True), list[str]()

    def take(answer: str) -> None:
        taken.append(answer)
        box.accept()

    box.add_words(words)
    box.add_ends(*((answer, partial(take, answer)) for answer in answers))
    box.exec()
    return "".join(taken)


class LineBox(Box):
    """Asks for a line of text.

    read : makes something of the line; what it refuses is told, and the box stays
    offers : usual answers, a button each
    done : the word on the button that takes the line
    other : words of another way out; `other_taken` says whether it was
    """

    def __init__(
        self,
        host: QWidget,
        title: str,
        words: str,
        read: Callable[[str], Read],
        offers: Sequence[str] = (),
        done: str = "",
        other: str = "",
    ) -> None:
        super().__init__(host, title, 380, once=True)
        self._read = read
        self.found: Any = None
        self.other_taken = False
        self.add_words(words)
        for offer in offers:
            self.places.addWidget(push(offer, partial(self.answer, offer)))
        if other:
            self.places.addWidget(push(other, self._other))
        self.line = QLineEdit()
        self.line.setAccessibleName(words)
        self.places.addWidget(self.line)
        self.wrong = self.add_words()
        self.wrong.setVisible(False)
        done = done or say("common.take")
        end = say("common.cancel"), self.reject
        self.add_ends((done, lambda: self.answer(self.line.text())), end)
        self.line.setFocus()

    def answer(self, text: str) -> None:
        """Take an answer, or tell what is wrong with it and go on asking."""
        try:
            self.found = self._read(text)
        except InputError as error:
            self.wrong.setText(problems(error))
            self.wrong.setVisible(True)
            self.line.setText(text)
            self.line.selectAll()
        else:
            self.accept()

    def _other(self) -> None:
        self.other_taken = True
        self.reject()

    def ask(self) -> Any:
        """Ask and wait; what was made of the answer, None if nobody answers."""
        self.exec()
        return self.found
