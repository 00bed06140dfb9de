"""Small controls of the desk: numbers to drag or type, choices, lines, rows and buttons."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from math import isnan

from qtpy.QtCore import QEvent, QObject, QPointF, QSize, Qt, QTimer, Signal
from qtpy.QtGui import QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen
from qtpy.QtWidgets import (
    QComboBox,
    QFrame,
    QHBoxLayout,
    QLabel,
    QLayout,
    QLineEdit,
    QPushButton,
    QScrollArea,
    QSizePolicy,
    QWidget,
)

from ..core.saying import say

AGAIN_MS = 40
"""What has to wait is asked about again after so long."""
DRAG_PX = 5
"""So many pixels of dragging are one step."""


class DragNumber(QLineEdit):
    """A number that can be typed, dragged to the left and right, or stepped with the arrow keys."""

    changed = Signal(float)
    let_go = Signal()

    def __init__(
        self,
        low: float,
        high: float,
        step: float = 1,
        decimals: int = 0,
        unit: str = "",
        tip: str = "",
    ) -> None:
        super().__init__()
        self.low, self.high, self.step, self.decimals = low, high, step, decimals
        self.unit = f"\u2009{unit}" if unit else ""
        self.setAlignment(Qt.AlignmentFlag.AlignCenter)
        if tip:
            self.setToolTip(say("brush.drag", tip=tip))
            self.setAccessibleName(tip)
        self.setFixedWidth(34 + 7 * len(f"{high:g}{unit}"))
        self.setCursor(Qt.CursorShape.SizeHorCursor)
        self.editingFinished.connect(self._typed)
        self._value = low
        self._start: tuple[float, float] | None = None
        self._dragged = False

    @property
    def is_dragged(self) -> bool:
        """Whether somebody is dragging it now."""
        return self._dragged

    @property
    def value(self) -> float:
        """The number."""
        return self._value

    def show_value(self, value: float) -> None:
        """Show a number without telling anybody."""
        self._value = round(min(max(value, self.low), self.high), self.decimals)
        if not self.hasFocus() or self._dragged:
            self._write()

    def set_value(self, value: float) -> None:
        """Change the number and tell it."""
        before = self._value
        self.show_value(value)
        if self._value != before:
            self._write()
            self.changed.emit(self._value)

    def _write(self) -> None:
        text = f"{self._value:.{self.decimals}f}"
        self.setText((text.rstrip("0").rstrip(".") if "." in text else text) + self.unit)

    def _typed(self) -> None:
        text = self.text().removesuffix(self.unit).strip().split()
        with suppress(ValueError, IndexError):  # what isn't a number leaves the old one
            number = float(text[0].replace(",", "."))
            if not isnan(number):  # which Python takes for a number
                self.set_value(number)
        self._write()
        self.let_go.emit()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self._start, self._dragged = (event.globalPosition().x(), self._value), False
        super().mousePressEvent(event)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Dragging across the number changes it."""
        if self._start is None:
            return
        steps = round((event.globalPosition().x() - self._start[0]) / DRAG_PX)
        if self._dragged or abs(steps) >= 1:
            self._dragged = True
            self.set_value(self._start[1] + steps * self.step)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """A click without a drag lets it be typed."""
        super().mouseReleaseEvent(event)
        self._start = None
        if self._dragged:
            self._dragged = False
            self.deselect()
            self.clearFocus()
            self.let_go.emit()
        else:
            self.selectAll()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        turn = {int(Qt.Key.Key_Up): 1, int(Qt.Key.Key_Down): -1}.get(event.key())
        if event.key() == Qt.Key.Key_Escape:
            self._write()  # as it was
        if turn is None:
            super().keyPressEvent(event)
            if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Escape):
                self.clearFocus()  # keys are the desk's again
            return
        self.set_value(self._value + turn * self.step)
        self._write()
        self.selectAll()


