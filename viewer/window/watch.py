"""What happens to the window itself: keys that are held, scenes that are dropped, the end."""

from __future__ import annotations

from qtpy.QtCore import QEvent, QObject, Qt, QTimer
from qtpy.QtGui import QCloseEvent, QDropEvent, QKeyEvent
from qtpy.QtWidgets import QApplication, QWidget

from ..core.views import View
from .desk import Desk

FOCUS_LOST = QEvent.Type.FocusOut, QEvent.Type.WindowDeactivate
"""After that a key's release is told to somebody else: what it holds is let go at once."""


class Watch(QObject):
    """B held shows the bare sketch, G the rough; Escape lets a cut edge go that was begun; closing
    asks about changes; a drop is opened."""

    def __init__(self, desk: Desk) -> None:
        super().__init__(desk)
        self.desk = desk
        self._held: View | None = None
        # the window, the canvas and what is between them
        self._watched: list[QWidget] = [desk.window]
        canvas = desk.sheet.canvas()
        while canvas is not None and canvas is not desk.window:
            self._watched.append(canvas)
            canvas = canvas.parentWidget()
        for widget in self._watched:
            widget.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Listen to what comes to the window and its canvas."""
        desk = self.desk
        if desk.closed:
            return False
        if isinstance(event, QCloseEvent) and watched is desk.window:
            event.ignore()
            if desk.opening.may_leave():
                desk.close()
                # closed from here napari doesn't ask a second time
                QTimer.singleShot(0, desk.viewer.close)
            return True
        if event.type() == QEvent.Type.WindowActivate and watched is desk.window:
            desk.opening.look_at_home()
        if event.type() == QEvent.Type.Drop and isinstance(event, QDropEvent):
            return desk.opening.dropped(event)
        if event.type() in FOCUS_LOST:
            self._let_go(watched)
        if isinstance(event, QKeyEvent) and not event.isAutoRepeat():
            down = event.type() == QEvent.Type.KeyPress
            if down and event.key() == Qt.Key.Key_Escape and desk.sheet.guide:
                desk.sheet.set_way(desk.sheet.way)
            if event.key() in (Qt.Key.Key_B, Qt.Key.Key_G):
                hold = self._hold_before if event.key() == Qt.Key.Key_B else desk.rough.hold
                hold(down)
                if down and (focus := QApplication.focusWidget()) is not None:
                    focus.installEventFilter(self)
        return False

    def _let_go(self, watched: QObject) -> None:
        """Whoever had the focus has lost it: a stroke ends here, and what keys hold is let go."""
        self.desk.sheet.end_stroke()
        self._hold_before(False)
        self.desk.rough.hold(False)
        if watched not in self._watched:
            watched.removeEventFilter(self)

    def _hold_before(self, down: bool) -> None:
        if down and self._held is None:
            self._held = self.desk.sitting.preview.view
            self.desk.look(View("bare sketch"))
        elif not down and self._held is not None:
            view, self._held = self._held, None
            self.desk.look(view)
