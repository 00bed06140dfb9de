"""How the window looks and what it shows; run by desk_checks.py."""

from __future__ import annotations

import sys
import threading
import time
from dataclasses import replace
from functools import partial

import numpy as np
from desk_hand import Window
from qtpy.QtCore import QPoint, QRect, Qt
from qtpy.QtGui import QColor
from qtpy.QtTest import QTest
from qtpy.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QDialog,
    QLineEdit,
    QListWidget,
    QMenu,
    QScrollArea,
    QSlider,
    QWidget,
)

from viewer.core.brush import Brush
from viewer.core.views import View


def the_canvas_shows_the_picture_itself(window: Window) -> None:
    # magnified to whole squares, so that a screen pixel is inside one pixel of the sheet
    sheet, camera = window.desk.sheet, window.viewer.scene.camera
    before = camera.zoom, camera.center
    per_mm = window.desk.sitting.painting.dpi / 25.4
    camera.zoom, camera.center = 8 * per_mm, (0.0, 16.0, 20.0)
    window.settle()
    shown, picture = window.screen(), window.picture()
    height, width = shown.shape[:2]
    # on fine screens a pixel of Qt's is more than one of the screen's
    zoom = camera.zoom * height / sheet.canvas().height()
    worst = 0
    for dy in range(-120, 121, 8):
        for dx in range(-160, 161, 8):
            y, x = height / 2 + dy + 0.3, width / 2 + dx + 0.3
            row = int((16.0 + (y - height / 2) / zoom) * per_mm)
            column = int((20.0 + (x - width / 2) / zoom) * per_mm)
            here = shown[int(y), int(x)].astype(int)
            near = picture[row - 1 : row + 2, column - 1 : column + 2].astype(int)
            worst = max(worst, np.abs(near - here).max(axis=-1).min())
    camera.zoom, camera.center = before
    sheet.fit()
    assert worst <= 1, f"the canvas is off by {worst} of 255"


def a_held_key_shows_the_bare_sketch(window: Window) -> None:
    desk, usual = window.desk, window.picture()
    window.to_front()
    QTest.keyPress(desk.window, Qt.Key.Key_B)
    window.settle()
    assert desk.sitting.preview.view.way == "bare sketch"
    assert not np.array_equal(window.picture(), usual)
    QTest.keyRelease(desk.window, Qt.Key.Key_B)
    window.settle()
    assert np.array_equal(window.picture(), usual)


def a_held_key_is_let_go_where_its_release_cannot_be_seen(window: Window) -> None:
    desk, usual = window.desk, window.picture()
    other, menu = QDialog(), desk.bar.menus["ask"]
    for take_focus in (other.show, partial(menu.popup, QPoint(300, 300))):
        window.to_front()
        desk.sheet.canvas().setFocus()
        window.settle()
        QTest.keyPress(desk.sheet.canvas(), Qt.Key.Key_B)
        window.settle()
        assert desk.sitting.preview.view.way == "bare sketch"
        take_focus()
        other.activateWindow()
        assert window.wait_for(lambda: np.array_equal(window.picture(), usual))
        other.close()
        menu.close()
        window.settle()


def the_pointer_reads_what_lies_there(window: Window) -> None:
    desk = window.desk
    QTest.mouseMove(desk.sheet.canvas(), window.at(10, 12))
    QTest.mouseMove(desk.sheet.canvas(), window.at(10.5, 12))
    assert window.wait_for(lambda: "yellow" in desk.order.here.steps.text())
    assert "value" in desk.order.here.colour.text()


def both_ways_of_upload_show_the_same(window: Window) -> None:
    import os

    desk = window.desk
    shots = []
    for closed in ("0", "1"):
        os.environ["GLAZE_PUBLIC_UPLOAD"] = closed
        desk.sitting.choose(None)
        laying = desk.sheet.laying
        desk.sheet.show([laying.press((10, 26))])
        for x in range(11, 25):
            desk.sheet.show([laying.move([((x, 26 + x / 20), 1.0)])])
            QTest.qWait(8)
        laying.up()
        window.settle()
        shots.append(window.screen())
        desk.take_back()
        window.settle()
    os.environ.pop("GLAZE_PUBLIC_UPLOAD")
    assert np.abs(shots[0].astype(int) - shots[1]).max() <= 1


