"""What napari finds: the manifest, the reader, the writer, the sample scenes; and `glaze view`."""

from __future__ import annotations

import importlib
import sys
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from small_scenes import LIFTED, write_sketch

from glaze.cli import view_command
from glaze.errors import InputError
from glaze.scene.examples import example_names
from glaze.scene.file import load_scene
from viewer.plugin import layers_at, read, reader_of, write_scene

MANIFEST = Path(importlib.import_module("glaze").__file__).with_name("napari.yaml")


def test_napari_accepts_the_manifest_and_every_command_in_it_is_there():
    npe2 = pytest.importorskip("npe2")
    manifest = npe2.PluginManifest.from_file(MANIFEST)
    assert manifest.name == "glaze-lift"
    for command in manifest.contributions.commands:
        module, name = command.python_name.split(":")
        if name != "DeskWidget":  # that one needs Qt; the window's own tests open it
            assert callable(getattr(importlib.import_module(module), name))
    used = {r.command for r in manifest.contributions.readers}
    used |= {s.command for s in manifest.contributions.sample_data}
    used |= {w.command for w in manifest.contributions.writers}
    used |= {w.command for w in manifest.contributions.widgets}
    assert used == {command.id for command in manifest.contributions.commands}


def test_every_scene_that_comes_with_glaze_is_a_sample():
    npe2 = pytest.importorskip("npe2")
    samples = {s.key for s in npe2.PluginManifest.from_file(MANIFEST).contributions.sample_data}
    assert set(example_names()) <= samples


def test_the_reader_takes_scenes_and_sketches_and_nothing_else(scene_folder, tmp_path):
    folder = scene_folder()
    assert reader_of(str(folder)) is read
    assert reader_of(str(folder / "scene.toml")) is read
    assert reader_of(str(folder / "sketch.png")) is read
    assert reader_of("drawing.zip") is read
    assert reader_of(str(tmp_path)) is None
    assert reader_of("pyproject.toml") is None
    assert reader_of(["a.png", "b.png"]) is None


def test_what_is_read_can_be_written_as_one_file_and_read_again(scene_folder, tmp_path):
    layers = read(str(scene_folder(LIFTED)))
    assert [kind for _, _, kind in layers] == ["image", "image", *["labels"] * 4]
    layers[3][0][10:40, 10:40] = 65535  # as if painted on in napari
    target = tmp_path / "scene.zip"
    assert write_scene(str(target), layers) == [str(target)]
    again = layers_at(target)
    assert again[3][0][20, 20] == 65535
    assert np.array_equal(again[3][0], layers[3][0])


def test_a_sketch_gives_a_sheet_with_nothing_on_it_yet(tmp_path):
    write_sketch(tmp_path / "drawing.png")
    layers = read(str(tmp_path / "drawing.png"))
    assert [given["name"] for _, given, _ in layers] == ["sketch", "sheet"]


def test_what_cannot_be_opened_is_told_in_words(tmp_path):
    (tmp_path / "scene.toml").write_text("format = 1\npalette = 'none'\npaper = 'none'\n")
    with pytest.raises(ValueError, match="palette"):
        read(str(tmp_path))


def test_view_says_plainly_when_the_window_is_not_installed(monkeypatch):
    monkeypatch.setattr(view_command, "missing", lambda: True)
    with pytest.raises(InputError, match=r'pip install "glaze-lift\[viewer\]"'):
        CliRunner().invoke(view_command.view, [], catch_exceptions=False)


def test_view_says_plainly_when_there_is_nothing_to_open():
    with pytest.raises(InputError, match="no scene and no sketch"):
        CliRunner().invoke(view_command.view, ["nowhere"], catch_exceptions=False)


def test_view_starts_the_window_in_a_process_of_its_own(monkeypatch, scene_folder):
    started = []

    class Done:
        returncode = 0

    def run(command, **_):
        started.append(command)
        return Done()

    monkeypatch.setattr(view_command.subprocess, "run", run)
    monkeypatch.setattr(view_command.os, "execv", lambda _, command: run(command) and sys.exit(0))
    monkeypatch.setattr(view_command, "missing", lambda: False)
    folder = scene_folder()
    assert CliRunner().invoke(view_command.view, [str(folder)]).exit_code == 0
    assert started[0][1:] == ["-P", "-m", "viewer", str(folder)]


def test_opening_a_scene_from_layers_leaves_the_scene_as_it_was(scene_folder):
    folder = scene_folder(LIFTED)
    before = load_scene(folder)
    read(str(folder))
    assert load_scene(folder) == before
