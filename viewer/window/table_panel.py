"""TABLE: what is in the hand: wells and a recipe line, the ladder, the bleach dish, the brush.

A view only. While a step is in hand the table shows and changes that step; otherwise it shows
what the next step will be laid with.
"""

from __future__ import annotations

from qtpy.QtWidgets import QHBoxLayout, QWidget

from viewer.core.sitting import Sitting
from viewer.window.controls import Once, hair
from viewer.window.holding import Holding
from viewer.window.look import Wall
from viewer.window.table_brush import BrushPart
from viewer.window.table_dish import DishPart
from viewer.window.table_mix import MixPart

HEIGHT_PX = 208
PART_PX = 302
"""Width of the dish and of the brush; the mix takes what is left."""


class TablePanel(QWidget):
    """The place TABLE."""

    def __init__(self, sitting: Sitting, wall: Wall) -> None:
        super().__init__()
        self.holding = Holding(sitting)
        self.soon = Once(self.refresh, self)
        self.holding.shown_again.connect(self.soon)
        self.mix = MixPart(self.holding)
        self.dish = DishPart(self.holding)
        self.brush = BrushPart(self.holding, wall)
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 8, 12, 8)
        row.setSpacing(14)
        row.addWidget(self.mix, 1)
        for part in (self.dish, self.brush):
            part.setFixedWidth(PART_PX)
            row.addWidget(hair())
            row.addWidget(part)
        self.setFixedHeight(HEIGHT_PX)
        self.follow(sitting)

    def follow(self, sitting: Sitting) -> None:
        """Show another sitting."""
        self.holding.sitting = sitting
        for signal in (sitting.hand_changed, sitting.chosen_changed, sitting.draft_changed):
            signal.connect(self.soon)
        self.refresh()

    def refresh(self) -> None:
        """Show what is in the hand now."""
        for part in (self.mix, self.dish, self.brush):
            part.show_hand(self.holding.sitting.hand)
