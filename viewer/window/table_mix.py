"""The wells, the recipe line and the ladder of the table."""

from __future__ import annotations

from functools import partial

from qtpy.QtCore import Qt
from qtpy.QtWidgets import (
    QButtonGroup,
    QGridLayout,
    QHBoxLayout,
    QInputDialog,
    QLabel,
    QLineEdit,
    QMenu,
    QRadioButton,
    QScrollArea,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from glaze.errors import InputError
from glaze.materials.recipe import WATER
from viewer.core import drafting
from viewer.core.cards import ladder_of, mix_swatch
from viewer.core.hand import Hand, amount_text, amounts_of, diluted_text, parts_of
from viewer.window.controls import Choice, DragNumber, Swatch, empty, faint, place_label
from viewer.window.holding import Holding
from viewer.window.wells import LADDER_TOLD, LadderStrip, WellButton

EDGES = {"drying line": "drying line", "soft": "soft edge", "none": "even edge"}


class MixPart(QWidget):
    """Ink and water: what a wash is laid with."""

    def __init__(self, holding: Holding) -> None:
        super().__init__()
        self.holding = holding
        self._numbers: dict[str, DragNumber] = {}
        self._token_names: tuple[str, ...] = ()
        self._wells_key: object = None
        self._wells: list[WellButton] = []
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(5)
        # ink, bleach or water, and which step is in hand
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
            radio.clicked.connect(lambda _=False, k=kind: self.holding.take_kind(k))
            self.kinds.addButton(radio)
            self.radios[kind] = radio
            head.addWidget(radio)
        head.addStretch()
        self.in_hand = faint()
        head.addWidget(self.in_hand)
        box.addLayout(head)
        # bottles and wells
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
        # the mix: its drops, and the ladder of its dilutions
        box.addLayout(self._recipe_line())
        box.addLayout(self._ladder_line())
        box.addStretch()

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
        self.parts.let_go.connect(self.holding.let_go)
        self.coats = DragNumber(1, 20, 1, 0, "", "Equal coats, each dry before the next.")
        self.coats.let_go.connect(self.holding.let_go)
        self.coats.changed.connect(lambda n: self.holding.set("coats", coats=int(n)))
        self.edge = Choice()
        self.edge.addItems(list(EDGES.values()))
        self.edge.setToolTip("How its edge dries: with a dark line, softened, or even.")
        self.edge.activated.connect(lambda n: self.holding.set("edge", edge=list(EDGES)[n]))
        numbers.addWidget(QLabel("1 part +"), 0, 0)
        numbers.addWidget(self.parts, 0, 1)
        self.parts_word = QLabel("parts water")
        numbers.addWidget(self.parts_word, 0, 2, 1, 2)
        numbers.addWidget(QLabel("coats"), 1, 0, Qt.AlignmentFlag.AlignRight)
        numbers.addWidget(self.coats, 1, 1)
        numbers.addWidget(self.edge, 1, 2)
        row.addLayout(numbers)
        return row

    def show_hand(self, hand: Hand) -> None:
        """Show what is in the hand now."""
        self.radios[hand.kind].setChecked(True)
        number = self.holding.sitting.chosen
        name = None if number is None else self.holding.sitting.scene.steps[number].name
        self.in_hand.setText(f"in hand: {name}" if name else "in hand: the next step")
        self._show_wells(hand)
        self._show_mix(hand)
        self.coats.show_value(hand.coats)
        self.edge.setCurrentIndex(list(EDGES).index(hand.edge))

    def _show_wells(self, hand: Hand) -> None:
        table, wells = self.holding.sitting.table, self.holding.sitting.scene.wells
        key = (id(table), tuple(wells.items()))
        if self._wells_key != key:
            self._wells_key = key
            empty(self.wells_row)
            self._wells = []
            for ink in table.palette.bottles:
                self._add_well(f"{ink.name} 1 part", ink.name, f"{ink.name}, neat", True)
            self._add_more([ink.name for ink in table.palette.inks.values() if ink.extra])
            self.wells_row.addSpacing(8)
            for name, recipe in wells.items():
                self._add_well(name, name, f"{name}: {recipe}", False)
            self.wells_row.addStretch()
        names = set(amounts_of(hand.mix)[0]) if hand.kind == "wash" else set()
        for button in self._wells:
            button.setChecked(button.name in names)

    def _add_more(self, inks: list[str]) -> None:
        """Bottles that aren't of the palette's own four."""
        if not inks:
            return
        more, menu = QToolButton(), QMenu(self)
        for name in inks:
            menu.addAction(name, partial(self._add_drop, name))
        more.setText("more\nbottles")
        more.setToolTip("Other bottles: put a drop of one into the mix.")
        more.setStyleSheet("QToolButton { font-size: 8.5pt; padding: 2px; }")
        more.setMenu(menu)
        more.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.wells_row.addWidget(more)

    def _add_well(self, mix: str, name: str, tip: str, bottle: bool) -> None:
        try:
            rgb, value = mix_swatch(self.holding.sitting, mix)
        except InputError:
            return
        does = "Put a drop of it into the mix." if bottle else "Take this mix."
        button = WellButton(name, rgb, f"{tip}\nvalue {value:.1f} on this paper\n{does}", bottle)
        take = self._add_drop if bottle else self._take_well
        button.clicked.connect(lambda _=False, n=name: take(n))
        self.wells_row.addWidget(button)
        if not bottle:
            self._wells.append(button)

    def _show_mix(self, hand: Hand) -> None:
        sitting = self.holding.sitting
        try:
            mix = sitting.table.mix(hand.mix)
            rgb, value = mix_swatch(sitting, hand.mix, hand.coats)
            ladder = ladder_of(sitting, hand.mix)
            parts = parts_of(hand.mix, sitting.table)
        except InputError:
            self.mix_swatch.show_rgb(None)
            return
        self.mix_swatch.show_rgb(rgb, f"{mix.parts}\nvalue {value:.1f} on this paper")
        self.ladder.show_rungs([(r.parts_water, r.rgb, r.value) for r in ladder], parts)
        drops = [f"{rung.dilution.words}: {rung.dilution.text}" for rung in ladder]
        self.ladder.setToolTip("\n".join([LADDER_TOLD, *drops]))
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
                number.let_go.connect(self.holding.let_go)
                self._numbers[name] = number
                self.tokens_row.addWidget(number)
        for name, number in self._numbers.items():
            number.show_value(water if name == WATER else amounts.get(name, 0))

    def _dilute(self, parts: float, let_go: bool = False) -> None:
        def change() -> None:
            text = diluted_text(self.holding.sitting.hand.mix, parts, self.holding.sitting.table)
            self.holding.mix(text, "dilution")
            if let_go:
                self.holding.let_go()

        self.holding.attempt(change)

    def _amount(self, name: str, amount: float) -> None:
        self.holding.attempt(
            lambda: self.holding.mix(
                amount_text(self.holding.sitting.hand.mix, name, amount), "recipe"
            )
        )

    def _add_drop(self, ink: str) -> None:
        """One drop, or part, more of a bottle."""

        def change() -> None:
            hand = self.holding.sitting.hand
            amounts, _, _ = amounts_of(hand.mix)
            if any(name in self.holding.sitting.scene.wells for name in amounts):
                self.holding.mix(f"{ink} 1")  # a fresh mix beside the stock ones
            else:
                self.holding.mix(amount_text(hand.mix, ink, amounts.get(ink, 0) + 1), "recipe")

        self.holding.take_kind("wash")
        self.holding.attempt(change)

    def _take_well(self, name: str) -> None:
        self.holding.take_kind("wash")
        self.holding.attempt(lambda: self.holding.mix(name))

    def _pencil(self, on: bool) -> None:
        self.tokens.setVisible(not on)
        self.written.setVisible(on)
        if on:
            self.written.setFocus()
            self.written.selectAll()

    def _write(self) -> None:
        def change() -> None:
            self.holding.mix(self.written.text())
            self.pencil.setChecked(False)

        self.holding.attempt(change)

    def _keep(self) -> None:
        sitting = self.holding.sitting
        name, good = QInputDialog.getText(self, "keep in a well", "Name of the well:")
        name = name.strip()
        if good and name:
            draft = drafting.with_well(sitting.draft, name, sitting.hand.mix)
            self.holding.attempt(lambda: sitting.do(f"fill the well {name}", draft))
