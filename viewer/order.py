"""ORDER: the steps in painting order, running down like a recipe card, and what lies here.

A view only: it shows the sitting's cards and calls its deeds.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from qtpy.QtCore import QModelIndex, QPoint, QRectF, QSize, Qt, Signal
from qtpy.QtGui import QColor, QDropEvent, QKeyEvent, QMouseEvent, QPainter, QPen
from qtpy.QtWidgets import (
    QAbstractItemView,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QMenu,
    QPushButton,
    QSizePolicy,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from glaze.errors import InputError
from viewer import plan as plans
from viewer.cards import Card, cards_of
from viewer.controls import Once, Swatch, faint, hair, paint_swatch, place_label
from viewer.look import Wall
from viewer.ordering import order_words
from viewer.reading import Reading
from viewer.sitting import Sitting

CARD = Qt.ItemDataRole.UserRole
ROW_HEIGHT = 54
MARK = QRectF(6, 19, 14, 14)
"""Where a click sets a step aside or lays it again."""


class CardPainter(QStyledItemDelegate):
    """Draws a step as a line of a recipe card."""

    def __init__(self, wall: Wall) -> None:
        super().__init__()
        self.wall = wall

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex) -> QSize:
        """The same height for every step."""
        return QSize(200, ROW_HEIGHT)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex) -> None:
        card: Card = index.data(CARD)
        if card is None:
            return
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        place = QRectF(option.rect)
        chosen = bool(option.state & option.state.State_Selected)
        if chosen:
            painter.fillRect(place.adjusted(2, 1, -2, -1), QColor(self.wall.field))
        painter.translate(place.topLeft())
        self._mark(painter, card)
        ink = QColor(self.wall.ink if card.laid else self.wall.faint)
        painter.setOpacity(1 if card.laid else 0.55)
        paint_swatch(painter, QRectF(28, 11, 30, 30), card.swatch if card.laid else None)
        self._words(painter, card, ink, place.width())
        painter.setOpacity(1)
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
        painter.drawText(frame, Qt.AlignmentFlag.AlignCenter, "bleach")

    def setEditorData(self, editor: QWidget, index: QModelIndex) -> None:
        editor.setProperty("text", index.data(CARD).name)

    def updateEditorGeometry(
        self, editor: QWidget, option: QStyleOptionViewItem, index: QModelIndex
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
        self.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        self.customContextMenuRequested.connect(self._menu)
        self.itemChanged.connect(self._changed)
        self.setToolTip(
            "Painting order, first step on top. Drag a step to lay it earlier or later;\n"
            "click its dot to set it aside; double-click to rename it."
        )

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


class Here(QWidget):
    """What lies under the pointer."""

    def __init__(self) -> None:
        super().__init__()
        self.swatch, self.after = Swatch(34, 34), Swatch(34, 34)
        self.after.setToolTip("What the bleach in the dish would leave here.")
        self.colour, self.words = QLabel("Move over the sheet."), faint()
        self.colour.setProperty("reading", True)
        self.bleached, self.band = QLabel(), faint()
        self.steps = faint()
        self.steps.setWordWrap(True)
        self.steps.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.numbers = faint()
        self.numbers.setVisible(False)
        box = QVBoxLayout(self)
        box.setContentsMargins(10, 4, 10, 8)
        box.setSpacing(4)
        box.addWidget(place_label("what lies here"))
        box.addLayout(_beside(self.swatch, self.colour, self.words))
        box.addWidget(self.steps)
        box.addLayout(_beside(self.after, self.bleached, self.band))
        box.addWidget(self.numbers)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.setFixedHeight(236)

    def show_reading(self, reading: Reading | None) -> None:
        """Show a reading; None where the pointer is off the sheet."""
        if reading is None:
            return
        self.swatch.show_rgb(reading.rgb8)
        self.colour.setText(f"value {reading.value:.1f}   {reading.notation}")
        self.words.setText(f"{reading.words}   at {reading.x_mm:.0f}, {reading.y_mm:.0f} mm")
        shown = reading.steps[-5:]
        lines = [step.words for step in shown] or ["bare paper"]
        if len(reading.steps) > len(shown):
            lines.insert(0, f"{len(reading.steps) - len(shown)} steps before, then")
        self.steps.setText("\n".join(lines))
        value, low, high = reading.bleached_values
        self.after.show_rgb(reading.bleached_rgb8)
        self.bleached.setText(f"bleach would leave {value:.1f}   {reading.bleached}")
        self.band.setText(f"somewhere from {low:.1f} to {high:.1f}; {reading.bleached_words}")
        L, a, b = reading.lab
        self.numbers.setText(f"CIELAB {L:.1f}, {a:.1f}, {b:.1f}   paper {reading.paper:.1f}")


def _beside(swatch: QWidget, top: QWidget, below: QWidget) -> QHBoxLayout:
    words = QVBoxLayout()
    words.setSpacing(0)
    words.addWidget(top)
    words.addWidget(below)
    row = QHBoxLayout()
    row.setSpacing(8)
    row.addWidget(swatch)
    row.addLayout(words, 1)
    return row


class OrderPanel(QWidget):
    """The place ORDER."""

    def __init__(self, sitting: Sitting, wall: Wall) -> None:
        super().__init__()
        self.sitting = sitting
        self.soon = Once(self.refresh, self)
        self.cards = CardList(wall)
        self.here = Here()
        self.line = faint()
        self.line.setWordWrap(True)
        self.line.setContentsMargins(10, 2, 10, 2)
        self.line.setVisible(False)
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 8, 0, 0)
        box.setSpacing(4)
        head = QHBoxLayout()
        head.setContentsMargins(10, 0, 10, 0)
        head.addWidget(place_label("order"))
        head.addStretch()
        self.sum = faint()
        head.addWidget(self.sum)
        box.addLayout(head)
        box.addWidget(self.cards, 1)
        box.addWidget(self.line)
        box.addLayout(self._buttons())
        box.addWidget(hair(False))
        box.addWidget(self.here)
        self.setMinimumWidth(330)
        self._connect()
        self.follow(sitting)

    def _buttons(self) -> QHBoxLayout:
        row = QHBoxLayout()
        row.setContentsMargins(10, 0, 10, 4)
        row.setSpacing(4)
        for text, tip, action in (
            ("earlier", "Lay this step one place earlier.", lambda n: self._move(n, n - 1)),
            ("later", "Lay this step one place later.", lambda n: self._move(n, n + 1)),
            ("once more", "Lay the same once more, as a step after this one.", self._double),
            ("set aside", "Leave this step out, or lay it again.", self._mark),
            ("take out", "Take this step out of the order.", self._take_out),
        ):
            button = QPushButton(text)
            button.setToolTip(tip)
            button.clicked.connect(lambda _=False, do=action: self._chosen(do))
            row.addWidget(button)
        row.addStretch()
        return row

    def _connect(self) -> None:
        self.cards.currentRowChanged.connect(self._choose)
        self.cards.itemClicked.connect(lambda item: self._choose(self.cards.row(item)))
        self.cards.moved.connect(self._move)
        self.cards.marked.connect(self._mark)
        self.cards.renamed.connect(self._rename)
        self.cards.taken_out.connect(self._take_out)
        self.cards.asked_for_menu.connect(self._menu)

    def follow(self, sitting: Sitting) -> None:
        """Show another sitting."""
        self.sitting = sitting
        for signal in (sitting.plan_changed, sitting.chosen_changed, sitting.painted):
            signal.connect(self.soon)
        self.refresh()

    def refresh(self) -> None:
        """Show the order as it is now."""
        cards = cards_of(self.sitting)
        self.cards.show_cards(cards, self.sitting.chosen)
        minutes = sum(card.minutes for card in cards if card.laid)
        hours = f"{minutes / 60:.1f} h" if minutes >= 90 else f"{minutes:.0f} min"
        self.sum.setText(f"{len(cards)} steps, {hours} of drying" if cards else "nothing laid yet")

    def change_wall(self, wall: Wall) -> None:
        """Other greys."""
        self.cards.card_painter.wall = wall
        self.cards.viewport().update()

    def _chosen(self, do: Callable[[int], None]) -> None:
        if self.sitting.chosen is not None:
            do(self.sitting.chosen)

    def _choose(self, row: int) -> None:
        if row >= 0:
            self.sitting.choose(row)

    def _do(self, name: str, make: Callable[[], plans.Plan], chosen: int | None) -> None:
        try:
            self.sitting.do(name, make(), chosen=chosen)
        except InputError as error:
            self.sitting.told.emit(" ".join(error.problems))
            self.refresh()

    def _move(self, start: int, to: int) -> None:
        sitting = self.sitting
        if not 0 <= to < len(sitting.scene.steps):
            return
        words = order_words(sitting, start, to)
        name = f"lay {sitting.scene.steps[start].name} {'earlier' if to < start else 'later'}"
        self._do(name, lambda: plans.with_step_moved(sitting.plan, start, to), to)
        self.line.setText(words)
        self.line.setVisible(bool(words))

    def _mark(self, row: int) -> None:
        sitting = self.sitting
        laid = row in sitting.plan.aside
        step = sitting.scene.steps[row].name
        name = f"lay {step} again" if laid else f"set {step} aside"
        self._do(name, lambda: plans.with_step_laid(sitting.plan, row, laid), sitting.chosen)

    def _rename(self, row: int, text: str) -> None:
        sitting, text = self.sitting, text.strip()
        before = sitting.scene.steps[row].name
        if text:
            make = lambda: plans.with_changed_step(sitting.plan, row, name=text)  # noqa: E731
            self._do(f"call {before} {text}", make, sitting.chosen)
        self.refresh()

    def _double(self, row: int) -> None:
        sitting, step = self.sitting, self.sitting.scene.steps[row]
        name = plans.free_name(step.name, {s.name for s in sitting.scene.steps})

        def make() -> plans.Plan:
            return plans.with_step(sitting.plan, plans.changed(step, name=name), row + 1)

        self._do(f"lay {step.name} once more", make, row + 1)

    def _take_out(self, row: int) -> None:
        sitting = self.sitting
        name = f"take {sitting.scene.steps[row].name} out"
        self._do(name, lambda: plans.without_step(sitting.plan, row), None)

    def _menu(self, row: int, at: QPoint) -> None:
        menu = QMenu(self)
        aside = row in self.sitting.plan.aside
        menu.addAction("rename", lambda: self.cards.editItem(self.cards.item(row)))
        menu.addAction("lay once more", lambda: self._double(row))
        menu.addAction("lay again" if aside else "set aside", lambda: self._mark(row))
        menu.addSeparator()
        menu.addAction("lay earlier", lambda: self._move(row, row - 1))
        menu.addAction("lay later", lambda: self._move(row, row + 1))
        menu.addSeparator()
        menu.addAction("take out", lambda: self._take_out(row))
        menu.exec(at)
