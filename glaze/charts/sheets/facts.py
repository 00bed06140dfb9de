"""What every sheet says of itself: on what its colours rest, and how far they are to be trusted."""

from __future__ import annotations

from datetime import date

from glaze import __version__
from glaze.charts.content.lesson_words import lesson_words
from glaze.errors import InputError
from glaze.materials.words import Words
from glaze.patch.table import Table


def day_of(asked: str | None = None) -> str:
    """The date to print: as asked for, today's if None.

    Raises
    ------
    InputError : for what is no date, written as ISO 8601 has it
    """
    try:
        return (date.fromisoformat(asked) if asked else date.today()).isoformat()
    except ValueError:
        raise InputError(f'--date "{asked}": write year, month and day, as 2026-05-01.') from None


def facts_of(table: Table, day: str | None = None, words: Words | None = None) -> str:
    """The line every sheet carries: palette, paper, light, date, version, standing of the inks.

    day : date to print, today's if None. words : of the sheet's language, English if None
    """
    words = words or lesson_words()
    return words(
        "facts",
        palette=table.palette.name,
        paper=table.paper.name,
        light=table.light.name,
        day=day_of(day),
        version=__version__,
        how=", ".join(words(how) for how in sorted({ink.how for ink in table.palette.bottles})),
    )
