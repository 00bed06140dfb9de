"""The window's words, in one language at a time: what it says itself, and what the model tells it.

What the window says stands in `viewer/words/`, one table a language. A sentence of the model's
comes in English and is told by its form; where no table knows it, it stays so and is marked.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

from platformdirs import user_config_path

from glaze.charts.content.lesson_words import lesson_words
from glaze.errors import InputError
from glaze.materials.colour_words import load_names
from glaze.materials.words import Words, languages_in, read_words

FOLDER = Path(__file__).resolve().parents[1] / "words"
ENGLISH = "en"


class Said(str):
    """Words of the window's own, which are in its language already."""

    __slots__ = ()


@cache
def window_words(language: str) -> Words:
    """All that the window tells in a language, with the caution and the plan's sentences.

    Raises
    ------
    InputError : for a language that isn't there
    """
    own = read_words(FOLDER, language, "the window")
    lesson = lesson_words(language).told
    shared = {"caution": lesson["caution"]} if "caution" in lesson else {}
    sentences = {**lesson["sentences"], **own.get("sentences", {})}
    return Words(language, {**shared, **own, "sentences": sentences})


_spoken = window_words(ENGLISH)


def spoken_words() -> Words:
    """The words of the language that the window speaks now."""
    return _spoken


def speak(words: Words) -> None:
    """Speak with other words; what stands on the screen already stays as it is."""
    global _spoken
    _spoken = words


def say(key: str, /, **filled: object) -> Said:
    """A text of the window by its key, as "bar.fit", with what is filled in."""
    return Said(_spoken(key, **filled))


def translated(english: str) -> str:
    """A sentence, an amount or a colour of the model's as the window tells it."""
    if isinstance(english, Said) or _spoken.language == ENGLISH or not english:
        return english
    told, language = _spoken.sentence(english)
    if language == _spoken.language:
        return told
    named = _colours(_spoken.language).get(english)
    return named or say("english", text=english)


def amounts(english: str) -> str:
    """What a step is laid with, in parts between commas: "one touch, brush"."""
    return ", ".join(map(translated, english.split(", ")))


def given(english: str) -> str:
    """A name that the model gave to a step or a well, as "beige wash 2"."""
    found = re.fullmatch(r"(.+) (wash|glaze|shadow|mix)( \d+)?", english)
    if found is None or _spoken.language == ENGLISH:
        return english
    return say(f"given.{found[2]}", colour=translated(found[1])) + (found[3] or "")


def problems(error: InputError) -> str:
    """What is wrong, in a line."""
    return " ".join(map(translated, error.problems))


@cache
def _colours(language: str) -> dict[str, str]:
    """The names of colours by their English ones."""
    names = load_names()
    plain = {name.plain(): name.plain(language) for name in names}
    return plain | {name.told(): name.told(language) for name in names}


# ---- which language


def window_languages() -> list[str]:
    """Languages that the window speaks."""
    return languages_in(FOLDER)


def kept_language() -> str | None:
    """The language that was chosen in the window; None if none was."""
    try:
        kept = _kept_in().read_text(encoding="utf-8").strip()
    except (OSError, ValueError):
        return None
    return kept if kept in window_languages() else None


def keep_language(language: str) -> None:
    """Speak a language from the next opening of the window on.

    Raises
    ------
    InputError : it can't be written down
    """
    try:
        _kept_in().parent.mkdir(parents=True, exist_ok=True)
        _kept_in().write_text(f"{language}\n", encoding="utf-8")
    except OSError as error:
        raise InputError(say("language.not_kept", file=_kept_in(), why=error.strerror)) from None


def _kept_in() -> Path:
    return user_config_path("glaze") / "language"
