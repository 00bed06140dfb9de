"""Bands of any washes and lifts: their draws, what they promise, on what they rest."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType, SimpleNamespace

import numpy as np
import pytest

from glaze.errors import InputError
from glaze.materials.checked import Checked, Off
from glaze.patch.band import Band, Cause, promise, promise_of
from glaze.patch.cases import Cases, drawn
from glaze.patch.engine import Figures, Stacks
from glaze.patch.layers import (
    Laid,
    Lifted,
    _standing,
    doubt_entries,
    doubts_of,
    standing_of,
)
from glaze.patch.table import table_of
from glaze.patch.trust import LAWS, band_of, bands_of, law_sd, trusted
from glaze.physics.colour import munsell_value
from glaze.physics.uncertainty import LAW_VALUE, LEVEL, LawError, log_sd
from glaze.sheet.lift import Touches

Z = 1.6449
"""Standard normal quantile of 0.95."""

INVENTED = table_of("lifting", "white cartridge")


def painted(table, factor=1.1):
    """The table as if every bottle had its swatches, on a paper whose shade was measured."""
    inks = {
        name: replace(ink, how="measured", strength_factor=factor)
        for name, ink in table.palette.inks.items()
    }
    entries = dict(table.paper.entries)
    entries["reflectance"] = replace(entries["reflectance"], how="measured")
    palette = replace(table.palette, inks=MappingProxyType(inks))
    return replace(table, palette=palette, paper=replace(table.paper, entries=entries))


MEASURED = painted(INVENTED)


def laid(text, **more):
    return Laid(INVENTED.mix(text), **more)


def random_washes(rng):
    """One to four washes of one or two inks, neat to 1 + 16."""
    layers = []
    for _ in range(rng.integers(1, 5)):
        some = rng.choice(list(INVENTED.palette.inks), rng.integers(1, 3), replace=False)
        water = round(16 * rng.random() ** 2, 1)
        parts = [f"{name} 1 part" for name in some] + [f"water {water} parts"] * (water > 0)
        layers.append(laid(" + ".join(parts)))
    return layers


def by_slopes(table, layers):
    """Ends of the band by slopes (GUM, JCGM 100:2008, eq. 10), without the law's own error."""
    doubts = doubts_of(layers, table)
    ran = Stacks(table, (tuple(layers),))

    def predict(amounts):
        moved = {d.key: np.array([f]) for d, f in zip(doubts, amounts, strict=True)}
        *_, sheet = ran.after_each(Figures(moved))
        return float(munsell_value(ran.xyz(sheet, Figures(moved))[0, 0, 1]))

    ones, below, above = np.ones(len(doubts)), 0.0, 0.0
    best = predict(ones)
    for i, doubt in enumerate(doubts):
        for sign in (-1.0, 1.0):
            change = predict(ones * doubt.factor ** (sign * (np.arange(len(ones)) == i) / Z)) - best
            below, above = below + min(change, 0.0) ** 2, above + max(change, 0.0) ** 2
    return best - Z * below**0.5, best + Z * above**0.5


@pytest.fixture
def lawful(monkeypatch):
    """As if the law itself had no error: what is left comes from figures that aren't sure."""
    monkeypatch.setitem(LAWS, "value", LawError(0.0, 0.0, 0.0))


@pytest.mark.parametrize("seed", range(4))
def test_draws_and_slopes_agree_on_neat_washes(seed, lawful):
    # two ways of propagating the same factors: slopes, and draws (JCGM 101:2008); where the value
    # flattens toward the dark they part, the more so the wider the factors
    layers = [laid(f"{name} 1") for name in random_inks(np.random.default_rng(seed))]
    band = trusted(MEASURED, layers).band
    low, high = by_slopes(MEASURED, layers)
    assert band.low == pytest.approx(low, abs=0.06)
    assert band.high == pytest.approx(high, abs=0.06)


@pytest.mark.parametrize(("recipe", "parts"), [("Blue 1", 19.0), ("Black 1", 9.0)])
def test_halfway_up_draws_and_slopes_agree_to_a_third(recipe, parts):
    layers = [laid(recipe), Lifted(Touches(parts_water=parts))]
    band, (low, high) = trusted(INVENTED, layers).band, by_slopes(INVENTED, layers)
    assert min(high, 9.4) - low == pytest.approx(band.high - band.low, rel=0.34)


