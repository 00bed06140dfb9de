"""A drawing that looks much the same upside down is laid over a picture the right way round."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image, ImageDraw

from glaze.sketch.register import LIKE_ITSELF, register
from glaze.sketch.search import like_itself_turned


def drawing(spot: tuple[float, float, float]) -> Image.Image:
    """Frame, discs and blocks that a half turn brings onto themselves, but for one black spot."""
    sheet = Image.new("L", (600, 800), 255)
    for _ in range(2):
        pen = ImageDraw.Draw(sheet)
        pen.rectangle([60, 80, 540, 720], outline=0, width=4)
        pen.ellipse([150, 150, 330, 330], outline=0, width=4)
        pen.line([60, 400, 540, 400], fill=0, width=4)
        pen.rectangle([330, 180, 480, 300], fill=150, outline=0, width=4)
        sheet = sheet.rotate(180)
    x, y, r = spot
    ImageDraw.Draw(sheet).ellipse([x - r, y - r, x + r, y + r], fill=0)
    return sheet


def grey(picture: Image.Image) -> np.ndarray:
    return np.asarray(picture, np.float32) / 255


@pytest.mark.parametrize(
    ("spot", "degrees", "wide"),
    [((453, 664, 13), 2.1, 0.70), ((422, 498, 18), -0.5, 1.02), ((120, 556, 15), 3.3, 0.71)],
)
def test_a_half_turn_is_told_by_the_one_spot_that_differs(spot, degrees, wide) -> None:
    """Found wrongly if the search ended with the first start that agrees by nine tenths."""
    sheet = drawing(spot)
    turned = sheet.rotate(180 + degrees, fillcolor=255, expand=True)
    picture = turned.resize((round(turned.width * wide), round(turned.height * 0.9)))
    H = register(grey(sheet), grey(picture)).plane.H
    assert H[0, 0] < -0.5  # what lay on the left is on the right
    assert H[1, 1] < -0.5


def test_a_sheet_is_like_itself_turned_where_a_turn_brings_it_onto_itself_wherever_it_lies() -> (
    None
):
    """1 by definition for one that is turned onto itself; off the middle its margins differ."""
    whole = drawing((-50, -50, 1)).crop((40, 60, 560, 740))
    aside = Image.new("L", (700, 800), 255)
    aside.paste(whole, (140, 90))
    assert like_itself_turned(grey(whole)) == pytest.approx(1.0, abs=0.08)
    assert like_itself_turned(grey(aside)) > LIKE_ITSELF
    # a quarter turn alone
    cross = Image.new("L", (600, 600), 255)
    for _ in range(4):
        ImageDraw.Draw(cross).polygon([(310, 290), (520, 250), (420, 120)], fill=60)
        cross = cross.rotate(90)
    assert like_itself_turned(grey(cross)) == pytest.approx(1.0, abs=0.08)
    ImageDraw.Draw(whole).rectangle([20, 20, 500, 330], fill=255)  # the upper half rubbed out
    assert like_itself_turned(grey(whole)) < LIKE_ITSELF
