"""The list in ORDER: each step drawn as a line of a recipe card, moved by a drag."""

from __future__ import annotations

from collections.abc import Sequence

from qtpy.QtCore import QModelIndex, QPersistentModelIndex, QPoint, QRectF, QSize, Qt, Signal
from qtpy.QtGui import (
    QColor,
    QDropEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
)
from qtpy.QtWidgets import (
    QAbstractItemView,
    QListWidget,
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from ..core.cards import Card
from ..core.saying import say
from .drawing import paint_swatch
from .look import Wall

Index = QModelIndex | QPersistentModelIndex
CARD = Qt.ItemDataRole.UserRole
ROW_HEIGHT = 54
MARK = QRectF(6, 19, 14, 14)
"""Where a click sets a step aside or lays it again."""


class CardPainter(QStyledItemDelegate):
    """Draws a step as a line of a recipe card."""

    def __init__(self, wall: Wall) -> None:
        super().__init__()
        self.wall = wall

    def sizeHint(self, option: QStyleOptionViewItem, index: Index) -> QSize:
        """The same height for every step."""
        return QSize(200, ROW_HEIGHT)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        card: Card = index.data(CARD)
        if card is None:
            return
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        place = QRectF(option.rect)
        chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        if chosen:
            painter.fillRect(place.adjusted(2, 1, -2, -1), QColor(self.wall.field))
        painter.translate(place.topLeft())
        self._mark(painter, card)
        ink = QColor(self.wall.ink if card.laid else self.wall.faint)
        paint_swatch(painter, QRectF(28, 11, 30, 30), card.swatch if card.laid else None)
        self._words(painter, card, ink, place.width())
        painter.setPen(QPen(QColor(self.wall.line), 1))
        painter.drawLine(QPoint(28, ROW_HEIGHT - 1), QPoint(int(place.width()) - 8, ROW_HEIGHT - 1))
        painter.restore()

    def _mark(self, painter: QPainter, card: Card) -> None:
        """A dot: full where the step is laid, a ring where it is set aside."""
        painter.setPen(QPen(QColor(self.wall.ink), 1.3))
        painter.setBrush(QColor(self.wall.ink) if card.laid else Qt.BrushStyle.NoBrush)
        painter.drawEllipse(MARK.center(), 4, 4)

    def _words(self, painter: QPainter, card: Card, ink: QColor, width: float) -> None:
        painter.setPen(ink)
        font = painter.font()
        font.setPointSizeF(10.5)
        font.setBold(True)
        font.setItalic(not card.laid)
        painter.setFont(font)
        name = f"{card.number}  {card.name}"
        right = width - 12
        if card.kind == "lift":
            right -= 58
            self._bleach_mark(painter, ink, width)
            painter.setFont(font)
            painter.setPen(ink)
        room = QRectF(68, 4, right - 68, 18)
        shown = painter.fontMetrics().elidedText(
            name, Qt.TextElideMode.ElideRight, int(room.width())
        )
        painter.drawText(room, Qt.AlignmentFlag.AlignVCenter, shown)
        font.setBold(False)
        font.setPointSizeF(9)
        painter.setFont(font)
        painter.setPen(ink if card.laid else QColor(self.wall.faint))
        lines = (card.recipe, card.measures)
        for n, text in enumerate(lines):
            room = QRectF(68, 21 + 15 * n, width - 80, 15)
            shown = painter.fontMetrics().elidedText(
                text, Qt.TextElideMode.ElideRight, int(room.width())
            )
            painter.drawText(room, Qt.AlignmentFlag.AlignVCenter, shown)

    def _bleach_mark(self, painter: QPainter, ink: QColor, width: float) -> None:
        """A framed word where bleach is planned."""
        font = painter.font()
        font.setPointSizeF(8)
        font.setBold(False)
        painter.setFont(font)
        painter.setPen(QPen(ink, 1))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        frame = QRectF(width - 62, 6, 50, 15)
        painter.drawRect(frame)
        painter.drawText(frame, Qt.AlignmentFlag.AlignCenter, say("order.bleach"))

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        editor.setProperty("text", index.data(CARD).name)
        editor.setAccessibleName(say("order.rename"))

    def updateEditorGeometry(
        self, editor: QWidget, option: QStyleOptionViewItem, index: Index
    ) -> None:
        editor.setGeometry(option.rect.adjusted(64, 2, -10, -ROW_HEIGHT + 26))


class CardList(QListWidget):
    """The list itself: a drag moves a step, a click on its dot sets it aside."""

    moved = Signal(int, int)
    marked = Signal(int)
    renamed = Signal(int, str)
    asked_for_menu = Signal(int, QPoint)
    taken_out = Signal(int)

    def __init__(self, wall: Wall) -> None:
        super().__init__()
        self.card_painter = CardPainter(wall)
        self.setItemDelegate(self.card_painter)
        self.setDragDropMode(QAbstractItemView.DragDropMode.InternalMove)
        self.setDefaultDropAction(Qt.DropAction.MoveAction)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.setEditTriggers(
            QAbstractItemView.EditTrigger.DoubleClicked
            | QAbstractItemView.EditTrigger.EditKeyPressed
        )
        self.setAccessibleName(say("order.painting_order"))
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        self.customContextMenuRequested.connect(self._menu)
        self.itemChanged.connect(self._changed)
        self.setToolTip(say("order.told"))

    def show_cards(self, cards: Sequence[Card], chosen: int | None) -> None:
        """Show the order."""
        blocked = self.blockSignals(True)
        while self.count() > len(cards):
            self.takeItem(self.count() - 1)
        for n, card in enumerate(cards):
            if n == self.count():
                item = QListWidgetItem()
                item.setFlags(item.flags() | Qt.ItemFlag.ItemIsEditable)
                self.addItem(item)
            if self.item(n).data(CARD) != card:
                self.item(n).setData(CARD, card)
                self.item(n).setText(card.name)
        if chosen is None:
            self.setCurrentRow(-1)
            self.clearSelection()
        else:
            self.setCurrentRow(chosen)
        self.blockSignals(blocked)
        self.viewport().update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """The steps; where there are none, what to do next."""
        super().paintEvent(event)
        if self.count() == 0:
            painter = QPainter(self.viewport())
            painter.setPen(QColor(self.card_painter.wall.ink))
            room = QRectF(self.viewport().rect()).adjusted(10, 12, -14, -10)
            painter.drawText(room, Qt.TextFlag.TextWordWrap, say("order.empty"))

    def dropEvent(self, event: QDropEvent) -> None:
        """Tell where a step was dropped; the list follows the sitting, not the hand."""
        start = self.currentRow()
        at = event.position().toPoint()
        under = self.indexAt(at)
        to = self.count() - 1 if not under.isValid() else under.row()
        below = self.visualRect(under).center().y() < at.y() if under.isValid() else True
        if under.isValid() and to > start and not below:
            to -= 1
        elif under.isValid() and to < start and below:
            to += 1
        event.setDropAction(Qt.DropAction.IgnoreAction)
        event.accept()
        if start >= 0 and to != start:
            self.moved.emit(start, to)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        index = self.indexAt(event.position().toPoint())
        if index.isValid() and event.button() == Qt.MouseButton.LeftButton:
            corner = self.visualRect(index).topLeft()
            if MARK.adjusted(-6, -8, 6, 8).contains(event.position() - corner.toPointF()):
                self.marked.emit(index.row())
                return
        super().mousePressEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Delete and self.currentRow() >= 0:
            self.taken_out.emit(self.currentRow())
        elif event.key() == Qt.Key.Key_Space and self.currentRow() >= 0:
            self.marked.emit(self.currentRow())
        elif event.text().isalnum():
            event.ignore()  # letters are the desk's own keys, not a search
        else:
            super().keyPressEvent(event)

    def _menu(self, at: QPoint) -> None:
        index = self.indexAt(at)
        if index.isValid():
            self.asked_for_menu.emit(index.row(), self.viewport().mapToGlobal(at))

    def _changed(self, item: QListWidgetItem) -> None:
        card: Card | None = item.data(CARD)
        if card is not None and item.text() != card.name:
            self.renamed.emit(self.row(item), item.text())
