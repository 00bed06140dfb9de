"""Which ink below crowds a wash (docs/decisions/002-crowding.md)."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from glaze.materials.ink import load_palette, palette_names
from glaze.materials.paper import load_paper, paper_names
from glaze.physics.absorption import (
    SQUARE_METRE_TO_PATH,
    crowded,
    glaze_weight,
    path,
    stack_reflectance,
)
from glaze.physics.crowding import coats_below, crowding_overlap, thirds_weights
from glaze.physics.spectrum import gaussian_sum

NM = np.arange(400.0, 701.0, 10.0)

# Photopic luminosity V(lambda), CIE 1924, 400 to 700 nm in steps of 10 nm (printed table)
# fmt: off
V = np.array([
    0.000396, 0.00121, 0.004, 0.0116, 0.023, 0.038, 0.060, 0.09098, 0.13902, 0.20802, 0.323, 0.503,
    0.710, 0.862, 0.954, 0.99495, 0.995, 0.952, 0.870, 0.757, 0.631, 0.503, 0.381, 0.265, 0.175,
    0.107, 0.061, 0.032, 0.017, 0.00821, 0.004102,
])
# fmt: on

# dye-like shapes: centre nm, width 1/cm, height (made up, no particular dye)
SHAPES = {
    "blue": ([630, 590, 410], [700, 1100, 900], [1, 0.35, 0.15]),
    "yellow": ([427], [2000], [1]),
    "azo red": ([506, 540], [1500, 1000], [1, 0.4]),
    "pink": ([555, 520], [550, 900], [1, 0.35]),
    "grey": ([550], [20000], [1]),
}
PATHS = np.array([gaussian_sum(NM, *shape) for shape in SHAPES.values()])
INKS = np.vstack([np.eye(5), [0.5, 0.45, 0.6, 0.0, 0.1]])  # each dye alone, and a black of four
SHEETS = [(1.0, 0.03), (1.5, 0.02), (2.0, 0.0)]


def lightness(A, sheet):
    k, s = sheet
    Y = V @ stack_reflectance(A, 0.85, s, k) / V.sum()
    return 116 * np.cbrt(Y) - 16


def over(below, wash, coats, strength, sheet):
    """Lightness of `strength` of a wash over `coats` of another, and over bare paper."""
    overlap = crowding_overlap(wash, PATHS, NM, sheet[0])
    Q = coats_below(coats * below, coats, overlap)
    under = float(glaze_weight(0.0, coats)) * below @ PATHS
    w = float(glaze_weight(Q, strength))
    bare = float(glaze_weight(0.0, strength))
    return lightness(under + w * wash @ PATHS, sheet), lightness(bare * wash @ PATHS, sheet)


@pytest.mark.parametrize("sheet", SHEETS)
def test_the_same_wash_over_any_ink_never_reads_lighter_than_on_bare_paper(sheet):
    strengths = [3.0, 10.0, 25.0]
    for below, wash in itertools.product(INKS, INKS):
        for a, b in itertools.product(strengths, strengths):
            for coats, q in itertools.product([0.05, 0.2, 1.0, 2.0], [0.05, 0.2, 0.5, 1.0, 2.0]):
                ink, bare = over(a * below, b * wash, coats, q, sheet)
                assert ink <= bare + 0.005, (below, wash, a, b, coats, q)


def test_no_wash_of_the_built_in_palettes_reads_lighter_over_their_inks():
    """Real dyes and papers, two washes below; the rule was not chosen on these."""
    rng = np.random.default_rng(11)
    for name in palette_names():
        palette = load_palette(name)
        dyes = palette.colourants()
        curves = np.array([dye.absorptivity_l_per_g_cm(NM) for dye in dyes])
        paper = load_paper(paper_names()[0])
        paths = path(curves * SQUARE_METRE_TO_PATH, paper.path_gain)
        film = paper.film_ml_per_m2 / 1000
        inks = np.array(
            [
                [ink.contents_g_per_l.get(d.name, 0.0) * film for d in dyes]
                for ink in palette.inks.values()
            ]
        )
        Rp, k, s = paper.reflectance(NM), paper.path_spread, paper.surface_reflectance
        for _ in range(150):
            first, second, top = (inks[i] for i in rng.integers(len(inks), size=3))
            q = np.exp(rng.uniform(np.log(0.05), np.log(2), 3))
            own = crowding_overlap(second, paths, NM, k)
            w2 = float(glaze_weight(coats_below(q[0] * first, q[0], own), q[1]))
            below = float(glaze_weight(0.0, q[0])) * first + w2 * second
            overlap = crowding_overlap(top, paths, NM, k)
            Q = coats_below(q[0] * first + q[1] * second, q[0] + q[1], overlap)
            light = [
                V @ stack_reflectance(A @ paths, Rp, s, k)
                for A in (below + float(glaze_weight(Q, q[2])) * top, glaze_weight(0.0, q[2]) * top)
            ]
            assert light[0] <= light[1] * (1 + 1e-9), (name, q)


def test_counting_all_ink_below_does_read_lighter_somewhere():
    """The law this replaces: a tint of grey on yellow came out lighter than on paper."""
    yellow, grey = 10 * PATHS[1], 10 * PATHS[4]
    w = float(glaze_weight(1.0, 0.2))
    on_yellow = lightness(yellow + w * grey, SHEETS[0])
    assert on_yellow > lightness(float(glaze_weight(0.0, 0.2)) * grey, SHEETS[0]) + 1.0


@given(
    st.lists(st.floats(0.0, 20.0), min_size=5, max_size=5),
    st.lists(st.floats(0.1, 20.0), min_size=5, max_size=5),
    st.floats(0.05, 3.0),
    st.integers(2, 6),
)
def test_cutting_a_wash_into_coats_changes_nothing_over_any_ink(below, wash, strength, coats):
    below, wash = np.array(below), np.array(wash)
    overlap = crowding_overlap(wash, PATHS, NM, 1.0)
    once = float(glaze_weight(coats_below(below, 1.0, overlap), strength))
    each, parts = strength / coats, 0.0
    for i in range(coats):
        laid = i * each
        Q = coats_below(below + laid * wash, 1.0 + laid, overlap)
        parts += float(glaze_weight(Q, each))
    assert abs(parts - once) < 1e-9


def test_a_colourant_below_counts_by_the_light_the_wash_has_left() -> None:
    # two bands of 10 nm, both in the blue third. By hand with k = 1: the wash's paths 1 and 3 have
    # the slopes (1 + 1)^-2 = 1/4 and (1 + 3)^-2 = 1/16; a colourant of path 2 in the first band
    # counts as (2/4) / (1/4 + 3/16) = 0.5/0.4375 = 1.142857 coats a gram
    paths = np.array([[1.0, 3.0], [2.0, 0.0]])
    overlap = crowding_overlap(np.array([1.0, 0.0]), paths, np.array([440.0, 460.0]), 1.0)
    assert overlap[0] == pytest.approx([1.0, 1.142857], rel=1e-6)


def test_a_wash_over_itself_is_crowded_by_all_of_it():
    wash = np.array([2.0, 1.0, 3.0, 0.0, 0.5])
    overlap = crowding_overlap(wash, PATHS, NM, 2.0)
    np.testing.assert_allclose(overlap @ (1.7 * wash), 1.7, rtol=1e-12)
    second = float(glaze_weight(coats_below(wash, 1.0, overlap), 1.0))
    assert second == pytest.approx(float(crowded(2.0) / crowded(1.0)) - 1.0)


def test_a_single_wash_on_bare_paper_counts_as_one_coat():
    overlap = crowding_overlap(INKS[5], PATHS, NM, 1.0)
    assert float(glaze_weight(coats_below(np.zeros(5), 0.0, overlap), 1.0)) == 1.0


def test_ink_below_never_counts_as_more_coats_than_there_are():
    overlap = crowding_overlap(0.01 * INKS[1], PATHS, NM, 1.0)  # a very weak yellow
    assert float(coats_below(50.0 * INKS[4], 1.0, overlap)) == 1.0


def test_blue_and_yellow_hardly_crowd_each_other():
    blue, yellow = 10 * INKS[0], 10 * INKS[1]
    assert float(coats_below(yellow, 1.0, crowding_overlap(blue, PATHS, NM, 1.0))) < 0.05
    assert float(coats_below(blue, 1.0, crowding_overlap(yellow, PATHS, NM, 1.0))) < 0.5


def test_clear_water_is_crowded_by_nothing():
    np.testing.assert_array_equal(crowding_overlap(np.zeros(5), PATHS, NM, 1.0), np.zeros((3, 5)))


def test_thirds_share_out_the_visible_range():
    weights = thirds_weights(np.arange(380.0, 781.0))
    np.testing.assert_allclose(weights.sum(axis=1), [100.0, 80.0, 120.0])
