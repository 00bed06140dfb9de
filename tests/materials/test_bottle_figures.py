"""How the built-in bottles come out on paper: what a painter would believe.

Colours by colour-science at 1 nm; the aims are common practice, no source, unless said.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from glaze.materials.dye import load_dyes
from glaze.materials.ink import load_palette, palette_names
from glaze.materials.mix import mix_recipe
from glaze.materials.paper import load_paper, paper_names
from glaze.materials.tables.make_inks import hue_chroma, look

CARTRIDGE, HOT_PRESSED = load_paper("white cartridge"), load_paper("white hot-pressed")
PAGE = (Path(__file__).parents[2] / "docs" / "materials.md").read_text(encoding="utf-8")


def wash(recipe: str, palette: str = "lifting", paper: str = "white cartridge") -> dict[str, float]:
    mix = mix_recipe(recipe, load_palette(palette))
    value, lightness, a, b = look(mix.neat_g_per_l, mix.strength, load_paper(paper))
    hue, chroma = hue_chroma(a, b)
    return {"value": value, "L": lightness, "hue": hue, "chroma": chroma}


@pytest.mark.parametrize(("parts", "value"), [(0, 3), (4, 5), (8, 6), (16, 7)])
@pytest.mark.parametrize("black", ["Black", "Separating Black", "Pigment Black"])
def test_ladder_of_black_on_matte_paper(black: str, parts: int, value: float) -> None:
    found = wash(f"{black} 1 part + water {parts} parts")["value"]
    assert found == pytest.approx(value, abs=0.3)


@pytest.mark.parametrize("parts", [0, 1, 2, 4, 8, 16, 32])
def test_washes_of_black_are_near_neutral(parts: int) -> None:
    # a warm black, so that yellow goes on from olive to brown with it; its greys are seen as grey
    assert wash(f"Black 1 part + water {parts} parts")["chroma"] < 8


@pytest.mark.parametrize("palette", palette_names())
@pytest.mark.parametrize(
    ("recipe", "low", "high", "least_chroma"),
    [
        ("Blue 1", 255, 285, 45),
        ("Yellow 1", 90, 105, 80),
        ("Blue 1 + Yellow 3", 130, 165, 50),
        ("Red 1 + Yellow 3", 40, 65, 55),
        ("Blue 1 + Red 1", 285, 325, 20),
        ("Black 1 + Yellow 4", 95, 120, 25),
    ],
)
def test_hues_and_secondaries(
    palette: str, recipe: str, low: float, high: float, least_chroma: float
) -> None:
    found = wash(recipe, palette)
    assert low <= found["hue"] <= high
    assert found["chroma"] >= least_chroma


@pytest.mark.parametrize("palette", palette_names())
def test_red_is_a_red(palette: str) -> None:
    found = wash("Red 1", palette)
    assert found["hue"] <= 35
    assert found["chroma"] > 60


@pytest.mark.parametrize("recipe", ["Blue 1", "Red 1", "Yellow 1", "Blue 1 + Yellow 3"])
def test_the_same_ink_is_more_vivid_on_hot_pressed_than_on_cartridge(recipe: str) -> None:
    on_cartridge, on_hot_pressed = wash(recipe), wash(recipe, paper="white hot-pressed")
    assert on_hot_pressed["chroma"] > on_cartridge["chroma"] + 5


@pytest.mark.parametrize("recipe", ["Blue 1", "Red 1", "Yellow 1"])
def test_single_pass_peaks_are_those_of_a_strong_ink(recipe: str) -> None:
    # 1.2 to 2.5: what a trial found to give a convincing wheel (g/L x 100 ml/m2)
    wavelength_nm = np.arange(400.0, 701.0)
    dyes = load_dyes()
    total = sum(
        load * 0.1 * dyes[name].absorptivity_l_per_g_cm(wavelength_nm)
        for name, load in mix_recipe(recipe, load_palette("lifting")).load_g_per_m2(100).items()
    )
    assert 1.2 <= np.max(total) <= 2.5


def test_the_page_names_every_dye_ink_and_paper() -> None:
    inks = {ink for name in palette_names() for ink in load_palette(name).inks}
    for name in [*load_dyes(), *inks, *paper_names()]:
        assert name in PAGE, name


def test_the_page_states_the_contents_of_the_bottles() -> None:
    for name in palette_names():
        for ink in load_palette(name).inks.values():
            contents = ", ".join(f"{dye} {grams}" for dye, grams in ink.contents_g_per_l.items())
            assert contents in PAGE, ink.name
