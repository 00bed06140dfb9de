"""Versions: what was kept under a name comes back as it was, from its own files, and stays."""

from __future__ import annotations

import json

import numpy as np
import pytest
from small_scenes import LIFTED, SMALL

from glaze.errors import InputError
from glaze.painting.settle import resolve
from glaze.pipeline import render
from glaze.scene.file import load_scene
from viewer.core import drafting
from viewer.core.journal import Journal
from viewer.core.keep import open_any, save
from viewer.core.laying import Laying
from viewer.core.recovery import Left, recover
from viewer.core.versions import LIST, go_on_from, in_branches, keep_version, painting_of
from viewer.core.views import Kept, View, seen


@pytest.fixture
def sitting(scene_folder):
    found = open_any(scene_folder(LIFTED))
    found.finish()
    yield found
    found.close()


def _stroke(sitting, *places) -> None:
    laying = Laying(sitting)
    laying.press(places[0])
    laying.move([(place, 1.0) for place in places[1:]])
    laying.up()
    sitting.finish()


def _picture(sitting) -> np.ndarray:
    sitting.finish()
    return sitting.preview.pyramid.levels[0].copy()


def _three(sitting):
    """Three versions, and their pictures: a stroke; the stroke goes on; the first, thinner."""
    pictures = {}
    _stroke(sitting, (6, 6), (30, 8))
    keep_version(sitting, "one stroke")
    pictures["one stroke"] = _picture(sitting)
    _stroke(sitting, (6, 26), (30, 27))
    keep_version(sitting, "two strokes")
    pictures["two strokes"] = _picture(sitting)
    go_on_from(sitting, sitting.versions[0])
    sitting.do("thin", drafting.with_changed_step(sitting.draft, 1, mix="Black 1 + water 8"))
    keep_version(sitting, "shadow 1 + 8")
    pictures["shadow 1 + 8"] = _picture(sitting)
    return pictures


def test_going_on_from_a_version_is_one_deed_and_brings_all_of_it_back(sitting):
    pictures = _three(sitting)
    for version in sitting.versions:
        before, deeds = sitting.draft, sitting.history.place
        go_on_from(sitting, version)
        assert np.array_equal(_picture(sitting), pictures[version.name])
        assert sitting.history.place == deeds + 1
        sitting.take_back()
        assert np.array_equal(_picture(sitting), pictures["shadow 1 + 8"])
        assert sitting.draft == before


def test_versions_know_which_came_from_which(sitting):
    _three(sitting)
    told = {version.name: branch for version, branch in in_branches(sitting.versions)}
    assert told == {"one stroke": 0, "two strokes": 0, "shadow 1 + 8": 1}
    assert [version.after for version in sitting.versions] == ["", "one stroke", "one stroke"]


@pytest.mark.parametrize("place", ["folder", "folder.zip"])
def test_each_version_is_a_scene_of_its_own_in_the_folder(sitting, tmp_path, place):
    pictures = _three(sitting)
    save(sitting, tmp_path / place)
    unpacked = tmp_path / ("unpacked" if place.endswith(".zip") else place)
    again = open_any(tmp_path / place, unpack_to=unpacked)
    assert [v.name for v in again.versions] == list(pictures)
    assert not again.changed
    for version in again.versions:
        # the sheet it was kept from, and the command line, know nothing of each other
        painted = resolve(load_scene(unpacked / version.file))
        assert np.array_equal(render(painted).rgb, pictures[version.name])
        assert version.thumb
    again.close()


def test_saving_again_writes_no_version_over(sitting, tmp_path):
    _three(sitting)
    save(sitting, tmp_path / "scene")
    files = {f.name: f.read_bytes() for f in (tmp_path / "scene").rglob("version-*")}
    masks = {f.name for f in (tmp_path / "scene" / "masks").iterdir()}
    assert len(files) == 6
    _stroke(sitting, (20, 6), (20, 26))
    keep_version(sitting, "another")
    save(sitting, tmp_path / "scene")
    for name, content in files.items():
        assert (tmp_path / "scene" / name).read_bytes() == content
    assert masks <= {f.name for f in (tmp_path / "scene" / "masks").iterdir()}
    assert len(list((tmp_path / "scene").glob("version-*.toml"))) == 4


