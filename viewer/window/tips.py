"""Tips that fit the screen: Qt parts the lines of rich text only."""

from __future__ import annotations

from html import escape

from qtpy.QtCore import QEvent, QObject
from qtpy.QtGui import Qt
from qtpy.QtWidgets import QApplication, QWidget


class Tips(QObject):
    """Makes rich text of every plain tip, its lines kept."""

    def watch(self, app: QApplication) -> None:
        """See to all tips there are, and to those that are set from now on.

        While a window is made thousands of events come, and none of them need be looked at.
        """
        for widget in app.allWidgets():
            _enrich(widget)
        app.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Listen to tips that are set."""
        if event.type() == QEvent.Type.ToolTipChange and isinstance(watched, QWidget):
            return _enrich(watched)
        return False


def _enrich(widget: QWidget) -> bool:
    """Make rich text of a widget's plain tip; whether it had one."""
    tip = widget.toolTip()
    if not tip or Qt.mightBeRichText(tip):
        return False
    widget.setToolTip(f"<qt>{escape(tip).replace(chr(10), '<br>')}</qt>")
    return True
