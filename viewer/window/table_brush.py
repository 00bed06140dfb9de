"""The brush of the table, and the ways to lay."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from qtpy.QtCore import Qt, Signal
from qtpy.QtWidgets import (
    QButtonGroup,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from ..core import drafting
from ..core.hand import Hand
from ..core.saying import say
from .controls import DragNumber, place_label
from .holding import Holding
from .icons import icon
from .look import Wall

WAYS = "soft", "damp", "enclosed", "band", "cut", "graded", "read"
"""Ways to lay; their keys are 1, 2, 3 ..."""


class BrushPart(QWidget):
    """How what is in the hand is laid."""

    way_taken = Signal(str)
    reserve_taken = Signal(bool)
    whole_sheet = Signal()

    def __init__(self, holding: Holding, wall: Wall) -> None:
        super().__init__()
        self.holding, self.wall = holding, wall
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(5)
        box.addWidget(place_label(say("brush.place")))
        sizes = QHBoxLayout()
        sizes.setSpacing(4)
        self.brush_size = DragNumber(0.1, 100, 0.5, 1, "mm", say("brush.size"))
        self.brush_size.changed.connect(lambda n: self._brush(size_mm=n))
        self.hardness = DragNumber(0, 100, 5, 0, "%", say("brush.hardness"))
        self.hardness.changed.connect(lambda n: self._brush(hardness=n / 100))
        self.takes = DragNumber(5, 100, 5, 0, "%", say("brush.takes"))
        self.takes.changed.connect(lambda n: self._brush(takes=n / 100))
        self.takes_word = QLabel(say("brush.taken"))
        self.gap = self.holding.number(self._gap, 0, 20, 0.5, 1, "mm", say("brush.gap"))
        wide, firm = QLabel(say("brush.wide")), QLabel(say("brush.firm"))
        self.of_brush = self.brush_size, wide, self.hardness, firm
        self.of_areas = self.gap, QLabel(say("brush.gaps_closed"))
        for widget in (*self.of_brush, *self.of_areas):
            sizes.addWidget(widget)
        sizes.addStretch()
        sizes.addWidget(self.takes)
        sizes.addWidget(self.takes_word)
        box.addLayout(sizes)
        # the ways to lay, four in a row
        self.ways = QButtonGroup(self)
        self.way_buttons: dict[str, QToolButton] = {}
        grid = QGridLayout()
        grid.setSpacing(2)
        for n, way in enumerate(WAYS):
            button = self.way_buttons[way] = self._icon_button(way, str(n + 1))
            button.setCheckable(True)
            button.clicked.connect(lambda _=False, w=way: self.take_way(w))
            self.ways.addButton(button)
            grid.addWidget(button, n // 4, n % 4)
        whole = self._icon_button("whole", "8")
        whole.clicked.connect(lambda _=False: self.whole_sheet.emit())
        grid.addWidget(whole, 1, 3)
        box.addLayout(grid)
        self.reserve = self._icon_button("reserve", "R")
        self.reserve.setCheckable(True)
        self.reserve.toggled.connect(self.reserve_taken.emit)
        grid.addWidget(self.reserve, 2, 0)
        box.addStretch()
        self.way_buttons["soft"].setChecked(True)

    def show_hand(self, hand: Hand) -> None:
        """Show what is in the hand now."""
        self.gap.show_value(self.holding.sitting.scene.areas.gap_mm)
        fills = self.way_buttons["enclosed"].isChecked()
        for widgets, there in ((self.of_brush, not fills), (self.of_areas, fills)):
            for widget in widgets:
                widget.setVisible(there)
        brush = hand.brush
        self.brush_size.show_value(brush.size_mm)
        self.hardness.show_value(100 * brush.hardness)
        self.takes.show_value(100 * brush.takes)
        for widget in (self.takes, self.takes_word):
            widget.setVisible(brush.damp)

    def _icon_button(self, name: str, key: str) -> QToolButton:
        button = QToolButton()
        button.setIcon(icon(name, self.wall.ink))
        button.setProperty("icon_name", name)
        button.setText(say("common.reserve" if name == "reserve" else f"brush.{name}"))
        button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextUnderIcon)
        button.setToolTip(say("brush.with_key", told=say(f"brush.{name}_told"), key=key))
        button.setProperty("way", True)
        button.setSizePolicy(QSizePolicy.Policy.MinimumExpanding, QSizePolicy.Policy.Fixed)
        return button

    def change_wall(self, wall: Wall) -> None:
        """Other greys: icons are drawn again."""
        self.wall = wall
        for button in self.findChildren(QToolButton):
            if name := button.property("icon_name"):
                button.setIcon(icon(name, wall.ink))

    def take_way(self, way: str) -> None:
        """Take another way to lay."""
        self.way_buttons[way].setChecked(True)
        self._brush(damp=way == "damp")
        self.way_taken.emit(way)
        self.show_hand(self.holding.sitting.hand)

    def resize_brush(self, factor: float) -> None:
        """Take a wider or narrower brush."""
        size = self.holding.sitting.hand.brush.size_mm * factor
        self._brush(size_mm=round(min(max(size, 0.1), 100.0), 1))

    def _gap(self, gap_mm: float) -> None:
        """Take wider or narrower gaps as closed: a deed, which changes areas laid already."""
        sitting = self.holding.sitting
        draft = drafting.with_gaps(sitting.draft, gap_mm=gap_mm)
        self.holding.soon(lambda: sitting.do(say("deed.gaps"), draft, merge="gaps"))

    def _brush(self, **values: Any) -> None:
        hand = self.holding.sitting.hand
        self.holding.sitting.hold(replace(hand, brush=replace(hand.brush, **values)))