@pytest.mark.parametrize(("recipe", "parts"), [("Red 1", 4.0), ("Black 1", 0.0)])
def test_near_the_paper_slopes_are_too_narrow_by_half(recipe, parts):
    # the value can hardly rise, so what several figures do together only shows in draws
    layers = [laid(recipe), Lifted(Touches(parts_water=parts))]
    band, (low, high) = trusted(INVENTED, layers).band, by_slopes(INVENTED, layers)
    assert 0.1 * (band.high - band.low) < min(high, 9.4) - low < 0.7 * (band.high - band.low)


def random_inks(rng):
    """One to three bottles."""
    return rng.choice([ink.name for ink in INVENTED.palette.bottles], rng.integers(1, 4), False)


@pytest.mark.parametrize("seed", range(3))
def test_a_patch_has_the_same_band_alone_and_among_many(seed):
    rng = np.random.default_rng(seed)
    lift = Lifted(Touches(parts_water=float(rng.integers(0, 20))))
    stacks = [[*random_washes(rng), lift, lift] for _ in range(24)]
    for layers, (once, twice) in zip(stacks, bands_of(INVENTED, stacks, 2), strict=True):
        for band, alone in (
            (once, trusted(INVENTED, layers[:-1])),
            (twice, trusted(INVENTED, layers)),
        ):
            ends = alone.band.low, alone.band.best, alone.band.high
            assert (band.low, band.best, band.high) == pytest.approx(ends, abs=0.02)
            assert band.standing == alone.band.standing


def test_two_touches_in_one_are_two_touches():
    washes = [laid("Black 1"), laid("Blue 1 + water 4")]
    once, twice = Lifted(Touches(parts_water=9)), Lifted(Touches(parts_water=9, touches=2))
    assert trusted(INVENTED, [*washes, once, once]).band == trusted(INVENTED, [*washes, twice]).band


def test_the_same_seed_draws_the_same_band_and_another_one_nearly():
    layers = [laid("Black 1"), Lifted(Touches(parts_water=9))]
    one, other = (trusted(INVENTED, layers, seed=seed).band for seed in (1, 8))
    assert one == trusted(INVENTED, layers, seed=1).band
    assert one != other
    assert (one.low, one.high) == pytest.approx((other.low, other.high), abs=0.4)


def test_draws_hold_their_factor_nine_times_of_ten_whatever_the_figure():
    for key in (("film", ""), ("ink", "Blue"), ("rate", "Acid Blue 9")):
        moved = np.exp(log_sd(3.0) * drawn(key, 400, 1))
        assert np.mean((moved > 1 / 3) & (moved < 3)) == pytest.approx(LEVEL, abs=0.005)
    # and no two figures go together
    assert abs(np.corrcoef(drawn(("film", ""), 400, 1), drawn(("gain", ""), 400, 1))[0, 1]) < 0.15


def test_too_few_draws_are_refused():
    with pytest.raises(InputError, match="too few"):
        trusted(INVENTED, [laid("Black 1")], draws=5)


def test_a_bottle_known_exactly_has_the_narrower_band_after_a_lift_too():
    inks = {n: replace(ink, strength_factor=1.0) for n, ink in INVENTED.palette.inks.items()}
    sure = replace(INVENTED, palette=replace(INVENTED.palette, inks=MappingProxyType(inks)))
    layers = [laid("Blue 1"), Lifted(Touches(parts_water=19))]
    wide, narrow = (trusted(table, layers).band for table in (INVENTED, sure))
    assert narrow.high - narrow.low < 0.9 * (wide.high - wide.low)


def test_no_time_has_the_band_of_the_dry_wash_and_long_time_a_lighter_one():
    dry = trusted(INVENTED, [laid("Blue 1")]).band
    at_once, later = (
        trusted(INVENTED, [laid("Blue 1"), Lifted(Touches(9.0, minutes=wait))]).band
        for wait in (1e-6, 1.0)
    )
    assert at_once.low == pytest.approx(dry.low, abs=0.01)
    assert later.low > dry.low


