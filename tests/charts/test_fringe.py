"""Separation at a drying edge, and the dyes an ink parts into."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from glaze.charts.paper.marks import Image, bounds
from glaze.charts.sheets.fringe_sheet import fringe_sheets
from glaze.charts.sheets.parts import Layout
from glaze.errors import InputError
from glaze.materials.mix import diluted
from glaze.patch.table import Table, table_of
from glaze.planning.looks.fringe import (
    DPI,
    OUTSIDE_MM,
    dried_edge,
    fringe_of,
    parted,
    plan_fringes,
    told_of,
)

DAY = "2026-01-02"
PER_MM = round(DPI / 25.4)


@pytest.fixture(scope="module")
def table() -> Table:
    return table_of("lifting", "white cartridge")


def test_every_ink_of_several_dyes_has_a_strip_and_no_other(table: Table) -> None:
    shown = {fringe.name for fringe in plan_fringes(table)}
    several = {ink.name for ink in table.palette.inks.values() if len(ink.contents_g_per_l) > 1}
    assert shown == several
    assert "Yellow" not in shown  # Acid Yellow 23 alone


def test_no_dye_is_lost_or_made_at_the_edge(table: Table) -> None:
    # what the rim gains comes from the strip behind it: the sum over the row is that of a flat wash
    mix = diluted(table.mix("Separating Black 1"), 4)
    sheet, _ = dried_edge(table, mix)
    flat = np.zeros(len(table.dyes))
    for k, dye in enumerate(table.dyes):
        # g/L x 100 ml/m2 over the 5 mm inside
        flat[k] = mix.contents_g_per_l.get(dye.name, 0.0) * 0.1 * 5 * PER_MM
    assert sheet.load_g_per_m2[0].sum(axis=0) == pytest.approx(flat, rel=1e-4, abs=1e-6)


def test_the_edge_is_sharp_and_dry_outside(table: Table) -> None:
    sheet, _ = dried_edge(table, table.mix("Black 1 + water 7"))
    outside = round(OUTSIDE_MM * PER_MM)
    assert sheet.load_g_per_m2[0, :outside].max() == 0
    assert sheet.load_g_per_m2[0, outside:].sum(axis=1).min() > 0


def test_the_quick_dye_gathers_in_the_rim(table: Table) -> None:
    mix = table.mix("Separating Black 1 + water 7")
    sheet, separates = dried_edge(table, mix)
    assert separates
    names = [dye.name for dye in table.dyes]
    rim = sheet.load_g_per_m2[0, round(OUTSIDE_MM * PER_MM) + 2]
    middle = sheet.load_g_per_m2[0, -1]
    quick, slow = names.index("Acid Blue 9"), names.index("Acid Violet 3")
    assert rim[quick] / middle[quick] > rim[slow] / middle[slow] > 1


@pytest.mark.parametrize("mobility", [0.0, 0.5])
def test_a_rim_is_as_strong_as_its_dyes_are_mobile(table: Table, mobility: float) -> None:
    """The law's own form: a rim gains in proportion to mobility, and nothing without any."""
    gains = []
    for each in (mobility, 1.0):
        alike = replace(table, dyes=tuple(replace(dye, mobility=each) for dye in table.dyes))
        sheet, separates = dried_edge(alike, alike.mix("Blue 1 + water 7"))
        assert not separates
        row = sheet.load_g_per_m2[0].sum(axis=-1)
        gains.append(row[round(OUTSIDE_MM * PER_MM) + 1] / row[-1] - 1)
    assert gains[1] > 0.1
    assert gains[0] == pytest.approx(mobility * gains[1], rel=0.01, abs=1e-6)


def test_dyes_stand_in_the_order_they_travel(table: Table) -> None:
    dyes = parted(table, table.mix("Separating Black 1"))
    assert [dye.name for dye in dyes] == ["Acid Blue 9", "Acid Orange 10", "Acid Violet 3"]
    speeds = [dye.mobility for dye in dyes]
    assert speeds == sorted(speeds, reverse=True)


def test_a_black_parts_into_colours(table: Table) -> None:
    # blacks are nearly always mixtures and split into blue, yellow, pink or brown
    # (common practice, no source)
    fringe = fringe_of(table, "Black 1")
    assert fringe.patch.chroma < 1
    assert len(fringe.dyes) == 3
    assert max(dye.patch.chroma for dye in fringe.dyes) > 6


def test_dyes_that_travel_alike_leave_no_coloured_fringe(table: Table) -> None:
    # Neon Pink: Acid Red 87 and Acid Red 52 of one mobility
    fringe = fringe_of(table, "Neon Pink 1")
    assert not fringe.separates
    assert "no coloured fringe" in told_of(fringe)
    assert fringe.rim.value < fringe.middle.value


def test_edges_are_drawn_ten_times_as_large(table: Table) -> None:
    (page,) = fringe_sheets(table, plan_fringes(table), Layout(day=DAY))
    edges = [m for m in page.marks if isinstance(m, Image)]
    assert len(edges) == 6
    # 6 mm of paper
    assert {m.width for m in edges} == {60.0}
    assert edges[0].rgb8.shape == (1, 6 * PER_MM, 3)


@pytest.mark.parametrize("size", ["A4", "Letter", "A3"])
def test_strips_stay_between_the_margins(table: Table, size: str) -> None:
    for page in fringe_sheets(table, plan_fringes(table), Layout(size, day=DAY)):
        for mark in page.marks:
            left, _, right, bottom = bounds(mark)
            assert left >= 10.9
            assert right <= page.width - 10.9
            assert bottom <= page.height - 10.9


def test_a_palette_of_single_dyes_says_so(table: Table) -> None:
    from dataclasses import replace
    from types import MappingProxyType

    only = {n: i for n, i in table.palette.inks.items() if len(i.contents_g_per_l) == 1}
    bare = table_of(replace(table.palette, inks=MappingProxyType(only)), "white cartridge")
    with pytest.raises(InputError, match='--of "Blue 3'):
        plan_fringes(bare)
