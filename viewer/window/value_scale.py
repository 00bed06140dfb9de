"""The value scale beside the sheet: nine greys, and each can be dragged onto a place of it."""

from __future__ import annotations

from qtpy.QtCore import QEvent, QObject, QPointF, QRectF, Qt, Signal
from qtpy.QtGui import QColor, QMouseEvent, QPainter, QPaintEvent, QPen
from qtpy.QtWidgets import QWidget

from ..core.saying import say
from .drawing import letters_on
from .look import Wall, family, grey_of_value

VALUES = (9, 8, 7, 6, 5, 4, 3, 2, 1)
WIDE_PX, LARGEST_PX, MARGIN_PX = 26, 30, 26


class ValueScale(QWidget):
    """Greys from value 9 to 1 along the right edge of the canvas.

    carried : a grey is over the sheet: where on the canvas, and its value; None where it was let go
    dropped : a grey was let go there
    """

    carried = Signal(object)
    dropped = Signal(object, float)

    def __init__(self, canvas: QWidget, wall: Wall) -> None:
        super().__init__(canvas)
        self.canvas, self.wall = canvas, wall
        self.setCursor(Qt.CursorShape.OpenHandCursor)
        self.setAccessibleName(say("desk.scale"))
        self.setToolTip(say("desk.scale_told"))
        self._held: int | None = None
        canvas.installEventFilter(self)
        self._fit()
        self.show()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Along the edge of the canvas, always."""
        if event.type() == QEvent.Type.Resize:
            self._fit()
        return False

    def _fit(self) -> None:
        room = self.canvas.height() - 2 * MARGIN_PX
        high = max(min(LARGEST_PX * len(VALUES), room), 0)
        self.setGeometry(self.canvas.width() - WIDE_PX - 6, MARGIN_PX, WIDE_PX, high)
        self.raise_()

    def _patch(self, n: int) -> QRectF:
        high = self.height() / len(VALUES)
        return QRectF(0, n * high, self.width(), high)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        font = painter.font()
        font.setFamily(family())
        font.setPointSizeF(8)
        painter.setFont(font)
        for n, value in enumerate(VALUES):
            grey = QColor(grey_of_value(value))
            painter.fillRect(self._patch(n), grey)
            painter.setPen(letters_on(grey))
            painter.drawText(self._patch(n), Qt.AlignmentFlag.AlignCenter, str(value))
        painter.setPen(QPen(QColor(self.wall.line), 1))
        painter.drawRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5))

    def mousePressEvent(self, event: QMouseEvent) -> None:
        place = event.position()
        inside = (n for n in range(len(VALUES)) if self._patch(n).contains(place))
        self._held = next(inside, None)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        if self._held is not None:
            self.carried.emit((self._on_canvas(event), float(VALUES[self._held])))

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        held, self._held = self._held, None
        self.carried.emit(None)
        if held is not None and not self.rect().contains(event.position().toPoint()):
            self.dropped.emit(self._on_canvas(event), float(VALUES[held]))

    def _on_canvas(self, event: QMouseEvent) -> QPointF:
        return QPointF(self.mapTo(self.canvas, event.position().toPoint()))
