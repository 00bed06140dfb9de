"""What a palette reaches, and what one bottle more would add."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pdf_content import drawn_paths

from glaze.charts.paper.marks import Line, Text, bounds
from glaze.charts.paper.publish import write_pages
from glaze.charts.sheets.gamut_sheet import PLANE_MM, gamut_sheets
from glaze.charts.sheets.parts import Layout
from glaze.errors import InputError
from glaze.materials.munsell import FAMILIES
from glaze.patch.patches import bare_patches, glaze
from glaze.patch.seen import looks_of
from glaze.patch.table import Table, table_of
from glaze.patch.washes import lay_shares
from glaze.planning.bottles.gamut import (
    SECTORS,
    Cloud,
    Gamut,
    area,
    cloud_of,
    mixtures,
    plan_gamut,
    reach_of,
)
from glaze.planning.bottles.gamut_words import (
    Bottle,
    bottles_that_add,
    bottles_told,
    compared,
    dull_families,
    family_reach,
    told_of,
)

DAY = "2026-01-02"


@cache
def _lifting() -> Gamut:
    return plan_gamut(table_of("lifting", "white cartridge"))


@cache
def _bottles() -> tuple[Bottle, ...]:
    return tuple(bottles_that_add(_lifting(), 3))


@pytest.fixture(scope="module")
def table() -> Table:
    return table_of("lifting", "white cartridge")


@pytest.fixture(scope="module")
def munsell() -> Gamut:
    return _lifting()


@pytest.fixture(scope="module")
def resistant() -> Gamut:
    return plan_gamut(table_of("resistant", "white cartridge"))


def test_a_round_cloud_has_the_area_of_its_circle() -> None:
    turn = np.random.default_rng(5).uniform(0, 1, 20_000)
    cloud = Cloud(turn, np.full(turn.size, 5.0), np.full(turn.size, 8.0), np.zeros((turn.size, 3)))
    reach = reach_of("round", cloud)
    assert reach.plane == pytest.approx(np.full(SECTORS, 8.0))
    assert area(reach) == pytest.approx(math.pi * 64)
    assert (reach.slices > 0).sum() == 10


@given(
    blue=st.integers(0, 6),
    red=st.integers(0, 6),
    yellow=st.integers(0, 6),
    water=st.integers(0, 40),
)
@settings(max_examples=60, deadline=None)
def test_no_wash_lies_outside_the_boundary(blue: int, red: int, yellow: int, water: int) -> None:
    if blue + red + yellow == 0:
        return
    gamut = _lifting()
    mix = gamut.table.mix(f"Blue {blue} + Red {red} + Yellow {yellow} + water {water}")
    sheet = glaze(gamut.table, bare_patches(gamut.table), mix)
    (patch,) = looks_of(gamut.table, sheet)
    sector = math.floor(patch.hue / 100 * SECTORS + 0.5) % SECTORS
    near = max(gamut.mixes.plane[(sector + k) % SECTORS] for k in (-1, 0, 1))
    # the boundary is sampled: a wash between its points may stand out a little
    assert patch.chroma <= near * 1.05


def test_shares_cover_pairs_and_triples_in_every_strength() -> None:
    shares = mixtures(3)
    assert shares.sum(axis=1).max() == pytest.approx(2.0)  # two coats
    assert shares.sum(axis=1).min() == pytest.approx(0.03)
    assert ((shares > 0).sum(axis=1) == 3).any()


def test_shadow_washes_reach_darker_yellows_than_mixing_alone(munsell: Gamut) -> None:
    # trade: dark yellows (olives) are had by black over yellow (common practice, no source)
    yellow = 2
    level = 2 * 5  # value 5 to 5.5
    assert munsell.shadowed.slices[yellow, level] > munsell.mixes.slices[yellow, level] + 1
    assert (munsell.shadowed.plane >= munsell.mixes.plane - 1e-9).all()


def test_three_primaries_go_dull_in_violet_and_blue_green(munsell: Gamut) -> None:
    # trade: violets of a warm red and greens of a deep blue are dull (common practice, no source)
    assert {"P", "BG"} <= set(dull_families(munsell))
    assert {"R", "Y", "PB"}.isdisjoint(dull_families(munsell))
    assert "purple (5P" in " ".join(told_of(munsell))


def test_the_family_that_is_reached_furthest_is_named(munsell: Gamut) -> None:
    reach = family_reach(munsell.mixes.plane)
    # "Blue, Red, Yellow reach furthest in yellow: chroma 12 at 5Y."
    furthest = max(reach.values())
    assert f"chroma {furthest:.0f} at 5" in told_of(munsell)[0]
    family = told_of(munsell)[0].rpartition(" at 5")[2].rstrip(".")
    assert reach[family] == furthest


def test_a_rhodamine_red_widens_red_purple_and_stays_after_bleach(
    munsell: Gamut, resistant: Gamut
) -> None:
    # the resistant palette's red holds Acid Red 52, which bleach hardly takes
    assert family_reach(resistant.mixes.plane)["RP"] > family_reach(munsell.mixes.plane)["RP"] + 2
    assert area(resistant.lifted) > 4 * area(munsell.lifted)
    told = compared(munsell, resistant)
    assert any(line.startswith("resistant reaches further in") and "red" in line for line in told)


def test_the_bottle_that_adds_most_adds_as_much_when_it_is_bought(
    tmp_path: Path, munsell: Gamut
) -> None:
    bottle = _bottles()[0]
    strength = 1.2 * 33  # about that of the palette's Blue: g/L times mean absorptivity
    file = tmp_path / "inks.toml"
    g_per_l = strength / munsell.table.palette.dyes[bottle.name].mean_absorptivity_l_per_g_cm
    file.write_text(
        f'based_on = "lifting"\n[[ink]]\nname = "Fourth"\n'
        f'dyes_g_per_l = {{ "{bottle.name}" = {g_per_l:.3f} }}\n',
        encoding="utf-8",
    )
    bigger = table_of(str(file), "white cartridge")
    inks = [bigger.palette.inks[name] for name in ("Blue", "Red", "Yellow", "Fourth")]
    wider = reach_of("all", cloud_of(bigger, lay_shares(bigger, inks, mixtures(4)), "munsell"))
    # triples and a slightly other strength count in too: the gain is right to a tenth
    assert area(wider) / area(munsell.mixes) - 1 == pytest.approx(bottle.gain, abs=0.12)
    assert bottle.after > bottle.before + 1
    assert bottle.words in bottles_told([bottle])[0]


def test_each_further_bottle_adds_less() -> None:
    gains = [bottle.gain for bottle in _bottles()]
    assert gains == sorted(gains, reverse=True)


def test_the_disc_lies_in_the_pdf_to_scale(tmp_path: Path, munsell: Gamut) -> None:
    file = tmp_path / "gamut.pdf"
    (page,) = gamut_sheets([munsell], Layout(day=DAY), lift=False)
    write_pages([page], file)
    outlines = [d.points for d in drawn_paths(file) if d.fill is None and len(d.points) == SECTORS]
    (corners,) = outlines
    # the centre is where the spoke of 5Y would start: solve from two opposite corners
    plane = munsell.mixes.plane
    share = plane[0] / (plane[0] + plane[SECTORS // 2])
    centre = corners[0] + share * (corners[SECTORS // 2] - corners[0])
    radii = np.hypot(*(corners - centre).T)
    # 16 chroma to half of 90 mm
    assert radii == pytest.approx(plane / 16 * PLANE_MM / 2, abs=0.02)


def test_each_slice_lies_under_the_name_of_its_family(munsell: Gamut) -> None:
    (page,) = gamut_sheets([munsell], Layout(day=DAY), lift=False)
    slices = {m.name: m.points for m in page.marks if isinstance(m, Line) and m.name}
    for family, letters in enumerate(FAMILIES):
        (title,) = (m for m in page.marks if isinstance(m, Text) and m.text == f"5{letters}"
                    and m.face == "Bold")  # fmt: skip
        across = [x for x, _ in slices[f"slice-mixes-{family}"]]
        # as far from its middle as the name stands, and on that side of it
        middle = across[0]
        assert abs(title.x - middle) < 60.0
        farthest = max(across, key=lambda x, at=middle: abs(x - at))
        assert (title.x > middle) == (farthest > middle)


@pytest.mark.parametrize("size", ["A4", "Letter", "A3"])
def test_nothing_is_drawn_in_the_margins(munsell: Gamut, size: str) -> None:
    (page,) = gamut_sheets([munsell], Layout(size, day=DAY))
    for mark in page.marks:
        left, top, right, bottom = bounds(mark)
        assert left >= 10.9
        assert right <= page.width - 10.9
        assert top >= 10.9
        assert bottom <= page.height - 10.9


def test_the_caution_stands_where_a_lift_is_shown(munsell: Gamut) -> None:
    def told(**options) -> str:
        pages = gamut_sheets([munsell], Layout(day=DAY), **options)
        return " ".join(m.text for p in pages for m in p.marks if isinstance(m, Text))

    assert "poisonous gas" in told(lift=True)
    assert "poisonous gas" not in told(lift=False)


def test_a_gamut_of_one_hue_or_an_unknown_space_is_refused(table: Table) -> None:
    with pytest.raises(InputError, match="two inks with a hue of their own; here: Blue"):
        plan_gamut(table, inks=["Blue", "Black"])
    with pytest.raises(InputError, match='No colour space is called "luv"'):
        plan_gamut(table, "luv")
