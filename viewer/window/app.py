"""The window opened: the desk with its keys and menus."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from glaze.scene.examples import example_names, scenes_folder

from ..core.sitting import Sitting
from .bar import Orders
from .desk import Desk
from .look import Wall
from .table_brush import WAYS
from .watch import Watch

KINDS = {"W": "wash", "L": "lift", "K": "water lift"}
"""Keys that take a liquid in the hand."""


def open_desk(
    viewer: Any, sitting: Sitting, wall: Wall | None = None, recovery: Path | None = None
) -> Desk:
    """Put a sitting on a desk in a napari viewer.

    recovery : folder of the journals; None for the usual one
    """
    desk = Desk(viewer, sitting, wall, recovery)
    Watch(desk)
    for keys, action in _keys(desk):
        desk.surround.bind(keys, action)
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


def _sheet(desk: Desk) -> Orders:
    opening, questions = desk.opening, desk.questions
    return (
        ("open a scene or a sketch\tCtrl O", opening.ask_open),
        ("straighten a photo of a sketch", opening.ask_photo),
        (
            "open an example",
            [(n, partial(opening.open_example, scenes_folder() / n)) for n in example_names()],
        ),
        None,
        ("save\tCtrl S", opening.save),
        ("save elsewhere", opening.save_elsewhere),
        ("versions\tV", desk.versions.open_list),
        None,
        ("lay it where a mask picture is white", lambda: desk.masks.picture(desk.sitting)),
        ("lay it on napari's chosen layer", lambda: desk.masks.napari_layer(desk.sitting)),
        None,
        ("save the picture, true size", questions.proof),
        ("recipe card", questions.card),
        ("bench page, for a tablet", questions.page),
        None,
        ("dark or light surroundings", desk.change_wall),
        ("CIELAB figures", desk.order.here.turn_figures),
        ("napari's own lists and menus", desk.surround.turn_napari),
    )


def _lay(desk: Desk) -> Orders:
    brush, take_kind = desk.table.brush, desk.table.holding.take_kind
    return (
        *(
            (f"{word}\t{n}", partial(brush.take_way, way))
            for n, (way, (word, _)) in enumerate(WAYS.items(), 1)
        ),
        ("whole sheet\t8", desk.lay_whole),
        None,
        ("reserve, or end it\tR", brush.reserve.toggle),
        ("let it dry\tD", desk.let_dry),
        None,
        *((f"hold {kind}\t{key}", partial(take_kind, kind)) for key, kind in KINDS.items()),
    )


def _ask(desk: Desk) -> Orders:
    questions = desk.questions
    return (
        ("bring a place to a value", desk.bring_somewhere),
        ("which drops make a colour?", questions.colour),
        ("even the shadows of several hues", questions.even),
        None,
        ("open a colour rough", desk.rough.ask_open),
        ("drag the rough's corners onto its sheet", lambda: desk.rough.ask_corners()),
        ("the rough over the sheet, or away\tG held", desk.rough.turn),
        ("take the rough's colour here\tC", desk.rough.take_colour),
        ("steps for this area of the rough\tP", desk.rough.propose_here),
        None,
        ("charts of these bottles", questions.charts),
        ("the whole caution", desk.caution.show),
        ("the three-step tour", desk.foot.start_tour),
        ("ten things to try", desk.try_ten),
    )
