"""What is said to a painter when something they gave can't be used."""

from __future__ import annotations

import difflib
import json
import re
from collections.abc import Iterable, Sequence


class InputError(Exception):
    """What was given can't be used: one line for each thing that is wrong, meant for a painter.

    The one class of all errors that glaze can explain, of files and of wrong calls alike.

    Parameters
    ----------
    problems : one sentence or a list of them, each saying what is wrong, the value found,
        what is allowed and what to do.
    """

    def __init__(self, problems: str | Iterable[str]) -> None:
        self.problems = [problems] if isinstance(problems, str) else list(problems)
        super().__init__("\n".join(self.problems))


LONGEST = 1000
"""Characters of one message; a value that was pasted in by mistake may be longer."""


def plain(text: str) -> str:
    """Text that a terminal shows and doesn't obey: control characters as they are written."""
    return "".join(
        part if _COLOUR.fullmatch(part) else "".join(map(_visible, part))
        for part in _COLOUR.split(text)
    )


_COLOUR = re.compile(r"(\x1b\[[0-9;]*m)")  # blocks of colour in an answer are meant


def _visible(letter: str) -> str:
    return letter if letter.isprintable() or letter in "\n\t\xa0" else json.dumps(letter)[1:-1]


def shortened(text: str) -> str:
    """A message that can be read: the middle of a very long one is left out."""
    half = LONGEST // 2
    return text if len(text) <= LONGEST else f"{text[:half]} [...] {text[-half:]}"


def number_of(count: float, what: str) -> str:
    """So many of a thing: "1 area", "3 areas", "2 touches"."""
    plural = "es" if what.endswith("ch") else "s"
    return f"{count:g} {what}{'' if count == 1 else plural}"


def percent(share: float, decimals: int = 0) -> str:
    """A share [-] as all of glaze writes it, "40 %"."""
    return f"{100 * share:.{decimals}f} %"


def meant(name: str, known: Sequence[str]) -> str:
    """The nearest of the known names as a question; nothing where none shares half its letters."""
    near = difflib.get_close_matches(name, known, n=1, cutoff=0.5)
    return f' Did you mean "{near[0]}"?' if near else ""


def unknown(what: str, name: str, known: Iterable[str]) -> str:
    """A sentence for a name that isn't known: the nearest known one, then the whole list."""
    names = sorted(known)
    listed = [f'"{n}"' for n in names] if any("," in n for n in names) else names
    known_words = f" Known: {', '.join(listed)}." if names else ""
    return f'No {what} is called "{name}".{meant(name, names)}{known_words}'
