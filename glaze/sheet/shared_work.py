"""What another process compiles at this moment, so that nothing is compiled twice."""

from __future__ import annotations

import threading
from collections.abc import Iterable
from typing import TextIO

LONGEST_S = 60.0
"""Nothing is waited for longer than that [s]; a kernel takes 3 s."""


class SharedWork:
    """Work by name: begun and ended elsewhere, or here and told to whoever listens.

    tells : where each piece that begins or ends here is told in a line, if anywhere
    """

    def __init__(self) -> None:
        self.tells: TextIO | None = None
        self._ended: dict[str, threading.Event] = {}

    def begin(self, name: str) -> bool:
        """Begin a piece, unless another process is at it: then True once that one has ended it."""
        if (ended := self._ended.get(name)) is not None:
            return ended.wait(LONGEST_S)
        self._tell("begun", name)
        return False

    def end(self, name: str) -> None:
        """End a piece."""
        self._tell("ended", name)

    def listen(self, lines: Iterable[str]) -> None:
        """Follow what another process tells, to its end; what it leaves undone is no longer its."""
        for line in lines:
            what, _, name = line.strip().partition(" ")
            ended = self._ended.setdefault(name, threading.Event())
            if what == "ended":
                ended.set()
        for ended in self._ended.values():
            ended.set()

    def _tell(self, what: str, name: str) -> None:
        if self.tells is not None:
            print(what, name, file=self.tells, flush=True)


KERNELS = SharedWork()
"""Kernels, by the names of their files."""
