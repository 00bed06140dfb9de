"""Small windows to be looked at: what asks, offers or warns."""

from __future__ import annotations

import json
import shutil
from typing import TYPE_CHECKING

from desk_hand import photographed
from PIL import Image
from survey_window import own_drawing

from viewer.core.recovery import NOTE
from viewer.core.saying import say
from viewer.core.versions import keep_version, painting_of
from viewer.core.views import Kept, View

if TYPE_CHECKING:
    from survey import Surveyor


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
