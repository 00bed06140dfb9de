"""Bands, choices and words of fits, worked by hand on made-up errors."""

from __future__ import annotations

import math
from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from PIL import Image

from glaze.calibrate.fit.lift_trial import LiftFound, lift_words, own_chain
from glaze.calibrate.fit.own_paper import _darkest
from glaze.calibrate.fit.painted_strips import strips_of
from glaze.calibrate.fit.unseen import LeftOut, choose
from glaze.calibrate.report.comparison import even_light
from glaze.calibrate.report.zones import Zone
from glaze.calibrate.scan.swatch import has_dot
from glaze.patch.table import table_of
from glaze.sketch.scan_colour import read_linear

TABLE = table_of("lifting", "white cartridge")


def checked(errors: list[float], de00: float = 1.0) -> LeftOut:
    many = np.full(len(errors), de00)
    none = np.zeros((len(errors), 3))
    return LeftOut(many, none, none, np.array(errors), np.ones(len(errors)))


def test_a_band_is_students_t_on_the_rungs_own_errors() -> None:
    # four rungs off by 0.1 each way: t of 3 degrees at 95 % is 2.353 (printed tables), e^0.2353
    assert checked([0.1, -0.1, 0.1, -0.1]).strength_factor == pytest.approx(1.2653, abs=1e-3)
    # two: t of 1 degree is 6.314
    assert checked([0.1, -0.1]).strength_factor == pytest.approx(math.exp(0.6314), abs=2e-3)
    # never surer than a tenth, never wider than three, and three where one rung is all there is
    assert checked([0.001, -0.001, 0.001, 0.001]).strength_factor == 1.10
    assert checked([2.0, -2.0]).strength_factor == 3.0
    assert checked([0.1]).strength_factor == 3.0
    # a rung that tells nothing of its strength counts for nothing
    half = replace(checked([0.1, -0.1, 9.0]), slopes=np.array([1.0, 1.0, 0.0]))
    assert half.strength_factor == pytest.approx(math.exp(0.6314), abs=2e-3)


@pytest.mark.parametrize(
    ("strength", "dyes", "chosen"),
    # better by more than 0.4 and by more than 15 %
    [(3.0, 2.5, "dyes"), (3.0, 2.61, "strength"), (2.0, 1.59, "dyes"), (2.0, 1.61, "strength"),
     (3.0, 2.54, "dyes"), (3.0, 2.56, "strength"), (0.5, 0.2, "strength")],
)  # fmt: skip
def test_a_richer_explanation_has_to_be_plainly_better(strength, dyes, chosen) -> None:
    found = {"strength": checked([0.1, 0.1], strength), "dyes": checked([0.1, 0.1], dyes)}
    assert choose(found) == chosen


def lifted(told: tuple[bool, ...]) -> LiftFound:
    logs = np.log([2.0, 0.5, 3.0, 1.2])
    return LiftFound(
        "Blue", logs, np.full(4, 0.2), told, np.zeros((1, 3)), ((4.0, 0.5), (9.0, 2.0))
    )


def test_times_and_bands_of_a_lift_are_nine_of_ten() -> None:
    times, band = lifted((True,) * 4).times("ghost")
    assert times == pytest.approx(0.5)
    assert band == pytest.approx(math.exp(1.645 * 0.2), abs=0.001)  # normal, 5 % either side


def test_what_dots_tell_is_said_and_only_that() -> None:
    words = lift_words(lifted((True, False, True, False)))
    assert words.startswith("Blue: bleach takes it 2 times as fast")
    assert "as much ghost" not in words
    assert "the ghost goes 3 times as fast (times or over 1.4)" in words
    assert words.endswith("besides: 1 + 4 for 30 s and 1 + 9 for 2 min.")
    assert "tell nothing" in lift_words(lifted((False,) * 4))


