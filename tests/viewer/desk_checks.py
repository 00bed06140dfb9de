"""Checks in a real window, run by test_window.py in a process of its own.

Each check is a function; its name and what went wrong, if anything, go to the output as JSON.
`python desk_checks.py FOLDER NAME ...` runs those of some names; TRAPS end the process when they
fail.
"""

from __future__ import annotations

import json
import shutil
import sys
import time
import traceback
from dataclasses import replace
from functools import partial
from pathlib import Path

import numpy as np
from control_checks import CONTROLS
from desk_hand import SLANTED, Window, photographed
from qtpy.QtCore import QEvent, QMimeData, QPoint, QPointF, QRect, Qt, QTimer, QUrl
from qtpy.QtGui import QColor, QDragEnterEvent, QDropEvent
from qtpy.QtTest import QTest
from qtpy.QtWidgets import (
    QAbstractButton,
    QApplication,
    QComboBox,
    QDialog,
    QDockWidget,
    QLabel,
    QLineEdit,
    QListWidget,
    QMenu,
    QPushButton,
    QRadioButton,
    QScrollArea,
    QSlider,
    QToolButton,
    QWidget,
)
from small_scenes import write_sketch

from glaze.painting.settle import resolve
from glaze.pipeline import render
from glaze.scene.file import load_scene
from glaze.step.lift_step import Lift
from glaze.step.wash_step import Wash
from viewer.core.brush import Brush
from viewer.core.keep import open_any, save
from viewer.core.recovery import NOTE, left_behind, replayed
from viewer.core.versions import keep_version
from viewer.core.views import View

MOON = """
format = 1
palette = "lifting"
paper = "white cartridge"
size_mm = [40, 32]
dpi = 150
[region.spot]
ellipse_mm = [{ centre = [20, 20], radii = [8, 8] }]
[[step]]
wash = "night"
mix = "Black 1 + water 1"
region = "sheet"
[[step]]
lift = "moon"
region = "spot"
parts_water = 8
"""


# ---- checks


def the_picture_is_that_of_preview(window: Window) -> None:
    expected = render(resolve(load_scene(window.folder / "scene"))).rgb
    assert np.array_equal(window.picture(), expected)


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


def a_real_mouse_stroke_lays_a_wash_where_it_went(window: Window) -> None:
    desk = window.desk
    before = window.picture()
    desk.table.brush.take_way("soft")
    desk.sitting.hold(
        replace(
            desk.sitting.hand,
            kind="wash",
            mix="Blue 3 + water 6",
            brush=Brush(size_mm=3, hardness=0.7),
        )
    )
    desk.sitting.choose(None)
    window.drag((26, 26), (36, 28))
    step = desk.sitting.scene.steps[-1]
    assert isinstance(step, Wash)
    assert step.mix == "Blue 3 + water 6"
    mask = desk.sitting.masks[step.region]
    per_mm = desk.sitting.painting.dpi / 25.4
    for x, y in ((26, 26), (31, 27), (36, 28)):
        assert mask[round(y * per_mm), round(x * per_mm)] > 60_000, (x, y)
    changed = (window.picture() != before).any(axis=-1)
    # a drawn line, black already, shows no wash over it
    paper = desk.sitting.sketch.line > 0.5
    assert changed[(mask > 30_000) & paper].mean() > 0.95
    assert not changed[: round(20 * per_mm)].any()


def what_is_seen_is_what_is_saved(window: Window) -> None:
    target = window.folder / "saved"
    save(window.desk.sitting, target)
    assert np.array_equal(render(resolve(load_scene(target))).rgb, window.picture())


