"""What is laid in the window by mouse and keys, and taken back; run by desk_checks.py."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from desk_hand import Window
from qtpy.QtCore import QEvent, Qt
from qtpy.QtGui import QFocusEvent
from qtpy.QtTest import QTest
from qtpy.QtWidgets import QApplication, QLabel

from glaze.painting.settle import resolve
from glaze.pipeline import render
from glaze.scene.file import load_scene
from glaze.step.lift_step import Lift
from glaze.step.wash_step import Wash
from viewer.core.brush import Brush
from viewer.core.keep import save
from viewer.core.recovery import replayed


def the_picture_is_that_of_preview(window: Window) -> None:
    expected = render(resolve(load_scene(window.folder / "scene"))).rgb
    assert np.array_equal(window.picture(), expected)


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
    per_mm = desk.sitting.painting.dpi / 25.4
    # so quick that no move between is heard: it ends where the pen goes up
    canvas = desk.sheet.canvas()
    QTest.mousePress(canvas, Qt.MouseButton.LeftButton, pos=window.at(26, 26))
    QTest.mouseRelease(canvas, Qt.MouseButton.LeftButton, pos=window.at(36, 28))
    window.settle()
    quick = desk.sitting.masks[desk.sitting.scene.steps[-1].region]
    for x, y in ((26, 26), (31, 27), (36, 28)):
        assert quick[round(y * per_mm), round(x * per_mm)] > 60_000, (x, y)
    desk.take_back()
    window.settle()
    window.drag((26, 26), (36, 28))
    step = desk.sitting.scene.steps[-1]
    assert isinstance(step, Wash)
    assert step.mix == "Blue 3 + water 6"
    mask = desk.sitting.masks[step.region]
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


def keys_wait_while_the_pen_is_down(window: Window) -> None:
    desk, canvas = window.desk, window.desk.sheet.canvas()
    desk.table.brush.take_way("soft")
    desk.sitting.choose(None)
    window.to_front()
    before = [step.name for step in desk.sitting.scene.steps]
    QTest.mousePress(canvas, Qt.MouseButton.LeftButton, pos=window.at(28, 26))
    QTest.mouseMove(canvas, window.at(31, 27))
    for key in (Qt.Key.Key_8, Qt.Key.Key_D, Qt.Key.Key_V):
        QTest.keyClick(desk.window, key)
    QTest.mouseRelease(canvas, Qt.MouseButton.LeftButton, pos=window.at(35, 28))
    window.settle()
    assert len(desk.sitting.scene.steps) == len(before) + 1
    assert desk.sitting.chosen == len(before)
    assert not desk.versions.isVisible()
    desk.take_back()
    window.settle()
    assert [step.name for step in desk.sitting.scene.steps] == before


def a_stroke_ends_where_its_release_cannot_be_seen(window: Window) -> None:
    desk, canvas = window.desk, window.desk.sheet.canvas()
    desk.sitting.choose(None)
    deeds = desk.sitting.history.place
    QTest.mousePress(canvas, Qt.MouseButton.LeftButton, pos=window.at(28, 26))
    QTest.mouseMove(canvas, window.at(31, 27))
    QApplication.sendEvent(canvas, QFocusEvent(QEvent.Type.FocusOut))
    assert not desk.sheet.is_down
    assert desk.sitting.history.place == deeds + 1
    QTest.mouseRelease(canvas, Qt.MouseButton.LeftButton, pos=window.at(31, 27))
    window.settle()
    assert desk.sitting.history.place == deeds + 1
    desk.take_back()
    window.settle()


def keys_take_back_and_do_again(window: Window) -> None:
    desk = window.desk
    desk.sitting.choose(None)
    window.drag((28, 26), (35, 28))
    after, count = window.picture(), len(desk.sitting.scene.steps)
    window.to_front()
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
    assert window.wait_for(lambda: sheet.areas is not None)
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
    # napari leaves moves out when they come fast; here all of them
    QTest.mousePress(canvas, Qt.MouseButton.LeftButton, pos=window.at(30, 10))
    QTest.mouseRelease(canvas, Qt.MouseButton.LeftButton, pos=window.at(37, 10))
    window.settle()
    assert desk.sitting.history.back_name == "fill 2 areas"
    desk.take_back()
    window.settle()
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


def a_right_drag_moves_the_sheet_and_lays_nothing(window: Window) -> None:
    desk, camera = window.desk, window.viewer.scene.camera
    count, centre = len(desk.sitting.history.deeds), camera.center
    let_go = window.at(14, 12)
    window.drag((10, 10), (14, 12), button=Qt.MouseButton.RightButton)
    assert len(desk.sitting.history.deeds) == count
    assert camera.center != centre
    # what was taken hold of went with the hand
    assert (window.at(10, 10) - let_go).manhattanLength() <= 2
    desk.sheet.fit()
    window.settle()


def a_sheet_taken_hold_of_goes_to_where_the_hand_lets_go(window: Window) -> None:
    """Napari leaves moves out when they come fast; here all of them."""
    canvas, let_go = window.desk.sheet.canvas(), window.at(14, 12)
    held, right = window.at(10, 10), Qt.MouseButton.RightButton
    QTest.mousePress(canvas, right, pos=held)
    QTest.mouseRelease(canvas, right, pos=let_go)
    window.settle()
    assert (window.at(10, 10) - let_go).manhattanLength() <= 2
    window.desk.sheet.fit()
    window.settle()


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
