"""SHEET: the picture in napari's canvas, the pen on it, and rulers in mm along its edges."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any

import numpy as np
from qtpy.QtCore import QEvent, QObject, Signal
from qtpy.QtGui import QTabletEvent
from qtpy.QtWidgets import QWidget

from glaze.errors import InputError

from ..core.filling import Filling, Pointed
from ..core.laying import Laying, Point
from ..core.saying import problems, say
from ..core.sitting import Sitting
from .look import Wall
from .sheet_layer import SheetLayer

JOIN_PX = 8
"""So near a join has to be pointed at [screen px]."""


class Pressure(QObject):
    """How hard the pen is pressed, where there is a tablet; 1 for a mouse."""

    def __init__(self) -> None:
        super().__init__()
        self.now = 1.0

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Listen to tablet events and let them pass: Qt makes mouse events of them."""
        if isinstance(event, QTabletEvent):
            self.now = float(event.pressure()) if event.pressure() > 0 else 1.0
        return False


class SheetView(SheetLayer):
    """The sheet of a sitting in a napari viewer.

    last : where it was last pressed; pointer : where the pointer is [mm]
    areas : enclosed areas that a click would fill
    """

    pointed = Signal(object)
    laid = Signal()
    refused = Signal(str)

    def __init__(self, viewer: Any, sitting: Sitting, wall: Wall) -> None:
        super().__init__(viewer, sitting, wall)
        self.laying, self.filling = Laying(sitting), Filling(sitting)
        self.areas: Pointed | None = None
        self.pointer: Point | None = None
        self.way = "soft"
        self.guide: list[Point] = []
        self.guide_kind = ""
        self._pending: list[tuple[Point, float]] = []
        self._down = False
        self.pressure = Pressure()
        self.last: Point = (0.0, 0.0)
        self.layer.mouse_drag_callbacks.append(self._drag)
        viewer.mouse_move_callbacks.append(self._hover)
        # a double click closes a cut edge here; napari's own would go nearer as well
        self._double_clicks = list(viewer.mouse_double_click_callbacks)
        viewer.mouse_double_click_callbacks[:] = [self._double_click]
        self.set_way(self.way)

    def follow(self, sitting: Sitting) -> None:
        """Show another sitting; the layer stays, only its array is another."""
        self.laying, self.filling = Laying(sitting), Filling(sitting)
        self.pointer, self._pending = None, []
        super().follow(sitting)
        self.set_way(self.way)

    def find_canvas(self, window: QWidget) -> None:
        """Find the canvas in this viewer's own window, and listen to its pen."""
        super().find_canvas(window)
        if self._canvas is not None:
            self._canvas.installEventFilter(self.pressure)

    # ---- the pen

    def set_way(self, way: str) -> None:
        """Take another way to lay."""
        self.way = way
        self.guide, self.guide_kind, self.areas = [], "", None
        if way == "enclosed":
            self.filling.look()
        # the brush's own circle is drawn by the rulers: napari's would hide what lies in it
        self.layer.cursor = "cross"

    def _drag(self, layer: Any, event: Any) -> Generator[None]:
        """napari calls this at a press, and goes on with it at each move and at the release."""
        if event.button != 1:
            yield from self._pan(event)
            return
        point = self.last = self._point(event)
        if not self._on_sheet(point):
            yield from self._pan(event)
        elif self.way in ("soft", "damp"):
            yield from self._stroke(event, point)
        elif self.way in ("band", "graded"):
            yield from self._line(event, point)
        elif self.way == "enclosed":
            yield from self._fill(event, point)
        elif self.way == "cut":
            self.guide.append(point)
            self.guide_kind = "cut"
            yield
        else:
            yield from self._pan(event)

    def _on_sheet(self, point: Point) -> bool:
        """Whether the brush touches the sheet there."""
        reach = self.sitting.hand.brush.size_mm / 2 if self.way in ("soft", "damp") else 0.0
        width, height = self.sitting.size_mm
        x, y = point
        return -reach <= x <= width + reach and -reach <= y <= height + reach

    def _pan(self, event: Any) -> Generator[None]:
        camera = self.viewer.scene.camera
        start, centre = np.array(event.pos, float), np.array(camera.center, float)
        held = True
        while held:
            yield
            # napari leaves moves out when they come fast: the end is where the hand lets go
            held = event.type == "mouse_move"
            moved = (np.array(event.pos, float) - start) / camera.zoom
            camera.center = (centre[0], centre[1] - moved[1], centre[2] - moved[0])

    def _stroke(self, event: Any, point: Point) -> Generator[None]:
        try:
            rect = self.laying.press(point, self.pressure.now)
        except InputError as error:
            self.refused.emit(problems(error))
            return
        self._down = True
        self.show([rect])
        yield
        while event.type == "mouse_move":
            self.pointer = self._point(event)
            self._pending.append((self.pointer, self.pressure.now))
            yield
        # napari leaves moves out when they come fast: the end is where the pen went up
        self._pending.append((self._point(event), self.pressure.now))
        self.end_stroke()

    def end_stroke(self) -> None:
        """The pen goes up, or where it goes up can't be seen any more."""
        self._down = False
        if self.laying.stroke is not None:
            self.draw_pending()
            self.laying.up()
            self.laid.emit()

    def draw_pending(self) -> None:
        """Draw what the pen has done since the last time; called once a frame."""
        if self._pending:
            places, self._pending = self._pending, []
            self.show([self.laying.move(places)])

    def _line(self, event: Any, start: Point) -> Generator[None]:
        self.guide, self.guide_kind = [start, start], self.way
        yield
        while event.type == "mouse_move":
            self.guide = [start, self._point(event)]
            yield
        end, self.guide = self._point(event), []
        if np.hypot(end[0] - start[0], end[1] - start[1]) < 0.5:
            return
        lay = self.laying.rule if self.way == "band" else self.laying.grade
        self._try(lambda: lay(start, end))

    def _double_click(self, viewer: Any, event: Any) -> None:
        if self.way == "cut" and len(self.guide) >= 3:
            corners, self.guide = self.guide, []
            self._try(lambda: self.laying.cut(_without_doubles(corners)))

    def _try(self, lay: Any) -> None:
        try:
            lay()
        except InputError as error:
            self.refused.emit(problems(error))
        else:
            self.laid.emit()

    def _point(self, event: Any) -> Point:
        return round(float(event.position[-1]), 2), round(float(event.position[-2]), 2)

    def _hover(self, viewer: Any, event: Any) -> None:
        self.pointer = self._point(event)
        if self.way == "enclosed" and not self._down:
            self._point_out(event)
        self.pointed.emit(self.sitting.painting.pixel_at(self.pointer))

    # ---- enclosed areas

    def _point_out(self, event: Any) -> None:
        """Show the area that a click would fill and its joins; with Shift all that are like it."""
        point = self._point(event)
        self.filling.look()
        number, self.areas = self.filling.number_at(point), None
        if number:
            numbers = self.filling.likes(number) if _held(event, "Shift") else (number,)
            reach = JOIN_PX / self.viewer.scene.camera.zoom
            self.areas = self.filling.pointed(numbers, point, reach)

    def _fill(self, event: Any, point: Point) -> Generator[None]:
        """Fill the areas that are passed over; or with Ctrl open the join that is pointed at."""
        self._point_out(event)
        at = None if self.areas is None else self.areas.at
        number = self.filling.number_at(point)
        if at is not None and _held(event, "Control"):
            self.areas = None
            self._try(lambda: self.filling.refuse(at))
            yield
            return
        numbers = list(self.areas.numbers) if self.areas else [number]
        self._down, last = True, point
        while self._down:
            yield
            # a fast hand leaves places out, and where it lets go is one of them
            self._down = event.type == "mouse_move"
            here = self._point(event)
            if more := [n for n in self.filling.passed(last, here) if n not in numbers]:
                numbers += more
                self.areas = self.filling.pointed(numbers, point)
            last = here
        self.areas = None
        self._try(lambda: self.laying.fill(*self.filling.points(numbers, point)))

    @property
    def cursor_words(self) -> str:
        """How large what is in the hand is, and what it draws; "" while a stroke is laid."""
        size = f"{self.sitting.hand.brush.size_mm:g}"
        if self.way in ("soft", "damp"):
            return "" if self._down else f"{size} mm"
        if self.way == "enclosed":
            return self.areas.words if self.areas else ""
        end = self.pointer if self.way == "cut" else None
        line = self.guide[-1:] + ([end] if end else []) if self.way == "cut" else self.guide
        long = np.hypot(*np.subtract(line[0], line[1])) if len(line) > 1 else 0.0
        length = say("here.long", mm=f"{long:.0f}") if len(line) > 1 else ""
        wide = say("here.wide", mm=size) if self.way == "band" else ""
        return ", ".join(part for part in (length, wide) if part)

    @property
    def is_down(self) -> bool:
        """Whether the pen is on the sheet."""
        return self._down

    def close(self) -> None:
        """Take everything back that was hooked in."""
        super().close()
        if self._hover in self.viewer.mouse_move_callbacks:
            self.viewer.mouse_move_callbacks.remove(self._hover)
        self.viewer.mouse_double_click_callbacks[:] = self._double_clicks


def _held(event: Any, key: str) -> bool:
    """Whether a key is held while the mouse is used."""
    return any(key in str(held) for held in event.modifiers)


def _without_doubles(points: list[Point]) -> list[Point]:
    """A double click leaves its corner twice."""
    kept = [points[0]]
    for point in points[1:]:
        if np.hypot(point[0] - kept[-1][0], point[1] - kept[-1][1]) > 0.2:
            kept.append(point)
    return kept