def test_an_invented_bottle_may_be_three_times_as_strong():
    """Corrected promise: without a strip of one's own a bottle is known to a factor of 3."""
    (strength,) = (d for d in doubts_of([laid("Black 1")], INVENTED) if d.key[0] == "ink")
    assert (strength.factor, strength.standing) == (3.0, "assumed")
    found = trusted(INVENTED, [laid("Black 1 part + water 4 parts")])
    assert found.band.half_width > 1.0
    assert "not how far" in found.promise
    assert found.causes[0].words == "the strength of Black"


def test_half_a_step_is_promised_only_within_a_strip_of_ones_own():
    for parts in ("", " + water 4 parts", " + water 16 parts"):
        found = trusted(MEASURED, [laid(f"Black 1 part{parts}")])
        assert found.band.half_width < 0.5
        assert "half a value step may be relied on" in found.promise
    beyond = trusted(MEASURED, [laid("Black 1 part + water 80 parts")])
    assert beyond.band.standing == "measured"
    assert beyond.band.half_width > 0.5
    assert "it may be off by" in beyond.promise


def test_known_from_the_bottle_alone_a_thinned_wash_is_less_sure_than_a_neat_one():
    # 0.27 steps for each factor of e, docs/accuracy.md
    assert law_alone([laid("Black 1")]) == pytest.approx(0.0, abs=1e-9)
    thin = law_alone([laid("Black 1 part + water 7 parts")])
    assert thin == pytest.approx(1.645 * 0.27 * np.log(8), rel=0.01)


def test_a_lift_is_no_surer_than_its_least_sure_rate():
    found = trusted(MEASURED, [laid("Black 1"), Lifted(Touches(parts_water=9))])
    assert found.band.standing == "assumed"
    assert found.band.half_width > 0.5
    assert "half a value step may be relied on" not in found.promise
    # what nobody lifts is as sure as before
    assert trusted(MEASURED, [laid("Black 1")]).band.standing == "measured"


def test_what_a_wash_covers_hardly_widens_the_band(lawful):
    black = trusted(MEASURED, [laid("Black 1")]).band
    over = trusted(MEASURED, [laid("Yellow 1"), laid("Black 1")]).band
    assert over.half_width < black.half_width + 0.05


def law_alone(layers):
    """Half width of the band by the error of the law alone [value steps]."""
    sure = painted(INVENTED, 1.0)
    entries = {key: replace(entry, factor=1.0) for key, entry in sure.paper.entries.items()}
    inks = {name: replace(ink, how="estimated") for name, ink in sure.palette.inks.items()}
    palette = replace(sure.palette, inks=MappingProxyType(inks))
    sure = replace(sure, palette=palette, paper=replace(sure.paper, entries=entries))
    return trusted(sure, layers).band.half_width


def test_each_further_wash_and_farther_hue_widens_the_band():
    """Blind sets: root mean square 0.25 for two dye inks over each other, 0.39 for two watercolours
    of different hue, 0.59 for three washes, 0.99 for four and more [value steps]."""
    yellow, red, blue = (laid(f"{name} 1") for name in ("Yellow", "Red", "Blue"))
    assert law_alone([blue]) == pytest.approx(0.0, abs=1e-9)
    same, two = law_alone([blue, blue]), law_alone([yellow, blue])
    assert pytest.approx(same, rel=0.03) == 1.645 * 0.25
    assert pytest.approx(two, rel=0.2) == 1.645 * 0.39
    assert law_alone([yellow, blue, red]) == pytest.approx(1.645 * 0.59, rel=0.25)
    assert law_alone([yellow, blue, red, blue]) == pytest.approx(1.645 * 0.99, rel=0.1)


def test_two_inks_are_promised_no_more_than_own_patches_of_two_held():
    """After a calibration: patches that nothing was fitted to were off by 0.8 and 9."""
    palette = replace(MEASURED.palette, checked=Checked(more_inks=Off(0.8, 9.0)))
    checked = replace(MEASURED, palette=palette)
    both, mixed = [laid("Yellow 1"), laid("Black 1 + water 4")], [laid("Yellow 3 + Blue 1")]
    for layers in (both, mixed):
        found = trusted(checked, layers)
        assert found.band.half_width > 1.645 * 0.8 * 0.97
        assert found.de00 > 1.645 * 9.0 * 0.97
        assert trusted(MEASURED, layers).band.half_width < found.band.half_width
    alone = [laid("Black 1")]
    assert trusted(checked, alone).band == trusted(MEASURED, alone).band


