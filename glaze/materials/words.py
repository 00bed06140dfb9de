"""What is told by language: a folder of tables, one file a language, with the keys of the English.

The sheets, the bench page, the window and the names of colours all read their words here.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from glaze.errors import InputError, unknown
from glaze.materials.bleach import CAUTION, CAUTION_LINE

NAMES = re.compile(r'"[^"]*"(?:, "[^"]*")*')
FIGURES = re.compile(r"\d+(?:\.\d+)?")
FIGURE_ALONE = re.compile(r"\d+\.\d+(?: ml)?")
HOLE = re.compile(r"\{[^}]*\}")
SINGULAR = {"fr": (0, 1)}
"""Counts told in the singular where that isn't 1 alone (Unicode CLDR, plural rules, cardinal)."""


def languages_in(folder: Path) -> list[str]:
    """Languages that a folder of tables is there in."""
    return sorted(file.stem for file in folder.glob("*.toml"))


@cache
def read_words(folder: Path, language: str, what: str) -> dict[str, Any]:
    """A folder's table in a language.

    what : whose words they are, for who asks for a language that isn't there

    Raises
    ------
    InputError : for a language that isn't there
    """
    if language not in languages_in(folder):
        raise InputError(unknown(f"language of {what}", language, languages_in(folder)))
    return tomllib.loads((folder / f"{language}.toml").read_text(encoding="utf-8"))


@dataclass(frozen=True)
class Words:
    """The words of one language. language : its short name, as "en"."""

    language: str
    told: dict[str, Any]

    def __call__(self, key: str, /, **filled: object) -> str:
        """A text by its key, as "wheel.title", with what is filled in; of `n` it is a plural."""
        found = self._at(key)
        if isinstance(found, dict):
            one = filled["n"] in SINGULAR.get(self.language, (1,))
            found = found["one" if one else "other"]
        return str(found).format(**self._filled(filled))

    def lines(self, key: str, /, **filled: object) -> list[str]:
        """Several texts by their key."""
        return [str(line).format(**self._filled(filled)) for line in self._at(key)]

    def figure(self, text: str) -> str:
        """A figure as "7.1" or "1.0 ml" with the language's decimal mark."""
        return text.replace(".", self.told.get("decimal", "."))

    def is_told(self, key: str, text: str) -> bool:
        """Whether a text is the one of a key, whatever is filled in."""
        parts = map(re.escape, HOLE.split(str(self._at(key))))
        return re.fullmatch(".*".join(parts), text) is not None

    def sentence(self, english: str) -> tuple[str, str]:
        """A sentence of the model's and the language it is told in; English where none is there."""
        form, names, figures = form_of(english)
        known = self.told.get("sentences", {}).get(form)
        if known is None:
            return english, "en"
        left: dict[str, Iterator[str]] = {"{}": iter(names), "{n}": map(self.figure, figures)}
        return re.sub(r"\{n?\}", lambda hole: next(left[hole[0]]), known), self.language

    @property
    def caution(self) -> list[str]:
        """The caution in full, line by line."""
        return list(self.told.get("caution", {}).get("full", CAUTION.split("\n")))

    @property
    def caution_line(self) -> str:
        """The same in a line."""
        return str(self.told.get("caution", {}).get("line", CAUTION_LINE))

    def _filled(self, filled: dict[str, object]) -> dict[str, object]:
        """What is filled into a text, figures in the language's way and names as they are."""
        return {
            name: self.figure(part)
            if isinstance(part, str) and FIGURE_ALONE.fullmatch(part)
            else part
            for name, part in filled.items()
        }

    def _at(self, key: str) -> Any:
        found: Any = self.told
        for part in key.split("."):
            found = found[part]
        return found


def form_of(sentence: str) -> tuple[str, list[str], list[str]]:
    """A sentence with {} for each name or list of names and {n} for each figure, and those."""
    names = NAMES.findall(sentence)
    bare = NAMES.sub("{}", sentence)
    figures = FIGURES.findall(bare)
    return FIGURES.sub("{n}", bare), names, figures
