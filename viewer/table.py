"""TABLE: what is in the hand: wells and a recipe line, the ladder, the bleach dish, the brush.

A view only. While a step is in hand the table shows and changes that step; otherwise it shows
what the next step will be laid with.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

from qtpy.QtCore import Qt, QTimer, Signal
from qtpy.QtWidgets import (
    QButtonGroup,
    QCheckBox,
    QGridLayout,
    QHBoxLayout,
    QInputDialog,
    QLabel,
    QLineEdit,
    QMenu,
    QPushButton,
    QRadioButton,
    QScrollArea,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from glaze.errors import InputError
from glaze.materials.bleach import CAUTION_LINE, HOUSEHOLD_PERCENT, TOOL_NAMES
from glaze.materials.mix import parts_text
from glaze.materials.recipe import WATER
from glaze.scene import BleachBottle, Lift, Wash, WaterLift
from viewer import plan as plans
from viewer.cards import ladder_of, mix_swatch
from viewer.controls import (
    Choice,
    DragNumber,
    Once,
    Swatch,
    empty,
    faint,
    hair,
    place_label,
)
from viewer.hand import Hand, amount_text, amounts_of, diluted_text, parts_of
from viewer.icons import icon
from viewer.look import Wall
from viewer.sitting import Sitting
from viewer.wells import LadderStrip, WellButton

KINDS = {"wash": Wash, "lift": Lift, "water lift": WaterLift}
EDGES = {"drying line": "drying line", "soft": "soft edge", "none": "even edge"}

WAYS = {
    "soft": ("soft brush", "Paint with a soft brush."),
    "damp": ("damp brush", "Take back what is laid, as a damp brush does while it is wet."),
    "enclosed": ("enclosed area", "Click inside the lines of the sketch: that area is laid."),
    "band": ("straight band", "Drag a straight band as wide as the brush, along a ruler."),
    "cut": ("cut edge", "Click corner by corner; double-click to close. Straight, hard edges."),
    "graded": ("graded", "Drag from where the wash is full to where it has run out."),
    "read": ("read colour", "Lay nothing; only read what lies here."),
}
"""Ways to lay, each with its word and what it does."""


class TablePanel(QWidget):
    """The place TABLE."""

    way_taken = Signal(str)
    reserve_taken = Signal(bool)
    whole_sheet = Signal()
    dried = Signal()
    caution_asked = Signal()
    bleach_taken = Signal()

    def __init__(self, sitting: Sitting, wall: Wall) -> None:
        super().__init__()
        self.sitting, self.wall = sitting, wall
        self._waiting: Callable[[], None] | None = None
        self.soon = Once(self.refresh, self)
        self._numbers: dict[str, DragNumber] = {}
        self._token_names: tuple[str, ...] = ()
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(25)
        self._timer.timeout.connect(self._now)
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 8, 12, 8)
        row.setSpacing(14)
        row.addWidget(self._mix_part(), 1)
        for part in (self._dish_part(), self._brush_part()):
            part.setFixedWidth(302)
            row.addWidget(hair())
            row.addWidget(part)
        self.setFixedHeight(208)
        self.follow(sitting)

    def follow(self, sitting: Sitting) -> None:
        """Show another sitting."""
        self.sitting = sitting
        for signal in (sitting.hand_changed, sitting.chosen_changed, sitting.plan_changed):
            signal.connect(self.soon)
        self.refresh()

    # ---- the wells and the mix

    def _mix_part(self) -> QWidget:
        part = QWidget()
        box = QVBoxLayout(part)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(5)
        head = QHBoxLayout()
        head.addWidget(place_label("table"))
        self.kinds = QButtonGroup(self)
        self.radios: dict[str, QRadioButton] = {}
        for kind, text, tip in (
            ("wash", "wash", "Hold ink: the next stroke lays a wash."),
            ("lift", "bleach lift", "Hold bleach: the next stroke takes colour off."),
            ("water lift", "water lift", "Hold clean water: wet, wait, blot; loose ink leaves."),
        ):
            radio = QRadioButton(text)
            radio.setToolTip(tip)
            radio.clicked.connect(lambda _=False, k=kind: self.take_kind(k))
            self.kinds.addButton(radio)
            self.radios[kind] = radio
            head.addWidget(radio)
        head.addStretch()
        self.in_hand = faint()
        head.addWidget(self.in_hand)
        box.addLayout(head)
        self.wells = QWidget()
        self.wells_row = QHBoxLayout(self.wells)
        self.wells_row.setContentsMargins(0, 0, 0, 0)
        self.wells_row.setSpacing(2)
        area = QScrollArea()
        area.setWidget(self.wells)
        area.setWidgetResizable(True)
        area.setFrameShape(QScrollArea.Shape.NoFrame)
        area.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setFixedHeight(60)
        box.addWidget(area)
        box.addLayout(self._recipe_line())
        box.addLayout(self._ladder_line())
        box.addStretch()
        return part

    def _recipe_line(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(6)
        self.mix_swatch = Swatch(28, 26)
        row.addWidget(self.mix_swatch)
        self.tokens = QWidget()
        self.tokens_row = QHBoxLayout(self.tokens)
        self.tokens_row.setContentsMargins(0, 0, 0, 0)
        self.tokens_row.setSpacing(4)
        row.addWidget(self.tokens)
        self.written = QLineEdit()
        self.written.setPlaceholderText("Blue 3 + Yellow 2 + water 4")
        self.written.setVisible(False)
        self.written.returnPressed.connect(self._write)
        self.written.setMinimumWidth(260)
        row.addWidget(self.written)
        self.pencil = QToolButton()
        self.pencil.setText("write")
        self.pencil.setCheckable(True)
        self.pencil.setToolTip("Write the recipe line yourself, as Blue 3 + Yellow 2 + water 4.")
        self.pencil.toggled.connect(self._pencil)
        row.addWidget(self.pencil)
        keep = QToolButton()
        keep.setText("keep in a well")
        keep.setToolTip("Stir this mix once and keep it ready in a well of its own.")
        keep.clicked.connect(self._keep)
        row.addWidget(keep)
        row.addStretch()
        return row

    def _ladder_line(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(8)
        self.ladder = LadderStrip()
        self.ladder.taken.connect(lambda n: self._dilute(n, let_go=True))
        row.addWidget(self.ladder, 1)
        numbers = QGridLayout()
        numbers.setHorizontalSpacing(4)
        numbers.setVerticalSpacing(2)
        self.parts = DragNumber(0, 200, 0.5, 1, "", "Water to one part of the mix.")
        self.parts.changed.connect(self._dilute)
        self.parts.let_go.connect(self._let_go)
        self.coats = DragNumber(1, 20, 1, 0, "", "Equal coats, each dry before the next.")
        self.coats.let_go.connect(self._let_go)
        self.coats.changed.connect(lambda n: self._set("coats", coats=int(n)))
        self.edge = Choice()
        self.edge.addItems(list(EDGES.values()))
        self.edge.setToolTip("How its edge dries: with a dark line, softened, or even.")
        self.edge.activated.connect(lambda n: self._set("edge", edge=list(EDGES)[n]))
        numbers.addWidget(QLabel("1 part +"), 0, 0)
        numbers.addWidget(self.parts, 0, 1)
        self.parts_word = QLabel("parts water")
        numbers.addWidget(self.parts_word, 0, 2, 1, 2)
        numbers.addWidget(QLabel("coats"), 1, 0, Qt.AlignmentFlag.AlignRight)
        numbers.addWidget(self.coats, 1, 1)
        numbers.addWidget(self.edge, 1, 2)
        row.addLayout(numbers)
        return row

    # ---- the bleach dish

    def _dish_part(self) -> QWidget:
        part = QWidget()
        box = QVBoxLayout(part)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(5)
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
        self.percent.let_go.connect(self._let_go)
        self.percent.changed.connect(self._percent)
        self.bleach_parts = DragNumber(0, 100, 1, 1, "", "Water to one part of bleach.")
        self.bleach_parts.let_go.connect(self._let_go)
        self.bleach_parts.changed.connect(lambda n: self._set("strength", parts_water=n))
        self.touches = DragNumber(1, 20, 1, 0, "", "Each touch is fresh bleach on a blotted place.")
        self.touches.let_go.connect(self._let_go)
        self.touches.changed.connect(lambda n: self._set("touches", touches=int(n)))
        self.minutes = DragNumber(0.5, 240, 0.5, 1, "min", "From laying it to blotting it.")
        self.minutes.let_go.connect(self._let_go)
        self.minutes.changed.connect(lambda n: self._set("minutes", minutes=n))
        self.tool = Choice()
        self.tool.addItems(list(TOOL_NAMES))
        self.tool.setToolTip("What lays the bleach. Never a hair brush: hair dissolves.")
        self.tool.activated.connect(lambda n: self._set("tool", tool=TOOL_NAMES[n]))
        self.rinse = QCheckBox("rinse after it")
        self.rinse.setToolTip("Clean water and the blotter: what is active in the paper leaves.")
        self.rinse.clicked.connect(lambda on: self._set("rinse", rinse=bool(on)))
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
        self.caution = QLabel(CAUTION_LINE)
        self.caution.setWordWrap(True)
        self.caution.setProperty("caution", True)
        box.addWidget(self.caution, 1)
        whole = QToolButton()
        whole.setText("the whole caution")
        whole.clicked.connect(self.caution_asked.emit)
        head.addWidget(whole)
        return part

    # ---- the brush, and ways to lay

    def _brush_part(self) -> QWidget:
        part = QWidget()
        box = QVBoxLayout(part)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(5)
        box.addWidget(place_label("brush"))
        sizes = QHBoxLayout()
        self.brush_size = DragNumber(0.1, 100, 0.5, 1, "mm", "Width of the brush's mark.")
        self.brush_size.changed.connect(lambda n: self._brush(size_mm=n))
        self.hardness = DragNumber(0, 100, 5, 0, "%", "How far in from its edge the brush is full.")
        self.hardness.changed.connect(lambda n: self._brush(hardness=n / 100))
        sizes.addWidget(self.brush_size)
        sizes.addWidget(QLabel("wide"))
        sizes.addSpacing(6)
        sizes.addWidget(self.hardness)
        sizes.addWidget(QLabel("firm"))
        sizes.addStretch()
        box.addLayout(sizes)
        self.ways = QButtonGroup(self)
        self.way_buttons: dict[str, QToolButton] = {}
        grid = QGridLayout()
        grid.setSpacing(2)
        for n, (way, (word, tip)) in enumerate(WAYS.items()):
            button = self._icon_button(way, word, tip)
            button.setCheckable(True)
            button.clicked.connect(lambda _=False, w=way: self.take_way(w))
            self.ways.addButton(button)
            self.way_buttons[way] = button
            grid.addWidget(button, n // 4, n % 4)
        whole = self._icon_button("whole", "whole sheet", "Lay it over the whole sheet.")
        whole.clicked.connect(self.whole_sheet.emit)
        grid.addWidget(whole, 1, 3)
        box.addLayout(grid)
        last = QHBoxLayout()
        self.reserve = QToolButton()
        self.reserve.setText("reserve")
        self.reserve.setIcon(icon("reserve", self.wall.ink))
        self.reserve.setProperty("icon_name", "reserve")
        self.reserve.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.reserve.setCheckable(True)
        self.reserve.setToolTip(
            "Stop out: what you paint now stays free of the washes and lifts laid after it."
        )
        self.reserve.toggled.connect(self.reserve_taken.emit)
        last.addWidget(self.reserve)
        last.addStretch()
        self.dry = QPushButton("let it dry")
        self.dry.setToolTip("The step in hand is done; the next stroke begins a new one.   (D)")
        self.dry.clicked.connect(self.dried.emit)
        last.addWidget(self.dry)
        box.addLayout(last)
        box.addStretch()
        self.way_buttons["soft"].setChecked(True)
        return part

    def _icon_button(self, name: str, word: str, tip: str) -> QToolButton:
        button = QToolButton()
        button.setIcon(icon(name, self.wall.ink))
        button.setProperty("icon_name", name)
        button.setText(word)
        button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextUnderIcon)
        button.setToolTip(tip)
        button.setStyleSheet("QToolButton { font-size: 8pt; padding: 1px 2px; }")
        button.setMinimumWidth(72)
        return button

    def change_wall(self, wall: Wall) -> None:
        """Other greys: icons are drawn again."""
        self.wall = wall
        for button in self.findChildren(QToolButton):
            if name := button.property("icon_name"):
                button.setIcon(icon(name, wall.ink))

    # ---- showing

    def refresh(self) -> None:
        """Show what is in the hand now."""
        hand = self.sitting.hand
        self.radios[hand.kind].setChecked(True)
        number = self.sitting.chosen
        name = None if number is None else self.sitting.scene.steps[number].name
        self.in_hand.setText(f"in hand: {name}" if name else "in hand: the next step")
        self.dry.setEnabled(name is not None)
        self._show_wells(hand)
        self._show_mix(hand)
        self.coats.show_value(hand.coats)
        self.edge.setCurrentIndex(list(EDGES).index(hand.edge))
        self.percent.show_value(self.sitting.scene.bleach.percent)
        self.bleach_parts.show_value(hand.parts_water)
        self.touches.show_value(hand.touches)
        water = hand.kind == "water lift"
        self.minutes.show_value(hand.water_minutes if water else hand.minutes)
        self.tool.setCurrentIndex(TOOL_NAMES.index(hand.tool))
        self.rinse.setChecked(hand.rinse)
        self.brush_size.show_value(hand.brush.size_mm)
        self.hardness.show_value(100 * hand.brush.hardness)
        for widget in (self.bleach_parts, self.touches, self.tool, self.rinse):
            widget.setEnabled(hand.kind == "lift")

    def _show_wells(self, hand: Hand) -> None:
        table, wells = self.sitting.table, self.sitting.scene.wells
        key = (id(table), tuple(wells.items()))
        if getattr(self, "_wells_key", None) != key:
            self._wells_key = key
            empty(self.wells_row)
            for ink in table.palette.bottles:
                self._add_well(f"{ink.name} 1 part", ink.name, f"{ink.name}, neat", True)
            self._add_more([ink.name for ink in table.palette.inks.values() if ink.extra])
            self.wells_row.addSpacing(8)
            for name, recipe in wells.items():
                self._add_well(name, name, f"{name}: {recipe}", False)
            self.wells_row.addStretch()
        names = set(amounts_of(hand.mix)[0]) if hand.kind == "wash" else set()
        for n in range(self.wells_row.count()):
            widget = self.wells_row.itemAt(n).widget()
            if isinstance(widget, WellButton) and not widget.bottle:
                widget.setChecked(widget.name in names)

    def _add_more(self, inks: list[str]) -> None:
        """Bottles that aren't of the palette's own four."""
        if not inks:
            return
        more, menu = QToolButton(), QMenu(self)
        for name in inks:
            menu.addAction(name, lambda n=name: self._add_drop(n))
        more.setText("more\nbottles")
        more.setToolTip("Other bottles: put a drop of one into the mix.")
        more.setStyleSheet("QToolButton { font-size: 8.5pt; padding: 2px; }")
        more.setMenu(menu)
        more.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.wells_row.addWidget(more)

    def _add_well(self, mix: str, name: str, tip: str, bottle: bool) -> None:
        try:
            rgb, value = mix_swatch(self.sitting, mix)
        except InputError:
            return
        does = "Put a drop of it into the mix." if bottle else "Take this mix."
        button = WellButton(name, rgb, f"{tip}\nvalue {value:.1f} on this paper\n{does}", bottle)
        take = self._add_drop if bottle else self._take_well
        button.clicked.connect(lambda _=False, n=name: take(n))
        self.wells_row.addWidget(button)

    def _show_mix(self, hand: Hand) -> None:
        sitting = self.sitting
        try:
            mix = sitting.table.mix(hand.mix)
            rgb, value = mix_swatch(sitting, hand.mix, hand.coats)
            rungs = [(r.parts_water, r.rgb, r.value) for r in ladder_of(sitting, hand.mix)]
            parts = parts_of(hand.mix, sitting.table)
        except InputError:
            self.mix_swatch.show_rgb(None)
            return
        self.mix_swatch.show_rgb(rgb, f"{parts_text(mix)}\nvalue {value:.1f} on this paper")
        self.ladder.show_rungs(rungs, parts)
        self.parts.show_value(min(parts, 200))
        self.written.setText(hand.mix)
        self._show_tokens(hand.mix)

    def _show_tokens(self, text: str) -> None:
        """The recipe line, each amount a number to drag."""
        amounts, water, unit = amounts_of(text)
        wanted = (*amounts, WATER, unit)
        # while a number is dragged its place stays, even at none
        dragged = any(number.is_dragged for number in self._numbers.values())
        if self._token_names != wanted and not dragged:
            self._token_names = wanted
            empty(self.tokens_row)
            self._numbers = {}
            word = {"drops": "", "parts": "", "ml": "ml"}[unit]
            for n, name in enumerate((*amounts, WATER)):
                if n:
                    self.tokens_row.addWidget(QLabel("+"))
                self.tokens_row.addWidget(QLabel(name))
                decimals = 0 if unit == "drops" else 1
                number = DragNumber(0, 500, 1, decimals, word, f"{name}: {unit}.")
                number.setFixedWidth(52 if unit == "ml" else 36)
                number.changed.connect(lambda v, k=name: self._amount(k, v))
                number.let_go.connect(self._let_go)
                self._numbers[name] = number
                self.tokens_row.addWidget(number)
        for name, number in self._numbers.items():
            number.show_value(water if name == WATER else amounts.get(name, 0))

    # ---- doing

    def take_kind(self, kind: str) -> None:
        """Hold ink, bleach or water."""
        sitting = self.sitting
        if sitting.chosen is not None:
            step = sitting.scene.steps[sitting.chosen]
            if not isinstance(step, KINDS[kind]):
                sitting.choose(None)
        sitting.hold(replace(sitting.hand, kind=kind))
        if kind == "lift":
            self.bleach_taken.emit()

    def take_way(self, way: str) -> None:
        """Take another way to lay."""
        self.way_buttons[way].setChecked(True)
        self._brush(damp=way == "damp")
        self.way_taken.emit(way)

    def _brush(self, **values: Any) -> None:
        hand = self.sitting.hand
        self.sitting.hold(replace(hand, brush=replace(hand.brush, **values)))

    def _set(self, what: str, **values: Any) -> None:
        """Change what is in the hand, and the step that is."""
        hand = self.sitting.hand
        if hand.kind == "water lift" and "minutes" in values:
            values = {"water_minutes": values["minutes"]}
        self._hold(replace(hand, **values), what)

    def take(self, hand: Hand, what: str) -> None:
        """Hold something else, and lay the step in hand with it."""
        self._hold(hand, what)
        self._let_go()

    def _hold(self, hand: Hand, what: str) -> None:
        """Hold something else soon; while a number is dragged only the last one counts."""

        def change() -> None:
            sitting, number = self.sitting, self.sitting.chosen
            if number is not None and isinstance(sitting.scene.steps[number], KINDS[hand.kind]):
                step = sitting.scene.steps[number]
                made = hand.step(step.name, "sheet")
                fields = {
                    key: getattr(made, key)
                    for key in type(step).model_fields
                    if key not in ("name", "region", "film_ml_per_m2", "graded", "note")
                }
                plan = plans.with_changed_step(sitting.plan, number, **fields)
                sitting.do(f"{what} of {step.name}", plan, merge=f"{what} of {step.name}")
            sitting.hold(hand)

        self._soon(change)

    def _soon(self, change: Callable[[], None]) -> None:
        self._waiting = change
        if not self._timer.isActive():
            self._timer.start()

    def _now(self) -> None:
        change, self._waiting = self._waiting, None
        if change is not None:
            self._try(change)

    def _let_go(self) -> None:
        """A dragged number was let go: what it did is one deed, and ends here."""
        self._timer.stop()
        self._now()
        self.sitting.history.settle()
        self.refresh()

    def _try(self, change: Callable[[], None]) -> None:
        try:
            change()
        except InputError as error:
            self.sitting.told.emit(" ".join(error.problems))
            self.refresh()

    def _mix(self, text: str, what: str = "mix") -> None:
        self.sitting.table.mix(text)  # refuses what can't be mixed
        self._hold(replace(self.sitting.hand, kind="wash", mix=text), what)

    def _dilute(self, parts: float, let_go: bool = False) -> None:
        def change() -> None:
            text = diluted_text(self.sitting.hand.mix, parts, self.sitting.table)
            self._mix(text, "dilution")
            if let_go:
                self._let_go()

        self._try(change)

    def _amount(self, name: str, amount: float) -> None:
        self._try(lambda: self._mix(amount_text(self.sitting.hand.mix, name, amount), "recipe"))

    def _add_drop(self, ink: str) -> None:
        """One drop, or part, more of a bottle."""

        def change() -> None:
            hand = self.sitting.hand
            amounts, _, _ = amounts_of(hand.mix)
            if any(name in self.sitting.scene.wells for name in amounts):
                self._mix(f"{ink} 1")  # a fresh mix beside the stock ones
            else:
                self._mix(amount_text(hand.mix, ink, amounts.get(ink, 0) + 1), "recipe")

        self.take_kind("wash")
        self._try(change)

    def _take_well(self, name: str) -> None:
        self.take_kind("wash")
        self._try(lambda: self._mix(name))

    def _pencil(self, on: bool) -> None:
        self.tokens.setVisible(not on)
        self.written.setVisible(on)
        if on:
            self.written.setFocus()
            self.written.selectAll()

    def _write(self) -> None:
        def change() -> None:
            self._mix(self.written.text())
            self.pencil.setChecked(False)

        self._try(change)

    def _keep(self) -> None:
        sitting = self.sitting
        name, good = QInputDialog.getText(self, "keep in a well", "Name of the well:")
        name = name.strip()
        if good and name:
            plan = plans.with_well(sitting.plan, name, sitting.hand.mix)
            self._try(lambda: sitting.do(f"fill the well {name}", plan))

    def _percent(self, percent: float) -> None:
        def change() -> None:
            sitting = self.sitting
            bottle: BleachBottle = plans.changed(sitting.scene.bleach, percent=percent)
            scene = plans.changed(sitting.scene, bleach=bottle)
            sitting.do("strength of the bleach", replace(sitting.plan, scene=scene), merge="bottle")

        self._soon(change)
