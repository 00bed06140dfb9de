"""A thin pen line of bleach is told as wide as it lifts, read off the painted picture."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from glaze.painting.settle import resolve
from glaze.pipeline import linear_rgb
from glaze.scene.file import load_scene

SCENE = """
format = 1
palette = "lifting"
paper = "{paper}"
size_mm = [30, 20]
dpi = 300
[[step]]
wash = "night"
mix = "Black 1 + water 4"
region = "sheet"
[[step]]
lift = "line"
region = {{ pen_line_mm = {{ points = [[5, 10], [25, 10]], width = {width} }} }}
tool = "dip pen"
"""


@pytest.mark.parametrize("paper", ["white hot-pressed", "white cartridge"])
@pytest.mark.parametrize("width", [0.4, 0.7])
def test_a_thin_line_is_told_as_wide_as_it_lifts(tmp_path: Path, paper: str, width: float) -> None:
    (tmp_path / "scene.toml").write_text(SCENE.format(paper=paper, width=width))
    painting = resolve(load_scene(tmp_path), even=True)
    (note,) = painting.notes
    light = linear_rgb(painting)[:, 150:200].mean((1, 2))
    lifted = np.count_nonzero(light > (light[20] + light.max()) / 2) * 25.4 / 300
    told = re.search(r"drawn ([\d.]+) mm wide lifts about ([\d.]+) mm", note)
    assert told is not None
    assert float(told[1]) == width
    assert float(told[2]) == pytest.approx(lifted, abs=0.15)


def test_a_broad_line_is_as_wide_as_it_is_drawn(tmp_path: Path) -> None:
    (tmp_path / "scene.toml").write_text(SCENE.format(paper="white hot-pressed", width=2))
    assert resolve(load_scene(tmp_path), even=True).notes == ()
