"""The plan's own sentences in another language: each by its English form, names and figures out."""

from __future__ import annotations

import re
from collections.abc import Iterator

from glaze.charts.content.lesson_words import Words

NAMES = re.compile(r'"[^"]*"(?:, "[^"]*")*')
FIGURES = re.compile(r"\d+(?:\.\d+)?")


def form_of(sentence: str) -> tuple[str, list[str], list[str]]:
    """A sentence with {} for each name or list of names and {n} for each figure, and those."""
    names = NAMES.findall(sentence)
    bare = NAMES.sub("{}", sentence)
    figures = FIGURES.findall(bare)
    return FIGURES.sub("{n}", bare), names, figures


def in_language(sentence: str, words: Words) -> tuple[str, str]:
    """A sentence and the language it is told in; English where no translation is there."""
    form, names, figures = form_of(sentence)
    known = words.told["bench"]["sentences"].get(form)
    if known is None:
        return sentence, "en"
    left: dict[str, Iterator[str]] = {"{}": iter(names), "{n}": iter(figures)}
    return re.sub(r"\{n?\}", lambda hole: next(left[hole[0]]), known), words.language