def keys_take_back_and_do_again(window: Window) -> None:
    desk = window.desk
    after, count = window.picture(), len(desk.sitting.scene.steps)
    desk.window.windowHandle().requestActivate()
    desk.window.setFocus()
    window.settle()
    QTest.keyClick(desk.window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    window.settle()
    assert len(desk.sitting.scene.steps) == count - 1, desk.foot.line.text()
    both = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    QTest.keyClick(desk.window, Qt.Key.Key_Z, both)
    window.settle()
    assert len(desk.sitting.scene.steps) == count
    assert np.array_equal(window.picture(), after)


def a_click_fills_an_enclosed_area(window: Window) -> None:
    desk = window.desk
    desk.sitting.choose(None)
    desk.table.brush.take_way("enclosed")
    window.click(30, 10)
    step = desk.sitting.scene.steps[-1]
    x, y = desk.sitting.scene.regions[step.region].enclosed_at_mm[0]
    assert abs(x - 30) < 0.3
    assert abs(y - 10) < 0.3
    desk.take_back()
    window.settle()


def a_dragged_band_and_a_cut_edge_lie_where_they_were_drawn(window: Window) -> None:
    desk = window.desk
    desk.table.brush.take_way("band")
    desk.sitting.choose(None)
    window.drag((8, 8), (30, 8))
    band = desk.sitting.scene.regions[desk.sitting.scene.steps[-1].region].band_mm[0]
    assert np.allclose(band.end, (30, 8), atol=0.3)
    desk.take_back()
    desk.table.brush.take_way("cut")
    desk.sitting.choose(None)
    canvas, zoom = desk.sheet.canvas(), window.viewer.scene.camera.zoom
    # Escape lets one go that was begun
    window.click(9, 20)
    QTest.keyClick(canvas, Qt.Key.Key_Escape)
    assert not desk.sheet.guide
    for place in ((8, 8), (30, 8)):
        window.click(*place)
    window.click(20, 24)
    QTest.mouseDClick(canvas, Qt.MouseButton.LeftButton, pos=window.at(20, 24))
    window.settle()
    polygon = desk.sitting.scene.regions[desk.sitting.scene.steps[-1].region].polygon_mm
    assert len(polygon) == 3, polygon
    assert window.viewer.scene.camera.zoom == zoom, "closing a cut edge goes nearer"
    desk.take_back()
    window.settle()


def bleach_in_hand_shows_its_caution_and_lays_a_lift(window: Window) -> None:
    from glaze.materials.bleach import CAUTION, CAUTION_LINE

    desk = window.desk
    assert desk.table.caution.isVisible()
    assert desk.table.caution.text() == CAUTION_LINE
    desk.caution.shown = False
    desk.table.brush.take_way("soft")
    desk.table.holding.take_kind("lift")
    assert desk.caution.box.isVisible()
    words = "\n".join(label.text() for label in desk.caution.box.findChildren(QLabel))
    assert words == CAUTION
    desk.caution.box.close()
    desk.table.holding.take_kind("wash")
    desk.table.holding.take_kind("lift")
    assert not desk.caution.box.isVisible(), "once a sheet is enough"
    window.drag((18, 10), (18, 22))
    assert isinstance(desk.sitting.scene.steps[-1], Lift)
    desk.take_back()
    desk.table.holding.take_kind("wash")
    window.settle()


def a_dragged_number_dilutes_the_step_in_hand_as_one_deed(window: Window) -> None:
    desk = window.desk
    desk.sitting.choose(0)
    window.settle()
    before = desk.sitting.scene.steps[0].mix
    deeds = desk.sitting.history.place
    number = desk.table.mix.parts
    QTest.mousePress(number, Qt.MouseButton.LeftButton, pos=QPoint(10, 10))
    for x in range(10, 80, 10):
        QTest.mouseMove(number, QPoint(x, 10))
        QTest.qWait(30)
    QTest.mouseRelease(number, Qt.MouseButton.LeftButton, pos=QPoint(80, 10))
    window.settle()
    assert desk.sitting.scene.steps[0].mix != before
    assert desk.sitting.history.place == deeds + 1
    desk.take_back()
    window.settle()
    assert desk.sitting.scene.steps[0].mix == before


def a_typed_number_gives_the_keys_back(window: Window) -> None:
    desk = window.desk
    desk.sitting.choose(0)
    window.settle()
    before = desk.sitting.scene.steps[0].mix
    number = desk.table.mix.parts
    for end, typed in ((Qt.Key.Key_Return, True), (Qt.Key.Key_Escape, False)):
        was = number.text()
        desk.window.windowHandle().requestActivate()
        QTest.mouseClick(number, Qt.MouseButton.LeftButton)
        QTest.keyClicks(number, "7")
        QTest.keyClick(number, end)
        window.settle()
        assert not number.hasFocus(), end
        assert (desk.sitting.scene.steps[0].mix != before) == typed
        if typed:
            # Ctrl Z takes the deed back, not what was typed
            control = Qt.KeyboardModifier.ControlModifier
            QTest.keyClick(desk.window, Qt.Key.Key_Z, control)
            window.settle()
        assert desk.sitting.scene.steps[0].mix == before
        assert number.text() == was


def a_held_key_shows_the_bare_sketch(window: Window) -> None:
    desk, usual = window.desk, window.picture()
    desk.window.setFocus()
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
        desk.window.windowHandle().requestActivate()
        desk.sheet.canvas().setFocus()
        window.settle()
        QTest.keyPress(desk.sheet.canvas(), Qt.Key.Key_B)
        window.settle()
        assert desk.sitting.preview.view.way == "bare sketch"
        take_focus()
        other.activateWindow()
        window.settle()
        assert np.array_equal(window.picture(), usual)
        other.close()
        menu.close()
        window.settle()


def the_order_shows_every_step_and_a_click_on_its_dot_sets_it_aside(window: Window) -> None:
    desk = window.desk
    cards = desk.order.cards
    assert cards.count() == len(desk.sitting.scene.steps)
    spot = cards.visualItemRect(cards.item(1)).topLeft() + QPoint(13, 26)
    QTest.mouseClick(cards.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    window.settle()
    assert desk.sitting.draft.aside == {1}
    QTest.mouseClick(cards.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    window.settle()
    assert desk.sitting.draft.aside == set()


def the_pointer_reads_what_lies_there(window: Window) -> None:
    desk = window.desk
    QTest.mouseMove(desk.sheet.canvas(), window.at(10, 12))
    QTest.mouseMove(desk.sheet.canvas(), window.at(10.5, 12))
    window.settle()
    assert "value" in desk.order.here.colour.text()
    assert "yellow" in desk.order.here.steps.text()


def napari_cannot_change_the_colours(window: Window) -> None:
    layer = window.desk.sheet.layer
    before = window.screen()
    layer.gamma = 0.5
    layer.contrast_limits = (0, 100)
    layer.opacity = 0.4
    layer.blending = "additive"
    window.settle()
    assert layer.gamma == 1
    assert tuple(layer.contrast_limits) == (0, 255)
    assert layer.opacity == 1
    assert np.abs(window.screen().astype(int) - before).max() <= 1


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
    assert window.desk.sheet.layer.data is preview.pyramid.levels[preview.level]


def a_right_drag_moves_the_sheet_and_lays_nothing(window: Window) -> None:
    desk, camera = window.desk, window.viewer.scene.camera
    count, centre = len(desk.sitting.history.deeds), camera.center
    window.drag((10, 10), (14, 12), button=Qt.MouseButton.RightButton)
    assert len(desk.sitting.history.deeds) == count
    assert camera.center != centre
    desk.sheet.fit()
    window.settle()


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


def napari_lists_can_be_had_and_folded_again(window: Window) -> None:
    desk = window.desk
    assert not desk.window.menuBar().isVisible()
    desk.surround.fold_napari(False)
    window.settle()
    assert desk.window.menuBar().isVisible()
    # only what napari shows of itself: its console stays shut
    docks = [d for d in desk.window.findChildren(QDockWidget) if d not in desk.surround.docks]
    assert {d.objectName() for d in docks if d.isVisible()} == {"layer controls", "layer list"}
    desk.surround.fold_napari(True)
    window.settle()
    assert not desk.window.menuBar().isVisible()


def the_menus_ask_and_do(window: Window) -> None:
    desk = window.desk
    orders = {a.text(): a for menu in desk.bar.menus.values() for a in menu.actions()}
    assert {
        "save\tCtrl S",
        "recipe card",
        "bench page, for a tablet",
        "charts of these bottles",
        "the whole caution",
    } <= set(orders)
    orders["the three-step tour"].trigger()
    assert desk.foot.hint.isVisible()
    assert not any(button.isVisible() for button in desk.foot.ends)
    desk.foot.tour.step = len(desk.foot.tour.hints)
    desk.foot._show_hint()
    assert [button.text() for button in desk.foot.ends if button.isVisible()] == [
        *("open your own sketch", "ten things to try")
    ]
    window.settle()
    with_hint = desk.foot.height()
    desk.foot.end_tour()
    assert not desk.foot.hint.isVisible()
    # its room is the sheet's again
    window.settle()
    assert desk.foot.height() == desk.foot.sizeHint().height() < with_hint
    desk.sitting.choose(0)
    before, deeds = desk.sitting.draft, desk.sitting.history.place
    desk.order.here.where = None
    orders["bring a place to a value"].trigger()
    desk.three_ways.wanted.set_value(7)
    desk.three_ways.wanted.let_go.emit()
    _take(window, 0)
    assert desk.sitting.history.place == deeds + 1
    desk.take_back()
    window.settle()
    assert desk.sitting.draft == before
    desk.sitting.choose(None)


def an_area_is_outlined_before_it_is_filled_and_a_drag_fills_several(window: Window) -> None:
    desk, sheet, canvas = window.desk, window.desk.sheet, window.desk.sheet.canvas()
    desk.sitting.choose(None)
    desk.table.brush.take_way("enclosed")
    window.settle()
    assert desk.table.brush.gap.isVisible()
    assert not desk.table.brush.brush_size.isVisible()
    for place in ((29.5, 10), (30, 10)):
        QTest.mouseMove(canvas, window.at(*place))
        window.settle()
    (outline,) = sheet.areas.outlines
    # the frame that write_sketch draws
    assert np.allclose(outline.min(axis=0), (3.7, 3.7), atol=0.4)
    assert np.allclose(outline.max(axis=0), (33.5, 27.4), atol=0.4)
    assert sheet.cursor_words.startswith("30 x 24 mm")
    before, deeds = desk.sitting.draft, desk.sitting.history.place
    window.drag((30, 10), (37, 10))
    assert desk.sitting.history.place == deeds + 1
    assert desk.sitting.history.back_name == "fill 2 areas"
    shape = desk.sitting.scene.regions[desk.sitting.scene.steps[-1].region]
    assert len(shape.enclosed_at_mm) == 2
    desk.take_back()
    window.settle()
    assert desk.sitting.draft == before
    # with Shift the areas that are alike: the frame has none, so it is the one
    shift = Qt.KeyboardModifier.ShiftModifier
    QTest.mouseClick(canvas, Qt.MouseButton.LeftButton, shift, window.at(30, 10))
    window.settle()
    assert desk.sitting.history.back_name == "fill an enclosed area"
    desk.take_back()
    window.settle()
    desk.table.brush.take_way("soft")
    for place in ((29.5, 10), (30, 10)):
        QTest.mouseMove(canvas, window.at(*place))
    assert sheet.areas is None
    assert sheet.cursor_words == f"{desk.sitting.hand.brush.size_mm:g} mm"


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
        window.settle()
        assert np.allclose(seen(inside), before[0], atol=2)
        assert not np.allclose(seen(rim), before[1], atol=20)
    assert desk.sheet.cursor_words == "6 mm"
    desk.sitting.hold(replace(desk.sitting.hand, brush=Brush(size_mm=3)))


def versions_are_kept_compared_and_gone_on_from(window: Window) -> None:
    desk, box = window.desk, window.desk.versions
    desk.window.windowHandle().requestActivate()
    desk.window.setFocus()
    window.settle()
    QTest.keyClick(desk.window, Qt.Key.Key_V)
    window.settle()
    assert box.isVisible()
    assert any("No version is kept yet" in label.text() for label in box.findChildren(QLabel))
    pictures = [window.picture()]
    QTest.keyClicks(box.name, "bare shadow")
    QTest.keyClick(box.name, Qt.Key.Key_Return)
    desk.sitting.choose(None)
    desk.table.brush.take_way("soft")
    window.drag((26, 6), (34, 26))
    pictures.append(window.picture())
    QTest.keyClicks(box.name, "with a stroke")
    QTest.keyClick(box.name, Qt.Key.Key_Return)
    window.settle()
    assert [v.name for v in desk.sitting.versions] == ["bare shadow", "with a stroke"]
    # the list has its room before it is painted: it came out squeezed, or empty
    for name in ("third", "fourth", "fifth"):
        keep_version(desk.sitting, name)
        box.refresh()
        (area,) = box.findChildren(QScrollArea)
        assert area.widget().height() >= area.widget().minimumSizeHint().height()
    desk.sitting.versions = desk.sitting.versions[:2]
    box.refresh()
    # on either side of the line
    for name in ("bare shadow: left of the line", "with a stroke: right of the line"):
        (radio,) = [r for r in box.findChildren(QRadioButton) if r.accessibleName() == name]
        QTest.mouseClick(radio, Qt.MouseButton.LeftButton, pos=QPoint(7, radio.height() // 2))
        box.worker.finish()
        window.settle()
    shown, edge = window.picture(), round(0.5 * pictures[0].shape[1])
    assert np.array_equal(shown[:, :edge], pictures[0][:, :edge])
    assert np.array_equal(shown[:, edge:], pictures[1][:, edge:])
    assert desk.sitting.preview.view.compared == ("bare shadow", "with a stroke")
    # gone on from: the sheet is in sight again
    (go,) = [b for b in box.findChildren(QPushButton) if "from bare" in b.accessibleName()]
    QTest.mouseClick(go, Qt.MouseButton.LeftButton)
    window.settle()
    assert desk.sitting.preview.view.compared is None
    assert np.array_equal(window.picture(), pictures[0])
    box.close()
    desk.take_back()
    desk.take_back()
    window.settle()
    assert np.array_equal(window.picture(), pictures[0])
    desk.sitting.versions, desk.sitting.stands_on = (), ""


def _take(window: Window, number: int) -> None:
    """Wait for three ways to a value, and take one."""
    ways = window.desk.three_ways
    ways.worker.finish()
    window.settle()
    take = [b for b in ways.findChildren(QPushButton) if b.text() == "take it"][number]
    QTest.mouseClick(take, Qt.MouseButton.LeftButton)
    window.settle()
    assert not ways.isVisible()


def a_value_dragged_onto_a_place_offers_three_ways_to_it(window: Window) -> None:
    from colour import XYZ_to_xyY, sRGB_to_XYZ
    from colour.notation import munsell_value_ASTMD1535

    from glaze.materials.bleach import CAUTION_LINE
    from viewer.core.close_up import close_up
    from viewer.window.look import grey_of_value
    from viewer.window.value_scale import VALUES

    # each grey is of the value it says, after ASTM D1535
    for value in VALUES:
        xyz = sRGB_to_XYZ(np.array(QColor(grey_of_value(value)).getRgbF()[:3]))
        assert abs(munsell_value_ASTMD1535(100 * XYZ_to_xyY(xyz)[2]) - value) < 0.05
    desk, scale = window.desk, window.desk.scale
    desk.sitting.choose(None)
    before, deeds = desk.sitting.draft, desk.sitting.history.place
    for value, caution in ((3, False), (9, True)):
        start = scale._patch(VALUES.index(value)).center().toPoint()
        target = scale.mapFrom(scale.canvas, window.at(18, 16))
        QTest.mousePress(scale, Qt.MouseButton.LeftButton, pos=start)
        for share in (0.3, 0.7, 1.0):
            QTest.mouseMove(scale, start + (target - start) * share)
            QTest.qWait(5)
        assert desk.rulers.carried[1] == value
        assert desk.rulers.carried[2].startswith("value ")
        QTest.mouseRelease(scale, Qt.MouseButton.LeftButton, pos=target)
        assert desk.rulers.carried is None
        desk.three_ways.worker.finish()
        window.settle()
        shown = [p for p in desk.three_ways.findChildren(QLabel) if p.pixmap().width()]
        assert len(shown) == 4
        assert desk.three_ways.caution.isVisible() == caution
        assert desk.three_ways.caution.text() == CAUTION_LINE
    way, pixel = desk.three_ways.asked.ways[1], desk.three_ways.pixel
    promised = close_up(desk.sitting.settling.worked_out(way.draft), pixel)
    _take(window, 1)
    assert desk.sitting.history.place == deeds + 1
    assert desk.sitting.draft == way.draft
    assert np.array_equal(close_up(desk.sitting.painting, pixel), promised)
    desk.take_back()
    window.settle()
    assert desk.sitting.draft == before


def a_rough_is_flipped_to_and_its_steps_are_taken_one_by_one(window: Window) -> None:
    from PIL import Image

    desk, sitting = window.desk, window.desk.sitting
    canvas, usual, box = desk.sheet.canvas(), window.screen(), window.desk.rough
    sitting.choose(None)
    before, deeds = sitting.draft, sitting.history.place
    desk.window.windowHandle().requestActivate()
    desk.window.setFocus()
    window.settle()
    for key in (Qt.Key.Key_C, Qt.Key.Key_P):
        desk.tell("")
        QTest.keyClick(desk.window, key)
        window.settle(0.05)
        assert "No rough is open" in desk.foot.line.text()
    # a colour inside the frame that write_sketch draws, another round it; the shape of the sheet
    rough = np.full((320, 400, 3), (214, 226, 236), np.uint8)
    rough[40:272, 40:330] = (226, 170, 140)
    Image.fromarray(rough).save(window.folder / "rough.png")
    box.open_path(window.folder / "rough.png")
    desk.errands.worker.finish()
    assert desk.foot.line.text().startswith("rough.png lies over the sheet by its")
    desk.window.setFocus()
    usual = window.screen()
    QTest.keyPress(desk.window, Qt.Key.Key_G)
    window.settle()
    height, width = window.screen().shape[:2]
    x, y = window.at(26, 22).x() / canvas.width(), window.at(26, 22).y() / canvas.height()
    held = window.screen()[int(y * height), int(x * width)].astype(int)
    assert np.abs(held - (226, 170, 140)).max() <= 2
    QTest.keyRelease(desk.window, Qt.Key.Key_G)
    window.settle()
    assert np.array_equal(window.screen(), usual)
    # whoever opens a menu meanwhile keeps the key's release from it
    desk.sheet.canvas().setFocus()
    QTest.keyPress(desk.sheet.canvas(), Qt.Key.Key_G)
    desk.bar.menus["ask"].popup(QPoint(300, 300))
    window.settle()
    assert desk.sheet.instead is None
    desk.bar.menus["ask"].close()
    window.settle()
    # its colour here: drops to take in the hand
    for place in ((25.5, 22), (26, 22)):
        QTest.mouseMove(canvas, window.at(*place))
        window.settle()
    QTest.keyClick(desk.window, Qt.Key.Key_C)
    window.settle()
    offers = [b for b in desk.questions.shown.findChildren(QPushButton) if b.text() == "take it"]
    assert len(offers) >= 3
    QTest.mouseClick(offers[0], Qt.MouseButton.LeftButton)
    window.settle()
    assert "Red" in sitting.hand.mix
    desk.questions.shown.close()
    assert sitting.draft == before
    # steps for this area
    desk.window.windowHandle().requestActivate()
    desk.window.setFocus()
    for place in ((25.5, 22), (26, 22)):
        QTest.mouseMove(canvas, window.at(*place))
        window.settle()
    QTest.keyClick(desk.window, Qt.Key.Key_P)
    QApplication.processEvents()
    assert box.isVisible(), desk.foot.line.text()
    assert box.stop.isVisible()
    box.worker.finish()
    window.settle()
    assert not box.stop.isVisible()
    assert box.found is not None, box.line.text()
    assert "steps lie there already" in box.told.text()
    # the key works where the list has the focus, too
    for key, shown in ((QTest.keyPress, box.rough.picture), (QTest.keyRelease, None)):
        key(box, Qt.Key.Key_G)
        assert desk.sheet.instead is shown
    takes = [b for b in box.findChildren(QPushButton) if b.text() == "take it"]
    assert len(takes) == len(box.found.steps)
    QTest.mouseClick(takes[0], Qt.MouseButton.LeftButton)
    window.settle()
    assert sitting.history.place == deeds + 1
    assert len(sitting.scene.steps) == len(before.scene.steps) + 1
    assert not np.array_equal(window.screen(), usual)
    assert "in the order" in [b.text() for b in box.findChildren(QPushButton)]
    desk.take_back()
    window.settle()
    assert sitting.draft == before
    assert "in the order" not in [b.text() for b in box.findChildren(QPushButton)]
    _a_lift_among_the_steps_comes_with_the_caution(window)
    box.close()


def _a_lift_among_the_steps_comes_with_the_caution(window: Window) -> None:
    from glaze.materials.bleach import CAUTION_LINE
    from glaze.region.records import Ellipse, Region
    from viewer.core.roughing import StepFound, StepsFound

    desk, box = window.desk, window.desk.rough
    before = desk.sitting.draft
    assert not box.caution.isVisible()
    lift = Lift(name="highlights 1", region="highlights 1", parts_water=8, tool="dip pen")
    shape = Region(ellipse_mm=(Ellipse(centre=(20, 16), radii=(3, 3)),))
    box.found = StepsFound(1, (StepFound(lift, None, shape, None, None),), ())
    box._show_steps()
    assert box.caution.isVisible()
    assert box.caution.text() == CAUTION_LINE
    words = "bleach, 1 part + 8 parts water, dip pen, touches: 1"
    assert words in [label.text() for label in box.findChildren(QLabel)]
    desk.caution.shown = False
    (button,) = (b for b in box.findChildren(QPushButton) if b.text() == "take it")
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    window.settle()
    assert desk.sitting.scene.steps[-1].liquid == "bleach"
    assert desk.caution.box.isVisible()
    desk.caution.box.close()
    desk.take_back()
    window.settle()
    assert desk.sitting.draft == before


def the_line_says_when_the_model_is_made_ready(window: Window) -> None:
    from viewer.core.warming import NOTE, READY
    from viewer.window.readiness import Readiness

    for seconds, expected in ((0.4, [NOTE, READY]), (0.0, [])):
        heard: list[str] = []
        readiness = Readiness(lambda scene, stop, s=seconds: time.sleep(s), wait_ms=50)
        readiness.told.connect(heard.append)
        readiness.start(window.desk.sitting.scene)
        while readiness.worker.busy:
            QApplication.processEvents()
            readiness.worker.poll()
            time.sleep(0.004)
        readiness.close()
        QTest.qWait(80)
        assert heard == expected


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


def advice_shows_its_place_and_its_cure_is_one_deed(window: Window) -> None:
    desk, adviser = window.desk, window.desk.order.adviser
    moon = window.folder / "moon"
    moon.mkdir()
    (moon / "scene.toml").write_text(MOON, encoding="utf-8")
    assert desk.opening.open_path(moon)
    window.settle()
    adviser.ask()
    adviser.worker.finish()
    window.settle()
    assert adviser.isVisible()
    (row,) = [n for n, one in enumerate(adviser.advice) if "moon" in one.short]
    item = adviser.list.item(row)
    adviser.list.scrollToItem(item)
    where = adviser.list.visualItemRect(item).center()
    QTest.mouseClick(adviser.list.viewport(), Qt.MouseButton.LeftButton, pos=where)
    place, text = desk.rulers.said
    assert text == adviser.advice[row].text
    assert np.hypot(place[0] - 20, place[1] - 20) < 8
    before, deeds = desk.sitting.draft, desk.sitting.history.place
    button = adviser.findChild(QToolButton)
    assert button.text() == "reserve it"
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    window.settle()
    assert desk.sitting.history.place == deeds + 1
    assert desk.sitting.draft.aside == {1}
    desk.take_back()
    window.settle()
    assert desk.sitting.draft == before


def strokes_are_kept_for_a_recovery(window: Window) -> None:
    desk = window.desk
    desk.sitting.choose(None)
    desk.table.brush.take_way("soft")
    window.drag((28, 6), (34, 8))
    draft, masks = replayed(desk.rescue.journal.folder)
    assert draft.scene.steps == desk.sitting.scene.steps
    region = draft.scene.steps[-1].region
    assert np.array_equal(masks[region], desk.sitting.masks[region])
    desk.take_back()
    window.settle()


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
            window.settle()
            assert (desk.window.width(), desk.window.height()) == size, kind
            _all_in_sight(window, (desk.bar, desk.foot, desk.order))
            strip = desk.table.mix.tokens
            if kind == "wash" and size == (1280, 800):
                # the recipe line of four inks is whole, beside its buttons
                assert strip.row.minimumSize().width() <= strip.viewport().width()
    desk.foot.end_tour()
    desk.table.holding.take_kind("wash")
    desk.window.resize(1300, 900)
    window.settle()


def _all_in_sight(window: Window, places: tuple[QWidget, ...]) -> None:
    """Every control lies whole in the window; what may be moved sideways is left out."""
    inside = window.desk.window.rect()
    for place in places:
        for widget in place.findChildren(QWidget):
            moved = any(strip.isAncestorOf(widget) for strip in place.findChildren(QScrollArea))
            if not widget.isVisible() or moved or isinstance(widget, QMenu):
                continue
            corner = widget.mapTo(window.desk.window, QPoint(0, 0))
            where = QRect(corner, widget.size())
            assert inside.contains(where), (widget, where)
            if isinstance(widget, QAbstractButton) and widget.text():
                assert widget.width() >= widget.minimumSizeHint().width() - 2, widget.text()


def every_control_has_a_name_and_can_be_reached_by_keys(window: Window) -> None:
    desk = window.desk
    for place in (desk.bar, desk.foot, desk.order):
        for kind in (QAbstractButton, QComboBox, QLineEdit, QSlider, QListWidget):
            for widget in place.findChildren(kind):
                named = widget.accessibleName() or getattr(widget, "text", str)()
                assert named, widget
                assert widget.focusPolicy() & Qt.FocusPolicy.TabFocus, named
    desk.window.windowHandle().requestActivate()
    desk.window.setFocus()
    window.settle()
    for key, way in (("2", "damp"), ("3", "enclosed"), ("1", "soft")):
        QTest.keyClick(desk.window, key)
        assert desk.sheet.way == way
    QTest.keyClick(desk.window, Qt.Key.Key_K)
    assert desk.sitting.hand.kind == "water lift"
    QTest.keyClick(desk.window, Qt.Key.Key_W)
    assert desk.sitting.hand.kind == "wash"


def another_bottle_begins_the_next_wash(window: Window) -> None:
    desk = window.desk
    desk.sitting.choose(None)
    desk.sitting.hold(replace(desk.sitting.hand, kind="wash", mix="Red 1 + Yellow 1 + water 4"))
    desk.table.brush.take_way("enclosed")
    window.click(30, 10)
    laid = desk.sitting.scene.steps[-1]
    assert "still wet" in desk.table.in_hand.text()
    _press(window, "bottle Blue")
    assert desk.sitting.scene.steps[-1] == laid
    assert desk.sitting.chosen is None
    assert desk.sitting.hand.mix == "Blue 1 part"
    # what was mixed for it stands as a well of its own
    _press(window, f"well {laid.name}")
    assert desk.sitting.hand.mix == laid.mix
    # with a hand on Shift a bottle goes into the mix, and what was named after its mix follows
    desk.sitting.choose(len(desk.sitting.scene.steps) - 1)
    window.settle()
    _press(window, "bottle Blue", Qt.KeyboardModifier.ShiftModifier)
    step = desk.sitting.scene.steps[-1]
    assert step.mix == "Red 1 + Yellow 1 + Blue 1 + water 4"
    assert (laid.name, step.name) == ("red-yellow wash", "red-yellow-blue wash")
    # taken back, the mix is in the hand again as it was, and does what it shows
    desk.take_back()
    window.settle()
    assert desk.sitting.hand.mix == laid.mix
    assert desk.table.mix.written.text() == laid.mix
    desk.take_back()
    desk.table.brush.take_way("soft")
    window.settle()


def _press(window: Window, name: str, with_keys=Qt.KeyboardModifier.NoModifier) -> None:
    buttons = window.desk.table.findChildren(QAbstractButton)
    (button,) = [b for b in buttons if b.accessibleName() == name]
    QTest.mouseClick(button, Qt.MouseButton.LeftButton, with_keys)
    window.settle()


def what_lies_here_follows_what_is_laid_and_taken_back(window: Window) -> None:
    desk = window.desk
    desk.sitting.choose(None)
    desk.table.brush.take_way("enclosed")
    QTest.mouseMove(desk.sheet.canvas(), window.at(30, 10))
    window.settle()
    before = desk.order.here.steps.text()
    window.click(30, 10)
    name = desk.sitting.scene.steps[-1].name
    assert name in desk.order.here.steps.text()
    desk.take_back()
    window.settle()
    assert desk.order.here.steps.text() == before
    desk.table.brush.take_way("soft")


def what_cannot_be_laid_is_said_where_it_was_tried(window: Window) -> None:
    desk = window.desk
    desk.sitting.choose(None)
    desk.table.holding.take_kind("lift")
    desk.table.brush.take_way("graded")
    window.drag((8, 8), (30, 8))
    (place, text) = desk.rulers.said
    assert "Only a wash" in text
    assert np.allclose(place, (8, 8), atol=0.3)
    # a wash alone is laid and runs out
    desk.table.holding.take_kind("wash")
    window.drag((8, 8), (30, 8))
    step = desk.sitting.scene.steps[-1]
    assert step.graded.to_mm[0] == round(step.graded.to_mm[0], 2)
    assert abs(step.graded.to_mm[0] - 30) < 0.3
    desk.take_back()
    desk.table.brush.take_way("soft")
    window.settle()


def _answer(window: Window, *texts: str) -> list[str]:
    """Answer boxes that will wait for an answer, one text after the other.

    A text is typed where a line is asked for, or with a star the button that says it is pressed.
    Gives what the boxes said before each answer.
    """
    waiting, seen = list(texts), []

    def look() -> None:
        box = QApplication.activeModalWidget()
        if box is None:
            return
        if not waiting:
            timer.stop()
            return
        seen.append(" ".join(label.text() for label in box.findChildren(QLabel)))
        text = waiting.pop(0)
        if text.startswith("*"):
            buttons = box.findChildren(QAbstractButton)
            (button,) = [b for b in buttons if text[1:] in b.text()]
            QTest.mouseClick(button, Qt.MouseButton.LeftButton)
        else:
            line = box.findChild(QLineEdit)
            line.setText(text)
            QTest.keyClick(line, Qt.Key.Key_Return)

    timer = QTimer(window.desk)
    timer.timeout.connect(look)
    timer.start(60)
    return seen


def a_picture_without_a_size_asks_until_it_has_one(window: Window) -> None:
    desk = window.desk
    photo = window.folder / "photo.png"
    write_sketch(photo, size=(236, 167), dpi=72)
    seen = _answer(window, "large", "40 x 40", "40")
    assert desk.opening.open_path(photo)
    window.settle()
    assert "says no size" in seen[1]
    assert "another shape" in seen[2]
    assert abs(desk.sitting.size_mm[0] - 40) < 0.2
    assert abs(desk.sitting.size_mm[1] - 28.3) < 0.2
    # it lies as an A sheet does, and those are offered
    _answer(window, "*A6 (148 x 105 mm)")
    assert desk.opening.open_path(photo)
    assert abs(desk.sitting.size_mm[0] - 148) < 1


def _drag_corner(box, n: int, to: tuple[float, float]) -> None:
    """Drag a ring of a corners box to a place of the photo [px]."""
    picture = box.picture
    start = picture.place(n).toPoint()
    end = (QPointF(*to) * picture.share).toPoint()
    QTest.mousePress(picture, Qt.MouseButton.LeftButton, pos=start)
    for share in (0.3, 0.7, 1.0):
        QTest.mouseMove(picture, start + (end - start) * share)
        QTest.qWait(5)
    QTest.mouseRelease(picture, Qt.MouseButton.LeftButton, pos=end)


def _press_words(place: QWidget, words: str) -> None:
    """Press the one button that begins so."""
    (button,) = [b for b in place.findChildren(QPushButton) if b.text().startswith(words)]
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)


def a_photo_of_a_sketch_is_straightened_by_its_corners(window: Window) -> None:
    from PIL import Image

    desk, sketch = window.desk, window.folder / "scene" / "sketch.png"
    photo = window.folder / "slanted.png"
    photographed(Image.open(sketch), photo)
    before = photo.read_bytes()
    # a photo says no size: the box that asks for it offers to straighten it
    _answer(window, "*it is a photo")
    desk.opening.open_path(photo)
    desk.errands.worker.finish()
    window.settle()
    box = desk.opening.corners
    assert box.isVisible()
    assert np.abs(box.picture.corners - SLANTED).max() < 12, "the sheet isn't found"
    for n, corner in enumerate(SLANTED):
        _drag_corner(box, n, (450.0, 350.0))
        _drag_corner(box, n, corner)
    # and by keys: Space takes the next ring, an arrow moves it there and back
    box.picture.setFocus()
    at = box.picture.corners.copy()
    for key in (Qt.Key.Key_Space, Qt.Key.Key_Right, Qt.Key.Key_Left):
        QTest.keyClick(box.picture, key)
    assert np.allclose(box.picture.corners, at)
    assert np.abs(at - SLANTED).max() < 1.5
    box.size_line.setText("large")
    _press_words(box, "open it")
    assert "says no size" in box.wrong.text()
    box.size_line.setText("40 x 32")
    _press_words(box, "open it")
    desk.errands.worker.finish()
    window.settle()
    assert not box.isVisible()
    assert np.allclose(desk.sitting.size_mm, (40, 32), atol=0.1)
    # square again: dark where the drawing is dark, by Pillow's own resizing of it
    line = desk.sitting.sketch.line
    size = line.shape[1], line.shape[0]
    drawn = np.asarray(Image.open(sketch).convert("L").resize(size)) < 128
    assert np.corrcoef(drawn.ravel(), line.ravel() < 0.5)[0, 1] > 0.6
    assert photo.read_bytes() == before
    target = window.folder / "straightened"
    save(desk.sitting, target)
    assert load_scene(target).sketch == "slanted straight.png"


def a_rough_photographed_at_a_slant_is_laid_by_its_corners(window: Window) -> None:
    from PIL import Image

    desk, box = window.desk, window.desk.rough
    assert desk.opening.open_path(window.folder / "scene")
    window.settle()
    # no line of the sketch's in it, from rose on the left to blue on the right
    share = np.broadcast_to(np.linspace(0, 1, 400)[None, :, None], (320, 400, 3))
    rough = np.rint((1 - share) * (226, 170, 140) + share * (140, 170, 226)).astype(np.uint8)
    # one of another shape is asked for its corners by itself
    wide = window.folder / "wide rough.png"
    Image.fromarray(rough[:100]).save(wide)
    box.open_path(wide)
    for _ in range(2):
        desk.errands.worker.finish()
        window.settle()
    assert "doesn't fit the sheet" in desk.foot.line.text(), desk.foot.line.text()
    assert box.corners.isVisible()
    _press_words(box.corners, "cancel")
    photo = window.folder / "slanted rough.png"
    photographed(Image.fromarray(rough), photo, (1300, 700))
    box.open_path(photo)
    desk.errands.worker.finish()
    (ask,) = [a for a in desk.bar.menus["ask"].actions() if "corners" in a.text()]
    ask.trigger()
    desk.errands.worker.finish()
    window.settle()
    assert box.corners.isVisible()
    for n, corner in enumerate(SLANTED):
        _drag_corner(box.corners, n, corner)
    _press_words(box.corners, "lay it over")
    desk.errands.worker.finish()
    window.settle()
    assert "by its corners" in desk.foot.line.text()
    shown = box.rough.picture.levels[0]
    rows, columns = shown.shape[:2]
    for row in (0.1, 0.5, 0.9):
        for column in (0.1, 0.5, 0.9):
            there = shown[int(row * rows), int(column * columns)].astype(int)
            wanted = (226 - 86 * column, 170, 140 + 86 * column)
            assert np.abs(there - wanted).max() <= 3, (row, column, there)
    box.rough = None


def a_sketch_deleted_while_it_is_open_is_worked_on_and_saved(window: Window) -> None:
    desk, own = window.desk, window.folder / "gone" / "sketch.png"
    own.parent.mkdir()
    write_sketch(own)
    assert desk.opening.open_path(own)
    desk.table.brush.take_way("soft")
    window.drag((10, 10), (20, 20))
    own.unlink()
    window.drag((12, 22), (30, 22))
    desk.take_back()
    desk.do_again()
    desk.sheet.fit()
    window.settle()
    assert len(desk.sitting.scene.steps) == 1
    seen = window.picture()
    assert desk.opening._try_save(window.folder / "gone" / "kept")
    assert np.array_equal(render(resolve(load_scene(window.folder / "gone" / "kept"))).rgb, seen)


def a_scene_saved_elsewhere_meanwhile_is_noticed_and_nothing_is_lost(window: Window) -> None:
    desk, home = window.desk, window.folder / "shared"
    shutil.copytree(window.folder / "scene", home)
    assert desk.opening.open_path(home)
    desk.sitting.choose(None)
    window.drag((10, 10), (20, 20))
    mine = len(desk.sitting.scene.steps)
    theirs = (home / "scene.toml").read_text() + "\n# by somebody else\n"
    (home / "scene.toml").write_text(theirs)
    QApplication.sendEvent(desk.window, QEvent(QEvent.Type.WindowActivate))
    assert "changed outside" in desk.foot.line.text()
    for answer, kept in (("*cancel", False), ("*both", True)):
        _answer(window, answer)
        desk.opening.save()
        desk.errands.worker.finish()
        window.settle()
        assert (home / "scene.toml").read_text() == theirs
        assert desk.sitting.changed != kept
    assert len(load_scene(window.folder / "shared 2").steps) == mine


def another_scene_can_be_put_on_the_table(window: Window) -> None:
    desk = window.desk
    assert desk.opening.open_path(window.folder / "scene" / "sketch.png")
    window.settle()
    assert desk.order.cards.count() == 0
    assert desk.sitting.home is None
    window.drag((10, 10), (20, 20))
    assert len(desk.sitting.scene.steps) == 1
    assert desk.opening.open_path(window.folder / "saved")
    window.settle()
    expected = render(resolve(load_scene(window.folder / "saved"))).rgb
    assert np.array_equal(window.picture(), expected)
    assert not desk.opening.open_path(window.folder / "nowhere.zip")
    assert "nowhere" in desk.foot.line.text()


def a_sitting_left_behind_can_be_gone_on_with(window: Window) -> None:
    desk = window.desk
    window.drag((10, 10), (20, 20))
    picture = window.picture()
    desk.rescue.journal.show()
    folder = desk.rescue.journal.folder
    note = json.loads((folder / NOTE).read_text())
    lost = window.folder / "kept" / "lost"
    shutil.copytree(folder, lost)
    (lost / NOTE).write_text(json.dumps({**note, "pid": 2**22 + 1}))
    desk.take_back()
    window.settle()
    assert not np.array_equal(window.picture(), picture)
    desk.rescue.offer()
    shown = desk.rescue.list
    assert any(label.pixmap().width() for label in shown.findChildren(QLabel))
    words = " ".join(label.text() for label in shown.findChildren(QLabel))
    assert desk.sitting.scene.title in words
    assert time.strftime("%Y") in words
    take = {b.text(): b for b in shown.findChildren(QPushButton)}["go on with it"]
    QTest.mouseClick(take, Qt.MouseButton.LeftButton)
    window.settle()
    assert not shown.isVisible()
    assert np.array_equal(window.picture(), picture)
    assert desk.rescue.journal.folder == lost
    assert left_behind(window.folder / "kept") == []
    assert desk.sitting.changed
    save(desk.sitting, window.folder / "recovered.zip")


def the_plugin_widget_brings_the_desk_into_an_open_napari(window: Window) -> None:
    import napari

    from viewer.plugin import read

    viewer = napari.Viewer(show=True)
    for layer in read(str(window.folder / "scene")):
        viewer.add_layer(napari.layers.Layer.create(*layer))
    # as napari's own menu brings it, with a stand-in for the viewer
    _, widget = viewer.window.add_plugin_dock_widget("glaze-lift", "glaze desk")
    widget.open_desk()
    assert [s.name for s in widget.desk.sitting.scene.steps][:2] == ["yellow", "shadow"]
    shapes = viewer.add_shapes([[[4, 4], [4, 14], [12, 14], [12, 4]]], name="a leaf")
    shape = widget.desk.sitting.painting.shape
    labels = viewer.add_labels(np.zeros(shape, np.uint8), name="a stalk")
    labels.data[20:60, 30:80] = 1
    QApplication.processEvents()
    assert widget.region.isVisible()
    for layer in (shapes, labels):
        viewer.layers.selection.active = layer
        QTest.mouseClick(widget.region, Qt.MouseButton.LeftButton)
        assert layer.name in widget.desk.sitting.scene.regions, widget.words.text()
    assert widget.desk.sitting.masks["a stalk"][30, 40] == 65535
    widget.desk.sitting.finish()
    widget.desk.close()
    viewer.close()


def a_sketch_dropped_on_the_window_goes_on_the_desk(window: Window) -> None:
    desk = window.desk
    desk.opening.may_leave = lambda: True
    content = QMimeData()
    content.setUrls([QUrl.fromLocalFile(str(window.folder / "scene" / "sketch.png"))])
    given = Qt.DropAction.CopyAction, content, Qt.MouseButton.LeftButton
    layers, canvas = len(window.viewer.layers), desk.sheet.canvas()
    enter = QDragEnterEvent(QPoint(300, 300), *given, Qt.KeyboardModifier.NoModifier)
    QApplication.sendEvent(canvas, enter)
    drop = QDropEvent(QPointF(300, 300), *given, Qt.KeyboardModifier.NoModifier)
    QApplication.sendEvent(canvas, drop)
    desk.errands.worker.finish()
    window.settle()
    assert desk.sitting.scene.title == "sketch"
    assert not desk.sitting.scene.steps
    assert len(window.viewer.layers) == layers


def ten_things_can_be_tried_on_a_bare_sketch(window: Window) -> None:
    desk = window.desk
    (ten,) = [a for a in desk.bar.menus["ask"].actions() if a.text() == "ten things to try"]
    ten.trigger()
    window.settle()
    assert not desk.sitting.scene.steps
    assert desk.foot.words.text().startswith("1 of 10")
    assert not any(button.isEnabled() for button in desk.order.buttons)
    another = next(b for b in desk.foot.turns if b.text() == "another")
    QTest.mouseClick(another, Qt.MouseButton.LeftButton)
    assert desk.foot.words.text().startswith("2 of 10")
    desk.foot.tour.turn(-1)
    # doing it goes on
    desk.table.brush.take_way("enclosed")
    window.click(100, 20)
    assert desk.foot.words.text().startswith("2 of 10"), desk.foot.words.text()
    assert len(desk.sitting.scene.steps) == 1
    desk.foot.end_tour()


def closing_the_window_asks_when_something_has_changed(window: Window) -> None:
    desk = window.desk
    del desk.opening.may_leave  # which another check has put there
    desk.sitting.choose(None)
    window.drag((10, 10), (20, 20))
    seen = _answer(window, "*cancel")
    desk.window.close()
    window.settle()
    assert "has changed" in seen[0]
    assert not desk.closed
    assert desk.window.isVisible()


def closing_in_peace_leaves_nothing_behind(window: Window) -> None:
    window.desk.close()
    window.viewer.close()
    assert left_behind(window.folder / "kept") == []
    assert list((window.folder / "kept").glob("*")) == []


CHECKS = (
    the_picture_is_that_of_preview,
    the_canvas_shows_the_picture_itself,
    a_real_mouse_stroke_lays_a_wash_where_it_went,
    what_is_seen_is_what_is_saved,
    keys_take_back_and_do_again,
    a_click_fills_an_enclosed_area,
    a_dragged_band_and_a_cut_edge_lie_where_they_were_drawn,
    bleach_in_hand_shows_its_caution_and_lays_a_lift,
    a_dragged_number_dilutes_the_step_in_hand_as_one_deed,
    a_typed_number_gives_the_keys_back,
    a_held_key_shows_the_bare_sketch,
    a_held_key_is_let_go_where_its_release_cannot_be_seen,
    the_order_shows_every_step_and_a_click_on_its_dot_sets_it_aside,
    the_pointer_reads_what_lies_there,
    napari_cannot_change_the_colours,
    both_ways_of_upload_show_the_same,
    thin_lines_stay_when_the_sheet_is_shown_small,
    a_right_drag_moves_the_sheet_and_lays_nothing,
    looking_otherwise_comes_back,
    napari_lists_can_be_had_and_folded_again,
    the_menus_ask_and_do,
    a_value_dragged_onto_a_place_offers_three_ways_to_it,
    an_area_is_outlined_before_it_is_filled_and_a_drag_fills_several,
    the_brush_is_a_circle_as_wide_as_its_mark_and_hides_nothing,
    versions_are_kept_compared_and_gone_on_from,
    a_rough_is_flipped_to_and_its_steps_are_taken_one_by_one,
    the_line_says_when_the_model_is_made_ready,
    both_walls_are_neutral,
    the_binding_loses_no_references,
    the_window_fits_a_laptop_and_no_words_make_it_grow,
    every_control_has_a_name_and_can_be_reached_by_keys,
    another_bottle_begins_the_next_wash,
    what_lies_here_follows_what_is_laid_and_taken_back,
    what_cannot_be_laid_is_said_where_it_was_tried,
    advice_shows_its_place_and_its_cure_is_one_deed,
    strokes_are_kept_for_a_recovery,
    a_picture_without_a_size_asks_until_it_has_one,
    a_photo_of_a_sketch_is_straightened_by_its_corners,
    a_sketch_deleted_while_it_is_open_is_worked_on_and_saved,
    a_rough_photographed_at_a_slant_is_laid_by_its_corners,
    a_scene_saved_elsewhere_meanwhile_is_noticed_and_nothing_is_lost,
    another_scene_can_be_put_on_the_table,
    a_sitting_left_behind_can_be_gone_on_with,
    a_sketch_dropped_on_the_window_goes_on_the_desk,
    ten_things_can_be_tried_on_a_bare_sketch,
    closing_the_window_asks_when_something_has_changed,
    closing_in_peace_leaves_nothing_behind,
    the_plugin_widget_brings_the_desk_into_an_open_napari,
)


def add_and_remove_layers(window: Window) -> None:
    """A kept reference to a layer's inner parts would crash here at the fourth round."""
    desk = window.desk
    for _ in range(12):
        layer = window.viewer.add_labels(np.zeros(desk.sitting.painting.shape, np.uint8))
        window.viewer.layers.selection.active = desk.sheet.layer
        desk.sitting.choose(None)
        window.drag((10, 26), (14, 27))
        window.viewer.layers.remove(layer)
        desk.take_back()
        window.settle(0.05)


def paint_while_the_sheet_is_worked_out(window: Window) -> None:
    """Two threads in one kernel of numba's own threads would abort here."""
    desk = window.desk
    for _ in range(5):
        desk.sitting.preview.touch(desk.sitting.preview.pyramid.bounds)
        desk.sitting.choose(None)
        canvas = desk.sheet.canvas()
        QTest.mousePress(canvas, Qt.MouseButton.LeftButton, pos=window.at(8, 8))
        for x in range(8, 30):
            desk.sitting.preview.touch(desk.sitting.preview.pyramid.bounds)
            QTest.mouseMove(canvas, window.at(x, 8 + x / 3))
            QTest.qWait(5)
        QTest.mouseRelease(canvas, Qt.MouseButton.LeftButton, pos=window.at(30, 18))
        desk.take_back()
    window.settle()


TRAPS = (add_and_remove_layers, paint_while_the_sheet_is_worked_out)


def main(folder: str, *names: str) -> None:
    window = Window(Path(folder), open_any(Path(folder) / "scene"))
    for check in (one for one in (*CHECKS, *CONTROLS, *TRAPS) if one.__name__ in names):
        problem = ""
        try:
            check(window)
        except Exception:
            problem = traceback.format_exc()
        print(json.dumps({"check": check.__name__, "problem": problem}), flush=True)
    if not window.desk.closed:
        window.desk.close()
        window.viewer.close()
    QApplication.processEvents()


if __name__ == "__main__":
    main(*sys.argv[1:])
