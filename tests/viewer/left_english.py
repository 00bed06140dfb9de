"""Words that no table tells: a window that speaks in brackets shows what was written in place.

Every text of the window's tables is put in brackets, the model's sentences and the mark of those
that stay English too. What then stands outside of brackets, and is no name or figure of the
painter's, came past the tables.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from qtpy.QtGui import QAction
from qtpy.QtWidgets import QAbstractButton, QComboBox, QLabel, QLineEdit, QListWidget, QWidget

from glaze.materials.colour_words import load_names
from glaze.materials.words import Words
from glaze.scene.examples import example_names
from viewer.core.saying import window_languages, window_words
from viewer.core.sitting import Sitting

TOLD = re.compile(r"\u27e6[^\u27e6\u27e7]*\u27e7")
UNITS = (
    *("mm", "ml", "min", "px", "dpi", "in", "CIELAB", "CIEDE"),
    *("water", "part", "parts", "drops"),
)
"""Units, and what stands in a recipe line, which is written as in a scene."""
NOTATION = re.compile(r"\b\d*\.?\d*(?:R|YR|Y|GY|G|BG|B|PB|P|RP|N)\b ?[\d./]*|\bA\d\b|#\w+")
DAY = re.compile(r"\d\d \w+\.? \d{4}, \d\d:\d\d|/tmp/\S+")
LANGUAGE = "de"
"""Whose names of colours are used: they are tables of their own, held by tests of their own."""


def bracketed() -> Words:
    """The English words of the window, each in brackets; the caution is as it is."""

    def mark(told: Any) -> Any:
        if isinstance(told, dict):
            return {key: mark(text) for key, text in told.items()}
        return f"\u27e6{told}\u27e7" if isinstance(told, str) else told

    told = dict(window_words("en").told)
    sentences = {english: f"\u27e6{english}\u27e7" for english in told.pop("sentences")}
    return Words(LANGUAGE, {**mark(told), "sentences": sentences, "own_name": "brackets"})


def left_english(window: QWidget, sitting: Sitting) -> list[str]:
    """Texts of a window that came past the tables, each with who shows it."""
    known = _known(sitting)
    found = []
    for widget in (window, *window.findChildren(QWidget)):
        # boxes that belong to it are looked at by themselves, when they are open
        if widget.window() is not window or not _ours(widget):
            continue
        for text in {*_texts(widget), widget.toolTip(), widget.accessibleName()}:
            if rest := _rest(text, known):
                found.append(f"{type(widget).__name__}: {rest!r} of {text[:60]!r} is in no table")
    return sorted(found)


def _ours(widget: QWidget) -> bool:
    """Whether it isn't napari's: those are English, and stand outside of our three places."""
    while widget is not None:
        if type(widget).__module__.startswith(("viewer.", "glaze.viewer.")):
            return True
        widget = widget.parentWidget()
    return False


def _texts(widget: QWidget) -> Iterator[str]:
    if isinstance(widget, QLabel | QAbstractButton):
        yield widget.text()
    if isinstance(widget, QLineEdit):
        yield widget.placeholderText()
    if isinstance(widget, QComboBox):
        yield from (widget.itemText(n) for n in range(widget.count()))
    if isinstance(widget, QListWidget):
        for n in range(widget.count()):
            yield widget.item(n).text()
            yield widget.item(n).toolTip()
    for action in widget.actions():
        if isinstance(action, QAction):
            yield action.text().partition("\t")[0]


def _rest(text: str, known: re.Pattern[str]) -> str:
    """What of a text is neither told nor known."""
    if text.startswith(("Bleach burns", *window_words("en").caution)):
        return ""
    before = ""
    while text != before:
        before, text = text, TOLD.sub(" ", text)
    text = DAY.sub(" ", text)
    text = known.sub(" ", text)
    return " ".join(re.findall(r"[^\W\d_]{2,}", NOTATION.sub(" ", text)))


def _known(sitting: Sitting) -> re.Pattern[str]:
    """Names that the painter, the palette, the scenes or the tables of colours gave."""
    scene = sitting.scene
    inks = [part for name in sitting.table.palette.inks for part in (name, *name.split())]
    steps = [name for step in scene.steps for name in (step.name, str(step.region))]
    colours = [name.told(LANGUAGE) for name in load_names()]
    given = [scene.title, sitting.table.paper.name, *scene.wells, *scene.regions]
    tongues = [window_words(language)("own_name") for language in window_languages()]
    names = {*inks, *steps, *colours, *given, *(v.name for v in sitting.versions), *UNITS}
    names |= {*tongues, *example_names()}
    longest_first = sorted(filter(None, names), key=len, reverse=True)
    any_of = "|".join(map(re.escape, longest_first))
    return re.compile(rf"(?<!\w)(?:{any_of})(?!\w)", re.IGNORECASE)
