"""Keeping the sitting while somebody paints, and offering what a crash left behind."""

from __future__ import annotations

from pathlib import Path

from qtpy.QtCore import QObject, QTimer, Signal
from qtpy.QtWidgets import QMessageBox

from viewer.core.recovery import Left, Recovery, left_behind, recover
from viewer.core.sitting import Sitting
from viewer.window.errands import Errands
from viewer.window.surround import Surround

KEEP_MS = 60_000
AFTER_STROKES_MS = 2_000
"""A group of strokes ends when the pen has rested so long."""


class Rescue(QObject):
    """Keeps the sitting for a recovery every minute and after each group of strokes.

    home : folder of the kept sittings; None for the usual one
    recovered : a sitting that was left behind is gone on with
    """

    recovered = Signal(object)

    def __init__(
        self, sitting: Sitting, errands: Errands, surround: Surround, home: Path | None = None
    ) -> None:
        super().__init__()
        self.errands, self.surround, self.home = errands, surround, home
        self.recovery = Recovery(sitting, home)
        self.every = QTimer(self)
        self.every.setInterval(KEEP_MS)
        self.every.timeout.connect(self.keep_now)
        self.every.start()
        self.rest = QTimer(self)
        self.rest.setSingleShot(True)
        self.rest.setInterval(AFTER_STROKES_MS)
        self.rest.timeout.connect(self.keep_now)

    def follow(self, sitting: Sitting) -> None:
        """Keep another sitting; the one before has ended in peace."""
        self.recovery.close()
        self.recovery = Recovery(sitting, self.home)

    def keep_now(self) -> None:
        """Keep the sitting, in the background."""
        if self.recovery.due and not self.errands.worker.busy:
            self.errands.run(self._keep, self._not_kept)

    def _keep(self) -> Exception | None:
        try:
            self.recovery.keep()
        except Exception as error:
            # whatever stops it, the painter has to know
            return error
        return None

    def _not_kept(self, error: Exception | None) -> None:
        if error is not None:
            self.errands.told.emit(
                f"The sitting can't be kept for a recovery ({error}); save it yourself."
            )

    def offer(self) -> None:
        """Offer the latest sitting that a crash left behind."""
        left = left_behind(self.home)
        if not left:
            return
        box = self.surround.box(
            f"\u201c{left[0].title}\u201d wasn't closed in peace. It was kept as it was after the "
            "last strokes."
        )
        take = box.addButton("go on with it", QMessageBox.ButtonRole.AcceptRole)
        drop = box.addButton("let it go", QMessageBox.ButtonRole.DestructiveRole)
        box.addButton("decide later", QMessageBox.ButtonRole.RejectRole)
        box.exec()
        if box.clickedButton() is take:
            self.take(left[0])
        elif box.clickedButton() is drop:
            left[0].discard()

    def take(self, left: Left) -> None:
        """Go on with a sitting that was left behind; its folder goes when this one is kept."""
        sitting = self.errands.attempt(lambda: recover(left))
        if sitting is not None:
            self.recovered.emit(sitting)
            # from now on its files are read from where this sitting is kept
            self.recovery.keep()
            sitting.move_to(self.recovery.folder)
            left.discard()
            self.errands.told.emit(f"recovered: {left.title}")

    def close(self) -> None:
        """The sitting ends in peace."""
        self.every.stop()
        self.rest.stop()
        self.recovery.close()
