"""The pictures of the window: the lighthouse opened, a few things done with the mouse, and what the
screen shows. Wants a display.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

from qtpy.QtCore import QBuffer
from qtpy.QtWidgets import QWidget

from viewer.core import drafting
from viewer.core.brush import Brush
from viewer.core.keep import first_sitting
from viewer.core.versions import keep_version, painting_of
from viewer.core.views import Kept, View
from viewer.window.adviser import REST_MS

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "tests" / "viewer"))
from desk_hand import Window

SIZE = 1480, 980


class Photographer(Window):
    """The desk, a hand on the mouse, and a camera."""

    def __init__(self) -> None:
        self.taken: dict[str, bytes] = {}
        super().__init__(Path(tempfile.mkdtemp()), first_sitting(None), SIZE)
        self.settle(1.5)

    def take(self, name: str, widget: QWidget | None = None) -> None:
        """Keep what a widget, or the window, shows."""
        # advice comes once nothing was done for a while, bands where the pointer rests
        self.settle(1.2 * REST_MS / 1000)
        foot, workers = self.desk.foot, self.desk.workers
        assert self.wait_for(lambda: not (workers.busy or foot.progress.text()))
        self.settle(0.3)  # the last tiles and words come to the screen with the next frame
        kept = QBuffer()
        kept.open(QBuffer.OpenModeFlag.WriteOnly)
        self.shot(widget or self.desk.window).save(kept, "PNG")
        self.taken[f"viewer_{name}.png"] = bytes(kept.data().data())

    def pixel(self, x_mm: float, y_mm: float) -> tuple[int, int]:
        per_mm = self.desk.sitting.painting.dpi / 25.4
        return int(y_mm * per_mm), int(x_mm * per_mm)


def first_look(camera: Photographer) -> None:
    camera.desk.foot.start_tour()
    camera.point(60, 60)
    camera.take("first_look")
    camera.desk.foot.end_tour()


def a_wash_in_hand(camera: Photographer) -> None:
    desk = camera.desk
    desk.sitting.hold(
        replace(desk.sitting.hand, mix="Yellow 3 + Red 2 + water 12", brush=Brush(9, 0.3))
    )
    camera.drag((18, 118), (36, 112), (58, 117))
    camera.drag((24, 124), (40, 121), (52, 124))
    camera.point(36, 114)


def bleach(camera: Photographer) -> None:
    desk = camera.desk
    desk.let_dry()
    desk.table.holding.take_kind("lift")
    desk.sitting.hold(replace(desk.sitting.hand, parts_water=9, brush=Brush(3, 0.4)))
    camera.drag((104, 118), (118, 108), (134, 114))
    camera.point(118, 108)
    camera.take("bleach")
    desk.take_back()
    desk.table.holding.take_kind("wash")


def values(camera: Photographer) -> None:
    camera.desk.look(View("five values", split=0.5))
    camera.take("values")
    camera.desk.look(View())


def table(camera: Photographer) -> None:
    camera.take("table", camera.desk.table)


def three_ways(camera: Photographer) -> None:
    desk = camera.desk
    pixel = camera.pixel(85, 75)
    desk.three_ways.show_for(pixel, 3)
    desk.three_ways.worker.finish()
    camera.take("three_ways", desk.three_ways)
    desk.three_ways.close()


def versions(camera: Photographer) -> None:
    desk, sitting = camera.desk, camera.desk.sitting
    number = next(n for n, step in enumerate(sitting.scene.steps) if "shadow" in step.name)
    for parts in (1, 6):
        mix = f"shadow 1 part + water {parts} parts"
        draft = drafting.with_changed_step(sitting.draft, number, mix=mix)
        sitting.do(f"shadow 1 + {parts}", draft)
        camera.settle(0.6)
        keep_version(sitting, f"shadow 1 + {parts}")
    one, other = (Kept(v.name, painting_of(sitting, v)) for v in sitting.versions)
    desk.look(View(split=0.55, left=one, right=other))
    camera.take("versions")
    desk.look(View())


DEEDS: tuple[Callable[[Photographer], None], ...] = (
    first_look,
    a_wash_in_hand,
    bleach,
    table,
    values,
    three_ways,
    versions,
)


def pictures() -> Iterator[tuple[str, bytes]]:
    """Name and content of each."""
    camera = Photographer()
    for deed in DEEDS:
        deed(camera)
    camera.desk.close()
    camera.viewer.close()
    yield from camera.taken.items()
