"""The terminal an answer is read on: its width, its colours, and lines and columns that fit."""

from __future__ import annotations

import math
import os
import re
import shutil
import sys
from collections.abc import Iterator, Sequence
from typing import Any, TextIO

import click

NARROWEST = 40
HANGING = 4
"""Letters that what goes on of a row is set in by; a sentence goes on at the edge."""


def width(stream: TextIO | None = None) -> int | None:
    """Letters a line has; None where nobody looks, as in a pipe (unless COLUMNS says so)."""
    stream = stream or sys.stdout
    if stream is None or (not stream.isatty() and "COLUMNS" not in os.environ):
        return None
    return max(NARROWEST, shutil.get_terminal_size().columns)


def obeys(stream: TextIO | None = None) -> bool:
    """Whether it is a terminal that can move its cursor."""
    stream = stream or sys.stdout
    return stream is not None and stream.isatty() and os.environ.get("TERM") != "dumb"


def shows_colours() -> bool:
    """Whether answers may be coloured: none are where NO_COLOR is set and not empty.

    As https://no-color.org asks.
    """
    return obeys() and not os.environ.get("NO_COLOR")


def block(*colours: Any) -> str:
    """Blocks of colours (8-bit sRGB), and a space; nothing where no colours are shown."""
    if not shows_colours():
        return ""
    shown = (click.style("    ", bg=(int(r), int(g), int(b))) for r, g, b in colours)
    return f"{''.join(shown)}  "


def columns(rows: Sequence[Sequence[str]], indent: int = 2) -> Iterator[str]:
    """Rows of cells under each other, each column as wide as its widest.

    Where that is wider than the screen they stand closer together and begin at its edge, if they
    fit then; else columns that find no room hang in below, their cells whole.
    """
    if not rows:
        return
    wide = [max(map(_letters, column)) for column in zip(*rows, strict=True)]
    between = sum(w > 0 for w in wide) - 1
    whole, close = indent + sum(wide) + 2 * between, sum(wide) + between
    gap, indent = (1, 0) if close <= (width() or 0) < whole else (2, indent)
    hung = _hung(wide, indent, gap)
    for row in rows:
        told = " " * indent
        for n, (cell, w) in enumerate(zip(row, wide, strict=True)):
            if n in hung and any(row[n:]):
                told = f"{told.rstrip(' ')}\n{' ' * (indent + HANGING)}"
            # a block of colour brings its own space
            told += cell if "\x1b" in cell or not w else cell + " " * (w - _letters(cell) + gap)
        yield told.rstrip(" ")


def _hung(wide: Sequence[int], indent: int, gap: int) -> set[int]:
    """Columns that begin a line of their own, as there is no room for them beside the others."""
    most, at, hung = width() or math.inf, indent, set[int]()
    for n, w in enumerate(wide):
        if at + w > most and at > indent:
            hung.add(n)
            at = indent + HANGING
        at += w + gap * bool(w)
    return hung


def fitted(text: str, most: int | None) -> Iterator[str]:
    """Lines no longer than so many letters, parted at words; what goes on hangs in."""
    for line in text.split("\n"):
        if most is None or _letters(line) <= most:
            yield line
        else:
            yield from _parted(line, most)


def _parted(line: str, most: int) -> Iterator[str]:
    inset = len(line) - len(line.lstrip(" "))
    hang = " " * (inset + HANGING if inset or "\x1b" in line else 0)
    now = ""
    for piece in re.findall(r"\s*\S+", line):
        if now and _letters(now) + _letters(piece) > most:
            yield now
            now = f"{hang}{piece.lstrip()}"
        else:
            now += piece
    if now:
        yield now


def _letters(text: str) -> int:
    return len(click.unstyle(text))
