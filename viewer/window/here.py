"""WHAT LIES HERE: the place under the pointer, step by step, and what bleach would leave."""

from __future__ import annotations

from functools import partial

from qtpy.QtCore import Qt, QTimer
from qtpy.QtWidgets import QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from glaze.patch.band import Band
from glaze.sheet.lift import Touches

from ..core.saying import say, translated
from ..core.sitting import Sitting
from ..core.spot import Spot, read_at
from ..core.worker import Worker
from .controls import Once, OneLine, faint, place_label
from .drawing import Swatch

READ_MS = 40
"""A place is read so long after the pointer came to it or the sheet changed there."""
REST_MS = 150
"""Bands are asked for where the pointer rests so long: they take ten times as long."""


class Here(QWidget):
    """What lies under the pointer.

    where : row and column of the pointer [px]; None where it is off the sheet
    worker : works bands out
    """

    def __init__(self, sitting: Sitting) -> None:
        super().__init__()
        self.soon = Once(self.read, self, wait_ms=READ_MS)
        self.worker = Worker()
        self._shown: Spot | None = None
        self.rest = QTimer(self)
        self.rest.setSingleShot(True)
        self.rest.setInterval(REST_MS)
        self.rest.timeout.connect(self._ask)
        self.swatch, self.after = Swatch(34, 34), Swatch(34, 34)
        self.after.setToolTip(say("here.after"))
        keeps = self.after.sizePolicy()
        keeps.setRetainSizeWhenHidden(True)  # its room is there before anything is read
        self.after.setSizePolicy(keeps)
        self.after.hide()
        self.colour, self.words = OneLine(say("here.point")), OneLine(faint=True)
        self.colour.setProperty("reading", True)
        self.bleached, self.band = OneLine(), OneLine(faint=True)
        self.steps = faint()
        self.steps.setWordWrap(True)
        self.steps.setAlignment(Qt.AlignmentFlag.AlignTop)
        self.numbers = faint()
        self.numbers.setVisible(False)
        box = QVBoxLayout(self)
        box.setContentsMargins(10, 4, 10, 8)
        box.setSpacing(4)
        box.addWidget(place_label(say("here.place")))
        box.addLayout(_beside(self.swatch, self.colour, self.words))
        box.addWidget(self.steps, 1)  # it takes what room is left, so that nothing else moves
        box.addLayout(_beside(self.after, self.bleached, self.band))
        box.addWidget(self.numbers)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Fixed)
        self.setFixedHeight(236)
        self.follow(sitting)

    def follow(self, sitting: Sitting) -> None:
        """Read another sitting; the pointer has yet to come to it."""
        self.sitting = sitting
        sitting.painted.connect(self.soon)
        self.where: tuple[int, int] | None = None

    def turn_figures(self) -> None:
        """Show figures for those who measure, or hide them again."""
        self.numbers.setVisible(not self.numbers.isVisible())

    def read(self) -> None:
        """Read what lies under the pointer, and what the bleach in the dish would leave there."""
        if self.where is None:
            return
        hand, painting = self.sitting.hand, self.sitting.painting
        touches = Touches(
            parts_water=hand.parts_water, touches=hand.touches, minutes=hand.minutes, tool=hand.tool
        )
        rows, columns = painting.shape
        row, column = min(self.where[0], rows - 1), min(self.where[1], columns - 1)
        self.show_reading(read_at(painting, touches, row, column))

    def show_reading(self, reading: Spot) -> None:
        """Show a reading, and its bands once the pointer has rested here."""
        self._shown = reading
        self.swatch.show_rgb(reading.rgb8)
        value = f"{reading.value:.1f}"
        self.colour.setText(say("here.value", value=value, notation=reading.notation))
        at = {"x": f"{reading.x_mm:.0f}", "y": f"{reading.y_mm:.0f}"}
        self.words.setText(say("here.at", colour=translated(reading.words), **at))
        shown = reading.steps[-5:]
        lines = [step.words for step in shown] or [say("here.bare")]
        if len(reading.steps) > len(shown):
            lines.insert(0, say("here.before", n=len(reading.steps) - len(shown)))
        self.steps.setText("\n".join(lines))
        self.after.show_rgb(reading.bleached_rgb8)
        self.after.show()
        left = f"{reading.bleached_value:.1f}"
        self.bleached.setText(say("here.leaves", value=left, notation=reading.bleached))
        self.band.setText(translated(reading.bleached_words))
        lab = ", ".join(f"{part:.1f}" for part in reading.lab)
        self.numbers.setText(say("here.lab", lab=lab, paper=f"{reading.paper:.1f}"))
        self.rest.start()

    def _ask(self) -> None:
        """Work the bands of what is shown out in the background, one after the other."""
        reading = self._shown
        if reading is None:
            return
        if self.worker.busy:
            self.rest.start()
        else:
            self.worker.do(lambda: reading.bands, partial(self.show_bands, reading))

    def show_bands(self, reading: Spot, bands: tuple[Band, Band]) -> None:
        """Show the bands of a reading, unless another is shown by now."""
        if reading is self._shown:
            low, high = (f"{end:.1f}" for end in (bands[1].low, bands[1].high))
            colour = translated(reading.bleached_words)
            self.band.setText(say("here.band", low=low, high=high, colour=colour))


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
