"""Bands of any washes and lifts: fast against drawn, what they promise, on what they rest."""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest

from glaze.patch.band import Band, promise, promise_of
from glaze.patch.layers import Laid, Lifted, doubts_of
from glaze.patch.table import table_of
from glaze.patch.trust import by_draws, by_slopes, trusted
from glaze.physics.uncertainty import LEVEL
from glaze.sheet.lift import Touches

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


@pytest.mark.parametrize("seed", range(10))
@pytest.mark.parametrize("table", [INVENTED, MEASURED], ids=["invented", "measured"])
def test_the_fast_band_of_washes_is_the_drawn_one_within_a_third_of_a_step(table, seed):
    layers = random_washes(np.random.default_rng(seed))
    fast, honest = by_slopes(table, layers).band, by_draws(table, layers, 2000).band
    assert fast.best == honest.best
    assert fast.low == pytest.approx(honest.low, abs=0.3)
    assert fast.high == pytest.approx(honest.high, abs=0.3)
    # and as wide, whichever way it leans
    assert fast.high - fast.low == pytest.approx(honest.high - honest.low, rel=0.12, abs=0.05)


@pytest.mark.parametrize("parts_water", [4, 9, 19])
def test_the_fast_band_of_a_lift_is_the_drawn_one_within_a_step(parts_water):
    layers = (laid("Black 1"), Lifted(Touches(parts_water=parts_water)))
    fast, honest = by_slopes(INVENTED, layers).band, by_draws(INVENTED, layers).band
    assert fast.low == pytest.approx(honest.low, abs=1.0)
    assert fast.high == pytest.approx(honest.high, abs=1.0)


def test_lifts_are_drawn_and_washes_are_not():
    washes, lift = [laid("Black 1")], [laid("Black 1"), Lifted(Touches(parts_water=9))]
    assert trusted(INVENTED, washes) == by_slopes(INVENTED, washes)
    assert trusted(INVENTED, lift) == by_draws(INVENTED, lift)


def test_the_same_seed_draws_the_same_band():
    layers = [laid("Black 1 + water 4")]
    assert by_draws(INVENTED, layers, 100, 7) == by_draws(INVENTED, layers, 100, 7)
    assert by_draws(INVENTED, layers, 100, 7) != by_draws(INVENTED, layers, 100, 8)


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
    sure = painted(INVENTED, 1.0)
    bottle = {name: replace(ink, how="estimated") for name, ink in sure.palette.inks.items()}
    sure = replace(sure, palette=replace(sure.palette, inks=MappingProxyType(bottle)))
    entries = dict(sure.paper.entries)
    for key in ("film_ml_per_m2", "path_gain"):
        entries[key] = replace(entries[key], factor=1.0)
    sure = replace(sure, paper=replace(sure.paper, entries=entries))
    assert trusted(sure, [laid("Black 1")]).band.half_width == pytest.approx(0.0, abs=1e-9)
    thin = trusted(sure, [laid("Black 1 part + water 7 parts")]).band.half_width
    assert thin == pytest.approx(1.645 * 0.27 * np.log(8), rel=0.01)


def test_a_lift_is_no_surer_than_its_least_sure_rate():
    found = trusted(MEASURED, [laid("Black 1"), Lifted(Touches(parts_water=9))])
    assert found.band.standing == "assumed"
    assert found.band.half_width > 0.5
    assert "half a value step may be relied on" not in found.promise
    # what nobody lifts is as sure as before
    assert trusted(MEASURED, [laid("Black 1")]).band.standing == "measured"


def test_what_a_wash_covers_hardly_widens_the_band():
    black = trusted(MEASURED, [laid("Black 1")]).band
    over = trusted(MEASURED, [laid("Yellow 1"), laid("Black 1")]).band
    assert over.half_width < black.half_width + 0.3


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
