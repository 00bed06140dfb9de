"""Three ways to a value side by side: small pictures of that very place, before one is taken."""

from __future__ import annotations

from functools import partial

import numpy as np
from numpy.typing import NDArray
from qtpy.QtCore import QPointF, Qt
from qtpy.QtGui import QImage, QPainter, QPixmap
from qtpy.QtWidgets import QHBoxLayout, QLabel, QPushButton, QVBoxLayout, QWidget

from glaze.errors import InputError

from ..core.close_up import around, close_up
from ..core.saying import problems, say, spoken_words, translated
from ..core.sitting import Sitting
from ..core.to_value import ValueWanted, Way, ways_to
from ..core.worker import Worker
from .controls import DragNumber, Once, empty, faint, push
from .dialogs import Box
from .drawing import ring
from .surround import Surround

SIDE_PX = 196

Seen = tuple[ValueWanted, list[NDArray[np.uint8]]]


class ThreeWays(Box):
    """The place as it is, and three ways to bring it to a value."""

    def __init__(self, sitting: Sitting, surround: Surround) -> None:
        super().__init__(surround.host, say("value.title"))
        self.sitting, self.surround = sitting, surround
        self.worker = Worker()
        self.pixel = (0, 0)
        self.asked: ValueWanted | None = None
        self.wanted = DragNumber(0, 10, 0.1, 1, "", say("value.wanted"))
        self.wanted.let_go.connect(self.ask)
        self.line, self.ways = QLabel(), QHBoxLayout()
        self.line.setWordWrap(True)
        self.ways.setSpacing(12)
        row = QHBoxLayout()
        row.addWidget(QLabel(say("value.place")))
        row.addWidget(self.wanted)
        row.addWidget(self.line, 1)
        self.places.addLayout(row)
        self.places.addLayout(self.ways)
        self.caution = self.add_words(spoken_words().caution_line, caution=True)
        self.soon = Once(lambda: self.surround.stand_below(self), self)
        self.follow(sitting)

    def follow(self, sitting: Sitting) -> None:
        """Ask about another sitting from now on."""
        self.sitting = sitting
        sitting.done.connect(self._changed)
        self.close()

    def _changed(self, _: object) -> None:
        """What was asked of the sheet as it was holds no more."""
        if self.isVisible():
            self.ask()

    def show_for(self, pixel: tuple[int, int], wanted: float) -> None:
        """Ask how a place, row and column, comes to a value."""
        self.pixel = pixel
        self.wanted.show_value(wanted)
        self.ask()
        self.show()
        self.soon()

    def ask(self) -> None:
        """Work the three ways out, in the background; those of before can't be taken meanwhile."""
        self.line.setText(say("common.working"))
        for button in self.findChildren(QPushButton):
            button.setEnabled(False)
        question = sitting, pixel, wanted = self._question

        def job() -> Seen:
            asked = ways_to(sitting, pixel, wanted)
            drafts = [sitting.draft, *(way.draft for way in asked.ways)]
            shown = [close_up(sitting.settling.worked_out(d), pixel) for d in drafts]
            return asked, shown

        self.worker.do(job, partial(self._take, question), self._refused)

    @property
    def _question(self) -> tuple[Sitting, tuple[int, int], float]:
        return self.sitting, self.pixel, self.wanted.value

    def _refused(self, error: InputError) -> None:
        self.asked = None
        empty(self.ways)
        self.caution.setVisible(False)
        self.line.setText(problems(error))
        self.soon()

    def _take(self, question: tuple[object, ...], seen: Seen) -> None:
        """Show what was worked out, unless something else has been asked since."""
        if question != self._question or self.worker.busy:
            return
        self.asked, pictures = seen
        empty(self.ways)
        self.line.setText("")
        self._add(pictures[0], say("value.as_it_is"), translated(self.asked.now.text), None)
        for way, band, picture in zip(self.asked.ways, self.asked.bands, pictures[1:], strict=True):
            self._add(picture, f"{way.words}\n{way.amounts}", translated(band.text), way)
        self.caution.setVisible(any(way.bleach for way in self.asked.ways))
        self.soon()

    def _add(self, picture: NDArray[np.uint8], words: str, value: str, way: Way | None) -> None:
        whole = QWidget()
        column = QVBoxLayout(whole)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        shown = QLabel()
        shown.setPixmap(self._pixmap(picture, marked=way is None))
        shown.setFixedSize(SIDE_PX, SIDE_PX)
        shown.setAccessibleName(say("value.shown", words=words, value=value))
        column.addWidget(shown)
        for text, label in ((value, faint(value)), (words, QLabel(words))):
            label.setWordWrap(True)
            label.setFixedWidth(SIDE_PX)
            label.setToolTip(text)
            column.addWidget(label)
        column.addStretch()
        text = say("value.keep" if way is None else "common.take")
        name = say("common.named", what=text, name=words)
        column.addWidget(push(text, lambda: self.take(way), name=name))
        self.ways.addWidget(whole)

    def _pixmap(self, picture: NDArray[np.uint8], marked: bool) -> QPixmap:
        """A picture as large as its place on a fine screen too; a ring is where it was asked."""
        fine = self.devicePixelRatioF()
        rows, columns = picture.shape[:2]
        image = QImage(
            np.ascontiguousarray(picture).tobytes(),
            *(columns, rows, 3 * columns, QImage.Format.Format_RGB888),
        )
        side = round(SIDE_PX * fine)
        keep = Qt.AspectRatioMode.KeepAspectRatio
        pixmap = QPixmap.fromImage(image).scaled(
            side, side, keep, Qt.TransformationMode.SmoothTransformation
        )
        pixmap.setDevicePixelRatio(fine)
        if marked:
            square = around(self.sitting.painting, self.pixel)
            share = [
                (at - start + 0.5) / length
                for at, start, length in zip(self.pixel, square[:2], square.shape, strict=True)
            ]
            painter = QPainter(pixmap)
            place = QPointF(share[1] * pixmap.width() / fine, share[0] * pixmap.height() / fine)
            ring(painter, place)
            painter.end()
        return pixmap

    def take(self, way: Way | None) -> None:
        """Do it: one deed, which can be taken back; nothing if the place is to stay as it is."""
        self.close()
        if way is None:
            return
        try:
            filled = {"words": way.words, "amounts": way.amounts}
            name = say("deed.to_value", value=f"{self.wanted.value:g}", **filled)
            self.sitting.do(name, way.draft, chosen=way.chosen)
        except InputError as error:
            self.sitting.told.emit(problems(error))
        else:
            self.sitting.choose(way.chosen)
