"""A stranger at the window: clicks, keys, words and answers by chance, as events of the window.

Everything goes through the window's own events, so that what lies behind something else, or is off
the screen, can't be reached. What asks for an answer gets one: a button, a line, or Escape.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from functools import partial
from pathlib import Path

from qtpy.QtCore import QEvent, QPoint, QRect, Qt, QTimer
from qtpy.QtGui import QKeyEvent
from qtpy.QtTest import QTest
from qtpy.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QDialog,
    QFileDialog,
    QLineEdit,
    QListWidget,
    QMenu,
    QSlider,
    QWidget,
)

LEFT, RIGHT = Qt.MouseButton.LeftButton, Qt.MouseButton.RightButton
TYPED = (
    *("", "7", "0", "-3", "1e9", "nan", "inf", "2,5", "12 min", "3 mm", "half", "1 / 3"),
    *("Blue 3 + Yellow 2 + water 4", "Blue 1 + Blue 2", "Grün 3", "Blue", "water 5", "+", "Red -1"),
    *("Black 1 part + water 8 parts", "5GY 6/4", "#3a7", "#zzzzzz", "sheet", "water", "A4"),
    *(
        "210 x 148 mm",
        "a name",
        "ein sehr langer Name " * 5,
        "<b>bold</b>",
        'quote " and \\',
        "été",
    ),
    *("\u200b", "💧", "..", "/", "%s", "{name}"),
)
"""What is typed where something can be: sense, and what nobody means."""
PLACES = (
    *("scene", "scene/scene.toml", "sketch.png", "no size.png", "photo.jpg", "packed.zip"),
    *(
        "broken.png",
        "broken.zip",
        "notes.txt",
        "white.png",
        "small.png",
        "nowhere",
        "nowhere/x.png",
    ),
    *("out.png", "out.pdf", "out.html", "out.svg", "out.tif", "out.zip", "out", "out.exe", "."),
)
"""Files that are opened or written."""
MOST_ANSWERS = 14
"""So many answers a box may want before it counts as one without a way out."""


class Hand:
    """Mouse and keys on any window of the program.

    faults : what was found
    """

    def __init__(self, draw: random.Random, folder: Path) -> None:
        self.draw, self.folder = draw, folder
        self.faults: list[str] = []
        self.quiet = ""
        self._answered: dict[int, int] = {}
        self._held: list[QWidget] = []
        self.timer = QTimer()
        self.timer.setInterval(25)
        self.timer.timeout.connect(self._look)
        self.timer.start()

    # ---- events

    def click(self, widget: QWidget, button: Qt.MouseButton = LEFT, at: QPoint | None = None,
              twice: bool = False) -> None:  # fmt: skip
        """Click where a part of a window is to be seen; the window finds who gets it."""
        window = widget.window().windowHandle()
        if window is None or not widget.isVisible():
            return
        place = widget.mapTo(widget.window(), self.seen_of(widget).center() if at is None else at)
        QTest.mouseMove(window, place)
        (QTest.mouseDClick if twice else QTest.mouseClick)(
            window, button, Qt.KeyboardModifier.NoModifier, place
        )

    def drag(
        self, widget: QWidget, start: QPoint, end: QPoint, button: Qt.MouseButton = LEFT
    ) -> None:
        """Drag from one place of a widget to another, which may lie beside it."""
        window, top = widget.window().windowHandle(), widget.window()
        none = Qt.KeyboardModifier.NoModifier
        QTest.mouseMove(window, widget.mapTo(top, start))
        QTest.mousePress(window, button, none, widget.mapTo(top, start))
        for n in range(1, 6):
            QTest.mouseMove(window, widget.mapTo(top, start + (end - start) * (n / 5)))
        QTest.mouseRelease(window, button, none, widget.mapTo(top, end))

    def key(self, widget: QWidget, key: int, held: Qt.KeyboardModifier | None = None) -> None:
        """A key for whoever has the keys in a window."""
        window = widget.window().windowHandle()
        if window is not None:
            QTest.keyClick(window, Qt.Key(key), held or Qt.KeyboardModifier.NoModifier)

    def write(self, line: QLineEdit, text: str, end: int = Qt.Key.Key_Return) -> None:
        """Click into a line, write something in place of what stands there, and end it."""
        self.click(line)
        line.selectAll()
        self.letters(line, text)
        QTest.keyClick(line, Qt.Key(end))

    @staticmethod
    def letters(widget: QWidget, text: str) -> None:
        """Write letters in place of what is chosen; those that no key has come as they are."""
        if not text:
            QTest.keyClick(widget, Qt.Key.Key_Delete)
        for letter in text:
            if letter.isascii():
                QTest.keyClicks(widget, letter)
            else:
                event = QKeyEvent(QEvent.Type.KeyPress, 0, Qt.KeyboardModifier.NoModifier, letter)
                QApplication.sendEvent(widget, event)

    @staticmethod
    def seen_of(widget: QWidget) -> QRect:
        """The part of a widget that is to be seen."""
        return widget.visibleRegion().boundingRect()

    def reachable(self, place: QWidget, *kinds: type[QWidget]) -> list[QWidget]:
        """Controls of a place that can be seen and used."""
        found = [w for kind in kinds for w in place.findChildren(kind)]
        return [
            w for w in found
            if w.isVisible() and w.isEnabled() and w.window() is place.window()
            and not self.seen_of(w).isEmpty()
        ]  # fmt: skip

    def use(self, place: QWidget) -> bool:
        """Use any control of a place; whether there was one."""
        kinds = QAbstractButton, QLineEdit, QComboBox, QSlider, QListWidget
        if not (found := self.reachable(place, *kinds)):
            return False
        one = self.draw.choice(found)
        if isinstance(one, QLineEdit) and self.draw.random() < 0.7:
            end = self.draw.choice(
                [Qt.Key.Key_Return, Qt.Key.Key_Return, Qt.Key.Key_Escape, Qt.Key.Key_Tab]
            )
            self.write(one, self.draw.choice(TYPED), end)
        elif isinstance(one, QLineEdit | QSlider) and self.draw.random() < 0.7:
            start = self.seen_of(one).center()
            self.drag(one, start, start + QPoint(self.draw.randint(-60, 60), 0))
        else:
            seen = self.seen_of(one)
            at = QPoint(self.draw.randint(seen.left(), seen.right()), seen.center().y())
            self.click(one, at=at if isinstance(one, QListWidget | QSlider) else None)
        return True

    # ---- what asks for an answer

    def _look(self) -> None:
        """Answer what waits for an answer; what is being answered may open something else."""
        waits = QApplication.activePopupWidget() or QApplication.activeModalWidget()
        if waits is None:
            self._answered.clear()
            return
        if waits not in self._held:
            # a timer of its own: this one would not ring again while what is opened stands open
            QTimer.singleShot(0, partial(self._answered_now, waits))

    def _answered_now(self, waits: QWidget) -> None:
        if waits in self._held:
            return
        self._held.append(waits)
        try:
            self._answer(waits)
        except RuntimeError as error:  # it went away meanwhile
            if "already deleted" not in str(error):
                raise
        finally:
            self._held.remove(waits)

    def _answer(self, waits: QWidget) -> None:
        times = self._answered[id(waits)] = self._answered.get(id(waits), 0) + 1
        if times > MOST_ANSWERS:
            if times > MOST_ANSWERS + 2:
                self.faults.append(f"no way out of {type(waits).__name__} {waits.windowTitle()!r}")
                waits.done(0) if isinstance(waits, QDialog) else waits.close()
                return
            QTest.keyClick(waits, Qt.Key.Key_Escape)
        elif isinstance(waits, QMenu):
            self._choose(waits)
        elif not isinstance(waits, QDialog):
            QTest.keyClick(
                waits, self.draw.choice([Qt.Key.Key_Down, Qt.Key.Key_Return, Qt.Key.Key_Escape])
            )
        elif self.quiet or self.draw.random() < 0.15:
            QTest.keyClick(waits, Qt.Key.Key_Escape)
        elif isinstance(waits, QFileDialog):
            self._name(waits)
        elif not self.use(waits):
            QTest.keyClick(waits, Qt.Key.Key_Escape)

    def _choose(self, menu: QMenu) -> None:
        """Any order of a menu, or none."""
        orders = [
            a for a in menu.actions() if a.isVisible() and a.isEnabled() and not a.isSeparator()
        ]
        if self.quiet or not orders or self.draw.random() < 0.2:
            QTest.keyClick(menu, Qt.Key.Key_Escape)
            return
        place = menu.actionGeometry(self.draw.choice(orders)).center()
        QTest.mouseMove(menu, place)
        QTest.mouseClick(menu, LEFT, Qt.KeyboardModifier.NoModifier, place)

    def _name(self, box: QFileDialog) -> None:
        """The name of a file, sense or not."""
        line = box.findChild(QLineEdit)
        if line is None:
            return box.reject()
        QTest.keyClick(line, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
        QTest.keyClicks(line, str(self.folder / self.draw.choice(PLACES)))
        QTest.keyClick(line, Qt.Key.Key_Return)
        return None

    def without_answers(self, do: Callable[[], object]) -> None:
        """Do something while every question is left with Escape."""
        self.quiet = "yes"
        try:
            do()
        finally:
            self.quiet = ""
