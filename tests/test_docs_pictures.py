"""Pictures in docs/ are what the code makes now: those of scenes are held to the pinned small ones,
which test_scenes.py holds to the code; charts/test_pinned_sheets.py holds those of the sheets."""

from __future__ import annotations

import re
import sys
from itertools import islice
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

ROOT = Path(__file__).resolve().parent.parent
PICTURES, PINNED = ROOT / "docs" / "pictures", ROOT / "tests" / "pinned"
SCENES = sorted(path.parent.name for path in (ROOT / "scenes").glob("*/scene.toml"))
sys.path.append(str(PICTURES))


def off(picture: Path, pinned: Path) -> float:
    """Mean difference of a picture, reduced, from a pinned one [levels of 255]."""
    with Image.open(pinned) as small, Image.open(picture) as large:
        kept = np.asarray(small.convert("RGB"), float)
        reduced = np.asarray(large.convert("RGB").resize(small.size, Image.Resampling.BOX), float)
    return float(np.abs(kept - reduced).mean())


@pytest.mark.parametrize("name", SCENES)
def test_the_picture_of_a_scene_is_the_one_painted_now(name):
    assert off(PICTURES / f"{name}.jpg", PINNED / f"{name}.png") < 4.0


def test_the_first_picture_of_the_readme_is_the_one_painted_now(tmp_path):
    """Its last third is the painted sheet."""
    with Image.open(PICTURES / "lighthouse_in_three.jpg") as three:
        wide = (three.width - 2 * 16) // 3
        last = tmp_path / "last.png"
        three.crop((three.width - wide, 0, three.width, three.height)).save(last)
    assert off(last, PINNED / "lighthouse.png") < 4.0


def test_the_pictures_of_the_swatch_sheets_are_those_drawn_now():
    """The three sheets to paint; reports, card and window take long: `make.py --check`."""
    from make import is_stale
    from of_calibration import pictures

    for name, made in islice(pictures(), 3):
        assert not is_stale(name, made), name


def test_a_picture_that_has_changed_is_told():
    from make import content, is_stale

    with Image.open(PICTURES / "card.png") as kept:
        page = np.asarray(kept.convert("RGB")).copy()
    assert not is_stale("card.png", content(Image.fromarray(page)))
    assert is_stale("none.png", content(Image.fromarray(page)))
    assert is_stale("card.png", content(Image.fromarray(page[:-1])))
    page[:, : page.shape[1] // 8] = 120
    assert is_stale("card.png", content(Image.fromarray(page)))


def test_every_picture_is_shown_and_every_picture_shown_is_there():
    pages = [*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md")]
    text = "\n".join(page.read_text("utf-8") for page in pages)
    shown = set(re.findall(r"pictures/([\w-]+\.(?:png|jpg))", text))
    there = {path.name for path in PICTURES.iterdir() if path.suffix in (".png", ".jpg")}
    assert shown == there
