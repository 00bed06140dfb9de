"""The product against a slow second way that shares no code with it (`literal`).

Tolerance: 0.05 CIEDE2000, of which the 40 bands may take 0.032 with these inks (docs/accuracy.md)
and 16-bit masks 0.009; 0.0005 of linear light.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from glaze.painting.settle import resolve
from glaze.pipeline import linear_rgb
from glaze.scene.file import load_scene
from tests.second_way import literal
from tests.second_way.random_scenes import by_the_second_way, random_scene, written

PAPERS = ("white hot-pressed", "white cartridge", "cream cartridge", "brightened drawing", "coated")
LIGHTS = ("D65", "D50", "A", "D65", "FL2", "LED-B3", "D65", "FL11")
LARGEST_DE, LARGEST_LIGHT = 0.05, 5e-4


def scene_of(number):
    """A scene of its own seed; papers and lights go round."""
    rng = np.random.default_rng(number)
    return random_scene(rng, PAPERS[number % len(PAPERS)], LIGHTS[number % len(LIGHTS)])


@pytest.fixture(scope="module")
def product(tmp_path_factory):
    """Linear sRGB of the compared pixels of a scene, by the product; painted once each."""

    @cache
    def painted(number):
        scene, folder = scene_of(number), tmp_path_factory.mktemp("scene") / "scene"
        painting = resolve(load_scene(written(scene, folder)), even=True)
        return linear_rgb(painting)[tuple(np.transpose(scene["places"]))]

    return painted


@pytest.mark.parametrize("number", range(100, 118))
def test_the_product_agrees_with_a_literal_second_way(number, product):
    second = by_the_second_way(scene_of(number))
    assert np.abs(product(number) - second).max() <= LARGEST_LIGHT
    assert literal.differences(product(number), second).max() <= LARGEST_DE


@pytest.mark.parametrize(
    ("name", "wrong"),
    [
        ("CROWDING", lambda b: 1.05 * b),
        ("hocl_pka", lambda pka: lambda celsius: pka(celsius) + 0.3),
        ("coats_of_the_wash_below", lambda _: lambda bench, neat, pixel: pixel.coats),
        ("evaporation_l_per_m2_s", lambda rate: lambda room: 1.2 * rate(room)),
        ("warmer", lambda factor: lambda kj, celsius: factor(kj + 5.0, celsius)),
        ("crept", lambda crept: lambda mark, mm, dpi: crept(mark, 0.8 * mm, dpi)),
    ],
)
def test_a_wrong_figure_would_be_seen(name, wrong, product, monkeypatch):
    monkeypatch.setattr(literal, name, wrong(getattr(literal, name)))
    # one scene that shows it is enough
    numbers = range(100, 116, 4)
    found = ((product(n), by_the_second_way(scene_of(n))) for n in numbers)
    assert any(literal.differences(*pair).max() > LARGEST_DE for pair in found)