def thin_lines_stay_when_the_sheet_is_shown_small(window: Window) -> None:
    camera = window.viewer.scene.camera
    preview = window.desk.sitting.preview
    assert len(preview.pyramid.levels) == 1 or preview.pyramid.levels[1].shape[0] < 200
    before = camera.zoom
    camera.zoom = before / 4
    window.settle()
    camera.zoom = before
    window.settle()
    shown = window.desk.sheet.layer
    assert window.wait_for(lambda: shown.data is preview.pyramid.levels[preview.level])


def looking_otherwise_comes_back(window: Window) -> None:
    desk, usual = window.desk, window.picture()
    desk.bar.way.setCurrentText("values only")
    desk.bar.way.activated.emit(0)
    window.settle()
    assert desk.sitting.preview.view == View("values only", other="as it will look")
    assert np.ptp(window.picture().astype(int), axis=-1).max() <= 1
    desk.look(View())
    window.settle()
    assert np.array_equal(window.picture(), usual)


def the_brush_is_a_circle_as_wide_as_its_mark_and_hides_nothing(window: Window) -> None:
    desk, canvas = window.desk, window.desk.sheet.canvas()
    desk.table.brush.take_way("soft")
    desk.sitting.hold(replace(desk.sitting.hand, brush=Brush(size_mm=6)))

    def seen(at: QPoint) -> np.ndarray:
        """A few pixels one below the other: the circle's line is one of them wide."""
        image = window.shot(canvas).toImage()
        return np.array([image.pixelColor(at + QPoint(0, n)).getRgb()[:3] for n in range(-3, 4)])

    inside, rim = window.at(9.5, 9), window.at(8, 11)
    for far, near in (((34, 28), (8, 8)), ((33, 28), (8.02, 8))):
        QTest.mouseMove(canvas, window.at(*far))
        window.settle()
        before = seen(inside), seen(rim)
        QTest.mouseMove(canvas, window.at(*near))
        assert window.wait_for(lambda was=before[1]: not np.allclose(seen(rim), was, atol=20))
        assert np.allclose(seen(inside), before[0], atol=2)
    assert desk.sheet.cursor_words == "6 mm"
    desk.sitting.hold(replace(desk.sitting.hand, brush=Brush(size_mm=3)))


def both_walls_are_neutral(window: Window) -> None:

    from viewer.window.look import day, evening

    for wall in (day(), evening()):
        for name in (wall.wall, wall.panel, wall.field, wall.line):
            colour = QColor(name)
            assert colour.red() == colour.green() == colour.blue()
    window.desk.change_wall()
    window.settle()
    window.desk.change_wall()
    window.settle()


def the_binding_loses_no_references(window: Window) -> None:
    # PySide6 6.12.0 loses one of None at each call below Python 3.12, and ends in a crash
    label = window.desk.foot.standing
    before = sys.getrefcount(None)
    for _ in range(1000):
        label.setText("x")
    assert sys.getrefcount(None) > before - 500
    window.desk.show_title()


def the_window_fits_a_laptop_and_no_words_make_it_grow(window: Window) -> None:
    desk = window.desk
    four = "Blue 1 + Red 1 + Yellow 1 + Black 1 + water 12"
    desk.sitting.choose(None)
    desk.sitting.hold(replace(desk.sitting.hand, kind="wash", mix=four))
    desk.tell("a long line " * 60)
    desk.foot.start_tour()
    for kind in ("wash", "lift", "water lift"):
        desk.table.holding.take_kind(kind)
        for size in ((1280, 800), (1100, 700)):
            desk.window.resize(*size)
            places = desk.bar, desk.foot, desk.order
            window.wait_for(lambda seen=places: not _out_of_sight(window, seen))
            assert _out_of_sight(window, places) == []
            assert (desk.window.width(), desk.window.height()) == size, kind
            strip = desk.table.mix.tokens
            if kind == "wash" and size == (1280, 800):
                # the recipe line of four inks is whole, beside its buttons
                assert strip.row.minimumSize().width() <= strip.viewport().width()
    desk.foot.end_tour()
    desk.table.holding.take_kind("wash")
    assert size == window.size  # as it was opened


