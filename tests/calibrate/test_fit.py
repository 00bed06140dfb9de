"""From a painted sheet to inks: strengths put in by an independent painter come out again.

All sheets are synthetic (`swatch_painter`); the tolerances are the painter's own scatter.
"""

from __future__ import annotations

import numpy as np
import pytest
from swatch_painter import FACTORS, NM, Painter, linear_rgb, paint_page

from glaze.calibrate.fit.own_inks import calibrate
from glaze.calibrate.scan.swatch import read_swatches
from glaze.errors import InputError
from glaze.materials.dye import load_dyes


@pytest.fixture(scope="module")
def found(scan, page, table):
    return calibrate([read_swatches(scan, [page])], table)


def test_strengths_come_out_as_they_were_painted(found):
    # 8-bit scan, 1 % patchiness: within 2 %
    for name, factor in FACTORS.items():
        assert found.inks[name].strength == pytest.approx(factor, rel=0.02)
        assert found.inks[name].kind == "strength"


def test_every_dye_of_an_ink_is_scaled_alike(found, table):
    for name, fit in found.inks.items():
        before = table.palette.inks[name].contents_g_per_l
        for dye, amount in fit.ink.contents_g_per_l.items():
            assert amount / before[dye] == pytest.approx(fit.strength, rel=1e-6)


def test_the_inks_are_called_measured_and_their_band_shrinks_from_three(found):
    for fit in found.inks.values():
        assert fit.ink.how == "measured"
        assert 1.1 <= fit.ink.strength_factor < 1.2


def test_rungs_act_as_the_parts_they_were_mixed_with(found):
    for rung in found.inks["Black"].rungs[1:]:
        assert rung.acts_as == pytest.approx(float(rung.name.split("+")[1]), rel=0.05)


def test_mixes_and_shadow_washes_are_predicted_without_being_fitted(found):
    # the painter lays black over hue as if nothing crowded it: what is left is that
    assert len(found.checks) == 9
    assert max(check.de00 for check in found.checks) < 2.0


def test_the_law_of_dilution_is_seen_to_hold(found):
    # the painter used b = 0.4; the strip of a dark ink tells it best
    assert found.inks["Black"].crowding[0] == pytest.approx(0.4, abs=0.1)
    assert all(fit.crowding[1] < 0.5 for fit in found.inks.values())


def sloppy(page, seed, spread=0.12):
    """Every rung measured out a little wrongly."""
    rng = np.random.default_rng(seed)
    return {p.name: float(np.exp(spread * rng.standard_normal())) for p in page.places}


def test_a_sloppy_hand_costs_what_the_band_says(page, table, save):
    # 12 % scatter of a rung's strength: over 4 inks and 5 hands the 90 % band of a single wash,
    # and all the more of the mean, has to hold nearly always
    hits, errors = 0, []
    for seed in range(5):
        painter = Painter(table.palette, table.paper, FACTORS, sloppy(page, seed))
        scan = save(paint_page(page, painter, dpi=100, noise=0.02), f"sloppy{seed}.png")
        found = calibrate([read_swatches(scan, [page])], table, kind="strength")
        for name, factor in FACTORS.items():
            ratio = found.inks[name].strength / factor
            errors.append(abs(np.log(ratio)))
            band = found.inks[name].ink.strength_factor
            hits += 1 / band <= ratio <= band
            assert 1.1 <= band < 1.8
    assert hits >= 18
    assert np.mean(errors) < 0.09


def test_other_shares_of_the_dyes_are_found(page, table, save):
    # a black with twice as much of its second dye: no strength explains it, the shares do
    black = dict(table.palette.inks["Black"].contents_g_per_l)
    first, second = list(black)[:2]

    class Tinged(Painter):
        def path_of(self, ink):
            more = black[second] * self.paper.film_ml_per_m2 / 1000 * 0.1
            extra = more * self.palette.dyes[second].absorptivity_l_per_g_cm(NM)
            tinge = self.paper.path_gain * np.log(10) * extra if ink == "Black" else 0.0
            return super().path_of(ink) + tinge

    painter = Tinged(table.palette, table.paper, {})
    scan = save(paint_page(page, painter, dpi=100), "tinged.png")
    fit = calibrate([read_swatches(scan, [page])], table).inks["Black"]
    assert fit.kind == "dyes"
    assert fit.ink.contents_g_per_l[second] / black[second] == pytest.approx(2.0, rel=0.1)
    assert fit.ink.contents_g_per_l[first] / black[first] == pytest.approx(1.0, rel=0.1)


