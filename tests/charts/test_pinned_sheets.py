"""Small pictures of the sheets. They only pin: a change here has to be looked at, and said why."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from glaze.charts.paper.page import Page
from glaze.charts.paper.png import page_pixels

sys.path.append(str(Path(__file__).resolve().parents[2] / "docs" / "pictures"))

from make import is_stale
from of_sheets import PINNED, PINNED_DPI, sheets, shown


@pytest.fixture(scope="module")
def drawn_now() -> dict[str, Page]:
    """All sheets of the docs."""
    return sheets()


def test_sheets_look_as_they_did_when_they_were_looked_at(drawn_now: dict[str, Page]) -> None:
    for name, page in drawn_now.items():
        with Image.open(PINNED / f"sheet_{name}.png") as picture:
            pinned = np.asarray(picture, dtype=int)
        drawn = page_pixels(page, PINNED_DPI).astype(int)
        assert drawn.shape == pinned.shape, name
        off = np.abs(drawn - pinned)
        # type is drawn a little otherwise by other versions of the font library
        assert off.mean() < 1.0, name
        assert (off.max(axis=-1) > 40).mean() < 0.02, name


def test_the_pictures_of_the_sheets_in_the_docs_are_those_drawn_now(
    drawn_now: dict[str, Page],
) -> None:
    for name, page in drawn_now.items():
        assert not is_stale(f"sheet_{name}.png", shown(page)), name
