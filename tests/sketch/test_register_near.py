"""A picture that lies right in its frame stays there, whatever its own tones pull at."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from glaze.sketch.plane import Plane
from glaze.sketch.register import register

SKETCH = Path(__file__).parents[2] / "scenes" / "ferry" / "sketch.png"


def _grey(wide: int) -> np.ndarray:
    with Image.open(SKETCH) as file:
        high = round(wide * file.height / file.width)
        small = file.convert("L").resize((wide, high), Image.Resampling.BOX)
    return np.asarray(small, np.float32) / 255


@pytest.mark.parametrize("dark", [0.03, 0.06])
def test_a_night_scene_in_its_frame_is_not_pulled_off_its_lines(dark: float) -> None:
    """Faint lines in the dark, a bright quay and a lamp (invented): strong edges, coarsely seen."""
    line, own = _grey(900), _grey(600)
    y, x = np.mgrid[0 : own.shape[0], 0 : own.shape[1]] / np.array(own.shape)[:, None, None]
    tone = np.full(own.shape, dark, np.float32)
    tone[y > 0.75], tone[y > 0.9] = 0.25, 0.8
    tone[(x - 0.3) ** 2 + (y - 0.4) ** 2 < 0.01] = 0.7
    frame = Plane(np.diag([600 / 900, own.shape[0] / line.shape[0], 1.0]))
    match = register(line, tone * (0.3 + 0.7 * own), frame)
    corners = np.array([[0, 0], [899, 0], [899, line.shape[0] - 1], [0, line.shape[0] - 1.0]])
    # it lies where it was made: to two of the sketch's pixels of 0.33 mm
    apart = np.linalg.norm(match.plane(corners) - frame(corners), axis=-1) / (600 / 900)
    assert apart.max() < 2.0
    assert match.seen > 0.97
