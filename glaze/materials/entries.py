"""Reading tables: TOML files whose every figure says its value, unit, source and how it was got.

Built-in tables are read strictly (every figure is such an entry). A user's own file may give
plain numbers. Either way all that is wrong with a file is collected and told at once.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Any

from glaze.errors import InputError, unknown
from glaze.record.incoming import read_toml

TABLES = Path(__file__).with_name("tables")

HOW = {
    "measured": "measured on the material itself",
    "read": "read in the source named",
    "digitised": "read off a figure of the source",
    "fitted": "fitted to measured values",
    "computed": "computed from other entries or a formula",
    "analogue": "taken from a close relative",
    "remembered": "a handbook figure from memory, not checked",
    "assumed": "assumed: no figure was found",
}
"""How a figure was got: the standing it has."""


@dataclass(frozen=True)
class Entry:
    """One figure of a table with its standing.

    factor: uncertainty as a factor up or down; 1 where none is stated.
    """

    value: Any
    unit: str
    source: str
    how: str
    factor: float = 1.0


class Reader:
    """Takes the keys of one TOML table one by one, and notes what is wrong with them.

    Parameters
    ----------
    table : the TOML table
    place : where it stands, in front of each message: `inks.toml: ink "Blue"`
    problems : list that all readers of one file share
    strict : figures must be whole entries (value, unit, source, how)
    """

    def __init__(
        self, table: Mapping[str, Any], place: str, problems: list[str], strict: bool = False
    ) -> None:
        self.table, self.place, self.problems, self.strict = table, place, problems, strict
        self.used: set[str] = set()

    def wrong(self, message: str) -> None:
        """Note one thing that is wrong with this table."""
        self.problems.append(f"{self.place}: {message}")

    def raw(self, key: str, default: Any = None) -> Any:
        """The value as it stands in the file."""
        self.used.add(key)
        return self.table.get(key, default)

    def text(self, key: str, default: str | None = None) -> str:
        """A piece of text; without a default the key has to be there."""
        value = self.raw(key, default)
        if value is None:
            self.wrong(f'"{key}" is missing; write {key} = "..."')
            return ""
        if not isinstance(value, str):
            self.wrong(f'{key} is {value!r}; it has to be text in quotes, as {key} = "..."')
            return ""
        return value

    def choice(self, key: str, options: Iterable[str], default: str | None = None) -> str:
        """One of a few words."""
        value = self.text(key, default)
        options = list(options)
        if value not in options and (value or key in self.table):
            self.wrong(f'{key} is "{value}"; it may be {", ".join(options)}.')
        return value if value in options else (default or options[0])

    def flag(self, key: str, default: bool = False) -> bool:
        """true or false."""
        value = self.raw(key, default)
        if not isinstance(value, bool):
            self.wrong(f"{key} is {value!r}; it may be true or false.")
            return default
        return value

    def entry(self, key: str, low: float, high: float, default: float | None = None) -> Entry:
        """A number with its standing, within low to high."""
        found = self.raw(key)
        if found is None:
            if default is None or self.strict:
                self.wrong(f'"{key}" is missing; write a number from {low:g} to {high:g}.')
            return Entry(default if default is not None else low, "", "default", "assumed")
        entry = self._entry(key, found)
        value = entry.value
        if isinstance(value, bool) or not isinstance(value, int | float):
            self.wrong(f"{key} is {value!r}; it has to be a number from {low:g} to {high:g}.")
        elif not low <= value <= high:
            self.wrong(f"{key} is {value:g}; it may be {low:g} to {high:g}.")
        else:
            return entry
        return Entry(default if default is not None else low, "", "default", "assumed")

    def number(self, key: str, low: float, high: float, default: float | None = None) -> float:
        """The value alone of `entry`."""
        return float(self.entry(key, low, high, default).value)

    def curve(self, key: str, columns: int) -> Entry | None:
        """Rows of `columns` numbers with their standing, or None where the key isn't there."""
        found = self.raw(key)
        if found is None:
            return None
        entry = self._entry(key, found)
        rows = entry.value
        if isinstance(rows, list) and rows and all(_is_row(row, columns) for row in rows):
            value = tuple(tuple(float(number) for number in row) for row in rows)
            return Entry(value, entry.unit, entry.source, entry.how, entry.factor)
        self.wrong(f"{key} has to be a list of rows of {columns} numbers each, as [[400, 0.8], ...")
        return None

    def tables(self, key: str) -> list[dict[str, Any]]:
        """The tables written as [[key]]."""
        found = self.raw(key, [])
        if isinstance(found, list) and all(isinstance(item, dict) for item in found):
            return found
        self.wrong(f"{key} has to be written as [[{key}]], once for each {key}.")
        return []

    def mapping(self, key: str) -> dict[str, Any]:
        """A table within this one, {} where it isn't there."""
        found = self.raw(key, {})
        if isinstance(found, dict):
            return found
        self.wrong(f"{key} is {found!r}; it has to be a table: {key} = {{ name = number }}.")
        return {}

    def finish(self) -> None:
        """Note every key that nobody read: a slip of the pen, never silently left out."""
        for key in self.table:
            if key not in self.used:
                self.wrong(unknown("entry here", key, self.used))

    def _entry(self, key: str, found: Any) -> Entry:
        if not isinstance(found, dict):
            if self.strict:
                self.wrong(f"{key} has to say value, unit, source and how.")
            return Entry(found, "", "the user's file", "measured")
        inner = Reader(found, f"{self.place}: {key}", self.problems)
        missing = [part for part in ("value", "unit", "source", "how") if part not in found]
        if missing and self.strict:
            inner.wrong(f"{', '.join(missing)} missing.")
        entry = Entry(
            inner.raw("value"),
            inner.text("unit", ""),
            inner.text("source", "the user's file"),
            inner.choice("how", HOW, "measured"),
            inner.number("factor", 1.0, 1000.0, 1.0),
        )
        inner.finish()
        return entry


def _is_row(row: Any, columns: int) -> bool:
    numbers = isinstance(row, list) and len(row) == columns
    return numbers and all(isinstance(x, int | float) and not isinstance(x, bool) for x in row)


def rising(rows: Sequence[Sequence[float]]) -> bool:
    """Whether the first column rises from row to row."""
    return all(below[0] < above[0] for below, above in pairwise(rows))


def tell(problems: list[str]) -> None:
    """Raise an InputError of all that is wrong, if anything is."""
    if problems:
        raise InputError(problems)


def sections_of(table: str) -> dict[str, dict[str, Entry]]:
    """A built-in table of figures with the standing of each, by section and name."""
    problems: list[str] = []
    sections: dict[str, dict[str, Entry]] = {}
    for section, figures in read_toml(TABLES / table).items():
        reader = Reader(figures, f"{table}: [{section}]", problems, strict=True)
        sections[section] = {key: reader.entry(key, 0.0, 1000.0) for key in figures}
    tell(problems)
    return sections
