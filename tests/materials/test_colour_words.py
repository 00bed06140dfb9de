"""Colour words: the published table, the same words through every door, and their file."""

from __future__ import annotations

import tomllib

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from glaze.calibrate.fit.ghosts import seen_as
from glaze.charts.content.blocks import earth_name
from glaze.charts.content.lift_rows import plan_lift
from glaze.errors import InputError
from glaze.materials.colour_words import (
    FAMILY_KEYS,
    FOLDER,
    block_numbers,
    centroid_of,
    colour_words,
    family_words,
    languages,
    load_names,
    load_words,
    name_of,
)
from glaze.materials.munsell import (
    FAMILIES,
    ILLUMINANT_C_XYZ,
    munsell_from_xyz,
    read_munsell,
)
from glaze.patch.seen import Look, looks_of_xyz
from glaze.patch.table import table_of
from glaze.physics.colour import D65_XYZ, adaptation, lab_from_xyz, rgb_from_xyz
from glaze.picture.light import load_light
from glaze.planning.lift.ghost import ghost_words
from glaze.planning.recipe.wanted import wanted_colour, xyz_from_munsell
from viewer.core.spot import _named

RELATIONS = ("paper", "near paper", "stays")
ANYWHERE = {
    "hue": st.floats(0, 100),
    "value": st.floats(0, 10),
    "chroma": st.floats(0, 40),
}


# --- against what is published ---


def test_every_published_centroid_lies_in_the_block_it_is_the_centroid_of() -> None:
    # limits: charts of NBS Special Publication 440 (1976); centroids: computed from the blocks by
    # K. L. Kelly, J. Res. NBS 61 (1958) 427. Two publications, so a slip in either shows.
    for name in load_names():
        assert int(block_numbers(*name.centroid)) == name.number, name.iscc_nbs
    assert len(load_names()) == 267


@pytest.mark.parametrize(
    ("notation", "words"),
    [
        # Kelly's centroids (1958) of level 3 names, said in our order of words
        ("8.0Y 3.5/5.8", "olive"),  # moderate olive
        ("8.0Y 1.7/3.2", "dark olive"),
        ("5.5YR 3.5/3.9", "brown"),  # moderate brown
        ("9.6R 3.4/5.2", "red-brown"),  # moderate reddish brown
        ("4.5BG 4.5/9.0", "blue-green"),  # strong bluish green
        ("4.5BG 2.7/5.0", "dark blue-green"),
        ("9.5B 3.5/1.0", "dark bluish grey"),
        ("5R 4/15", "vivid red"),
        ("6.0P 4.5/7.2", "muted purple"),  # moderate purple
        # soil survey: USDA-NRCS Field Book and ASTM D1535 soil charts call these so (from memory)
        ("N 2/", "black"),
        ("N 9.5/", "white"),
    ],
)
def test_published_notations_have_their_names(notation: str, words: str) -> None:
    assert colour_words(*read_munsell(notation)) == words


@pytest.mark.parametrize(
    ("hex_code", "word"),
    [
        # W3C CSS Color Module Level 4, named colours
        ("#008080", "teal"),
        ("#808000", "olive"),
        ("#708090", "slate"),
        ("#d2b48c", "tan"),
        ("#a0522d", "sienna"),
        ("#e6e6fa", "lavender"),
        ("#fffff0", "cream"),  # which it calls ivory
        ("#dc143c", "red"),
        ("#ff0000", "red-orange"),  # sRGB's red is 8R
        ("#ffff00", "green-yellow"),  # and its yellow 10Y
        ("#808080", "grey"),
        ("#000000", "black"),
        ("#ffffff", "white"),
    ],
)
def test_colours_of_an_open_standard_have_their_names(hex_code: str, word: str) -> None:
    found = munsell_from_xyz(wanted_colour(hex_code).xyz, D65_XYZ)
    assert word in colour_words(float(found.hue), float(found.value), float(found.chroma))


# --- laws of the table ---


def test_the_blocks_leave_no_gap_and_overlap_nowhere() -> None:
    # each box of the file, cut into the cells between all limits, fills cells nobody else fills
    rows = np.loadtxt(FOLDER / "limits.csv", delimiter=",", skiprows=3)
    edges = [np.unique(rows[:, 1 + 2 * axis : 3 + 2 * axis]) for axis in range(3)]
    filled = np.zeros([edge.size - 1 for edge in edges], int)
    for row in rows:
        box = [
            slice(*np.searchsorted(edge, row[1 + 2 * axis : 3 + 2 * axis]))
            for axis, edge in enumerate(edges)
        ]
        filled[tuple(box)] += 1
    assert (filled == 1).all()
    assert [(edge[0], edge[-1]) for edge in edges] == [(1, 101), (0, 10), (0, np.inf)]


@given(**ANYWHERE)
def test_every_colour_has_one_name(hue: float, value: float, chroma: float) -> None:
    name = name_of(hue, value, chroma)
    assert colour_words(hue, value, chroma) == name.told() != ""
    if name.kind in ("hue", "earth"):
        assert name.told().endswith(name.plain())


@given(hue=st.floats(0, 100), value=st.floats(0, 10))
def test_neutrals_have_no_hue_whatever_their_hue_number(hue: float, value: float) -> None:
    expected = ["black", "dark grey", "grey", "light grey", "white"]
    assert colour_words(hue, value, 0.3) == expected[int(np.digitize(value, [2.5, 4.5, 6.5, 8.5]))]


