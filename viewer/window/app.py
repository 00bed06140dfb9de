"""The window: SHEET in the middle, ORDER to its right, TABLE below, and one line of orders above.

Everything that is done goes through the sitting; this module only joins it to Qt and napari.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

from qtpy.QtCore import QEvent, QObject, Qt, QTimer
from qtpy.QtGui import QCloseEvent, QDropEvent, QKeyEvent
from qtpy.QtWidgets import (
    QApplication,
    QFileDialog,
    QLineEdit,
    QMessageBox,
    QWidget,
)

from glaze.errors import InputError
from glaze.materials.bleach import CAUTION
from glaze.sheet.lift import Touches
from viewer.core.napari_layers import lay_region, region_from_layer, region_from_picture
from viewer.core.reading import read_at
from viewer.core.recovery import Recovery
from viewer.core.sitting import Sitting
from viewer.core.tour import Tour
from viewer.core.views import View
from viewer.core.worker import Worker
from viewer.window.bar import TopBar
from viewer.window.foot import Foot
from viewer.window.frame import Frame
from viewer.window.look import Wall, day, evening, register, style
from viewer.window.opening import Opening, first_sitting
from viewer.window.order_panel import OrderPanel
from viewer.window.rulers import Rulers
from viewer.window.sheet_panel import SheetView
from viewer.window.table_panel import TablePanel

NAME = "glaze: layered glazing and bleach lift"
TICK_MS = 16
KEEP_MS = 60_000
AFTER_STROKES_MS = 2_000
"""A group of strokes ends when the pen has rested so long."""

UNCALIBRATED = "this screen isn't calibrated: judge by value and notation, and by a swatch"


class Desk(QObject):
    """A sitting and the window it is done in."""

    def __init__(
        self, viewer: Any, sitting: Sitting, wall: Wall | None = None, recovery: Path | None = None
    ) -> None:
        super().__init__()
        self.viewer, self.sitting, self.wall = viewer, sitting, wall or day()
        self.recovery_home = recovery
        self.recovery = Recovery(sitting, recovery)
        self.keeper = Worker()
        self.tour: Tour | None = None
        self.cautioned = False
        self.question: QWidget | None = None
        self._held: View | None = None
        self._where: tuple[int, int] | None = None
        viewer.theme = register(self.wall)
        self.sheet = SheetView(viewer, sitting, self.wall)
        self.order = OrderPanel(sitting, self.wall)
        self.table = TablePanel(sitting, self.wall)
        self.opening = Opening(self)
        self.bar = TopBar(self)
        self._build()
        self._connect()
        self.closed = False
        self.timer = QTimer(self)
        self.timer.setInterval(TICK_MS)
        self.timer.timeout.connect(self.tick)
        self.timer.start()
        self.keep_timer = QTimer(self)
        self.keep_timer.setInterval(KEEP_MS)
        self.keep_timer.timeout.connect(self.keep_now)
        self.keep_timer.start()
        self.rest_timer = QTimer(self)
        self.rest_timer.setSingleShot(True)
        self.rest_timer.setInterval(AFTER_STROKES_MS)
        self.rest_timer.timeout.connect(self.keep_now)

    # ---- the window

    def _build(self) -> None:
        self.foot = Foot(self.table)
        self.foot.hints_ended.connect(self.end_tour)
        self.frame = Frame(self.viewer, self.bar, self.foot, self.order, self.wall)
        self.window = self.frame.window
        canvas = self.sheet.canvas()
        self.rulers = Rulers(canvas, self.sheet, self.wall) if canvas is not None else None
        self.show_title()
        self.window.installEventFilter(self)
        app = QApplication.instance()
        assert app is not None
        app.installEventFilter(self)

    def show_title(self) -> None:
        """The title, and what the colours rest on."""
        mark = " (not saved)" if self.sitting.changed else ""
        self.viewer.title = f"{self.sitting.scene.title}{mark}, {NAME}"
        hows = {ink.how for ink in self.sitting.table.palette.bottles}
        inks = " and ".join(sorted(hows))
        paper = self.sitting.painting.table.paper.name
        self.foot.standing.setText(f"{inks} inks, {paper} paper; {UNCALIBRATED}")

    def change_wall(self) -> None:
        """The light wall or the dark one."""
        self.wall = day() if self.wall.dark else evening()
        self.viewer.theme = register(self.wall)
        self.sheet.wall = self.wall
        self.order.change_wall(self.wall)
        self.table.brush.change_wall(self.wall)
        self.frame.dress(self.wall)
        if self.rulers is not None:
            self.rulers.wall = self.wall
            self.rulers.update()

    def _connect(self) -> None:
        table, sheet = self.table, self.sheet
        brush = table.brush
        brush.way_taken.connect(sheet.set_way)
        brush.reserve_taken.connect(self._reserve)
        brush.whole_sheet.connect(lambda: self.attempt(sheet.laying.whole_sheet))
        brush.dried.connect(self.let_dry)
        table.dish.caution_asked.connect(self.show_caution)
        table.holding.bleach_taken.connect(self._first_bleach)
        sheet.pointed.connect(self._pointed)
        sheet.laid.connect(self._laid)
        sheet.refused.connect(self.tell)
        self._follow_signals()
        for keys, action in (
            ("Ctrl+Z", self.take_back),
            ("Ctrl+Shift+Z", self.do_again),
            ("Ctrl+Y", self.do_again),
            ("Ctrl+S", self.opening.save),
            ("Ctrl+O", self.opening.ask_open),
            ("D", self.let_dry),
            ("F", self.sheet.fit),
            ("[", lambda: self._resize(1 / 1.15)),
            ("]", lambda: self._resize(1.15)),
        ):
            self.frame.bind(keys, action)

    def _follow_signals(self) -> None:
        sitting = self.sitting
        sitting.told.connect(self.tell)
        sitting.draft_changed.connect(self._changed)
        sitting.hand_changed.connect(self._hand)
        sitting.view_changed.connect(self.bar.refresh)

    # ---- time

    def tick(self) -> None:
        """Draw what the pen did, take in what has been worked out."""
        self.sheet.draw_pending()
        self.sitting.tick()
        self.keeper.poll()
        if self.rulers is not None:
            key = (
                *self.viewer.scene.camera.center,
                self.viewer.scene.camera.zoom,
                tuple(self.sheet.guide),
                self.sheet.pointer if self.sheet.guide else None,
            )
            if key != getattr(self, "_ruled", None):
                self._ruled = key
                self.rulers.update()
        self.bar.show_progress(self.sitting.preview.share_done, self.sitting.busy)

    def keep_now(self) -> None:
        """Keep the sitting for a recovery, in the background."""
        if self.recovery.due and not self.keeper.busy:
            self.keeper.do(self.recovery.keep, fail=self._not_kept)

    def _not_kept(self, error: Exception) -> None:
        self.tell(f"The sitting can't be kept for a recovery ({error}); save it yourself.")

    # ---- what happens

    def tell(self, text: str) -> None:
        """A line for the painter."""
        self.foot.tell(text)

    def attempt(self, do: Callable[[], Any]) -> Any:
        """Do something; what is wrong with it is told in the line."""
        try:
            return do()
        except InputError as error:
            self.tell(" ".join(error.problems))
            return None

    def _laid(self) -> None:
        name = self.sitting.history.back_name
        self.tell(name or "")
        self.rest_timer.start()
        self._look_tour()

    def _changed(self) -> None:
        self.show_title()
        self.bar.refresh()
        self._look_tour()

    def _hand(self) -> None:
        self.sheet.set_way(self.sheet.way)
        self._look_tour()
        if self._where is not None:
            self._read()

    def _resize(self, factor: float) -> None:
        hand = self.sitting.hand
        size = min(max(hand.brush.size_mm * factor, 0.1), 100.0)
        self.sitting.hold(replace(hand, brush=replace(hand.brush, size_mm=round(size, 1))))

    def let_dry(self) -> None:
        """The step in hand is done; the next stroke begins a new one."""
        self.sitting.choose(None)
        self.tell("Dry. The next stroke begins a new step.")

    def take_back(self) -> None:
        """Take the last deed back."""
        if self.sheet.is_down:
            return
        name = self.sitting.take_back()
        self.tell(f"taken back: {name}" if name else "There is nothing to take back.")

    def do_again(self) -> None:
        """Do again what was taken back."""
        if self.sheet.is_down:
            return
        name = self.sitting.do_again()
        self.tell(f"done again: {name}" if name else "There is nothing to do again.")

    def _reserve(self, on: bool) -> None:
        self.sitting.reserving = on
        view = self.sitting.preview.view
        self.look(replace(view, way="reserve" if on else "as it will look"))
        if on:
            self.tell("Paint what is to stay free; then press reserve again to go on.")

    def look(self, view: View) -> None:
        """Look at the sheet in another way."""
        self.sitting.look(view)

    def _pointed(self, where: tuple[int, int] | None) -> None:
        self._where = where
        if where is not None and not self.sheet.is_down:
            self._read()

    def _read(self) -> None:
        hand = self.sitting.hand
        touches = Touches(
            parts_water=hand.parts_water, touches=hand.touches, minutes=hand.minutes, tool=hand.tool
        )
        assert self._where is not None
        rows, columns = self.sitting.painting.shape
        row, column = min(self._where[0], rows - 1), min(self._where[1], columns - 1)
        reading = read_at(self.sitting.painting, self.sitting.scene, touches, row, column)
        self.order.here.show_reading(reading)

    def lay_mask_picture(self) -> None:
        """Lay what is in the hand where a grey picture is white."""
        name, _ = QFileDialog.getOpenFileName(
            self.window, "a mask picture", "", "Pictures (*.png *.tif *.tiff *.jpg)"
        )
        if name:
            self._lay_region(lambda: region_from_picture(self.sitting, Path(name)))

    def lay_napari_layer(self) -> None:
        """Lay what is in the hand on a Labels or Shapes layer drawn in napari."""
        layer = self.viewer.layers.selection.active
        self._lay_region(lambda: region_from_layer(self.sitting, layer))

    def _lay_region(self, make: Callable[[], str]) -> None:
        region = self.attempt(make)
        if region is not None and self.attempt(lambda: lay_region(self.sitting, region)) is None:
            self._laid()

    # ---- the caution

    def _first_bleach(self) -> None:
        if not self.cautioned:
            self.show_caution()

    def show_caution(self) -> None:
        """The whole caution; by itself once a sheet, and whenever it is asked for."""
        self.cautioned = True
        box = QMessageBox(self.window)
        box.setStyleSheet(style(self.wall))
        box.setWindowTitle("before you lay bleach")
        box.setText(CAUTION.replace("\n", "\n\n"))
        box.addButton("I have read it", QMessageBox.ButtonRole.AcceptRole)
        box.setWindowModality(Qt.WindowModality.WindowModal)
        box.show()
        self.caution_box = box

    # ---- the tour

    def start_tour(self) -> None:
        """Begin the three-step tour."""
        self.tour = Tour(self.sitting)
        self._show_hint()

    def end_tour(self) -> None:
        """No more hints."""
        if self.tour:
            self.tour.end()
        self._show_hint()

    def _look_tour(self) -> None:
        if self.tour and self.tour.look():
            self._show_hint()

    def _show_hint(self) -> None:
        words = self.tour.hint if self.tour else ""
        self.foot.show_hint(words)

    # ---- another sitting

    def follow(self, sitting: Sitting) -> None:
        """Put another sitting on the table."""
        old = self.sitting
        self.recovery.close()
        self.sitting = sitting
        self.recovery = Recovery(sitting, self.recovery_home)
        self.cautioned = False
        self._where = None
        self.table.brush.reserve.setChecked(False)
        self.sheet.follow(sitting)
        self.order.follow(sitting)
        self.table.follow(sitting)
        self._follow_signals()
        self._changed()
        self.end_tour()
        old.close()

    # ---- keys that are held, and the end

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """B held shows the bare sketch; closing asks about changes."""
        if isinstance(event, QCloseEvent) and watched is self.window and not self.closed:
            event.ignore()
            if self.opening.may_leave():
                self.close()
                # closed from here napari doesn't ask a second time
                QTimer.singleShot(0, self.viewer.close)
            return True
        here = isinstance(watched, QWidget) and watched.window() is self.window
        if here and event.type() == QEvent.Type.Drop and isinstance(event, QDropEvent):
            return self.opening.dropped(event)
        if isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_B:
            typing = isinstance(QApplication.focusWidget(), QLineEdit)
            if not typing and not event.isAutoRepeat():
                self._hold_before(event.type() == QEvent.Type.KeyPress)
        return False

    def _hold_before(self, down: bool) -> None:
        if down and self._held is None:
            self._held = self.sitting.preview.view
            self.look(View("bare sketch"))
        elif not down and self._held is not None:
            view, self._held = self._held, None
            self.look(view)

    def close(self) -> None:
        """End the sitting in peace."""
        if self.closed:
            return
        self.closed = True
        for timer in (self.timer, self.keep_timer, self.rest_timer):
            timer.stop()
        app = QApplication.instance()
        if app is not None:
            app.removeEventFilter(self)
        self.sheet.close()
        self.keeper.close()
        self.recovery.close()
        self.sitting.close()


def open_desk(viewer: Any, path: Path | None = None) -> Desk:
    """The desk in a napari viewer: with a scene, a sketch, or the lighthouse."""
    sitting = first_sitting(path)
    desk = Desk(viewer, sitting)
    if path is None:
        desk.start_tour()
    return desk
