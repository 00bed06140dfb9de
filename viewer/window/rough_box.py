"""A colour rough beside the sheet: looked at, its colours taken, and steps for its areas."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from threading import Event

import numpy as np
from numpy.typing import NDArray
from qtpy.QtCore import QEvent, Qt, QTimer
from qtpy.QtGui import QKeyEvent
from qtpy.QtWidgets import QFileDialog, QGridLayout, QHBoxLayout, QLabel, QVBoxLayout, QWidget

from glaze.errors import InputError
from glaze.planning.rough.ways import NotLaidError

from ..core.corners import Photo, corner_words, read_photo
from ..core.rough_steps import StepFound, StepsFound, steps_for, take, taken
from ..core.roughing import Point, Rough, drops_at, open_rough
from ..core.saying import problems, say, spoken_words
from ..core.sitting import Sitting
from ..core.worker import Worker
from .controls import Once, OneLine, empty, faint, push
from .corners_box import CornersBox
from .dialogs import PICTURE_FILES, Box
from .drawing import Swatch
from .questions import Questions
from .sheet_panel import SheetView

POLL_MS = 60


class RoughBox(Box):
    """The rough that lies over the sheet, and the steps found for one of its areas.

    rough : what is open; found : the steps in the list; held : whether its key is down
    """

    def __init__(self, questions: Questions, sheet: SheetView) -> None:
        super().__init__(questions.surround.host, say("rough.title"), 560)
        self.questions, self.sheet = questions, sheet
        self.worker, self._stop, self._share = Worker(), Event(), 0.0
        self.rough: Rough | None = None
        self.held = False
        self.corners: CornersBox | None = None
        self.found: StepsFound | None = None
        self.line = QLabel()
        self.line.setWordWrap(True)
        self.stop = push(say("rough.stop"), lambda: self._stop.set())
        self.rows = QGridLayout()
        self.rows.setColumnStretch(2, 1)
        self.rows.setHorizontalSpacing(10)
        self.told = faint()
        self.told.setWordWrap(True)
        head = QHBoxLayout()
        head.addWidget(self.line, 1)
        head.addWidget(self.stop, 0, Qt.AlignmentFlag.AlignTop)
        self.places.addLayout(head)
        self.places.addLayout(self.rows)
        self.places.addWidget(self.told)
        self.caution = self.add_words(spoken_words().caution_line, caution=True)
        self.soon = Once(self._show_steps, self)
        self.placed = Once(lambda: questions.surround.stand_below(self), self)
        self.setAttribute(Qt.WidgetAttribute.WA_ShowWithoutActivating)
        self.timer = QTimer(self)
        self.timer.setInterval(POLL_MS)
        self.timer.timeout.connect(self.poll)
        self.follow(self.sitting)

    @property
    def sitting(self) -> Sitting:
        """What it lies over."""
        return self.questions.sitting

    def follow(self, sitting: Sitting) -> None:
        """Another sitting has no rough yet."""
        self._stop.set()
        self.rough = self.found = None
        sitting.draft_changed.connect(self.soon)
        self.close()

    # ---- the rough

    def ask_open(self) -> None:
        """Ask which picture is the rough, and lay it over the sheet in the background."""
        title, kinds = say("rough.asked"), say("common.pictures", kinds=PICTURE_FILES)
        name, _ = QFileDialog.getOpenFileName(self.questions.surround.window, title, "", kinds)
        if name:
            self.open_path(Path(name))

    def open_path(self, path: Path, corners: str | None = None) -> None:
        """Lay a rough over the sheet in the background; ask for its corners if it doesn't fit."""
        sitting, errands = self.sitting, self.questions.errands

        def opened(rough: Rough) -> None:
            if sitting is self.sitting:
                self.rough = rough
                errands.told.emit(say("rough.hold", words=rough.words))

        def refused(error: InputError) -> None:
            if isinstance(error, NotLaidError):
                errands.told.emit(say("rough.no_fit", name=path.name))
                self.ask_corners(path)
            else:
                errands.tell_wrong(error)

        errands.told.emit(say("rough.laying", name=path.name))
        errands.run(lambda: open_rough(sitting, path, corners), opened, refused)

    def ask_corners(self, path: Path | None = None) -> None:
        """Ask for the corners of the sheet in a rough; of the one that is open if none is said."""
        errands = self.questions.errands
        photo = path if self.rough is None else path or self.rough.path
        if photo is None:
            errands.told.emit(say("rough.none"))
            return

        def taken(corners: NDArray[np.float64], _: object) -> None:
            self.open_path(photo, corner_words(corners))

        def ask(seen: Photo) -> None:
            host = self.questions.surround.host
            self.corners = CornersBox(host, seen, say("rough.lay"), taken, sized=False)
            self.corners.show()

        errands.run(lambda: read_photo(photo), ask)

    def hold(self, down: bool) -> None:
        """Show the rough over the sheet while its key is held."""
        if down or self.held:
            self.held = down
            self._show(down)

    def _show(self, over: bool) -> None:
        self.sheet.show_instead(self.rough.picture if over and self.rough else None)
        if over and self.rough is None:
            self.questions.errands.told.emit(say("rough.none"))

    def event(self, event: QEvent) -> bool:
        """The rough's key works here as it does in the window."""
        if event.type() == QEvent.Type.WindowDeactivate:
            self.hold(False)
        if isinstance(event, QKeyEvent) and event.key() == Qt.Key.Key_G:
            if not event.isAutoRepeat():
                self.hold(event.type() == QEvent.Type.KeyPress)
            return True
        return super().event(event)

    def turn(self) -> None:
        """Show the rough over the sheet, or the sheet again."""
        self.held = False
        self._show(self.sheet.instead is None)

    def _pointed(self, key: str) -> tuple[Rough, Point] | None:
        """The rough and the place under the pointer; None, and it is told, where one is missing."""
        point = self.sheet.pointer
        if self.rough is None:
            self.questions.errands.told.emit(say("rough.none"))
        elif point is None:
            self.questions.errands.told.emit(say("rough.point", key=key))
        else:
            return self.rough, point
        return None

    def take_colour(self) -> None:
        """Which drops make the rough's colour under the pointer."""
        if (place := self._pointed("C")) is not None:
            rough, (x, y) = place
            self.questions.of_the_rough(
                say("rough.colour_at", x=f"{x:.0f}", y=f"{y:.0f}"),
                lambda: drops_at(self.sitting, rough, (x, y)),
            )

    # ---- steps for an area

    def propose_here(self) -> None:
        """Find steps for the area under the pointer, in the background."""
        if (place := self._pointed("P")) is None:
            return
        if self.worker.busy:
            self.questions.errands.told.emit(say("rough.busy"))
            return
        (rough, point), sitting = place, self.sitting
        self._stop, self._share, self.found = Event(), 0.0, None
        stop, heard = self._stop, partial(setattr, self, "_share")

        def job() -> StepsFound:
            return steps_for(sitting, rough, point, heard, stop.is_set)

        self.worker.do(job, partial(self._take_in, rough), self._refused)
        self._show_steps()
        self.show()
        self.timer.start()

    def poll(self) -> None:
        """Tell how far it is."""
        if self.worker.busy:
            self.line.setText(say("rough.looking", share=f"{self._share:.0%}"))
        else:
            self.timer.stop()

    def _take_in(self, rough: Rough, found: StepsFound) -> None:
        if rough is self.rough:
            self.found = found
            self._show_steps()

    def _refused(self, error: InputError) -> None:
        self._show_steps()
        self.line.setText(problems(error))

    def _show_steps(self) -> None:
        """Show what was found, and what of it lies in the order already."""
        found = self.found
        empty(self.rows)
        self.stop.setVisible(self.worker.busy)
        self.caution.setVisible(found is not None and found.bleach)
        self.told.setText("" if found is None else "\n".join(found.lines))
        self.told.setVisible(found is not None)
        if found is None:
            self.line.setText(say("rough.looking", share=f"{self._share:.0%}"))
        else:
            self.line.setText(say("rough.area", number=found.number))
            for n, one in enumerate(found.steps):
                self._row(found, n, one)
        self.placed()

    def _row(self, found: StepsFound, n: int, one: StepFound) -> None:
        swatch = Swatch(30, 30)
        swatch.show_rgb(one.rgb, say("rough.alone", name=one.step.name))
        words = QWidget()
        column = QVBoxLayout(words)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(OneLine(one.step.name))
        column.addWidget(OneLine(one.words, faint=True))
        number = taken(self.sitting, found, n)
        text = say("common.take" if number is None else "rough.in_order")
        name = say("common.named", what=text, name=one.step.name)
        button = push(text, partial(self._take, n), name=name)
        button.setEnabled(number is None)
        for place, widget in enumerate((faint(f"{n + 1}"), swatch, words, button)):
            self.rows.addWidget(widget, n, place)
            widget.show()  # at once; Qt would wait for its next turn

    def _take(self, n: int) -> None:
        """Take a step into the order: one deed, which can be taken back."""
        found = self.found
        assert found is not None
        self.questions.errands.attempt(lambda: take(self.sitting, found, n))
        if found.steps[n].step.liquid == "bleach":
            self.questions.holding.bleach_taken.emit()

    def let_go(self) -> None:
        """Nobody waits for it any more."""
        self._stop.set()
        self.timer.stop()
