"""What is done of a large picture, kept beside its place for the next run where one was stopped.

It lies in a hidden folder under a hash of all that the picture is made from, so that only a run of
the same picture goes on with it. It is cleared once the picture is in its place, or when the next
run there is of another one. After a loss of power nothing of it is trusted.
"""

from __future__ import annotations

import contextlib
import hashlib
import shutil
import uuid
from collections.abc import Iterator
from pathlib import Path
from typing import IO

from glaze.errors import InputError
from glaze.picture.writing import lock, once_placed

LOCK, END = "lock", ".unfinished"

left: list[Path] = []
"""Folders that stay for a run after this one."""


@contextlib.contextmanager
def kept_beside(path: Path, made_of: str) -> Iterator[Path]:
    """A folder for what is done of a file, with what an earlier run has left in it.

    Parameters
    ----------
    made_of : all that the file is made from

    Raises
    ------
    InputError : another run is at the same file
    """
    known = hashlib.sha256(f"{made_of} {_since()}".encode()).hexdigest()[:24]
    folder = path.with_name(f".{path.name}.{known}{END}")
    for other in path.parent.glob(f".{path.name}.*{END}"):
        if other != folder:
            _clear(other)
    folder.mkdir(exist_ok=True)
    held = open(folder / LOCK, "ab")  # noqa: SIM115 - open while it is held
    try:
        lock(held)
    except OSError:
        held.close()
        raise InputError(f'"{path}" is being painted by another run. Wait for it.') from None
    try:
        yield folder
    except KeyboardInterrupt:
        left.append(folder)
        held.close()
        raise
    except BaseException:
        _done(folder, held)
        raise
    once_placed(lambda: _done(folder, held))


def size_bytes(folder: Path) -> int:
    """What a folder takes of the disk."""
    return sum(file.stat().st_blocks * 512 for file in folder.iterdir())


def _done(folder: Path, held: IO[bytes]) -> None:
    held.close()
    shutil.rmtree(folder, ignore_errors=True)


def _clear(folder: Path) -> None:
    """Take away what another picture of that name has left, unless a run is at it."""
    with contextlib.suppress(OSError), open(folder / LOCK, "ab") as held:
        lock(held)
        shutil.rmtree(folder, ignore_errors=True)


def _since() -> str:
    """Which time the machine was started, as files may be torn by a loss of power."""
    try:
        return Path("/proc/sys/kernel/random/boot_id").read_text()
    except OSError:  # it can't be told: nothing is gone on with
        return uuid.uuid4().hex
