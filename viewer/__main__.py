"""`python -m viewer [SCENE | SKETCH] [--language LANGUAGE]`: the window."""

from __future__ import annotations

import argparse
import gc
import importlib
import os
import sys
import threading
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .window.glimpse import Glimpse

MODEL = "numpy", "glaze.scene.records", ".core.keep"
NAPARI = (
    *("vispy.scene", "napari.layers", "napari.components", "napari.viewer", "napari.qt"),
    ".window.app",
)
"""What the window is made of, in pieces between which a glimpse of the sheet can be drawn: the
model first, whole, so that a scene is read while napari is loaded and no thread waits for, or finds
half of, what another loads."""

HANDED_OVER_MS = 300
"""So long the glimpse stays behind the window, until that has drawn itself."""


def look_through_memory() -> None:
    """Let go of what nobody needs, and look through the rest no more.

    Python would do it again and again, and the window would stand still for 0.18 s each time.
    """
    gc.unfreeze()
    gc.collect()
    gc.freeze()
    gc.enable()


def has_screen() -> bool:
    """Whether there is a screen for Qt; known beforehand under X11 and Wayland only."""
    if not sys.platform.startswith("linux"):
        return True
    return any(os.environ.get(n) for n in ("DISPLAY", "WAYLAND_DISPLAY", "QT_QPA_PLATFORM"))


def main(arguments: list[str] | None = None) -> int:
    """Open the window and stay until it is closed; 2 if what was asked for can't be opened."""
    given = argparse.ArgumentParser("glaze view")
    given.add_argument("path", type=Path, nargs="?")
    given.add_argument("--language")
    asked = given.parse_args(arguments)
    gc.disable()  # what is loaded stays: to look through it meanwhile takes 0.6 s
    glimpse = _first_seen(asked.path) if has_screen() else None
    found: dict[str, Any] = {"problems": _language_problems(asked.language)}
    if not found["problems"]:
        _load(asked.path, found, glimpse)
    if not found["problems"] and glimpse is not None and not glimpse.closed:
        _open(found, glimpse, asked.path)
        return 0
    if "viewer" in found:
        found["viewer"].close()
    if not found["problems"] and glimpse is not None:
        return 0
    from .core.saying import say

    print("\n".join(found["problems"] or [say("start.no_screen")]), file=sys.stderr)
    return 2


def _first_seen(path: Path | None) -> Glimpse:
    """The sheet on the screen, before anything else is loaded."""
    from qtpy.QtWidgets import QApplication

    from .core.last_seen import picture_of
    from .window.glimpse import Glimpse
    from .window.plain_imports import load_plainly

    load_plainly()
    app = QApplication.instance()
    app = app if isinstance(app, QApplication) else QApplication(["glaze"])
    glimpse = Glimpse(app, picture_of(path))
    glimpse.show()
    glimpse.goes_on()
    return glimpse


def _language_problems(asked: str | None) -> list[str]:
    """What is wrong with the language that is asked for; it is spoken otherwise."""
    from glaze.errors import InputError

    from .core.saying import problems
    from .window.language import speak_as_asked

    try:
        speak_as_asked(asked)
    except InputError as error:
        return [problems(error)]
    return []


def _read(path: Path | None, found: dict[str, Any]) -> None:
    """The sitting of what is asked for, or what is wrong with it."""
    from glaze.errors import InputError

    from .core.keep import SizeWantedError, first_sitting
    from .core.saying import translated

    try:
        found["sitting"] = first_sitting(path)
    except SizeWantedError:
        # the window asks how large the sheet is
        found["sitting"], found["asked"] = first_sitting(None), path
    except InputError as error:
        found["problems"] = [*map(translated, error.problems)]


def _load(path: Path | None, found: dict[str, Any], glimpse: Glimpse | None) -> None:
    """Load what the window is made of and read a scene; ends early without a glimpse."""
    from .window.layer_units import load_units
    from .window.theme_icons import write_icons_once

    _import(MODEL, glimpse)
    reader = threading.Thread(target=partial(_read, path, found))
    reader.start()
    if glimpse is not None:
        write_icons_once()
        _import(NAPARI, glimpse)
        load_units()
    if glimpse is not None and not glimpse.closed:
        found["viewer"] = _bare_window()  # while the scene is still being read
    while reader.is_alive():
        reader.join(0.02)
        if glimpse is not None:
            glimpse.goes_on()


def _bare_window() -> Any:
    """napari's window with nothing in it, not yet shown."""
    import napari

    return napari.Viewer(title="glaze", show=False)


def _import(names: tuple[str, ...], glimpse: Glimpse | None) -> None:
    """Load modules one after the other, as long as the glimpse isn't closed."""
    for name in names:
        importlib.import_module(name, __package__)
        if glimpse is not None and not glimpse.goes_on():
            break


def _open(found: dict[str, Any], glimpse: Glimpse, path: Path | None) -> None:
    """The window where the glimpse was, until it is closed."""
    import napari
    from qtpy.QtCore import QTimer

    from .window.app import open_desk
    from .window.tips import Tips

    desk = open_desk(found["viewer"], found["sitting"])
    gc.freeze()  # all that is there now stays
    gc.enable()
    Tips(glimpse.app).watch(glimpse.app)
    for another in (desk.opening.opened, desk.rescue.recovered):
        another.connect(lambda _: QTimer.singleShot(0, look_through_memory))
    desk.viewer.show()
    desk.window.setGeometry(glimpse.geometry())
    QTimer.singleShot(HANDED_OVER_MS, glimpse.deleteLater)
    if path is None:
        desk.foot.start_tour()
    if "asked" in found:
        QTimer.singleShot(0, lambda: desk.opening.ask_size(found["asked"]))
    desk.rescue.offer()
    napari.run()
    desk.close()


if __name__ == "__main__":
    sys.exit(main())
