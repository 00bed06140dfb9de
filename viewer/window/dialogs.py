"""A small box that asks for a line, and asks again until the answer can be used."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from qtpy.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QLabel,
    QLineEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from glaze.errors import InputError

Read = TypeVar("Read")


class LineBox(QDialog):
    """Asks for a line of text.

    read : makes something of the line; what it refuses is told, and the box stays
    offers : usual answers, a button each
    """

    def __init__(
        self,
        parent: QWidget,
        title: str,
        words: str,
        text: str,
        read: Callable[[str], Read],
        offers: Sequence[str] = (),
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.setMinimumWidth(380)
        self._read = read
        self.found: Any = None
        box = QVBoxLayout(self)
        box.setContentsMargins(16, 14, 16, 14)
        asked = QLabel(words)
        asked.setWordWrap(True)
        box.addWidget(asked)
        for offer in offers:
            button = QPushButton(offer)
            button.setAutoDefault(False)
            button.clicked.connect(lambda _=False, o=offer: self.answer(o))
            box.addWidget(button)
        self.line = QLineEdit(text)
        self.line.setAccessibleName(words)
        self.line.selectAll()
        box.addWidget(self.line)
        self.wrong = QLabel()
        self.wrong.setWordWrap(True)
        self.wrong.setVisible(False)
        box.addWidget(self.wrong)
        kinds = QDialogButtonBox.StandardButton
        ends = QDialogButtonBox(kinds.Ok | kinds.Cancel)
        ends.accepted.connect(lambda: self.answer(self.line.text()))
        ends.rejected.connect(self.reject)
        box.addWidget(ends)
        self.line.setFocus()

    def answer(self, text: str) -> None:
        """Take an answer, or tell what is wrong with it and go on asking."""
        try:
            self.found = self._read(text)
        except InputError as error:
            self.wrong.setText(" ".join(error.problems))
            self.wrong.setVisible(True)
            self.line.setText(text)
            self.line.selectAll()
        else:
            self.accept()


def ask_line(
    parent: QWidget,
    title: str,
    words: str,
    read: Callable[[str], Read],
    text: str = "",
    offers: Sequence[str] = (),
) -> Read | None:
    """Ask for a line and wait for it; None if nobody answers."""
    box = LineBox(parent, title, words, text, read, offers)
    box.exec()
    found: Read | None = box.found
    return found
