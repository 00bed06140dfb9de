"""The real window measured: `python -m tests.bench.window` under a display writes its part of
docs/benchmarks.md.

Real mouse events go to a window with all that lies over the sheet: the brush's circle, the outline
of areas, advice, versions. Times are of the processor (the window's own thread, and all threads
together) and of the clock; other work on the machine lengthens the clock's alone.
"""

from __future__ import annotations

import datetime
import json
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path

import numpy as np
import psutil
from numpy.typing import NDArray
from PIL import Image, ImageDraw

from tests.bench.__main__ import PAGE, ROOT, WINDOW, six_steps, with_part
from tests.viewer.at_work import AtWork, own_places

SIZES = {"2 Mpx": 1414, "8 Mpx": 2828}
"""Sides of square sheets [px]."""
STARTS = 3
DEEDS, EVERY, MOST_S = 600, 100, 360
"""Deeds of the memory's part, how often they are looked at, and how long it may take [s]."""
Times = NDArray[np.float64]
"""By row one event: its time by the clock, of the window's thread, of all threads [s]."""

SCENE = """
format = 1
palette = "lifting"
paper = "white hot-pressed"
size_mm = [{mm}, {mm}]
sketch = "sketch.png"
[[step]]
wash = "sky"
mix = "Yellow 2 + Red 1 + water 20"
region = "sheet"
[[step]]
wash = "dusk"
mix = "Blue 3 + Red 1 + water 14"
region = "sheet"
[[step]]
wash = "shadow"
mix = "Black 1 + water 8"
region = "sheet"
[[step]]
lift = "first"
region = "sheet"
parts_water = 20
[[step]]
lift = "second"
region = "sheet"
parts_water = 9
"""


def now() -> Times:
    """The three clocks [s]."""
    return np.array([time.perf_counter(), time.thread_time(), time.process_time()])


class Stills:
    """How long the window stands still: a timer of 2 ms is asked how late it is."""

    def __init__(self) -> None:
        from qtpy.QtCore import QTimer

        self.gaps: list[Times] = []
        self._last = now()
        self._timer = QTimer()
        self._timer.setInterval(2)
        self._timer.timeout.connect(self._tick)

    def _tick(self) -> None:
        here = now()
        self.gaps.append(here - self._last)
        self._last = here

    def during(self, do: Callable[[], object]) -> Times:
        """All gaps while something is done."""
        self.gaps, self._last = [], now()
        self._timer.start()
        do()
        self._tick()
        self._timer.stop()
        return np.array(self.gaps)


def open_window(folder: Path, pixels: int) -> AtWork:
    """A window with a square sheet of so many pixels a side, lined, washed and twice lifted."""
    from viewer.__main__ import look_through_memory
    from viewer.core.keep import open_any
    from viewer.core.versions import keep_version

    (folder / "scene").mkdir(parents=True)
    sketch = Image.new("L", (pixels, pixels), 255)
    draw, part = ImageDraw.Draw(sketch), pixels // 6
    for n in range(36):
        x, y = n % 6 * part, n // 6 * part
        draw.ellipse((x + 20, y + 20, x + part - 20, y + part - 20), outline=0, width=5)
    sketch.save(folder / "scene" / "sketch.png", dpi=(300, 300))
    text = SCENE.format(mm=pixels * 25.4 / 300)
    (folder / "scene" / "scene.toml").write_text(text)
    work = AtWork(folder, open_any(folder / "scene"))
    work.desk.sitting.settling.areas()
    for name in ("as it came", "again"):
        keep_version(work.sitting, name)
    work.desk.order.adviser.ask()
    work.rest(0.5)
    look_through_memory()  # as the window does before it is shown
    return work


