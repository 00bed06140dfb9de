"""What must hold of the window after any deed of anybody."""

from __future__ import annotations

import faulthandler
import os
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from click.testing import CliRunner
from qtpy.QtCore import QPoint
from qtpy.QtWidgets import QApplication, QWidget

from glaze.cli.main import glaze
from tests.reliability.monkey import ERRORS
from tests.reliability.sitting_kills import told_of
from tests.viewer.looks import faults_of
from viewer.core import asking
from viewer.core.keep import open_any, save
from viewer.core.views import View
from viewer.window.order_list import CARD

if TYPE_CHECKING:
    from tests.reliability.monkey import Stranger

PATIENCE_S = 120.0
STILL_S = 150.0
"""A window that doesn't come back from a deed in so long has hung."""
HARMLESS = (
      *("propagateSizeHints", "QStandardPaths", "xkbcommon", "XKB", "This plugin does not support"),
    "occurs outside target window",  # where the stranger drags to
)  # fmt: skip


class Errors:
    """What is written to the error output of this process, by anybody: it goes to a file."""

    def __init__(self, file: Path) -> None:
        self._file, self._read = file, 0
        write = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_APPEND)
        os.dup2(write, 2)
        os.close(write)
        sys.stderr = open(2, "w", buffering=1, encoding="utf-8", closefd=False)  # noqa: SIM115
        faulthandler.enable()

    def new(self) -> str:
        """What was written since the last time; a window that stands still for long is ended."""
        faulthandler.dump_traceback_later(STILL_S, exit=True)
        told = self._file.read_bytes()
        found, self._read = told[self._read :], len(told)
        lines = found.decode("utf-8", "replace").splitlines()
        return "\n".join(line for line in lines if not any(word in line for word in HARMLESS))


