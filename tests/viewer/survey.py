"""Pictures of the whole window, to be looked at, and what can be checked of them.

`xvfb-run -a -s "-screen 0 4000x2400x24" python tests/viewer/survey.py FOLDER` opens the desk and
goes through every panel and state, in three sizes and on both walls; QT_SCALE_FACTOR=2 shows them
as a fine screen does. Pictures go to FOLDER; faults are told, and it ends with 1 if there are any.
`--only mix dish`, `--sizes 1280x800`, `--walls day` go through some of them; `--language de` in
that language, `--language brackets` shows words that no table tells.
"""

from __future__ import annotations

import argparse
import json
import shutil
import sys
import tempfile
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from desk_hand import Window, photographed
from left_english import bracketed, left_english
from looks import faults_of, unseen_focus
from PIL import Image, ImageDraw
from qtpy.QtCore import QPoint, QTimer
from qtpy.QtWidgets import QApplication, QDialog, QWidget

from viewer.core import keep
from viewer.core.brush import Brush
from viewer.core.recovery import NOTE
from viewer.core.saying import say, speak, spoken_words, window_words
from viewer.core.versions import keep_version, painting_of
from viewer.core.views import Kept, View

SIZES = (1100, 700), (1280, 800), (1920, 1080)


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


# ---- states


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
    own_drawing(own)
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


def versions(window: Surveyor) -> None:
    desk, sitting = window.desk, window.desk.sitting
    desk.versions.open_list()
    window.take(desk.versions)
    first = sitting.draft
    for name, number in (("1 + 5 shadow", 4), ("without the awning", 2)):
        keep_version(sitting, name)
        desk.order._take_out(number)
        window.settle()
    keep_version(sitting, "pale")
    window.settle()
    window.take(desk.versions)
    one, other = (Kept(v.name, painting_of(sitting, v)) for v in sitting.versions[:2])
    desk.look(View(split=0.55, left=one, right=other))
    window.settle()
    window.take(desk.versions)
    desk.versions.close()
    window.take()
    desk.look(View())
    while sitting.draft != first:
        desk.take_back()
    sitting.versions = ()


def three_ways(window: Surveyor) -> None:
    desk = window.desk
    for at, value in (((50, 110), 4), ((140, 40), 9)):
        per_mm = desk.sitting.painting.dpi / 25.4
        desk.three_ways.show_for((int(at[1] * per_mm), int(at[0] * per_mm)), value)
        desk.three_ways.worker.finish()
        window.settle()
        window.take(desk.three_ways)
    window.take()
    desk.three_ways.close()


def questions(window: Surveyor) -> None:
    asked = window.desk.questions
    for ask in (asked.colour, asked.even, asked.charts):
        ask()
        window.settle()
        for button in asked.shown.findChildren(type(window.desk.table.dry)):
            if button.text() == say("common.ask"):
                button.click()
        window.settle()
        window.take(asked.shown)
        asked.shown.close()


def caution(window: Surveyor) -> None:
    window.desk.caution.show()
    window.take(window.desk.caution.box)
    window.desk.caution.box.close()


def rough(window: Surveyor) -> None:
    desk = window.desk
    path = window.folder / "rough.png"
    seen = desk.sitting.preview.pyramid.levels[0]
    Image.fromarray(seen).resize((420, 296)).save(path)
    desk.rough.open_path(path)
    desk.errands.worker.finish()
    window.settle()
    window.point(60, 100)
    desk.rough.hold(True)
    window.take()
    desk.rough.hold(False)
    window.point(60, 100)
    desk.rough.propose_here()
    window.settle()
    window.take(desk.rough)
    desk.rough.worker.finish()
    window.settle()
    window.take(desk.rough)
    desk.rough.close()


def corners(window: Surveyor) -> None:
    """A photo of the drawing, and its corners."""
    drawn, photo = window.folder / "bakery.png", window.folder / "photo.png"
    photographed(Image.open(drawn), photo)
    window.desk.opening.straighten(photo)
    window.desk.errands.worker.finish()
    window.settle()
    window.take(window.desk.opening.corners)
    window.desk.opening.corners.picture.setFocus()
    window.take(window.desk.opening.corners)
    window.desk.opening.corners.close()


def menus(window: Surveyor) -> None:
    for menu in window.desk.bar.menus.values():
        menu.popup(window.desk.window.mapToGlobal(QPoint(40, 60)))
        window.take(menu)
        menu.close()


def napari(window: Surveyor) -> None:
    window.desk.surround.fold_napari(False)
    window.take()
    window.desk.surround.fold_napari(True)


