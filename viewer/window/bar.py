"""The line of orders above the sheet: opening and saving, taking back, looking, asking."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

from qtpy.QtCore import Qt, Signal, SignalInstance
from qtpy.QtWidgets import QHBoxLayout, QMenu, QSlider, QToolButton, QWidget

from ..core.sitting import Sitting
from ..core.views import VISIONS, WAYS
from .controls import Choice, faint, hair

LIGHTS = {
    "the scene's light": None,
    "daylight, D65": "D65",
    "gallery daylight, D50": "D50",
    "evening lamp, A": "A",
    "tube light, FL11": "FL11",
    "LED lamp, B3": "LED-B3",
}

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
            row.addWidget(self._menu(name, menu))
        row.addWidget(hair())
        # what was done
        self.back = self._button("take back", self.back_asked)
        self.again = self._button("do again", self.again_asked)
        row.addWidget(self.back)
        row.addWidget(self.again)
        row.addWidget(hair())
        # ways of looking
        row.addWidget(faint("look"))
        self._add_looks(row)
        row.addWidget(hair())
        # how much of the sheet is seen
        row.addWidget(self._button("see it all", self.all_asked, "The whole sheet.   (F)"))
        true_size = self._button("true size", None, "A mm is a mm, as the screen says.")
        true_size.clicked.connect(lambda _=False: self._true_size())
        row.addWidget(true_size)
        row.addStretch()
        self.refresh()

    def _add_looks(self, row: QHBoxLayout) -> None:
        self.way = self._choice(list(WAYS), "Ways of looking; nothing is changed by them.")
        for n, text in enumerate(WAYS.values()):
            self.way.setItemData(n, text, Qt.ItemDataRole.ToolTipRole)
        self.light = self._choice(list(LIGHTS), "Under which light the finished sheet is seen.")
        self.vision = self._choice(list(VISIONS), "With which colour vision it is seen.")
        for choice in (self.way, self.light, self.vision):
            row.addWidget(choice)
        row.addWidget(faint("before"))
        self.split = QSlider(Qt.Orientation.Horizontal)
        self.split.setRange(0, 100)
        self.split.setFixedWidth(70)
        self.split.setAccessibleName("how far the sheet before stands beside the sheet now")
        self.split.setToolTip(
            "A line across the sheet: left of it the bare sketch, right of it the painted sheet;\n"
            "or, when you look in another way, left of it the sheet as it will look.\n"
            "Hold B for the bare sketch."
        )
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

    def _choice(self, words: list[str], tip: str) -> Choice:
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
        way = self.way.currentText()
        view = replace(
            self.sitting.preview.view,
            way=way,
            light=LIGHTS[self.light.currentText()],
            vision=VISIONS[self.vision.currentText()],
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
        self.back.setToolTip(f"take back: {history.back_name or 'nothing'}   (Ctrl Z)")
        self.again.setToolTip(f"do again: {history.again_name or 'nothing'}   (Ctrl Shift Z)")
        view = self.sitting.preview.view
        self.way.setCurrentText(view.way)
        names = {light: word for word, light in LIGHTS.items()}
        self.light.setCurrentText(names.get(view.light, "the scene's light"))
        seen = {vision: word for word, vision in VISIONS.items()}
        self.vision.setCurrentText(seen[view.vision])
        self.split.setValue(round(100 * view.split))


def _fill(menu: QMenu, orders: Orders) -> None:
    for order in orders:
        if order is None:
            menu.addSeparator()
        elif callable(order[1]):
            menu.addAction(order[0], order[1])
        else:
            _fill(menu.addMenu(order[0]), order[1])
