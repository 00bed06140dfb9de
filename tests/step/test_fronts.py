"""Fronts of charges: kinds by how wet it was, sums as the law has them, none where none can be.

That a charge feathers into what shines, blooms with a notched, crisp edge into what is damp, and
leaves no edge where it is worked all over: common practice, no source.
"""

from __future__ import annotations

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter
from skimage.measure import find_contours

from glaze.painting.lay import sheet_at
from glaze.painting.settle import resolve
from glaze.scene.file import load_scene
from glaze.sheet.rect import whole

SCENE = """\
format = 1
palette = "lifting"
paper = "white hot-pressed"
size_mm = [60, 50]
dpi = 150

[[step]]
wash = "ground"
mix = "Yellow 1 + water 4"
region = {{ polygon_mm = [[4, 4], [56, 4], [56, 46], [4, 46]] }}
film_ml_per_m2 = 130

[[step]]
charge = "dark"
mix = "Black 1 + water 3"
region = {where}
into = "ground"
minutes = {minutes}
film_ml_per_m2 = 200
"""
DROP = "{ ellipse_mm = { centre = [30, 25], radii = [8, 7] } }"
ALL = "{ polygon_mm = [[4, 4], [56, 4], [56, 46], [4, 46]] }"


def black(folder, minutes, where=DROP, even=False):
    """Black that a charge leaves at each pixel [g/m2]."""
    text = SCENE.format(minutes=minutes, where=where)
    (folder / "scene.toml").write_text(text, encoding="utf-8")
    painting = resolve(load_scene(folder), even=even)
    before, after = (
        sheet_at(painting.until(n), whole(painting.shape)).load_g_per_m2.sum(axis=-1, dtype=float)
        for n in (1, 2)
    )
    return after - before


def edge_of(dye):
    """Steepness [of the most, a mm] of the line where half of it lies, and how far it strays from a
    smooth one: its distance from the middle, without the first six waves round [mm]."""
    smooth = gaussian_filter(dye, 1.0)
    half = 0.5 * np.quantile(smooth, 0.97)
    line = max(find_contours(smooth, half), key=len)
    slope = np.hypot(*np.gradient(smooth)) / (2 * half)
    at, per_mm = np.rint(line).astype(int), 150 / 25.4
    from_middle = line - line.mean(axis=0)
    angle, radius = np.arctan2(*from_middle.T), np.hypot(*from_middle.T)
    around = np.linspace(-np.pi, np.pi, 720, endpoint=False)
    order = np.argsort(angle)
    waves = np.fft.rfft(np.interp(around, angle[order], radius[order], period=2 * np.pi))
    waves[:7] = 0.0
    steep = float(np.median(slope[at[:, 0], at[:, 1]])) * per_mm
    return steep, float(np.fft.irfft(waves).std()) / per_mm


@pytest.mark.parametrize("minutes", [1, 17])
def test_fronts_leave_the_sum_of_each_charge(tmp_path, minutes):
    by_hand, even = (black(tmp_path, minutes, even=one).sum() for one in (False, True))
    assert by_hand == pytest.approx(even, rel=1e-3)


def test_into_what_is_damp_the_edge_is_crisp_and_into_what_shines_soft(tmp_path):
    soft, crisp = (edge_of(black(tmp_path, minutes))[0] for minutes in (1, 17))
    assert crisp > 1.5 * soft


@pytest.mark.parametrize("minutes", [1, 17])
def test_a_front_strays_where_that_of_a_steady_hand_is_smooth(tmp_path, minutes):
    by_hand, even = (edge_of(black(tmp_path, minutes, even=one))[1] for one in (False, True))
    assert by_hand > 0.1
    assert by_hand > 3 * even


def test_a_charge_all_over_the_same_place_has_no_front(tmp_path):
    dye = black(tmp_path, 0, where=ALL)[80:-80, 80:-80]
    steady = black(tmp_path, 0, where=ALL, even=True)[80:-80, 80:-80]
    assert dye.std() < 0.12 * steady.mean()  # patches of the hand, no more
