"""Below the sheet: the hint of the tour, the table, and the line of messages."""

from __future__ import annotations

from qtpy.QtCore import Signal
from qtpy.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from ..core.saying import say
from ..core.sitting import Sitting
from ..core.tour import TEN, TEN_END, Tour
from .controls import OneLine, Snug, faint, push

HINT_PX = 36
"""Room for two lines of a hint."""


class Foot(Snug):
    """The table with a hint above it and messages below.

    line : what was done last, or what is wrong
    standing : what the colours rest on
    progress : how far the picture is
    tour : whose hints are shown; None if there was none
    own_asked : a sketch of one's own is to be opened; ten_asked : ten things are to be tried
    """

    own_asked = Signal()
    ten_asked = Signal()

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
        row.addWidget(self.line, 1)
        row.addWidget(self.progress)
        row.addWidget(self.standing)
        box.addLayout(row)

    def _hint(self) -> QWidget:
        self.hint, self.words = QWidget(), QLabel()
        self.words.setWordWrap(True)
        self.words.setMinimumWidth(200)
        self.words.setFixedHeight(HINT_PX)
        row = QHBoxLayout(self.hint)
        row.setContentsMargins(12, 6, 12, 2)
        row.addWidget(self.words, 1)
        self.turns = [
            push(say("foot.one_back"), lambda: self._turn(-1)),
            push(say("foot.another"), lambda: self._turn(1)),
        ]
        self.ends = [
            push(say("foot.own"), self.own_asked.emit),
            push(say("menu.ten"), self.ten_asked.emit),
        ]
        for button in (*self.turns, *self.ends, push(say("foot.end"), self.end_tour)):
            row.addWidget(button)
        self.hint.setVisible(False)
        return self.hint

    def tell(self, text: str) -> None:
        """A line for the painter, all of it in a tip if it is long."""
        self.line.setText(text)

    def stand_on(self, text: str, more: str) -> None:
        """What the colours rest on, and more of it in a tip."""
        self.standing.setText(text)
        self.standing.setToolTip(f"{text}\n{more}")

    def show_progress(self, share: float, busy: bool) -> None:
        """How much of the picture is done."""
        text = say("foot.progress", share=f"{share:.0%}") if busy and share < 1 else ""
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

    def start_ten(self) -> None:
        """Suggest ten things to try."""
        self.tour = Tour(self.sitting, TEN, TEN_END)
        self._show_hint()

    def _turn(self, by: int) -> None:
        if self.tour:
            self.tour.turn(by)
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
        over = self.tour is not None and self.tour.is_over
        ten = self.tour is not None and self.tour.hints is TEN
        for button in self.turns:
            button.setVisible(ten and not over)
        self.ends[0].setVisible(over)
        self.ends[1].setVisible(over and not ten)
        self.hint.setVisible(bool(words))
