"""A painter at work in the real window: deeds of every kind by mouse and keys, drawn by number.

What drives the soak, the kills and the bench of the window, each in a process of its own.
"""

from __future__ import annotations

import os
import random
import time
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
from qtpy.QtCore import QPoint, Qt
from qtpy.QtTest import QTest
from qtpy.QtWidgets import QApplication

from tests.reliability.sitting_kills import MIXES
from viewer.core.keep import open_any
from viewer.core.sitting import Sitting
from viewer.core.versions import go_on_from
from viewer.core.views import WAYS, View

SHEET_MM = 40, 32
MOST_STEPS, MOST_VERSIONS = 14, 5
"""A sheet with more isn't laid on any further, so that what is kept of it has a bound."""


class AtWork:
    """The window with somebody who paints in it.

    desk : the desk; names : deeds done, by name
    """

    def __init__(self, folder: Path, sitting: Sitting | None = None, seed: int = 0) -> None:
        import napari

        from viewer.window.app import open_desk

        sitting = sitting or open_any(folder / "scene")
        self.draw, self.names = random.Random(seed), dict[str, int]()
        self.viewer = napari.Viewer(show=True)
        self.desk = open_desk(self.viewer, sitting, recovery=folder / "kept")
        self.desk.caution.shown = True
        self.desk.window.resize(1280, 800)
        self.desk.opening.may_leave = lambda: True
        self.desk.window.windowHandle().requestActivate()
        self.rest()
        self.desk.sheet.fit()
        self.rest()

    @property
    def sitting(self) -> Sitting:
        """What is on the table."""
        return self.desk.sitting

    def rest(self, seconds: float = 0.0) -> None:
        """Let the window work until nothing is left to do."""
        until = time.monotonic() + seconds
        while self.desk.sitting.busy or self.desk.errands.worker.busy or time.monotonic() < until:
            QApplication.processEvents()
            time.sleep(0.002)
        QApplication.processEvents()

    # ---- a hand

    def at(self, x_mm: float, y_mm: float) -> QPoint:
        """Where a place of the sheet is on the canvas."""
        return self.desk.rulers.place((x_mm, y_mm)).toPoint()

    def drag(self, *places: tuple[float, float], moves: int = 5, pause_ms: int = 0) -> None:
        """A stroke with real mouse events, all at once or with a pause after each."""
        canvas, points = self.desk.sheet.canvas(), [self.at(*place) for place in places]
        QTest.mouseMove(canvas, points[0])
        QTest.mousePress(canvas, Qt.MouseButton.LeftButton, pos=points[0])
        for a, b in pairwise(points):
            for share in np.linspace(0, 1, moves + 1)[1:]:
                QTest.mouseMove(canvas, a + (b - a) * float(share))
                if pause_ms:
                    QTest.qWait(pause_ms)
        QTest.mouseRelease(canvas, Qt.MouseButton.LeftButton, pos=points[-1])

    def press(self, key: Qt.Key, held: Any = Qt.KeyboardModifier.NoModifier) -> None:
        """A key of the window."""
        self.desk.sheet.canvas().setFocus()
        QTest.keyClick(self.desk.window, key, held)

    def place(self) -> tuple[float, float]:
        """Anywhere on the sheet [mm]."""
        return self.draw.uniform(5, SHEET_MM[0] - 5), self.draw.uniform(5, SHEET_MM[1] - 5)

    def take(self, number: int | None) -> bool:
        """Take a step of the order in hand; whether it is there."""
        self.desk.order.refresh()
        if number is not None and number < self.desk.order.cards.count():
            self.desk.order.cards.setCurrentRow(number)
            self.sitting.choose(number)
        self.desk.order.refresh()
        return self.sitting.chosen is not None

    def a_step(self) -> bool:
        """Take any step in hand."""
        steps = self.sitting.scene.steps
        return bool(steps) and self.take(self.draw.randrange(len(steps)))

    def click(self, button: int) -> None:
        """One of the order's buttons."""
        QTest.mouseClick(self.desk.order.buttons[button], Qt.MouseButton.LeftButton)

    # ---- deeds

    def stroke(self) -> None:
        """A stroke with another mix, which begins a new step."""
        if len(self.sitting.scene.steps) >= MOST_STEPS:
            return self.take_out()
        kind = self.draw.choice(["wash", "wash", "wash", "lift", "water lift"])
        self.press(Qt.Key.Key_D)
        self.desk.table.holding.take_kind(kind)
        if kind == "wash":
            self.sitting.hold(replace(self.sitting.hand, mix=self.draw.choice(MIXES)))
        return self.go_on("soft")

    def go_on(self, way: str = "") -> None:
        """A stroke with what is in the hand, on the step that is; with a damp brush it takes."""
        self.desk.table.brush.take_way(way or self.draw.choice(["soft", "soft", "damp"]))
        self.drag(*[self.place() for _ in range(self.draw.randint(2, 4))])

    def into_the_wet(self) -> None:
        """A stroke on a wash into which another was charged: both dry anew."""
        steps = self.sitting.scene.steps
        into = {step.joins for step in steps} - {None}
        numbers = [n for n, step in enumerate(steps) if step.name in into]
        if numbers and self.take(numbers[0]):
            self.desk.table.brush.take_way("soft")
            self.drag((24, 8), self.place())

    def fill(self) -> None:
        """A click into an area that the sketch encloses."""
        if len(self.sitting.scene.steps) >= MOST_STEPS:
            return self.take_out()
        self.press(Qt.Key.Key_D)
        self.desk.table.holding.take_kind("wash")
        self.desk.table.brush.take_way("enclosed")
        return self.drag((8, 8))

    def band(self) -> None:
        """A ruled band."""
        if len(self.sitting.scene.steps) >= MOST_STEPS:
            return self.take_out()
        self.press(Qt.Key.Key_D)
        self.desk.table.brush.take_way("band")
        return self.drag(self.place(), self.place())

    def dilute(self) -> None:
        """The water of a wash in the order, dragged."""
        washes = [n for n, step in enumerate(self.sitting.scene.steps) if step.kind == "wash"]
        if washes and self.take(self.draw.choice(washes)):
            QApplication.processEvents()
            number, left = self.desk.table.mix.parts, self.draw.choice([1, -1])
            QTest.mousePress(number, Qt.MouseButton.LeftButton, pos=QPoint(40, 10))
            for n in range(1, 5):
                QTest.mouseMove(number, QPoint(40 + left * 8 * n, 10))
                QTest.qWait(12)
            QTest.mouseRelease(number, Qt.MouseButton.LeftButton, pos=QPoint(40 + left * 40, 10))

    def order(self) -> None:
        """A step laid earlier or later."""
        if self.a_step():
            self.click(self.draw.randrange(2))

    def aside(self) -> None:
        """A step set aside, or laid again."""
        if self.a_step():
            self.click(3)

    def twice(self) -> None:
        """A step laid once more."""
        if len(self.sitting.scene.steps) < MOST_STEPS and self.a_step():
            self.click(2)

    def take_out(self) -> None:
        """A step taken out."""
        if len(self.sitting.scene.steps) > 6 and self.take(self.draw.randrange(5, 7)):
            self.click(4)

    def back(self) -> None:
        """Some deeds taken back, and some of them done again."""
        for _ in range(self.draw.randint(1, 4)):
            self.press(Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
        for _ in range(self.draw.randint(0, 3)):
            self.press(Qt.Key.Key_Y, Qt.KeyboardModifier.ControlModifier)

    def version(self) -> None:
        """The sheet kept under a name; once there are some, gone on from one of them."""
        box, versions = self.desk.versions, self.sitting.versions
        if len(versions) < MOST_VERSIONS:
            self.press(Qt.Key.Key_V)
            QTest.keyClicks(box.name, f"kept {len(versions)} of {self.draw.random():.6f}")
            QTest.keyClick(box.name, Qt.Key.Key_Return)
            box.close()
        else:
            go_on_from(self.sitting, self.draw.choice(versions))

    def look(self) -> None:
        """Another way of looking, and back."""
        way, vision = self.draw.choice(list(WAYS)), self.draw.choice([None, None, "deutan"])
        self.desk.look(View(way=way, vision=vision, split=self.draw.choice([0.0, 0.0, 0.5])))
        QApplication.processEvents()
        self.desk.look(View())

    def save(self) -> None:
        """Saved where it was saved before."""
        if not self.desk.errands.worker.busy:
            self.press(Qt.Key.Key_S, Qt.KeyboardModifier.ControlModifier)
            self.desk.errands.worker.finish()

    def do_one(self) -> str:
        """Any deed; gives its name."""
        name = self.draw.choices(list(DEEDS), weights=list(DEEDS.values()))[0]
        deed: Callable[[], Any] = getattr(self, name)
        deed()
        QApplication.processEvents()
        self.names[name] = self.names.get(name, 0) + 1
        return name

    def close(self) -> None:
        """The window closed in peace."""
        self.desk.close()
        self.viewer.close()
        QApplication.processEvents()


DEEDS = {
    "stroke": 5,
    "go_on": 8,
    "into_the_wet": 0.3,
    "fill": 2,
    "band": 1,
    "dilute": 3,
    "order": 2,
    "aside": 3,
    "twice": 1,
    "take_out": 3,
    "back": 3,
    "version": 0.6,
    "look": 1.5,
    "save": 0.8,
}
"""How often each is drawn."""


def own_places(folder: Path) -> None:
    """Keep Qt's and napari's settings of this process in a folder of its own."""
    own = folder / "own"
    (own / "run").mkdir(parents=True, mode=0o700, exist_ok=True)
    os.environ |= {
        "QT_API": "pyside6",
        "NAPARI_CONFIG": str(own / "napari.yaml"),
        "XDG_CONFIG_HOME": str(own),
        "XDG_STATE_HOME": str(own),
        "XDG_RUNTIME_DIR": str(own / "run"),
    }