def left_behind(window: Surveyor) -> None:
    """Three sittings that ended without being closed."""
    desk = window.desk
    desk.rescue.journal.show()
    for n in range(3):
        copy = window.folder / "kept" / f"lost {n}"
        shutil.copytree(desk.rescue.journal.folder, copy)
        note = json.loads((copy / NOTE).read_text())
        where = str(window.folder / "drawings" / "bakery") if n == 1 else ""
        (copy / NOTE).write_text(json.dumps({**note, "pid": 2**22 + 1, "home": where}))
    desk.rescue.offer()
    window.take(desk.rescue.list)
    desk.rescue.list.close()
    for n in range(3):
        shutil.rmtree(window.folder / "kept" / f"lost {n}")


def size_asked(window: Surveyor) -> None:
    photo = window.folder / "photo of the bakery.png"
    own_drawing(photo, dpi=72)
    window.take_box(lambda: window.desk.opening.ask_size(photo))


def leaving(window: Surveyor) -> None:
    window.take_box(window.desk.opening.may_leave)


def elsewhere(window: Surveyor) -> None:
    desk = window.desk
    home = window.folder / "bakery at noon"
    assert desk.opening._try_save(home)
    (home / "scene.toml").write_text((home / "scene.toml").read_text() + "\n# theirs\n")
    desk.opening.look_at_home()
    window.take()
    window.take_box(lambda: desk.opening._try_save(home))


def well_named(window: Surveyor) -> None:
    window.take_box(window.desk.table.mix._keep)


STATES = (
    start,
    ten,
    sketch,
    keys,
    mix,
    dish,
    wet,
    ways,
    here,
    adviser,
    refused,
    looks,
    versions,
    three_ways,
    questions,
    caution,
    rough,
    corners,
    menus,
    napari,
    left_behind,
    size_asked,
    leaving,
    elsewhere,
    well_named,
)


class Surveyor(Window):
    """A window with a camera.

    faults : what was found, by the picture's name
    """

    def __init__(self, folder: Path, pictures: Path | None) -> None:
        super().__init__(folder, keep.first_sitting(None))
        self.pictures, self.faults = pictures, dict[str, list[str]]()
        self.name, self.count = "", 0

    def take(self, widget: QWidget | None = None) -> None:
        """Look at a widget, or the window: check it, and keep a picture of it."""
        self.settle(0.3)
        self.count += 1
        desk, shown = self.desk, widget or self.desk.window
        name = f"{self.name}-{self.count}"
        ours = (desk.bar, desk.foot, desk.order) if widget is None else None
        if spoken_words()("own_name") == "brackets":
            self.note(name, left_english(shown, self.desk.sitting))
        else:
            self.note(name, faults_of(shown, ours))
        if self.pictures is not None:
            self.shot(shown).save(str(self.pictures / f"{name}.png"), "PNG")

    def note(self, name: str, faults: list[str]) -> None:
        """Keep what is wrong with a picture, and tell it."""
        if faults:
            self.faults[name] = faults
            print(name, *faults, sep="\n   ", flush=True)

    def take_box(self, ask: Callable[[], object]) -> None:
        """Look at a box while it waits for an answer, and let it go without one."""

        def look() -> None:
            box = QApplication.activeModalWidget()
            if isinstance(box, QDialog):
                self.take(box)
                box.reject()

        QTimer.singleShot(300, look)
        ask()

    def go_through(self, states: tuple[Callable[[Surveyor], None], ...]) -> None:
        """Every state, one after the other."""
        for state in states:
            base, self.count = self.name, 0
            self.name = f"{base}{state.__name__}"
            state(self)
            self.settle()
            print(f"{self.name}: {self.count} looked at", flush=True)
            self.name = base


def survey(
    pictures: Path | None,
    only: list[str],
    sizes: tuple[tuple[int, int], ...] = SIZES,
    walls: tuple[str, ...] = ("day", "evening"),
) -> dict[str, list[str]]:
    """Go through the states; what was found, by the picture's name."""
    states = tuple(s for s in STATES if not only or s.__name__ in only or s is sketch)
    window = Surveyor(Path(tempfile.mkdtemp()), pictures)
    for wall in walls:
        if window.desk.surround.wall.dark != (wall == "evening"):
            window.desk.change_wall()
        for size in sizes:
            window.desk.window.resize(*size)
            window.settle()
            window.name = f"{size[0]}-{wall}-"
            window.go_through(states)
    window.desk.close()
    window.viewer.close()
    return window.faults


def main() -> int:
    given = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    given.add_argument("folder", type=Path, nargs="?", help="none: no pictures")
    given.add_argument("--only", nargs="*", default=[])
    given.add_argument("--sizes", nargs="*", default=[f"{w}x{h}" for w, h in SIZES])
    given.add_argument("--walls", nargs="*", default=["day", "evening"])
    given.add_argument("--language", default="en")
    asked = given.parse_args()
    brackets = asked.language == "brackets"
    speak(bracketed() if brackets else window_words(asked.language))
    if asked.folder is not None:
        asked.folder.mkdir(parents=True, exist_ok=True)
    sizes = tuple((int(w), int(h)) for w, h in (size.split("x") for size in asked.sizes))
    faults = survey(asked.folder, asked.only, sizes, tuple(asked.walls))
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