def test_only_what_was_told_is_fitted_and_the_rest_keeps_its_standing() -> None:
    ink = TABLE.palette.inks["Yellow"]
    _, dyes = own_chain(TABLE, ink, lifted((True, False, False, False)))
    tartrazine, residue = dyes
    usual = TABLE.palette.dyes["Acid Yellow 23"], TABLE.palette.dyes["Pale yellow azo residue"]
    assert tartrazine.bleach.how == "fitted"
    assert tartrazine.bleach.k_ocl_l_per_mol_s == pytest.approx(2 * 1.6)  # oakes: 1.6
    assert tartrazine.bleach.factor == pytest.approx(math.exp(1.645 * 0.2), abs=0.002)
    assert tartrazine.product_mol_per_mol == usual[0].product_mol_per_mol
    assert residue.bleach.how == usual[1].bleach.how == "assumed"
    assert residue.bleach.k_ocl_l_per_mol_s == usual[1].bleach.k_ocl_l_per_mol_s
    assert residue.bleach.factor == usual[1].bleach.factor


def test_the_darkest_patch_is_the_darkest() -> None:
    patches = {n: SimpleNamespace(rgb=np.full(3, v)) for n, v in (("a", 0.8), ("b", 0.1))}
    sheet = SimpleNamespace(readings=patches)
    # luminance of a grey is the grey: 0.1 of a paper of 0.9
    assert _darkest([sheet], np.full(3, 0.9)) == pytest.approx(0.09)


def test_a_dot_counts_as_bleach_s_doing_from_a_difference_that_shows() -> None:
    # greys of L* 50, 51 and 60 [CIE 15: Y = ((L* + 16) / 116)^3]; CIEDE2000 of greys near L* 50 is
    # that of L*, so 1 and nearly 10
    grey = {lightness: np.full(3, ((lightness + 16) / 116) ** 3) for lightness in (50, 51, 60)}
    for lightness, seen in ((50, False), (51, False), (60, True)):
        assert has_dot(SimpleNamespace(rgb=grey[50], dot_rgb=grey[lightness])) is seen
    assert not has_dot(SimpleNamespace(rgb=grey[50], dot_rgb=None))


def test_light_that_falls_off_evenly_is_taken_out_where_four_corners_are_bare() -> None:
    y, x = np.mgrid[0:30, 0:30] / 30
    predicted = np.full((30, 30, 3), 0.8, np.float32)
    painted = predicted * np.exp(0.2 + 0.5 * x - 0.3 * y)[..., None].astype(np.float32)
    corners = np.zeros((30, 30), bool)
    corners[:5, :5] = corners[:5, -5:] = corners[-5:, :5] = corners[-5:, -5:] = True
    even, notes = even_light(painted, predicted, [Zone((), corners, 400.0)])
    assert even == pytest.approx(predicted, abs=1e-4)
    assert "4 of the sheet's nine parts" in notes[0]


def test_a_rung_holds_one_part_of_ink_in_all_its_parts() -> None:
    def rung(parts: float) -> SimpleNamespace:
        place = SimpleNamespace(kind="rung", inks=("Blue",), parts=parts, name=f"Blue 1+{parts:g}")
        return SimpleNamespace(place=place, rgb=np.array([0.2, 0.4, 0.6]), lost=np.zeros(3, bool))

    (strip,), notes = strips_of([rung(parts) for parts in (0, 1, 4, 9)], TABLE, np.ones(3))
    assert notes == []
    # neat, 1 of 2, 1 of 5 and 1 of 10
    assert strip.strength == pytest.approx([1.0, 0.5, 0.2, 0.1])


def test_a_scan_is_read_as_linear_light(tmp_path) -> None:
    # IEC 61966-2-1: code 188 of 255 is 50.3 % of linear light, code 10 is 0.304 %
    Image.fromarray(np.array([[[188, 10, 255]]], np.uint8)).save(tmp_path / "s.png")
    seen, _, _ = read_linear(tmp_path / "s.png")
    assert seen[0, 0] == pytest.approx([0.5029, 0.003035, 1.0], rel=1e-3)


def test_a_zone_of_many_steps_is_named_by_its_ends() -> None:
    def name(*steps: str) -> str:
        return Zone(steps, np.zeros((1, 1), bool), 1.0).name

    assert name() == "bare paper"
    assert name("a", "b", "c") == "a + b + c"
    assert name("a", "b", "c", "d") == "a + 2 more + d"
