"""The words of the class lesson, by language: one file each, with the keys of the English one."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from glaze.errors import InputError, unknown
from glaze.materials.bleach import CAUTION, CAUTION_LINE

FOLDER = Path(__file__).resolve().parent.parent / "tables" / "lesson"


def lesson_languages() -> list[str]:
    """Languages that the lesson is there in."""
    return sorted(file.stem for file in FOLDER.glob("*.toml"))


@dataclass(frozen=True)
class Words:
    """The lesson's words in one language. language : its short name, as "en"."""

    language: str
    told: dict[str, Any]

    def __call__(self, key: str, /, **filled: object) -> str:
        """A text by its key, as "wheel.title", with what is filled in."""
        return str(self._at(key)).format(**filled)

    def lines(self, key: str, /, **filled: object) -> list[str]:
        """Several texts by their key."""
        return [str(line).format(**filled) for line in self._at(key)]

    @property
    def caution(self) -> list[str]:
        """The caution in full, line by line."""
        return list(self.told.get("caution", {}).get("full", CAUTION.split("\n")))

    @property
    def caution_line(self) -> str:
        """The same in a line."""
        return str(self.told.get("caution", {}).get("line", CAUTION_LINE))

    def _at(self, key: str) -> Any:
        found: Any = self.told
        for part in key.split("."):
            found = found[part]
        return found


@cache
def lesson_words(language: str = "en") -> Words:
    """The words in a language.

    Raises
    ------
    InputError : for a language that isn't there
    """
    if language not in lesson_languages():
        raise InputError(unknown("language of the lesson", language, lesson_languages()))
    with (FOLDER / f"{language}.toml").open("rb") as file:
        return Words(language, tomllib.load(file))
