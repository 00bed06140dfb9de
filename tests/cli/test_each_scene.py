"""A command on a folder of scenes: each as by itself, the good ones done, the wrong ones told."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from pypdf import PdfReader
from small_scenes import LIFTED, SMALL

from glaze.cli.each_scene import scenes_in
from glaze.cli.main import glaze
from glaze.errors import InputError
from glaze.materials.bleach import CAUTION_LINE

WRONG = SMALL.replace("Yellow 3", "Yelow 3").replace('region = "right"', 'region = "rihgt"')


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(glaze, [*map(str, words)], catch_exceptions=False)


@pytest.fixture
def pupils(scene_folder: Callable[..., Path], tmp_path: Path) -> Path:
    """Three scenes in a folder, one of them with two mistakes, and a file that is none."""
    (tmp_path / "class").mkdir()
    for name, text in (("ann", LIFTED), ("ben", WRONG), ("cas", SMALL)):
        scene_folder(text, f"class/{name}")
    (tmp_path / "class" / "list.txt").write_text("ann, ben, cas")
    (tmp_path / "class" / "empty").mkdir()
    return tmp_path / "class"


def test_the_scenes_of_a_folder_are_its_folders_with_a_scene_file(pupils: Path) -> None:
    assert [one.name for one in scenes_in(pupils)] == ["ann", "ben", "cas"]
    assert scenes_in(pupils / "ann") == []
    assert scenes_in(pupils / "list.txt") == []
    assert scenes_in(pupils / "nowhere") == []


def test_a_class_is_checked_and_every_mistake_told(pupils: Path) -> None:
    told = run("check", pupils)
    assert told.exit_code == 2
    assert "ann" in told.stdout
    assert "40 x 32 mm" in told.stdout  # of the sketch: 236 x 190 px at 150 dpi
    assert "2 of 3 scenes are good" in told.stdout
    alone = CliRunner().invoke(glaze, ["check", str(pupils / "ben")])
    assert isinstance(alone.exception, InputError)
    assert len(alone.exception.problems) == 2
    for problem in alone.exception.problems:
        assert problem in told.stdout
    assert CAUTION_LINE in told.stdout


def test_a_class_without_a_mistake_ends_well(pupils: Path) -> None:
    (pupils / "ben" / "scene.toml").write_text(SMALL)
    told = run("check", pupils, "--json")
    assert told.exit_code == 0
    found = json.loads(told.stdout)
    for name, one in found["scenes"].items():
        assert one == json.loads(run("check", pupils / name, "--json").stdout)


def test_the_pictures_of_a_class_are_those_of_each_alone(
    pupils: Path, tmp_path: Path, looked_over
) -> None:
    told = run("preview", pupils, "-o", tmp_path / "out", "--scale", "0.5")
    assert told.exit_code == 2
    for name in ("ann", "cas"):
        alone = tmp_path / f"{name}.png"
        assert run("preview", pupils / name, "-o", alone, "--scale", "0.5").exit_code == 0
        assert alone.read_bytes() == (tmp_path / "out" / f"{name}.png").read_bytes()
    assert not (tmp_path / "out" / "ben.png").exists()
    text = "\n".join(p.extract_text() for p in PdfReader(tmp_path / "out/contact sheet.pdf").pages)
    for words in ("ann", "cas", "Two squares", "check with a ruler", "Bleach: read this first"):
        assert words in text
    assert "ben" not in text
    assert CAUTION_LINE in told.stdout


def test_the_plans_of_a_class_say_what_all_take_of_each_bottle(pupils: Path, tmp_path: Path):
    told = json.loads(run("plan", pupils, "--card", tmp_path / "cards", "--json").stdout)
    alone = [json.loads(run("plan", pupils / name, "--json").stdout) for name in ("ann", "cas")]
    for bottle, ml in told["bottles_ml"].items():
        each = [one["bottles_ml"].get(bottle, 0.0) for one in alone]
        assert ml == pytest.approx(sum(each), abs=0.006)  # two decimals are told
    assert told["bottles_ml"]["Yellow"] > 0
    cards = tmp_path / "cards"
    assert told["files"] == [str(cards / "ann.pdf"), str(cards / "cas.pdf")]
    assert told["scenes"]["ann"]["card"] == [str(cards / "ann.pdf")]
    assert "Two squares" in PdfReader(cards / "cas.pdf").pages[0].extract_text()


def test_a_second_run_replaces_its_own_files_and_no_other(pupils: Path, tmp_path: Path) -> None:
    out = tmp_path / "out"
    for _ in range(2):
        assert run("preview", pupils, "-o", out, "--scale", "0.2").exit_code == 2
        assert run("plan", pupils, "--card", out).exit_code == 2
    (out / "cas.png").write_bytes(b"a drawing of Cas's own")
    (out / "ann.png").unlink()
    told = CliRunner().invoke(glaze, ["preview", str(pupils), "-o", str(out), "--scale", "0.2"])
    assert isinstance(told.exception, InputError)
    assert "stays as it is" in str(told.exception)
    assert (out / "cas.png").read_bytes() == b"a drawing of Cas's own"
    assert not (out / "ann.png").exists()


IDLE = {
    "a file for a class": (["preview", "-o", "class.png"], "name a folder"),
    "watching a class": (["preview", "-o", "out", "--watch"], "single scene"),
}


@pytest.mark.parametrize(("words", "said"), IDLE.values(), ids=IDLE.keys())
def test_what_a_class_cant_have_is_told(pupils: Path, words: list[str], said: str) -> None:
    told = CliRunner().invoke(glaze, [words[0], str(pupils), *words[1:]])
    assert isinstance(told.exception, InputError)
    assert said in str(told.exception)


def test_a_cluster_is_for_a_class(pupils: Path) -> None:
    told = CliRunner().invoke(
        glaze, ["check", str(pupils / "ann"), "--scheduler", "tcp://127.0.0.1:9"]
    )
    assert isinstance(told.exception, InputError)
    assert "folder of scenes" in str(told.exception)


def test_an_idle_option_is_refused_of_a_class_as_of_a_scene(pupils: Path) -> None:
    told = run("plan", pupils, "--card-size", "A3")
    assert told.exit_code == 2
    assert told.stdout.count("leave it out") == 3
    assert "0 of 3 scenes are good" in told.stdout
