"""The window opened: the desk with its keys and menus."""

from __future__ import annotations

import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from glaze.scene.examples import example_names, scenes_folder

from ..core.saying import keep_language, say, window_languages, window_words
from ..core.sitting import Sitting
from .bar import Order, Orders
from .desk import Desk
from .language import teach_qt
from .look import Wall
from .table_brush import WAYS
from .watch import Watch

HAND_ON_S = 0.0005
"""So long a thread may go on in Python when the window's own asks for its turn. With Python's 5 ms
and two threads at work the window waited 12 to 17 ms at each call into Qt, with this 0.65."""
KINDS = {"W": "wash", "L": "lift", "K": "water lift"}
"""Keys that take a liquid in the hand."""


def open_desk(
    viewer: Any, sitting: Sitting, wall: Wall | None = None, recovery: Path | None = None
) -> Desk:
    """Put a sitting on a desk in a napari viewer.

    recovery : folder of the journals; None for the usual one
    """
    sys.setswitchinterval(HAND_ON_S)
    teach_qt()
    desk = Desk(viewer, sitting, wall, recovery)
    Watch(desk)
    for keys, action in _keys(desk):
        desk.surround.bind(keys, partial(_unless_down, desk, action))
    for name, orders in (("sheet", _sheet(desk)), ("lay", _lay(desk)), ("ask", _ask(desk))):
        desk.bar.offer(name, orders)
    return desk


def _keys(desk: Desk) -> tuple[tuple[str, Callable[[], Any]], ...]:
    take_way = desk.table.brush.take_way
    return (
        ("Ctrl+Z", desk.take_back),
        ("Ctrl+Shift+Z", desk.do_again),
        ("Ctrl+Y", desk.do_again),
        ("Ctrl+S", desk.opening.save),
        ("Ctrl+O", desk.opening.ask_open),
        *((keys, desk.window.close) for keys in ("Ctrl+W", "Ctrl+Q")),
        ("D", desk.let_dry),
        ("V", desk.versions.open_list),
        ("F", desk.sheet.fit),
        *((str(n), partial(take_way, way)) for n, way in enumerate(WAYS, 1)),
        ("8", desk.lay_whole),
        ("R", desk.table.brush.reserve.toggle),
        ("C", desk.rough.take_colour),
        ("P", desk.rough.propose_here),
        *((key, partial(desk.table.holding.take_kind, k)) for key, k in KINDS.items()),
        ("[", partial(desk.table.brush.resize_brush, 1 / 1.15)),
        ("]", partial(desk.table.brush.resize_brush, 1.15)),
    )


def _unless_down(desk: Desk, action: Callable[[], Any]) -> None:
    """What keys do waits until the stroke in hand has ended."""
    if not desk.sheet.is_down:
        action()


def _sheet(desk: Desk) -> Orders:
    opening, questions = desk.opening, desk.questions
    examples = [(n, partial(opening.open_example, scenes_folder() / n)) for n in example_names()]
    tongues = [
        (window_words(language)("own_name"), partial(_speak_next, desk, language))
        for language in window_languages()
    ]
    return (
        _order("open", opening.ask_open, "Ctrl O"),
        _order("straighten", opening.ask_photo),
        (say("menu.example"), examples),
        None,
        _order("save", opening.save, "Ctrl S"),
        _order("save_elsewhere", opening.save_elsewhere),
        _order("versions", desk.versions.open_list, "V"),
        None,
        _order("mask", lambda: desk.masks.picture(desk.sitting)),
        _order("layer", lambda: desk.masks.napari_layer(desk.sitting)),
        None,
        _order("proof", questions.proof),
        _order("card", questions.card),
        _order("page", questions.page),
        None,
        _order("wall", desk.change_wall),
        _order("figures", desk.order.here.turn_figures),
        _order("napari", desk.surround.turn_napari),
        (say("language.menu"), tongues),
    )


def _lay(desk: Desk) -> Orders:
    brush, take_kind = desk.table.brush, desk.table.holding.take_kind
    return (
        *(
            (f"{say(f'brush.{way}')}\t{n}", partial(brush.take_way, way))
            for n, way in enumerate(WAYS, 1)
        ),
        (f"{say('brush.whole')}\t8", desk.lay_whole),
        None,
        _order("end_reserve", brush.reserve.toggle, "R"),
        (f"{say('table.dry')}\tD", desk.let_dry),
        None,
        *(_order(f"hold_{kind}", partial(take_kind, kind), key) for key, kind in KINDS.items()),
    )


def _ask(desk: Desk) -> Orders:
    questions, rough = desk.questions, desk.rough
    return (
        _order("to_value", desk.bring_somewhere),
        _order("drops", questions.colour),
        _order("even", questions.even),
        None,
        _order("rough", rough.ask_open),
        _order("rough_corners", lambda: rough.ask_corners()),
        _order("rough_over", rough.turn, say("menu.held", key="G")),
        _order("rough_colour", rough.take_colour, "C"),
        _order("rough_steps", rough.propose_here, "P"),
        None,
        _order("charts", questions.charts),
        (say("common.whole_caution"), desk.caution.show),
        _order("tour", desk.foot.start_tour),
        _order("ten", desk.try_ten),
    )


def _speak_next(desk: Desk, language: str) -> None:
    """Another language, from the next opening of the window on."""

    def keep() -> bool:
        keep_language(language)
        return True

    if desk.errands.attempt(keep):
        desk.tell(window_words(language)("language.next_time"))


def _order(key: str, do: Callable[[], Any], keys: str = "") -> Order:
    """A line of a menu by its key in the window's words, with the keys that do the same."""
    return say(f"menu.{key}") + (f"\t{keys}" if keys else ""), do
