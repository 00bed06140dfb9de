"""What pools and what is drawn again: facts of the trade, read off the sheet. Common practice, no
source, but that a darker yellow looks redder: its absorption edge lies at longer waves (tables)."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image

from glaze.painting.lay import sheet_at
from glaze.painting.settle import Painting, resolve
from glaze.patch.patches import xyz
from glaze.physics.colour import lab_from_xyz, munsell_value
from glaze.scene.file import scene_of
from glaze.sheet.rect import Rect

HEAD = {"format": 1, "palette": "lifting", "paper": "white hot-pressed"}
BAND = {"polygon_mm": [[10, 10], [50, 10], [50, 30], [10, 30]]}


def seen(painting: Painting, box_mm: tuple[float, float, float, float]) -> tuple[float, float]:
    """Munsell value and hue angle [degrees] of a part of the sheet, its line left out."""
    rect = Rect(*(round(side * painting.dpi / 25.4) for side in box_mm))
    mean = xyz(painting.table, sheet_at(painting, rect)).reshape(-1, 3).mean(axis=0)
    lab = lab_from_xyz(mean, painting.table.light.white_xyz)
    return float(munsell_value(mean[1])), float(np.degrees(np.arctan2(lab[2], lab[1])))


@pytest.mark.parametrize("hand", ["steady", "practised"])
def test_a_pooled_yellow_is_warmer_at_its_rim_than_in_its_middle(hand):
    step = {"wash": "yellow", "mix": "Yellow 1 + water 1", "region": BAND, "tilt_degrees": 10}
    raw = HEAD | {"size_mm": [60, 40], "dpi": 200, "hand": hand, "step": [step]}
    painting = resolve(scene_of(raw, "."))
    rim = seen(painting, (29.5, 12, 29.9, 48))  # top, left, bottom, right: at the low side
    middle = seen(painting, (16, 16, 24, 44))
    assert rim[0] < middle[0]
    assert rim[1] < middle[1] - 0.5  # towards orange


def test_a_line_of_dye_ink_that_bleach_took_back_leaves_its_ghost_under_the_pen(tmp_path):
    sketch = np.full((315, 472), 255, np.uint8)
    sketch[150:165] = 20  # a line of 1.9 mm across the sheet
    Image.fromarray(sketch).save(tmp_path / "sketch.png", dpi=(200, 200))
    lift = {"lift": "back", "region": {"polygon_mm": [[20, 10], [60, 10], [60, 30], [20, 30]]}}
    pen = {"pen_line_mm": {"points": [[40, 20], [58, 20]], "width": 2.6}}
    again = {"wash": "again", "mix": "Blue 1 + water 2", "region": pen, "edge": "none"}
    raw = HEAD | {"sketch": "sketch.png", "line": "Black", "hand": "steady"}
    raw |= {"step": [lift | {"parts_water": 9}, again]}
    painting = resolve(scene_of(raw, tmp_path))
    drawn, ghost, redrawn = (
        seen(painting, (19.4, left, 20.6, left + 8))[0] for left in (6, 26, 45)
    )
    beside = seen(painting, (19.4, 26, 20.6, 34))[0], seen(painting, (14, 26, 16, 34))[0]
    fresh = HEAD | {"size_mm": [60, 40], "dpi": 200, "hand": "steady", "step": [again]}
    on_paper = seen(resolve(scene_of(fresh, tmp_path)), (19.4, 45, 20.6, 53))[0]
    assert drawn < ghost - 1.0  # bleach took most of it
    assert beside[0] < beside[1]  # and left a ghost
    assert redrawn < on_paper  # which the pen's new line lies over
