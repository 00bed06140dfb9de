"""The whole caution about bleach: by itself once a sheet, and whenever it is asked for."""

from __future__ import annotations

from qtpy.QtCore import Qt

from ..core.saying import say, spoken_words
from .dialogs import Box
from .surround import Surround


class CautionBox:
    """The caution in a box.

    shown : whether it has been shown for this sheet
    """

    def __init__(self, surround: Surround) -> None:
        self.surround = surround
        self.shown = False
        self.box: Box | None = None

    def first_time(self) -> None:
        """Show it when bleach is taken for the first time."""
        if not self.shown:
            self.show()

    def show(self) -> None:
        """Show it now."""
        self.shown = True
        self.box = self.box or self._made()
        self.box.show()

    def _made(self) -> Box:
        box = Box(self.surround.host, say("caution_box.title"), 520)
        for words in spoken_words().caution:
            box.add_words(words)
        box.add_ends((say("caution_box.read"), box.accept))
        box.setWindowModality(Qt.WindowModality.WindowModal)
        return box
