"""Washes: what they lay, how they dry at the edge, what they stir up."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from glaze.patch.patches import bare_patches, glaze, reflectance, value
from glaze.patch.table import table_of
from glaze.sheet.rect import Rect, whole
from glaze.sheet.state import bare_sheet
from glaze.sheet.stir import stir, stir_reach_px
from glaze.sheet.units import FULL
from glaze.sheet.wash import LaidWash, drying_line, drying_reach_px, lay

F = np.float32
TABLE = table_of("lifting", "white cartridge")
INKS = ("Blue", "Red", "Yellow", "Black")
strengths = st.integers(1, 12)
inks = st.sampled_from(INKS)


def disc(size=120, radius=40):
    y, x = np.mgrid[:size, :size] - size / 2 + 0.5
    return np.clip(radius + 0.5 - np.hypot(x, y), 0, 1).astype(F)


def laid(*recipes, coats=1):
    sheet = bare_patches(TABLE)
    for recipe in recipes:
        glaze(TABLE, sheet, TABLE.mix(recipe), coats)
    return sheet


def test_one_neat_coat_lays_its_dye_and_the_eye_gets_all_of_it():
    sheet = laid("Yellow 1")
    column = [dye.name for dye in TABLE.dyes].index("Acid Yellow 23")
    g_per_l = TABLE.palette.inks["Yellow"].contents_g_per_l["Acid Yellow 23"]
    film_l_per_m2 = TABLE.paper.film_ml_per_m2 / 1000
    assert sheet.load_g_per_m2[0, 0, column] == pytest.approx(g_per_l * film_l_per_m2, rel=1e-6)
    assert sheet.optical_g_per_m2[0, 0, column] == pytest.approx(g_per_l * film_l_per_m2, rel=1e-6)
    assert sheet.coats[0, 0] == pytest.approx(1)


@settings(max_examples=25, deadline=None)
@given(ink=inks, ml=strengths, coats=st.integers(2, 5))
def test_splitting_a_wash_into_coats_changes_nothing(ink, ml, coats):
    recipe = f"{ink} 1 ml + water {ml} ml"
    at_once = laid(recipe, coats=coats)
    one_by_one = laid(*[recipe] * coats)
    np.testing.assert_allclose(
        one_by_one.optical_g_per_m2, at_once.optical_g_per_m2, rtol=1e-4, atol=1e-7
    )


@settings(max_examples=25, deadline=None)
@given(below=inks, above=inks, ml=strengths)
def test_a_further_wash_never_lightens(below, above, ml):
    before = laid(f"{below} 1 ml + water 2 ml")
    after = laid(f"{below} 1 ml + water 2 ml", f"{above} 1 ml + water {ml} ml")
    assert np.all(reflectance(TABLE, after) <= reflectance(TABLE, before) + 1e-7)


@settings(max_examples=25, deadline=None)
@given(below=inks, ink=inks, ml=strengths)
def test_a_wash_over_any_ink_never_reads_lighter_than_over_bare_paper(below, ink, ml):
    recipe = f"{ink} 1 ml + water {ml} ml"
    over_ink = value(TABLE, laid(f"{below} 1", recipe))[0, 0]
    over_paper = value(TABLE, laid(recipe))[0, 0]
    assert over_ink <= over_paper + 0.005


@settings(max_examples=25, deadline=None)
@given(ink=inks, ml=st.integers(0, 20), more=st.integers(1, 20))
def test_more_water_never_darkens_and_never_deepens(ink, ml, more):
    strong = laid(f"{ink} 1 ml + water {ml} ml" if ml else f"{ink} 1 ml")
    weak = laid(f"{ink} 1 ml + water {ml + more} ml")
    assert np.all(reflectance(TABLE, weak) >= reflectance(TABLE, strong) - 1e-7)


def test_water_alone_lays_nothing():
    sheet = laid("water 5")
    assert not sheet.load_g_per_m2.any()
    assert not sheet.coats.any()


def test_without_crowding_the_order_of_dry_washes_does_not_matter(monkeypatch):
    dry = "glaze.sheet.wash.glaze_weight"
    monkeypatch.setattr(dry, lambda Q, dQ, crowding: np.asarray(dQ, dtype=float))
    one = laid("Blue 1 ml + water 2 ml", "Red 1 ml + water 1 ml", "Black 1 ml + water 8 ml")
    other = laid("Black 1 ml + water 8 ml", "Blue 1 ml + water 2 ml", "Red 1 ml + water 1 ml")
    np.testing.assert_allclose(one.optical_g_per_m2, other.optical_g_per_m2, rtol=1e-6, atol=1e-9)


def test_a_drying_line_takes_its_dye_from_the_strip_behind_it():
    film = disc()
    rim = drying_line(film, film, 0.5, 0.45, 300)
    assert abs(rim.sum(dtype=float)) < 1e-3 * film.sum()
    assert np.all(film + rim >= -1e-6)
    middle = rim[60]
    edge = middle[20:27].max()
    donor = middle[27:45].min()
    assert edge > 0.2
    assert -0.25 < donor < -0.05
    assert abs(middle[58:62]).max() < 1e-4


def test_a_drying_line_never_crosses_the_edge():
    film = disc()
    rim = drying_line(film, film, 0.5, 0.45, 300)
    assert not rim[film == 0].any()


def test_a_straight_hard_edge_gains_what_was_asked_for():
    film = np.zeros((60, 400), F)
    film[:, 100:] = 1
    fine = 1200  # many pixels a mm, so that the pixel at the edge is the edge
    rim = drying_line(film, film, 0.5, 0.45, fine)
    assert rim[30, 100:103].max() == pytest.approx(0.45, rel=0.05)


def test_the_rim_is_as_wide_in_mm_at_any_resolution():
    widths = []
    for dpi in (150, 300, 600):
        pixels = round(20 * dpi / 25.4)
        film = np.zeros((9, pixels), F)
        film[:, pixels // 2 :] = 1
        rim = drying_line(film, film, 0.5, 0.45, dpi)[4]
        first_loss = np.flatnonzero(rim < 0)[0] - pixels // 2
        widths.append(first_loss * 25.4 / dpi)
    assert np.ptp(widths) < 0.12
    assert widths[2] == pytest.approx(0.5, abs=0.07)  # a pixel is 0.04 mm


def test_a_tile_with_its_reach_dries_as_the_whole_does():
    film = disc()
    rim = drying_line(film, film, 0.5, 0.45, 300)
    reach = drying_reach_px(0.5, 300)
    top, left = 30, 25
    tile = np.ix_(range(top - reach, top + 20 + reach), range(left - reach, left + 30 + reach))
    part = drying_line(film[tile], film[tile], 0.5, 0.45, 300)
    assert np.array_equal(part[reach:-reach, reach:-reach], rim[top : top + 20, left : left + 30])


def test_dyes_of_unequal_mobility_part_at_the_edge():
    sheet = bare_sheet(120, 120, 2)
    wash = LaidWash(
        strength=1.0,
        full_load_g_per_m2=np.array([0.1, 0.1]),
        share=np.array([0.5, 0.5]),
        overlap=np.zeros((3, 2)),
        mobility=np.array([0.9, 0.1]),
    )
    film = disc()
    rim = drying_line(film, film, 0.5, 0.45, 300)
    lay(sheet, wash, film + F(wash.mean_mobility) * rim, rim)
    fast, slow = np.moveaxis(sheet.load_g_per_m2, -1, 0)
    edge = (rim > 0.15) & (film == 1)
    assert np.all(fast[edge] > slow[edge] * 1.05)
    # each gains by its own mobility: 0.9 and 0.1 of what the line moves
    np.testing.assert_allclose(fast, 0.1 * np.maximum(film + 0.9 * rim, 0), atol=1e-5)
    np.testing.assert_allclose(slow, 0.1 * np.maximum(film + 0.1 * rim, 0), atol=1e-5)
    # each dye keeps its amount
    assert fast.sum() == pytest.approx(0.1 * film.sum(), rel=1e-3)
    assert slow.sum() == pytest.approx(0.1 * film.sum(), rel=1e-3)


def test_stirring_loses_no_dye_and_crosses_no_edge():
    sheet = bare_sheet(60, 80, 2)
    sheet.load_g_per_m2[:, :30] = 0.2
    sheet.optical_g_per_m2[:, :30] = 0.2
    sheet.coats[:, :30] = 1
    before = sheet.load_g_per_m2.sum(axis=(0, 1))
    wet = np.zeros((60, 80), np.uint16)
    wet[10:50, 10:60] = FULL
    stir(sheet, np.array([0.6, 0.0]), wet, whole((60, 80)), 1.0, 150)
    np.testing.assert_allclose(sheet.load_g_per_m2.sum(axis=(0, 1)), before, rtol=1e-4)
    assert np.array_equal(sheet.load_g_per_m2[:10, :30, 0], np.full((10, 30), 0.2, F))
    assert not sheet.load_g_per_m2[:, 60:].any()
    assert sheet.load_g_per_m2[30, 33, 0] > 0.01  # it ran on inside the wash
    assert not sheet.load_g_per_m2[:, 30:, 1].any()  # a stain stays where it is
    assert stir_reach_px(1.0, 150) >= 2


@pytest.mark.parametrize("dpi", [80, 300])
def test_stirring_is_the_sum_over_all_pairs_of_pixels(dpi):
    # second way: every pixel of the wash sends to every other by the Gaussian itself, shared out
    # where it leaves; at 300 dpi the picture's way goes over a grid of five pixels
    rng, mixing_mm, loose = np.random.default_rng(3), 1.0, 0.6
    rows, columns = 34, 41
    wet = np.zeros((rows, columns))
    wet[4:30, :33] = 1
    wet[4, :33] = 0.5
    load = np.zeros((rows, columns))
    load[:, 12:] = 0.2 + 0.1 * rng.random((rows, columns - 12))
    y, x = (axis.ravel() for axis in np.mgrid[:rows, :columns])
    sigma = mixing_mm * dpi / 25.4
    off2 = (y[:, None] - y) ** 2 + (x[:, None] - x) ** 2
    pairs = np.exp(-off2 / (2 * sigma**2)) * wet.ravel()[:, None] * (wet.ravel() > 0)
    total = pairs.sum(axis=0)
    pairs = np.divide(pairs, total, out=np.zeros_like(pairs), where=total > 0)
    leaves = load.ravel() * loose * wet.ravel()
    expected = (load.ravel() - leaves + pairs @ leaves).reshape(rows, columns)

    sheet = bare_sheet(rows, columns, 1)
    sheet.load_g_per_m2[..., 0] = load
    mask = np.rint(wet * FULL).astype(np.uint16)
    stir(sheet, np.array([loose]), mask, whole((rows, columns)), mixing_mm, dpi)
    off = np.abs(sheet.load_g_per_m2[..., 0] - expected)
    assert off.max() < 0.02 * load.max()
    assert np.sum(sheet.load_g_per_m2) == pytest.approx(load.sum(), rel=1e-5)


def test_a_stirred_tile_equals_that_part_of_the_whole():
    rng = np.random.default_rng(5)
    wet = np.zeros((150, 170), np.uint16)
    wet[10:140, 20:] = FULL
    load = rng.random((150, 170, 2)).astype(F)
    reach = stir_reach_px(0.5, 300)
    part = Rect(60, 50, 90, 75)
    outer = part.grown(reach, wet.shape)
    looks = []
    for rect in (whole(wet.shape), outer):
        sheet = bare_sheet(*rect.shape, 2)
        sheet.load_g_per_m2[:] = load[rect.slices]
        stir(sheet, np.array([0.6, 0.3]), wet, rect, 0.5, 300)
        looks.append(sheet.load_g_per_m2[part.inside(rect).slices])
    assert np.array_equal(*looks)


def test_the_rim_runs_on_into_a_corner():
    film = np.zeros((120, 120), F)
    film[20:, 20:] = 1
    rim = drying_line(film, film, 0.5, 0.45, 300)
    assert abs(rim.sum(dtype=float)) < 1e-3 * film.sum()
    side = rim[70, 20]
    # along the edge, up to two pixels from the corner itself, no place stays pale
    assert rim[22:70, 20].min() > side / 2
    assert rim[22:24, 22:24].mean() > 0


def test_a_straight_edge_is_as_before_the_corner_was_minded(monkeypatch):
    y, x = np.mgrid[0:160, 0:160]
    for turn in (0.0, 20.0, 45.0):
        slope = np.cos(np.radians(turn)) * x + np.sin(np.radians(turn)) * y
        film = np.clip(slope - 90 + 0.5, 0, 1).astype(F)
        now = drying_line(film, film, 0.5, 0.45, 300)
        with monkeypatch.context() as patch:
            patch.setattr("glaze.sheet.wash.NARROWER", 1e6)  # the corner's share is nothing
            before = drying_line(film, film, 0.5, 0.45, 300)
        # away from the sheet's own edges, where a slanting border is cut off
        assert np.abs(now - before)[40:120, 40:120].max() < 0.02
