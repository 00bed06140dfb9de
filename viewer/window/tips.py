"""Tips that fit the screen: Qt parts the lines of rich text only."""

from __future__ import annotations

from html import escape

from qtpy.QtCore import QEvent, QObject
from qtpy.QtGui import Qt
from qtpy.QtWidgets import QWidget


class Tips(QObject):
    """Makes rich text of every plain tip, its lines kept."""

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Listen to tips that are set."""
        if event.type() == QEvent.Type.ToolTipChange and isinstance(watched, QWidget):
            tip = watched.toolTip()
            if tip and not Qt.mightBeRichText(tip):
                watched.setToolTip(f"<qt>{escape(tip).replace(chr(10), '<br>')}</qt>")
                return True
        return False
