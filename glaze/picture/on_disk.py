"""Fields of a sheet that memory can't hold: files that the system reads and writes back by itself.

Within `fields_on_disk` every large field (`glaze.sheet.field`) is a file of one folder. Its numbers
are the same as in memory; what is in use lies in memory, and is let go where it gets to be much.
A field that is finished can be kept with what it was made from, for a run after this one.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import math
import mmap
import os
import threading
import weakref
from collections.abc import Iterator
from itertools import count
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import DTypeLike, NDArray

LEAST_BYTES = 4_000_000
"""Smaller fields stay in memory."""
ROOM_BYTES = 700_000_000
"""Pages of fields that may lie in memory at a time; what is beyond goes back to the disk."""
LOOK_EVERY_S = 0.05
"""How often that is looked at: two cores fill some 0.1 GB meanwhile."""
FIELD, KEPT, NEW = ".field", ".kept", ".new"  # how names of files end


class Disk:
    """A folder that fields lie in.

    Parameters
    ----------
    least_bytes : fields of fewer bytes stay in memory
    room_bytes : how much of the fields may lie in memory at a time
    """

    def __init__(self, folder: Path, least_bytes: int, room_bytes: int) -> None:
        self.folder, self.least_bytes, self.room_bytes = folder, least_bytes, room_bytes
        self._maps: weakref.WeakSet[mmap.mmap] = weakref.WeakSet()
        self._files: dict[int | None, tuple[Path, weakref.finalize[Any, Any]]] = {}
        kept = {name for record in self._records() for name in _named(record)}
        for file in folder.iterdir():  # begun by a run that was killed
            if file.suffix in (FIELD, NEW) and file.name not in kept:
                file.unlink()
        taken = [int(name.removesuffix(FIELD)) for name in kept]
        self._numbers = count(max(taken, default=-1) + 1)

    def field(self, shape: tuple[int, ...], dtype: DTypeLike) -> NDArray[Any]:
        """Zeros in a file of their own, which goes when nothing uses them any more.

        shape (rows, columns, ...), dtype : as wanted; numbers of any unit [-]
        """
        file = self.folder / f"{next(self._numbers)}{FIELD}"
        with open(file, "xb") as opened:
            size = math.prod(shape) * np.dtype(dtype).itemsize
            opened.truncate(size)
            if hasattr(os, "posix_fallocate"):
                # a full disk is told here: a page that finds no room later would end the program
                os.posix_fallocate(opened.fileno(), 0, size)
        return self._mapped(file, shape, dtype)

    def _mapped(self, file: Path, shape: tuple[int, ...], dtype: DTypeLike) -> NDArray[Any]:
        with open(file, "r+b") as opened:
            there = mmap.mmap(opened.fileno(), 0)
        self._maps.add(there)
        self._files[id(there)] = file, weakref.finalize(there, _gone, self._files, id(there), file)
        return np.frombuffer(there, dtype).reshape(shape)

    def let_go(self) -> None:
        """Give the memory of all pages back; the system has what they hold."""
        if hasattr(mmap, "MADV_DONTNEED"):
            for there in list(self._maps):
                there.madvise(mmap.MADV_DONTNEED)

    # ---- for a run after this one

    def keep(self, made_of: str, thing: Any) -> None:
        """Keep a finished field, or some together, if they lie here and outlast this run."""
        fields = thing if isinstance(thing, tuple) else (thing,)
        files = [None if field is None else self._files.get(_map_of(field)) for field in fields]
        if any(a is not None and b is None for a, b in zip(fields, files, strict=True)):
            return
        told: list[Any] = []
        for field, lies in zip(fields, files, strict=True):
            if lies is None:
                told.append(None)
            else:
                lies[1].detach()
                told.append((lies[0].name, field.dtype.str, field.shape))
        # a name of its own: two threads may have made the same at once
        new = self.folder / f"{next(self._numbers)}{NEW}"
        new.write_text(json.dumps([isinstance(thing, tuple), told]))
        os.replace(new, self._record(made_of))

    def kept(self, made_of: str) -> Any:
        """What an earlier run has kept that was made from the same; None if nothing."""
        record = self._record(made_of)
        if not record.exists():
            return None
        several, told = json.loads(record.read_text())
        fields = [
            None if one is None else self._mapped(self.folder / one[0], tuple(one[2]), one[1])
            for one in told
        ]
        for field in fields:
            if field is not None:
                self._files[_map_of(field)][1].detach()
        return tuple(fields) if several else fields[0]

    def _record(self, made_of: str) -> Path:
        return self.folder / f"{hashlib.sha256(made_of.encode()).hexdigest()[:32]}{KEPT}"

    def _records(self) -> Iterator[Path]:
        return self.folder.glob(f"*{KEPT}")

    # ---- how much lies in memory

    def _watch(self, done: threading.Event) -> None:
        while not done.wait(LOOK_EVERY_S):
            if _mapped_bytes() > self.room_bytes:
                self.let_go()


def _gone(files: dict[int | None, Any], number: int, file: Path) -> None:
    files.pop(number, None)
    with contextlib.suppress(OSError):  # cleared with its folder
        file.unlink()


def _named(record: Path) -> list[str]:
    """Files that a record names."""
    return [one[0] for one in json.loads(record.read_text())[1] if one is not None]


def _map_of(field: Any) -> int | None:
    """What tells the file or the piece of memory that an array is all of; None for any other."""
    base = field
    while isinstance(base, np.ndarray):
        base = base.base
    if isinstance(base, memoryview):
        base = base.obj
    whole = isinstance(base, mmap.mmap) and len(base) == field.nbytes
    return id(base) if whole and field.flags.c_contiguous else None


def _mapped_bytes() -> float:
    """Pages of files that lie in this process's memory [bytes]; none where it can't be told."""
    try:
        with open("/proc/self/statm", "rb") as told:
            return int(told.read().split()[2]) * mmap.PAGESIZE
    except OSError:
        return 0.0


_now: Disk | None = None


def lies_on_disk(size_bytes: int) -> bool:
    """Whether a field of so many bytes is to be a file."""
    return _now is not None and size_bytes >= max(_now.least_bytes, 1)


def filled_field(shape: tuple[int, ...], dtype: DTypeLike) -> NDArray[Any]:
    """An array of zeros of which most will be written to; a file where fields lie on disk.

    shape (rows, columns, ...), dtype : as wanted; numbers of any unit [-]
    """
    if _now is None or not lies_on_disk(math.prod(shape) * np.dtype(dtype).itemsize):
        return np.zeros(shape, dtype)
    return _now.field(shape, dtype)


@contextlib.contextmanager
def fields_on_disk(
    folder: Path, least_bytes: int = LEAST_BYTES, room_bytes: int = ROOM_BYTES
) -> Iterator[Disk]:
    """Let all large fields that are made within, in any thread, lie in a folder."""
    global _now
    before, done = _now, threading.Event()
    _now = Disk(folder, least_bytes, room_bytes)
    watch = threading.Thread(target=_now._watch, args=(done,), daemon=True)
    watch.start()
    try:
        yield _now
    finally:
        done.set()
        watch.join()
        _now = before
