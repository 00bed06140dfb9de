"""The desk in a real window, and a hand on its mouse and keys: for checks and pictures of it."""

from __future__ import annotations

import gc
import time
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path

import numpy as np
from PIL import Image
from qtpy.QtCore import QPoint, QPointF, Qt, QTimer
from qtpy.QtGui import QPixmap
from qtpy.QtTest import QTest
from qtpy.QtWidgets import (
    QAbstractButton,
    QApplication,
    QLabel,
    QLineEdit,
    QPushButton,
    QWidget,
)

from viewer.core.sitting import Sitting

SLANTED = (120.0, 70.0), (800.0, 110.0), (760.0, 600.0), (70.0, 560.0)
"""Corners of the sheet in a photo of `photographed` [px]."""


def photographed(picture: Image.Image, path: Path, size: tuple[int, int] = (900, 700)) -> None:
    """A photo of a picture on a dark table, taken at a slant; its corners are at `SLANTED`."""
    wide, high = picture.size
    drawn = [(0, 0), (wide, 0), (wide, high), (0, high)]
    lines = [
        line
        for (x, y), (u, v) in zip(SLANTED, drawn, strict=True)
        for line in ([x, y, 1, 0, 0, 0, -u * x, -u * y], [0, 0, 0, x, y, 1, -v * x, -v * y])
    ]
    told = np.linalg.solve(np.array(lines, float), np.array(drawn, float).ravel())
    how = Image.Transform.PERSPECTIVE, told.tolist(), Image.Resampling.BICUBIC
    photo = picture.convert("RGB").transform(size, *how, fillcolor=(70, 62, 55))
    photo.save(path)


LONGEST_S = 240.0
"""So long a check waits for what it needs, on a machine that others work on."""
TURN_S = 0.004
LEAST_TURNS = 0.4
"""Share of the turns of its loop in a time that a window gets at least, however busy others are."""


class Window:
    """The desk and a hand on the mouse."""

    def __init__(self, folder: Path, sitting: Sitting, size: tuple[int, int] = (1100, 700)) -> None:
        from viewer.window.theme_icons import write_icons_once

        write_icons_once()
        import napari

        from viewer.window.app import open_desk

        self.folder, self.size = folder, size
        self.viewer = napari.Viewer(show=True)
        self.desk = open_desk(self.viewer, sitting, recovery=folder / "kept")
        self.desk.caution.shown = True
        self.desk.rulers._silent.setInterval(10**9)  # what is said stands until it was read
        self.desk.window.resize(*size)
        gc.freeze()  # as in the program: all that is there now stays
        self.settle()
        self.desk.sheet.fit()
        self.settle()

    def settle(self, seconds: float = 0.15) -> None:
        """Let the window work until nothing is left to do."""
        until, rest = time.time() + LONGEST_S, time.time() + seconds
        turns = LEAST_TURNS * seconds / TURN_S
        while time.time() < rest or turns > 0 or self._busy:
            QApplication.processEvents()
            time.sleep(TURN_S)
            turns -= 1
            assert time.time() < until, "the window doesn't come to rest"

    @property
    def _busy(self) -> bool:
        return self.desk.sitting.busy or self.desk.errands.worker.busy

    def wait_for(self, so: Callable[[], bool]) -> bool:
        """Let the window work until it is so, as long as that may take on a busy machine."""
        until = time.time() + LONGEST_S
        while not so() and time.time() < until:
            self.settle(0.05)
        return so()

    def to_front(self) -> None:
        """The window has the keys."""
        self.desk.window.windowHandle().requestActivate()
        self.desk.window.setFocus()
        assert self.wait_for(self.desk.window.isActiveWindow)

    def at(self, x_mm: float, y_mm: float) -> QPoint:
        """Where a place of the sheet is on the canvas."""
        return self.desk.rulers.place((x_mm, y_mm)).toPoint()

    def drag(self, *places: tuple[float, float], button=Qt.MouseButton.LeftButton) -> None:
        """A drag with real mouse events, a few pixels at a time."""
        canvas = self.desk.sheet.canvas()
        points = [self.at(*place) for place in places]
        QTest.mouseMove(canvas, points[0])
        QTest.mousePress(canvas, button, pos=points[0])
        for a, b in pairwise(points):
            for share in np.linspace(0, 1, 9)[1:]:
                QTest.mouseMove(canvas, a + (b - a) * float(share))
                QTest.qWait(7)
        QTest.mouseRelease(canvas, button, pos=points[-1])
        self.settle()

    def click(self, x_mm: float, y_mm: float) -> None:
        canvas = self.desk.sheet.canvas()
        QTest.mouseMove(canvas, self.at(x_mm, y_mm))
        QTest.mouseClick(canvas, Qt.MouseButton.LeftButton, pos=self.at(x_mm, y_mm))
        self.settle()

    def point(self, x_mm: float, y_mm: float) -> None:
        """Move the pointer to a place of the sheet."""
        for shift in (2, 0):
            QTest.mouseMove(self.desk.sheet.canvas(), self.at(x_mm + shift, y_mm))
            self.settle(0.15)

    def shot(self, widget: QWidget) -> QPixmap:
        """What the screen shows where a widget is."""
        corner, screen = widget.mapToGlobal(QPoint(0, 0)), QApplication.primaryScreen()
        return screen.grabWindow(0, corner.x(), corner.y(), widget.width(), widget.height())

    def picture(self) -> np.ndarray:
        """The sheet's picture, as it is worked out."""
        return self.desk.sitting.preview.pyramid.levels[0].copy()

    def screen(self) -> np.ndarray:
        """What the canvas shows, without rulers or lists."""
        return self.viewer.screenshot(canvas_only=True, flash=False)[..., :3]


