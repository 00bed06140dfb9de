"""Laying what is in the hand where a picture, or a layer drawn in napari, says."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from qtpy.QtCore import QObject, Signal
from qtpy.QtWidgets import QFileDialog

from ..core.napari_layers import lay_region, region_from_layer, region_from_picture
from ..core.saying import say
from ..core.sitting import Sitting
from .dialogs import PICTURE_FILES
from .errands import Errands
from .surround import Surround


class MaskLaying(QObject):
    """Regions that were made elsewhere.

    laid : something was laid on one
    """

    laid = Signal()

    def __init__(self, errands: Errands, surround: Surround) -> None:
        super().__init__()
        self.errands, self.surround = errands, surround

    def picture(self, sitting: Sitting) -> None:
        """Lay what is in the hand where a grey picture is white."""
        kinds = say("common.pictures", kinds=PICTURE_FILES)
        title = say("files.mask")
        name, _ = QFileDialog.getOpenFileName(self.surround.window, title, "", kinds)
        if name:
            self._lay(sitting, lambda: region_from_picture(sitting, Path(name)))

    def napari_layer(self, sitting: Sitting) -> None:
        """Lay what is in the hand on a Labels or Shapes layer drawn in napari."""
        layer: Any = self.surround.viewer.layers.selection.active
        self._lay(sitting, lambda: region_from_layer(sitting, layer))

    def _lay(self, sitting: Sitting, make: Callable[[], str]) -> None:
        def lay() -> bool:
            lay_region(sitting, make())
            return True

        if self.errands.attempt(lay):
            self.laid.emit()
