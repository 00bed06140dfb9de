"""Bands and lights, against sums at 1 nm and the tables of colour-science."""

from __future__ import annotations

import subprocess
import sys
import tomllib
from importlib import resources

import numpy as np
import pytest

from glaze.errors import InputError
from glaze.materials.tables.make_bands import ensemble, random_paper
from glaze.physics.absorption import stack_reflectance
from glaze.physics.colour import delta_e_2000, lab_from_xyz
from glaze.physics.spectrum import REFERENCE_NM, gaussian_sum
from glaze.picture import light
from glaze.picture.light import (
    LIGHT_NAMES,
    STORED_LIGHTS,
    load_glow,
    load_light,
    weights_at_reference,
)

AT = np.searchsorted(REFERENCE_NM, light.BAND_NM)
TABLES = resources.files("glaze.materials").joinpath("tables")


def real_dye_stacks(samples: int, seed: int) -> np.ndarray:
    """Stacks of one to three dyes of the built-in table, from a trace to several neat coats."""
    table = tomllib.loads(TABLES.joinpath("dye_bands.toml").read_text(encoding="utf-8"))
    curves = [
        gaussian_sum(REFERENCE_NM, *np.array(entry["bands"]["value"]).T)
        for entry in table.values()
        if isinstance(entry, dict) and "bands" in entry
    ]
    rng = np.random.default_rng(seed)
    found = []
    for _ in range(samples):
        A = sum(
            np.exp(rng.uniform(np.log(0.03), np.log(25))) * curves[rng.integers(len(curves))]
            for _ in range(rng.integers(1, 4))
        )
        spread, surface = ((1.0, 0.03), (1.5, 0.02), (2.0, 0.0))[rng.integers(3)]
        found.append(stack_reflectance(A, random_paper(rng), surface, spread))
    return np.stack(found)


@pytest.fixture(scope="module")
def held_out() -> np.ndarray:
    """Spectra that took no part in the fit: other seeds, and real dyes."""
    return np.concatenate([ensemble(700, 2024), real_dye_stacks(1000, 2025)])


def difference_from_reference(name: str, R: np.ndarray) -> np.ndarray:
    reference, bands = weights_at_reference(name), load_light(name)
    return delta_e_2000(
        lab_from_xyz(R @ reference, reference.sum(axis=0)),
        lab_from_xyz(R[:, AT] @ bands.xyz_weights, bands.white_xyz),
    )


@pytest.mark.parametrize("name", STORED_LIGHTS)
def test_forty_bands_come_within_a_tenth_of_1_nm_sums(name, held_out):
    assert len(light.BAND_NM) == 40
    assert difference_from_reference(name, held_out).max() <= 0.1


def test_any_other_light_comes_within_three_tenths(held_out):
    worst = {n: difference_from_reference(n, held_out).max() for n in LIGHT_NAMES}
    print({n: round(float(d), 3) for n, d in sorted(worst.items(), key=lambda item: -item[1])})
    assert max(worst.values()) <= 0.3


def test_stored_tables_are_what_colour_science_gives():
    estimator, bands = (
        np.loadtxt(TABLES.joinpath(name).read_text().splitlines(), delimiter=",")
        for name in ("bands_estimator.csv", "bands.csv")
    )
    for i, name in enumerate(STORED_LIGHTS):
        again = estimator.T @ weights_at_reference(name)
        np.testing.assert_allclose(bands[:, 1 + 3 * i : 4 + 3 * i], again, atol=1e-9)


def test_every_cie_illuminant_of_colour_science_is_known():
    import colour

    # ISO 7589 is for film: its tables end at 690 or 560 nm, so they can't show a picture
    carried = {n for n in colour.SDS_ILLUMINANTS if not n.startswith("ISO 7589")}
    assert set(LIGHT_NAMES) == carried


@pytest.mark.parametrize("name", LIGHT_NAMES)
def test_white_has_the_published_chromaticity(name):
    import colour

    published = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]
    if name not in published:
        pytest.skip("no chromaticity printed for this light")
    X, Y, Z = load_light(name).white_xyz
    assert pytest.approx(1.0, abs=1e-12) == Y
    # CIE 15:2018 prints four decimals of sums to 830 nm at 5 nm; ours end at 780 nm
    np.testing.assert_allclose((X / (X + Y + Z), Y / (X + Y + Z)), published[name], atol=6e-4)


@pytest.mark.parametrize("name", ["D65", "A", "FL11", "LED-B3"])
def test_the_perfect_diffuser_is_white_on_the_screen_under_any_light(name):
    np.testing.assert_allclose(np.ones(40) @ load_light(name).display_weights, 1.0, atol=1e-12)


