"""Changing what is in the hand, and the step in hand with it; dragged numbers are one deed."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from qtpy.QtCore import QObject, QTimer, Signal

from glaze.errors import InputError

from ..core import drafting
from ..core.hand import Hand
from ..core.saying import problems, say
from ..core.sitting import Sitting
from .controls import DragNumber


class Holding(QObject):
    """What the parts of the table change.

    shown_again : asks the table to show what is in the hand anew
    bleach_taken : bleach has been taken in the hand
    """

    shown_again = Signal()
    bleach_taken = Signal()

    def __init__(self, sitting: Sitting) -> None:
        super().__init__()
        self.sitting = sitting
        self._waiting: Callable[[], None] | None = None
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(25)
        self._timer.timeout.connect(self._now)

    def number(
        self,
        change: Callable[[float], Any],
        low: float,
        high: float,
        step: float = 1,
        decimals: int = 0,
        unit: str = "",
        tip: str = "",
    ) -> DragNumber:
        """A number that changes what is in the hand; a drag of it is one deed."""
        number = DragNumber(low, high, step, decimals, unit, tip)
        number.changed.connect(change)
        number.let_go.connect(self.let_go)
        return number

    def fresh(self, mix: str) -> None:
        """Take another mix: what was laid stays as it is, the next wash is laid with this."""
        self.let_go()
        self.sitting.choose(None)
        self.take(replace(self.sitting.hand, kind="wash", mix=mix), "mix")

    def take_kind(self, kind: str) -> None:
        """Hold ink, bleach or water."""
        sitting = self.sitting
        if sitting.chosen is not None and sitting.scene.steps[sitting.chosen].kind != kind:
            sitting.choose(None)
        sitting.hold(replace(sitting.hand, kind=kind))
        if kind == "lift":
            self.bleach_taken.emit()

    def set(self, what: str, **values: Any) -> None:
        """Change what is in the hand, and the step that is."""
        hand = self.sitting.hand
        if hand.kind == "water lift" and "minutes" in values:
            values = {"water_minutes": values["minutes"]}
        self.hold(replace(hand, **values), what)

    def take(self, hand: Hand, what: str) -> None:
        """Hold something else, and lay the step in hand with it."""
        self.hold(hand, what)
        self.let_go()

    def hold(self, hand: Hand, what: str) -> None:
        """Hold something else soon; while a number is dragged only the last one counts."""

        def change() -> None:
            sitting, number = self.sitting, self.sitting.chosen
            step = None if number is None else sitting.scene.steps[number]
            if number is not None and step is not None and (values := hand.relaid(step)):
                if name := sitting.renamed(step, hand):
                    values["name"] = name
                draft = drafting.with_changed_step(sitting.draft, number, **values)
                words = say(f"deed.{what}", name=step.name)
                sitting.do(words, draft, merge=words)
            sitting.hold(hand)

        self.soon(change)

    def soon(self, change: Callable[[], None]) -> None:
        self._waiting = change
        if not self._timer.isActive():
            self._timer.start()

    def _now(self) -> None:
        change, self._waiting = self._waiting, None
        if change is not None:
            self.attempt(change)

    def let_go(self) -> None:
        """A dragged number was let go: what it did is one deed, and ends here."""
        self._timer.stop()
        self._now()
        self.sitting.history.settle()
        self.shown_again.emit()

    def attempt(self, change: Callable[[], None]) -> None:
        try:
            change()
        except InputError as error:
            self.sitting.told.emit(problems(error))
            self.shown_again.emit()

    def mix(self, text: str, what: str = "mix") -> None:
        self.sitting.table.mix(text)  # refuses what can't be mixed
        self.hold(replace(self.sitting.hand, kind="wash", mix=text), what)
