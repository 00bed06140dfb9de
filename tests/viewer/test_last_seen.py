"""A picture of what is opened is found before the model and napari are loaded."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from small_scenes import LIFTED

from glaze.scene.examples import scenes_folder
from viewer.core import last_seen
from viewer.core.drafting import with_changed_step
from viewer.core.keep import leave, open_any, save
from viewer.core.views import View


@pytest.fixture
def folder(scene_folder, tmp_path, monkeypatch):
    monkeypatch.setattr(last_seen, "user_cache_path", lambda name: tmp_path / "cache" / name)
    return scene_folder(LIFTED)


def _kept(folder: Path) -> list[Path]:
    return sorted((folder.parent / "cache").rglob("*.png"))


@pytest.mark.parametrize("named", ["", "scene.toml"])
def test_a_scene_is_seen_as_it_looked_when_it_was_left(folder, named):
    sitting = open_any(folder)
    sitting.finish()
    picture = sitting.preview.pyramid.levels[0].copy()
    leave(sitting)
    found = last_seen.picture_of(folder / named)
    assert found in _kept(folder)
    assert np.array_equal(np.asarray(Image.open(found)), picture)


def test_before_that_and_once_it_was_changed_outside_it_is_its_sketch(folder):
    assert last_seen.picture_of(folder) == folder / "sketch.png"
    sitting = open_any(folder)
    sitting.finish()
    leave(sitting)
    text = (folder / "scene.toml").read_text(encoding="utf-8")
    (folder / "scene.toml").write_text(text.replace("water 6", "water 12"), encoding="utf-8")
    assert last_seen.picture_of(folder) == folder / "sketch.png"


@pytest.mark.parametrize("how", ["changed", "unfinished", "looked at otherwise"])
def test_what_a_saved_scene_does_not_look_like_is_not_kept(folder, how):
    sitting = open_any(folder)
    sitting.finish()
    if how == "changed":
        sitting.do("thin", with_changed_step(sitting.draft, 0, mix="Blue 1 + water 40"))
        sitting.finish()
    elif how == "unfinished":
        sitting.preview.touch(sitting.preview.visible)
    else:
        sitting.look(View(way="values only"))
        sitting.finish()
    leave(sitting)
    assert not _kept(folder)
    assert last_seen.picture_of(folder) == folder / "sketch.png"


def test_a_zip_is_seen_as_it_was_saved(folder, tmp_path):
    sitting = open_any(folder)
    assert last_seen.picture_of(tmp_path / "sheet.zip") is None
    save(sitting, tmp_path / "sheet.zip")
    sitting.finish()
    leave(sitting)
    assert last_seen.picture_of(tmp_path / "sheet.zip") in _kept(folder)


def test_a_sketch_is_its_own_picture_and_nothing_is_the_lighthouse(folder):
    assert last_seen.picture_of(folder / "sketch.png") == folder / "sketch.png"
    assert last_seen.picture_of(None) == scenes_folder() / "lighthouse" / "sketch.png"


@pytest.mark.parametrize("text", ["", "sketch = 3", "sketch = [", "sketch = 'gone.png'"])
def test_a_scene_with_mistakes_has_no_glimpse_and_no_error(folder, text):
    (folder / "scene.toml").write_text(text, encoding="utf-8")
    found = last_seen.picture_of(folder)
    assert found is None or not found.exists()


def test_the_latest_few_are_kept(folder):
    for n in range(last_seen.MOST + 5):
        (folder / "scene.toml").write_text(f"# {n}\n", encoding="utf-8")
        last_seen.keep_picture(folder, lambda file: Path(file).write_bytes(b""))
        os.utime(max(_kept(folder), key=lambda file: file.stat().st_mtime_ns), (n, n))
    assert len(_kept(folder)) == last_seen.MOST


def test_where_nothing_can_be_written_nothing_is_kept(folder):
    (folder.parent / "cache").write_text("a file where a folder is wanted", encoding="utf-8")
    sitting = open_any(folder)
    sitting.finish()
    leave(sitting)
    assert last_seen.picture_of(folder) == folder / "sketch.png"


def test_nothing_heavy_is_loaded_for_it():
    asked = "import sys, viewer.core.last_seen, viewer.window.glimpse, viewer.__main__; "
    heavy = "{'numpy', 'pydantic', 'numba', 'napari', 'vispy', 'PIL', 'glaze.scene.file'}"
    command = [sys.executable, "-c", f"{asked}print({heavy} & set(sys.modules))"]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if "QtCore" in done.stderr or "qtpy" in done.stderr:
        pytest.skip("Qt can't be loaded here")
    assert done.stdout.strip() == "set()", done.stdout + done.stderr
