"""Files of measured spectra: CGATS.17 text as instruments write it, or a table as CSV.

CGATS.17 (ANSI; ISO 28178): keywords, then the names of the columns between BEGIN_DATA_FORMAT and
END_DATA_FORMAT, then a row a sample between BEGIN_DATA and END_DATA. A CSV has the names of its
columns in the first row. In both a column says what was measured, and one for every wavelength its
reflectance. All that is wrong is told at once, by line.
"""

from __future__ import annotations

import csv
import re
import shlex
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.record.incoming import read_bytes

Array = NDArray[np.float64]
Row = tuple[int, list[str]]
"""Number of a line and its fields."""

MOST_SAMPLES, MOST_MISTAKES = 5000, 30
RANGE_NM = 300.0, 1100.0
FEWEST_BANDS = 16
"""The visible range every 20 nm; instruments give 31 or 36."""

MOST_REFLECTANCE = 1.5
"""Brightened paper gives back up to a quarter more than it gets in a band; beyond this figures of a
whole file are per cent."""

NAMES = ("SAMPLE_NAME", "SAMPLE", "NAME", "SAMPLE_ID", "SAMPLEID")
"""Columns that say what was measured, the first that is there counts."""

WAVELENGTH = re.compile(r"(?:SPECTRAL|SPEC|R|NM|PCT|DEC|_)*(\d{3,4})(?:\.0+)?(?:_?NM)?", re.I)
"""A column of a wavelength: SPECTRAL_NM400, SPECTRAL_400, nm400, R_400nm, 400."""


@dataclass(frozen=True, eq=False)
class Spectra:
    """Measured spectra.

    file : its name, for what is told
    wavelength_nm : rising, shape (bands,)
    names : of the samples as the file has them; lines : where they stand
    reflectance : [-], shape (samples, bands)
    """

    file: str
    wavelength_nm: Array
    names: tuple[str, ...]
    lines: tuple[int, ...]
    reflectance: Array


def read_spectra(path: str | Path) -> Spectra:
    """A file of spectra, CGATS.17 or CSV by what stands in it.

    Raises
    ------
    InputError : with every mistake of the file, each with its line
    """
    path = Path(path)
    text = _text(path)
    tagged = re.search(r"^\s*BEGIN_DATA_FORMAT\b", text, re.M) is not None
    columns, rows, problems = _cgats(text) if tagged else _csv(text)
    found = _spectra(path.name, columns, rows, problems) if columns else None
    if problems or found is None:
        more = len(problems) - MOST_MISTAKES
        told = problems[:MOST_MISTAKES] + ([f"and {more} more mistakes."] if more > 0 else [])
        raise InputError([f"{path.name}: {problem}" for problem in told])
    return found


def _text(path: Path) -> str:
    content = read_bytes(path)
    for coding in (
        "utf-8-sig",
        "utf-16" if content[:2] in (b"\xff\xfe", b"\xfe\xff") else "cp1252",
    ):
        try:
            return content.decode(coding).replace("\r\n", "\n").replace("\r", "\n")
        except UnicodeDecodeError:
            continue
    raise InputError(f"{path.name}: isn't plain text; export the spectra as CGATS text or CSV.")


def _cgats(text: str) -> tuple[list[str], list[Row], list[str]]:
    """Columns, rows and mistakes of a CGATS.17 text; its first table."""
    columns: list[str] = []
    rows: list[Row] = []
    problems: list[str] = []
    said: dict[str, tuple[int, str]] = {}
    part = ""
    for number, line in enumerate(text.splitlines(), start=1):
        fields = _fields(line)
        if not fields:
            continue
        word = fields[0].upper()
        if word in ("BEGIN_DATA_FORMAT", "BEGIN_DATA"):
            part = word
        elif word.startswith("END_DATA"):
            part = ""
            if word == "END_DATA":
                break
        elif part == "BEGIN_DATA_FORMAT":
            columns += fields
        elif part == "BEGIN_DATA":
            rows.append((number, fields))
        elif len(fields) > 1:
            said[word] = number, fields[1]
    if part:
        problems.append(f'"{part}" has no end; write {part.replace("BEGIN", "END")} after it.')
    for word, count, what in (
        ("NUMBER_OF_FIELDS", len(columns), "columns"),
        ("NUMBER_OF_SETS", len(rows), "rows"),
    ):
        number, told = said.get(word, (0, str(count)))
        if told != str(count):
            problems.append(f"line {number}: {word} says {told}, but there are {count} {what}.")
    return columns, rows, problems


def _fields(line: str) -> list[str]:
    """Fields of a line of CGATS text; what stands behind # is a remark."""
    try:
        return shlex.split(line, comments=True, posix=True)
    except ValueError:  # a quotation mark without its fellow
        return line.replace('"', " ").split()