def take_way(window: Window, number: int) -> None:
    """Wait for three ways to a value, and take one."""
    ways = window.desk.three_ways
    ways.worker.finish()
    window.settle()
    take = [b for b in ways.findChildren(QPushButton) if b.text() == "take it"][number]
    QTest.mouseClick(take, Qt.MouseButton.LeftButton)
    window.settle()
    assert not ways.isVisible()


def answer(window: Window, *texts: str) -> list[str]:
    """Answer boxes that will wait for an answer, one text after the other.

    A text is typed where a line is asked for, or with a star the button that says it is pressed.
    Gives what the boxes said before each answer.
    """
    waiting, seen = list(texts), []

    def look() -> None:
        box = QApplication.activeModalWidget()
        if box is None:
            return
        if not waiting:
            timer.stop()
            return
        seen.append(" ".join(label.text() for label in box.findChildren(QLabel)))
        text = waiting.pop(0)
        if text.startswith("*"):
            buttons = box.findChildren(QAbstractButton)
            (button,) = [b for b in buttons if text[1:] in b.text()]
            QTest.mouseClick(button, Qt.MouseButton.LeftButton)
        else:
            line = box.findChild(QLineEdit)
            line.setText(text)
            QTest.keyClick(line, Qt.Key.Key_Return)

    timer = QTimer(window.desk)
    timer.timeout.connect(look)
    timer.start(60)
    return seen


def drag_corner(box, n: int, to: tuple[float, float]) -> None:
    """Drag a ring of a corners box to a place of the photo [px]."""
    picture = box.picture
    start = picture.place(n).toPoint()
    end = (QPointF(*to) * picture.share).toPoint()
    QTest.mousePress(picture, Qt.MouseButton.LeftButton, pos=start)
    for share in (0.3, 0.7, 1.0):
        QTest.mouseMove(picture, start + (end - start) * share)
        QTest.qWait(5)
    QTest.mouseRelease(picture, Qt.MouseButton.LeftButton, pos=end)


def press_words(place: QWidget, words: str) -> None:
    """Press the one button that begins so."""
    (button,) = [b for b in place.findChildren(QPushButton) if b.text().startswith(words)]
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
