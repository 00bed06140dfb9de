"""Rulers in mm along two edges of the canvas, and guides while something is dragged."""

from __future__ import annotations

import numpy as np
from qtpy.QtCore import QEvent, QObject, QPointF, QRectF, Qt, QTimer
from qtpy.QtGui import (
    QColor,
    QFont,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPen,
    QPolygonF,
    QTransform,
)
from qtpy.QtWidgets import QWidget

from ..core.filling import Outline, Pointed
from ..core.laying import Point
from ..core.saying import say
from ..core.views import NOW
from .controls import Once
from .drawing import DARK, over_all, ring
from .look import Wall, family, grey_of_value
from .sheet_panel import SheetView
from .value_scale import WIDE_PX

RULER_PX = 18
SAID_MS = 6000
"""So long stands what is said at a place of the sheet."""


class Rulers(QWidget):
    """Rulers in mm along the upper and left edge of the canvas, and guides while dragging."""

    def __init__(self, canvas: QWidget, sheet: SheetView, wall: Wall) -> None:
        super().__init__(canvas)
        self.canvas, self.sheet, self.wall = canvas, sheet, wall
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setAttribute(Qt.WidgetAttribute.WA_NoSystemBackground)
        self.fit_soon = Once(sheet.fit, self)
        self.said: tuple[Point, str] | None = None
        self.marked = False
        self.carried: tuple[QPointF, float, str] | None = None
        self._drawn: object = None
        self._outlined: tuple[Outline, ...] = ()
        self._path = QPainterPath()
        self._silent = QTimer(self)
        self._silent.setSingleShot(True)
        self._silent.setInterval(SAID_MS)
        self._silent.timeout.connect(self._hush)
        canvas.installEventFilter(self)
        self.setGeometry(canvas.rect())
        self.show()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """As large as the canvas, always."""
        if event.type() == QEvent.Type.Resize:
            self.setGeometry(self.canvas.rect())
            if self.sheet.fitted:
                self.fit_soon()
        if event.type() == QEvent.Type.Leave:
            self.sheet.pointer, self.sheet.areas = None, None
        return False

    def look(self) -> None:
        """Draw anew if the sheet, the pointer or what it draws has moved."""
        sheet, camera = self.sheet, self.sheet.viewer.scene.camera
        words, pointer = sheet.cursor_words, sheet.pointer
        view, areas = sheet.sitting.preview.view, id(sheet.areas)
        now = *camera.center, camera.zoom, *sheet.guide, pointer, words, areas, view
        if now != self._drawn:
            self._drawn = now
            self.update()

    def say(self, point: Point, text: str, mark: bool = False) -> None:
        """Say something at a place of the sheet for a while; `mark` rings the place."""
        self.said, self.marked = (point, text), mark
        self._silent.start()
        self.update()

    def _hush(self) -> None:
        self.said = None
        self.update()

    @property
    def free(self) -> int:
        """How far to the right words may stand: the value scale would hide them."""
        return self.width() - WIDE_PX - 10

    def place(self, point: Point) -> QPointF:
        """Where a point of the sheet [mm] is on the canvas."""
        camera = self.sheet.viewer.scene.camera
        return QPointF(
            self.width() / 2 + (point[0] - camera.center[-1]) * camera.zoom,
            self.height() / 2 + (point[1] - camera.center[-2]) * camera.zoom,
        )

    def pixel(self, place: QPointF) -> tuple[int, int] | None:
        """Row and column of the sheet at a place of the canvas; None beside the sheet."""
        camera = self.sheet.viewer.scene.camera
        x = (place.x() - self.width() / 2) / camera.zoom + camera.center[-1]
        y = (place.y() - self.height() / 2) / camera.zoom + camera.center[-2]
        return self.sheet.sitting.painting.pixel_at((x, y))

    def carry(self, carried: tuple[QPointF, float, str] | None) -> None:
        """A grey of the value scale is carried over the sheet, with what is said of the place."""
        self.carried = carried
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        font = self.font()
        font.setPointSizeF(7.5)
        painter.setFont(font)
        self._ruler(painter, across=True)
        self._ruler(painter, across=False)
        painter.fillRect(QRectF(0, 0, RULER_PX, RULER_PX), QColor(self.wall.panel))
        painter.setPen(QColor(self.wall.faint))
        painter.drawText(QRectF(0, 0, RULER_PX, RULER_PX), Qt.AlignmentFlag.AlignCenter, "mm")
        self._guides(painter)
        if self.sheet.areas is not None:
            self._areas(painter, self.sheet.areas)
        self._cursor(painter)
        if self.said is not None:
            place = self.place(self.said[0])
            self._note(painter, place + QPointF(12, 12), self.said[1])
            if self.marked:
                ring(painter, place)
        if self.carried is not None:
            place, value, words = self.carried
            ring(painter, place)
            painter.fillRect(
                QRectF(place.x() + 12, place.y() - 12, 24, 24), QColor(grey_of_value(value))
            )
            if words:
                self._label(painter, place + QPointF(42, 0), words)
        view = self.sheet.sitting.preview.view
        if view.compared is not None:
            self._compared(painter, view.split, view.compared)
        if view.way != "as it will look":
            bottom = QPointF(RULER_PX + 8, self.height())
            told = say(f"look_told.{view.way}")
            words = say("look.shown", way=say(f"look.{view.way}"), told=told)
            self._note(painter, bottom, words)

    def _areas(self, painter: QPainter, areas: Pointed) -> None:
        """Round the areas that a click would fill, with the gaps that are taken as closed."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        corner, zoom = self.place((0.0, 0.0)), self.sheet.viewer.scene.camera.zoom
        on_canvas = QTransform(zoom, 0, 0, zoom, corner.x(), corner.y())
        way, shade = on_canvas.map(self._way(areas.outlines)), QColor(DARK)
        shade.setAlphaF(0.16)
        painter.fillPath(way, shade)
        over_all(painter, lambda: painter.drawPath(way), 3.0, 1.2)
        for join in areas.joins:
            line = [self.place(point) for point in join.path_mm]
            wide = 3.0 if join is areas.at else 1.6
            for colour, width in ((QColor("#ffffff"), wide + 2.4), (DARK, wide)):
                pen = QPen(colour, width)
                if colour == DARK:
                    pen.setDashPattern([1.5, 1.5])
                painter.setPen(pen)
                painter.drawPolyline(line)
            painter.setPen(QPen(DARK, 1.2))
            painter.setBrush(QColor("#ffffff"))
            for end in (line[0], line[-1]):
                painter.drawEllipse(end, 2.6, 2.6)
            painter.setBrush(Qt.BrushStyle.NoBrush)

    def _way(self, outlines: tuple[Outline, ...]) -> QPainterPath:
        """Outlines as a path [mm], made once for as long as the same are pointed at."""
        same = [id(line) for line in outlines] == [id(line) for line in self._outlined]
        if not same:
            self._outlined, self._path = outlines, QPainterPath()
            for line in outlines:
                self._path.addPolygon(QPolygonF([QPointF(x, y) for x, y in line.tolist()]))
        return self._path

    def _cursor(self, painter: QPainter) -> None:
        """The brush at the pointer, and how large what is in the hand is."""
        sheet = self.sheet
        words, at = sheet.cursor_words, sheet.guide[-1] if sheet.guide else sheet.pointer
        if sheet.guide_kind == "cut" and sheet.pointer:
            at = sheet.pointer
        if at is None:
            return
        away, place = 14.0, self.place(at)
        if sheet.way in ("soft", "damp"):
            radius = sheet.sitting.hand.brush.size_mm / 2 * sheet.viewer.scene.camera.zoom
            ring(painter, place, max(radius, 2.0), fine=True)
            away = min(radius, 80) + 8
        if words:
            self._label(painter, place + QPointF(away, 0), words)

    def _label(self, painter: QPainter, place: QPointF, words: str) -> None:
        """A few words right of a place of the canvas."""
        painter.setFont(QFont(family(), 9))
        frame = QRectF(painter.fontMetrics().boundingRect(words)).adjusted(-5, -2, 5, 2)
        frame.moveTo(place + QPointF(0, -frame.height() / 2))
        frame.moveRight(min(frame.right(), self.free))
        painter.fillRect(frame, QColor(self.wall.field))
        painter.setPen(QColor(self.wall.ink))
        painter.drawText(frame, Qt.AlignmentFlag.AlignCenter, words)

    def _compared(self, painter: QPainter, split: float, names: tuple[str, str]) -> None:
        """The line between two versions, and their names on either side of it."""
        wide, high = self.sheet.sitting.size_mm
        top, foot = self.place((split * wide, 0.0)), self.place((split * wide, high))
        over_all(painter, lambda: painter.drawLine(top, foot), 3.0, 1.2)
        down = max(top.y(), RULER_PX) + 10
        before, now = (say("look.now") if name == NOW else name for name in names)
        self._note(painter, QPointF(top.x() - 8, down), before, left_of=True)
        self._note(painter, QPointF(top.x() + 8, down), now)

    def _note(self, painter: QPainter, corner: QPointF, text: str, left_of: bool = False) -> None:
        """Words in a frame beside a corner, moved so that all of it is on the canvas."""
        font = QFont(family(), 10)
        painter.setFont(font)
        room = QRectF(0, 0, min(340, self.free - RULER_PX - 20), 200)
        flags = Qt.TextFlag.TextWordWrap | Qt.AlignmentFlag.AlignLeft
        frame = painter.boundingRect(room, flags, text).adjusted(-8, -5, 8, 5)
        start = corner.x() - frame.width() if left_of else corner.x()
        x = min(max(start, RULER_PX + 4), self.free - frame.width())
        y = min(max(corner.y(), RULER_PX + 4), self.height() - frame.height() - 4)
        frame.moveTo(x, y)
        painter.setPen(QPen(QColor(self.wall.ink), 1))
        painter.setBrush(QColor(self.wall.field))
        painter.drawRect(frame)
        painter.drawText(frame.adjusted(8, 5, -8, -5), flags, text)

    def _ruler(self, painter: QPainter, across: bool) -> None:
        camera = self.sheet.viewer.scene.camera
        zoom, length = camera.zoom, self.width() if across else self.height()
        band = QRectF(0, 0, length, RULER_PX) if across else QRectF(0, 0, RULER_PX, length)
        painter.fillRect(band, QColor(self.wall.panel))
        step = next((s for s in (1, 2, 5, 10, 20, 50, 100, 200, 500) if s * zoom >= 44), 1000)
        corner = self.place((0.0, 0.0))
        start = corner.x() if across else corner.y()
        sheet = self.sheet.sitting.size_mm[0 if across else 1]
        fine = step / (5 if step % 5 == 0 else 4 if step % 4 == 0 else 10)
        painter.setPen(QPen(QColor(self.wall.faint), 1))
        n = int(np.floor(-start / zoom / fine))
        while start + n * fine * zoom < length:
            mm = n * fine
            at = start + mm * zoom
            n += 1
            if mm < -1e-6 or mm > sheet + 1e-6 or at < RULER_PX:
                continue
            major = abs(mm / step - round(mm / step)) < 1e-6
            tick = 8 if major else 4
            if across:
                painter.drawLine(QPointF(at, RULER_PX - tick), QPointF(at, RULER_PX))
            else:
                painter.drawLine(QPointF(RULER_PX - tick, at), QPointF(RULER_PX, at))
            if major:
                self._number(painter, f"{mm:g}", at, across)

    def _number(self, painter: QPainter, text: str, at: float, across: bool) -> None:
        if across:
            painter.drawText(QPointF(at + 3, 9), text)
            return
        painter.save()
        painter.translate(9, at - 3)
        painter.rotate(-90)
        painter.drawText(QPointF(0, 0), text)
        painter.restore()

    def _guides(self, painter: QPainter) -> None:
        points = list(self.sheet.guide)
        if self.sheet.guide_kind == "cut" and points and self.sheet.pointer:
            points.append(self.sheet.pointer)
        if len(points) < 2:
            return
        places = [self.place(point) for point in points]
        over_all(painter, lambda: painter.drawPolyline(places), 3.0, 1.2)
        if self.sheet.guide_kind == "band":
            wide = self.sheet.sitting.hand.brush.size_mm * self.sheet.viewer.scene.camera.zoom
            pen = QPen(DARK, wide)
            pen.setCapStyle(Qt.PenCapStyle.FlatCap)
            painter.setOpacity(0.25)
            painter.setPen(pen)
            painter.drawPolyline(places)
