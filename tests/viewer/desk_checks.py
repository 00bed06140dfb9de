"""Checks in a real window, run by test_window.py in a process of its own.

Each check is a function of one of ROOMS; its name and what went wrong, if anything, go to the
output as JSON. `python desk_checks.py FOLDER NAME ...` runs those of some names; TRAPS end the
process when they fail.
"""

from __future__ import annotations

import json
import sys
import traceback
from pathlib import Path

import answer_checks
import choosing_checks
import control_checks
import laying_checks
import looking_checks
import napari_checks
import numpy as np
import opening_checks
import still_checks
import table_checks
from desk_hand import Window
from qtpy.QtCore import Qt
from qtpy.QtTest import QTest
from qtpy.QtWidgets import QApplication

from viewer.core.keep import open_any

ROOMS = (
    answer_checks,
    choosing_checks,
    control_checks,
    laying_checks,
    looking_checks,
    napari_checks,
    opening_checks,
    still_checks,
    table_checks,
)

CHECKS = (
    "the_picture_is_that_of_preview",
    "the_canvas_shows_the_picture_itself",
    "a_real_mouse_stroke_lays_a_wash_where_it_went",
    "what_is_seen_is_what_is_saved",
    "keys_take_back_and_do_again",
    "keys_wait_while_the_pen_is_down",
    "a_stroke_ends_where_its_release_cannot_be_seen",
    "a_click_fills_an_enclosed_area",
    "a_dragged_band_and_a_cut_edge_lie_where_they_were_drawn",
    "bleach_in_hand_shows_its_caution_and_lays_a_lift",
    "a_dragged_number_dilutes_the_step_in_hand_as_one_deed",
    "a_typed_number_gives_the_keys_back",
    "a_held_key_shows_the_bare_sketch",
    "a_held_key_is_let_go_where_its_release_cannot_be_seen",
    "the_order_shows_every_step_and_a_click_on_its_dot_sets_it_aside",
    "the_pointer_reads_what_lies_there",
    "napari_cannot_change_the_colours",
    "naparis_own_keys_leave_the_sheet_as_it_is",
    "a_sheet_taken_out_of_naparis_list_is_put_back",
    "both_ways_of_upload_show_the_same",
    "thin_lines_stay_when_the_sheet_is_shown_small",
    "a_right_drag_moves_the_sheet_and_lays_nothing",
    "a_sheet_taken_hold_of_goes_to_where_the_hand_lets_go",
    "looking_otherwise_comes_back",
    "words_on_the_canvas_stand_clear_of_the_value_scale",
    "napari_lists_can_be_had_and_folded_again",
    "the_menus_ask_and_do",
    "a_value_dragged_onto_a_place_offers_three_ways_to_it",
    "a_way_to_a_value_holds_for_the_sheet_it_was_found_for_only",
    "what_was_asked_of_another_sheet_is_not_shown",
    "an_area_is_outlined_before_it_is_filled_and_a_drag_fills_several",
    "the_brush_is_a_circle_as_wide_as_its_mark_and_hides_nothing",
    "versions_are_kept_compared_and_gone_on_from",
    "a_rough_is_flipped_to_and_its_steps_are_taken_one_by_one",
    "nothing_is_worked_out_anew_at_each_move_of_the_pointer",
    "all_time_is_the_pens_while_it_is_down",
    "what_lies_here_stays_in_its_place_whatever_lies_there",
    "wells_stay_where_they_are_while_water_is_dragged",
    "the_first_picture_comes_before_the_model_is_made_ready",
    "a_glimpse_stands_where_the_sheet_will_be",
    "the_window_waits_for_no_turn_of_another_thread",
    "long_tips_are_parted_into_lines",
    "the_line_says_when_the_model_is_made_ready",
    "both_walls_are_neutral",
    "the_binding_loses_no_references",
    "the_window_fits_a_laptop_and_no_words_make_it_grow",
    "every_control_has_a_name_and_can_be_reached_by_keys",
    "another_bottle_begins_the_next_wash",
    "what_lies_here_follows_what_is_laid_and_taken_back",
    "what_cannot_be_laid_is_said_where_it_was_tried",
    "advice_shows_its_place_and_its_cure_is_one_deed",
    "the_line_in_which_a_step_is_renamed_says_what_it_is",
    "a_cure_holds_for_the_sheet_it_was_given_for_only",
    "strokes_are_kept_for_a_recovery",
    "a_picture_without_a_size_asks_until_it_has_one",
    "a_photo_of_a_sketch_is_straightened_by_its_corners",
    "a_sketch_deleted_while_it_is_open_is_worked_on_and_saved",
    "a_rough_photographed_at_a_slant_is_laid_by_its_corners",
    "a_scene_saved_elsewhere_meanwhile_is_noticed_and_nothing_is_lost",
    "another_scene_can_be_put_on_the_table",
    "a_sitting_left_behind_can_be_gone_on_with",
    "a_sketch_dropped_on_the_window_goes_on_the_desk",
    "ten_things_can_be_tried_on_a_bare_sketch",
    "closing_the_window_asks_when_something_has_changed",
    "closing_by_keys_asks_once_and_in_our_words",
    "closing_in_peace_leaves_nothing_behind",
    "the_plugin_widget_brings_the_desk_into_an_open_napari",
)


def add_and_remove_layers(window: Window) -> None:
    """A kept reference to a layer's inner parts would crash here at the fourth round."""
    desk = window.desk
    for _ in range(6):
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


TRAPS = ("add_and_remove_layers", "paint_while_the_sheet_is_worked_out")


def main(folder: str, *names: str) -> None:
    window = Window(Path(folder), open_any(Path(folder) / "scene"))
    known = {name: check for room in ROOMS for name, check in vars(room).items()} | globals()
    for name in names:
        problem = ""
        try:
            known[name](window)
        except Exception:
            problem = traceback.format_exc()
        print(json.dumps({"check": name, "problem": problem}), flush=True)
    if not window.desk.closed:
        window.desk.close()
        window.viewer.close()
    QApplication.processEvents()


if __name__ == "__main__":
    main(*sys.argv[1:])
