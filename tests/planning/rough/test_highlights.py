"""Places lighter than the wash about them: reserved, or lifted where that is sure."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image, ImageDraw

from glaze.materials.bleach import CAUTION
from glaze.planning.rough import highlights
from glaze.planning.rough.doubt import unsure
from glaze.planning.rough.propose import propose
from glaze.planning.rough.told import as_dict, shortfalls
from glaze.planning.sheet.planner import plan_of
from glaze.scene.starter import sketch_scene
from tests.planning.rough.conftest import PER_MM, line_art


@pytest.fixture(scope="module")
def moonlit(tmp_path_factory):
    """A dark sky with a bare moon of 7 mm in it (invented)."""
    home = tmp_path_factory.mktemp("moonlit")
    line_art().save(home / "sketch.png", dpi=(100, 100))
    rough = Image.new("RGB", line_art().size, "#f2f1ec")
    pen = ImageDraw.Draw(rough)
    pen.rectangle([0, 0, rough.width, round(44 * PER_MM)], "#7088a8")
    x, y, r = 45 * PER_MM, 10 * PER_MM, 3.5 * PER_MM
    pen.ellipse([x - r, y - r, x + r, y + r], "#f2f1ec")
    ink = np.asarray(line_art())[..., None] / 255
    Image.fromarray(np.rint(np.asarray(rough) * ink).astype(np.uint8)).save(home / "rough.png")
    return home


def test_a_moon_is_kept_bare_and_told_with_what_bleach_would_do(moonlit):
    scene = sketch_scene(moonlit / "sketch.png")
    found = propose(scene, moonlit / "rough.png", wells=2, steps=3)
    moon = found.bare[0]
    assert moon.width_mm == pytest.approx(7.0, abs=1.2)
    assert not moon.lifted
    assert moon.low < moon.value < moon.high
    assert "paint round it" in moon.text
    assert found.draft.stacks[moon.piece] == ()
    told = as_dict(found, shortfalls(found), unsure(found))
    assert told["caution"] == CAUTION
    assert not found.bleaches


def test_what_is_too_narrow_is_lifted_last_where_its_band_allows(moonlit, monkeypatch):
    """The moon taken for too narrow, and bleach for sure: it is laid over and lifted."""
    monkeypatch.setattr(highlights, "BRUSH_MM", 20.0)
    monkeypatch.setattr(highlights, "UNSURE", 0.0)
    scene = sketch_scene(moonlit / "sketch.png")
    found = propose(scene, moonlit / "rough.png", wells=2, steps=5)
    kinds = [step.kind for step in found.scene.steps]
    assert kinds[-2:] == ["lift", "rinse"]
    assert "lift" not in kinds[:-2]
    moon = found.bare[0]
    at = found.easel.wanted.pieces[moon.piece].at
    lifted = found.predicted.reshape(-1, 3)[at]
    sky = found.predicted[found.laid.number == 1].min(axis=0)
    assert np.median(lifted[:, 0]) > sky[0] + 10  # lighter than the sky under it
    assert plan_of(found.scene, found.painting).as_dict()["caution"] == CAUTION