class Choice(QComboBox):
    """A choice with a small mark that it can be opened; no wider than it has to be."""

    def __init__(self, tip: str = "") -> None:
        super().__init__()
        self.setToolTip(tip)
        self.setAccessibleName(tip)
        self.setMinimumContentsLength(8)
        self.setSizeAdjustPolicy(self.SizeAdjustPolicy.AdjustToContents)
        policy = QSizePolicy.Policy
        self.setSizePolicy(policy.Maximum, policy.Fixed)

    def minimumSizeHint(self) -> QSize:
        """Eight letters or so; the rest is left out where there is no room."""
        return QSize(84, super().minimumSizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(self.palette().color(self.foregroundRole()), 1.2))
        x, y = self.width() - 11.0, self.height() / 2 - 1.5
        painter.drawPolyline([QPointF(x - 3.5, y), QPointF(x, y + 3.5), QPointF(x + 3.5, y)])


class OneLine(QLabel):
    """One line of words that never asks for room: what doesn't fit is left out, a tip has it."""

    def __init__(self, text: str = "", faint: bool = False) -> None:
        super().__init__(" ")  # one that never had words is a pixel lower
        self.setText(text)
        self.setProperty("faint", faint)

    def setText(self, text: str) -> None:
        super().setText(text)
        self.setToolTip(text)

    def minimumSizeHint(self) -> QSize:
        """As narrow as need be."""
        return QSize(0, super().minimumSizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.setPen(self.palette().color(self.foregroundRole()))
        words = self.fontMetrics().elidedText(
            self.text(), Qt.TextElideMode.ElideRight, self.width()
        )
        painter.drawText(self.rect(), self.alignment(), words)


class SideRow(QScrollArea):
    """A row of things that is moved sideways where it is longer than its place.

    row : the things
    """

    def __init__(self, height: int, spacing: int) -> None:
        super().__init__()
        inside = QWidget()
        self.row = QHBoxLayout(inside)
        self.row.setContentsMargins(0, 0, 0, 0)
        self.row.setSpacing(spacing)
        self.setWidget(inside)
        self.setWidgetResizable(True)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFixedHeight(height)
        self.setMinimumWidth(60)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)

    def fit(self) -> None:
        """Lay the things out anew at once; Qt would squeeze new ones into the old ones' room."""
        self.row.invalidate()
        self.row.activate()
        inside = self.widget()
        if inside is not None:
            wide = max(self.viewport().width(), self.row.minimumSize().width())
            inside.resize(wide, self.viewport().height())
            self.row.setGeometry(inside.rect())
            for n in range(self.row.count()):
                if (item := self.row.itemAt(n)) and (thing := item.widget()):
                    thing.show()  # at once; Qt would wait for its next turn


class Snug(QWidget):
    """As high as what stands in it, and no higher: the room that is left is the sheet's.

    changed_height : what stands in it wants to be laid out anew
    """

    changed_height = Signal()

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.LayoutRequest:
            self.changed_height.emit()
        return super().event(event)


class Once(QObject):
    """Something to do once when the window next has time, however often it is asked for.

    unless : asked then; what says yes is waited for
    """

    def __init__(self, do: Callable[[], None], parent: QObject, wait_ms: int = 0) -> None:
        super().__init__(parent)
        self._do, self._wait_ms = do, wait_ms
        self.unless: Callable[[], bool] = lambda: False
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._now)

    def __call__(self, *_: object) -> None:
        if not self._timer.isActive():
            self._timer.start(self._wait_ms)

    def _now(self) -> None:
        self._timer.start(AGAIN_MS) if self.unless() else self._do()


def hair(vertical: bool = True) -> QFrame:
    """A hairline."""
    line = QFrame()
    line.setProperty("hair", True)
    line.setFixedWidth(1) if vertical else line.setFixedHeight(1)
    return line


def place_label(text: str) -> QLabel:
    """The name of a place, as ORDER or TABLE."""
    label = QLabel(text.upper())
    label.setProperty("place", True)
    return label


def faint(text: str = "") -> QLabel:
    """A word of less weight."""
    label = QLabel(text)
    label.setProperty("faint", True)
    return label


def push(text: str, do: Callable[[], object], tip: str = "", name: str = "") -> QPushButton:
    """A button with words that does something; `name` says more to those who can't see it."""
    button = QPushButton(text)
    button.setToolTip(tip)
    button.setAccessibleName(name)
    button.setAutoDefault(False)
    button.clicked.connect(lambda _=False: do())
    return button


def empty(box: QLayout) -> None:
    """Take everything out of a layout, at once and for good."""
    while (item := box.takeAt(0)) is not None:
        widget = item.widget()
        if widget is not None:
            widget.hide()
            widget.setParent(None)
            widget.deleteLater()
