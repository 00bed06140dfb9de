"""Wells, bottles and the ladder strip: mixes as they dry on this paper."""

from __future__ import annotations

from collections.abc import Sequence

from qtpy.QtCore import QPointF, QRectF, QSize, Qt, Signal
from qtpy.QtGui import QColor, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from qtpy.QtWidgets import QSizePolicy, QToolButton, QWidget

from glaze.materials.parts_told import parts_short

from ..core.saying import say
from .drawing import Rgb, letters_on, paint_swatch


class WellButton(QToolButton):
    """A well or a bottle: what is in it as it dries on this paper, and its name.

    mix : the recipe line it stands for
    """

    def __init__(
        self, name: str, mix: str, rgb: Rgb | None, tip: str, bottle: bool = False
    ) -> None:
        super().__init__()
        self.name, self.mix, self.rgb, self.bottle = name, mix, rgb, bottle
        self.setCheckable(not bottle)
        self.setToolTip(tip)
        self.setAccessibleName(say("mix.bottle" if bottle else "mix.well", name=name))
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)

    def sizeHint(self) -> QSize:
        """Room for the round and the name."""
        return QSize(min(max(40, self.fontMetrics().horizontalAdvance(self.name) + 4), 92), 48)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ink = self.palette().color(self.foregroundRole())
        middle, r = QPointF(self.width() / 2, 15), 11.5
        if self.bottle:
            painter.setPen(QPen(ink, 1.2))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(middle.x() - 4, 1.5, 8, 5))
            paint_swatch(painter, QRectF(middle.x() - 10, 6, 20, 21), self.rgb)
        else:
            paint_swatch(
                painter, QRectF(middle.x() - r, middle.y() - r, 2 * r, 2 * r), self.rgb, True
            )
        if self.isChecked():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(ink, 1.6))
            painter.drawEllipse(middle, r + 3, r + 3)
        painter.setPen(ink)
        font = self.font()
        font.setPointSizeF(8.5)
        painter.setFont(font)
        name = painter.fontMetrics().elidedText(
            self.name, Qt.TextElideMode.ElideRight, self.width()
        )
        painter.drawText(QRectF(0, 30, self.width(), 16), Qt.AlignmentFlag.AlignCenter, name)
        if self.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(self.rect()).adjusted(0.5, 0.5, -0.5, -0.5))


class LadderStrip(QWidget):
    """The mix on every rung of the ladder; a click takes that rung."""

    taken = Signal(float)

    def __init__(self) -> None:
        super().__init__()
        self.setFixedHeight(42)
        self.setMinimumWidth(180)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(say("mix.ladder"))
        self.rungs: Sequence[tuple[float, Rgb, float]] = ()
        self.parts = -1.0
        self.setToolTip(say("mix.ladder"))

    def show_rungs(self, rungs: Sequence[tuple[float, Rgb, float]], parts: float) -> None:
        """Parts of water, colour and value of each rung, and the parts that are taken now."""
        self.rungs, self.parts = rungs, parts
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        font = self.font()
        font.setPointSizeF(8.5)
        painter.setFont(font)
        ink = self.palette().color(self.foregroundRole())
        for n, (parts, rgb, value) in enumerate(self.rungs):
            place = self._place(n)
            paint_swatch(painter, place, rgb)
            if abs(parts - self.parts) < 0.25:
                painter.setPen(QPen(ink, 2))
                painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.drawRect(place.adjusted(1, 1, -1, -1))
            painter.setPen(letters_on(QColor(*rgb)))
            painter.drawText(place, Qt.AlignmentFlag.AlignCenter, f"{value:.1f}")
            painter.setPen(ink)
            under = parts_short(parts) if parts else say("mix.rung_neat")
            below = QRectF(place.left(), place.bottom(), place.width(), 15)
            painter.drawText(below, Qt.AlignmentFlag.AlignCenter, under)
        if self.hasFocus():
            painter.setPen(QPen(ink, 1))
            painter.drawLine(0, self.height() - 1, self.width(), self.height() - 1)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Left and right take the next rung."""
        turn = {int(Qt.Key.Key_Right): 1, int(Qt.Key.Key_Left): -1}.get(event.key(), 0)
        if not turn or not self.rungs:
            super().keyPressEvent(event)
            return
        steps = [parts for parts, _, _ in self.rungs]
        now = min(range(len(steps)), key=lambda n: abs(steps[n] - self.parts))
        self.taken.emit(float(steps[min(max(now + turn, 0), len(steps) - 1)]))

    def _place(self, n: int) -> QRectF:
        wide = self.width() / max(1, len(self.rungs))
        return QRectF(n * wide + 1, 0, wide - 2, 26)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        wide = self.width() / max(1, len(self.rungs))
        n = int(event.position().x() / wide)
        if 0 <= n < len(self.rungs):
            self.taken.emit(float(self.rungs[n][0]))
