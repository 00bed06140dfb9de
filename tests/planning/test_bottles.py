"""Questions of bottles: nearest, mixable, which to buy, two side by side."""

from __future__ import annotations

import itertools
import json
from dataclasses import replace
from pathlib import Path
from types import MappingProxyType, SimpleNamespace

import numpy as np
import pytest
from click.testing import CliRunner
from scipy.spatial import ConvexHull

from glaze.cli.bottle_commands import beside, choose, lack, mixable, nearest
from glaze.errors import InputError
from glaze.materials.ink import joined, load_palette
from glaze.patch.patches import first_washes, lab
from glaze.patch.table import Table, table_of
from glaze.planning.bottles.choose import (
    _levels,
    choose_bottles,
    lifted_shares,
    pair_volumes,
)
from glaze.planning.bottles.nearest import mixable_bottles, nearest_bottles
from glaze.planning.bottles.side_by_side import _apart, side_by_side
from glaze.planning.recipe.wanted import wanted_lab

TABLE = table_of("lifting", "white cartridge")


def with_bottle(name: str, contents: dict[str, float]) -> Table:
    """The table with one bottle more, of these dyes [g/L]."""
    blue = TABLE.palette.ink("Blue")
    ink = replace(blue, name=name, key="?", contents_g_per_l=MappingProxyType(contents))
    inks = MappingProxyType({**TABLE.palette.inks, name: ink})
    return table_of(replace(TABLE.palette, inks=inks), TABLE.paper)


def test_a_bottle_that_is_asked_for_by_its_own_colour_is_the_nearest() -> None:
    for name in ("Blue", "Red", "Neon Pink"):
        (seen,) = lab(TABLE, first_washes(TABLE, *laid(name, 1 / 3)))[0]
        answer = nearest_bottles(wanted_lab(seen), TABLE)
        found = answer.bottles[0]
        assert answer.note == f"{name} is hardly told from it."
        assert list(found.inks.drops) == [name]
        assert found.de00 < 0.3
        assert found.dilution.parts_water == pytest.approx(2.0, rel=0.02)


def laid(name: str, share: float) -> tuple[np.ndarray, np.ndarray]:
    """A bottle with water: contents [g/L] and strength."""
    held = TABLE.palette.ink(name).contents_g_per_l
    row = [share * held.get(dye.name, 0.0) for dye in TABLE.dyes]
    return np.array([row]), np.array([share])


def test_among_bottles_alone_the_nearest_is_no_pale_one_of_the_right_hue() -> None:
    # hue first would answer an olive with neat yellow, 5 value steps lighter
    answer = nearest_bottles(wanted_lab(np.array([35.0, 0.0, 35.0])), TABLE)
    olive = answer.bottles[0]
    assert ", the nearest, is " in answer.note
    assert abs(olive.value - 3.4) < 2.0


def test_a_bottle_filled_with_a_mix_is_found_by_it() -> None:
    # bottles alike in drops to the ml, so that 2 drops and 1 drop are two volumes and one
    blue, yellow = (TABLE.palette.ink(n).contents_g_per_l for n in ("Blue", "Yellow"))
    names = {*blue, *yellow}
    table = with_bottle("Lagoon", {n: (2 * blue.get(n, 0) + yellow.get(n, 0)) / 3 for n in names})
    found = {one.ink: one for one in mixable_bottles(table)}
    assert found["Lagoon"].best.mix.recipe.text == "Blue 2 + Yellow 1"
    assert found["Lagoon"].mixes[0][1] < 0.05


def test_two_bottles_of_the_same_ink_are_told() -> None:
    table = with_bottle("Other Blue", dict(TABLE.palette.ink("Blue").contents_g_per_l))
    first = mixable_bottles(table)[0]
    assert {first.ink, *first.best.mix.recipe.amounts} == {"Blue", "Other Blue"}
    assert first.mixes[0][1] == pytest.approx(0.0, abs=1e-6)


def hull(table: Table, names: tuple[str, ...]) -> float:
    """Volume in CIELAB of what mixes of some bottles reach, by a general library."""
    mixes = [m for m in itertools.product(range(4), repeat=len(names)) if sum(m) > 0]
    held = np.array(
        [
            [table.palette.ink(n).contents_g_per_l.get(dye.name, 0.0) for dye in table.dyes]
            for n in names
        ]
    )
    strong = (2.0, 1.0, 0.5, 0.25, 0.1, 0.03)
    parts = np.array([np.array(m) / sum(m) * share for m in mixes for share in strong])
    sheet = first_washes(table, parts @ held, parts.sum(axis=1))
    return float(ConvexHull(lab(table, sheet)[0]).volume)


def test_the_bottles_to_buy_span_nearly_the_widest_hull_of_all_sets() -> None:
    # second way: the convex hull in CIELAB, another space and another measure
    names = [ink.name for ink in TABLE.palette.inks.values()]
    volumes = {frozenset(s): hull(TABLE, s) for s in itertools.combinations(names, 3)}
    chosen = choose_bottles(TABLE, 3)
    assert chosen.every
    assert chosen.tried == 56
    assert volumes[frozenset(chosen.bottles)] > 0.85 * max(volumes.values())


def test_exchange_finds_what_trying_all_finds(monkeypatch: pytest.MonkeyPatch) -> None:
    every = choose_bottles(TABLE, 4, values="middle")
    monkeypatch.setattr("glaze.planning.bottles.choose.MOST_TRIED", 3)
    some = choose_bottles(TABLE, 4, values="middle")
    assert every.every
    assert not some.every
    assert set(some.bottles) == set(every.bottles)


