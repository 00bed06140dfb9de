"""What has been worked out once and may be used again: each thing is kept by all it was made from.

A key is a tuple of everything that went into a thing: records, numbers, the keys of other things,
and for files what tells a changed file from the old one. So a change of any input asks for another
key and nothing old can come back, while what no change has touched is found again.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable
from dataclasses import dataclass, field
from pathlib import Path
from threading import RLock
from typing import Any, TypeVar

from glaze.picture.on_disk import Disk

Key = Hashable
T = TypeVar("T")


class MadeFrom(tuple[Any, ...]):
    """A key that is long, as it holds all that what it was made from was made from: hashed once."""

    def __hash__(self) -> int:
        found: int | None = vars(self).get("hashed")
        if found is None:
            found = self.hashed = super().__hash__()
        return found


class NotSettledError(Exception):
    """Something would have to be worked out that takes long."""


class _Nothing:
    """What is kept of a key that nothing is kept of; None may be a thing."""


NOTHING = _Nothing()


@dataclass(eq=False)
class Memory:
    """Things by what they were made from.

    Parameters
    ----------
    kept : the things; shared by all that came from one memory
    open : whether anything new may be worked out; if not, NotSettledError is raised
    shelf : where finished fields outlast a run that is killed; None if they don't
    making : held by the thread that works out the thing of a key; others wait for it
    """

    kept: dict[Key, Any] = field(default_factory=dict)
    open: bool = True
    shelf: Disk | None = None
    making: dict[Key, RLock] = field(default_factory=dict)

    def closed(self) -> Memory:
        """The same memory, for looking things up only."""
        return Memory(self.kept, open=False, making=self.making)

    def made(self, key: Key, make: Callable[[], T], *, quick: bool = False) -> T:
        """The thing of a key, worked out the first time it is asked for.

        quick : whether it may be worked out even where nothing that takes long may
        """
        found: T | _Nothing = self.kept.get(key, NOTHING)
        if isinstance(found, _Nothing):
            if not (self.open or quick):
                raise NotSettledError
            with self.making.setdefault(key, RLock()):
                found = self.kept.get(key, NOTHING)
                if isinstance(found, _Nothing):
                    # held here: another thread may let it go at once
                    self.kept[key] = found = self._fresh(key, make)
            self.making.pop(key, None)
        return found

    def _fresh(self, key: Key, make: Callable[[], T]) -> T:
        """A thing worked out, or taken from the shelf if the run before has finished it."""
        if self.shelf is None or " at 0x" in (
            made_of := repr(key)
        ):  # something without words for what it is
            return make()
        thing: T | None = self.shelf.kept(made_of)
        if thing is None:
            thing = make()
            self.shelf.keep(made_of, thing)
        return thing

    def renewed(self, old: Iterable[Key], new: Key, thing: Any) -> None:
        """A thing has been brought up to date in place: it is no longer of the old keys."""
        for key in old:
            self.kept.pop(key, None)
        self.kept[new] = thing

    def copied(self, thing: tuple[Key, ...], new: Key, copy: Callable[[Any], Any]) -> None:
        """A thing, and what it was made from, as made first of all from `new`: both are copies."""
        for key in _made_from([thing]):
            if key[1:2] == thing[1:2] and key in self.kept:
                self.kept[key[0], new, *key[2:]] = copy(self.kept[key])

    def only_for(self, keys: Iterable[Key]) -> None:
        """Let go of everything but the things of some keys and what those were made from."""
        wanted = _made_from(keys)
        for key in [key for key in list(self.kept) if key not in wanted]:
            self.kept.pop(key, None)


def _made_from(keys: Iterable[Key]) -> set[tuple[Key, ...]]:
    """Keys, and those of what their things were made from."""
    found: set[tuple[Key, ...]] = set()
    waiting = list(keys)
    while waiting:
        key = waiting.pop()
        if isinstance(key, tuple) and key not in found:
            found.add(key)
            waiting += key
    return found


def file_key(path: Path) -> Key:
    """What tells a file from what stood there before: place, time of change, size, and number."""
    found = path.stat()
    return str(path), found.st_mtime_ns, found.st_ctime_ns, found.st_size, found.st_ino
