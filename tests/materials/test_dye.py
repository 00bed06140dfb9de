"""Dyes: complete, well fitted, and their bleach products end somewhere."""

from __future__ import annotations

import numpy as np
import pytest

from glaze.materials.dye import Dye, check_products, colourants, load_dyes, read_dye
from glaze.materials.entries import Reader
from glaze.physics.spectrum import REFERENCE_NM

DYES = load_dyes()


def test_there_are_dyes_of_every_kind() -> None:
    kinds = [dye.kind for dye in DYES.values()]
    assert kinds.count("dye") >= 14
    assert kinds.count("pigment") >= 1
    assert kinds.count("product") >= 3


@pytest.mark.parametrize("name", list(DYES))
def test_absorption_is_never_negative_and_peaks_at_its_height(name: str) -> None:
    dye = DYES[name]
    absorptivity = dye.absorptivity_l_per_g_cm(REFERENCE_NM)
    assert absorptivity.shape == REFERENCE_NM.shape
    assert absorptivity.min() >= 0
    from_nm = 380 if dye.kind == "product" else 400
    visible = absorptivity[from_nm <= REFERENCE_NM]
    assert visible.max() == pytest.approx(dye.peak_absorptivity_l_per_g_cm, rel=0.005)


@pytest.mark.parametrize("name", [d.name for d in DYES.values() if d.fit_residual is not None])
def test_fitted_bands_follow_their_curve_within_half_a_percent(name: str) -> None:
    # the fit stops below 0.004 of the peak or at eight bands (make_dyes.py)
    residual = DYES[name].fit_residual
    assert residual is not None
    assert 0 < residual < 0.005


@pytest.mark.parametrize("name", list(DYES))
def test_bleaching_a_dye_never_makes_colour(name: str) -> None:
    # per mole of parent, the product absorbs less over the visible
    dye = DYES[name]
    if dye.product is None:
        return
    product = DYES[dye.product]
    before = dye.mean_absorptivity_l_per_g_cm * dye.molar_mass_g_per_mol
    after = product.mean_absorptivity_l_per_g_cm * product.molar_mass_g_per_mol
    assert dye.product_mol_per_mol * after < before


def test_every_chain_of_products_ends() -> None:
    problems: list[str] = []
    check_products(DYES, problems)
    assert problems == []


def test_a_circle_of_products_is_told() -> None:
    base = DYES["Acid Blue 9"]
    first = Dye("a", "dye", 100, 10, base.bands, base.bleach, 2, product="b")
    second = Dye("b", "product", 100, 10, base.bands, base.bleach, 2, product="a")
    problems: list[str] = []
    check_products({"a": first, "b": second}, problems)
    assert "lead back" in problems[0]
    problems.clear()
    check_products({"a": first}, problems)
    assert "No colourant" in problems[0]


def test_columns_hold_the_dyes_named_and_then_their_products_once() -> None:
    columns = [dye.name for dye in colourants(["Acid Black 1", "Acid Red 1", "Food Red 17"], DYES)]
    assert columns[:3] == ["Acid Black 1", "Acid Red 1", "Food Red 17"]
    assert columns[3:] == [
        "Violet residue of azo black",
        "Pale yellow azo residue",
        "Yellow residue of azo black",
    ]


def test_carbon_is_left_alone_by_bleach() -> None:
    # exposure of neat bleach for an hour is about 2600 mol s/L
    carbon = DYES["Pigment Black 7"]
    assert np.exp(-carbon.bleach.k_ocl_l_per_mol_s * 2600) > 0.9999


def test_a_measured_ink_carries_its_own_curve() -> None:
    problems: list[str] = []
    table = {
        "kind": "measured",
        "curve_l_per_g_cm": [[400, 1.0], [500, 3.0], [700, 0.0]],
        "k_ocl": {"value": 0.7, "unit": "L/(mol s)", "source": "my dots", "how": "fitted"},
    }
    dye = read_dye("my blue", Reader(table, "inks.toml", problems))
    assert problems == []
    assert dye.absorptivity_l_per_g_cm([380, 450, 600, 780]) == pytest.approx([1.0, 2.0, 1.5, 0.0])
    assert dye.peak_absorptivity_l_per_g_cm == 3.0
    assert dye.bleach.how == "fitted"
    assert hash(dye) == hash(dye)


@pytest.mark.parametrize(
    ("table", "said"),
    [
        ({}, "either"),
        ({"curve_l_per_g_cm": [[500, 1], [400, 1]]}, "rise"),
        ({"curve_l_per_g_cm": [[500], [400, 1]]}, "rows of 2"),
        ({"bands": [[500, -3, 1]], "peak_absorptivity": 3}, "above 0"),
        ({"bands": [[500, 900, 1]], "peak_absorptivity": 3, "loose_fraction": 2}, "0 to 1"),
    ],
)
def test_a_wrong_dye_is_told(table: dict[str, object], said: str) -> None:
    problems: list[str] = []
    read_dye("mine", Reader(table, "inks.toml", problems))
    assert any(said in problem for problem in problems)


def test_a_dye_runs_as_far_as_its_own_strip_says_else_as_it_moves() -> None:
    # the strips' figure, written down a second time; its mobility is another
    assert (DYES["Acid Red 51"].retardation, DYES["Acid Red 51"].mobility) == (0.2, 0.7)
    unknown = next(dye for dye in DYES.values() if dye.kind == "dye" and "rf" not in dye.entries)
    assert unknown.retardation == unknown.mobility
