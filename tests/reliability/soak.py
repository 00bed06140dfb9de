"""Ten thousand deeds of all kinds on one sheet: memory and journal are counted and stay flat.

`python -m tests.reliability soak [DEEDS]` writes its part of docs/reliability.md. What may grow by
its nature has a bound here that is reached early: deeds that can be taken back, and the journal.
"""

from __future__ import annotations

import gc
import random
import shutil
import tempfile
from pathlib import Path
from typing import NamedTuple

import numpy as np
import psutil

from tests.reliability.sitting_kills import Bench, make_scene
from viewer.core import journal as journals
from viewer.core.journal import Journal
from viewer.core.keep import open_any

KEPT_BYTES, LOG_BYTES = 1_000_000, 1_000_000
"""Bounds of the history and of the journal in a soak, in place of 256 MB each."""


class Counted(NamedTuple):
    """What there is after some deeds.

    memory_mb : of the process; objects : that Python tracks; masks, settled : kept of the sheet
    """

    deeds: int
    memory_mb: float
    objects: int
    masks: int
    settled: int
    history_mb: float
    journal_mb: float


def soak(deeds: int, every: int = 500, seed: int = 13) -> list[Counted]:
    """Do so many deeds on one sheet; what was counted every so often."""
    place, longest = Path(tempfile.mkdtemp(prefix="soak-")), journals.LONGEST
    sitting = open_any(make_scene(place))
    sitting.history.most_bytes, journals.LONGEST = KEPT_BYTES, LOG_BYTES
    journal = Journal(sitting, place / "kept")
    bench, counted = Bench(sitting, random.Random(seed)), list[Counted]()
    try:
        for n in range(1, deeds + 1):
            bench.do_one()
            if n % 10 == 0:
                sitting.finish()
            if n % every == 0:
                counted.append(_counted(n, sitting, journal))
    finally:
        journals.LONGEST = longest
        sitting.close()
        shutil.rmtree(place, ignore_errors=True)
    return counted


def _counted(deeds: int, sitting, journal) -> Counted:
    gc.collect()
    log = sum(file.stat().st_size for file in journal.folder.rglob("*") if file.is_file())
    return Counted(
        deeds,
        psutil.Process().memory_info().rss / 1e6,
        len(gc.get_objects()),
        len(sitting.masks),
        len(sitting.settling.memory.kept),
        sitting.history.size / 1e6,
        log / 1e6,
    )


def slope(counted: list[Counted], what: str) -> float:
    """How much it grows in 1,000 deeds, over the latter half of a soak: a line through it."""
    half = counted[len(counted) // 2 :]
    deeds = [one.deeds / 1000 for one in half]
    return float(np.polyfit(deeds, [getattr(one, what) for one in half], 1)[0])
