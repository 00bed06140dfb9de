"""One strip at a time: what it acts as, how sure it is, which explanation is taken.

Strips are painted by numbers (`swatch_painter`); nothing here is measured ink.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import minimize_scalar
from scipy.special import pseudo_huber
from scipy.stats import norm
from swatch_painter import FACTORS, linear_rgb

from glaze.calibrate.fit.dye_prior import dye_prior
from glaze.calibrate.fit.strip import (
    READING_DE,
    Strip,
    acts_as_parts,
    dye_paths,
    fit_strip,
    log_error,
    own_crowding,
    residuals,
    strip_rgb,
)
from glaze.calibrate.fit.unseen import LeftOut, choose, leave_one_out
from glaze.charts.content.swatch_layout import RUNGS
from glaze.picture.light import band_nm

STRENGTH = 1 / (1 + np.array(RUNGS))


def strip_of(painter, table, ink, slips=1.0, noise=None):
    """The six rungs of an ink, each as strong as its slip has it."""
    amounts = STRENGTH * slips
    rgb = np.array([linear_rgb(painter.reflectance([({ink: 1.0}, q)])) for q in amounts])
    if noise is not None:
        rgb = rgb * (1 + 0.01 * noise.standard_normal((6, 1)))
    rgb = np.maximum(rgb, 0)
    names = tuple(f"{ink} 1+{parts:g}" for parts in RUNGS)
    return Strip(table.palette.inks[ink], names, STRENGTH, rgb, (rgb < 0.003).any(axis=1))


def by_strength(table):
    """A way to fit rungs."""
    return lambda some: fit_strip(table, some, "strength")


@pytest.mark.parametrize("spread", [0.05, 0.15])
def test_the_band_of_a_strength_holds_nine_washes_in_ten(painter, table, spread):
    # a seventh wash by the same hand; on 60 strips 90 % is within 80 to 99 % (binomial)
    rng = np.random.default_rng(3)
    hits = 0
    for _ in range(15):
        for ink, factor in FACTORS.items():
            slips = np.exp(spread * rng.standard_normal(7))
            strip = strip_of(painter, table, ink, slips[:6], rng)
            fitted = fit_strip(table, strip, "strength")
            band = leave_one_out(table, strip, by_strength(table)).strength_factor
            hits += abs(math.log(factor * slips[6] / fitted.factors[0])) <= math.log(band)
    assert 0.80 <= hits / 60 <= 0.99


def test_a_strip_without_a_slip_gives_the_least_band(painter, table):
    strip = strip_of(painter, table, "Black")
    assert leave_one_out(table, strip, by_strength(table)).strength_factor == 1.1


def test_a_rung_stronger_than_predicted_has_a_positive_error(painter, table):
    slips = np.array([1, 1, 1, 1.3, 1, 1])
    strip = strip_of(painter, table, "Black", slips)
    fitted = fit_strip(table, strip, "strength")
    errors = [log_error(table, fitted.unit_path, strip, rung)[0] for rung in range(6)]
    assert int(np.argmax(errors)) == 3
    # 1.3 times as much ink at 1+4: E(0.26)/E(0.2) = 1.286 by the load law, less what the fit took
    assert errors[3] == pytest.approx(math.log(1.286), abs=0.06)


@pytest.mark.parametrize(
    ("rungs", "slips"),
    [([5], 3.0), ([0, 4, 5], np.array([1, 1, 1, 1, 1, 6.0]))],
    ids=["one pale rung", "a slip of the hand"],
)
def test_a_strength_is_the_likeliest_by_a_loss_that_spares_slips(painter, table, rungs, slips):
    # twice scipy's pseudo-Huber loss with its bend at one reading's error: the square of a small
    # miss, twice the distance of a large one; and the bottle's usual strength, to be off by 3 times
    # either way in one of ten bottles: a normal of the logarithm
    strip = strip_of(painter, table, "Black", slips)
    some = Strip(strip.ink, tuple(strip.names[n] for n in rungs), strip.strength[rungs],
                 strip.rgb[rungs], strip.lost[rungs])  # fmt: skip
    path = dye_paths(table, strip.ink).sum(axis=0)
    sd = math.log(3.0) / norm.ppf(0.95)

    def cost(log_factor):
        off = residuals(some.rgb, strip_rgb(table, math.exp(log_factor) * path, some.strength))
        miss = np.linalg.norm(off, axis=1) / READING_DE
        return 2 * pseudo_huber(1.0, miss).sum() + (log_factor / sd) ** 2

    likeliest = minimize_scalar(cost, bounds=(-3, 3), method="bounded", options={"xatol": 1e-7}).x
    found = fit_strip(table, some, "strength").factors[0]
    assert math.log(found) == pytest.approx(likeliest, abs=2e-4)


@pytest.mark.parametrize("parts", [0.0, 1.0, 4.0, 16.0])
def test_acting_as_oneself_when_nothing_is_off(parts):
    assert acts_as_parts(1 / (1 + parts), 0.0) == pytest.approx(parts, abs=1e-9)


def test_acting_as_more_water_when_the_path_is_shorter():
    # E(1/5) halved is E(q) with q = expm1(log1p(0.08)/2)/0.4 = 0.0981: 1 + 9.2
    assert acts_as_parts(0.2, math.log(0.5)) == pytest.approx(9.196, abs=0.01)


def test_another_law_of_dilution_is_noticed(painter, table):
    # rungs painted as if nothing crowded, E(Q) = Q: the painter's b = 0.4 has to see the load q'
    # with ln(1 + 0.4 q') = q ln 1.4
    slips = np.expm1(math.log(1.4) * STRENGTH) / 0.4 / STRENGTH
    strip = strip_of(painter, table, "Black", slips)
    fitted = fit_strip(table, strip, "strength")
    b, gain = own_crowding(table, strip, fitted)
    assert b < 0.12
    assert gain > 0.2


def test_a_strip_whose_patches_are_all_lost_tells_no_spectrum(painter, table):
    blue = strip_of(painter, table, "Blue")
    everything = Strip(blue.ink, blue.names, blue.strength, blue.rgb, np.ones(6, bool))
    assert fit_strip(table, everything, "measured", dye_prior(band_nm(), mixtures=300)) is None


def checked(*de00):
    n = np.array(de00, float)
    return LeftOut(n, np.zeros((n.size, 3)), np.zeros((n.size, 3)), 0 * n, n + 1)


def test_the_simplest_explanation_is_kept_unless_another_predicts_clearly_better():
    assert choose({"strength": checked(1.0), "dyes": checked(0.8), "measured": checked(0.7)}) == (
        "strength"
    )
    assert choose({"strength": checked(6.0), "dyes": checked(1.2), "measured": checked(1.0)}) == (
        "dyes"
    )
    assert choose({"strength": checked(9.0), "measured": checked(1.0)}) == "measured"
    assert choose({"measured": checked(9.0)}) == "measured"


def test_a_single_rung_says_nothing_of_the_band():
    assert checked(1.0).strength_factor == 3.0


def test_patches_more_vivid_than_dye_can_be_are_passed_over(painter, table):
    # a scanner that overdoes yellow: lighter than the paper in red and green, nothing in blue
    strip = strip_of(painter, table, "Yellow")
    prior = dye_prior(band_nm(), mixtures=600)
    vivid = strip.rgb.copy()
    vivid[0] = [1.05, 0.95, 0.004]
    some = Strip(strip.ink, strip.names, strip.strength, vivid, strip.lost)
    assert fit_strip(table, some, "measured", prior) is not None
    every = Strip(strip.ink, strip.names, strip.strength, np.tile(vivid[0], (6, 1)), strip.lost)
    assert fit_strip(table, every, "measured", prior) is None
    assert fit_strip(table, every, "strength") is not None
