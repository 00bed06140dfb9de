"""How a rough lies over its sheet: mirrored, or on a page with a border of its own.

Pears coloured by script as a hand colours (`tests.accuracy.hand_coloured`), invented.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageOps

from glaze.painting.settle import regions_of
from glaze.planning.rough.laid import OnSheet, lay_rough
from glaze.region.areas import Areas
from glaze.scene.laid_out import table_of_scene
from glaze.scene.records import Scene
from glaze.scene.starter import sketch_scene
from tests.accuracy.drawings import DRAWINGS
from tests.accuracy.hand_coloured import DPI, _coloured, signal_of

Pears = tuple[Scene, Areas, dict[bool, Image.Image], OnSheet]


@pytest.fixture(scope="module")
def pears(tmp_path_factory: pytest.TempPathFactory) -> Pears:
    """The scene, its areas, the rough with lines and without, and how it lies as it was drawn."""
    home = tmp_path_factory.mktemp("pears")
    sketch, light = _coloured(DRAWINGS["pears"](), np.random.default_rng(3))
    sketch.save(home / "sketch.png", dpi=(DPI, DPI))
    line = np.asarray(sketch, float)[..., None] / 255
    roughs = {
        lines: Image.fromarray(signal_of(light * line if lines else light)).resize((600, 420))
        for lines in (True, False)
    }
    scene = sketch_scene(home / "sketch.png")
    areas = regions_of(scene).areas()
    roughs[True].save(home / "rough.png")
    return scene, areas, roughs, lay_rough(home / "rough.png", areas, table_of_scene(scene))


def _bordered(picture: Image.Image) -> Image.Image:
    """On a white page, more of it to the right and below."""
    page = Image.new("RGB", (picture.width + 200, picture.height + 130), "white")
    page.paste(picture, (120, 40))
    return page


@pytest.mark.parametrize("lines", [True, False])
@pytest.mark.parametrize("change", [ImageOps.mirror, _bordered])
def test_a_mirrored_or_bordered_rough_lies_where_it_belongs(
    change, lines: bool, pears: Pears, tmp_path: Path
) -> None:
    scene, areas, roughs, as_drawn = pears
    change(roughs[lines]).save(tmp_path / "rough.png")
    laid = lay_rough(tmp_path / "rough.png", areas, table_of_scene(scene))
    both = laid.seen & as_drawn.seen
    assert both.mean() > 0.8
    assert np.linalg.norm(laid.lab - as_drawn.lab, axis=-1)[both].mean() < 1.5
    assert ("mirrored" in " ".join(laid.notes)) == (change is ImageOps.mirror)


def test_a_rough_pulled_out_of_shape_lies_by_its_lines(pears: Pears, tmp_path: Path) -> None:
    """Copied half as wide: no frame of the sheet's shape is in it, its lines still are."""
    scene, areas, roughs, as_drawn = pears
    wide, high = roughs[True].size
    roughs[True].resize((wide // 2, high)).save(tmp_path / "rough.png")
    laid = lay_rough(tmp_path / "rough.png", areas, table_of_scene(scene))
    corners = np.array([[0, 0], [200, 0], [200, 140], [0, 140.0]])  # of the sheet [mm]
    apart = laid.plane(corners) - as_drawn.plane(corners) * (0.5, 1)
    assert np.abs(apart).max() < 0.01 * wide
    assert laid.how == "its lines"


def test_where_the_only_wash_is_taken_away_none_is_offered_over_what_lies_there():
    """A wash of no number was laid, and `glaze rough` ended with a fault."""
    from glaze.planning.rough.draft import Attempt
    from glaze.planning.rough.grounds import as_they_lie

    nothing = Attempt(np.zeros((0, 4)), (), ((), ()), np.zeros(2), ())
    assert [(stack, at.tolist()) for stack, at in as_they_lie(nothing)] == [((), [0, 1])]
