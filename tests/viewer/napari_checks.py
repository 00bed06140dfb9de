"""Checks of what napari has of its own round the sheet, run by desk_checks.py."""

from __future__ import annotations

import numpy as np
from desk_hand import Window
from qtpy.QtCore import Qt
from qtpy.QtTest import QTest
from qtpy.QtWidgets import QDockWidget


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


def napari_lists_can_be_had_and_folded_again(window: Window) -> None:
    desk = window.desk
    assert not desk.window.menuBar().isVisible()
    size = desk.window.size()
    desk.window.resize(1100, 700)
    window.settle()
    desk.surround.fold_napari(False)
    window.settle()
    assert desk.window.menuBar().isVisible()
    assert desk.window.size().toTuple() == (1100, 700), "it would grow off a small screen"
    # only what napari shows of itself: its console stays shut
    docks = [d for d in desk.window.findChildren(QDockWidget) if d not in desk.surround.docks]
    assert {d.objectName() for d in docks if not d.isHidden()} == {"layer controls", "layer list"}
    desk.surround.fold_napari(True)
    window.settle()
    assert not desk.window.menuBar().isVisible()
    desk.window.resize(size)
    window.settle()


def naparis_own_keys_leave_the_sheet_as_it_is(window: Window) -> None:
    desk, viewer = window.desk, window.viewer
    window.to_front()
    desk.sheet.canvas().setFocus()
    keys = Qt.Key.Key_T, Qt.Key.Key_E, Qt.Key.Key_G, Qt.Key.Key_Delete, Qt.Key.Key_Backspace
    for key in keys:
        QTest.keyClick(desk.window.windowHandle(), key, Qt.KeyboardModifier.ControlModifier)
        window.settle(0.05)
    assert tuple(viewer.dims.order) == (0, 1)
    assert not viewer.grid.enabled
    assert desk.sheet.layer in viewer.layers


def a_sheet_taken_out_of_naparis_list_is_put_back(window: Window) -> None:
    desk = window.desk
    window.viewer.layers.remove(desk.sheet.layer)
    window.settle()
    assert list(window.viewer.layers) == [desk.sheet.layer]
    desk.sitting.choose(None)
    before = len(desk.sitting.scene.steps)
    window.drag((28, 26), (35, 28))
    assert len(desk.sitting.scene.steps) == before + 1
    desk.take_back()
    window.settle()