def test_wishes_for_bleach_and_value_are_kept() -> None:
    inks = TABLE.palette.inks
    shares = dict(zip(inks, lifted_shares(TABLE, list(inks.values())), strict=True))
    assert all(shares[name] >= 0.495 for name in choose_bottles(TABLE, 3, bleach="lifts").bottles)
    assert all(shares[name] <= 0.155 for name in choose_bottles(TABLE, 2, bleach="stays").bottles)
    light, dark = (choose_bottles(TABLE, 3, values=v).reach for v in ("light", "dark"))
    assert light["light"] > dark["light"]
    assert dark["dark"] > light["dark"]


def test_light_middle_and_dark_are_the_thirds_from_seven_and_from_four() -> None:
    # twenty steps of half a value: from 7 on the fifteenth, from 4 on the ninth
    told = {name: _levels(name) for name in ("light", "middle", "dark", "all")}
    assert told == {
        "light": slice(14, 20),
        "middle": slice(8, 14),
        "dark": slice(0, 8),
        "all": slice(0, 20),
    }


def test_what_is_lost_without_a_bottle_is_what_the_others_dont_reach() -> None:
    found = choose_bottles(TABLE, 3)
    inks = list(TABLE.palette.inks.values())
    volumes = pair_volumes(TABLE, inks)
    own = [n for n, ink in enumerate(inks) if ink.name in found.bottles]

    def reach(some: list[int]) -> float:
        """Counted place by place: of each the widest of any two."""
        pairs = [volumes[a, b] for a in some for b in some]
        return sum(max(column) for column in zip(*(pair.ravel() for pair in pairs), strict=True))

    for n in own:
        less = 1 - reach([m for m in own if m != n]) / reach(own)
        assert found.without[inks[n].name] == pytest.approx(less)
    lost = [found.without[name] for name in found.bottles]
    assert lost == sorted(lost, reverse=True)


def test_what_is_lacking_is_another_hue_and_not_a_second_blue() -> None:
    table = with_bottle("Other Blue", dict(TABLE.palette.ink("Blue").contents_g_per_l))
    found = choose_bottles(table, 1, have=["Blue", "Yellow"])
    assert "Other Blue" not in found.bottles
    assert found.reach["all"] > found.reach_before["all"]


@pytest.mark.parametrize(
    "words",
    [
        {"count": 0},
        {"count": 9},
        {"count": 8, "have": ["Blue"]},
        {"count": 2, "values": "bright"},
        {"count": 2, "bleach": "goes"},
        {"count": 2, "have": ["Teal"]},
    ],
)
def test_wishes_that_cannot_be_are_told(words: dict) -> None:
    with pytest.raises(InputError):
        choose_bottles(TABLE, **words)


def test_bottles_of_another_file_keep_their_names_apart() -> None:
    both = joined(load_palette("lifting"), load_palette("resistant"))
    assert {"Red", "Red (resistant)"} <= set(both.inks)
    assert both.ink("Red (resistant)").contents_g_per_l != both.ink("Red").contents_g_per_l


def test_a_bottle_half_as_strong_looks_the_same_at_one_value() -> None:
    blue = TABLE.palette.ink("Blue").contents_g_per_l
    table = with_bottle("Thin Blue", {dye: grams / 2 for dye, grams in blue.items()})
    found = side_by_side(table, "Blue", "Thin Blue")
    pairs = {pair.state: pair for pair in found.pairs}
    even = next(pair for state, pair in pairs.items() if state.startswith("thinned"))
    # the load law counts what lies there already by the ink's volume, so not quite twice
    assert even.de00 < 1.5
    assert pairs["neat"].de00 > 3
    assert found.told[0].startswith("Blue darkens")
    assert 1.7 < float(found.told[0].split()[2]) < 2.3


def test_states_within_two_are_called_hardly_told_apart_and_the_furthest_is_named() -> None:
    pairs = [
        SimpleNamespace(state=state, de00=off)
        for state, off in (("neat", 1.9), ("thin", 2.1), ("lifted", 9.2))
    ]
    told = "Furthest apart lifted: 9 (CIEDE2000)."
    assert _apart(pairs) == f"{told} Hardly told apart: neat."
    assert _apart(pairs[1:]) == told


def test_a_bottle_beside_itself_is_refused() -> None:
    with pytest.raises(InputError, match="one bottle"):
        side_by_side(TABLE, "Blue", "blue")


def run(command, *words: str) -> str:
    return CliRunner().invoke(command, words, catch_exceptions=False).stdout


@pytest.mark.parametrize(
    ("command", "words", "keys"),
    [
        (nearest, ["teal"], {"wanted", "bottles", "note"}),
        (mixable, [], {"bottles", "note"}),
        (choose, ["3", "--values", "dark"], {"bottles", "reach", "caution"}),
        (lack, [], {"bottles", "lack", "caution"}),
        (lack, ["--from", "resistant"], {"bottles", "lack", "caution"}),
        (beside, ["Black", "Separating Black"], {"bottles", "states", "told", "caution"}),
    ],
)
def test_each_question_answers_in_json(command, words, keys) -> None:
    assert keys <= json.loads(run(command, *words, "--json")).keys()


def test_two_bottles_come_as_a_sheet_to_look_at_and_to_paint(tmp_path: Path) -> None:
    for fill in ("--blank", "--half", "--predicted"):
        file = tmp_path / f"pair{fill}.svg"
        run(beside, "Black", "Separating Black", "-o", str(file), fill)
        text = file.read_text()
        assert "Bleach: read this first" in text
        assert ("brownish grey" in text) == (fill != "--blank")
    with pytest.raises(InputError, match="-o"):
        run(beside, "Black", "Blue", "--half")
