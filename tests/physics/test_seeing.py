"""Ways of looking at a picture."""

from __future__ import annotations

import numpy as np
import pytest

from glaze.physics.colour import LUMINANCE_OF_RGB, luminance_of_value, munsell_value
from glaze.physics.seeing import COLOUR_VISIONS, as_seen_by, few_values, values_only

COLOURS = np.random.default_rng(1).uniform(0, 1, (20, 30, 3))


def test_value_view_is_grey_of_the_same_munsell_value():
    grey = values_only(COLOURS)
    assert np.ptp(grey, axis=-1).max() == 0
    before, after = (munsell_value(c @ LUMINANCE_OF_RGB) for c in (COLOURS, grey))
    np.testing.assert_allclose(after, before, atol=1e-6)


def test_value_plan_has_equal_steps_of_value_and_moves_no_value_by_more_than_half_a_step():
    ramp = np.linspace(0.031, 0.87, 500)[:, None].repeat(3, axis=1)  # values 2 to 9.5
    plan = munsell_value(few_values(ramp, 6)[:, 0])
    np.testing.assert_allclose(np.unique(plan.round(9)), [2, 3.5, 5, 6.5, 8, 9.5], atol=1e-6)
    assert np.abs(plan - munsell_value(ramp[:, 0])).max() <= 0.75 + 1e-6


@pytest.mark.parametrize(
    ("value", "grey"), [(2.1, 2.0), (3.5, 2.0), (4.2, 5.75), (7.3, 5.75), (8.0, 9.5), (9.4, 9.5)]
)
def test_a_flat_tone_is_the_nearest_grey_with_its_grain_evened_out_too(value, grey):
    # three greys from 2 to 9.5: 2, 5.75 and 9.5, parted at 3.875 and 7.625
    tone = np.full((20, 30, 3), luminance_of_value(value))
    for even_px in (0.0, 3.0):
        plan = munsell_value(few_values(tone, 3, even_px=even_px)[..., 0])
        np.testing.assert_allclose(plan, grey, atol=1e-6)


def test_a_value_plan_needs_two_values():
    with pytest.raises(ValueError, match="at least 2"):
        few_values(COLOURS, 1)


@pytest.mark.parametrize(
    ("vision", "row"),
    # first rows for a missing cone; Machado, Oliveira, Fernandes (2009), Table 1
    [
        ("protan", [0.152286, 1.052583, -0.204868]),
        ("deutan", [0.367322, 0.860646, -0.227968]),
        ("tritan", [1.255528, -0.076749, -0.178779]),
    ],
)
def test_colour_vision_has_the_published_matrices(vision, row):
    colour = np.array([0.4, 0.3, 0.2])
    assert as_seen_by(colour, vision)[0] == pytest.approx(float(colour @ row), abs=2e-6)


@pytest.mark.parametrize("vision", COLOUR_VISIONS)
@pytest.mark.filterwarnings("ignore")  # of parts that colour-science lacks here, and of tritan
def test_every_colour_is_seen_as_by_colour_sciences_matrices(vision):
    from colour.blindness import matrix_cvd_Machado2009

    name = {"protan": "Protanomaly", "deutan": "Deuteranomaly", "tritan": "Tritanomaly"}[vision]
    seen = np.clip(COLOURS @ matrix_cvd_Machado2009(name, 1.0).T, 0, 1)
    np.testing.assert_allclose(as_seen_by(COLOURS, vision), seen, atol=1e-9)


@pytest.mark.parametrize("vision", COLOUR_VISIONS)
def test_greys_stay_grey_to_every_colour_vision(vision):
    grey = np.full(3, 0.4)
    np.testing.assert_allclose(as_seen_by(grey, vision), grey, atol=1e-5)


def test_a_plan_of_few_values_has_clean_borders_and_keeps_its_lines() -> None:
    # a wash whose value runs from one grey to the next, with the grain of paper in it, and a line
    grain = np.random.default_rng(3).normal(0, 0.25, (120, 200))
    value = np.linspace(3.2, 8.5, 200) * np.ones((120, 1)) + grain
    value[60:63, :] = 2.0
    linear = np.repeat(np.asarray(luminance_of_value(value))[..., None], 3, axis=-1)

    def changes(greys: np.ndarray) -> int:
        return int(np.count_nonzero(np.diff(greys[:58, :, 0], axis=1)))

    plain, even = few_values(linear, 3), few_values(linear, 3, even_px=6)
    # each row meets the two borders once; the grain alone makes many more of them
    assert changes(plain) > 10 * 2 * 58
    assert changes(even) < 2 * 2 * 58
    assert (even[61] == few_values(linear[61], 3)).all()
