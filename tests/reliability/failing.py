"""A disk and a memory whose Nth call fails, or kills, in this process."""

from __future__ import annotations

import builtins
import contextlib
import errno
import io
import os
import signal
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any
from unittest import mock

import numpy as np

ERRORS = (errno.ENOSPC, errno.EIO, errno.EMFILE, errno.EACCES, errno.EROFS)
ALLOCATES = ("zeros", "empty", "full", "ones", "zeros_like", "empty_like", "full_like")


class Disk:
    """Every call that a command makes on files of a folder: noted, and the Nth failing.

    deadly : the Nth kills the process instead
    notes : what was done, in order, with paths and bytes
    """

    def __init__(self, home: Path, fail_at: int = 0, deadly: bool = False) -> None:
        self.home, self.left, self.deadly, self.failed = str(home), fail_at, deadly, ""
        self.notes: list[tuple[Any, ...]] = []

    def __enter__(self) -> Disk:
        self._stack = contextlib.ExitStack()
        self._open = io.open
        for where in (builtins, io):
            self._stack.enter_context(mock.patch.object(where, "open", self.open))
        for name in ("replace", "link", "chmod", "mkdir", "unlink", "rmdir"):
            real = getattr(os, name)
            self._stack.enter_context(mock.patch.object(os, name, self._noting(name, real)))
        self._stack.enter_context(mock.patch.object(os, "fsync", self._fsync(os.fsync)))
        return self

    def __exit__(self, *_: object) -> None:
        self._stack.close()

    def call(self, name: str, *what: Any) -> None:
        """Note a call, or fail it."""
        self.left -= 1
        if self.left == 0 and self.deadly:
            os.kill(os.getpid(), signal.SIGKILL)
        if self.left == 0:
            self.failed = name
            number = ERRORS[len(self.notes) % len(ERRORS)]
            raise OSError(number, os.strerror(number), "somewhere")
        self.notes.append((name, *what))

    def _ours(self, path: Any) -> bool:
        return isinstance(path, str | os.PathLike) and os.fspath(path).startswith(self.home)

    def _noting(self, name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def called(path: Any, *more: Any, **named: Any) -> Any:
            if self._ours(path):
                self.call(name, str(path), *map(str, more))
            return real(path, *more, **named)

        return called

    def _fsync(self, real: Callable[[int], None]) -> Callable[[int], None]:
        def fsync(descriptor: int) -> None:
            place = os.readlink(f"/proc/self/fd/{descriptor}")
            if self._ours(place):
                self.call("fsync", place)
            real(descriptor)

        return fsync

    def open(self, path: Any, mode: str = "r", *more: Any, **named: Any) -> Any:
        """`open` of a file of the folder; what is written is noted piece by piece."""
        if not self._ours(path):
            return self._open(path, mode, *more, **named)
        self.call("open", str(path), mode)
        file = self._open(path, mode, *more, **named)
        return _Written(file, str(path), self.call) if set(mode) & set("wxa") else file


class _Written:
    """A file whose writing is noted and can fail."""

    def __init__(self, file: Any, path: str, call: Callable[..., None]) -> None:
        self.file, self.path, self.call = file, path, call

    def write(self, piece: Any) -> Any:
        """Write a piece; one that fails has written half of it."""
        try:
            self.call("write", self.path, bytes(piece))
        except OSError:
            self.file.write(piece[: len(piece) // 2])
            raise
        return self.file.write(piece)

    def __getattr__(self, name: str) -> Any:
        return getattr(self.file, name)

    def __enter__(self) -> _Written:
        return self

    def __exit__(self, *_: object) -> None:
        self.file.close()


@contextlib.contextmanager
def memory(fail_at: int) -> Iterator[list[int]]:
    """The Nth field that is asked for doesn't fit; gives how many were asked for."""
    asked = [0]

    def failing(real: Callable[..., Any]) -> Callable[..., Any]:
        def called(*given: Any, **named: Any) -> Any:
            asked[0] += 1
            if asked[0] == fail_at:
                raise MemoryError("no room")
            return real(*given, **named)

        return called

    with contextlib.ExitStack() as stack:
        for name in ALLOCATES:
            stack.enter_context(mock.patch.object(np, name, failing(getattr(np, name))))
        yield asked
