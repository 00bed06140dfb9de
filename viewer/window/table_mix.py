"""The bottles and wells of the table, the recipe line and the ladder."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from qtpy.QtCore import Qt
from qtpy.QtWidgets import (
    QApplication,
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QMenu,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from glaze.errors import InputError
from glaze.materials.recipe import WATER
from glaze.planning.recipe.thinned import diluted_text

from ..core import drafting
from ..core.cards import LadderRung, ladder_of, mix_swatch, recent_mixes
from ..core.hand import Hand, amount_text, amounts_of, parts_of
from ..core.saying import say, translated
from .controls import Choice, DragNumber, SideRow, empty, faint
from .dialogs import LineBox
from .drawing import Swatch
from .holding import Holding
from .wells import LadderStrip, WellButton

EDGES = "drying line", "soft", "none"


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
        self.wells = SideRow(56, spacing=2)
        keep = self._button("keep")
        keep.clicked.connect(self._keep)
        upper = QHBoxLayout()
        upper.addWidget(self.wells, 1)
        upper.addWidget(keep)
        box.addLayout(upper)
        box.addLayout(self._recipe_line())
        box.addLayout(self._ladder_line())
        box.addStretch()

    def _recipe_line(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(6)
        self.mix_swatch = Swatch(28, 26)
        self.tokens = SideRow(36, spacing=3)
        self.written = QLineEdit()
        self.written.setPlaceholderText("Blue 3 + Yellow 2 + water 4")
        self.written.setAccessibleName(say("mix.recipe_line"))
        self.written.setVisible(False)
        self.written.returnPressed.connect(self._write)
        self.more = self._button("more")
        self.more.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.pencil = self._button("write")
        self.pencil.setCheckable(True)
        self.pencil.toggled.connect(self._pencil)
        row.addWidget(self.mix_swatch)
        row.addWidget(self.tokens, 1)
        for widget in (self.written, self.more, self.pencil):
            row.addWidget(widget, 1 if widget is self.written else 0)
        return row

    def _button(self, key: str) -> QToolButton:
        button = QToolButton()
        button.setText(say(f"mix.{key}"))
        button.setToolTip(say(f"mix.{key}_told"))
        button.setProperty("framed", True)
        return button

    def _ladder_line(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setSpacing(8)
        self.ladder = LadderStrip()
        self.ladder.taken.connect(lambda n: self._dilute(n, let_go=True))
        row.addWidget(self.ladder, 1)
        holding = self.holding
        self.parts = holding.number(self._dilute, 0, 200, 0.5, 1, tip=say("mix.water_told"))
        self.coats = holding.number(
            lambda n: holding.set("coats", coats=int(n)),
            *(1, 20, 1),
            tip=say("mix.coats_told"),
        )
        self.edge = Choice(say("mix.edge_told"))
        self.edge.addItems([say(f"mix.{edge}") for edge in EDGES])
        self.edge.activated.connect(lambda n: holding.set("edge", edge=EDGES[n]))
        numbers = QGridLayout()
        numbers.setHorizontalSpacing(4)
        numbers.setVerticalSpacing(2)
        numbers.addWidget(QLabel(say("mix.part")), 0, 0)
        numbers.addWidget(self.parts, 0, 1)
        numbers.addWidget(QLabel(say("mix.parts_water")), 0, 2)
        numbers.addWidget(QLabel(say("mix.coats")), 1, 0, Qt.AlignmentFlag.AlignRight)
        numbers.addWidget(self.coats, 1, 1)
        numbers.addWidget(self.edge, 1, 2)
        row.addLayout(numbers)
        return row

    # ---- shown

    @property
    def _dragged(self) -> bool:
        """Whether one of its numbers is being dragged."""
        return any(number.is_dragged for number in (self.parts, *self._numbers.values()))

    def show_hand(self, hand: Hand) -> None:
        """Show what is in the hand now."""
        self._show_wells(hand)
        self._show_mix(hand)
        self.coats.show_value(hand.coats)
        self.edge.setCurrentIndex(EDGES.index(hand.edge))

    def _show_wells(self, hand: Hand) -> None:
        sitting = self.holding.sitting
        table, wells, recent = sitting.table, sitting.scene.wells, recent_mixes(sitting)
        key = (id(table), tuple(wells.items()), tuple(recent))
        # while a number is dragged the wells stay: the mix would come and go among them
        if self._wells_key != key and not self._dragged:
            self._wells_key = key
            empty(self.wells.row)
            self._wells = []
            for ink in table.palette.bottles:
                told = say("mix.neat", name=ink.name)
                self._add_well(f"{ink.name} 1 part", ink.name, told, bottle=True)
            extra = [ink.name for ink in table.palette.inks.values() if ink.extra]
            self._fill_menu(self.more, [i.name for i in table.palette.bottles] + extra, self._drop)
            if extra:
                more = self._button("more_bottles")
                more.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
                self._fill_menu(more, extra, lambda name: self._take(f"{name} 1 part"))
                self.wells.row.addWidget(more)
            self.wells.row.addSpacing(8)
            for name, recipe in wells.items():
                self._add_well(name, name, say("mix.well_of", name=name, recipe=recipe))
            for recipe, name in recent:
                self._add_well(recipe, name, say("mix.mixed_for", name=name, recipe=recipe))
            if not (wells or recent):
                self.wells.row.addWidget(faint(say("mix.no_wells")))
            self.wells.row.addStretch()
            self.wells.fit()
        names = {hand.mix, *amounts_of(hand.mix)[0]} if hand.kind == "wash" else set()
        for button in self._wells:
            button.setChecked(button.mix in names)

    def _fill_menu(self, button: QToolButton, names: list[str], do: Callable[[str], None]) -> None:
        menu = QMenu(button)
        for name in names:
            menu.addAction(name, partial(do, name))
        old = button.menu()
        button.setMenu(menu)
        if old is not None:  # later: what fills it anew may have been chosen in it
            old.deleteLater()

    def _add_well(self, mix: str, name: str, told: str, bottle: bool = False) -> None:
        try:
            rgb, value = mix_swatch(self.holding.sitting, mix)
        except InputError:
            return
        here = say("mix.value_here", told=told, value=f"{value:.1f}")
        tips = [here, say("mix.take_told"), *([say("mix.shift_told")] if bottle else [])]
        button = WellButton(name, mix, rgb, "\n".join(tips), bottle)
        button.clicked.connect(lambda _=False: self._clicked(mix, name, bottle))
        self.wells.row.addWidget(button)
        if not bottle:
            self._wells.append(button)

    def _clicked(self, mix: str, name: str, bottle: bool) -> None:
        shift = QApplication.keyboardModifiers() & Qt.KeyboardModifier.ShiftModifier
        if bottle and shift:
            self._drop(name)
        else:
            self._take(mix)

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
        here = say("mix.value_here", told=translated(mix.parts), value=f"{value:.1f}")
        self.mix_swatch.show_rgb(rgb, here)
        self.ladder.show_rungs([(r.parts_water, r.rgb, r.value) for r in ladder], parts)
        drops = [_rung_words(rung) for rung in ladder]
        self.ladder.setToolTip("\n".join([say("mix.ladder"), *drops]))
        self.parts.show_value(min(parts, 200))
        self.written.setText(hand.mix)
        self._show_tokens(hand.mix)

    def _show_tokens(self, text: str) -> None:
        """The recipe line, each amount a number to drag."""
        amounts, water, unit = amounts_of(text)
        wanted = (*amounts, WATER, unit)
        # while a number is dragged its place stays, even at none
        if self._token_names != wanted and not self._dragged:
            self._token_names = wanted
            row = self.tokens.row
            empty(row)
            self._numbers = {}
            for n, name in enumerate((*amounts, WATER)):
                shown = say("mix.water") if name == WATER else name
                row.addWidget(QLabel(f"+ {shown}" if n else shown))
                number = self.holding.number(
                    partial(self._amount, name),
                    *(0, 500, 1, 0 if unit == "drops" else 1),
                    unit="ml" if unit == "ml" else "",
                    tip=say("mix.amount", name=shown, unit=say(f"mix.{unit}")),
                )
                number.setFixedWidth(50 if unit == "ml" else 32)
                self._numbers[name] = number
                row.addWidget(number)
            row.addStretch()
            self.tokens.fit()
        for name, number in self._numbers.items():
            number.show_value(water if name == WATER else amounts.get(name, 0))

    # ---- done

    def _take(self, mix: str) -> None:
        """A bottle or a well in a clean dish: what was laid stays, the next wash begins."""
        self.holding.fresh(mix)

    def _dilute(self, parts: float, let_go: bool = False) -> None:
        def change() -> None:
            sitting = self.holding.sitting
            self.holding.mix(diluted_text(sitting.hand.mix, parts, sitting.table), "dilution")
            if let_go:
                self.holding.let_go()

        self.holding.attempt(change)

    def _amount(self, name: str, amount: float) -> None:
        hand = self.holding.sitting.hand
        self.holding.attempt(
            lambda: self.holding.mix(amount_text(hand.mix, name, amount), "recipe")
        )

    def _drop(self, ink: str) -> None:
        """One drop, or part, more of a bottle in the mix in hand."""
        amounts = amounts_of(self.holding.sitting.hand.mix)[0]
        self.holding.take_kind("wash")
        self._amount(ink, amounts.get(ink, 0) + 1)

    def _pencil(self, on: bool) -> None:
        self.tokens.setVisible(not on)
        self.written.setVisible(on)
        if on:
            self.written.setFocus()
            self.written.selectAll()

    def _write(self) -> None:
        def change() -> None:
            self.holding.mix(self.written.text())
            self.written.clearFocus()
            self.pencil.setChecked(False)

        self.holding.attempt(change)

    def _keep(self) -> None:
        sitting = self.holding.sitting
        title, asked, done = (say(f"mix.{k}") for k in ("keep_in_well", "well_name", "keep_it"))
        name = LineBox(self, title, asked, str.strip, done=done).ask()
        if name:
            draft = drafting.with_well(sitting.draft, name, sitting.hand.mix)
            self.holding.attempt(lambda: sitting.do(say("deed.well", name=name), draft))


def _rung_words(rung: LadderRung) -> str:
    """A rung in full: its parts of water, and the drops step by step."""
    drops = rung.dilution.text.replace(", then ", say("mix.then"))
    drops = drops.replace(" of that", say("mix.of_that"))
    return say("mix.rung", words=translated(rung.dilution.words), recipe=drops)
