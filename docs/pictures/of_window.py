"""The pictures of the window: the lighthouse opened, a few things done with the mouse, and what the
screen shows. Wants a display.
"""

from __future__ import annotations

import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from typing import Any

from qtpy.QtCore import QBuffer, QPoint, Qt
from qtpy.QtGui import QPixmap
from qtpy.QtTest import QTest
from qtpy.QtWidgets import QApplication, QWidget

from viewer.core import drafting
from viewer.core.brush import Brush
from viewer.core.keep import first_sitting
from viewer.core.versions import keep_version, painting_of
from viewer.core.views import Kept, View

SIZE = 1480, 980


class Photographer:
    """The desk, a hand on the mouse, and a camera."""

    def __init__(self) -> None:
        import napari

        from viewer.window.app import open_desk

        self.taken: dict[str, bytes] = {}
        self.viewer = napari.Viewer(show=True)
        kept = Path(tempfile.mkdtemp())
        self.desk = open_desk(self.viewer, first_sitting(None), recovery=kept)
        self.desk.caution.shown = True
        self.desk.window.resize(*SIZE)
        self.rest(1.5)
        self.desk.sheet.fit()
        self.rest()

    def rest(self, seconds: float = 0.6) -> None:
        """Let the window come to rest."""
        until = time.time() + seconds
        while time.time() < until or self.desk.sitting.busy:
            QApplication.processEvents()
            time.sleep(0.004)

    def take(self, name: str, widget: QWidget | None = None) -> None:
        """Keep what a widget, or the window, shows."""
        self.rest()
        QTest.qWait(300)  # the last tiles come to the screen with the next frame
        place: Any = widget or self.desk.window
        screen = QApplication.primaryScreen()
        corner = place.mapToGlobal(QPoint(0, 0))
        shot: QPixmap = screen.grabWindow(0, corner.x(), corner.y(), place.width(), place.height())
        kept = QBuffer()
        kept.open(QBuffer.OpenModeFlag.WriteOnly)
        shot.save(kept, "PNG")
        self.taken[f"viewer_{name}.png"] = bytes(kept.data().data())

    def point(self, x_mm: float, y_mm: float) -> None:
        """Move the pointer to a place of the sheet."""
        for shift in (2, 0):
            QTest.mouseMove(self.desk.sheet.canvas(), self.at(x_mm + shift, y_mm))
            self.rest(0.15)

    def at(self, x_mm: float, y_mm: float) -> QPoint:
        return self.desk.rulers.place((x_mm, y_mm)).toPoint()

    def pixel(self, x_mm: float, y_mm: float) -> tuple[int, int]:
        per_mm = self.desk.sitting.painting.dpi / 25.4
        return int(y_mm * per_mm), int(x_mm * per_mm)

    def drag(self, *places: tuple[float, float]) -> None:
        """A stroke with the left button."""
        canvas = self.desk.sheet.canvas()
        points = [self.at(*place) for place in places]
        QTest.mouseMove(canvas, points[0])
        QTest.mousePress(canvas, Qt.MouseButton.LeftButton, pos=points[0])
        for a, b in pairwise(points):
            for share in range(1, 11):
                QTest.mouseMove(canvas, a + (b - a) * (share / 10))
                QTest.qWait(12)
        QTest.mouseRelease(canvas, Qt.MouseButton.LeftButton, pos=points[-1])
        self.rest()


def first_look(camera: Photographer) -> None:
    camera.desk.foot.start_tour()
    camera.point(60, 60)
    camera.take("first_look")
    camera.desk.foot.end_tour()


def a_wash_in_hand(camera: Photographer) -> None:
    desk = camera.desk
    desk.sitting.hold(
        replace(desk.sitting.hand, mix="Yellow 3 + Red 2 + water 12", brush=Brush(9, 0.3))
    )
    camera.drag((18, 118), (36, 112), (58, 117))
    camera.drag((24, 124), (40, 121), (52, 124))
    camera.point(36, 114)


def bleach(camera: Photographer) -> None:
    desk = camera.desk
    desk.let_dry()
    desk.table.holding.take_kind("lift")
    desk.sitting.hold(replace(desk.sitting.hand, parts_water=9, brush=Brush(3, 0.4)))
    camera.drag((104, 118), (118, 108), (134, 114))
    camera.point(118, 108)
    camera.take("bleach")
    desk.take_back()
    desk.table.holding.take_kind("wash")


def values(camera: Photographer) -> None:
    camera.desk.look(View("five values", split=0.5))
    camera.take("values")
    camera.desk.look(View())


def table(camera: Photographer) -> None:
    camera.take("table", camera.desk.table)


def three_ways(camera: Photographer) -> None:
    desk = camera.desk
    pixel = camera.pixel(85, 75)
    desk.three_ways.show_for(pixel, 3)
    desk.three_ways.worker.finish()
    camera.take("three_ways", desk.three_ways)
    desk.three_ways.close()


def versions(camera: Photographer) -> None:
    desk, sitting = camera.desk, camera.desk.sitting
    number = next(n for n, step in enumerate(sitting.scene.steps) if "shadow" in step.name)
    for parts in (1, 6):
        mix = f"shadow 1 part + water {parts} parts"
        draft = drafting.with_changed_step(sitting.draft, number, mix=mix)
        sitting.do(f"shadow 1 + {parts}", draft)
        camera.rest()
        keep_version(sitting, f"shadow 1 + {parts}")
    one, other = (Kept(v.name, painting_of(sitting, v)) for v in sitting.versions)
    desk.look(View(split=0.55, left=one, right=other))
    camera.take("versions")
    desk.look(View())


DEEDS: tuple[Callable[[Photographer], None], ...] = (
    first_look,
    a_wash_in_hand,
    bleach,
    table,
    values,
    three_ways,
    versions,
)


def pictures() -> Iterator[tuple[str, bytes]]:
    """Name and content of each."""
    camera = Photographer()
    for deed in DEEDS:
        deed(camera)
    camera.desk.close()
    camera.viewer.close()
    yield from camera.taken.items()
