"""The window's thread goes first: those beside it stand back, and it waits for none of them."""

from __future__ import annotations

import os
import sys
import threading
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pytest

from glaze.pipeline import render
from glaze.sheet.rect import Rect
from viewer.core import preview as previews
from viewer.core import settling
from viewer.core.keep import open_any
from viewer.core.painted import copied
from viewer.core.worker import NICE, Worker, shared

THRICE = "".join(
    f'\n[[step]]\nwash = "all {n}"\nmix = "Blue 1 + water {n}"\nregion = "sheet"' for n in (3, 5, 9)
)
LARGE = (
    'format = 1\npalette = "lifting"\npaper = "white cartridge"\nhand = "steady"\n'
    "size_mm = [150, 120]\ndpi = 200\n" + THRICE
)


@pytest.fixture
def sitting(scene_folder):
    found = open_any(scene_folder(LARGE, "large"))
    yield found
    found.close()


@pytest.mark.skipif(sys.platform != "linux", reason="threads have a rank of their own there only")
def test_a_worker_stands_back_and_what_it_starts_does_too():
    worker, ranks = Worker(), []

    def rank() -> None:
        ranks.append(os.getpriority(os.PRIO_PROCESS, threading.get_native_id()))

    def job() -> None:
        rank()
        with ThreadPoolExecutor(1) as pool:
            pool.submit(rank).result()

    own = os.getpriority(os.PRIO_PROCESS, os.getpid())
    worker.do(job)
    worker.finish()
    worker.close()
    assert ranks == [own + NICE] * 2
    assert os.getpriority(os.PRIO_PROCESS, os.getpid()) == own


@pytest.mark.parametrize("count", [0, 1, 2, 7])
def test_work_is_shared_with_a_pool_that_is_busy_with_other_things(count):
    done, held = [], threading.Event()
    with ThreadPoolExecutor(2) as pool:
        others = [pool.submit(held.wait) for _ in range(4)]
        shared(pool, done.append, list(range(count)))
        assert not any(other.done() for other in others)
        held.set()
    assert sorted(done) == list(range(count))


def test_what_fails_in_a_pool_fails_here():
    with ThreadPoolExecutor(2) as pool, pytest.raises(ZeroDivisionError):
        shared(pool, lambda n: 1 // n, [0, 0, 0, 1])


def _tiles_held(preview, monkeypatch):
    """All tiles asked for, and one at least in work: the bands begun, and what they wait for."""
    begun, held, bands, seen = threading.Event(), threading.Event(), [], previews.seen

    def slow(painting, view, rect, **named):
        bands.append(rect)
        begun.set()
        held.wait(120)
        return seen(painting, view, rect, **named)

    monkeypatch.setattr(previews, "seen", slow)
    preview.touch(preview.visible)
    preview.collect()
    begun.wait(120)
    return bands, held


def test_pixels_under_the_pen_do_not_wait_for_tiles_in_work(sitting, monkeypatch):
    """Each stroke stood still until the four tiles that were asked for before it were done."""
    sitting.finish()
    preview = sitting.preview
    _, held = _tiles_held(preview, monkeypatch)
    preview.begin_pixels(1)
    rows, columns = (place.ravel() for place in np.mgrid[100:240, 100:240])
    preview.pixels(rows, columns, Rect(100, 100, 240, 240))
    assert any(not asked.result.done() for asked in preview._asked.values())
    held.set()
    preview.end_pixels()
    sitting.finish()
    assert np.array_equal(preview.pyramid.levels[0], render(sitting.painting).rgb)


def test_a_tile_in_work_ends_after_its_band_when_the_pen_comes_down(sitting, monkeypatch):
    sitting.finish()
    preview = sitting.preview
    bands, held = _tiles_held(preview, monkeypatch)
    preview.begin_pixels(1)
    held.set()
    for asked in list(preview._asked.values()):
        assert asked.result.result(120) is None
    assert len(bands) <= preview._workers
    assert all(band.bottom - band.top <= previews.BAND for band in bands)
    preview.collect()
    assert preview.stale == preview.corners
    preview.end_pixels()
    sitting.finish()
    assert np.array_equal(preview.pyramid.levels[0], render(sitting.painting).rgb)


def test_a_first_stroke_copies_what_its_own_step_is_laid_with(sitting, monkeypatch):
    """On a sheet of five washes and lifts all of them were copied: 0.43 s at 8 million pixels."""
    sitting.finish()
    taken = []

    def counted(thing):
        taken.append(thing)
        return copied(thing)

    monkeypatch.setattr(settling, "copied", counted)
    name, draft = sitting.paintable(1)
    assert len(taken) == 1
    # and nothing has to be worked out anew
    sitting.begin(draft, 1)
    assert not sitting.settling.work.busy
    assert sitting.settling.painted_step(1).coverage is sitting.masks[name]