def _out_of_sight(window: Window, places: tuple[QWidget, ...]) -> list[str]:
    """Controls that don't lie whole in the window; what may be moved sideways is left out."""
    inside, found = window.desk.window.rect(), []
    for place in places:
        for widget in place.findChildren(QWidget):
            moved = any(strip.isAncestorOf(widget) for strip in place.findChildren(QScrollArea))
            if not widget.isVisible() or moved or isinstance(widget, QMenu):
                continue
            where = QRect(widget.mapTo(window.desk.window, QPoint(0, 0)), widget.size())
            words = isinstance(widget, QAbstractButton) and widget.text()
            clipped = words and widget.width() < widget.minimumSizeHint().width() - 2
            if clipped or not inside.contains(where):
                found.append(f"{widget} {words}, {where}")
    return found


def every_control_has_a_name_and_can_be_reached_by_keys(window: Window) -> None:
    desk = window.desk
    for place in (desk.bar, desk.foot, desk.order):
        for kind in (QAbstractButton, QComboBox, QLineEdit, QSlider, QListWidget):
            for widget in place.findChildren(kind):
                named = widget.accessibleName() or getattr(widget, "text", str)()
                assert named, widget
                assert widget.focusPolicy() & Qt.FocusPolicy.TabFocus, named
    window.to_front()
    for key, way in (("2", "damp"), ("3", "enclosed"), ("1", "soft")):
        QTest.keyClick(desk.window, key)
        assert desk.sheet.way == way
    QTest.keyClick(desk.window, Qt.Key.Key_K)
    assert desk.sitting.hand.kind == "water lift"
    QTest.keyClick(desk.window, Qt.Key.Key_W)
    assert desk.sitting.hand.kind == "wash"


def the_line_says_when_the_model_is_made_ready(window: Window) -> None:
    from viewer.core.saying import say
    from viewer.window.readiness import Readiness

    for wait_ms, expected in ((1, [say("desk.warming"), say("desk.ready")]), (1_000_000, [])):
        heard: list[str] = []
        told = threading.Event()  # what takes long ends once that was said
        warm = (lambda scene, stop, t=told: t.wait()) if expected else (lambda scene, stop: None)
        readiness = Readiness(warm, wait_ms, after_ms=0)
        readiness.told.connect(heard.append)
        readiness.told.connect(told.set)
        readiness.start(window.desk.sitting.scene)
        QApplication.processEvents()
        while readiness.worker.busy:
            QApplication.processEvents()
            readiness.worker.poll()
            time.sleep(0.004)
        readiness.close()
        readiness.worker.close()
        assert heard == expected


def words_on_the_canvas_stand_clear_of_the_value_scale(window: Window) -> None:
    desk, rulers = window.desk, window.desk.rulers
    desk.scale.hide()
    window.settle()
    before = rulers.grab().toImage()
    edge = desk.sitting.size_mm[0] - 1, 10.0
    rulers.say(edge, "too wet to glaze over: wait until it is dry to the touch")
    window.settle()
    after, fine = rulers.grab().toImage(), rulers.devicePixelRatio()
    at = [
        (x, y)
        for x in range(after.width())
        for y in range(0, after.height(), 3)
        if after.pixel(x, y) != before.pixel(x, y)
    ]
    assert at
    assert max(x for x, _ in at) / fine < desk.scale.x()
    rulers._hush()
    desk.scale.show()
    window.settle()