def test_what_a_scanner_may_be_off_is_in_every_band_and_less_in_a_tint():
    """Off by 0.2 and 4, standard deviations: a full wash has 1.645 of it, 1 + 200 hasn't."""
    off = Checked(scanner=Off(0.2, 4.0, 5.0))
    checked = replace(MEASURED, palette=replace(MEASURED.palette, checked=off))
    wash, tint = [laid("Blue 1")], [laid("Blue 1 part + water 200 parts")]
    assert trusted(checked, wash).de00 > 1.645 * 4.0 * 0.97
    assert trusted(checked, wash).band.half_width > 1.645 * 0.2 * 0.97
    assert trusted(checked, tint).de00 - trusted(MEASURED, tint).de00 < 1.5


def test_the_laws_error_of_overlays_is_what_own_patches_make_it():
    """Half the usual error, by hand: half of the law's own part of the band, none of one wash's."""
    half = Checked(overlay_times=Off(0.5, 0.5, 0.5))
    checked = replace(MEASURED, palette=replace(MEASURED.palette, checked=half))
    layers = tuple(laid(text) for text in ("Yellow 1", "Blue 1"))
    usual, own = (
        law_sd(Cases(table, (layers,), (2,), 20, 1), "value", 2, 0) for table in (MEASURED, checked)
    )
    assert own == pytest.approx(0.5 * usual)
    assert trusted(checked, [layers[0]]).band == trusted(MEASURED, [layers[0]]).band
    assert trusted(checked, layers).band.half_width < trusted(MEASURED, layers).band.half_width


def test_a_tint_that_hardly_shows_hardly_errs_over_another_wash():
    tint = laid("Red 1 part + water 400 parts")
    alone, over = law_alone([tint]), law_alone([laid("Blue 1"), tint])
    assert over < alone + 0.1


def test_a_lift_that_takes_two_washes_takes_the_error_of_their_overlay():
    layers = [laid("Blue 1"), laid("Red 1"), Lifted(Touches(touches=3))]
    run = Cases(INVENTED, (tuple(layers),), (2, 3), 400, 1)
    before, after = (float(LAW_VALUE.sd(*run.laws[stage])[0]) for stage in (2, 3))
    assert after < 0.1 * before


def test_chroma_has_a_band_too_and_a_thin_black_over_blue_may_be_grey_or_not():
    """No set tells of a thin black over a strong colour: neither grey film nor clean shadow may be
    promised. An illustrator calls the first grey film (common practice, no source)."""
    found = trusted(INVENTED, [laid("Blue 1"), laid("Black 1 part + water 6 parts")])
    low, best, high = found.chroma
    assert best == pytest.approx(float(np.hypot(*found.lab[1:])))  # CIELAB: of a* and b*
    assert low <= best <= high
    assert high - low > 10.0
    assert found.as_dict()["chroma"] == {
        "low": round(low, 1),
        "best": round(best, 1),
        "high": round(high, 1),
    }


def test_bare_paper_needs_no_ink_and_its_band_stays_narrow():
    found = trusted(INVENTED, [])
    assert found.band.half_width < 0.2
    assert found.band.standing == "assumed"
    assert trusted(MEASURED, []).band.standing == "measured"


def test_a_band_stays_within_what_a_sheet_can_show():
    for layers in ([laid("Yellow 1 part + water 60 parts")], [laid("Black 1", coats=6)]):
        band = trusted(INVENTED, layers).band
        assert 0.0 <= band.low <= band.best <= band.high <= 9.7


def test_what_is_told_holds_value_band_standing_and_causes():
    told = trusted(INVENTED, [laid("Blue 1")]).as_dict()
    assert told["band"]["low"] < told["value"] < told["band"]["high"]
    assert told["band"]["level"] == LEVEL
    assert told["band"]["standing"] == "assumed"
    assert told["de00"] > 3
    assert "the strength of Blue" in told["mostly_from"]


@pytest.mark.parametrize(
    ("standing", "half", "says"),
    [
        ("assumed", 0.1, "not how far"),
        ("estimated", 0.1, "dilution strip"),
        ("measured", 0.3, "half a value step may be relied on"),
        ("measured", 0.56, "off by 0.6"),
        ("measured", None, "half a value step may be relied on"),
    ],
)
def test_the_promise_follows_the_standing_and_the_width(standing, half, says):
    assert says in promise(standing, half)


