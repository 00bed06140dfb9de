"""TABLE: what is in the hand: wells and a recipe line, the ladder, the bleach dish, the brush.

A view only. While a step is in hand the table shows and changes that step; otherwise it shows
what the next step will be laid with. On a small screen only one of mix and dish is unfolded: the
one that is in the hand.
"""

from __future__ import annotations

from qtpy.QtCore import QSize, Signal
from qtpy.QtGui import QResizeEvent
from qtpy.QtWidgets import (
    QButtonGroup,
    QHBoxLayout,
    QLabel,
    QRadioButton,
    QVBoxLayout,
    QWidget,
)

from ..core.hand import KINDS
from ..core.saying import say, spoken_words
from ..core.sitting import Sitting
from .controls import Once, OneLine, hair, place_label, push
from .holding import Holding
from .look import Wall
from .table_brush import BrushPart
from .table_dish import DishPart
from .table_mix import MixPart

HEIGHT_PX = 240
PART_PX = 312
"""Width of the brush; the mix takes what is left."""
DISH_PX = PART_PX + 16
ROOM_PX = 1120
"""From here on mix and dish stand beside each other."""
LEAST_PX = 764
"""Room for one of them and the brush."""


class TablePanel(QWidget):
    """The place TABLE.

    dried : the step in hand is to dry
    """

    dried = Signal()

    def __init__(self, sitting: Sitting, wall: Wall) -> None:
        super().__init__()
        self.holding = Holding(sitting)
        self.soon = Once(self.refresh, self)
        self.holding.shown_again.connect(self.soon)
        self.mix = MixPart(self.holding)
        self.dish = DishPart(self.holding)
        self.brush = BrushPart(self.holding, wall)
        self.between = hair()
        self.caution = QLabel(spoken_words().caution_line)
        self.caution.setWordWrap(True)
        self.caution.setProperty("caution", True)
        # what is in the hand, with the caution always in sight below
        liquids = QHBoxLayout()
        liquids.setSpacing(14)
        liquids.addWidget(self.mix, 1)
        liquids.addWidget(self.between)
        liquids.addWidget(self.dish)
        left = QVBoxLayout()
        left.setSpacing(5)
        left.addLayout(self._head())
        left.addLayout(liquids, 1)
        left.addWidget(self.caution)
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 6, 12, 6)
        row.setSpacing(14)
        row.addLayout(left, 1)
        row.addWidget(hair())
        row.addWidget(self.brush)
        self.brush.setFixedWidth(PART_PX)
        self.setFixedHeight(HEIGHT_PX)
        self.follow(sitting)

    def _head(self) -> QHBoxLayout:
        """Ink, bleach or water, and which step is in hand."""
        row = QHBoxLayout()
        row.addWidget(place_label(say("table.place")))
        self.kinds = QButtonGroup(self)
        self.radios: dict[str, QRadioButton] = {}
        for kind in KINDS:
            radio = self.radios[kind] = QRadioButton(say(f"kind.{kind}"))
            radio.setToolTip(say(f"table.{kind}_told"))
            radio.clicked.connect(lambda _=False, k=kind: self.holding.take_kind(k))
            self.kinds.addButton(radio)
            row.addWidget(radio)
        self.in_hand = OneLine(faint=True)
        row.addWidget(self.in_hand, 1)
        self.dry = push(say("table.dry"), self.dried.emit, say("table.dry_told"))
        row.addWidget(self.dry)
        return row

    def follow(self, sitting: Sitting) -> None:
        """Show another sitting."""
        self.holding.sitting = sitting
        for signal in (sitting.hand_changed, sitting.chosen_changed, sitting.draft_changed):
            signal.connect(self.soon)
        self.refresh()

    def refresh(self) -> None:
        """Show what is in the hand now."""
        sitting = self.holding.sitting
        hand, number = sitting.hand, sitting.chosen
        self.radios[hand.kind].setChecked(True)
        name = None if number is None else sitting.scene.steps[number].name
        self.in_hand.setText(say("table.wet" if name else "table.next", name=name))
        self.dry.setEnabled(name is not None)
        for part in (self.mix, self.dish, self.brush):
            part.show_hand(hand)
        self._fold()

    def minimumSizeHint(self) -> QSize:
        """As narrow as with one of mix and dish folded, whatever is unfolded now."""
        return QSize(LEAST_PX, HEIGHT_PX)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fold what there is no room for."""
        super().resizeEvent(event)
        self._fold()

    def _fold(self) -> None:
        # some languages need more room for the words of the dish
        dish = max(DISH_PX, self.dish.minimumSizeHint().width())
        both = self.width() >= ROOM_PX + dish - DISH_PX
        wash = self.holding.sitting.hand.kind == "wash"
        self.mix.setVisible(both or wash)
        self.between.setVisible(both)
        self.dish.setVisible(both or not wash)
        if both:
            self.dish.setFixedWidth(dish)
        else:
            self.dish.setMinimumWidth(0)
            self.dish.setMaximumWidth(16_777_215)
