"""The sheet on the screen while the window is made: a wall and a picture, nothing to click on."""

from __future__ import annotations

from pathlib import Path

from qtpy.QtCore import QRectF, QSize, Qt
from qtpy.QtGui import QCloseEvent, QColor, QImage, QImageReader, QPainter, QPaintEvent
from qtpy.QtWidgets import QApplication, QWidget

LIKED = 1480, 980
"""Size of the window [px] where the screen has room for it."""
ROUND = 4, 42, 322, 266
"""What stands left of the canvas, above, right of it and below [px], as measured in the window of
the lighthouse; below it may be 60 px less or more."""
SHARE = 0.95
"""Of the canvas that the whole sheet takes, as napari fits it."""
WALL, PANEL = "#c8c8c8", "#dbdbdb"
"""Munsell N8 and N8.7, as `look.day` has them; that would have to be loaded."""
LARGEST_PX = 40_000_000
"""A larger picture takes longer to read than the window to open."""
_KEEP = Qt.AspectRatioMode.KeepAspectRatio


class Glimpse(QWidget):
    """A wall with a picture of what is opened, where the window is going to be.

    closed : whether somebody has closed it, and wants no window
    """

    def __init__(self, app: QApplication, picture: Path | None) -> None:
        super().__init__()
        self.app, self.closed = app, False
        self.setWindowTitle("glaze")
        room = self.screen().availableGeometry()
        self.resize(min(LIKED[0], room.width()), min(LIKED[1], room.height()))
        self._picture = QImage() if picture is None else _read(picture)

    def _canvas(self) -> QRectF:
        left, top, right, below = ROUND
        return QRectF(self.rect()).adjusted(left, top, -right, -below)

    def place(self) -> QRectF:
        """Where the picture is."""
        canvas = self._canvas()
        size = self._picture.size().scaled((canvas.size() * SHARE).toSize(), _KEEP)
        found = QRectF(0, 0, size.width(), size.height())
        found.moveCenter(canvas.center())
        return found

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.fillRect(self.rect(), QColor(PANEL))
        painter.fillRect(self._canvas(), QColor(WALL))
        if not self._picture.isNull():
            place = self.place().toRect()
            fine = place.size() * self.devicePixelRatioF()
            smooth = Qt.TransformationMode.SmoothTransformation
            painter.drawImage(place, self._picture.scaled(fine, _KEEP, smooth))

    def closeEvent(self, event: QCloseEvent) -> None:
        self.closed = True
        super().closeEvent(event)

    def goes_on(self) -> bool:
        """Let it be drawn and closed between two pieces of other work; whether it still stands."""
        self.app.processEvents()
        return not self.closed


def _read(picture: Path) -> QImage:
    """A picture no larger than it is needed; none if it can't be read, or not soon."""
    reader = QImageReader(str(picture))
    reader.setAutoTransform(True)
    size = reader.size()
    if not size.isValid() or size.width() * size.height() > LARGEST_PX:
        return QImage()
    if bytes(reader.format().data()) == b"jpeg":  # which is read small in less time
        reader.setScaledSize(size.scaled(QSize(2 * LIKED[0], 2 * LIKED[0]), _KEEP))
    return reader.read()
