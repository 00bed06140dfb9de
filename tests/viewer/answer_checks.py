"""Checks that an answer is for what was asked, run by desk_checks.py."""

from __future__ import annotations

from desk_hand import Window
from qtpy.QtWidgets import QPushButton, QToolButton
from table_checks import advised_on_the_moon

from viewer.core.versions import keep_version


def a_way_to_a_value_holds_for_the_sheet_it_was_found_for_only(window: Window) -> None:
    desk, ways = window.desk, window.desk.three_ways
    ways.show_for((60, 60), 4.0)
    ways.worker.finish()

    def takes() -> list[bool]:
        buttons = ways.findChildren(QPushButton)
        return [b.isEnabled() for b in buttons if b.text() == "take it"]

    assert any(takes())
    window.drag((28, 26), (35, 28))
    ways.ask()
    assert not any(takes()), "what was found before the stroke would lay the sheet without it"
    ways.worker.finish()
    assert any(takes())
    ways.close()
    desk.take_back()
    window.settle()


def a_cure_holds_for_the_sheet_it_was_given_for_only(window: Window) -> None:
    desk, adviser = window.desk, window.desk.order.adviser
    advised_on_the_moon(window)
    assert adviser.findChild(QToolButton).isEnabled()
    window.drag((30, 30), (34, 34))
    # its draft knows nothing of this stroke: taken now it would lay the sheet without it
    assert adviser.findChild(QToolButton) is None
    desk.take_back()
    window.settle()


def what_was_asked_of_another_sheet_is_not_shown(window: Window) -> None:
    desk, ways, versions = window.desk, window.desk.three_ways, window.desk.versions
    keep_version(desk.sitting, "as it was")
    versions.open_list()
    # asked, and another sheet put on the table before the answers are there
    versions.sides[0].buttons()[1].click()
    ways.show_for((90, 90), 4.0)
    assert desk.opening.open_path(window.folder / "scene" / "sketch.png")
    ways.asked = None
    ways.worker.finish()
    versions.worker.finish()
    window.settle()
    assert ways.asked is None
    assert desk.sitting.preview.view.compared is None
    assert desk.opening.open_path(window.folder / "scene")
    window.settle()
