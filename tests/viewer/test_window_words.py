"""The words of the window in its states: room, contrast, names, and none past its tables.

Surveys wait half of their time for the window to come to rest, so two processes are under way at
once: one on a fine screen, and one that goes through the others in a window each.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from subprocess import CompletedProcess
from typing import NamedTuple

import pytest

from tests.viewer.own_process import in_python, own_places, why_not

pytestmark = pytest.mark.window

FITS, DOESNT_FIT = "all of it fits", "it doesn't fit"
"""What survey.py ends each survey with."""
LARGE_SCREEN = ("xvfb-run", "-a", "-s", "-screen 0 2400x1600x24")
SEEN = (
    *("keys", "mix", "dish", "ways", "questions", "versions", "corners", "left_behind"),
    *("size_asked", "leaving"),
)
"""States of survey.py that the suite goes through; all of them by hand."""
ALL_TABLES = ("start", "here", "adviser", "menus", "rough", "elsewhere", *SEEN)


class Survey(NamedTuple):
    """A window of some size on some wall, in a language."""

    size: str = "1280x800"
    wall: str = "day"
    scale: int = 1
    language: str = "en"
    seen: tuple[str, ...] = SEEN

    @property
    def words(self) -> tuple[str, ...]:
        """What survey.py is asked."""
        asked = ("--sizes", self.size, "--walls", self.wall, "--language", self.language)
        asked = (*asked, "--dpi", "50")  # words ask for no fine drawing
        return (*asked, "--only", *self.seen)


FITTING = {
    "small-evening-fine": Survey("1100x700", "evening", 2),
    "brackets": Survey(language="brackets", seen=ALL_TABLES),
    **{one: Survey("1100x700", language=one) for one in ("de", "fr")},
    "es-laptop": Survey(language="es"),
}
Said = CompletedProcess[str]
Answers = dict[str, tuple[Future[Said], int]]
"""The process that goes through each survey, and how many it goes through before."""


@pytest.fixture(scope="module")
def surveys(request, tmp_path_factory) -> Iterator[Answers]:
    """What the surveys that were asked for will say."""
    if why := why_not():
        pytest.skip(why)
    if shutil.which("xvfb-run") is None:
        pytest.skip("no xvfb-run: a window at scale 2 wants a screen of 2200 x 1400 px")
    here = [item for item in request.session.items if item.path == request.path]
    asked = {item.callspec.params["name"] for item in here}
    found: Answers = {}
    with ThreadPoolExecutor(2) as two:
        for scale in (2, 1):
            names = [name for name in FITTING if name in asked and FITTING[name].scale == scale]
            place = own_places(tmp_path_factory.mktemp(f"scale{scale}"))
            done = two.submit(_run, place, *(FITTING[name] for name in names))
            found |= {name: (done, n) for n, name in enumerate(names)}
        yield found


def _run(env: dict[str, str], *surveys: Survey) -> Said:
    """Go through some surveys of one scale, one after the other."""
    if not surveys:
        return Said([], 0, "", "")
    words = [word for survey in surveys for word in ("--then", *survey.words)]
    scaled = {**env, "QT_SCALE_FACTOR": str(surveys[0].scale)}
    return in_python(scaled, "survey.py", *words[1:], screen=LARGE_SCREEN)


@pytest.mark.parametrize("name", FITTING)
def test_all_words_have_room_contrast_and_a_name_and_come_from_the_tables(
    surveys: Answers, name: str, tmp_path: Path
) -> None:
    under_way, before = surveys.pop(name, (None, 0))  # asked again, it is gone through again
    done = under_way.result() if under_way else _run(own_places(tmp_path), FITTING[name])
    found = re.split(f"^({FITS}|{DOESNT_FIT})$", done.stdout, flags=re.MULTILINE)
    assert len(found) > 2 * before + 1, done.stdout + done.stderr[-3000:]
    told, end = found[2 * before : 2 * before + 2]
    assert end == FITS, told
    assert "leaving: 1 looked at" in told
