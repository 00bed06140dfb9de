"""The window killed while somebody paints in it: what the next start finds holds every deed done.

A window that has drawn its first picture is worked in by mouse and keys, and its process killed by
chance. Before each deed is written down the window tells by a pipe what it may come to, after each
what it has come to; the next start has to find one of those since the last that was done. It goes
on with what was left behind, as a painter does, and is killed again.
"""

from __future__ import annotations

import os
import random
import shutil
import signal
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

from tests.reliability.sitting_kills import ENDS, make_scene, told_of
from viewer.core.journal import Journal
from viewer.core.keep import open_any
from viewer.core.recovery import left_behind, recover
from viewer.core.sitting import Sitting

MOST_DEEDS, LONGEST_S = 12, 0.5
"""A window is killed after so many deeds at most, and within so long of the last of them."""
IN_A_ROW = 8
"""So many kills in a row of one scene, each gone on from."""


def window_kills(count: int, seed: int = 13) -> tuple[Counter[str], list[str]]:
    """Kill the window so many times; how each was found again, and what was lost.

    Each is printed. Of one that has lost something the folder stays, as the kill left it.
    """
    from tests.viewer.at_work import own_places

    draw, ends, wrong = random.Random(seed), Counter[str](), list[str]()
    place = Path(tempfile.mkdtemp(prefix="kills-"))
    own_places(place)
    _read_in()
    try:
        for n in range(count):
            folder = place / str(n // IN_A_ROW)
            if not folder.exists():
                make_scene(folder)
            told = _killed(
                folder, seed + n, draw.randint(1, MOST_DEEDS), draw.uniform(0, LONGEST_S)
            )
            left = Path(shutil.copytree(folder, place / "left"))
            end = _found_again(folder, told)
            ends[end] += 1
            ends["deeds done"] += sum(line.startswith("done") for line in told) - 1
            if end not in ENDS:
                kept = left.rename(Path(tempfile.mkdtemp(prefix="lost-")) / "left")
                wrong.append(f"kill {n}: {end}; it lies in {kept}")
            shutil.rmtree(left, ignore_errors=True)
            print(n, end, told[-1], dict(ends), flush=True)
    finally:
        shutil.rmtree(place, ignore_errors=True)
    return ends, wrong


def _read_in() -> None:
    """Read the window's libraries once; each window is forked from this process."""
    import napari._qt.qt_viewer
    import napari._vispy.canvas
    import napari.layers  # noqa: F401

    import viewer.window.app  # noqa: F401


def _killed(folder: Path, seed: int, deeds: int, seconds: float) -> list[str]:
    """Work in a window of its own process and kill it after some deeds; gives all it has told."""
    end, start = os.pipe()
    pid = os.fork()
    if pid == 0:
        os.close(end)
        _work(folder, seed, start)
    os.close(start)
    with os.fdopen(end, encoding="ascii") as pipe:
        text, done = "", 0
        # the first "done": the window is there, with what it has to hold
        while done <= deeds and (line := pipe.readline()):
            text, done = text + line if done else line, done + line.startswith("done")
        time.sleep(seconds)
        os.kill(pid, signal.SIGKILL)
        os.waitpid(pid, 0)
        text += pipe.read()
    # a line that was cut short has told nothing
    return text.split("\n")[:-1] or [""]


def _work(folder: Path, seed: int, pipe: int) -> None:
    """Paint until the process is killed."""
    from tests.viewer.at_work import AtWork

    def tell(word: str, sitting: Sitting) -> None:
        # a charge that is found impossible in the background is set aside, now or at the next start
        alike = told_of(sitting), told_of(sitting, charges_wait=True)
        os.write(pipe, " ".join([word, *alike]).encode() + b"\n")

    real = Journal.write

    def write(self: Journal, changes: dict) -> None:
        tell("may-be", self.sitting)
        real(self, changes)

    try:
        Journal.write = write
        work = AtWork(folder, seed=seed)
        if left := left_behind(folder / "kept"):
            work.desk.rescue.take(left[0])
            work.rest()
        tell("done", work.sitting)
        while True:
            work.do_one()
            tell("done", work.sitting)
    except BaseException as error:  # told as what it is: it must not look like a kill
        os.write(pipe, f"failed {type(error).__name__}: {error}\n".encode("ascii", "replace"))
        print(repr(error), file=sys.stderr)
    finally:
        os._exit(1)


def _found_again(folder: Path, told: list[str]) -> str:
    """What the next start finds, held against what was told."""
    if failed := [line for line in told if line.startswith("failed")]:
        return failed[0]
    if not told[0].startswith("done"):
        return "the window ended by itself before anything was done"
    done = max(n for n, line in enumerate(told) if line.startswith("done"))
    since = [line.split()[1:] for line in told[done:]]
    left = left_behind(folder / "kept")
    if len(left) > 1:
        return f"{len(left)} sittings left behind by one"
    sitting = recover(left[0]) if left else open_any(folder / "scene")
    found = told_of(sitting)
    sitting.close()
    if not any(found in alike for alike in since):
        return f"what was done is lost ({'left behind' if left else 'saved'})"
    return ENDS[0] if found in since[-1] else ENDS[1]
