"""A drawn line keeps the tone it was drawn with, whatever is washed over it."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from glaze.painting.settle import resolve
from glaze.pipeline import linear_rgb, render
from glaze.scene.file import load_scene

HEAD = (
    'format = 1\npalette = "lifting"\npaper = "white cartridge"\nsketch = "line.png"\ndpi = 100\n'
)
WASHES = {
    "bare": "",
    "yellow": '[[step]]\nwash = "sun"\nmix = "Yellow 1"\nregion = "sheet"\nedge = "none"\n',
    "red": '[[step]]\nwash = "r"\nmix = "Red 1"\nregion = "sheet"\nedge = "none"\ncoats = 2\n',
    "night": '[[step]]\nwash = "n"\nmix = "Black 1"\nregion = "sheet"\nedge = "none"\ncoats = 6\n',
}


def painted(
    folder: Path, wash: str, bits: int = 8, black: int = 41
) -> tuple[np.ndarray, np.ndarray]:
    """The picture, and the drawing's own grey at each pixel: black, grey and thin black bars."""
    grey = np.full((120, 200), 255, np.uint8)
    grey[20:60, 20:180] = black
    grey[70:80, 20:180] = 120
    grey[90:92, 20:180] = black
    Image.fromarray(grey).save(folder / "line.png")
    (folder / "scene.toml").write_text(HEAD + WASHES[wash], "utf-8")
    return render(resolve(load_scene(folder), even=True), bits=bits).rgb.astype(int), grey


@pytest.mark.parametrize("wash", ["yellow", "red"])
def test_black_stays_the_black_it_was_drawn_with(tmp_path: Path, wash: str) -> None:
    bare, grey = painted(tmp_path, "bare")
    washed, _ = painted(tmp_path, wash)
    assert np.abs(washed - bare)[grey == 41].max() <= 1  # of 255: rounding
    assert np.abs(washed - bare)[grey == 255].max() > 60
    # in the middle of a wide black as under a thin line
    assert np.ptp(washed[grey == 41], axis=0).max() <= 1


def test_a_line_without_washes_is_as_it_was_drawn(tmp_path: Path) -> None:
    bare, grey = painted(tmp_path, "bare")
    paper = bare[grey == 255].mean(axis=0)
    light = lambda v: np.where(v > 10.3, ((v / 255 + 0.055) / 1.055) ** 2.4, v / 3294.6)  # noqa: E731
    for tone in (41, 120):
        drawn = bare[grey == tone].mean(axis=0)
        assert light(drawn) / light(paper) == pytest.approx(light(np.full(3, tone)), rel=0.06)


def test_a_grey_line_is_part_black_and_part_wash(tmp_path: Path) -> None:
    bare, grey = painted(tmp_path, "bare")
    washed, _ = painted(tmp_path, "yellow")
    line, wash, black = (washed[grey == tone].mean(axis=0) for tone in (120, 255, 41))
    assert line.sum() < wash.sum()
    assert line.sum() > black.sum()
    assert line[2] < bare[grey == 120].mean(axis=0)[2]  # the yellow shows in it


def test_a_wash_darker_than_the_black_darkens_it(tmp_path: Path) -> None:
    bare, grey = painted(tmp_path, "bare")
    night, _ = painted(tmp_path, "night")
    assert np.all(night[grey == 41].mean(axis=0) <= bare[grey == 41].mean(axis=0) + 0.5)
    assert np.all(night[grey == 41].mean(axis=0) <= night[grey == 255].mean(axis=0) + 0.5)


def test_a_pencil_line_under_a_night_wash_is_no_lighter_than_the_night(tmp_path: Path) -> None:
    # code 110 is 0.156 of the light [IEC 61966-2-1]; six coats of black send back 0.05 or less
    night, grey = painted(tmp_path, "night", black=110)
    plain = linear_rgb(resolve(load_scene(tmp_path), even=True))
    for seen in (night, plain):
        line, wash = (seen[grey == code].mean(axis=0) for code in (110, 255))
        assert np.all(line <= wash * 1.05)


def test_the_plain_form_agrees_with_the_picture(tmp_path: Path) -> None:
    washed, _ = painted(tmp_path, "yellow", bits=16)
    linear = np.clip(linear_rgb(resolve(load_scene(tmp_path), even=True)), 0, 1)
    encoded = np.where(linear > 0.0031308, 1.055 * linear ** (1 / 2.4) - 0.055, 12.92 * linear)
    inside = (linear > 0.001).all(axis=-1) & (linear < 0.999).all(axis=-1)
    assert np.abs(encoded * 65535 - washed)[inside].max() < 4
