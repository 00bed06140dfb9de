"""A shadow's wash in two goes, where in one it would drag the colour below out over its edge.

Three walls side by side and one shadow across them, invented; the rough is what they paint. That a
loaded brush drags what dissolves again is common practice, no source.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw

from glaze.painting.settle import Painting, resolve
from glaze.pipeline import render
from glaze.planning.rough.draft import Attempt
from glaze.planning.rough.goes import _parted, second_go, with_second_go
from glaze.planning.rough.measured import minded_pairs
from glaze.planning.rough.pieces import NONE
from glaze.planning.sheet.planner import plan_of
from glaze.region.records import Region
from glaze.scene.records import Scene
from glaze.scene.starter import sketch_scene
from glaze.step.wash_step import Wash

DPI, WIDE, HIGH = 100, 360, 240
SHADOW = "Black 1 part + water 5 parts"
WALLS = (
    "Red 1 part + water 2 parts",
    "Yellow 1 part + water 12 parts",
    "Blue 1 part + water 2 parts",
)


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the sketch: three walls that share their sides."""
    folder = tmp_path_factory.mktemp("goes")
    sketch = Image.new("L", (WIDE, HIGH), 255)
    pen = ImageDraw.Draw(sketch)
    for n in range(3):
        pen.rectangle((20 + 106 * n, 20, 126 + 106 * n, 220), outline=0, width=3)
    sketch.save(folder / "sketch.png", dpi=(DPI, DPI))
    return folder


def _scene(home: Path, *shadows: tuple[int, ...]) -> Scene:
    """The walls, of areas 2 to 4, and the shadow laid over them in so many goes."""
    walls = [Wash(name=f"w{n}", mix=m, region={"area": [n + 2]}) for n, m in enumerate(WALLS)]
    band = Region(polygon_mm=((0, 28), (91, 20), (91, 34), (0, 42)))
    regions = [{"area": list(on), "inside": ["band"]} for on in shadows]
    goes = [
        Wash(name=f"shadow {n}", mix=SHADOW, region=region, edge="soft")
        for n, region in enumerate(regions)
    ]
    own = {"steps": (*walls, *goes), "regions": {"band": band}}
    return sketch_scene(home / "sketch.png").model_copy(update=own).in_folder(home)


def test_the_smaller_side_of_an_edge_that_is_dragged_across_is_left_to_a_second_go(home) -> None:
    """By the plan's own risks, before and after; and nothing looks otherwise."""
    whole, parted = _scene(home, (2, 3, 4)), _scene(home, (2, 4), (3,))
    once, twice = (resolve(scene, even=True) for scene in (whole, parted))
    pairs = minded_pairs(once)
    assert pairs.keys() == {(0, 3), (2, 3)}
    assert _strong(whole, once) == {(0, 3), (2, 3)}
    # the middle wall under the shadow, which both edges part from the others
    assert second_go(once, [0, 2], 3) == [frozenset({1, 3})]
    assert minded_pairs(twice) == {}
    assert _strong(parted, twice) == set()
    seen, again = (np.asarray(render(one).rgb, int) for one in (once, twice))
    assert np.abs(seen - again).max() <= 1


def _strong(scene: Scene, painting: Painting) -> set[tuple[int, int]]:
    """Which step drags which strongly, as `glaze plan` tells it."""
    told = plan_of(scene, painting).risks
    return {(r.other, r.step) for r in told if r.kind == "re-wet" and r.level == "strong"}


def test_places_that_hang_together_are_parted_so_that_neighbours_differ() -> None:
    # by hand: a row of three, a pair, and a ring of three, of which one edge must stay
    assert _parted({1: [2], 2: [1, 3], 3: [2]}) == [([1, 3], [2])]
    assert _parted({1: [2], 2: [1], 7: [9], 9: [7]}) == [([1], [2]), ([7], [9])]
    assert _parted({1: [2, 3], 2: [1, 3], 3: [1, 2]}) == [([1], [2, 3])]


def test_a_second_go_is_the_same_wash_in_its_place_of_the_order() -> None:
    mixes = np.array([[0.1], [0.2]])
    draft = Attempt(mixes, (None, None), ((0, 1), (1,)), np.zeros(2), (NONE, 0), (0, 1))
    made = with_second_go(draft, 1, {1})
    assert made.stacks == ((0, 1), (2,))
    assert made.mixes.tolist() == [[0.1], [0.2], [0.2]]
    assert (made.cast, made.well) == ((NONE, 0, 0), (0, 1, 1))
