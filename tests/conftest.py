"""Small scenes for the tests, made on the spot."""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest
from hypothesis import settings
from small_scenes import SMALL, write_sketch

# what several folders share is imported as `tests.textbook`, `tests.accuracy`
ROOT = str(Path(__file__).parents[1])
if ROOT not in sys.path:
    sys.path.insert(0, ROOT)

# a landing must not hang on the luck of one run: new cases are found at the desk
settings.register_profile("ci", derandomize=True, deadline=None)
settings.register_profile("desk", deadline=None)
settings.load_profile("ci" if os.environ.get("CI") else "desk")


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
