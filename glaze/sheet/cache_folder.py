"""What was worked out once and is kept in the user's cache folder: of no loss if it goes.

Each kind lies under a hash of every source that had a part in it, so that an edited constant never
goes on painting with the old physics. What is kept carries its checksum: whatever is short, damaged
or can't be read is worked out anew, and where nothing can be written nothing is kept.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import shutil
from functools import cache
from pathlib import Path
from uuid import uuid4

VERSIONS = 5
CHECK = 32  # bytes of checksum that a kept file begins with


@cache
def kept_in(kind: str, rooms: tuple[str, ...], built_with: str = "") -> Path | None:
    """The folder that a kind of thing is kept in, or None where none can be written.

    rooms : whose sources have a part in it; built_with : and what else has
    """
    from platformdirs import user_cache_path

    try:
        folder = user_cache_path("glaze") / kind / source_hash(rooms, built_with)
        if not folder.is_dir():
            folder.mkdir(parents=True)
            _clear_older(folder.parent)
        trial = folder / f"{uuid4().hex}.trial"
        trial.touch()
        trial.unlink()
    except (OSError, RuntimeError):  # no home, no right, no room
        return None
    return folder


def _clear_older(home: Path) -> None:
    """Leave the newest few versions; what is in use is at most worked out once more."""
    versions = sorted(home.iterdir(), key=lambda folder: folder.stat().st_mtime)
    for folder in versions[:-VERSIONS]:
        shutil.rmtree(folder, ignore_errors=True)


@cache
def source_hash(rooms: tuple[str, ...], built_with: str) -> str:
    """Of all sources and tables of some rooms."""
    house = Path(__file__).resolve().parent.parent
    found = hashlib.sha256(built_with.encode())
    for room in rooms:
        for file in sorted((house / room).rglob("*")):
            if file.suffix in (".py", ".toml", ".csv"):
                found.update(f"{file.relative_to(house)} {file.stat().st_size}\n".encode())
                found.update(file.read_bytes())
    return found.hexdigest()[:24]


def kept_bytes(file: Path, *, asked: bool = False) -> bytes | None:
    """What a file keeps, or None where it isn't there whole.

    asked : whether it is then among the last to go, see `keep`
    """
    try:
        content = file.read_bytes()
    except OSError:
        return None
    if hashlib.sha256(memoryview(content)[CHECK:]).digest() != content[:CHECK]:
        return None
    if asked:
        with contextlib.suppress(OSError):
            os.utime(file)
    return content[CHECK:]


def keep(file: Path, content: bytes, most: int | None = None) -> None:
    """Keep something in a file, whole or not at all; nothing happens where there is no room.

    most : files of its kind that are kept, those that were asked for last
    """
    beside = file.with_suffix(f".{uuid4().hex[:12]}")
    with contextlib.suppress(OSError):
        try:
            beside.write_bytes(hashlib.sha256(content).digest() + content)
            os.replace(beside, file)
        finally:
            beside.unlink(missing_ok=True)
        if most is not None:
            leave_latest(file, most)


def leave_latest(file: Path, most: int) -> None:
    """Let the oldest go of the files that lie beside one and are of its kind."""
    alike = sorted(file.parent.glob(f"*{file.suffix}"), key=lambda one: one.stat().st_mtime)
    for old in alike[:-most]:
        old.unlink(missing_ok=True)
