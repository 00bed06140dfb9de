"""What is compared and chosen from: roughs, versions, ways to a value; run by desk_checks.py."""

from __future__ import annotations

import numpy as np
from desk_hand import SLANTED, Window, drag_corner, photographed, press_words, take_way
from qtpy.QtCore import QPoint, Qt
from qtpy.QtGui import QColor
from qtpy.QtTest import QTest
from qtpy.QtWidgets import (
    QLabel,
    QPushButton,
    QRadioButton,
    QScrollArea,
)

from glaze.step.lift_step import Lift
from viewer.core.versions import keep_version


def versions_are_kept_compared_and_gone_on_from(window: Window) -> None:
    desk, box = window.desk, window.desk.versions
    window.to_front()
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
        # the place, 18 and 16 mm in a sheet of 40 by 32, is in the middle of 30 by 30 mm shown
        as_it_is, *ways = (_grey_in_the_middle(label) for label in shown)
        # lifted to near the paper's white it is above 9, and far above 3: each way shows it darker
        darker = [as_it_is - grey for grey in ways]
        assert min(darker) > (100 if value == 3 else 3), (as_it_is, ways)
        assert desk.three_ways.caution.isVisible() == caution
        assert desk.three_ways.caution.text() == CAUTION_LINE
    way, pixel = desk.three_ways.asked.ways[1], desk.three_ways.pixel
    promised = close_up(desk.sitting.settling.worked_out(way.draft), pixel)
    take_way(window, 1)
    assert desk.sitting.history.place == deeds + 1
    assert desk.sitting.draft == way.draft
    assert np.array_equal(close_up(desk.sitting.painting, pixel), promised)
    desk.take_back()
    window.settle()
    assert desk.sitting.draft == before


def _grey_in_the_middle(label: QLabel) -> float:
    """How light a small picture is in its middle, 0-255."""
    image = label.pixmap().toImage()
    rows, columns = (range(n // 2 - 3, n // 2 + 4) for n in (image.height(), image.width()))
    return float(np.mean([image.pixelColor(x, y).lightness() for y in rows for x in columns]))


def a_rough_is_flipped_to_and_its_steps_are_taken_one_by_one(window: Window) -> None:
    from PIL import Image

    desk, sitting = window.desk, window.desk.sitting
    canvas, usual, box = desk.sheet.canvas(), window.screen(), window.desk.rough
    sitting.choose(None)
    before, deeds = sitting.draft, sitting.history.place
    window.to_front()
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
    window.to_front()
    window.settle()
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
    window.to_front()
    for place in ((25.5, 22), (26, 22)):
        QTest.mouseMove(canvas, window.at(*place))
        window.settle()
    QTest.keyClick(desk.window, Qt.Key.Key_P)
    assert box.isVisible(), desk.foot.line.text()
    assert box.stop.isVisible()
    box.worker.finish()
    window.settle()
    assert not box.stop.isVisible()
    assert box.found is not None, box.line.text()
    assert "steps lie there: these go over them" in box.told.text()
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
    # all of them over what lies there bring the sheet nearer to the rough
    for _ in takes[1:]:
        QTest.mouseClick(
            next(b for b in box.findChildren(QPushButton) if b.text() == "take it"),
            Qt.MouseButton.LeftButton,
        )
        window.settle()
    painted = window.screen()[int(y * height), int(x * width)]
    assert _apart(painted, held) < _apart(usual[int(y * height), int(x * width)], held)
    for _ in takes:
        desk.take_back()
    window.settle()
    assert sitting.draft == before
    assert "in the order" not in [b.text() for b in box.findChildren(QPushButton)]
    _a_lift_among_the_steps_comes_with_the_caution(window)
    box.close()


def _apart(one: np.ndarray, other: np.ndarray) -> float:
    """CIEDE2000 between two pixels, by colour-science."""
    import colour

    lab = [colour.XYZ_to_Lab(colour.sRGB_to_XYZ(pixel / 255)) for pixel in (one, other)]
    return float(colour.delta_E(*lab))


def _a_lift_among_the_steps_comes_with_the_caution(window: Window) -> None:
    from glaze.materials.bleach import CAUTION_LINE
    from glaze.region.records import Ellipse, Region
    from viewer.core.rough_steps import StepFound, StepsFound

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
    press_words(box.corners, "cancel")
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
        drag_corner(box.corners, n, corner)
    press_words(box.corners, "lay it over")
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
