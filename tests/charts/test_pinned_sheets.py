"""Small pictures of the sheets. They only pin: a change here has to be looked at, and said why."""

from __future__ import annotations

import importlib.util
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from glaze.charts.paper.png import page_pixels

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def maker():
    """docs/pictures/make_sheets.py, which made the pinned pictures."""
    file = ROOT / "docs" / "pictures" / "make_sheets.py"
    spec = importlib.util.spec_from_file_location("make_sheets", file)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_sheets_look_as_they_did_when_they_were_looked_at(maker) -> None:
    for name, page in maker.sheets().items():
        with Image.open(maker.PINNED / f"sheet_{name}.png") as picture:
            pinned = np.asarray(picture, dtype=int)
        drawn = page_pixels(page, maker.PINNED_DPI).astype(int)
        assert drawn.shape == pinned.shape, name
        off = np.abs(drawn - pinned)
        # type is drawn a little otherwise by other versions of the font library
        assert off.mean() < 1.0, name
        assert (off.max(axis=-1) > 40).mean() < 0.02, name
