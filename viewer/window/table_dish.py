"""The bleach dish of the table, its caution always beside it."""

from __future__ import annotations

from dataclasses import replace

from qtpy.QtCore import Signal
from qtpy.QtWidgets import (
    QCheckBox,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from glaze.materials.bleach import CAUTION_LINE, HOUSEHOLD_PERCENT, TOOL_NAMES
from glaze.scene.records import BleachBottle
from viewer.core import drafting
from viewer.core.hand import Hand
from viewer.window.controls import Choice, DragNumber, place_label
from viewer.window.holding import Holding


class DishPart(QWidget):
    """Bleach: strength, touches, tool, minutes."""

    caution_asked = Signal()

    def __init__(self, holding: Holding) -> None:
        super().__init__()
        self.holding = holding
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(5)
        # the bottle and its dilution, touches, tool and minutes
        head = QHBoxLayout()
        head.addWidget(place_label("bleach dish"))
        head.addStretch()
        box.addLayout(head)
        grid = QGridLayout()
        grid.setHorizontalSpacing(6)
        grid.setVerticalSpacing(4)
        self.percent = DragNumber(
            0.5, HOUSEHOLD_PERCENT, 0.5, 1, "%", "Strength of the bottle, from its label."
        )
        self.percent.let_go.connect(self.holding.let_go)
        self.percent.changed.connect(self._percent)
        self.bleach_parts = DragNumber(0, 100, 1, 1, "", "Water to one part of bleach.")
        self.bleach_parts.let_go.connect(self.holding.let_go)
        self.bleach_parts.changed.connect(lambda n: self.holding.set("strength", parts_water=n))
        self.touches = DragNumber(1, 20, 1, 0, "", "Each touch is fresh bleach on a blotted place.")
        self.touches.let_go.connect(self.holding.let_go)
        self.touches.changed.connect(lambda n: self.holding.set("touches", touches=int(n)))
        self.minutes = DragNumber(0.5, 240, 0.5, 1, "min", "From laying it to blotting it.")
        self.minutes.let_go.connect(self.holding.let_go)
        self.minutes.changed.connect(lambda n: self.holding.set("minutes", minutes=n))
        self.tool = Choice()
        self.tool.addItems(list(TOOL_NAMES))
        self.tool.setToolTip("What lays the bleach. Never a hair brush: hair dissolves.")
        self.tool.activated.connect(lambda n: self.holding.set("tool", tool=TOOL_NAMES[n]))
        self.rinse = QCheckBox("rinse after it")
        self.rinse.setToolTip("Clean water and the blotter: what is active in the paper leaves.")
        self.rinse.clicked.connect(lambda on: self.holding.set("rinse", rinse=bool(on)))
        # three rows, read as sentences
        grid.addWidget(QLabel("bottle of"), 0, 0)
        grid.addWidget(self.percent, 0, 1)
        grid.addWidget(QLabel("1 part +"), 0, 2)
        grid.addWidget(self.bleach_parts, 0, 3)
        grid.addWidget(QLabel("parts water"), 0, 4)
        grid.addWidget(QLabel("touches"), 1, 0)
        grid.addWidget(self.touches, 1, 1)
        grid.addWidget(QLabel("with a"), 1, 2)
        grid.addWidget(self.tool, 1, 3, 1, 2)
        grid.addWidget(QLabel("blot after"), 2, 0)
        grid.addWidget(self.minutes, 2, 1)
        grid.addWidget(self.rinse, 2, 2, 1, 3)
        grid.setColumnStretch(5, 1)
        box.addLayout(grid)
        # the caution, always in sight
        self.caution = QLabel(CAUTION_LINE)
        self.caution.setWordWrap(True)
        self.caution.setProperty("caution", True)
        box.addWidget(self.caution, 1)
        whole = QToolButton()
        whole.setText("the whole caution")
        whole.clicked.connect(self.caution_asked.emit)
        head.addWidget(whole)

    def show_hand(self, hand: Hand) -> None:
        """Show what is in the hand now."""
        self.percent.show_value(self.holding.sitting.scene.bleach.percent)
        self.bleach_parts.show_value(hand.parts_water)
        self.touches.show_value(hand.touches)
        water = hand.kind == "water lift"
        self.minutes.show_value(hand.water_minutes if water else hand.minutes)
        self.tool.setCurrentIndex(TOOL_NAMES.index(hand.tool))
        self.rinse.setChecked(hand.rinse)
        for widget in (self.bleach_parts, self.touches, self.tool, self.rinse):
            widget.setEnabled(hand.kind == "lift")

    def _percent(self, percent: float) -> None:
        def change() -> None:
            sitting = self.holding.sitting
            bottle: BleachBottle = drafting.changed(sitting.scene.bleach, percent=percent)
            scene = drafting.changed(sitting.scene, bleach=bottle)
            draft = replace(sitting.draft, scene=scene)
            sitting.do("strength of the bleach", draft, merge="bottle")

        self.holding.soon(change)
