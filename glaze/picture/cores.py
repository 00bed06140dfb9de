"""How many pieces of work go on at once, here and in the work that is handed on."""

from __future__ import annotations

import os
import threading
from collections.abc import Iterator
from contextlib import contextmanager

_here = threading.local()


def cores() -> int:
    """Pieces of work at once: as many as this process may use cores, or as `at_most` leaves."""
    if (few := getattr(_here, "few", None)) is not None:
        return int(few)
    try:
        return max(1, len(os.sched_getaffinity(0)))
    except AttributeError:  # a system without it
        return os.cpu_count() or 1


@contextmanager
def at_most(count: int) -> Iterator[None]:
    """What this thread starts within takes no more than so many cores."""
    before = getattr(_here, "few", None)
    _here.few = max(1, count)
    try:
        yield
    finally:
        _here.few = before
