"""ORDER: the steps in painting order, running down like a recipe card, and what lies here.

A view only: it shows the sitting's cards and calls its deeds.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from qtpy.QtCore import QPoint
from qtpy.QtWidgets import (
    QHBoxLayout,
    QMenu,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from glaze.errors import InputError
from glaze.scene.called import free_name
from glaze.step.timing import spoken

from ..core import drafting
from ..core.cards import cards_of
from ..core.ordering import order_words
from ..core.saying import problems, say, translated
from ..core.sitting import Sitting
from .adviser import Adviser
from .controls import Once, faint, hair, place_label, push
from .here import Here
from .look import Wall
from .order_list import CardList


class OrderPanel(QWidget):
    """The place ORDER."""

    def __init__(self, sitting: Sitting, wall: Wall) -> None:
        super().__init__()
        self.sitting = sitting
        self.soon = Once(self.refresh, self, wait_ms=90)
        self.cards = CardList(wall)
        self.here = Here(sitting)
        self.adviser = Adviser(sitting)
        self.line = faint()
        self.line.setWordWrap(True)
        self.line.setContentsMargins(10, 2, 10, 2)
        self.line.setVisible(False)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 8, 0, 0)
        box.setSpacing(4)
        head = QHBoxLayout()
        head.setContentsMargins(10, 0, 10, 0)
        head.addWidget(place_label(say("order.place")))
        head.addStretch()
        self.sum = faint()
        head.addWidget(self.sum)
        box.addLayout(head)
        box.addWidget(self.cards, 1)
        box.addWidget(self.line)
        box.addLayout(self._buttons())
        box.addWidget(self.adviser)
        box.addWidget(hair(False))
        box.addWidget(self.here)
        self.setMinimumWidth(314)
        self.setMaximumWidth(336)
        self._connect()
        self.follow(sitting)

    def _buttons(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setContentsMargins(10, 0, 10, 4)
        self.buttons: list[QPushButton] = []
        row.setSpacing(2)
        for key, action in (
            ("earlier", lambda n: self._move(n, n - 1)),
            ("later", lambda n: self._move(n, n + 1)),
            ("twice", self._double),
            ("aside", self._mark),
            ("out", self._take_out),
        ):
            tip = say(f"order.{key}_told")
            button = push(say(f"order.{key}"), partial(self._chosen, action), tip)
            row.addWidget(button)
            self.buttons.append(button)
        row.addStretch()
        return row

    def _connect(self) -> None:
        self.cards.currentRowChanged.connect(self._choose)
        self.cards.itemClicked.connect(lambda item: self._choose(self.cards.row(item)))
        self.cards.moved.connect(self._move)
        self.cards.marked.connect(self._mark)
        self.cards.renamed.connect(self._rename)
        self.cards.taken_out.connect(self._take_out)
        self.cards.asked_for_menu.connect(self._menu)

    def follow(self, sitting: Sitting) -> None:
        """Show another sitting."""
        self.sitting = sitting
        self.here.follow(sitting)
        self.adviser.follow(sitting)
        for signal in (sitting.draft_changed, sitting.chosen_changed, sitting.painted):
            signal.connect(self.soon)
        sitting.done.connect(lambda _: self._note(""))
        self.refresh()

    def refresh(self) -> None:
        """Show the order as it is now."""
        cards = cards_of(self.sitting)
        self.cards.show_cards(cards, self.sitting.chosen)
        for button in self.buttons:
            button.setEnabled(self.sitting.chosen is not None)
        time = translated(spoken(sum(card.minutes for card in cards if card.laid)))
        self.sum.setText(say("order.sum" if cards else "order.none", n=len(cards), time=time))

    def change_wall(self, wall: Wall) -> None:
        """Other greys."""
        self.cards.card_painter.wall = wall
        self.cards.viewport().update()

    def _chosen(self, do: Callable[[int], None]) -> None:
        if self.sitting.chosen is not None:
            do(self.sitting.chosen)

    def _choose(self, row: int) -> None:
        if row >= 0:
            self.sitting.choose(row)

    def _do(self, name: str, make: Callable[[], drafting.Draft], chosen: int | None) -> None:
        try:
            self.sitting.do(name, make(), chosen=chosen)
        except InputError as error:
            self.sitting.told.emit(problems(error))
            self.refresh()

    def _move(self, start: int, to: int) -> None:
        sitting = self.sitting
        if not 0 <= to < len(sitting.scene.steps):
            return
        words = order_words(sitting, start, to)
        turn = "deed.earlier" if to < start else "deed.later"
        name = say(turn, name=sitting.scene.steps[start].name)
        self._do(name, lambda: drafting.with_step_moved(sitting.draft, start, to), to)
        self._note(words)

    def _note(self, words: str) -> None:
        """What a new order changes; it holds until the next deed."""
        self.line.setText(words)
        self.line.setVisible(bool(words))

    def _mark(self, row: int) -> None:
        sitting = self.sitting
        laid = row in sitting.draft.aside
        step = sitting.scene.steps[row].name
        name = say("deed.again" if laid else "deed.aside", name=step)
        self._do(name, lambda: drafting.with_step_laid(sitting.draft, row, laid), sitting.chosen)

    def _rename(self, row: int, text: str) -> None:
        sitting, text = self.sitting, text.strip()
        before = sitting.scene.steps[row].name
        if text:
            make = lambda: drafting.with_changed_step(sitting.draft, row, name=text)  # noqa: E731
            self._do(say("deed.call", name=before, other=text), make, sitting.chosen)
        self.refresh()

    def _double(self, row: int) -> None:
        sitting, step = self.sitting, self.sitting.scene.steps[row]
        name = free_name(step.name, {s.name for s in sitting.scene.steps})

        def make() -> drafting.Draft:
            return drafting.with_step(sitting.draft, drafting.changed(step, name=name), row + 1)

        self._do(say("deed.once_more", name=step.name), make, row + 1)

    def _take_out(self, row: int) -> None:
        sitting = self.sitting
        name = say("deed.out", name=sitting.scene.steps[row].name)
        self._do(name, lambda: drafting.without_step(sitting.draft, row), None)

    def _menu(self, row: int, at: QPoint) -> None:
        menu = QMenu(self)
        aside = row in self.sitting.draft.aside
        menu.addAction(say("order.rename"), lambda: self.cards.editItem(self.cards.item(row)))
        menu.addAction(say("order.once_more"), lambda: self._double(row))
        menu.addAction(say("order.again" if aside else "order.aside"), lambda: self._mark(row))
        menu.addSeparator()
        menu.addAction(say("order.lay_earlier"), lambda: self._move(row, row - 1))
        menu.addAction(say("order.lay_later"), lambda: self._move(row, row + 1))
        menu.addSeparator()
        menu.addAction(say("order.out"), lambda: self._take_out(row))
        menu.exec(at)
        menu.deleteLater()