class Stranger(Painter):
    """Fills the red bottle with a dye that no red of the palette holds."""

    def path_of(self, ink):
        if ink != "Red":
            return super().path_of(ink)
        load = 0.9 * self.paper.film_ml_per_m2 / 1000
        curve = load_dyes()["Acid Violet 3"].absorptivity_l_per_g_cm(NM)
        return self.paper.path_gain * np.log(10) * load * 0.1 * curve


@pytest.fixture(scope="module")
def stranger(page, table, save):
    """A strip of a violet dye where red is expected, with bleach dots, read and fitted."""
    painter = Stranger(table.palette, table.paper, {})
    pale = linear_rgb(painter.reflectance([])) * np.array([0.99, 0.93, 0.97])
    dots = {"Red neat": pale, "Red 1+4": pale}
    scan = save(paint_page(page, painter, dpi=100, dots=dots), "stranger.png")
    return painter, calibrate([read_swatches(scan, [page])], table)


def test_an_ink_of_another_dye_becomes_a_colourant_of_its_own(stranger):
    painter, found = stranger
    fit = found.inks["Red"]
    assert fit.kind == "measured"
    assert fit.unseen_de00["measured"] < 0.3 * fit.unseen_de00["strength"]
    assert fit.mean_de00 < 1.0
    assert any("an ink of its own" in note for note in fit.notes)
    # its curve peaks where the dye's does, to the width that a colour leaves open
    curve = np.array(fit.dyes[0].curve)
    assert abs(curve[curve[:, 1].argmax(), 0] - NM[painter.path_of("Red").argmax()]) < 35


def test_its_mixes_are_predicted_from_its_recovered_spectrum(stranger):
    # the spectrum is one of many with that colour: half a value step is what may be promised
    mixes = [c for c in stranger[1].checks if "Red" in c.name]
    assert len(mixes) == 4  # with Blue, with Yellow, and two under the shadow wash
    assert all(abs(check.value_gap) < 0.5 for check in mixes)
    assert np.mean([check.de00 for check in mixes]) < 4.0


def test_bleach_dots_give_a_class_and_the_ghost_seen(stranger):
    fit = stranger[1].inks["Red"]
    assert fit.ink.bleach_class == "lifts"
    assert len(fit.dots) == 2
    assert all(dot.value_gain > 1 for dot in fit.dots)


def test_a_measured_inks_ghost_comes_back_as_it_was_seen(page, table, save):
    # painted dots: pink over the dense patch, paler over the thin one; the fit takes the ghost
    # from the dense one, the model then has to lift both
    from glaze.calibrate.scan.swatch import apart
    from glaze.patch.patches import bare_patches, bleach_patches, glaze
    from glaze.patch.patches import linear_rgb as seen_rgb
    from glaze.sheet.lift import Touches

    painter = Stranger(table.palette, table.paper, {})
    dots = {"Red neat": np.array([0.75, 0.45, 0.5]), "Red 1+4": np.array([0.84, 0.70, 0.69])}
    scan = save(paint_page(page, painter, dpi=100, dots=dots), "ghosts.png")
    after = calibrate([read_swatches(scan, [page])], table).table
    for name, wash in (("Red neat", "Red 1 part"), ("Red 1+4", "Red 1 part + water 4 parts")):
        sheet = bare_patches(after)
        glaze(after, sheet, after.mix(wash))
        bleach_patches(after, sheet, Touches())
        assert apart(seen_rgb(after, sheet)[0, 0], dots[name]) < 2.0


def test_a_dot_that_hardly_changes_says_the_ink_resists(page, table, painter, save):
    dots = {}
    for name in ("Red neat", "Red 1+4"):
        place = next(p for p in page.places if p.name == name)
        paper = linear_rgb(painter.reflectance([]))
        dots[name] = 0.9 * painter.colour_of(place) + 0.1 * paper
        dots["Blue neat"] = paper
    scan = save(paint_page(page, painter, dpi=100, dots=dots), "resists.png")
    found = calibrate([read_swatches(scan, [page])], table, kind="strength")
    assert found.inks["Red"].ink.bleach_class == "resists"


