"""`glaze rough` as it is typed."""

from __future__ import annotations

import json
import shutil

import pytest
from click.testing import CliRunner
from PIL import Image

from glaze.cli.main import glaze


@pytest.fixture(scope="module")
def told(street, tmp_path_factory):
    home = tmp_path_factory.mktemp("typed")
    for name in ("sketch.png", "rough.png"):
        shutil.copy(street / name, home / name)
    words = [str(home / "sketch.png"), str(home / "rough.png"), "--effort", "low", "--wells", "4"]
    done = CliRunner().invoke(glaze, ["rough", *words, "--json"], catch_exceptions=False)
    assert done.exit_code == 0, done.output
    return home, words, json.loads(done.stdout)


def test_its_answer_is_one_object_with_the_plan(told):
    _home, _, answer = told
    assert answer["steps"] <= 6
    assert len(answer["wells"]) <= 4
    assert answer["bound_de00"] <= answer["mean_de00"]
    assert len(answer["plan"]["steps"]) == answer["steps"]
    assert answer["sure"]["strips_first"]
    assert {f.rsplit("/", 1)[1] for f in answer["files"]} == {"scene.toml", "beside.png"}


def test_it_writes_a_scene_that_paints_and_a_page_to_look_at(told):
    from glaze.pipeline import paint

    home, _, _ = told
    with Image.open(home / "sketch.png") as sketch:
        assert paint(home / "sketch-rough").rgb.shape[:2] == sketch.size[::-1]
    with Image.open(home / "sketch-rough" / "beside.png") as page:
        assert min(page.size) > 1000


def test_it_never_writes_over_what_is_there(told):
    _, words, _ = told
    done = CliRunner().invoke(glaze, ["rough", *words])
    assert done.exit_code != 0
    assert "left as it is" in str(done.exception) + done.output


def test_into_the_scene_itself_its_own_file_is_kept(street, tmp_path, looked_over):
    from glaze.scene.file import load_scene
    from glaze.scene.starter import start_scene

    file, _ = start_scene(street / "sketch.png", tmp_path / "own")
    before = file.read_bytes()
    words = [str(file.parent), str(street / "rough.png"), "--here", "--steps", "2", "--wells", "2"]
    done = CliRunner().invoke(glaze, ["rough", *words], catch_exceptions=False)
    assert done.exit_code == 0, done.output
    assert (file.parent / "scene_before_rough.toml").read_bytes() == before
    assert len(load_scene(file).steps) <= 2
    # and the plan is told as `glaze plan` tells it of what was written
    plan = CliRunner().invoke(glaze, ["plan", str(file.parent)], catch_exceptions=False)
    last = [line for line in plan.output.splitlines() if "value" in line.lower()][-1]
    assert "Each value is read" in done.output
    assert last in done.output


def test_a_name_of_a_picture_is_no_folder(street, tmp_path):
    words = [str(street / "sketch.png"), str(street / "rough.png"), "-o", str(tmp_path / "r.png")]
    done = CliRunner().invoke(glaze, ["rough", *words])
    assert "without .png" in str(done.exception)
    assert not (tmp_path / "r.png").exists()
