"""The table, the order and the advice beside the sheet; run by desk_checks.py."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from desk_hand import Window, take_way
from qtpy.QtCore import QPoint, Qt
from qtpy.QtTest import QTest
from qtpy.QtWidgets import (
    QAbstractButton,
    QLineEdit,
    QToolButton,
)

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
        window.to_front()
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
    here = desk.order.here
    assert window.wait_for(lambda: "at 30, 10 mm" in here.words.text())
    before = here.steps.text()
    window.click(30, 10)
    name = desk.sitting.scene.steps[-1].name
    assert window.wait_for(lambda: name in here.steps.text())
    desk.take_back()
    assert window.wait_for(lambda: here.steps.text() == before)
    # also where neither the pointer nor what is in the hand changes
    desk.sitting.choose(None)
    window.settle(0.3)
    assert "shadow" in before
    desk.order.cards.marked.emit(1)
    assert window.wait_for(lambda: "shadow" not in here.steps.text())
    desk.take_back()
    assert window.wait_for(lambda: here.steps.text() == before)
    desk.table.brush.take_way("soft")


def the_line_in_which_a_step_is_renamed_says_what_it_is(window: Window) -> None:
    cards = window.desk.order.cards
    cards.editItem(cards.item(0))
    line = cards.findChild(QLineEdit)
    assert line.accessibleName()
    QTest.keyClick(line, Qt.Key.Key_Escape)


def advised_on_the_moon(window: Window) -> int:
    """The row of the advice on it, which was clicked."""
    adviser, moon = window.desk.order.adviser, window.folder / "moon"
    moon.mkdir(exist_ok=True)
    (moon / "scene.toml").write_text(MOON, encoding="utf-8")
    assert window.desk.opening.open_path(moon)
    # it asks by itself once nothing was done for a while, and then not again
    assert window.wait_for(lambda: any("moon" in one.short for one in adviser.advice))
    assert adviser.isVisible()
    (row,) = [n for n, one in enumerate(adviser.advice) if "moon" in one.short]
    item = adviser.list.item(row)
    adviser.list.scrollToItem(item)
    where = adviser.list.visualItemRect(item).center()
    QTest.mouseClick(adviser.list.viewport(), Qt.MouseButton.LeftButton, pos=where)
    return row


def advice_shows_its_place_and_its_cure_is_one_deed(window: Window) -> None:
    desk, adviser = window.desk, window.desk.order.adviser
    row = advised_on_the_moon(window)
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
    assert window.wait_for(lambda: desk.foot.height() == desk.foot.sizeHint().height() < with_hint)
    desk.sitting.choose(0)
    before, deeds = desk.sitting.draft, desk.sitting.history.place
    desk.order.here.where = None
    orders["bring a place to a value"].trigger()
    desk.three_ways.wanted.set_value(7)
    desk.three_ways.wanted.let_go.emit()
    take_way(window, 0)
    assert desk.sitting.history.place == deeds + 1
    desk.take_back()
    window.settle()
    assert desk.sitting.draft == before
    desk.sitting.choose(None)


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
