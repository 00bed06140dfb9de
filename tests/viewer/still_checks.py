"""Checks that the window doesn't stand still: what mustn't be done anew, or at once, is counted."""

from __future__ import annotations

import sys
import time
from dataclasses import replace
from typing import Any

from qtpy.QtCore import QPoint, QPointF, QRectF, Qt
from qtpy.QtTest import QTest
from qtpy.QtWidgets import QApplication, QLabel

from glaze.sheet.lift import Touches
from viewer.core.spot import Lying, read_at
from viewer.window.here import Here


def nothing_is_worked_out_anew_at_each_move_of_the_pointer(window: Any) -> None:
    from glaze.patch.cases import Cases
    from viewer.window.here import REST_MS
    from viewer.window.rulers import Rulers

    desk, canvas, counted = window.desk, window.desk.sheet.canvas(), {"bands": 0, "places": 0}
    desk.table.brush.take_way("enclosed")
    for x in (20, 21):
        QTest.mouseMove(canvas, window.at(x, 9))
        window.settle(0.1)
    assert window.wait_for(lambda: "somewhere from" in desk.order.here.band.text())
    figures, place = Cases.figures, Rulers.place
    # on a busy machine the pointer would seem to rest between two moves; the plan has bands, too
    desk.order.here.rest.setInterval(10**9)
    adviser = desk.order.adviser
    often = adviser.rest.interval()
    adviser.rest.setInterval(10**9)
    adviser.worker.finish()

    def counted_figures(cases: Any) -> Any:
        counted["bands"] += 1
        return figures(cases)

    def counted_place(rulers: Any, point: Any) -> Any:
        counted["places"] += 1
        return place(rulers, point)

    Cases.figures, Rulers.place = counted_figures, counted_place  # type: ignore[method-assign]
    try:
        places = [window.at(10 + n, 9) for n in range(12)]
        counted["places"], outline = 0, desk.rulers._path
        for at in places:
            QTest.mouseMove(canvas, at)
            window.settle(0.06)
        moving = dict(counted)
        desk.order.here.rest.setInterval(REST_MS)
        assert window.wait_for(lambda: "somewhere from" in desk.order.here.band.text())
    finally:
        adviser.rest.setInterval(often)
        Cases.figures, Rulers.place = figures, place  # type: ignore[method-assign]
    assert moving["bands"] == 0
    # rulers and labels ask for some at each frame, an outline would for each of its points
    assert moving["places"] < 12 * 30, moving
    assert desk.rulers._path is outline
    assert counted["bands"] == 1
    desk.table.brush.take_way("soft")


def all_time_is_the_pens_while_it_is_down(window: Any) -> None:
    """A press had all of the sheet drawn once more, and cards were made anew under the brush."""
    desk, canvas = window.desk, window.desk.sheet.canvas()
    desk.sitting.choose(None)
    window.settle(0.3)
    drawn, shown = [], []
    scene, show = canvas._vispy_canvas, desk.order.cards.show_cards
    look, scene._render_picking = scene._render_picking, lambda *_, **__: drawn.append(1)
    desk.order.cards.show_cards = lambda *given: (shown.append(1), show(*given))
    try:
        QTest.mouseMove(canvas, window.at(10, 10))
        QTest.mousePress(canvas, Qt.MouseButton.LeftButton, pos=window.at(10, 10))
        for n in range(30):
            QTest.mouseMove(canvas, window.at(10 + n / 3, 10))
            QTest.qWait(10)
        assert desk.sheet.is_down
        assert not shown
        QTest.mouseRelease(canvas, Qt.MouseButton.LeftButton, pos=window.at(20, 10))
        until = time.monotonic() + 60
        while not shown and time.monotonic() < until:
            QTest.qWait(10)
        assert shown
        assert not drawn
    finally:
        scene._render_picking, desk.order.cards.show_cards = look, show
        desk.take_back()
        window.settle()


def wells_stay_where_they_are_while_water_is_dragged(window: Any) -> None:
    desk, mix = window.desk, window.desk.table.mix
    desk.sitting.choose(0)
    window.settle()
    before, wells = desk.sitting.draft, list(mix._wells)
    assert wells
    QTest.mousePress(mix.parts, Qt.MouseButton.LeftButton, pos=QPoint(8, 8))
    for n in range(1, 6):
        QTest.mouseMove(mix.parts, QPoint(8 + 10 * n, 8))
        window.settle(0.06)
        assert mix._wells == wells
    QTest.mouseRelease(mix.parts, Qt.MouseButton.LeftButton, pos=QPoint(58, 8))
    window.settle()
    assert desk.sitting.draft != before
    # let go, the new mix stands among them
    assert desk.sitting.scene.steps[0].recipe in [well.mix for well in mix._wells]
    desk.take_back()
    desk.sitting.choose(None)
    window.settle()