def test_a_name_serves_one_version(sitting):
    keep_version(sitting, "Dusk")
    assert sitting.changed
    with pytest.raises(InputError, match="already"):
        keep_version(sitting, " dusk ")
    with pytest.raises(InputError, match="needs a name"):
        keep_version(sitting, "  ")
    assert len(sitting.versions) == 1


def test_what_is_damaged_is_left_out_and_the_rest_opens(sitting, tmp_path):
    _three(sitting)
    save(sitting, tmp_path / "scene")
    (tmp_path / "scene" / sitting.versions[1].file).write_text("no scene")
    listed = json.loads((tmp_path / "scene" / LIST).read_text())
    listed.append({"name": "outside", "file": "../scene.toml", "kept_at": 0})
    (tmp_path / "scene" / LIST).write_text(json.dumps([*listed, 7, None]))
    again = open_any(tmp_path / "scene")
    assert [v.name for v in again.versions] == ["one stroke", "shadow 1 + 8"]
    again.close()
    (tmp_path / "scene" / LIST).write_text("{")
    again = open_any(tmp_path / "scene")
    assert again.versions == ()
    again.close()


def test_versions_are_there_after_a_crash(sitting, tmp_path):
    journal = Journal(sitting, tmp_path / "kept")
    pictures = _three(sitting)
    again = recover(Left(journal.folder, "", None, 0.0))
    assert [v.name for v in again.versions] == list(pictures)
    go_on_from(again, again.versions[1])
    assert np.array_equal(_picture(again), pictures["two strokes"])
    again.close()


CHARGED = """
[[step]]
charge = "bloom"
into = "yellow"
mix = "Red 1 + water 2"
region = { ellipse_mm = { centre = [12, 16], radii = [3, 3] } }
minutes = 2
"""


def test_what_is_set_aside_is_kept_apart_from_what_a_version_paints(scene_folder, tmp_path):
    """A charge that comes before its wash can't stand in a scene file: its version was lost."""
    laid = '\n[[step]]\nwash = "shadow"'
    sitting = open_any(scene_folder(SMALL.replace(laid, CHARGED + laid)))
    bloom = [step.name for step in sitting.draft.scene.steps].index("bloom")
    first = drafting.with_step_moved(sitting.draft, bloom, 0)
    sitting.do("order", drafting.with_step_laid(first, 0, False))
    journal = Journal(sitting, tmp_path / "kept")
    kept = keep_version(sitting, "without the bloom")
    sitting.finish()
    again = recover(Left(journal.folder, "", None, 0.0))
    assert [version.draft.aside for version in again.versions] == [{0}]
    assert again.versions[0].draft.scene.steps == kept.draft.scene.steps
    # the version's own file is what is painted
    names = [step.name for step in load_scene(journal.folder / kept.file).steps]
    assert names == ["yellow", "shadow"]
    again.close()
    sitting.close()


def test_any_two_stand_on_either_side_of_the_line(sitting):
    pictures = _three(sitting)
    one, two, _ = (Kept(v.name, painting_of(sitting, v)) for v in sitting.versions)
    now = pictures["shadow 1 + 8"]
    for left, right in ((one, two), (None, one), (two, None)):
        view = View(split=0.5, left=left, right=right)
        found = seen(sitting.painting, view, sitting.preview.pyramid.bounds)
        edge = round(0.5 * found.shape[1])
        sides = [now if kept is None else pictures[kept.name] for kept in (left, right)]
        assert np.array_equal(found[:, :edge], sides[0][:, :edge])
        assert np.array_equal(found[:, edge:], sides[1][:, edge:])
        sitting.look(view)
        assert np.array_equal(_picture(sitting), found)
    assert View(left=one).compared == ("one stroke", "the sheet now")
    assert View().compared is None


def test_a_shape_and_a_painted_region_of_one_name_keep_apart(sitting):
    keep_version(sitting, "before")
    laying = Laying(sitting)
    laying.cut([(6, 6), (14, 6), (14, 12)])
    keep_version(sitting, "a cut edge")
    shape, cut = sitting.scene.steps[-1].region, _picture(sitting)
    go_on_from(sitting, sitting.versions[0])
    sitting.choose(None)
    sitting.finish()
    _stroke(sitting, (24, 6), (30, 12))
    assert sitting.scene.steps[-1].region == shape
    painted = _picture(sitting)
    go_on_from(sitting, sitting.versions[1])
    assert np.array_equal(_picture(sitting), cut)
    sitting.take_back()
    assert np.array_equal(_picture(sitting), painted)
