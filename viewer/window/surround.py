"""What is round the sheet: napari's window with three docks on a neutral wall, its lists folded."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from qtpy.QtCore import Qt
from qtpy.QtGui import QAction, QKeySequence, QShortcut
from qtpy.QtWidgets import QApplication, QDialog, QDockWidget, QMainWindow, QWidget

from .controls import Once, Snug
from .look import Wall, register, style

TALL_PX = 900
"""In a lower window napari's lists stand behind one another: it would grow off the screen."""


class Surround:
    """napari's window, arranged for painting.

    host : what small windows belong to: they stand over the window, in its greys
    """

    def __init__(self, viewer: Any, bar: QWidget, foot: Snug, order: QWidget, wall: Wall):
        self.viewer = viewer
        self.widgets, self.host = (bar, foot, order), bar
        self.docks: list[QDockWidget] = []
        self._dress_ours(wall)  # while each stands alone: in the window all of it is dressed again
        places = (("orders", "top"), ("table", "bottom"), ("order", "right"))
        for widget, (name, area) in zip(self.widgets, places, strict=True):
            dock = viewer.window.add_dock_widget(
                widget, name=f"glaze {name}", area=area, add_vertical_stretch=False
            )
            dock.setTitleBarWidget(QWidget())
            dock.setMinimumHeight(0)  # napari asks for 50 px, the bar for less
            self.docks.append(dock)
        window = order.window()
        assert isinstance(window, QMainWindow)
        self.window = window
        self.window.setCorner(Qt.Corner.BottomRightCorner, Qt.DockWidgetArea.RightDockWidgetArea)
        self._shown: list[QDockWidget] = []
        self._fit_soon = Once(self._fit, self.window)
        foot.changed_height.connect(self._fit_soon)
        self.napari_folded = False
        self.fold_napari(True)
        self._fit_soon()

    def _fit(self) -> None:
        """Bar and foot as high as what stands in them; the sheet has the rest."""
        bar, foot = (widget.sizeHint().height() for widget in self.widgets[:2])
        self.host.setFixedHeight(bar)
        if self.docks[1].maximumHeight() != foot:
            self.docks[1].setMaximumHeight(foot)
            self._fit_soon()  # what stands in it may want more room once it has this

    def dress(self, wall: Wall) -> None:
        """The window in the greys of a wall."""
        self.viewer.theme = register(wall)
        self._dress_ours(wall)

    def _dress_ours(self, wall: Wall) -> None:
        self.wall = wall
        for widget in self.widgets:
            widget.setStyleSheet(style(wall))

    def fold_napari(self, folded: bool) -> None:
        """Fold napari's own lists and menus away, or show those that were open before."""
        if folded and not self.napari_folded:
            docks = self.window.findChildren(QDockWidget)
            own = [dock for dock in docks if dock not in self.docks and not dock.isFloating()]
            self._shown = [dock for dock in own if not dock.isHidden()]
        if not folded and self.window.height() < TALL_PX:
            for dock in self._shown[1:]:
                self.window.tabifyDockWidget(self._shown[0], dock)
        self.napari_folded = folded
        for dock in self._shown:
            dock.setVisible(not folded)
        self.window.menuBar().setVisible(not folded)
        self.window.statusBar().setVisible(not folded)

    def keep_open(self, inside: QWidget) -> None:
        """Count the dock of a widget as one of ours: it is never folded away."""
        for dock in self.window.findChildren(QDockWidget):
            if dock.isAncestorOf(inside):
                self.docks.append(dock)
                dock.setVisible(True)

    def turn_napari(self) -> None:
        """Show napari's own lists and menus, or fold them away again."""
        self.fold_napari(not self.napari_folded)

    def bind(self, keys: str, action: Callable[[], Any]) -> None:
        """Let keys do something, and take them from napari's menus."""
        wanted, app = QKeySequence(keys), QApplication.instance()
        # what stands in napari's menus belongs to the program, not to its window
        for home in (self.window, app) if app is not None else (self.window,):
            for given in home.findChildren(QAction):
                if given.shortcut() == wanted:
                    given.setShortcut(QKeySequence())
        QShortcut(wanted, self.window).activated.connect(action)

    def stand_below(self, dialog: QDialog) -> None:
        """Put a small window over the table, so that the sheet stays in sight."""
        dialog.adjustSize()
        corner = self.window.mapToGlobal(self.window.rect().bottomLeft())
        left = max(12, (self.window.width() - dialog.width()) // 3)
        dialog.move(corner.x() + left, corner.y() - dialog.height() - 12)
