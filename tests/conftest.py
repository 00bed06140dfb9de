"""Small scenes for the tests, made on the spot."""

from __future__ import annotations

from pathlib import Path

import pytest
from small_scenes import SMALL, write_sketch


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
