"""The small widget that brings the desk into a napari that is already open."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from qtpy.QtWidgets import QLabel, QPushButton, QVBoxLayout, QWidget

from glaze.errors import InputError

from ..core.keep import first_sitting
from ..core.napari_layers import region_from_layer, sitting_from_layers
from ..core.saying import problems, say
from .app import open_desk
from .desk import Desk
from .language import speak_as_asked

if TYPE_CHECKING:
    import napari


class DeskWidget(QWidget):
    """Puts the scene of the open layers on the desk, or the lighthouse if there is none."""

    def __init__(self, napari_viewer: napari.viewer.Viewer) -> None:
        super().__init__()
        # napari hands out a stand-in that gives stand-ins of layers; the desk needs the layers
        self.viewer: Any = getattr(napari_viewer, "__wrapped__", napari_viewer)
        self.desk: Desk | None = None
        box = QVBoxLayout(self)
        speak_as_asked()
        self.words = QLabel(say("plugin.told"))
        self.words.setWordWrap(True)
        self.open = QPushButton(say("plugin.open"))
        self.open.clicked.connect(self.open_desk)
        self.region = QPushButton(say("plugin.region"))
        self.region.setToolTip(say("plugin.region_told"))
        self.region.clicked.connect(self.make_region)
        self.region.setEnabled(False)
        for widget in (self.words, self.open, self.region):
            box.addWidget(widget)
        box.addStretch()

    def open_desk(self) -> None:
        """Order, table and sheet for the scene of the layers that are open."""
        if self.desk is not None and not self.desk.closed:
            return
        viewer = self.viewer
        try:
            sitting = sitting_from_layers(list(viewer.layers))
        except InputError:
            sitting = first_sitting(None)
        for layer in viewer.layers:
            layer.visible = False
        self.desk = open_desk(viewer, sitting)
        self.region.setEnabled(True)
        self.desk.surround.keep_open(self)
        self.desk.rescue.offer()

    def make_region(self) -> None:
        """A region of the layer that is chosen in napari's list."""
        assert self.desk is not None
        try:
            name = region_from_layer(self.desk.sitting, self.viewer.layers.selection.active)
        except InputError as error:
            self.words.setText(problems(error))
        else:
            self.words.setText(say("plugin.made", name=name))
