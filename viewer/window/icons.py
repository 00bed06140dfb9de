"""Icons, drawn here: things of the studio, on a grid of 24."""

from __future__ import annotations

from collections.abc import Callable

from qtpy.QtCore import QPointF, QRectF, Qt
from qtpy.QtGui import QColor, QIcon, QPainter, QPainterPath, QPen, QPixmap

Draw = Callable[[QPainter], None]


def icon(name: str, colour: str) -> QIcon:
    """An icon of a studio thing, on a grid of 24."""
    size, scale = 22, 4  # drawn large, so that it stays crisp on fine screens
    pixmap = QPixmap(size * scale, size * scale)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.scale(size * scale / 24, size * scale / 24)
    pen = QPen(QColor(colour), 1.5)
    pen.setCapStyle(Qt.PenCapStyle.RoundCap)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    ICONS[name](painter)
    painter.end()
    pixmap.setDevicePixelRatio(scale)
    return QIcon(pixmap)


def _path(painter: QPainter, *points: tuple[float, float], close: bool = False) -> None:
    path = QPainterPath(QPointF(*points[0]))
    for point in points[1:]:
        path.lineTo(QPointF(*point))
    if close:
        path.closeSubpath()
    painter.drawPath(path)


def _filled(painter: QPainter) -> None:
    painter.setBrush(painter.pen().color())


def _drop(painter: QPainter, x: float, y: float, r: float) -> None:
    path = QPainterPath(QPointF(x, y - 2 * r))
    path.cubicTo(QPointF(x + 0.4 * r, y - r), QPointF(x + r, y - 0.5 * r), QPointF(x + r, y))
    path.arcTo(QRectF(x - r, y - r, 2 * r, 2 * r), 0, -180)
    path.cubicTo(QPointF(x - r, y - 0.5 * r), QPointF(x - 0.4 * r, y - r), QPointF(x, y - 2 * r))
    painter.drawPath(path)


def _brush(painter: QPainter) -> None:
    _path(painter, (20, 4), (11, 13))
    _path(painter, (12.5, 11.5), (9, 11), (5, 19), (13, 15), (12.5, 11.5), close=True)


def _soft(painter: QPainter) -> None:
    _brush(painter)
    _filled(painter)
    _path(painter, (9, 11.5), (5, 19), (12.5, 15), close=True)


def _damp(painter: QPainter) -> None:
    _brush(painter)
    _drop(painter, 18, 19, 2.6)


def _enclosed(painter: QPainter) -> None:
    path = QPainterPath(QPointF(6, 6))
    path.cubicTo(QPointF(11, 2), QPointF(20, 5), QPointF(20, 11))
    path.cubicTo(QPointF(20, 18), QPointF(13, 21), QPointF(8, 19))
    path.cubicTo(QPointF(2, 17), QPointF(2, 9), QPointF(6, 6))
    painter.drawPath(path)
    _filled(painter)
    _drop(painter, 12, 14, 2.6)


def _band(painter: QPainter) -> None:
    painter.save()
    painter.translate(12, 12)
    painter.rotate(-35)
    painter.drawRect(QRectF(-10, 1.5, 20, 5))
    _filled(painter)
    painter.drawRect(QRectF(-9, -5, 18, 2.6))
    painter.restore()


def _cut(painter: QPainter) -> None:
    _path(painter, (4, 18), (9, 5), (19, 8), (16, 18), close=True)
    for x, y in ((4, 18), (9, 5), (19, 8), (16, 18)):
        painter.drawEllipse(QPointF(x, y), 1, 1)


def _graded(painter: QPainter) -> None:
    for n in range(6):
        painter.setOpacity(1 - n / 6.5)
        _path(painter, (4, 4.5 + 3 * n), (20, 4.5 + 3 * n))


def _reserve(painter: QPainter) -> None:
    path = QPainterPath()
    path.addEllipse(QRectF(4, 5, 16, 14))
    painter.drawPath(path)
    painter.setClipPath(path)
    for n in range(-4, 6):
        _path(painter, (4 + 4 * n, 20), (14 + 4 * n, 4))


def _whole(painter: QPainter) -> None:
    painter.drawRect(QRectF(5, 3, 14, 18))
    _filled(painter)
    painter.drawRect(QRectF(7, 5, 10, 14))


def _read(painter: QPainter) -> None:
    painter.drawEllipse(QPointF(12, 12), 7.5, 7.5)
    painter.drawEllipse(QPointF(12, 12), 2.5, 2.5)
    for x, y in ((12, 2), (12, 22), (2, 12), (22, 12)):
        _path(painter, (x, y), (12 + (x - 12) * 0.6, 12 + (y - 12) * 0.6))


ICONS: dict[str, Draw] = {
    draw.__name__[1:]: draw
    for draw in (_soft, _damp, _enclosed, _band, _cut, _graded, _reserve, _whole, _read)
}
