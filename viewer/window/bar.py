"""The line of orders above the sheet: opening and saving, taking back, looking, asking."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from qtpy.QtCore import Qt
from qtpy.QtWidgets import (
    QHBoxLayout,
    QMenu,
    QSlider,
    QToolButton,
    QWidget,
)

from glaze.scene.examples import example_names, scenes_folder
from viewer.core.views import VISIONS, WAYS, View
from viewer.window.controls import Choice, faint, hair

if TYPE_CHECKING:
    from viewer.window.app import Desk

LIGHTS = {
    "the scene's light": None,
    "daylight, D65": "D65",
    "gallery daylight, D50": "D50",
    "evening lamp, A": "A",
    "tube light, FL11": "FL11",
    "LED lamp, B3": "LED-B3",
}


class TopBar(QWidget):
    """Buttons and choices in one line."""

    def __init__(self, desk: Desk) -> None:
        super().__init__()
        self.desk = desk
        row = QHBoxLayout(self)
        row.setContentsMargins(12, 4, 12, 4)
        row.setSpacing(4)
        row.addWidget(self._menu("sheet", self._sheet_menu()))
        row.addWidget(self._menu("ask", self._ask_menu()))
        row.addWidget(hair())
        self.back = self._button("take back", desk.take_back)
        self.again = self._button("do again", desk.do_again)
        row.addWidget(self.back)
        row.addWidget(self.again)
        row.addWidget(hair())
        row.addWidget(faint("look"))
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
        self.split.setFixedWidth(90)
        self.split.setToolTip(
            "A line across the sheet: left of it the bare sketch, right of it the painted sheet;\n"
            "or, when you look in another way, left of it the sheet as it will look.\n"
            "Hold B for the bare sketch."
        )
        self.split.sliderReleased.connect(self._look)
        row.addWidget(self.split)
        row.addWidget(hair())
        row.addWidget(self._button("see it all", desk.sheet.fit, "The whole sheet.   (F)"))
        row.addWidget(
            self._button("true size", self._true_size, "A mm is a mm, as the screen says.")
        )
        row.addStretch()
        self.progress = faint()
        self.progress.setMinimumWidth(190)
        self.progress.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        row.addWidget(self.progress)
        self.refresh()

    def _button(self, text: str, do: object, tip: str = "") -> QToolButton:
        button = QToolButton()
        button.setText(text)
        button.setToolTip(tip)
        button.clicked.connect(lambda: do())  # type: ignore[operator]
        return button

    def _menu(self, text: str, menu: QMenu) -> QToolButton:
        button = QToolButton()
        button.setText(text)
        button.setMenu(menu)
        button.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        return button

    def _choice(self, words: list[str], tip: str) -> Choice:
        choice = Choice()
        choice.addItems(words)
        choice.setToolTip(tip)
        choice.activated.connect(lambda _: self._look())
        return choice

    def _sheet_menu(self) -> QMenu:
        desk, menu = self.desk, QMenu(self)
        menu.addAction("open a scene or a sketch", desk.opening.ask_open)
        examples = menu.addMenu("open an example")
        for name in example_names():
            folder = scenes_folder() / name
            examples.addAction(name, lambda f=folder: self._example(f))
        menu.addSeparator()
        menu.addAction("save", desk.opening.save)
        menu.addAction("save elsewhere", desk.opening.save_elsewhere)
        menu.addSeparator()
        menu.addAction("lay it where a mask picture is white", desk.lay_mask_picture)
        menu.addAction("lay it on napari's chosen layer", desk.lay_napari_layer)
        menu.addSeparator()
        menu.addAction("pull a proof (picture)", self._proof)
        menu.addAction("recipe card", lambda: self._ask("card"))
        menu.addSeparator()
        menu.addAction("evening wall", self._wall)
        menu.addAction("figures for those who measure", self._figures)
        menu.addAction("napari's own lists and menus", self._napari)
        return menu

    def _ask_menu(self) -> QMenu:
        menu = QMenu(self)
        menu.addAction("how much water for a value?", lambda: self._ask("value"))
        menu.addAction("which drops make a colour?", lambda: self._ask("colour"))
        menu.addAction("even the shadows of several hues", lambda: self._ask("even"))
        menu.addSeparator()
        menu.addAction("charts of these bottles", lambda: self._ask("charts"))
        menu.addAction("the whole caution", self.desk.show_caution)
        menu.addAction("the three-step tour", self.desk.start_tour)
        return menu

    def _ask(self, what: str) -> None:
        from viewer.window import questions

        self.desk.attempt(lambda: questions.ask(self.desk, what))

    def _example(self, folder: Path) -> None:
        if self.desk.opening.may_leave():
            self.desk.opening.open_later(folder)

    def _proof(self) -> None:
        from viewer.window import questions

        self.desk.attempt(lambda: questions.proof(self.desk))

    def _wall(self) -> None:
        self.desk.change_wall()

    def _figures(self) -> None:
        numbers = self.desk.order.here.numbers
        numbers.setVisible(not numbers.isVisible())

    def _napari(self) -> None:
        frame = self.desk.frame
        frame.fold_napari(not frame.napari_folded)

    def _true_size(self) -> None:
        screen = self.screen()
        self.desk.sheet.true_size(screen.physicalDotsPerInchX() if screen else 96.0)

    def _look(self) -> None:
        way = self.way.currentText()
        view = View(
            way=way,
            light=LIGHTS[self.light.currentText()],
            vision=VISIONS[self.vision.currentText()],
            split=self.split.value() / 100,
            other="bare sketch" if way == "as it will look" else "as it will look",
        )
        self.desk.look(view)

    def refresh(self) -> None:
        """Show what can be taken back, and how the sheet is looked at."""
        history = self.desk.sitting.history
        self.back.setEnabled(history.back_name is not None)
        self.again.setEnabled(history.again_name is not None)
        self.back.setToolTip(f"take back: {history.back_name or 'nothing'}   (Ctrl Z)")
        self.again.setToolTip(f"do again: {history.again_name or 'nothing'}   (Ctrl Shift Z)")
        view = self.desk.sitting.preview.view
        self.way.setCurrentText(view.way)
        names = {light: word for word, light in LIGHTS.items()}
        self.light.setCurrentText(names.get(view.light, "the scene's light"))
        seen = {vision: word for word, vision in VISIONS.items()}
        self.vision.setCurrentText(seen[view.vision])
        self.split.setValue(round(100 * view.split))

    def show_progress(self, share: float, busy: bool) -> None:
        """How much of the picture is done."""
        text = f"working out the picture, {share:.0%}" if busy and share < 1 else ""
        if text != self.progress.text():
            self.progress.setText(text)
