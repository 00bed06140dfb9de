"""Good files of odd kinds never end a command that works long on them in a traceback.

Each fault that was found so stands here alone; `deep_cases.py` makes the cases by number.
"""

from __future__ import annotations

import json

import numpy as np
import pytest
from PIL import Image, ImageDraw

from tests.calibrate.swatch_painter import encode
from tests.reliability.deep_cases import DEEP
from tests.reliability.deep_files import painted_sheet
from tests.reliability.running import outcome, run_cases

CASES = 20


def test_twenty_good_files_are_worked_through():
    counts, faults = run_cases(range(CASES), DEEP)
    assert not faults, json.dumps(faults, indent=1)
    assert counts.keys() == DEEP.keys()
    assert sum(kind["done"] for kind in counts.values()) > CASES / 3


@pytest.fixture
def sketched(tmp_path):
    """A scene over a sketch of so many pixels a side, 20 to the inch, and a place beside it."""

    def made(drawn: Image.Image) -> tuple[str, str]:
        (tmp_path / "scene").mkdir()
        drawn.save(tmp_path / "scene" / "sketch.png", dpi=(20, 20))
        text = 'format = 1\npalette = "lifting"\npaper = "white cartridge"\nsketch = "sketch.png"\n'
        (tmp_path / "scene" / "scene.toml").write_text(text)
        return str(tmp_path / "scene"), str(tmp_path / "seen.png")

    return made


def _framed(side: int) -> Image.Image:
    drawn = Image.new("L", (side, side), 250)
    ImageDraw.Draw(drawn).rectangle((0, 0, side - 1, side - 1), outline=10)
    return drawn


def _mottled(side: int, least: int, most: int) -> Image.Image:
    return Image.fromarray(
        np.random.default_rng(1).integers(least, most, (side, side, 3), dtype=np.uint8)
    )


@pytest.mark.parametrize(("sheet_px", "scan_px"), [(5, 60), (60, 1), (5, 1)])
def test_a_painting_too_small_to_be_laid_over_its_scene_is_told(sheet_px, scan_px, sketched):
    """The rim in which edges can't be judged was all there was of it."""
    scene, scan = sketched(_framed(sheet_px))
    _mottled(scan_px, 0, 255).save(scan)
    assert outcome(["compare", scene, scan, "-o", scan.replace("seen", "report")]) == "told"


def test_a_rough_of_which_the_line_hides_everything_is_told(sketched, tmp_path):
    """How far off it is was the mean of nothing."""
    drawn = Image.fromarray(np.tile(np.uint8([10, 10, 200, 10]), (40, 10)))
    scene, rough = sketched(drawn)
    _mottled(160, 0, 255).save(rough)
    case = ["rough", scene, rough, "-o", str(tmp_path / "found"), "--steps", "3"]
    assert outcome(case) == "told"


def test_a_grey_card_without_the_page_it_lies_on_is_told(tmp_path):
    scan = tmp_path / "second.png"
    Image.fromarray(encode(painted_sheet("lifting", 1, 1.0, 0))).save(scan)
    case = ["calibrate", str(scan), "-o", str(tmp_path / "inks.toml"), "--grey-card", "0.18"]
    assert outcome(case) == "told"
