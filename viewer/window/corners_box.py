"""The corners of a sheet in a photo, dragged onto it; they are near enough by themselves mostly."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from qtpy.QtCore import QPointF, QRectF, QSizeF, Qt, Signal
from qtpy.QtGui import (
    QColor,
    QFocusEvent,
    QImage,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPixmap,
    QPolygonF,
)
from qtpy.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QWidget

from glaze.errors import InputError

from ..core.corners import Photo, mean_sides
from ..core.saying import problems, say
from ..core.sizes import Size, size_of, usual_sizes
from .dialogs import Box
from .drawing import DARK, over_all, ring

ROOM_PX = 640, 460
"""A photo is shown at most so large."""
LOUPE_PX, LOUPE_TIMES = 132, 4
PHOTO_ALIKE = 0.35
"""A sheet may look so much narrower or wider in a photo that was taken at a slant."""

Taken = Callable[[NDArray[np.float64], Size | None], None]


class CornersPicture(QWidget):
    """A photo with four rings to drag, or to move by the arrow keys; Space takes the next ring.

    corners : in the photo [px], shape (4, 2); chosen : number of the ring in hand
    """

    moved = Signal()

    def __init__(self, photo: Photo) -> None:
        super().__init__()
        self.corners, self.chosen = photo.corners.copy(), 0
        self.limits = np.array(photo.pixels, float)
        self._down = False
        rows, columns = photo.small.shape[:2]
        content = np.ascontiguousarray(photo.small).tobytes()
        image = QImage(content, columns, rows, 3 * columns, QImage.Format.Format_RGB888)
        self.picture = QPixmap.fromImage(image)
        self.share = min(ROOM_PX[0] / photo.pixels[0], ROOM_PX[1] / photo.pixels[1])
        self.setFixedSize(*(round(side * self.share) for side in photo.pixels))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.CrossCursor)
        self._say()

    def place(self, n: int) -> QPointF:
        """Where a corner is on the widget."""
        x, y = self.corners[n] * self.share
        return QPointF(x, y)

    def move_to(self, n: int, x: float, y: float) -> None:
        """Put a corner somewhere else in the photo [px]."""
        self.corners[n] = np.clip((x, y), 0, self.limits)
        self.chosen = n
        self._say()
        self.update()
        self.moved.emit()

    def _say(self) -> None:
        x, y = self.corners[self.chosen]
        corner = say(f"corners.{self.chosen}")
        self.setAccessibleName(say("corners.at", corner=corner, x=f"{x:.0f}", y=f"{y:.0f}"))

    # ---- the hand

    def mousePressEvent(self, event: QMouseEvent) -> None:
        at = np.array([event.position().x(), event.position().y()]) / self.share
        self.chosen, self._down = int(np.argmin(np.hypot(*(self.corners - at).T))), True
        self._say()
        self.update()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self._down:
            self.move_to(self.chosen, *(np.array(event.position().toTuple()) / self.share))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        self.mouseMoveEvent(event)
        self._down = False
        self.update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        keys = Qt.Key
        away = {keys.Key_Left: (-1, 0), keys.Key_Right: (1, 0), keys.Key_Up: (0, -1)}
        move = (away | {keys.Key_Down: (0, 1)}).get(Qt.Key(event.key()))
        if event.key() == keys.Key_Space:
            self.chosen = (self.chosen + 1) % 4
            self._say()
            self.update()
        elif move is None:
            super().keyPressEvent(event)
        else:
            far = event.modifiers() & Qt.KeyboardModifier.ShiftModifier
            step = (10 if far else 1) * max(1.0, 1 / (4 * self.share))
            x, y = self.corners[self.chosen] + np.array(move) * step
            self.move_to(self.chosen, x, y)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self.update()

    # ---- drawn

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.drawPixmap(self.rect(), self.picture)
        sheet = QPolygonF([self.place(n) for n in range(4)])
        beside, inside = QPainterPath(), QPainterPath()
        beside.addRect(QRectF(self.rect()))
        inside.addPolygon(sheet)
        inside.closeSubpath()
        painter.fillPath(beside.subtracted(inside), QColor(0, 0, 0, 90))
        over_all(painter, lambda: painter.drawPolygon(sheet), 3.0, 1.2)
        for n in range(4):
            ring(painter, self.place(n))
        if self._down or self.hasFocus():
            ring(painter, self.place(self.chosen), 12)
            self._loupe(painter)

    def _loupe(self, painter: QPainter) -> None:
        """The corner in hand, larger, in the middle, where it hides no other."""
        at, glass = self.place(self.chosen), QRectF(0, 0, LOUPE_PX, LOUPE_PX)
        glass.moveCenter(QRectF(self.rect()).center())
        small = self.picture.width() / self.width()
        side = LOUPE_PX / LOUPE_TIMES * small
        seen = QRectF(QPointF(0, 0), QSizeF(side, side))
        seen.moveCenter(at * small)
        painter.fillRect(glass, DARK)
        painter.drawPixmap(glass, self.picture, seen)
        over_all(painter, lambda: painter.drawRect(glass), 3.0, 1.2)
        ring(painter, glass.center(), 5, fine=True)


class CornersBox(Box):
    """Asks for the corners of a sheet in a photo, and for its size where nobody knows it.

    taken : is told the corners [px] and the size [mm]
    """

    def __init__(self, host: QWidget, photo: Photo, done: str, taken: Taken, sized: bool) -> None:
        super().__init__(host, say("corners.title"), once=True)
        self.photo, self.taken, self.sized = photo, taken, sized
        found = "corners.found" if photo.found else "corners.lost"
        self.add_words(say(found, name=photo.path.name))
        self.picture = CornersPicture(photo)
        self.places.addWidget(self.picture, 0, Qt.AlignmentFlag.AlignHCenter)
        self.size_line = QLineEdit(self._likely_size())
        self.size_line.setAccessibleName(say("corners.size"))
        if sized:
            row = QHBoxLayout()
            row.addWidget(QLabel(say("corners.is")))
            row.addWidget(self.size_line, 1)
            row.addWidget(QLabel(say("corners.as")))
            self.places.addLayout(row)
        self.wrong = self.add_words()
        self.wrong.setVisible(False)
        self.add_ends((done, self.take), (say("common.cancel"), self.reject))
        self.setWindowModality(Qt.WindowModality.WindowModal)

    def _likely_size(self) -> str:
        """The usual sheet that is most like it."""
        usual = usual_sizes(mean_sides(self.picture.corners), PHOTO_ALIKE)
        return "A4" if "A4" in usual or not usual else next(iter(usual))

    def take(self) -> None:
        """Take the corners as they are now, or tell what is wrong with the size."""
        try:
            sides = mean_sides(self.picture.corners)
            size = size_of(self.size_line.text(), sides, PHOTO_ALIKE) if self.sized else None
        except InputError as error:
            self.wrong.setText(problems(error))
            self.wrong.setVisible(True)
            return
        self.accept()
        self.taken(self.picture.corners, size)
