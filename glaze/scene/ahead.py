"""A scene's sketch, read while the model is still being loaded; each takes half a second.

Loading is Python's own work; reading is that of Pillow and numpy, which let other threads run.
"""

from __future__ import annotations

import sys
from collections.abc import Mapping
from concurrent.futures import Future
from pathlib import Path
from threading import Thread
from typing import Any

from glaze.picture.cores import cores
from glaze.sketch.line import Sketch, read_sketch, sheet_of

MOST_PX = 40_000_000
"""Larger sketches may have to lie on disk, which is settled later."""
MODEL = "glaze.scene.records"
"""The last to be loaded of what reads a scene."""

_begun: dict[Any, Future[Sketch]] = {}


def begin_sketch(tables: Mapping[str, Any], folder: Path) -> None:
    """Begin to read the sketch that a scene file's tables name, if the model isn't loaded yet.

    Nothing is told of what is wrong with it: then it is read in its turn, and told.
    """
    name, dpi, size = (tables.get(key) for key in ("sketch", "dpi", "size_mm"))
    if MODEL in sys.modules or cores() < 2 or not isinstance(name, str):
        return
    found: Future[Sketch] = Future()

    def read() -> None:
        try:
            shape = sheet_of(path, dpi, size)[0]
            if shape[0] * shape[1] > MOST_PX:
                raise MemoryError
            found.set_result(read_sketch(path, dpi, size))
        except Exception as error:
            found.set_exception(error)

    try:
        path = (folder / name).resolve()
        _begun[_key(path, dpi, size)] = found
    except (OSError, ValueError, RuntimeError, TypeError):
        return
    Thread(target=read, daemon=True).start()


def begun_sketch(path: Path, dpi: float | None, size_mm: Any) -> Sketch | None:
    """The sketch that was begun from the same file and size, once; None where none was."""
    found = _begun.pop(_key(path, dpi, size_mm), None)
    return None if found is None or found.exception() else found.result()


def _key(path: Path, dpi: Any, size_mm: Any) -> Any:
    """What a sketch is read from: a file that has changed since is another."""
    there = path.stat()
    size = None if size_mm is None else tuple(map(float, size_mm))
    return path, there.st_mtime_ns, there.st_size, there.st_ino, dpi and float(dpi), size
