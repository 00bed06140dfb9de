"""Below the sheet: the hint of the tour, the table, and the line of messages."""

from __future__ import annotations

from qtpy.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from viewer.core.sitting import Sitting
from viewer.core.tour import Tour
from viewer.window.controls import OneLine, faint


class Foot(QWidget):
    """The table with a hint above it and messages below.

    line : what was done last, or what is wrong
    standing : what the colours rest on
    progress : how far the picture is
    tour : whose hints are shown; None if there was none
    """

    def __init__(self, sitting: Sitting, table: QWidget) -> None:
        super().__init__()
        self.sitting = sitting
        self.tour: Tour | None = None
        self.line, self.standing, self.progress = OneLine(), OneLine(faint=True), faint()
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 4)
        box.setSpacing(0)
        box.addWidget(self._hint())
        box.addWidget(table)
        row = QHBoxLayout()
        row.setContentsMargins(12, 0, 12, 0)
        row.setSpacing(14)
        row.addWidget(self.line, 3)
        row.addWidget(self.progress)
        row.addWidget(self.standing, 2)
        box.addLayout(row)

    def _hint(self) -> QWidget:
        self.hint, self.words = QWidget(), OneLine()
        row = QHBoxLayout(self.hint)
        row.setContentsMargins(12, 6, 12, 2)
        row.addWidget(self.words, 1)
        end = QPushButton("no more hints")
        end.clicked.connect(lambda _=False: self.end_tour())
        row.addWidget(end)
        self.hint.setVisible(False)
        return self.hint

    def tell(self, text: str) -> None:
        """A line for the painter, all of it in a tip if it is long."""
        self.line.setText(text)

    def show_progress(self, share: float, busy: bool) -> None:
        """How much of the picture is done."""
        text = f"working out the picture, {share:.0%}" if busy and share < 1 else ""
        if text != self.progress.text():
            self.progress.setText(text)

    # ---- the tour

    def follow(self, sitting: Sitting) -> None:
        """Another sitting is on the table: the tour is over."""
        self.sitting = sitting
        self.end_tour()

    def start_tour(self) -> None:
        """Begin the three-step tour."""
        self.tour = Tour(self.sitting)
        self._show_hint()

    def end_tour(self) -> None:
        """No more hints."""
        if self.tour:
            self.tour.end()
        self._show_hint()

    def look_tour(self) -> None:
        """Go on to the next hint if what the last one asked for is done."""
        if self.tour and self.tour.look():
            self._show_hint()

    def _show_hint(self) -> None:
        words = self.tour.hint if self.tour else ""
        self.words.setText(words)
        self.hint.setVisible(bool(words))
