"""Measured swatches over each other."""

from __future__ import annotations

import numpy as np

from glaze.calibrate.fit.overlay import overlaid, swatch_surface

NM = np.arange(400.0, 701.0, 50.0)
PAPER = np.array([0.80, 0.84, 0.86, 0.86, 0.87, 0.88, 0.89])
BLUE = np.array([0.50, 0.60, 0.45, 0.20, 0.08, 0.06, 0.30])
YELLOW = np.array([0.05, 0.08, 0.40, 0.78, 0.84, 0.86, 0.87])


def test_a_single_swatch_comes_out_as_measured():
    for sheet in [(1.0, 0.03), (1.5, 0.02), (2.0, 0.0)]:
        np.testing.assert_allclose(overlaid(BLUE, PAPER, NM, sheet), BLUE, atol=1e-6)
        np.testing.assert_allclose(overlaid(BLUE, PAPER, NM, sheet, 0.4), BLUE, atol=1e-6)


def test_two_swatches_are_darker_than_either():
    both = overlaid([YELLOW, BLUE], PAPER, NM, (1.0, 0.03))
    assert both.mean() < min(YELLOW.mean(), BLUE.mean()) - 0.05
    # band by band too, but for the crowding of the later one where the first hardly absorbs
    assert np.all(both <= np.minimum(YELLOW, BLUE) + 1e-4)


def test_a_swatch_laid_in_two_halves_is_the_whole():
    halves = overlaid([BLUE, BLUE], PAPER, NM, (1.0, 0.03), 1.0, [0.5, 0.5])
    np.testing.assert_allclose(halves, BLUE, atol=1e-5)


def test_no_ink_leaves_the_paper():
    np.testing.assert_allclose(overlaid(BLUE, PAPER, NM, (1.0, 0.03), 1.0, 0.0), PAPER, atol=1e-7)


def test_a_swatch_darker_than_the_sheet_floor_lowers_its_own():
    """0.9 times its darkest band, by hand."""
    assert swatch_surface([0.5, 0.02], 0.03) == 0.9 * 0.02
    assert swatch_surface([0.5, 0.2], 0.03) == 0.03