def test_several_values_are_promised_as_the_least_sure_of_them():
    sure, wide = Band(4.9, 5.0, 5.1, "measured"), Band(4.0, 5.0, 5.5, "measured")
    guessed = Band(4.9, 5.0, 5.1, "assumed")
    assert promise_of([sure]) == promise("measured", 0.1)
    assert "off by 1.0" in promise_of([sure, wide])
    assert "not how far" in promise_of([sure, guessed, wide])
    assert "not how far" in promise_of([])


def test_every_guess_says_its_unit_its_reason_and_that_it_is_assumed():
    for section in doubt_entries().values():
        for entry in section.values():
            assert entry.unit
            assert entry.source
            assert entry.how == "assumed"
            assert entry.value > (1.0 if entry.unit == "times or over" else 0.0)


def test_a_cause_is_as_large_as_its_larger_change():
    assert Cause("the strength of Blue", "assumed", less=-0.1, more=0.4).size == 0.4
    assert Cause("the strength of Blue", "assumed", less=-0.5, more=0.4).size == 0.5


def test_what_moves_less_than_a_quarter_of_the_wider_side_doesnt_lower_the_standing(
    monkeypatch,
):
    """Drawn values 0.2 below and 1.0 above the best: the wider side counts, so a figure matters
    from 0.25 x 1.0 = 0.25 steps."""
    monkeypatch.setattr("glaze.patch.trust.law_draws", lambda *_: 0.0)
    drawn_values = np.repeat([4.8, 5.0, 6.0], [100, 800, 100])
    for moved, standing in ((0.2, "measured"), (0.3, "assumed")):
        cases = SimpleNamespace(
            values=[np.concatenate([[5.0, 5.0 - moved, 5.0 + moved], drawn_values])[:, None]],
            doubts=(SimpleNamespace(words="the room", standing="assumed"),),
            washes=(),
            singles=3,
            layers=[()],
            table=MEASURED,
        )
        assert band_of(cases, 0).standing == standing


def test_of_several_bottles_the_least_sure_one_counts():
    inks = {**INVENTED.palette.inks, "Blue": MEASURED.palette.inks["Blue"]}
    palette = replace(INVENTED.palette, inks=MappingProxyType(inks))
    table = replace(INVENTED, palette=palette)
    assert standing_of(table, ["Blue"]) == "measured"
    assert standing_of(table, ["Blue", "Red"]) == standing_of(table, ["Red"]) == "assumed"
    assert standing_of(table, []) == "assumed"  # bare paper's own


def test_a_lift_brings_what_isnt_sure_of_bleach_hand_and_room():
    under = (laid("Blue 1"), Lifted(Touches(parts_water=4)))
    before, after = ({d.key: d for d in doubts_of(some, INVENTED)} for some in (under[:1], under))
    new = {key[0] for key in after.keys() - before.keys()}
    assert new >= {"touch", "minutes", "bottle", "depth", "kept", "fibres", "alkali", "room"}
    assert new >= {"rate", "oxidant"}
    # the guesses of the table, written down a second time: blotting by the eye, a bottle's label
    assert (after["minutes", ""].factor, after["bottle", ""].factor) == (1.5, 1.2)


def test_a_figure_with_a_factor_of_its_own_keeps_it():
    entry = INVENTED.palette.dyes["Acid Yellow 23"].entries["oxidant"]
    own, none = replace(entry, factor=1.3), replace(entry, factor=1.0)
    assert _standing(own, "oxidant")[0] == 1.3
    assert _standing(none, "oxidant")[0] == 1.5  # the table's guess where none is given
    assert _standing(None, "oxidant") == (1.5, "assumed")


@pytest.mark.parametrize(
    ("tools", "factor"), [(("brush", "dip pen"), 2.0), (("dip pen", "brush"), 1.7)]
)
def test_of_several_lifts_the_film_of_the_last_is_in_doubt(tools, factor):
    """By hand from `tables/bleach.toml`: a brush lays 60 ml/m2 within 1.7 times, a pen 50 within 2.

    It is the last touch that says what is seen.
    """
    lifts = [Lifted(Touches(tool=tool)) for tool in tools]
    (film,) = (d for d in doubts_of([laid("Black 1"), *lifts], INVENTED) if d.key == ("touch", ""))
    assert film.factor == factor
