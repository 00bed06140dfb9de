"""The window started as a painter starts it, and closed once its picture is finished:
`python -m tests.bench.window_start SCENE TIME` prints when each part was there, as JSON: seconds of
the processor, all threads together, and of a glimpse of the sheet and of its picture in the window
by the clock since TIME; what heavy was loaded at the glimpse, and how many objects Python still
looks through at the end.
"""

from __future__ import annotations

import gc
import importlib
import json
import sys
import time
from typing import Any

marks: dict[str, Any] = {}


def mark(name: str, clock: str = "") -> None:
    """Something is there now, for the first time; by the clock under another name."""
    marks.setdefault(name, round(time.process_time(), 3))
    if clock:
        marks.setdefault(clock, round(time.time() - float(sys.argv[2]), 3))


def main() -> None:
    """Start the window; see the module."""
    program: Any = importlib.import_module("viewer.__main__")
    first_seen = program._first_seen

    def glimpsed(*given: Any) -> Any:
        found = first_seen(*given)
        mark("glimpse", "glimpse by the clock")
        heavy = "numpy", *program.NAPARI
        marks["loaded"] = [name for name in heavy if name in sys.modules]
        watch()  # what it watches is loaded from here on
        return found

    program._first_seen = glimpsed
    program.main([sys.argv[1]])
    print(json.dumps(marks))


def watch() -> None:
    """Mark when the parts of the window are there, and close it in the end."""
    from qtpy.QtCore import QTimer
    from qtpy.QtWidgets import QApplication

    keep: Any = importlib.import_module("viewer.core.keep")
    app: Any = importlib.import_module("viewer.window.app")
    first_sitting, open_desk = keep.first_sitting, app.open_desk

    def read(*given: Any) -> Any:
        mark("modules")
        found = first_sitting(*given)
        mark("scene")
        return found

    def opened(*given: Any) -> Any:
        mark("napari")
        desk = open_desk(*given)
        mark("desk")
        canvas, watch = desk.sheet.canvas(), QTimer(desk)
        canvas._vispy_canvas.events.draw.connect(lambda _: QTimer.singleShot(0, seen))

        def seen() -> None:
            if canvas.isVisible():
                mark("first picture", "by the clock")

        def look() -> None:
            if "first picture" in marks and not desk.sitting.busy:
                mark("finished picture")
                marks["objects"] = len(gc.get_objects())
                watch.stop()
                desk.opening.may_leave = lambda: True
                QApplication.closeAllWindows()

        watch.timeout.connect(look)
        watch.start(5)
        return desk

    keep.first_sitting, app.open_desk = read, opened


if __name__ == "__main__":
    main()
