"""The bleach dish of the table."""

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

from glaze.materials.bleach import HOUSEHOLD_PERCENT, TOOL_NAMES
from glaze.scene.records import BleachBottle

from ..core import drafting
from ..core.hand import Hand
from ..core.saying import say
from .controls import Choice, place_label
from .holding import Holding


class DishPart(QWidget):
    """Bleach: strength, touches, tool, minutes. The caution stands below it, always."""

    caution_asked = Signal()

    def __init__(self, holding: Holding) -> None:
        super().__init__()
        self.holding = holding
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(5)
        head = QHBoxLayout()
        head.addWidget(place_label(say("dish.place")))
        head.addStretch()
        whole = QToolButton()
        whole.setText(say("common.whole_caution"))
        whole.setProperty("framed", True)
        whole.clicked.connect(lambda _=False: self.caution_asked.emit())
        head.addWidget(whole)
        box.addLayout(head)
        box.addLayout(self._sentences())
        box.addStretch()

    def _sentences(self) -> QGridLayout:
        """The bottle and its dilution, touches, tool and minutes: three rows to read."""
        holding = self.holding
        self.percent = holding.number(
            self._percent, 0.5, HOUSEHOLD_PERCENT, 0.5, 1, "%", say("dish.percent")
        )
        self.bleach_parts = holding.number(
            lambda n: holding.set("strength", parts_water=n),
            *(0, 100, 1, 1, "", say("dish.parts")),
        )
        self.touches = holding.number(
            lambda n: holding.set("touches", touches=int(n)),
            *(1, 20, 1, 0, "", say("dish.touches_told")),
        )
        self.minutes = holding.number(
            lambda n: holding.set("minutes", minutes=n),
            *(0.5, 240, 0.5, 1, "min", say("dish.minutes")),
        )
        self.tool = Choice(say("dish.tool"))
        self.tool.addItems([say(f"dish.{tool}") for tool in TOOL_NAMES])
        self.tool.activated.connect(lambda n: holding.set("tool", tool=TOOL_NAMES[n]))
        self.rinse = QCheckBox(say("dish.rinse"))
        self.rinse.setToolTip(say("dish.rinse_told"))
        self.rinse.clicked.connect(lambda on: holding.set("rinse", rinse=bool(on)))
        for number in (self.percent, self.touches, self.minutes):
            number.setFixedWidth(72)
        grid = QGridLayout()
        grid.setHorizontalSpacing(6)
        grid.setVerticalSpacing(4)
        rows: tuple[tuple[str | QWidget, ...], ...] = (
            ("dish.bottle", self.percent, "mix.part", self.bleach_parts, "mix.parts_water"),
            ("dish.touches", self.touches, "dish.with", self.tool),
            ("dish.blot", self.minutes, self.rinse),
        )
        for n, things in enumerate(rows):
            for m, thing in enumerate(things):
                widget = QLabel(say(thing)) if isinstance(thing, str) else thing
                grid.addWidget(widget, n, m, 1, 1 if m < len(things) - 1 else 5 - m)
        grid.setColumnStretch(5, 1)
        return grid

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
            sitting.do(say("deed.bottle"), draft, merge="bottle")

        self.holding.soon(change)
