"""Small scenes for the tests, made on the spot."""

from __future__ import annotations

import gc
import os
import sys
from pathlib import Path

# as `glaze` has it, and before numpy is read: threads that wait for one another cost a fifth
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import pytest
from hypothesis import settings
from small_scenes import SMALL, write_sketch

MOST_PROCESSES = 8
"""Each reads the model for itself."""

# what several folders share is imported as `tests.textbook`, `tests.accuracy`
ROOT = str(Path(__file__).parents[1])
if ROOT not in sys.path:
    sys.path.insert(0, ROOT)

pytest_plugins = ["tests.tried_again"]

# a landing must not hang on the luck of one run: new cases are found at the desk
settings.register_profile("ci", derandomize=True, deadline=None)
settings.register_profile("desk", deadline=None)
settings.load_profile("ci" if os.environ.get("CI") else "desk")


@pytest.hookimpl(tryfirst=True)
def pytest_cmdline_main(config: pytest.Config) -> None:
    """Part the whole suite among processes; what is asked for by name runs in this one.

    One process more than there are cores, as windows wait half of their time.
    """
    if hasattr(config, "workerinput"):
        os.environ.pop("COLUMNS", None)  # readline of the first process tells its terminal's
        return
    whole = config.args_source is pytest.Config.ArgsSource.TESTPATHS
    option = config.option
    if not whole or option.usepdb or option.collectonly:
        return
    if getattr(option, "numprocesses", 0) is None:  # there is pytest-xdist, and no -n
        from glaze.picture.cores import cores

        option.numprocesses, option.dist = min(cores() + 1, MOST_PROCESSES), "loadfile"
        option.loadscopereorder = False


def pytest_collection_finish() -> None:
    """Let no later collection of garbage look through what six thousand tests are made of."""
    gc.collect()
    gc.freeze()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Windows first: they take longest, and nobody should wait for them alone at the end."""
    items.sort(key=lambda item: item.get_closest_marker("window") is None)


@pytest.fixture
def looked_over(monkeypatch: pytest.MonkeyPatch) -> list:
    """The pages that commands print meanwhile; nothing is wrong with any of them."""
    from glaze.charts.paper import publish
    from tests.charts.sheet_faults import faults

    bound, found = publish.with_caution, []

    def looked_at(pages):
        found.extend(pages := bound(pages))
        assert not faults(pages)
        return pages

    monkeypatch.setattr(publish, "with_caution", looked_at)
    return found


@pytest.fixture
def scene_folder(tmp_path: Path):
    """Makes a folder with a sketch and a scene file of the given text."""

    def make(text: str = SMALL, name: str = "scene") -> Path:
        folder = tmp_path / name
        folder.mkdir()
        write_sketch(folder / "sketch.png")
        (folder / "scene.toml").write_text(text, encoding="utf-8")
        return folder

    return make