def what_lies_here_stays_in_its_place_whatever_lies_there(window: Any) -> None:
    here = window.desk.order.here
    found = read_at(window.desk.sitting.painting, Touches(), 100, 100)
    places = []
    for count in (0, 1, 3, 5, 9):
        lying = tuple(Lying(f"wash {n}", "ink", 1.0, 9.0) for n in range(count))
        here.show_reading(replace(found, steps=lying))
        window.settle(0.05)
        shown = here.colour, here.steps, here.bleached, here.band
        places.append([widget.y() for widget in shown] + [here.height(), here.steps.height()])
    assert all(place == places[0] for place in places), places
    # before a place is read there is no frame of what bleach leaves, but room for it
    fresh = Here(window.desk.sitting)
    assert fresh.after.isHidden()
    assert fresh.after.sizePolicy().retainSizeWhenHidden()
    fresh.show_reading(found)
    assert not fresh.after.isHidden()
    fresh.rest.stop()
    fresh.worker.close()
    # two more than five are told in a sixth line, and all of them have room
    assert here.steps.height() >= here.steps.heightForWidth(here.steps.width())


def the_first_picture_comes_before_the_model_is_made_ready(window: Any) -> None:
    from viewer.window.readiness import AFTER_MS, Readiness

    begun: list[float] = []
    readiness = Readiness(lambda scene, stop: begun.append(time.monotonic()))
    start = time.monotonic()
    readiness.start(window.desk.sitting.scene)
    assert window.wait_for(lambda: bool(begun))
    assert begun[0] - start > 0.9 * AFTER_MS / 1000
    # closed while it waits it never begins
    readiness.start(window.desk.sitting.scene)
    readiness.close()
    window.settle(1.2 * AFTER_MS / 1000)
    assert len(begun) == 1
    readiness.worker.close()


def a_glimpse_stands_where_the_sheet_will_be(window: Any) -> None:
    """What is seen before the window is made stays about where it is."""
    from viewer.window.glimpse import Glimpse

    desk, app = window.desk, QApplication.instance()
    desk.sheet.fit()
    window.settle(0.2)
    glimpse = Glimpse(app, window.folder / "scene" / "sketch.png")
    glimpse.resize(desk.window.size())
    glimpse.show()
    assert glimpse.goes_on()
    corner = desk.sheet.canvas().mapTo(desk.window, QPoint(0, 0))
    first, last = (
        desk.rulers.place(place) + QPointF(corner) for place in ((0.0, 0.0), desk.sitting.size_mm)
    )
    seen, real = glimpse.place(), QRectF(first, last)
    # table and order are as large as what stands on them: these are smaller than most
    assert abs(seen.top() - real.top()) < 8
    both, either = seen.intersected(real), seen.united(real)
    assert both.width() * both.height() > 0.6 * either.width() * either.height(), (seen, real)
    # its paper is there: the sketch's own white, on the neutral wall
    image, scale = glimpse.grab().toImage(), glimpse.devicePixelRatioF()
    paper = image.pixelColor((seen.topLeft() * scale).toPoint() + QPoint(3, 3))
    assert min(paper.getRgb()[:3]) > 240
    wall, panel = image.pixelColor(12, 200), image.pixelColor(12, 3)
    assert (wall.name(), panel.name()) == (desk.surround.wall.wall, desk.surround.wall.panel)
    # whoever closes it wants no window
    glimpse.close()
    assert not glimpse.goes_on()
    # what can't be read is a bare wall
    assert Glimpse(app, window.folder / "gone.png").grab().toImage().pixelColor(600, 300) == wall


def long_tips_are_parted_into_lines(window: Any) -> None:
    from viewer.window.tips import Tips

    label, tips = QLabel(), Tips()
    label.installEventFilter(tips)
    label.setToolTip("a < b\nand so on")
    assert label.toolTip() == "<qt>a &lt; b<br>and so on</qt>"
    label.setToolTip("<b>as it is</b>")
    assert label.toolTip() == "<b>as it is</b>"


def the_window_waits_for_no_turn_of_another_thread(window: Any) -> None:
    """Python's own 5 ms made it wait 12 to 17 ms at each call into Qt, with two threads at work."""
    assert sys.getswitchinterval() <= 0.0005
