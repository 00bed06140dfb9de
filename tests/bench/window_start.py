"""The window started as a painter starts it, and closed once its picture is finished:
`python -m tests.bench.window_start SCENE TIME` prints when each part was there, as JSON: seconds of
the processor, all threads together, and of the picture on the screen by the clock since TIME; and
how many objects Python still looks through.
"""

from __future__ import annotations

import gc
import importlib
import json
import sys
import time
from typing import Any

from qtpy.QtCore import QTimer
from qtpy.QtWidgets import QApplication

marks: dict[str, float] = {}


def mark(name: str) -> None:
    """Something is there now, for the first time."""
    marks.setdefault(name, round(time.process_time(), 3))


def main() -> None:
    """Start the window with a hand on its parts; see the module."""
    scene, start = sys.argv[1], float(sys.argv[2])
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
                mark("first picture")
                marks.setdefault("by the clock", round(time.time() - start, 3))

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
    importlib.import_module("viewer.__main__").main([scene])
    print(json.dumps(marks))


if __name__ == "__main__":
    main()
