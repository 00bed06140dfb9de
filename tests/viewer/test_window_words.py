"""The words of the window in its states: room, contrast, names, and none past its tables.

Each survey is a process of its own that waits half of its time for the window to come to rest, so
two are under way at once.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from subprocess import CompletedProcess
from typing import NamedTuple

import pytest

from tests.viewer.own_process import in_python, own_places, why_not

pytestmark = pytest.mark.window

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


FITTING = {
    "small-evening-fine": Survey("1100x700", "evening", 2),
    "brackets": Survey(language="brackets", seen=ALL_TABLES),
    **{one: Survey("1100x700", language=one) for one in ("de", "fr", "es")},
    "laptop": Survey(),
}
Answers = dict[str, Future[CompletedProcess[str]]]


@pytest.fixture(scope="module")
def surveys(request, tmp_path_factory) -> Iterator[Answers]:
    """What the surveys that were asked for will say; the slowest is begun first."""
    if why := why_not():
        pytest.skip(why)
    if shutil.which("xvfb-run") is None:
        pytest.skip("no xvfb-run: a window at scale 2 wants a screen of 2200 x 1400 px")
    here = [item for item in request.session.items if item.path == request.path]
    asked = {item.callspec.params["name"] for item in here}
    with ThreadPoolExecutor(2) as two:
        yield {
            name: two.submit(_run, own_places(tmp_path_factory.mktemp(name)), survey)
            for name, survey in FITTING.items()
            if name in asked
        }


def _run(env: dict[str, str], survey: Survey) -> CompletedProcess[str]:
    asked = ("--sizes", survey.size, "--walls", survey.wall, "--language", survey.language)
    scaled = {**env, "QT_SCALE_FACTOR": str(survey.scale)}
    return in_python(scaled, "survey.py", *asked, "--only", *survey.seen, screen=LARGE_SCREEN)


@pytest.mark.parametrize("name", FITTING)
def test_all_words_have_room_contrast_and_a_name_and_come_from_the_tables(
    surveys: Answers, name: str, tmp_path: Path
) -> None:
    under_way = surveys.pop(name, None)  # asked again, it is gone through again
    done = under_way.result() if under_way else _run(own_places(tmp_path), FITTING[name])
    assert done.returncode == 0, done.stdout + done.stderr[-3000:]
    assert "leaving: 1 looked at" in done.stdout
