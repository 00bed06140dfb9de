"""What is shown of a sheet before anything else is there: as it looked last, or its sketch.

Nothing heavy is loaded here: it stands on the screen while the model and napari are loaded.
"""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from platformdirs import user_cache_path

from glaze.record.incoming import PICTURES
from glaze.scene.examples import scenes_folder
from glaze.sheet.cache_folder import leave_latest

FILE = "scene.toml"
MOST = 40
"""Pictures that are kept, the latest."""


def stamp(home: Path) -> tuple[int, int] | None:
    """When a saved scene was written [ns], and how long it is [bytes]; None if there is none."""
    file = home / FILE if home.is_dir() else home
    try:
        found = file.stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size


def picture_of(path: Path | None) -> Path | None:
    """A picture of what is to be opened, the lighthouse if nothing is said; None without one."""
    path = scenes_folder() / "lighthouse" if path is None else path
    home = path.parent if path.name == FILE else path
    kept = _kept(home)
    if kept is not None and kept.is_file():
        return kept
    return path if path.suffix.lower() in PICTURES else _sketch(home)


def _sketch(folder: Path) -> Path | None:
    """The sketch that a scene names."""
    with suppress(OSError, ValueError, KeyError, TypeError):
        scene = tomllib.loads((folder / FILE).read_text(encoding="utf-8"))
        return folder / scene["sketch"]
    return None


def _kept(home: Path) -> Path | None:
    """Where the picture of a scene lies, as it is saved now."""
    written = stamp(home)
    if written is None:
        return None
    of = f"{home.resolve()} {written}"
    name = hashlib.sha256(of.encode("utf-8", "surrogateescape")).hexdigest()[:24]
    return user_cache_path("glaze") / "seen" / f"{name}.png"


def keep_picture(home: Path, write: Callable[[str], object]) -> None:
    """Keep how a scene looks as it is saved now, for its next opening; of no loss if it can't be.

    write : writes a picture to a file of that name
    """
    with suppress(OSError):
        file = _kept(home)
        if file is None:
            return
        file.parent.mkdir(parents=True, exist_ok=True)
        write(str(file))
        leave_latest(file, MOST)