@given(**ANYWHERE)
def test_the_circle_of_hue_closes(hue: float, value: float, chroma: float) -> None:
    assert colour_words(hue + 100.0, value, chroma) == colour_words(hue, value, chroma) or (
        # a hue on a limit may be rounded across it by the addition
        min(abs(hue % 1.0), 1.0 - abs(hue % 1.0)) < 1e-9
    )


def test_names_differ_and_lead_back_to_their_own_block() -> None:
    told = [name.told() for name in load_names()]
    assert len(set(told)) == len(told)
    for name in load_names():
        assert colour_words(*centroid_of(name.told())) == name.told()


def test_a_name_nobody_bears_is_told_with_its_neighbours() -> None:
    with pytest.raises(InputError, match=r'No colour is called "tael"\. Nearest: teal'):
        centroid_of("tael")


def test_families_are_named_as_their_strong_middle_is() -> None:
    for number, family in enumerate(FAMILIES):
        middle = 5.0 + 10.0 * number
        strong = {name_of(middle, value, 12.5).word for value in np.arange(0.5, 10, 0.5)}
        assert FAMILY_KEYS[family] in strong
        assert family_words()[family]


# --- the file of words ---


@pytest.mark.parametrize("language", languages())
def test_a_language_has_every_key_and_no_other(language: str) -> None:
    words = tomllib.loads((FOLDER / f"{language}.toml").read_text(encoding="utf-8"))
    names = load_names()
    assert set(words["words"]) == {name.word for name in names} | set(FAMILY_KEYS.values())
    assert set(words["tones"]) == {name.tone for name in names} - {""}
    assert all(text.count("{}") == 1 for text in words["tones"].values())
    assert len({name.told(language) for name in names}) == len(names)


def test_a_language_that_is_not_there_is_told() -> None:
    with pytest.raises(InputError, match="Known: de, en, es, fr"):
        load_words("xx")


# --- one colour, one word, whatever door it is asked at ---


def doors(hue: float, value: float, chroma: float) -> dict[str, str]:
    """What each place calls a colour; the ghost lies on a white sheet, far from what was there."""
    xyz = xyz_from_munsell(hue, value, chroma) @ adaptation(ILLUMINANT_C_XYZ, D65_XYZ).T
    lab, white = lab_from_xyz(xyz, D65_XYZ), np.array([100.0, 0.0, 0.0])
    before = np.array([100.0 - lab[0], -lab[1], -lab[2]])
    return {
        "name, mix, shadow": looks_of_xyz(xyz, load_light("D65"))[0].words,
        "charts": Look((0, 0, 0), (0.0, 0.0, 0.0), hue, value, chroma, "").words,
        "lift chart, reach, card": ghost_words(lab, before, white),
        "window": _named(xyz, D65_XYZ)[1],
        "calibration": seen_as(rgb_from_xyz(xyz), np.ones(3)),
    }


@pytest.mark.parametrize(
    "munsell",
    [
        (28.0, 5.8, 5.5),
        (18.5, 5.6, 6.5),
        (17.6, 7.6, 5.1),
        (26.0, 4.0, 4.0),
        (15.0, 3.4, 4.0),
        (55.0, 4.6, 5.0),
        (5.0, 4.4, 11.6),
        (72.0, 6.6, 7.0),
        (22.0, 8.3, 5.5),
        (97.0, 5.2, 4.0),
        (20.0, 5.2, 0.3),
    ],
)
def test_a_colour_bears_the_same_word_at_every_door(munsell: tuple[float, float, float]) -> None:
    told = doors(*munsell)
    assert len(set(told.values())) == 1, told
    earth = earth_name(Look((0, 0, 0), (0.0, 0.0, 0.0), *munsell, ""))
    assert earth in told["charts"]


def test_the_lift_chart_speaks_as_every_other_place_does() -> None:
    chart = plan_lift(table_of("lifting", "white cartridge"))
    cells = [cell for row in chart.rows for cell in row.cells]
    told = [c for c in cells if c.ghost not in RELATIONS and not c.ghost.startswith("paler")]
    assert len(told) > 50
    assert [c.ghost for c in told] == [c.after.words for c in told]


@pytest.mark.parametrize("language", ["de", "en", "es", "fr"])
def test_every_language_has_267_names_that_are_found_again(language: str) -> None:
    words, english = load_words(language), load_words("en")
    assert words["words"].keys() == english["words"].keys()
    assert words["tones"].keys() == english["tones"].keys()
    assert all(tone.count("{}") == 1 for tone in words["tones"].values())
    told = [name.told(language) for name in load_names()]
    assert len(set(told)) == 267
    for name in load_names():
        assert centroid_of(name.told(language), language) == name.centroid


@pytest.mark.parametrize(
    ("colour", "words"),
    [
        # the CSS colours of these names, as dictionaries put them
        ("teal", {"de": "petrol", "fr": "bleu canard", "es": "azul petróleo"}),
        ("navy", {"de": "marineblau", "fr": "bleu marine", "es": "azul marino"}),
        ("olive", {"de": "oliv", "fr": "olive", "es": "oliva"}),
        ("dark olive", {"de": "dunkeloliv", "fr": "olive foncé", "es": "oliva oscuro"}),
    ],
)
def test_a_colour_bears_its_name_in_each_language(colour: str, words: dict[str, str]) -> None:
    for language, told in words.items():
        assert colour_words(*centroid_of(colour), language) == told
