"""Steps for a rough over those that a scene has already: they stay, and what is missing is found.

The street and its rough are invented (`conftest`); colours are judged by colour-science's
CIEDE2000.
"""

from __future__ import annotations

import json

import colour
import numpy as np
import pytest
from click.testing import CliRunner

from glaze.cli.main import glaze
from glaze.errors import InputError
from glaze.pipeline import paint
from glaze.planning.rough.propose import propose
from glaze.planning.rough.told import shortfalls, summary
from glaze.scene.file import load_scene, write_scene
from glaze.scene.starter import as_started, sketch_scene, start_scene
from glaze.step.lift_step import Lift
from glaze.step.wash_step import Wash


@pytest.fixture(scope="module")
def begun(street):
    """The street with two of its five walls painted, as the rough has them, lit side and shade."""
    own = {
        "regions": {},
        "wells": {"rose": "Red 3 + Yellow 2 + water 60"},
        "steps": (
            Wash(name="first wall", mix="rose", region={"area": [3]}),
            Wash(name="too dark", mix="Black 1 part + water 4 parts", region={"area": [5]}),
        ),
    }
    return sketch_scene(street / "sketch.png").model_copy(update=own).in_folder(street)


@pytest.fixture(scope="module")
def found(begun, street):
    return propose(begun, street / "rough.png", wells=3, steps=5)


def test_what_is_there_stays_and_the_rest_is_laid_over_it(begun, found):
    assert found.scene.steps[:2] == begun.steps
    assert found.scene.wells["rose"] == begun.wells["rose"]
    assert 1 <= len(found.made.new) <= 5
    assert len(found.made.wells) <= 3
    assert any("over the 2 steps that are in the scene already" in line for line in summary(found))
    names = [step.name for step in found.scene.steps]
    assert len(set(names)) == len(names)


def test_it_comes_nearer_everywhere_but_where_it_is_too_dark_already(begun, found):
    """By colour-science: what is predicted against the rough, before and after the new steps."""
    wanted = found.laid.lab
    before = found.easel.lying.already.lab.reshape(wanted.shape)
    off = [colour.delta_E(lab, wanted, method="CIE 2000") for lab in (before, found.predicted)]
    there = np.isfinite(found.off)
    assert off[1][there].mean() < 0.5 * off[0][there].mean()
    dark = there & (found.laid.number == 5)
    assert off[1][dark].mean() > 8
    told = [place for place in shortfalls(found) if place.name.endswith("area 5")]
    assert told
    assert all("darker than that, and a wash only darkens it" in place.why for place in told)


def test_no_wash_goes_over_bleach(begun, street):
    """Common practice, no source: bleach in the paper eats what is laid over it."""
    lift = Lift(name="light", region={"area": [3]}, parts_water=9)
    scene = begun.model_copy(update={"steps": (*begun.steps[:1], lift)}).in_folder(street)
    found = propose(scene, street / "rough.png", wells=2, steps=4)
    for wanted, stack in zip(found.easel.wanted.pieces, found.draft.stacks, strict=True):
        assert wanted.area != 3 or stack == ()
    assert any("Bleach lies there" in place.why for place in shortfalls(found))


def test_anew_leaves_them_out_and_so_are_the_first_washes_of_a_new_scene(begun, street, tmp_path):
    anew = propose(begun, street / "rough.png", wells=2, steps=2, anew=True)
    assert "rose" not in anew.scene.wells
    assert len(anew.scene.steps) <= 2
    file, _ = start_scene(street / "sketch.png", tmp_path / "new")
    started = load_scene(file)
    assert started.steps
    assert as_started(started)
    assert not as_started(begun)


def test_typed_it_says_how_many_are_there(begun, street, tmp_path):
    (tmp_path / "sketch.png").write_bytes((street / "sketch.png").read_bytes())
    write_scene(begun.in_folder(tmp_path), tmp_path / "scene.toml")
    words = ["rough", str(tmp_path), str(street / "rough.png"), "-o", str(tmp_path / "out")]
    done = CliRunner().invoke(
        glaze, [*words, "--steps", "2", "--wells", "2", "--json"], catch_exceptions=False
    )
    told = json.loads(done.stdout)
    assert told["steps_before"] == 2
    assert told["steps"] <= 2
    assert len(told["plan"]["steps"]) == 2 + told["steps"]
    assert told["prices"]["step_de00"] == pytest.approx(0.25)
    assert [step.name for step in load_scene(tmp_path / "out").steps][:2] == [
        "first wall",
        "too dark",
    ]


def test_a_rough_of_what_lies_there_asks_for_nothing(begun, street, tmp_path):
    """The scene's own picture given back: no step brings it nearer; that is said, no more."""
    (tmp_path / "sketch.png").write_bytes((street / "sketch.png").read_bytes())
    write_scene(begun.in_folder(tmp_path), tmp_path / "scene.toml")
    paint(tmp_path).save(tmp_path / "rough.png")
    words = ["rough", str(tmp_path), str(tmp_path / "rough.png"), "-o", str(tmp_path / "out")]
    done = CliRunner().invoke(glaze, words)
    assert isinstance(done.exception, InputError), done.exception
    assert "near the rough already" in str(done.exception)
    assert not (tmp_path / "out").exists()
