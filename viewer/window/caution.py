"""The whole caution about bleach: by itself once a sheet, and whenever it is asked for."""

from __future__ import annotations

from qtpy.QtCore import Qt
from qtpy.QtWidgets import QMessageBox

from glaze.materials.bleach import CAUTION

from .surround import Surround


class CautionBox:
    """The caution in a box.

    shown : whether it has been shown for this sheet
    """

    def __init__(self, surround: Surround) -> None:
        self.surround = surround
        self.shown = False
        self.box: QMessageBox | None = None

    def first_time(self) -> None:
        """Show it when bleach is taken for the first time."""
        if not self.shown:
            self.show()

    def show(self) -> None:
        """Show it now."""
        self.shown = True
        self.box = self.surround.box(CAUTION.replace("\n", "\n\n"))
        self.box.setWindowTitle("before you lay bleach")
        self.box.addButton("I have read it", QMessageBox.ButtonRole.AcceptRole)
        self.box.setWindowModality(Qt.WindowModality.WindowModal)
        self.box.show()
