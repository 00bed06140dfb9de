"""Makes card.png, the first page of the lighthouse's recipe card, from the current code.

python docs/pictures/make_card.py
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
from PIL import Image

from glaze.charts.paper.png import page_pixels
from glaze.charts.sheets.card import card_pages
from glaze.planning.sheet.planner import plan_of
from glaze.scene.file import load_scene

HERE = Path(__file__).parent
DAY = "2026-11-25"


def make_card() -> np.ndarray:
    """The page at 90 dpi, in 160 colours so that the file stays small."""
    plan = plan_of(load_scene(HERE.parent.parent / "scenes" / "lighthouse"))
    return page_pixels(card_pages(plan, "A4", DAY)[0], 90.0)


if __name__ == "__main__":
    picture = Image.fromarray(make_card()).quantize(160, dither=Image.Dither.NONE)
    picture.save(HERE / "card.png", optimize=True)
