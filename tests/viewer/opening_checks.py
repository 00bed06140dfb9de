"""What is opened, saved, found again and closed; run by desk_checks.py."""

from __future__ import annotations

import json
import shutil
import time

import numpy as np
from desk_hand import SLANTED, Window, answer, drag_corner, photographed, press_words
from qtpy.QtCore import QEvent, QMimeData, QPoint, QPointF, Qt, QUrl
from qtpy.QtGui import QDragEnterEvent, QDropEvent
from qtpy.QtTest import QTest
from qtpy.QtWidgets import (
    QApplication,
    QLabel,
    QPushButton,
)
from small_scenes import write_sketch

from glaze.painting.settle import resolve
from glaze.pipeline import render
from glaze.scene.file import load_scene
from viewer.core.keep import save
from viewer.core.recovery import NOTE, left_behind


def a_picture_without_a_size_asks_until_it_has_one(window: Window) -> None:
    desk = window.desk
    photo = window.folder / "photo.png"
    write_sketch(photo, size=(236, 167), dpi=72)
    seen = answer(window, "large", "40 x 40", "40")
    assert desk.opening.open_path(photo)
    window.settle()
    assert "says no size" in seen[1]
    assert "another shape" in seen[2]
    assert abs(desk.sitting.size_mm[0] - 40) < 0.2
    assert abs(desk.sitting.size_mm[1] - 28.3) < 0.2
    # it lies as an A sheet does, and those are offered
    answer(window, "*A6 (148 x 105 mm)")
    assert desk.opening.open_path(photo)
    assert abs(desk.sitting.size_mm[0] - 148) < 1


def a_photo_of_a_sketch_is_straightened_by_its_corners(window: Window) -> None:
    from PIL import Image

    desk, sketch = window.desk, window.folder / "scene" / "sketch.png"
    photo = window.folder / "slanted.png"
    photographed(Image.open(sketch), photo)
    before = photo.read_bytes()
    # a photo says no size: the box that asks for it offers to straighten it
    answer(window, "*it is a photo")
    desk.opening.open_path(photo)
    desk.errands.worker.finish()
    window.settle()
    box = desk.opening.corners
    assert box.isVisible()
    assert np.abs(box.picture.corners - SLANTED).max() < 12, "the sheet isn't found"
    for n, corner in enumerate(SLANTED):
        drag_corner(box, n, (450.0, 350.0))
        drag_corner(box, n, corner)
    # and by keys: Space takes the next ring, an arrow moves it there and back
    box.picture.setFocus()
    at = box.picture.corners.copy()
    for key in (Qt.Key.Key_Space, Qt.Key.Key_Right, Qt.Key.Key_Left):
        QTest.keyClick(box.picture, key)
    assert np.allclose(box.picture.corners, at)
    assert np.abs(at - SLANTED).max() < 1.5
    box.size_line.setText("large")
    press_words(box, "open it")
    assert "says no size" in box.wrong.text()
    box.size_line.setText("40 x 32")
    press_words(box, "open it")
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
    for said, kept in (("*cancel", False), ("*both", True)):
        answer(window, said)
        desk.opening.save()
        desk.errands.worker.finish()
        window.settle()
        assert (home / "scene.toml").read_text() == theirs
        assert desk.sitting.changed != kept
    assert len(load_scene(window.folder / "shared 2").steps) == mine


def another_scene_can_be_put_on_the_table(window: Window) -> None:
    desk, kept = window.desk, window.folder / "put away"
    save(desk.sitting, kept)
    desk.table.brush.take_way("cut")
    window.click(10, 10)
    assert len(desk.sheet.guide) == 1
    assert desk.opening.open_path(window.folder / "scene" / "sketch.png")
    window.settle()
    assert desk.sheet.guide == [], "an edge that was begun on another sheet"
    desk.table.brush.take_way("soft")
    assert desk.order.cards.count() == 0
    assert desk.sitting.home is None
    window.drag((10, 10), (20, 20))
    assert len(desk.sitting.scene.steps) == 1
    assert desk.opening.open_path(kept)
    window.settle()
    expected = render(resolve(load_scene(kept))).rgb
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


def _change(window: Window) -> None:
    """Lay a stroke that isn't saved."""
    vars(window.desk.opening).pop("may_leave", None)  # which another check has put there
    window.desk.sitting.choose(None)
    window.desk.table.brush.take_way("soft")
    window.drag((10, 10), (20, 20))
    assert window.desk.sitting.changed


def closing_the_window_asks_when_something_has_changed(window: Window) -> None:
    desk = window.desk
    _change(window)
    seen = answer(window, "*cancel")
    desk.window.close()
    window.settle()
    assert "has changed" in seen[0]
    assert not desk.closed
    assert desk.window.isVisible()


def closing_by_keys_asks_once_and_in_our_words(window: Window) -> None:
    desk = window.desk
    _change(window)
    # with napari's own menus in sight as well, which have the same keys
    for key, folded in ((Qt.Key.Key_W, False), (Qt.Key.Key_Q, False), (Qt.Key.Key_W, True)):
        desk.surround.fold_napari(folded)
        window.to_front()
        seen = answer(window, "*cancel")
        QTest.keyClick(desk.window, key, Qt.KeyboardModifier.ControlModifier)
        window.settle()
        assert len(seen) == 1
        assert "has changed" in seen[0]
        assert desk.window.isVisible()


def closing_in_peace_leaves_nothing_behind(window: Window) -> None:
    window.desk.close()
    window.viewer.close()
    assert left_behind(window.folder / "kept") == []
    assert list((window.folder / "kept").glob("*")) == []


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
