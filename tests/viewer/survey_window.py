"""States of the window to be looked at: bar, sheet, order, table and foot, on a drawing of ours."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from looks import unseen_focus
from PIL import Image, ImageDraw
from qtpy.QtCore import QPoint

from viewer.core import keep
from viewer.core.brush import Brush
from viewer.core.saying import say
from viewer.core.views import View

if TYPE_CHECKING:
    from survey import Surveyor


def own_drawing(path: Path, dpi: int = 100) -> None:
    """A drawing of ours, A5 lying: a bakery at a corner, an awning, a bicycle, a lamp."""
    wide, high = round(210 / 25.4 * dpi), round(148 / 25.4 * dpi)
    image = Image.new("L", (wide, high), 246)
    draw = ImageDraw.Draw(image)
    mm = dpi / 25.4

    def line(*points: tuple[float, float], width: float = 0.6) -> None:
        draw.line([(x * mm, y * mm) for x, y in points], 30, max(1, round(width * mm)), "curve")

    def ring(x: float, y: float, r: float) -> None:
        box = [(x - r) * mm, (y - r) * mm, (x + r) * mm, (y + r) * mm]
        draw.ellipse(box, outline=30, width=max(1, round(0.6 * mm)))

    line((8, 120), (202, 120))
    line((30, 120), (30, 30), (110, 30), (110, 120), (30, 120))
    line((22, 30), (70, 8), (118, 30), (22, 30))
    line((110, 40), (170, 48), (170, 120))
    line((170, 48), (160, 30), (110, 24))
    for n in range(5):
        line((36 + 14 * n, 60), (33 + 15 * n, 74), (33 + 15 * (n + 1), 74), (36 + 14 * (n + 1), 60))
    line((36, 60), (106, 60))
    line((40, 76), (40, 112), (70, 112), (70, 76), (40, 76))
    line((80, 76), (80, 120), (98, 120), (98, 76), (80, 76))
    for x in (42, 66, 90):
        line((x, 36), (x, 52), (x + 12, 52), (x + 12, 36), (x, 36))
    for x in (122, 146):
        line((x, 62), (x + 14, 64), (x + 14, 90), (x, 90), (x, 62))
    ring(136, 114, 9)
    ring(162, 114, 9)
    line((136, 114), (146, 100), (158, 100), (162, 114), (148, 114), (146, 100))
    line((188, 120), (188, 40))
    ring(188, 32, 7)
    ring(180, 16, 9)
    image.save(path, dpi=(dpi, dpi))


def paint(window: Surveyor) -> None:
    """Some washes and a lift on the drawing, as its painter might have begun."""
    desk = window.desk

    def fill(mix: str, *places: tuple[float, float], **hand: object) -> None:
        desk.sitting.choose(None)
        desk.sitting.hold(replace(desk.sitting.hand, kind="wash", mix=mix, **hand))
        desk.sheet.laying.fill(*places)

    fill("Blue 3 + water 12", (180, 60), (12, 12))
    fill("Yellow 4 + Red 2 + water 8", (50, 45), (34, 100), (75, 110))
    fill("Red 5 + water 3", (37, 67), (67, 67), (97, 67), (70, 20))
    fill("Yellow 3 + water 5", (46, 44), (70, 44), (95, 44))
    fill("Black 1 + water 4", (140, 40), (55, 90))
    desk.sitting.choose(None)
    desk.sitting.hold(replace(desk.sitting.hand, kind="lift", parts_water=9, brush=Brush(4, 0.4)))
    desk.sheet.laying.press((140, 46))
    desk.sheet.laying.move([((160, 56), 1.0), ((164, 80), 1.0)])
    desk.sheet.laying.up()
    desk.let_dry()
    desk.table.holding.take_kind("wash")
    desk.sitting.hold(replace(desk.sitting.hand, mix="Blue 2 + Black 1 + water 9"))
    desk.tell(say("deed.fill", n=1))


def start(window: Surveyor) -> None:
    """As it opens the first time."""
    desk = window.desk
    assert desk.opening.open_path(keep.scenes_folder() / "lighthouse")
    window.settle()
    desk.foot.start_tour()
    window.take()
    desk.foot.tour.step = len(desk.foot.tour.hints)
    desk.foot._show_hint()
    window.take()
    desk.foot.end_tour()


def ten(window: Surveyor) -> None:
    window.desk.try_ten()
    for _ in range(3):
        window.take()
        window.desk.foot.tour.turn(3)
        window.desk.foot._show_hint()
    window.desk.foot.end_tour()


def sketch(window: Surveyor) -> None:
    """Your own sketch, nothing laid yet."""
    own = window.folder / "bakery.png"
    own_drawing(own, window.dpi)
    assert window.desk.opening.open_path(own)
    window.desk.caution.shown = True
    window.take()
    paint(window)


def keys(window: Surveyor) -> None:
    """Every control shows when the keys are on it."""
    desk = window.desk
    for place in (desk.bar, desk.foot, desk.order):
        if unseen := unseen_focus(place):
            window.note(f"keys-{place.objectName()}", [f"{who}: no focus seen" for who in unseen])


def mix(window: Surveyor) -> None:
    window.take()
    desk = window.desk
    four = "Blue 1 + Red 1 + Yellow 1 + Black 1 + water 12"
    desk.sitting.hold(replace(desk.sitting.hand, mix=four))
    desk.table.mix.pencil.setChecked(False)
    window.take()
    desk.table.mix.pencil.setChecked(True)
    window.take()
    desk.table.mix.pencil.setChecked(False)


def dish(window: Surveyor) -> None:
    window.desk.table.holding.take_kind("lift")
    window.take()
    window.desk.table.holding.take_kind("water lift")
    window.take()
    window.desk.table.holding.take_kind("wash")


def wet(window: Surveyor) -> None:
    window.desk.sitting.choose(2)
    window.take()
    window.desk.order._mark(1)
    window.take()
    window.desk.take_back()
    window.desk.sitting.choose(None)


def ways(window: Surveyor) -> None:
    for way in ("damp", "enclosed", "graded"):
        window.desk.table.brush.take_way(way)
        if way == "enclosed":
            window.point(48, 108)
        window.take()
    window.desk.table.brush.take_way("soft")


def here(window: Surveyor) -> None:
    desk = window.desk
    window.point(150, 70)
    window.take()
    desk.order.here.turn_figures()
    desk.order.here.read()
    window.take()
    desk.order.here.turn_figures()


def adviser(window: Surveyor) -> None:
    desk = window.desk
    desk.order.adviser.ask()
    desk.order.adviser.worker.finish()
    window.settle()
    window.take()
    for row in range(min(2, desk.order.adviser.list.count())):
        desk.order.adviser.list.setCurrentRow(row)
        window.take()
    desk.rulers._hush()


def refused(window: Surveyor) -> None:
    """Bleach can't be graded: said where it was tried."""
    desk = window.desk
    desk.table.holding.take_kind("lift")
    desk.table.brush.take_way("graded")
    window.drag((120, 60), (160, 100))
    window.take()
    desk.rulers._hush()
    desk.table.holding.take_kind("wash")
    desk.table.brush.take_way("soft")


def looks(window: Surveyor) -> None:
    for view in (View("values only"), View("three values", split=0.5), View("reserve")):
        window.desk.look(view)
        window.take()
    window.desk.look(View())


def menus(window: Surveyor) -> None:
    for menu in window.desk.bar.menus.values():
        menu.popup(window.desk.window.mapToGlobal(QPoint(40, 60)))
        window.take(menu)
        menu.close()


def napari(window: Surveyor) -> None:
    window.desk.surround.fold_napari(False)
    window.take()
    window.desk.surround.fold_napari(True)
