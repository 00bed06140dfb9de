"""The words of the class lesson and the bench page, by language."""

from __future__ import annotations

from pathlib import Path

from glaze.materials.words import Words, languages_in, read_words

FOLDER = Path(__file__).resolve().parent.parent / "tables" / "lesson"


def lesson_languages() -> list[str]:
    """Languages that the lesson is there in."""
    return languages_in(FOLDER)


def lesson_words(language: str = "en") -> Words:
    """The words in a language.

    Raises
    ------
    InputError : for a language that isn't there
    """
    return Words(language, read_words(FOLDER, language, "the lesson"))