def pen_moves(work: AtWork, px: int) -> Times:
    """A stroke of a brush of so many pixels: each move from the event to what is to be shown."""
    from qtpy.QtCore import Qt
    from qtpy.QtTest import QTest
    from qtpy.QtWidgets import QApplication

    desk, sitting = work.desk, work.sitting
    brush = replace(sitting.hand.brush, size_mm=px * 25.4 / 300, hardness=0.6)
    desk.table.brush.take_way("soft")
    sitting.choose(None)
    sitting.hold(replace(sitting.hand, kind="wash", mix="Blue 1 + water 9", brush=brush))
    work.rest(0.2)
    desk.timer.stop()
    canvas, middle, times = desk.sheet.canvas(), sitting.size_mm[0] / 2, []
    places = [(middle - 30 + n, middle + 8 * np.sin(n / 6)) for n in range(50)]
    QTest.mousePress(canvas, Qt.MouseButton.LeftButton, pos=work.at(*places[0]))
    for place in places[1:]:
        QTest.qWait(1)
        start = now()
        QTest.mouseMove(canvas, work.at(*place))
        desk.tick()
        times.append(now() - start)
        QApplication.processEvents()  # the frame itself depends on the screen
    QTest.mouseRelease(canvas, Qt.MouseButton.LeftButton, pos=work.at(*places[-1]))
    desk.timer.start()
    work.rest()
    desk.take_back()
    work.rest()
    return np.array(times[3:])


def outlines(work: AtWork) -> Times:
    """The pointer goes over enclosed areas, each outlined as it is passed."""
    from qtpy.QtTest import QTest

    desk, canvas, times = work.desk, work.desk.sheet.canvas(), []
    desk.table.brush.take_way("enclosed")
    work.rest(0.2)
    wide, high = work.sitting.size_mm
    for n in range(40):
        start = now()
        QTest.mouseMove(canvas, work.at(wide * (0.1 + 0.02 * n), high * (0.1 + 0.018 * n)))
        desk.tick()
        times.append(now() - start)
    desk.table.brush.take_way("soft")
    return np.array(times[3:])


def dilutions(work: AtWork) -> Times:
    """The water of a wash below two lifts, changed: to the coarse picture, handed to the screen."""
    from viewer.core import drafting

    times = []
    for n in range(12):
        sitting = work.sitting
        draft = drafting.with_changed_step(sitting.draft, 1, mix=f"Blue 3 + Red 1 + water {10 + n}")
        start = now()
        sitting.do("dilution", draft, merge="dilution")
        times.append(now() - start)
        work.rest()
    return np.array(times[2:])


def draw_strokes(work: AtWork) -> None:
    """Five strokes one after the other, each as a tablet tells it: a place every 8 ms.

    Told all at once, a stroke would count as one standstill, however long it was drawn.
    """
    from qtpy.QtTest import QTest

    middle = work.sitting.size_mm[0] / 2
    for n in range(5):
        down = middle - 20 + 8 * n
        work.drag((middle - 30, down), (middle + 30, down + 4), moves=25, pause_ms=8)
        QTest.qWait(60)


def drag_water(work: AtWork) -> None:
    """The water of a wash in the order dragged from end to end."""
    from qtpy.QtCore import QPoint, Qt
    from qtpy.QtTest import QTest

    work.take(1)
    number = work.desk.table.mix.parts
    QTest.mousePress(number, Qt.MouseButton.LeftButton, pos=QPoint(10, 10))
    for n in range(40):
        QTest.mouseMove(number, QPoint(10 + 4 * n, 10))
        QTest.qWait(20)
    QTest.mouseRelease(number, Qt.MouseButton.LeftButton, pos=QPoint(170, 10))


def starts(scene: str) -> dict[str, float]:
    """The window started with a scene: when each part of it was there [s of the processor, all
    threads], a glimpse of the sheet and its picture by the clock too; the quickest of some."""
    command = [sys.executable, "-m", "tests.bench.window_start", scene]
    rows = []
    for _ in range(STARTS):
        asked = [*command, repr(time.time())]
        run = subprocess.run(asked, cwd=ROOT, capture_output=True, text=True, check=True)
        rows.append(json.loads(run.stdout.splitlines()[-1]))
    times = [name for name in rows[0] if name not in ("loaded", "objects")]
    return {name: min(row[name] for row in rows) for name in times}


