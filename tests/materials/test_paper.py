"""Papers: within physics before and after bleach, and a user's own without code."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from glaze.errors import InputError
from glaze.materials.own_spectrum import _spectrum
from glaze.materials.paper import SURFACES, Paper, load_paper, paper_names
from glaze.physics.spectrum import REFERENCE_NM


@pytest.fixture(params=paper_names())
def paper(request: pytest.FixtureRequest) -> Paper:
    return load_paper(request.param)


def test_the_four_sorts_are_there() -> None:
    assert set(paper_names()) == {
        "white hot-pressed",
        "white cartridge",
        "cream cartridge",
        "brightened drawing",
    }


def test_paper_gives_back_more_than_its_floor_and_never_more_than_all(paper: Paper) -> None:
    for curve in (paper.reflectance(REFERENCE_NM), paper.bleached_reflectance(REFERENCE_NM)):
        assert curve.min() > paper.surface_reflectance
        assert curve.max() <= 1


def test_surface_numbers_are_those_of_the_surface(paper: Paper) -> None:
    # docs/accuracy.md: matte k = 1, s = 0.03; hard-sized k = 1.5, s = 0.02
    assert (paper.path_spread, paper.surface_reflectance) == {
        "matte absorbent": (1.0, 0.03),
        "hard-sized": (1.5, 0.02),
    }[paper.surface]


def test_cream_is_warm_and_bleach_takes_most_of_its_tint() -> None:
    cream, white = load_paper("cream cartridge"), load_paper("white cartridge")
    at = [450.0, 650.0]
    tint = [c[1] - c[0] for c in (cream.reflectance(at), cream.bleached_reflectance(at))]
    assert tint[0] > 0.12
    assert tint[1] < tint[0] / 2
    assert tint[1] > white.reflectance(at)[1] - white.reflectance(at)[0]


def test_bleach_ends_the_brighteners_glow() -> None:
    paper = load_paper("brightened drawing")
    assert paper.reflectance(440.0) > 0.95
    assert paper.bleached_reflectance(440.0) < paper.reflectance(440.0) - 0.1
    assert paper.bleached_reflectance(650.0) == pytest.approx(paper.reflectance(650.0), abs=0.01)


def test_white_hot_pressed_is_near_the_measured_watercolour_paper() -> None:
    # Chen et al., arXiv 1904.00275, paper of the wash set: 0.84101 at 450, 0.86548 at 550,
    # 0.88351 at 650 nm (excerpt), +-0.01 by its own scatter from band to band
    measured = np.array([0.84101, 0.86548, 0.88351])
    ours = load_paper("white hot-pressed").reflectance([450.0, 550.0, 650.0])
    assert ours == pytest.approx(measured, abs=0.01)


def test_a_user_changes_single_figures_of_a_paper(tmp_path: Path) -> None:
    path = tmp_path / "paper.toml"
    path.write_text(
        'name = "my pad"\nbased_on = "cream cartridge"\nweight_gsm = 220\n'
        "reflectance = [[400, 0.7], [700, 0.9]]\n"
    )
    paper = load_paper(path)
    assert (paper.name, paper.weight_gsm) == ("my pad", 220)
    assert paper.reflectance(550.0) == pytest.approx(0.8)
    # without a bleached curve of its own the sheet is taken to keep its colour
    assert paper.bleached_reflectance(550.0) == pytest.approx(0.8)
    assert paper.creep_mm == load_paper("cream cartridge").creep_mm


def test_another_surface_brings_its_own_numbers(tmp_path: Path) -> None:
    path = tmp_path / "paper.toml"
    path.write_text('name = "glossy"\nsurface = "coated"\n')
    assert (load_paper(path).path_spread, load_paper(path).surface_reflectance) == SURFACES[
        "coated"
    ]


def test_all_that_is_wrong_with_a_paper_is_told(tmp_path: Path) -> None:
    path = tmp_path / "paper.toml"
    path.write_text(
        'based_on = "white"\nsurface = "shiny"\nweight_gsm = -3\nrimm_mm = 1\n'
        "reflectance = [[500, 84], [400, 0.8]]\nbleached_reflectance = [[400, 0.01]]\n"
    )
    with pytest.raises(InputError) as told:
        load_paper(path)
    text = str(told.value)
    for said in (
        'No paper is called "white"',
        '"shiny"',
        "-3",
        'Did you mean "rim_mm"',
        "divide by 100",
        "rise",
        "surface_reflectance",
    ):
        assert said in text


def test_an_unknown_paper_is_told_with_the_known_ones() -> None:
    with pytest.raises(InputError, match='Did you mean "cream cartridge"'):
        load_paper("creme cartridge")


def test_a_spectrum_above_all_light_or_in_per_cent_is_refused() -> None:
    paper = load_paper("white hot-pressed")
    assert _spectrum([400, 700], [0.5, 1.0], paper)[1].tolist() == [0.5, 1.0]
    for wrong in (1.2, 84.0, paper.surface_reflectance):
        with pytest.raises(InputError, match=f"Reflectance {wrong:g} at 700 nm"):
            _spectrum([400, 700], [0.5, wrong], paper)