def _csv(text: str) -> tuple[list[str], list[Row], list[str]]:
    """Columns, rows and mistakes of a CSV by commas, semicolons or tabs."""
    lines = [
        (number, line)
        for number, line in enumerate(text.splitlines(), start=1)
        if line.strip(" ,;\t") and not line.lstrip().startswith("#")
    ]
    if not lines:
        return [], [], ["holds no table."]
    head = lines[0][1]
    mark = max(";\t,", key=head.count)
    parsed = csv.reader((line for _, line in lines), delimiter=mark)
    try:
        rows = [
            (number, [field.strip() for field in fields])
            for (number, _), fields in zip(lines, parsed, strict=False)
        ]
    except csv.Error as error:
        return [], [], [f"isn't a table that can be read ({error})."]
    if mark != ",":  # elsewhere a comma stands before decimals
        rows = [(n, [fields[0], *(f.replace(",", ".") for f in fields[1:])]) for n, fields in rows]
    return rows[0][1], rows[1:], []


def _spectra(
    file: str, columns: Sequence[str], rows: Sequence[Row], problems: list[str]
) -> Spectra | None:
    """The rows as spectra; what is wrong goes to the problems."""
    upper = [column.strip().upper().replace(" ", "_") for column in columns]
    named = next((upper.index(name) for name in NAMES if name in upper), None)
    bands = _bands(columns, problems)
    if named is None:
        problems.append(
            f"no column says what was measured; call it {NAMES[0]} (or {', '.join(NAMES[1:3])}). "
            f"There are {', '.join(columns[:6])}{' ...' if len(columns) > 6 else ''}."
        )
    if not rows:
        problems.append("holds no sample below its columns.")
    if len(rows) > MOST_SAMPLES:
        problems.append(f"has {len(rows)} samples; allowed: up to {MOST_SAMPLES}.")
    if problems or named is None:
        return None
    names, values = [], []
    for line, fields in rows:
        if len(fields) != len(columns):
            problems.append(
                f"line {line}: has {len(fields)} fields, and there are {len(columns)} columns."
            )
            continue
        names.append((line, fields[named].strip()))
        values.append(list(_numbers(line, fields, bands, problems)))
        if not fields[named].strip():
            problems.append(f"line {line}: doesn't say what was measured.")
    if problems:
        return None
    order = np.argsort([nm for nm, _ in bands])
    nm = np.array([bands[i][0] for i in order])
    R = np.array(values)[:, order]
    if R.max() > MOST_REFLECTANCE:
        R = R / 100.0
    wrong = np.argwhere((R < 0.0) | (R > MOST_REFLECTANCE))
    for i, j in wrong:
        problems.append(
            f"line {names[i][0]}: a reflectance of {R[i, j]:.4g} at {nm[j]:g} nm; it lies between "
            f"0 and {MOST_REFLECTANCE:g}, in the whole file as shares or as per cent."
        )
    return Spectra(file, nm, tuple(n for _, n in names), tuple(line for line, _ in names), R)


def _bands(columns: Sequence[str], problems: list[str]) -> list[tuple[float, int]]:
    """Wavelength [nm] and place of every column of a reflectance."""
    found: dict[float, int] = {}
    for place, column in enumerate(columns):
        match = WAVELENGTH.fullmatch(column.strip())
        if match is None:
            continue
        nm = float(match[1])
        if not RANGE_NM[0] <= nm <= RANGE_NM[1]:
            problems.append(f'column "{column}": {nm:g} nm; allowed: 300 to 1100.')
        elif nm in found:
            problems.append(f'column "{column}": {nm:g} nm is there twice.')
        found[nm] = place
    if len(found) < FEWEST_BANDS:
        problems.append(
            f"has {len(found)} columns of wavelengths, as SPECTRAL_NM400 or 400; at least "
            f"{FEWEST_BANDS} are needed, from 420 or below to 680 nm or above."
        )
    elif min(found) > 420 or max(found) < 680:
        problems.append(
            f"goes from {min(found):g} to {max(found):g} nm; it has to begin at 420 or below and "
            "end at 680 or above."
        )
    return list(found.items())


def _numbers(
    line: int, fields: Sequence[str], bands: Sequence[tuple[float, int]], problems: list[str]
) -> Iterator[float]:
    """The reflectances of a row, 0 for what is no number and told."""
    for nm, place in bands:
        try:
            value = float(fields[place])
        except ValueError:
            value = float("nan")
        if not np.isfinite(value):
            problems.append(f'line {line}: "{fields[place]}" at {nm:g} nm is no number.')
            value = 0.0
        yield value
