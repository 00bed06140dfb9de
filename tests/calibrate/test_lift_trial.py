"""The lift experiment read back: rates and ghosts put in by a second program come out again.

The dots are worked out in seconds by scipy's stiff solver (`tests.full_system`) from the raw
figures of the tables and painted by `swatch_painter`; neither knows glaze's lift. Synthetic.
"""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest
from swatch_painter import NM, Painter, linear_rgb, paint_page, weight

from glaze.calibrate.fit.lift_trial import TrialDot, fit_lift, lift_words, own_chain
from glaze.calibrate.fit.own_inks import calibrate
from glaze.calibrate.report.ink_file import write_inks
from glaze.calibrate.scan.swatch import apart, read_swatches
from glaze.charts.content.swatch_layout import TRIAL, trial_pages
from glaze.materials.ink import load_palette
from tests.full_system import Case, solve_in_time
from tests.second_way import literal
from tests.second_way import raw_figures as raw

BOTTLE = {"percent": 5.0, "ph": 11.5, "age_months": 0.0, "storage_c": 20.0}
ROOM = {"temperature_c": 20.0, "humidity_percent": 50.0, "air_m_per_s": 0.0}
LAG = (0.1e-3) ** 2 / (6 * 1.2e-9 / 3)


def chain_of(names):
    """Dyes and what bleach makes of them, by name."""
    found = list(names)
    for name in found:
        product = raw.dye(name).get("product")
        if product and product not in found:
            found.append(product)
    return found


@cache
def dotted(painter, ink, parts, bleach, rate=1.0, ghost=1.0, ghost_rate=1.0):
    """Linear colour of a dot on one wash of an ink."""
    contents = painter.palette.inks[ink].contents_g_per_l
    names, (water, minutes) = chain_of(contents), bleach
    facts, q = [raw.dye(name) for name in names], 1 / (1 + parts)
    load = [contents.get(name, 0.0) * painter.factors.get(ink, 1.0) * q * 0.1 for name in names]
    own = [name in contents for name in names]
    ph = literal.ph_of(BOTTLE, water)
    case = Case(
        k=np.array([literal.rate_of(f, 20.0, ph) * (rate if mine else ghost_rate)
                    for f, mine in zip(facts, own, strict=True)]),
        oxidant=np.array([float(f["oxidant"]) for f in facts]),
        product=np.array([names.index(f["product"]) if f.get("product") else -1 for f in facts]),
        product_yield=np.array([float(f.get("product_yield", 1.0)) * (ghost if mine else 1.0)
                                for f, mine in zip(facts, own, strict=True)]),
        fibre=painter.paper.fibre_mol_per_m2,
        fibre_rate=painter.paper.fibre_rate_l_per_mol_s
        * math.exp(50e3 / literal.GAS * (1 / 298.15 - 1 / 293.15)),
        mol=np.array([g / f["molar_mass"] for g, f in zip(load, facts, strict=True)]),
        h0=literal.bottle_mol_per_l(BOTTLE) / (1 + water) * 0.06,
        seconds=minutes * 60 - LAG,
        evaporation=literal.evaporation_l_per_m2_s(ROOM),
        residual=painter.paper.residual_ml_per_m2 / 1000,
    )  # fmt: skip
    mol, _ = solve_in_time(case)
    A = np.zeros(NM.size)
    for name, f, left in zip(names, facts, mol, strict=True):
        curve = painter.palette.dyes[name].absorptivity_l_per_g_cm(NM)
        A += left * f["molar_mass"] * 0.1 * curve
    A *= painter.paper.path_gain * np.log(10) * weight(0.0, q) / q
    s, k = painter.paper.surface_reflectance, painter.paper.path_spread
    return linear_rgb(s + (painter.paper_reflectance - s) * (1 + A / k) ** -k)


def trial(painter, ink, bleaches, **how):
    return [TrialDot(1.0, *one, dotted(painter, ink, 1.0, one, **how)) for one in bleaches]


@pytest.fixture(scope="module")
def own(table):
    return Painter(table.palette, table.paper, {})