@pytest.mark.parametrize("name", ["D50", "A", "FL2"])
def test_display_colours_agree_with_colour_science(name, held_out):
    import colour

    found, bands = held_out[:50, AT], load_light(name)
    xyz = found @ bands.xyz_weights
    at_d65 = colour.chromatic_adaptation(
        xyz, bands.white_xyz, colour.xy_to_XYZ([0.3127, 0.3290]), method="Von Kries",
        transform="CAT16",
    )  # fmt: skip
    rgb = colour.XYZ_to_RGB(at_d65, "sRGB", chromatic_adaptation_transform=None)
    # the matrix printed in the sRGB standard has four decimals
    np.testing.assert_allclose(found @ bands.display_weights, rgb, atol=3e-4)


def test_noise_of_a_band_is_never_made_louder():
    for name in LIGHT_NAMES:
        bands = load_light(name)
        assert np.sqrt((bands.xyz_weights**2).sum(axis=0)).max() < 1.0
        assert np.sqrt((bands.display_weights**2).sum(axis=0)).max() < 1.0


@pytest.mark.parametrize("name", ["D65", "A", "FL2", "LED-B3"])
def test_every_photon_taken_up_and_sent_out_as_it_came_gives_the_light_back(name):
    """Closed form: of photons S x wavelength, each sent out at its own wavelength, the power is S
    again: the light's own white. The bands' straight lines keep it to 1 %."""
    glow = load_glow(name)
    photons_per_nm = glow.photon_weights / glow.width_nm
    for scale in (1.0, 7.0):  # only how they are spread counts
        each = glow.photon_xyz(scale * photons_per_nm).sum(axis=0)
        white = glow.photon_weights.sum() * each
        np.testing.assert_allclose(white, load_light(name).white_xyz, rtol=0.01)


def test_names_of_lights_take_any_capitals():
    assert load_light("d65").name == "D65"
    assert load_light("led-b3").name == "LED-B3"


def test_an_unknown_light_lists_the_known_ones():
    with pytest.raises(InputError, match=r'No light is called "D56".*Known: A, B, C, D50'):
        load_light("D56")


def test_a_shared_light_cannot_be_changed_by_accident():
    with pytest.raises(ValueError, match="read-only"):
        load_light("D65").display_weights[0] = 0


def test_daylight_needs_no_colour_science():
    code = "import sys, glaze.picture.light as l; l.load_light('A'); print('colour' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "False"


def measured_curve(rng: np.random.Generator) -> np.ndarray:
    """A made-up curve as one is measured: every 5 nm, each row off by 1 % of itself at random."""
    centres = 1e7 / rng.uniform(430, 680) + np.cumsum([0.0, *rng.uniform(800, 1500, 2)])
    widths, heights = rng.uniform([350, 400, 600], [700, 800, 1500]), rng.uniform(0.05, 0.5, 3)
    heights[0] = 1.0
    rows = gaussian_sum(REFERENCE_NM[::5], 1e7 / centres, widths, heights)
    rows *= 1.0 + 0.01 * rng.standard_normal(rows.size)
    return np.interp(REFERENCE_NM, REFERENCE_NM[::5], rows)


@pytest.fixture(scope="module")
def own_curves() -> tuple[np.ndarray, np.ndarray]:
    """Thirty such curves, and the paths of 2000 stacks of one to three of them."""
    rng = np.random.default_rng(2030)
    curves = np.stack([measured_curve(rng) for _ in range(30)])
    amounts = np.zeros((2000, len(curves)))
    for row in amounts:
        some = rng.choice(len(curves), rng.integers(1, 4), replace=False)
        row[some] = np.exp(rng.uniform(np.log(0.03), np.log(25), some.size))
    return curves, amounts


def stacks_off(
    name: str, curves: np.ndarray, in_bands: np.ndarray, amounts: np.ndarray
) -> np.ndarray:
    """CIEDE2000 of stacks seen through the bands from sums at 1 nm."""
    weights, bands = weights_at_reference(name), load_light(name)
    paper = 0.86, 0.02, 1.5
    fine = stack_reflectance(amounts @ curves, *paper) @ weights
    coarse = stack_reflectance(amounts @ in_bands, *paper) @ bands.xyz_weights
    return delta_e_2000(
        lab_from_xyz(fine, weights.sum(axis=0)), lab_from_xyz(coarse, bands.white_xyz)
    )


@pytest.mark.parametrize("name", STORED_LIGHTS)
def test_stacks_of_measured_curves_come_within_a_tenth_of_1_nm_sums(name, own_curves):
    curves, amounts = own_curves
    fitted = stacks_off(name, curves, np.stack([light.in_bands(c) for c in curves]), amounts)
    sampled = stacks_off(name, curves, curves[:, AT], amounts)
    assert fitted.max() <= 0.1
    assert fitted.mean() < 0.5 * sampled.mean()
    assert sampled.max() > 0.1  # values taken at the bands don't hold the promise


def test_a_curve_without_shape_stays_as_it_is():
    np.testing.assert_allclose(light.in_bands(np.full(401, 3.0)), 3.0, rtol=1e-3)
    assert not light.in_bands(np.zeros(401)).any()
