"""Pictures of the whole window, to be looked at, and what can be checked of them.

`xvfb-run -a -s "-screen 0 4000x2400x24" python tests/viewer/survey.py FOLDER` opens the desk and
goes through every panel and state, in three sizes and on both walls; QT_SCALE_FACTOR=2 shows them
as a fine screen does. Pictures go to FOLDER; faults are told, and it ends with 1 if there are any.
`--only mix dish`, `--sizes 1280x800`, `--walls day` go through some of them; `--language de` in
that language, `--language brackets` shows words that no table tells. What stands after `--then` is
another survey, in a window of its own.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
from collections.abc import Callable
from itertools import groupby
from pathlib import Path

import survey_boxes
import survey_window
from desk_hand import Window
from left_english import bracketed, left_english
from looks import faults_of
from qtpy.QtCore import QTimer
from qtpy.QtWidgets import QApplication, QDialog, QWidget

from viewer.core import keep
from viewer.core.saying import speak, spoken_words, window_words

FITS, DOESNT_FIT = "all of it fits", "it doesn't fit"
"""What a survey ends with."""
SIZES = (1100, 700), (1280, 800), (1920, 1080)

STATES = (
    survey_window.start,
    survey_window.ten,
    survey_window.sketch,
    survey_window.keys,
    survey_window.mix,
    survey_window.dish,
    survey_window.wet,
    survey_window.ways,
    survey_window.here,
    survey_window.adviser,
    survey_window.refused,
    survey_window.looks,
    survey_boxes.versions,
    survey_boxes.three_ways,
    survey_boxes.questions,
    survey_boxes.caution,
    survey_boxes.rough,
    survey_boxes.corners,
    survey_window.menus,
    survey_window.napari,
    survey_boxes.left_behind,
    survey_boxes.size_asked,
    survey_boxes.leaving,
    survey_boxes.elsewhere,
    survey_boxes.well_named,
)


class Surveyor(Window):
    """A window with a camera.

    dpi : of the drawing that is painted
    faults : what was found, by the picture's name
    """

    def __init__(self, folder: Path, pictures: Path | None, dpi: int) -> None:
        super().__init__(folder, keep.open_bare((30.0, 24.0), dpi))
        self.pictures, self.dpi, self.faults = pictures, dpi, dict[str, list[str]]()
        self.name, self.count = "", 0

    def take(self, widget: QWidget | None = None) -> None:
        """Look at a widget, or the window: check it, and keep a picture of it."""
        self.settle(0.3)
        self.count += 1
        desk, shown = self.desk, widget or self.desk.window
        name = f"{self.name}-{self.count}"
        ours = (desk.bar, desk.foot, desk.order) if widget is None else None
        for rest in (0.0, 0.5, 1.0):  # on a busy machine rows may not have their widths yet
            self.settle(rest)
            if spoken_words()("own_name") == "brackets":
                found = left_english(shown, self.desk.sitting)
            else:
                found = faults_of(shown, ours)
            if not found:
                break
        self.note(name, found)
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
                timer.stop()
                self.take(box)
                box.reject()

        timer = QTimer(self.desk)
        timer.timeout.connect(look)
        timer.start(60)
        ask()
        timer.stop()

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
    dpi: int = 100,
) -> dict[str, list[str]]:
    """Go through the states; what was found, by the picture's name."""
    states = tuple(s for s in STATES if not only or s.__name__ in (*only, "sketch"))
    window = Surveyor(Path(tempfile.mkdtemp()), pictures, dpi)
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


def main(*asked: str) -> bool:
    """Go through one survey; whether it found nothing wrong."""
    given = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    given.add_argument("folder", type=Path, nargs="?", help="none: no pictures")
    given.add_argument("--only", nargs="*", default=[])
    given.add_argument("--sizes", nargs="*", default=[f"{w}x{h}" for w, h in SIZES])
    given.add_argument("--walls", nargs="*", default=["day", "evening"])
    given.add_argument("--language", default="en")
    given.add_argument("--dpi", type=int, default=100, help="of the drawing that is painted")
    found = given.parse_args(asked)
    brackets = found.language == "brackets"
    speak(bracketed() if brackets else window_words(found.language))
    if found.folder is not None:
        found.folder.mkdir(parents=True, exist_ok=True)
    sizes = tuple((int(w), int(h)) for w, h in (size.split("x") for size in found.sizes))
    faults = survey(found.folder, found.only, sizes, tuple(found.walls), found.dpi)
    print(FITS if not faults else DOESNT_FIT, flush=True)
    return not faults


if __name__ == "__main__":
    surveys = [list(part) for then, part in groupby(sys.argv[1:], "--then".__eq__) if not then]
    fit = [main(*asked) for asked in surveys or [[]]]
    sys.exit(not all(fit))
