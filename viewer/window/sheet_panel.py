"""SHEET: the picture in napari's canvas, the pen on it, and rulers in mm along its edges."""

from __future__ import annotations

from collections.abc import Generator
from typing import Any

import numpy as np
from qtpy.QtCore import QEvent, QObject, Signal
from qtpy.QtGui import QTabletEvent
from qtpy.QtWidgets import QWidget

from glaze.errors import InputError
from glaze.sheet.rect import Rect
from viewer.core.laying import Laying, Point
from viewer.core.napari_layers import TAG, placed
from viewer.core.pyramid import at_level
from viewer.core.sitting import Sitting
from viewer.window.look import Wall
from viewer.window.texture import upload

CRISP = 1.5
"""From so many screen pixels a pixel of the sheet on, pixels are shown as squares."""


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


class SheetView(QObject):
    """The sheet of a sitting in a napari viewer.

    last : where it was last pressed
    """

    pointed = Signal(object)
    laid = Signal()
    refused = Signal(str)

    def __init__(self, viewer: Any, sitting: Sitting, wall: Wall) -> None:
        super().__init__()
        self.viewer, self.sitting, self.wall = viewer, sitting, wall
        self.laying = Laying(sitting)
        self.way = "soft"
        self.layer: Any = None
        self.guide: list[Point] = []
        self.guide_kind = ""
        self._pending: list[tuple[Point, float]] = []
        self._down = False
        self._fitting, self.fitted = False, True
        self.pressure = Pressure()
        self._canvas: QWidget | None = None
        self.last: Point = (0.0, 0.0)
        self._add_layer()
        viewer.scene.camera.events.connect(self._camera_moved)
        viewer.mouse_move_callbacks.append(self._hover)
        viewer.mouse_double_click_callbacks.append(self._double_click)
        sitting.picture_changed.connect(self.show)

    # ---- the layer

    def _add_layer(self) -> None:
        sitting = self.sitting
        self.layer = self.viewer.add_image(
            sitting.preview.pyramid.levels[0],
            rgb=True,
            name="sheet",
            interpolation2d="linear",
            metadata={TAG: {"what": "sheet of the desk"}},
            **placed(sitting.painting.dpi),
        )
        layer = self.layer
        layer.mouse_drag_callbacks.append(self._drag)
        layer.mouse_pan = False
        for name in ("gamma", "contrast_limits", "blending", "opacity", "colormap"):
            getattr(layer.events, name).connect(self._keep_true)
        self.set_way(self.way)
        self.fit()

    def _keep_true(self, event: Any = None) -> None:
        """The picture's colours are the answer: nothing napari has may change them."""
        layer = self.layer
        if layer.gamma != 1:
            layer.gamma = 1
        if tuple(layer.contrast_limits) != (0, 255):
            layer.contrast_limits = (0, 255)
        if layer.opacity != 1:
            layer.opacity = 1
        if str(layer.blending) != "translucent_no_depth":
            layer.blending = "translucent_no_depth"

    def follow(self, sitting: Sitting) -> None:
        """Show another sitting; the layer stays, only its array is another."""
        self.sitting = sitting
        self.laying = Laying(sitting)
        sitting.picture_changed.connect(self.show)
        self._show_level(0)
        self.fit()

    def fit(self) -> None:
        """The whole sheet on the screen."""
        self._fitting = True
        self.viewer.reset_view()
        self._fitting = False
        self.fitted = True
        self._camera_moved()

    def true_size(self, screen_dpi: float) -> None:
        """A millimetre of the sheet is a millimetre on the screen."""
        self.viewer.scene.camera.zoom = screen_dpi / 25.4
        self._camera_moved()

    @property
    def screen_px_per_px(self) -> float:
        """Screen pixels a pixel of the sheet takes."""
        return float(self.viewer.scene.camera.zoom) * 25.4 / self.sitting.painting.dpi

    def _camera_moved(self, event: Any = None) -> None:
        if event is not None and not self._fitting:
            self.fitted = False  # the painter has gone nearer or elsewhere
        preview = self.sitting.preview
        # on fine screens a pixel of Qt's is more than one of the screen's
        canvas = self.canvas()
        fine = 1.0 if canvas is None else canvas.devicePixelRatioF()
        level = preview.pyramid.level_for(self.screen_px_per_px * fine)
        preview.visible = self.visible()
        if level != preview.level:
            self._show_level(level)
        wanted = "nearest" if self.screen_px_per_px * 2**level >= CRISP else "linear"
        if str(self.layer.interpolation2d) != wanted:
            self.layer.interpolation2d = wanted

    def _show_level(self, level: int) -> None:
        """Show the sheet from another level of its pyramid."""
        preview = self.sitting.preview
        preview.level = level
        place = placed(self.sitting.painting.dpi, 2**level)
        self.layer.data = preview.pyramid.levels[level]
        self.layer.scale, self.layer.translate = place["scale"], place["translate"]

    def visible(self) -> Rect:
        """The part of the sheet that is on the screen [px]."""
        camera = self.viewer.scene.camera
        rows, columns = self.sitting.painting.shape
        height, width = self.canvas_size()
        per_mm = self.sitting.painting.dpi / 25.4
        middle = camera.center[-2] * per_mm, camera.center[-1] * per_mm
        half = (
            height / 2 / max(camera.zoom, 1e-6) * per_mm,
            width / 2 / max(camera.zoom, 1e-6) * per_mm,
        )
        return Rect(
            int(np.clip(middle[0] - half[0], 0, rows)),
            int(np.clip(middle[1] - half[1], 0, columns)),
            int(np.clip(np.ceil(middle[0] + half[0]), 0, rows)),
            int(np.clip(np.ceil(middle[1] + half[1]), 0, columns)),
        )

    def canvas_size(self) -> tuple[float, float]:
        """Height and width of the canvas [screen px]."""
        canvas = self.canvas()
        return (800.0, 1000.0) if canvas is None else (canvas.height(), canvas.width())

    def canvas(self) -> QWidget | None:
        """napari's canvas as a Qt widget; None until it is found in its window."""
        return self._canvas

    def find_canvas(self, window: QWidget) -> None:
        """Find the canvas in this viewer's own window, and listen to its pen."""
        for widget in window.findChildren(QWidget):
            if type(widget).__name__ == "CanvasBackendDesktop":
                self._canvas = widget
                widget.installEventFilter(self.pressure)
                self.fit()

    def show(self, rects: list[Rect]) -> None:
        """Bring rectangles of the picture to the screen."""
        level = self.sitting.preview.level
        if self.layer.data is not self.sitting.preview.pyramid.levels[level]:
            self._show_level(level)
            return
        together: Rect | None = None
        for rect in rects:
            part = at_level(rect, level)
            together = part if together is None else together.union(part)
        if together is not None:
            upload(self.viewer, self.layer, together)

    # ---- the pen

    def set_way(self, way: str) -> None:
        """Take another way to lay."""
        self.way = way
        self.guide, self.guide_kind = [], ""
        brushes = way in ("soft", "damp")
        self.layer.cursor = "circle" if brushes else "cross"
        self.layer.cursor_size = self.sitting.hand.brush.size_mm if brushes else 1

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
            self._try(lambda: self.laying.fill(point))
            yield
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
        yield
        while event.type == "mouse_move":
            moved = (np.array(event.pos, float) - start) / camera.zoom
            camera.center = (centre[0], centre[1] - moved[1], centre[2] - moved[0])
            yield

    def _stroke(self, event: Any, point: Point) -> Generator[None]:
        try:
            rect = self.laying.press(point, self.pressure.now)
        except InputError as error:
            self.refused.emit(" ".join(error.problems))
            return
        self._down = True
        self.show([rect])
        yield
        while event.type == "mouse_move":
            self._pending.append((self._point(event), self.pressure.now))
            yield
        # napari leaves moves out when they come fast: the end is where the pen went up
        self._pending.append((self._point(event), self.pressure.now))
        self.draw_pending()
        self._down = False
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
            self.refused.emit(" ".join(error.problems))
        else:
            self.laid.emit()

    def _point(self, event: Any) -> Point:
        return round(float(event.position[-1]), 2), round(float(event.position[-2]), 2)

    def _hover(self, viewer: Any, event: Any) -> None:
        x, y = self._point(event)
        if self.guide_kind == "cut" and self.guide and self.way == "cut":
            self.pointer = (x, y)
        rows, columns = self.sitting.painting.shape
        per_mm = self.sitting.painting.dpi / 25.4
        row, column = int(y * per_mm), int(x * per_mm)
        inside = 0 <= row < rows and 0 <= column < columns
        self.pointed.emit((row, column) if inside else None)

    pointer: Point | None = None

    @property
    def is_down(self) -> bool:
        """Whether the pen is on the sheet."""
        return self._down

    def close(self) -> None:
        """Take everything back that was hooked in."""
        self.viewer.scene.camera.events.disconnect(self._camera_moved)
        for callbacks, own in (
            (self.viewer.mouse_move_callbacks, self._hover),
            (self.viewer.mouse_double_click_callbacks, self._double_click),
        ):
            if own in callbacks:
                callbacks.remove(own)


def _without_doubles(points: list[Point]) -> list[Point]:
    """A double click leaves its corner twice."""
    kept = [points[0]]
    for point in points[1:]:
        if np.hypot(point[0] - kept[-1][0], point[1] - kept[-1][1]) > 0.2:
            kept.append(point)
    return kept