def memory(folder: Path) -> list[tuple[int, float]]:
    """Memory of the window with a sheet of 2 Mpx after so many deeds [MB]; DEEDS, or as many as
    there is time for."""
    process, until = psutil.Process(), time.monotonic() + MOST_S
    work, found = open_window(folder, SIZES["2 Mpx"]), list[tuple[int, float]]()
    for done in range(DEEDS + 1):
        late = time.monotonic() > until
        if late or done % EVERY == 0:
            found.append((done, process.memory_info().rss / 1e6))
            print(f"memory after {done} deeds: {found[-1][1]:.0f} MB", flush=True)
        if late:
            break
        work.do_one()
        work.rest()
    work.close()
    return found


def told(what: str, times: Times, budget: str, pick: Callable[[Times], Times]) -> str:
    """A row of the table [ms]."""
    clock, own, all_threads = 1000 * pick(times)
    return f"| {what} | {own:.1f} | {all_threads:.1f} | {clock:.1f} | {budget} |"


def median(times: Times) -> Times:
    """Of the events, in each clock [s]."""
    return np.asarray(np.median(times, axis=0))


def longest(times: Times) -> Times:
    """Of the events, in each clock [s]."""
    return np.asarray(times.max(axis=0))


def rows_of(work: AtWork, size: str) -> Iterator[str]:
    """Each row of a sheet."""
    for px, budget in ((60, "15"), (400, "25")):
        yield told(f"pen move, {px} px, {size}", pen_moves(work, px), budget, median)
    yield told(f"pointer over areas, {size}", outlines(work), "15", median)
    yield told(f"coarse picture, {size}", dilutions(work), "60", median)
    stills, deeds = Stills(), {"drawing": draw_strokes, "dragging a dilution": drag_water}
    for what, do in deeds.items():
        for name, some in ((what, partial(do, work)), (f"after {what}", partial(work.rest, 1.0))):
            gaps = stills.during(some)
            yield told(f"longest standstill, {name}, {size}", gaps, "110", longest)


def main() -> None:
    page = [
        f"Made by `python -m tests.bench.window` under Xvfb (software OpenGL), "
        f"{datetime.date.today()}: square sheets with three washes and two lifts all over, advice "
        "and versions; real mouse events. In ms: the window's own thread, all threads, the clock, "
        "and what was set out for the clock, which all else that runs lengthens.",
        "",
        "| | own thread | all threads | clock | budget |",
        "|---|---|---|---|---|",
    ]
    with tempfile.TemporaryDirectory() as name:
        own_places(Path(name))
        for size, pixels in SIZES.items():
            work = open_window(Path(name) / size.replace(" ", ""), pixels)
            for row in rows_of(work, size):
                print(row, flush=True)
                page.append(row)
            work.close()
        found = starts(six_steps(Path(name)))
        print(f"started: {found}", flush=True)
        (_, at_first), *later = memory(Path(name) / "deeds")
    seen, clock = (found.pop(name) for name in ("glimpse by the clock", "by the clock"))
    parts = ", ".join(f"{what} after {s:.1f} s" for what, s in found.items())
    page += [
        "",
        "From the start of the process, A4 at 300 dpi with six steps, everything compiled: "
        f"{parts} of the processor, all threads together. By the clock the sheet is on the screen "
        f"after {seen:.1f} s, and the window with it, which answers, after {clock:.1f} s.",
        f"Memory with a sheet of 2 Mpx, napari and Qt in it: {at_first:.0f} MB once it is open; "
        + ", ".join(f"{mb:.0f} MB after {done}" for done, mb in later)
        + " deeds of all kinds.",
    ]
    PAGE.write_text(with_part(WINDOW, page), encoding="utf-8")


if __name__ == "__main__":
    main()