@pytest.mark.parametrize("ink", ["Blue", "Red", "Black"])
@pytest.mark.parametrize(("rate", "ghost", "ghost_rate"), [(1, 1, 1), (2.5, 1.5, 0.4), (0.4, 1, 3)])
def test_rates_come_back_within_a_third_and_ghosts_within_3(
    table, own, ink, rate, ghost, ghost_rate
):
    dots = trial(own, ink, TRIAL, rate=rate, ghost=ghost, ghost_rate=ghost_rate)
    found = fit_lift(table, table.palette.inks[ink], dots)
    times, band = found.times("rate")
    assert 1 / 1.3 < times / rate < 1.3
    assert 1 / band < times / rate < band
    off = [apart(dot.rgb, rgb) for dot, rgb in zip(dots, found.predicted, strict=True)]
    assert max(off) < 3.0
    for name, put_in in (("ghost", ghost), ("ghost_rate", ghost_rate)):
        times, band = found.times(name)
        assert 1 / band < times / put_in < band  # a band of 9 in 10 and no noise


def test_two_dots_leave_wider_bands_than_nine_and_say_which_to_add(table, own):
    ink = table.palette.inks["Black"]
    two = fit_lift(table, ink, trial(own, "Black", TRIAL[:1] + TRIAL[-1:]))
    nine = fit_lift(table, ink, trial(own, "Black", TRIAL))
    assert two.log_sd.sum() > nine.log_sd.sum()
    assert len(two.add) == 2
    assert not set(two.add) & {TRIAL[0], TRIAL[-1]}
    assert nine.add == ()
    assert "would tell most" in lift_words(two)
    # and they do: no other pair of the seven left narrows the four numbers more
    added = fit_lift(table, ink, trial(own, "Black", (TRIAL[0], TRIAL[-1], *two.add)))
    assert added.log_sd.sum() < two.log_sd.sum()


def test_what_dots_do_not_tell_stays_as_the_table_has_it(table, own):
    # ten seconds of 1 + 19 on blue: nothing of its ghost can be seen
    ink = table.palette.inks["Blue"]
    found = fit_lift(table, ink, trial(own, "Blue", [(19.0, 1 / 6)]))
    assert not any(found.told[1:])
    _, dyes = own_chain(table, ink, found)
    ghost = next(dye for dye in dyes if dye.kind == "product")
    before = table.palette.dyes["Pale triarylmethane residue"].bleach
    assert ghost.bleach.k_ocl_l_per_mol_s == before.k_ocl_l_per_mol_s
    assert ghost.bleach.factor == before.factor


def test_a_scanned_trial_gives_inks_that_lift_as_it_did(table, page, own, save, tmp_path):
    sheet = trial_pages(table)[0]
    how = {"rate": 2.0, "ghost": 1.0, "ghost_rate": 1.0}

    class Dotted(Painter):
        def colour_of(self, place):
            if place.kind != "trial":
                return super().colour_of(place)
            return linear_rgb(self.reflectance([({place.inks[0]: 1.0}, 1 / (1 + place.parts))]))

    painter = Dotted(table.palette, table.paper, {})
    dots = {
        p.name: dotted(painter, p.inks[0], p.parts, p.bleach, **how)
        for p in sheet.places
        if p.inks[0] in ("Red", "Black")
    }
    scans = [
        save(paint_page(page, painter, dpi=100), "strips.png"),
        save(paint_page(sheet, painter, dpi=100, dots=dots), "trial.png"),
    ]
    pages = [page, sheet]
    found = calibrate([read_swatches(scan, pages) for scan in scans], table, kind="strength")
    assert found.inks["Blue"].lift is None
    for name in ("Red", "Black"):
        times, _ = found.inks[name].lift.times("rate")
        assert 1 / 1.3 < times / 2.0 < 1.3
    written = load_palette(write_inks(found, tmp_path / "inks.toml"))
    red = next(iter(written.inks["Red"].contents_g_per_l))
    assert red.endswith("of Red")
    before = table.palette.dyes["Acid Red 1"].bleach.k_ocl_l_per_mol_s
    after = written.dyes[red].bleach.k_ocl_l_per_mol_s
    assert after / before == pytest.approx(found.inks["Red"].lift.times("rate")[0], rel=1e-3)
    assert written.dyes[red].product in written.dyes