def test_one_rung_mixed_wrongly_does_not_carry_the_strip(page, table, save):
    # 1+8 mixed as 1+2: the others outvote it, and the report says what it acts as
    painter = Painter(table.palette, table.paper, FACTORS, {"Black 1+8": 3.0})
    scan = save(paint_page(page, painter, dpi=100), "slip.png")
    fit = calibrate([read_swatches(scan, [page])], table, kind="strength").inks["Black"]
    assert fit.strength == pytest.approx(FACTORS["Black"], rel=0.15)
    odd = next(rung for rung in fit.rungs if rung.name == "Black 1+8")
    assert odd.acts_as == pytest.approx(2.0, abs=0.7)
    assert odd.value_gap < -0.5


def test_an_ink_that_nothing_explains_is_not_called_measured(page, table, save):
    # rungs of four bottles in the red's strip: no ink gives these
    class Muddled(Painter):
        def colour_of(self, place):
            others = {"Red 1+1": "Blue", "Red 1+4": "Yellow", "Red 1+8": "Blue"}
            ink = others.get(place.name)
            if ink is None:
                return super().colour_of(place)
            return linear_rgb(self.reflectance([({ink: 1.0}, 1 / (1 + place.parts))]))

    scan = save(paint_page(page, Muddled(table.palette, table.paper, {}), dpi=100), "muddle.png")
    fit = calibrate([read_swatches(scan, [page])], table).inks["Red"]
    assert fit.ink.how == "estimated"
    assert fit.ink.strength_factor >= 2.0
    told = next(note for note in fit.notes if "no ink explains" in note)
    assert "Red 1+" in told
    assert "paint these again" in told


def test_inks_not_painted_stay_as_they_are(page, table, painter, save):
    skip = {p.name for p in page.places if p.inks[:1] == ("Red",)} | {"Blue 1+1"}
    scan = save(paint_page(page, painter, dpi=100, skip=skip), "some.png")
    found = calibrate([read_swatches(scan, [page])], table, kind="strength")
    assert "Red" not in found.inks
    assert found.palette.inks["Red"] == table.palette.inks["Red"]
    assert any(note.startswith("Red: not painted") for note in found.notes)
    assert any("Blue 1+1: as light as bare paper" in note for note in found.notes)
    assert found.inks["Blue"].strength == pytest.approx(1.4, rel=0.03)


def test_an_unpainted_sheet_is_refused(page, table, painter, save):
    skip = {p.name for p in page.places}
    scan = save(paint_page(page, painter, dpi=100, skip=skip), "blank.png")
    with pytest.raises(InputError, match="enough painted patches"):
        calibrate([read_swatches(scan, [page])], table)


def test_a_grey_card_tells_the_papers_own_colour(page, table, save):
    # painted on another paper than the one named; the card on its place has R = 0.18
    from glaze.patch.table import table_of

    cream = table_of("lifting", "cream cartridge")
    painter = Painter(cream.palette, cream.paper, {})
    scan = save(paint_page(page, painter, dpi=100), "card.png")
    found = calibrate([read_swatches(scan, [page])], table, kind="strength", grey=0.18)
    true = linear_rgb(painter.reflectance([]))
    assert found.paper.rgb == pytest.approx(true, abs=0.02)
    assert found.paper.how == "grey card"
    assert all(fit.strength == pytest.approx(1, rel=0.06) for fit in found.inks.values())


def test_no_card_on_its_place_is_refused(page, table, painter, save):
    scan = save(paint_page(page, painter, dpi=100, skip={"grey card"}), "nocard.png")
    with pytest.raises(InputError, match="bare paper where the grey card should lie"):
        calibrate([read_swatches(scan, [page])], table, grey=0.18)


def test_an_unknown_way_to_fit_is_refused(scan, page, table):
    with pytest.raises(InputError, match="auto"):
        calibrate([read_swatches(scan, [page])], table, kind="magic")
