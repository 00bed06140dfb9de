"""Which mix a bottle is close to."""

from __future__ import annotations

import itertools
from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest

from glaze.errors import InputError
from glaze.materials.ink import Ink, load_palette
from glaze.patch.table import table_of
from glaze.planning.recipe.match import match_colour
from glaze.planning.recipe.naming import beside, name_ink

TABLE = table_of("lifting", "white cartridge")


def bottled(text: str) -> Ink:
    """A bottle that holds a mix of the palette's inks."""
    mix = TABLE.mix(text)
    return Ink("Mystery", "M", MappingProxyType(dict(mix.contents_g_per_l)))


def test_a_bottle_filled_with_a_mix_is_named_by_it() -> None:
    assert name_ink(bottled("Blue 4 + Yellow 2"), TABLE).best.mix.recipe.text == "Blue 2 + Yellow 1"
    found = name_ink(bottled("Red 5 + Yellow 3 + Black 1"), TABLE)
    assert found.best.mix.recipe.text == "Red 5 + Yellow 3 + Black 1"
    assert found.mixes[0][1] < 0.05
    assert "looks like" in found.note


def test_a_bottle_is_never_named_by_itself() -> None:
    found = name_ink(TABLE.palette.ink("Blue"), TABLE)
    assert "Blue" not in found.best.mix.recipe.amounts


def test_simpler_mixes_follow_and_are_further_off() -> None:
    rows = name_ink(TABLE.palette.ink("Separating Blue"), TABLE).mixes
    drops = [sum(d.mix.recipe.amounts.values()) for d, _ in rows]
    assert all(a >= 2 * b for a, b in itertools.pairwise(drops))
    off = [o for _, o in rows]
    assert off == sorted(off)


def test_a_bottle_of_another_palette_brings_its_dyes() -> None:
    home = load_palette("resistant")
    table = beside(TABLE, home, "Red")
    assert {d.name for d in table.dyes} >= set(home.ink("Red").contents_g_per_l)
    assert name_ink(home.ink("Red"), table).mixes[0][1] > 0.5


def test_with_nothing_to_compare_it_is_refused() -> None:
    lone = replace(TABLE.palette, inks={"Blue": TABLE.palette.ink("Blue")})
    with pytest.raises(InputError, match="no other bottle"):
        name_ink(TABLE.palette.ink("Blue"), replace(TABLE, palette=lone))


def test_what_mix_answers_name_recognises() -> None:
    rng = np.random.default_rng(20)
    for red, green, blue in rng.integers(0, 256, (24, 3)).tolist():
        found = match_colour(f"#{red:02x}{green:02x}{blue:02x}", TABLE).best
        likeness = name_ink(TABLE.mix(found.mix.recipe.text), TABLE)
        assert likeness.best.mix.recipe.text == found.proportions
        assert likeness.best.parts_water == pytest.approx(found.mix.parts_water, rel=0.01, abs=0.05)


def test_what_is_left_out_is_named() -> None:
    assert "Blue itself left out" in name_ink(TABLE.palette.ink("Blue"), TABLE).note
