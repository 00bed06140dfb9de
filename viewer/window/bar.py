"""The line of orders above the sheet: opening and saving, taking back, looking, asking."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from qtpy.QtCore import Qt, Signal, SignalInstance
from qtpy.QtWidgets import QHBoxLayout, QMenu, QSlider, QToolButton, QWidget

from ..core.saying import say
from ..core.sitting import Sitting
from ..core.views import VISIONS, WAYS
from .controls import Choice, faint, hair

LIGHTS = None, "D65", "D50", "A", "FL11", "LED-B3"
"""Lights of the model; None for the scene's own."""

Order = tuple[str, Callable[[], Any]]
"""Words of an order, and what it does."""

Orders = Sequence[Order | tuple[str, Sequence[Order]] | None]
"""Orders of a menu; a name with orders of its own opens a menu, None is a line between."""


class TopBar(QWidget):
    """Buttons and choices in one line. What they do is told by signals and lists of orders."""

    back_asked = Signal()
    again_asked = Signal()
    all_asked = Signal()
    true_size_asked = Signal(float)
    looked = Signal(object)

    def __init__(self, sitting: Sitting) -> None:
        super().__init__()
        self.sitting = sitting
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 4, 12, 4)
        row.setSpacing(4)
        # the menus, filled once the window stands
        self.menus = {name: QMenu(self) for name in ("sheet", "lay", "ask")}
        for name, menu in self.menus.items():
            row.addWidget(self._menu(_menu_word(name), menu))
        row.addWidget(hair())
        # what was done
        self.back = self._button(say("bar.back"), self.back_asked)
        self.again = self._button(say("bar.again"), self.again_asked)
        row.addWidget(self.back)
        row.addWidget(self.again)
        row.addWidget(hair())
        # ways of looking
        row.addWidget(faint(say("bar.look")))
        self._add_looks(row)
        row.addWidget(hair())
        # how much of the sheet is seen
        row.addWidget(self._button(say("bar.fit"), self.all_asked, say("bar.fit_tip")))
        true_size = self._button(say("bar.true_size"), None, say("bar.true_size_tip"))
        true_size.clicked.connect(lambda _=False: self._true_size())
        row.addWidget(true_size)
        row.addStretch()
        self.refresh()

    def _add_looks(self, row: QHBoxLayout) -> None:
        self.way = self._choice([say(f"look.{way}") for way in WAYS], say("bar.ways_tip"))
        for n, way in enumerate(WAYS):
            self.way.setItemData(n, say(f"look_told.{way}"), Qt.ItemDataRole.ToolTipRole)
        lights = [say(f"light.{light or 'scene'}") for light in LIGHTS]
        self.light = self._choice(lights, say("bar.light_tip"))
        visions = [say(f"vision.{vision or 'full'}") for vision in VISIONS]
        self.vision = self._choice(visions, say("bar.vision_tip"))
        for choice in (self.way, self.light, self.vision):
            row.addWidget(choice)
        row.addWidget(faint(say("bar.before")))
        self.split = QSlider(Qt.Orientation.Horizontal)
        self.split.setRange(0, 100)
        self.split.setFixedWidth(70)
        self.split.setAccessibleName(say("bar.split"))
        self.split.setToolTip(say("bar.split_tip"))
        self.split.sliderReleased.connect(self._look)
        row.addWidget(self.split)

    def _button(self, text: str, asks: SignalInstance | None, tip: str = "") -> QToolButton:
        button = QToolButton()
        button.setText(text)
        button.setToolTip(tip)
        if asks is not None:
            button.clicked.connect(lambda _=False: asks.emit())
        return button

    def _menu(self, text: str, menu: QMenu) -> QToolButton:
        button = self._button(text, None)
        button.setMenu(menu)
        button.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        return button

    def _choice(self, words: Sequence[str], tip: str) -> Choice:
        choice = Choice(tip)
        choice.addItems(words)
        choice.activated.connect(lambda _: self._look())
        return choice

    def offer(self, name: str, orders: Orders) -> None:
        """Fill a menu with orders."""
        _fill(self.menus[name], orders)

    def _true_size(self) -> None:
        screen = self.screen()
        self.true_size_asked.emit(screen.physicalDotsPerInchX() if screen else 96.0)

    def _look(self) -> None:
        way = WAYS[self.way.currentIndex()]
        view = replace(
            self.sitting.preview.view,
            way=way,
            light=LIGHTS[self.light.currentIndex()],
            vision=VISIONS[self.vision.currentIndex()],
            split=self.split.value() / 100,
            other="bare sketch" if way == "as it will look" else "as it will look",
        )
        self.looked.emit(view)

    def follow(self, sitting: Sitting) -> None:
        """Show another sitting."""
        self.sitting = sitting
        self.refresh()

    def refresh(self) -> None:
        """Show what can be taken back, and how the sheet is looked at."""
        history = self.sitting.history
        self.back.setEnabled(history.back_name is not None)
        self.again.setEnabled(history.again_name is not None)
        nothing = say("bar.nothing")
        self.back.setToolTip(say("bar.back_tip", name=history.back_name or nothing))
        self.again.setToolTip(say("bar.again_tip", name=history.again_name or nothing))
        view = self.sitting.preview.view
        self.way.setCurrentIndex(WAYS.index(view.way))
        self.light.setCurrentIndex(LIGHTS.index(view.light) if view.light in LIGHTS else 0)
        self.vision.setCurrentIndex(VISIONS.index(view.vision))
        self.split.setValue(round(100 * view.split))


def _menu_word(name: str) -> str:
    return say("common.ask" if name == "ask" else f"bar.{name}")


def _fill(menu: QMenu, orders: Orders) -> None:
    for order in orders:
        if order is None:
            menu.addSeparator()
        elif callable(order[1]):
            menu.addAction(order[0], order[1])
        else:
            _fill(menu.addMenu(order[0]), order[1])