class Holds:
    """The window with a stranger at it; what no longer holds goes to the hand's faults."""

    def __init__(self, stranger: Stranger) -> None:
        self.who, self.errors = stranger, Errors(stranger.folder / ERRORS)
        self.faults = stranger.hand.faults

    def begin(self) -> None:
        """The window stands anew."""
        self._of, self._first = self.who.sitting, self._bare()

    def _bare(self) -> str:
        """What the sheet is, but for the names of versions, and for charges that may still wait."""
        return told_of(self.who.sitting, charges_wait=True, versions=False)

    def wait(self, so: Callable[[], bool]) -> bool:
        """Wait until something is so."""
        until = time.monotonic() + PATIENCE_S
        while not so() and time.monotonic() < until:
            self.who.rest(0.02)
        return so()

    @staticmethod
    def of_napari(widget: QWidget) -> bool:
        """Whether a widget is one of napari's lists."""
        while widget is not None:
            name = type(widget).__module__
            if name.startswith("napari") and "Canvas" not in type(widget).__name__:
                return (
                    "QtViewer" not in type(widget).__name__
                    and "MainWindow" not in type(widget).__name__
                )
            widget = widget.parentWidget()
        return False

    # ---- after each deed

    def after_a_deed(self) -> None:
        """Nothing was written to the errors, nothing waits, nothing is off the window."""
        if text := self.errors.new():
            self.faults.append(f"written to the errors:\n{text}")
        if not self.wait(lambda: self._nothing_asked):
            self.faults.append("something waits for an answer and gets none")
        if self.who.sitting is not self._of:
            self.begin()
        self._rows()
        self._canvas()
        self._off_the_window()

    @property
    def _nothing_asked(self) -> bool:
        return QApplication.activeModalWidget() is None and QApplication.activePopupWidget() is None

    def _rows(self) -> None:
        """The order shows the draft's steps, and marks the one in hand."""
        order = self.who.desk.order

        def shown() -> tuple[list[tuple[str, bool]], int]:
            cards = [order.cards.item(n).data(CARD) for n in range(order.cards.count())]
            return [(card.name, card.laid) for card in cards], order.cards.currentRow()

        def there() -> tuple[list[tuple[str, bool]], int]:
            # what was opened before may only now be there
            draft, chosen = self.who.sitting.draft, self.who.sitting.chosen
            steps = [(s.name, n not in draft.aside) for n, s in enumerate(draft.scene.steps)]
            return steps, -1 if chosen is None else chosen

        if not self.wait(lambda: shown() == there()):
            self.faults.append(f"the order shows {shown()} of {there()}")

    def _canvas(self) -> None:
        """The canvas shows the sheet, square on, ready for the brush, and nothing else."""
        viewer, layer = self.who.viewer, self.who.desk.sheet.layer
        if not self.wait(lambda: layer in viewer.layers):
            self.faults.append("the sheet's layer is gone")
            return
        dims, active = viewer.dims, viewer.layers.selection.active
        found = {
            "turned": tuple(dims.order) != (0, 1) or dims.ndisplay != 2,
            "in a grid": viewer.grid.enabled,
            "hidden": not layer.visible,
            "not in hand": active is not layer,
            "moved by the brush": layer.mouse_pan or str(layer.mode) != "pan_zoom",
            "not alone": len(viewer.layers) > 1,
        }
        if wrong := [what for what, so in found.items() if so]:
            self.faults.append(f"napari's sheet is {', '.join(wrong)}")
            dims.order, dims.ndisplay, viewer.grid.enabled, layer.visible = (0, 1), 2, False, True
            for other in [other for other in viewer.layers if other is not layer]:
                viewer.layers.remove(other)
            viewer.layers.selection.active = layer

    def _off_the_window(self) -> None:
        """Bar, foot and order stand in the window."""
        desk = self.who.desk
        for place in (desk.bar, desk.foot, desk.order):
            where = place.rect().translated(place.mapTo(desk.window, QPoint(0, 0)))
            if not desk.window.rect().contains(where):
                told = type(place).__name__, where, desk.window.rect()
                self.faults.append(f"off the window: {told}")

    # ---- after many

    def after_many(self) -> None:
        """All words have room; all can be taken back and done again, saved and opened again."""
        who, desk = self.who, self.who.desk
        who.settle_boxes()
        who.rest(0.1)
        if desk.surround.napari_folded:
            self.faults += faults_of(desk.window, (desk.bar, desk.foot, desk.order))
        self._taken_back()
        self._saved()
        self.after_a_deed()

    def _taken_back(self) -> None:
        """Back to the beginning, and to the end again: each time the same."""
        sitting, history = self.who.sitting, self.who.sitting.history
        place = history.place
        self._all_of(sitting.do_again)
        end = self._bare()
        went = self._all_of(sitting.take_back)
        self.who.rest()
        if self.who.sitting is not sitting:
            return self.begin()  # another was opened meanwhile
        if self._bare() != self._first:
            self.faults.append("all taken back isn't the sheet as it was opened")
        came = [self._bare(), *self._all_of(sitting.do_again)]
        self.who.rest()
        if self.who.sitting is not sitting:
            return self.begin()
        if self._bare() != end:
            self.faults.append(f"{len(went)} deeds done again aren't what they were")
        elif wrong := [n for n, (a, b) in enumerate(zip(came, went[::-1], strict=False)) if a != b]:
            self.faults.append(f"deed {wrong[0]} of {len(went)} done again isn't what it was")
        while history.place > place:
            sitting.take_back()
        self.who.rest()

    def _all_of(self, do: Callable[[], str | None]) -> list[str]:
        """Take back, or do again, all there is; what the sheet was each time."""
        found = []
        while do() is not None:
            found.append(self._bare())
        return found

    def _saved(self) -> None:
        """Saved and opened again it is the same."""
        sitting, desk = self.who.sitting, self.who.desk
        home = sitting.home or self.who.folder / f"new {self.who.draw.random():.9f}"
        if not desk.opening._try_save(home, over=True):
            self.faults.append(f"can't be saved: {desk.foot.line.text()}")
            return
        found = open_any(home)
        if told_of(found) != told_of(sitting):
            self.faults.append(f"opened again it isn't what was saved: {home.name}")
        found.close()
        if sitting.changed:
            self.faults.append("it counts as changed though it was saved")

    def at_the_end(self, folder: Path) -> None:
        """What is shown is what is exported, and what `glaze preview` paints of what was saved."""
        who, sitting = self.who, self.who.sitting
        who.settle_boxes()
        who.rest()
        sitting.look(View())
        who.rest()
        save(sitting, folder / "last")
        asking.write_proof(sitting, folder / "shown.png")
        asked = ["preview", str(folder / "last"), "-o", str(folder / "painted.png")]
        done = CliRunner().invoke(glaze, asked)
        if done.exit_code != 0:
            self.faults.append(f"glaze preview: {done.output} {done.exception!r}")
        elif (folder / "shown.png").read_bytes() != (folder / "painted.png").read_bytes():
            self.faults.append("the exported picture isn't that of glaze preview")
        from glaze.pipeline import render

        if not np.array_equal(render(sitting.painting).rgb, sitting.preview.pyramid.levels[0]):
            self.faults.append("the picture on the screen isn't the one that is exported")
