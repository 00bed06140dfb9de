"""A colour in a painter's words: olive, dark teal, muted blue-green, ochre, bluish grey.

Munsell space is parted into the 267 blocks of the ISCC-NBS system, an open standard without gap or
overlap, and each block bears one name of its own. Three tables make it: the blocks' limits, their
names as keys, and the words of a language (tables/colour_words/). Every place of the program that
names a colour asks here, so that the same colour bears the same name wherever it is told.
"""

from __future__ import annotations

import csv
import difflib
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glaze.errors import InputError
from glaze.materials.entries import TABLES
from glaze.materials.munsell import read_munsell
from glaze.materials.words import languages_in, read_words

Array = NDArray[np.float64]

FOLDER = TABLES / "colour_words"
LANGUAGE = "en"
FIRST_HUE = 1.0
"""The tables' circle of hue runs from 1R once round to 1R, as the charts of the system do."""

FAMILY_KEYS = {
    "R": "red",
    "YR": "orange",
    "Y": "yellow",
    "GY": "yellow_green",
    "G": "green",
    "BG": "bluish_green",
    "B": "greenish_blue",
    "PB": "blue",
    "P": "purple",
    "RP": "purplish_red",
}
"""Key of each Munsell family of hue: what the system calls a strong colour at its middle."""


@dataclass(frozen=True)
class Name:
    """The name of one block.

    number, iscc_nbs : number and name in the ISCC-NBS system
    tone, word : keys of the words: ("dark", "olive"); tone may be ""
    kind : hue, earth, grey, black or white
    centroid : the block's middle in Munsell: hue number (5R = 5), value and chroma
    source : of a painter's name that the system doesn't use for the block
    """

    number: int
    iscc_nbs: str
    tone: str
    word: str
    kind: str
    centroid: tuple[float, float, float]
    source: str

    def told(self, language: str = LANGUAGE) -> str:
        """The whole name: "dark olive"."""
        words = load_words(language)
        word = str(words["words"][self.word])
        return str(words["tones"][self.tone]).format(word) if self.tone else word

    def plain(self, language: str = LANGUAGE) -> str:
        """The name without tone, or without tint if it is a grey: "olive", "grey"."""
        key = self.kind if self.kind in ("grey", "black", "white") else self.word
        return str(load_words(language)["words"][key])


def colour_words(hue: float, value: float, chroma: float, language: str = LANGUAGE) -> str:
    """The colour in words.

    Parameters
    ----------
    hue : Munsell hue number, 5R = 5
    value, chroma : of Munsell
    """
    return name_of(hue, value, chroma).told(language)


def name_of(hue: float, value: float, chroma: float) -> Name:
    """Name of the block that a colour lies in; hue, value and chroma as in `colour_words`."""
    return load_names()[int(block_numbers(hue, value, chroma)) - 1]


def block_numbers(hue: ArrayLike, value: ArrayLike, chroma: ArrayLike) -> NDArray[np.int64]:
    """Numbers of the blocks that colours lie in, arrays alike in shape.

    A colour on a limit belongs to the block above it. Values below 0 count as 0, above 10 as 10.

    Hue number, value [value steps] and chroma [-] of one shape; whole numbers from 0 of the
    same.
    """
    cells, edges = _cells()
    turned = (np.asarray(hue, dtype=float) - FIRST_HUE) % 100.0 + FIRST_HUE
    places = (turned, np.asarray(value, dtype=float), np.asarray(chroma, dtype=float))
    at = [
        np.clip(np.searchsorted(edge, place, side="right") - 1, 0, edge.size - 2)
        for edge, place in zip(edges, places, strict=True)
    ]
    return np.asarray(cells[tuple(at)])


def centroid_of(words: str, language: str = LANGUAGE) -> tuple[float, float, float]:
    """Munsell hue number (5R = 5), value and chroma in the middle of what is called so.

    Raises
    ------
    InputError : for a name that no colour bears; the likely ones are told
    """
    known = _by_words(language)
    asked = " ".join(words.lower().split())
    if asked not in known:
        near = difflib.get_close_matches(asked, known, n=3)
        plain = sorted({name.plain(language) for name in load_names()})
        raise InputError(
            f'No colour is called "{words}".'
            + (f" Nearest: {', '.join(near)}." if near else "")
            + f" Allowed: {', '.join(plain)}; or one of them with a tone, as "
            + f'"{load_names()[107].told(language)}".'
        )
    return known[asked].centroid


def family_words() -> dict[str, str]:
    """What each family of Munsell hue (R, YR ...) is called."""
    words = load_words(LANGUAGE)["words"]
    return {family: str(words[key]) for family, key in FAMILY_KEYS.items()}


def languages() -> list[str]:
    """Languages that the words are there in."""
    return languages_in(FOLDER)


def load_words(language: str = LANGUAGE) -> dict[str, Any]:
    """Words of a language: `tones` with {} for the word, and `words`."""
    return read_words(FOLDER, language, "colour words")


@cache
def load_names() -> tuple[Name, ...]:
    """The 267 names, by number."""
    return tuple(
        Name(
            int(row["number"]),
            row["iscc_nbs"],
            row["tone"],
            row["word"],
            row["kind"],
            _centroid(row["centroid"]),
            row["source"],
        )
        for row in _rows("names.csv")
    )


def _centroid(notation: str) -> tuple[float, float, float]:
    found = read_munsell(notation)
    assert found is not None, notation
    return found


@cache
def _by_words(language: str) -> dict[str, Name]:
    return {name.told(language).lower(): name for name in load_names()}


@cache
def _cells() -> tuple[NDArray[np.int64], tuple[Array, Array, Array]]:
    """Block number of each cell between neighbouring limits, and the limits of the three axes."""
    rows = np.array([[float(text) for text in row.values()] for row in _rows("limits.csv")])
    limits = rows[:, 1:].reshape(-1, 3, 2)
    hues, values, chromas = (np.array(sorted(set(limits[:, axis].ravel()))) for axis in range(3))
    # a row's limits as places in the axes' own lists of limits
    h, v, c = (
        np.searchsorted(edge, limits[:, axis]) for axis, edge in enumerate((hues, values, chromas))
    )
    cells = np.zeros((hues.size - 1, values.size - 1, chromas.size - 1), dtype=np.int64)
    for n, number in enumerate(rows[:, 0]):
        cells[slice(*h[n]), slice(*v[n]), slice(*c[n])] = number
    return cells, (hues, values, chromas)


def _rows(name: str) -> list[dict[str, str]]:
    """Rows of a table of the folder, without its remarks."""
    with (FOLDER / name).open(encoding="utf-8") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))
