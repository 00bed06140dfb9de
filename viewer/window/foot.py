"""Below the sheet: the hint of the tour, the table, and the line of messages."""

from __future__ import annotations

from qtpy.QtCore import Signal
from qtpy.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from viewer.window.controls import faint


class Foot(QWidget):
    """The table with a hint above it and messages below.

    line : what was done last, or what is wrong
    standing : what the colours rest on
    """

    hints_ended = Signal()

    def __init__(self, table: QWidget) -> None:
        super().__init__()
        self.line, self.standing = QLabel(), faint()
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 4)
        box.setSpacing(0)
        box.addWidget(self._hint())
        box.addWidget(table)
        row = QHBoxLayout()
        row.setContentsMargins(12, 0, 12, 0)
        row.addWidget(self.line, 1)
        row.addWidget(self.standing)
        box.addLayout(row)

    def _hint(self) -> QWidget:
        self.hint, self.words = QWidget(), QLabel()
        row = QHBoxLayout(self.hint)
        row.setContentsMargins(12, 6, 12, 2)
        row.addWidget(self.words)
        row.addStretch()
        end = QPushButton("no more hints")
        end.clicked.connect(self.hints_ended.emit)
        row.addWidget(end)
        self.hint.setVisible(False)
        return self.hint

    def show_hint(self, words: str) -> None:
        """The one hint there is now; "" for none."""
        self.words.setText(words)
        self.hint.setVisible(bool(words))

    def tell(self, text: str) -> None:
        """A line for the painter, all of it in a tip if it is long."""
        self.line.setText(text)
        self.line.setToolTip(text)
