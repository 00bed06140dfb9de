"""Ten thousand deeds of all kinds on one sheet: memory and journal are counted and stay flat.

`python -m tests.reliability soak [DEEDS]` writes its part of docs/reliability.md, without the
window and, of a tenth as many deeds, in it. What may grow by its nature has a bound here that is
reached early: deeds that can be taken back, and the journal.
"""

from __future__ import annotations

import ctypes
import gc
import random
import shutil
import sys
import tempfile
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

import numpy as np
import psutil

from tests.reliability.sitting_kills import Bench, make_scene
from viewer.core import journal as journals
from viewer.core.journal import Journal
from viewer.core.keep import open_any
from viewer.core.sitting import Sitting

KEPT_BYTES, LOG_BYTES = 1_000_000, 1_000_000
"""Bounds of the history and of the journal in a soak, in place of 256 MB each."""


class Counted(NamedTuple):
    """What there is after some deeds.

    memory_mb : of the process, without what was let go; objects : that Python tracks
    masks : painted regions that are not packed; settled : what is kept of the sheet
    widgets : parts of the window, shown or not
    """

    deeds: int
    memory_mb: float
    objects: int
    masks: int
    settled: int
    history_mb: float
    journal_mb: float
    widgets: int


def soak(deeds: int, every: int = 500, seed: int = 13) -> list[Counted]:
    """Do so many deeds on one sheet; what was counted every so often."""
    place = Path(tempfile.mkdtemp(prefix="soak-"))
    sitting = open_any(make_scene(place))
    journal = Journal(sitting, place / "kept")
    bench = Bench(sitting, random.Random(seed))

    def do_one(n: int) -> tuple[Sitting, Journal]:
        bench.do_one()
        if n % 10 == 0:
            sitting.finish()
        return sitting, journal

    try:
        return _soaked(do_one, deeds, every)
    finally:
        sitting.close()
        shutil.rmtree(place, ignore_errors=True)


def soak_window(deeds: int, every: int = 50, seed: int = 13) -> list[Counted]:
    """The same in the real window, by mouse and keys."""
    from tests.viewer.at_work import AtWork, own_places

    place = Path(tempfile.mkdtemp(prefix="soak-"))
    own_places(place)
    make_scene(place)
    work = AtWork(place, seed=seed)

    def do_one(n: int) -> tuple[Sitting, Journal]:
        work.do_one()
        if n % 5 == 0:
            work.rest()
        return work.sitting, work.desk.rescue.journal

    try:
        return _soaked(do_one, deeds, every)
    finally:
        work.close()
        shutil.rmtree(place, ignore_errors=True)


def _soaked(
    do_one: Callable[[int], tuple[Sitting, Journal]], deeds: int, every: int
) -> list[Counted]:
    """What was counted every so often while so many deeds were done, by number."""
    counted, longest = list[Counted](), journals.LONGEST
    journals.LONGEST = LOG_BYTES
    try:
        for n in range(1, deeds + 1):
            sitting, journal = do_one(n)
            sitting.history.most_bytes = KEPT_BYTES
            if n % every == 0:
                counted.append(_counted(n, sitting, journal))
    finally:
        journals.LONGEST = longest
    return counted


def _counted(deeds: int, sitting: Sitting, journal: Journal) -> Counted:
    gc.collect()
    with suppress(AttributeError, OSError):  # glibc keeps what was let go for later
        ctypes.CDLL(None).malloc_trim(0)
    log = sum(file.stat().st_size for file in journal.folder.rglob("*") if file.is_file())
    return Counted(
        deeds,
        psutil.Process().memory_info().rss / 1e6,
        len(gc.get_objects()),
        sitting.masks.awake,
        len(sitting.settling.memory.kept),
        sitting.history.size / 1e6,
        log / 1e6,
        _widgets(),
    )


def _widgets() -> int:
    """How many parts of a window there are, shown or not."""
    if "qtpy" not in sys.modules:
        return 0
    from qtpy.QtWidgets import QApplication

    return len(QApplication.allWidgets()) if QApplication.instance() else 0


def slope(counted: list[Counted], what: str) -> float:
    """How much it grows in 1,000 deeds, over the latter half of a soak: a line through it."""
    half = counted[len(counted) // 2 :]
    deeds = [one.deeds / 1000 for one in half]
    return float(np.polyfit(deeds, [getattr(one, what) for one in half], 1)[0])
