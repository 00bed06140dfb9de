"""Checks of single controls of the window, run by desk_checks.py: numbers, lists, rulers."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
from looks import faults_of
from qtpy.QtCore import QEvent, QMimeData, QPoint, QPointF, QRect, Qt
from qtpy.QtGui import QDropEvent
from qtpy.QtTest import QTest
from qtpy.QtWidgets import QApplication, QButtonGroup, QMenu, QPushButton

from glaze.patch.band import Band
from glaze.step.timing import spoken
from viewer.core.cards import cards_of
from viewer.core.keep import open_bare
from viewer.core.saying import speak, spoken_words, window_languages, window_words
from viewer.core.spot import Lying, read_at
from viewer.core.views import View


def numbers_are_typed_and_stepped_as_they_stand(window: Any) -> None:
    from viewer.window.controls import DragNumber

    number, heard = DragNumber(0, 10, 0.5, 1, "ml"), []
    number.changed.connect(heard.append)
    for typed, found in (
        ("2,5", 2.5),
        ("99", 10.0),
        ("-3", 0.0),
        ("4.5 ml", 4.5),
        ("a lot", 4.5),
        ("nan", 4.5),
    ):
        number.setText(typed)
        QTest.keyClick(number, Qt.Key.Key_Return)
        assert number.value == found, typed
    QTest.keyClick(number, Qt.Key.Key_Up)
    assert number.value == 5.0
    QTest.keyClick(number, Qt.Key.Key_Down)
    QTest.keyClick(number, Qt.Key.Key_Down)
    assert number.value == 4.0
    assert heard == [2.5, 10.0, 0.0, 4.5, 5.0, 4.5, 4.0]
    number.deleteLater()


def minutes_are_those_of_what_is_in_the_hand(window: Any) -> None:
    desk, holding = window.desk, window.desk.table.holding
    desk.sitting.choose(None)
    before = desk.sitting.hand
    holding.take_kind("lift")
    holding.set("minutes", minutes=7.0)
    holding.let_go()
    holding.take_kind("water lift")
    holding.set("minutes", minutes=3.0)
    holding.let_go()
    assert (desk.sitting.hand.minutes, desk.sitting.hand.water_minutes) == (7.0, 3.0)
    holding.take(before, "hand")
    window.settle()


def true_size_is_a_millimetre_for_a_millimetre(window: Any) -> None:
    desk = window.desk
    desk.sheet.true_size(96.0)
    window.settle()
    there, here = desk.rulers.place((30.0, 20.0)), desk.rulers.place((20.0, 20.0))
    # by hand: 10 mm on a screen of 96 dots per inch are 10 x 96 / 25.4 = 37.80 of them
    assert abs(there.x() - here.x() - 37.80) < 0.01
    assert not desk.sheet.fitted, "a window that grows would take the true size away"
    desk.sheet.fit()
    assert desk.sheet.fitted


def pixels_are_squares_only_where_they_are_large(window: Any) -> None:
    desk, camera = window.desk, window.viewer.scene.camera
    per_mm = desk.sitting.painting.dpi / 25.4
    # two screen pixels for one of the sheet, and one for two
    for zoom, shown in ((2.0 * per_mm, "nearest"), (0.5 * per_mm, "linear")):
        camera.zoom = zoom
        assert window.wait_for(lambda how=shown: str(desk.sheet.layer.interpolation2d) == how)
    desk.sheet.fit()
    window.settle()


def the_rulers_count_the_sheets_own_millimetres(window: Any) -> None:
    desk, rulers = window.desk, window.desk.rulers
    per_mm = desk.sitting.painting.dpi / 25.4
    row, column = rulers.pixel(rulers.place((26.0, 6.0)))
    assert (abs(row - 6.0 * per_mm) <= 1, abs(column - 26.0 * per_mm) <= 1) == (True, True)
    assert rulers.pixel(rulers.place((26.0, -1.0))) is None
    # long marks: 7 pixels off the sheet only those are drawn, below the numbers
    strip = rulers.grab(QRect(0, 11, rulers.width(), 1)).toImage()
    grey = np.array([strip.pixelColor(x, 0).red() for x in range(strip.width())], float)
    wide = rulers.width() / strip.width()
    first, last = (rulers.place((mm, 0.0)).x() for mm in (0.0, desk.sitting.size_mm[0]))
    inside = np.arange(len(grey)) * wide
    field = np.median(grey)
    marks = np.flatnonzero((np.abs(grey - field) > 20) & (inside >= first - 1) & (inside <= last))
    apart = np.diff(marks) * wide / window.viewer.scene.camera.zoom
    apart = apart[apart > 0.5]  # a mark may be two pixels wide
    assert len(apart) >= 1
    # whole millimetres, each as far from the next, and room for a number between them
    assert np.allclose(apart, round(apart[0]), atol=2 / window.viewer.scene.camera.zoom)
    assert round(apart[0]) in (1, 2, 5, 10, 20, 50)
    assert apart[0] * window.viewer.scene.camera.zoom >= 42


def the_last_of_many_steps_lie_here_and_the_band_goes_up(window: Any) -> None:
    from glaze.sheet.lift import Touches

    desk, here = window.desk, window.desk.order.here
    found = read_at(desk.sitting.painting, Touches(), 100, 100)
    seven = tuple(Lying(f"wash {n}", "ink", 1.0, 9.0 - n) for n in range(1, 8))
    reading = replace(found, steps=seven, bleached_value=6.0)
    here.show_reading(reading)
    lines = here.steps.text().splitlines()
    assert lines[0] == "2 steps before, then"
    assert [line.split(":")[0] for line in lines[1:]] == [f"wash {n}" for n in range(3, 8)]
    assert "somewhere" not in here.band.text()
    here.show_bands(found, found.bands)
    assert "somewhere" not in here.band.text()
    here.show_bands(reading, (found.bands[0], Band(5.2, 6.0, 6.9, "assumed")))
    assert "somewhere from 5.2 to 6.9" in here.band.toolTip() + here.band.text()
    assert "bleach would leave 6.0" in here.bleached.toolTip() + here.bleached.text()


def a_step_dropped_between_two_goes_between_them(window: Any) -> None:
    from viewer.window.order_list import ROW_HEIGHT, CardList

    desk = window.desk
    cards = CardList(desk.order.cards.card_painter.wall)
    one = cards_of(desk.sitting)[0]
    cards.show_cards([replace(one, number=n, name=f"step {n}") for n in range(4)], None)
    cards.resize(300, 5 * ROW_HEIGHT)
    cards.show()
    heard: list[tuple[int, ...]] = []
    cards.moved.connect(lambda start, to: heard.append((start, to)))
    cards.marked.connect(lambda row: heard.append((row,)))
    # a quarter down a row is before its step, three quarters after it; by hand
    for start, row, share, to in (
        *((0, 2, 0.25, 1), (0, 2, 0.75, 2), (3, 1, 0.25, 1), (3, 1, 0.75, 2)),
        (0, 4, 0.5, 3),
    ):
        cards.setCurrentRow(start)
        place = QPointF(150, (row + share) * ROW_HEIGHT)
        given = Qt.DropAction.MoveAction, QMimeData(), Qt.MouseButton.LeftButton
        cards.dropEvent(QDropEvent(place, *given, Qt.KeyboardModifier.NoModifier))
        assert heard.pop() == (start, to), (row, share)
    cards.setCurrentRow(2)
    QTest.keyClick(cards, Qt.Key.Key_Space)
    assert heard == [(2,)]
    cards.close()


def what_is_set_aside_takes_no_time_and_buttons_move_a_step(window: Any) -> None:
    desk, order = window.desk, window.desk.order
    names = [step.name for step in desk.sitting.scene.steps]
    cards = cards_of(desk.sitting)
    buttons = {b.text(): b for b in order.findChildren(QPushButton)}

    def press(text: str) -> None:
        desk.sitting.choose(1)
        assert window.wait_for(buttons[text].isEnabled)
        QTest.mouseClick(buttons[text], Qt.MouseButton.LeftButton)
        window.settle()

    press("set aside")
    left = spoken(sum(card.minutes for n, card in enumerate(cards) if n != 1))
    told = f"{len(cards)} steps, {left} in all"
    assert window.wait_for(lambda: order.sum.text() == told), (order.sum.text(), told)
    desk.take_back()
    press("earlier")
    assert [s.name for s in desk.sitting.scene.steps] == [names[1], names[0], *names[2:]]
    desk.take_back()
    desk.sitting.choose(None)
    window.settle()


def a_rung_of_the_ladder_is_taken_where_it_is_clicked(window: Any) -> None:
    from viewer.window.wells import LadderStrip

    strip, heard = LadderStrip(), []
    strip.taken.connect(heard.append)
    strip.show_rungs([(n, (200, 200, 200), 8.0) for n in (0.0, 1.0, 2.0, 4.0)], 1.0)
    strip.resize(400, 42)
    # four rungs of 100 pixels: 250 is in the middle of the third
    QTest.mouseClick(strip, Qt.MouseButton.LeftButton, pos=QPoint(250, 12))
    QTest.keyClick(strip, Qt.Key.Key_Right)
    QTest.keyClick(strip, Qt.Key.Key_Left)
    assert heard == [2.0, 2.0, 0.0]
    strip.deleteLater()


def every_light_of_the_bar_is_the_one_it_says(window: Any) -> None:
    from viewer.window.bar import LIGHTS

    desk, bar = window.desk, window.desk.bar
    for number, light in enumerate(LIGHTS):
        bar.light.setCurrentIndex(number)
        words = bar.light.currentText()
        bar.light.activated.emit(0)
        assert desk.sitting.preview.view.light == light
        # "evening lamp, A" is A, "LED lamp, B3" is LED-B3
        assert light is None or light.endswith(words.rpartition(", ")[2])
    bar.light.setCurrentIndex(0)
    bar.light.activated.emit(0)
    assert desk.sitting.preview.view == View()
    window.settle()


def the_lightest_grey_stands_on_top(window: Any) -> None:
    scale = window.desk.scale
    shot = scale.grab().toImage()
    last = shot.height() - 1
    greys = [shot.pixelColor(3, round(share * last)).red() for share in (0.05, 0.5, 0.95)]
    assert greys[0] > greys[1] > greys[2], greys


def a_menu_that_is_filled_anew_leaves_none_behind(window: Any) -> None:
    mix = window.desk.table.mix
    for _ in range(5):
        mix._wells_key = None
        mix.show_hand(window.desk.sitting.hand)
    # what is to go later goes now
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    assert len(mix.more.findChildren(QMenu)) == 1


def small_windows_that_were_closed_are_let_go(window: Any) -> None:
    from viewer.window.dialogs import Box

    desk = window.desk
    for _ in range(3):
        desk.questions.colour()
        desk.questions.shown.close()
        desk.caution.show()
        desk.caution.box.close()
        desk.versions.refresh()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    left = [box.windowTitle() for box in desk.bar.findChildren(Box)]
    assert len(left) == len(set(left)), left
    assert len(desk.versions.findChildren(QButtonGroup)) == 2


def the_dish_has_room_for_its_words_in_every_language(window: Any) -> None:
    from viewer.window.look import day, style
    from viewer.window.table_panel import TablePanel

    before = spoken_words()
    apart = open_bare((30.0, 24.0), 100.0)  # the window's own would go on showing itself in each
    for language in window_languages():
        speak(window_words(language))
        for wide in (800, 1121, 1144, 1300):
            table = TablePanel(apart, day())
            table.setStyleSheet(style(day()))
            table.resize(wide, 240)
            table.show()
            QApplication.processEvents()
            found = [fault for fault in faults_of(table) if "clipped" in fault]
            assert not found, (language, wide, found)
            table.close()
            table.deleteLater()
    apart.close()
    speak(before)


def a_line_without_words_is_as_high_as_one_with_words(window: Any) -> None:
    from viewer.window.controls import OneLine
    from viewer.window.look import day, style

    # the sheet above it moved by a pixel when something was said for the first time
    line = OneLine()
    line.setStyleSheet(style(day()))
    before = line.sizeHint().height()
    line.setText("lay blue wash")
    assert line.sizeHint().height() == before


CONTROLS = (
    a_line_without_words_is_as_high_as_one_with_words,
    numbers_are_typed_and_stepped_as_they_stand,
    minutes_are_those_of_what_is_in_the_hand,
    true_size_is_a_millimetre_for_a_millimetre,
    pixels_are_squares_only_where_they_are_large,
    the_rulers_count_the_sheets_own_millimetres,
    the_last_of_many_steps_lie_here_and_the_band_goes_up,
    a_step_dropped_between_two_goes_between_them,
    what_is_set_aside_takes_no_time_and_buttons_move_a_step,
    a_rung_of_the_ladder_is_taken_where_it_is_clicked,
    every_light_of_the_bar_is_the_one_it_says,
    the_lightest_grey_stands_on_top,
    a_menu_that_is_filled_anew_leaves_none_behind,
    small_windows_that_were_closed_are_let_go,
    the_dish_has_room_for_its_words_in_every_language,
)
