"""The adviser: what the plan knows of the sheet, in the margin and at its place on the picture."""

from __future__ import annotations

from functools import partial

from qtpy.QtCore import Qt, QTimer, Signal
from qtpy.QtWidgets import (
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from glaze.errors import InputError

from ..core.advice import Advice, Cure, advice_on
from ..core.saying import problems, say
from ..core.sitting import Sitting
from ..core.worker import Worker
from .controls import empty, place_label

CURE_PX = 264
"""Room for the words of a cure; a longer one has them whole in a tip."""
REST_MS = 1500
"""The plan is asked when nothing was done for so long."""


class Adviser(QWidget):
    """A list of advice with its cures; hidden while there is none.

    shown_at : says a text at a place of the sheet [mm]
    """

    shown_at = Signal(object, str)

    def __init__(self, sitting: Sitting) -> None:
        super().__init__()
        self.worker = Worker()
        self.advice: list[Advice] = []
        self._asked = 0
        self.rest = QTimer(self)
        self.rest.setSingleShot(True)
        self.rest.setInterval(REST_MS)
        self.rest.timeout.connect(self.ask)
        self.list = QListWidget()
        self.list.setAccessibleName(say("advice.place"))
        self.list.setFixedHeight(62)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.list.setTextElideMode(Qt.TextElideMode.ElideRight)
        self.list.currentRowChanged.connect(self._choose)
        self.cures = QHBoxLayout()
        self.cures.setSpacing(2)
        box = QVBoxLayout(self)
        box.setContentsMargins(10, 2, 10, 2)
        box.setSpacing(2)
        box.addWidget(place_label(say("advice.place")))
        box.addWidget(self.list)
        box.addLayout(self.cures)
        self.follow(sitting)

    def follow(self, sitting: Sitting) -> None:
        """Advise on another sitting."""
        self.sitting = sitting
        sitting.done.connect(self._wait)
        self._show([])
        self._wait()

    def _wait(self, _: object = None) -> None:
        """Something was done: ask again once it rests. No cure knows of it: none is offered on."""
        self._asked += 1
        self.list.setEnabled(False)
        empty(self.cures)
        self.rest.start()

    def ask(self) -> None:
        """Ask the plan, in the background."""
        sitting, number = self.sitting, self._asked
        if sitting.busy or self.worker.busy:
            self.rest.start()
            return
        draft = sitting.draft

        def take(advice: list[Advice]) -> None:
            if number == self._asked:
                self._show(advice)

        def job() -> list[Advice]:
            return advice_on(draft, sitting.settling.worked_out(draft, even=True))

        self.worker.do(job, take, lambda _: self._show([]))

    def _show(self, advice: list[Advice]) -> None:
        self.advice = advice
        self.list.clear()
        self.list.setEnabled(True)
        for one in advice:
            item = QListWidgetItem(one.short)
            item.setToolTip(one.text)
            self.list.addItem(item)
        empty(self.cures)
        self.setVisible(bool(advice))

    def _choose(self, row: int) -> None:
        """Show where it is, what it says, and offer what may cure it."""
        empty(self.cures)
        if not 0 <= row < len(self.advice):
            return
        one = self.advice[row]
        wide, high = self.sitting.size_mm
        self.shown_at.emit(one.at_mm or (wide / 2, high / 2), one.text)
        for cure in one.cures[:2]:
            button = QToolButton()
            button.setAccessibleName(cure.words)
            button.setProperty("framed", True)
            button.setToolTip(say("advice.deed", words=cure.words))
            button.clicked.connect(partial(self._cure, cure))
            self.cures.addWidget(button)
            button.ensurePolished()  # in the letters it will have
            letters, cut = button.fontMetrics(), Qt.TextElideMode.ElideMiddle
            button.setText(letters.elidedText(cure.words, cut, CURE_PX))
        self.cures.addStretch()

    def _cure(self, cure: Cure, _: bool = False) -> None:
        try:
            self.sitting.do(cure.words, cure.draft)
        except InputError as error:
            self.sitting.told.emit(problems(error))
