"""Writing the sitting down while somebody paints, and offering what was left behind."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from qtpy.QtCore import QObject, Qt, QTimer, Signal
from qtpy.QtGui import QPixmap
from qtpy.QtWidgets import QHBoxLayout, QLabel, QVBoxLayout, QWidget

from ..core.journal import Journal
from ..core.recovery import THUMB, Left, clear_away, left_behind, recover
from ..core.saying import say
from ..core.sitting import Sitting
from .controls import OneLine, faint, push
from .dialogs import Box
from .errands import Errands
from .language import when_words
from .surround import Surround

SHOW_MS = 10_000
"""So often the small picture of a sitting that goes on is renewed."""


class Rescue(QObject):
    """The journal of the sitting on the table, and the list of those left behind.

    home : folder of the journals; None for the usual one
    recovered : a sitting that was left behind is gone on with
    """

    recovered = Signal(object)

    def __init__(
        self, sitting: Sitting, errands: Errands, surround: Surround, home: Path | None = None
    ) -> None:
        super().__init__()
        self.errands, self.surround, self.home = errands, surround, home
        self.journal = Journal(sitting, home)
        self.list: Box | None = None
        self._folder: Path | None = None
        self.every = QTimer(self)
        self.every.setInterval(SHOW_MS)
        self.every.timeout.connect(self._show)
        self.every.start()

    def follow(self, sitting: Sitting) -> None:
        """Write another sitting down; the one before has ended as its painter wants it."""
        self.journal.close()
        folder, self._folder = self._folder, None
        self.journal = Journal(sitting, self.home, folder)

    def _show(self) -> None:
        if self.journal.due and not self.errands.worker.busy:
            self.errands.run(self.journal.show, lambda _: None)

    def offer(self) -> None:
        """Show what was left behind, if anything was; what nobody needs of it goes."""
        self.errands.run(partial(clear_away, self.home), lambda _: None)
        if left := left_behind(self.home):
            self.list = self._listed(left)
            self.list.show()

    def _listed(self, left: list[Left]) -> Box:
        box = Box(self.surround.host, say("rescue.title"), 560)
        box.setWindowModality(Qt.WindowModality.WindowModal)
        box.add_words(say("rescue.told"))
        for one in left[:6]:
            box.places.addWidget(self._row(box, one))
        if len(left) > 6:
            box.places.addWidget(faint(say("rescue.more", n=len(left) - 6)))
        box.add_ends((say("rescue.later"), box.close))
        return box

    def _row(self, box: Box, left: Left) -> QWidget:
        whole = QWidget()
        row = QHBoxLayout(whole)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(10)
        picture, words = QLabel(), QVBoxLayout()
        words.setSpacing(0)
        picture.setFixedSize(84, 84)
        seen = QPixmap(str(left.folder / THUMB))
        if not seen.isNull():
            kept = Qt.AspectRatioMode.KeepAspectRatio
            picture.setPixmap(seen.scaled(84, 84, kept, Qt.TransformationMode.SmoothTransformation))
        row.addWidget(picture)
        when = when_words(left.kept_at)
        words.addStretch()
        words.addWidget(OneLine(left.title))
        words.addWidget(OneLine(when, faint=True))
        words.addWidget(OneLine(str(left.home or say("rescue.never")), faint=True))
        words.addStretch()
        row.addLayout(words, 1)
        for key, do in (("go_on", self.take), ("delete", Left.discard)):
            text, end = say(f"rescue.{key}"), partial(self._end, box, whole, partial(do, left))
            name = say("rescue.which", what=text, title=left.title, when=when)
            row.addWidget(push(text, end, name=name))
        return whole

    def _end(self, box: Box, row: QWidget, do: partial[None]) -> None:
        taking = do.func == self.take
        row.setEnabled(False)
        if taking:
            box.close()
        do()

    def take(self, left: Left) -> None:
        """Go on with a sitting that was left behind, in the folder it was left in."""
        sitting = self.errands.attempt(lambda: recover(left))
        if sitting is not None:
            self._folder = left.folder
            self.recovered.emit(sitting)
            # written down at once: from now on it is this window's
            self.journal.write({})
            self.errands.told.emit(
                sitting.settling.left_out or say("rescue.recovered", title=left.title)
            )

    def saved(self) -> None:
        """The sitting has been saved."""
        self.journal.saved()

    def close(self) -> None:
        """The sitting ends as its painter wants it."""
        self.every.stop()
        self.journal.close()
