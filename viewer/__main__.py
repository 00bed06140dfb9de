"""`python -m viewer [SCENE | SKETCH] [--language LANGUAGE]`: the window."""

from __future__ import annotations

import argparse
import gc
import os
import sys
import threading
from pathlib import Path
from typing import Any

LIKED = 1480, 980
"""Size of the window [px] where the screen has room for it."""


def look_through_memory() -> None:
    """Let go of what nobody needs, and look through the rest no more.

    Python would do it again and again, and the window would stand still for 0.18 s each time.
    """
    gc.unfreeze()
    gc.collect()
    gc.freeze()


def has_screen() -> bool:
    """Whether there is a screen for Qt; known beforehand under X11 and Wayland only."""
    if not sys.platform.startswith("linux"):
        return True
    return any(os.environ.get(n) for n in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"))


def main(arguments: list[str] | None = None) -> int:
    """Open the window and stay until it is closed; 2 if what was asked for can't be opened."""
    from glaze.errors import InputError

    from .core.saying import problems, say, translated
    from .window.language import speak_as_asked

    given = argparse.ArgumentParser("glaze view")
    given.add_argument("path", type=Path, nargs="?")
    given.add_argument("--language")
    asked = given.parse_args(arguments)
    path: Path | None = asked.path
    found: dict[str, Any] = {}
    try:
        speak_as_asked(asked.language)
    except InputError as error:
        print(problems(error), file=sys.stderr)
        return 2

    def read() -> None:
        # the scene is read while napari starts
        from .core.keep import SizeWantedError, first_sitting

        try:
            found["sitting"] = first_sitting(path)
        except SizeWantedError:
            # the window asks how large the sheet is
            found["sitting"], found["asked"] = first_sitting(None), path
        except InputError as error:
            found["problems"] = [*map(translated, error.problems)]

    reader = threading.Thread(target=read)
    reader.start()
    if not has_screen():  # Qt would end the program without a word for a painter
        reader.join()
        print("\n".join(found.get("problems", [say("start.no_screen")])), file=sys.stderr)
        return 2
    import napari

    viewer = napari.Viewer(title="glaze", show=False)
    from qtpy.QtCore import QTimer

    from .window.app import open_desk

    reader.join()
    if "problems" in found:
        print("\n".join(found["problems"]), file=sys.stderr)
        viewer.close()
        return 2
    desk = open_desk(viewer, found["sitting"])
    look_through_memory()
    for another in (desk.opening.opened, desk.rescue.recovered):
        another.connect(lambda _: QTimer.singleShot(0, look_through_memory))
    viewer.show()
    room = desk.window.screen().availableGeometry()
    desk.window.resize(min(LIKED[0], room.width()), min(LIKED[1], room.height()))
    if path is None:
        desk.foot.start_tour()
    if "asked" in found:
        QTimer.singleShot(0, lambda: desk.opening.ask_size(found["asked"]))
    desk.rescue.offer()
    napari.run()
    desk.close()
    return 0


if __name__ == "__main__":
    sys.exit(main())
