"""What is drawn by hand on the desk: swatches, rings and lines that are seen on light and dark."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from qtpy.QtCore import QPointF, QRectF, Qt
from qtpy.QtGui import QColor, QPainter, QPaintEvent, QPen
from qtpy.QtWidgets import QWidget

from glaze.physics.colour import LUMINANCE_OF_RGB, srgb_decode

Rgb = tuple[int, int, int]
DARK = QColor("#37332f")
"""The warm dark grey of the day's letters, for what is drawn on a sheet by any light."""


class Swatch(QWidget):
    """A patch of colour with a fine edge."""

    def __init__(self, width: int = 26, height: int = 26) -> None:
        super().__init__()
        self.setFixedSize(width, height)
        self.rgb: Rgb | None = None

    def show_rgb(self, rgb: Rgb | None, tip: str = "") -> None:
        """Show a colour; None is an empty place."""
        self.rgb = rgb
        if tip:
            self.setToolTip(tip)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        paint_swatch(painter, QRectF(self.rect()), self.rgb)


def letters_on(colour: QColor) -> QColor:
    """Black or white, whichever stands out more on a colour: at least 4.58 to 1.

    The two are alike where the luminance is sqrt(1.05 x 0.05) - 0.05 (WCAG 2.2, contrast ratio).
    """
    signal = srgb_decode((colour.redF(), colour.greenF(), colour.blueF()))
    luminance = float(np.dot(signal, LUMINANCE_OF_RGB))
    return QColor("black" if luminance > 0.179 else "white")


def paint_swatch(painter: QPainter, rect: QRectF, rgb: Rgb | None, round_: bool = False) -> None:
    """A patch of colour, or its empty outline."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    place = rect.adjusted(0.5, 0.5, -0.5, -0.5)
    pen = QPen(QColor(128, 128, 128, 150), 1)
    if rgb is None:
        pen = QPen(QColor("#808080"), 1, Qt.PenStyle.DotLine)
        painter.setBrush(Qt.BrushStyle.NoBrush)
    else:
        painter.setBrush(QColor(*rgb))
    painter.setPen(pen)
    if round_:
        painter.drawEllipse(place)
    else:
        painter.drawRect(place)


def over_all(painter: QPainter, draw: Callable[[], object], wide: float, fine: float) -> None:
    """Draw lines over a sheet twice, white and dark within, to be seen on light and dark."""
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    for colour, width in ((QColor("white"), wide), (DARK, fine)):
        painter.setPen(QPen(colour, width))
        draw()


def ring(painter: QPainter, place: QPointF, radius: float = 9.0, fine: bool = False) -> None:
    """A ring round a place of the sheet."""
    widths = (2.6, 1.0) if fine else (4.0, 1.6)
    over_all(painter, lambda: painter.drawEllipse(place, radius, radius), *widths)
