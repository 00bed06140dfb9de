"""Files that come from outside: plain files only, up to a size, and which of them were read.

Everything a painter gives goes through here, so that whatever a command has read can be kept from
being written over (`glaze.picture.writing`).
"""

from __future__ import annotations

import math
import os
import re
import stat
import tomllib
from pathlib import Path
from typing import Any
from unicodedata import normalize

from glaze.errors import InputError

PICTURES = (".png", ".jpg", ".jpeg", ".tif", ".tiff")
"""Ends of names of the pictures that are read."""
MOST_BYTES = 4_000_000
"""Of a table or a scene; one with thousands of pen lines has a tenth of it."""
MOST_DEPTH = 40
"""Lists and tables in one another; scenes and inks have up to six."""
LARGEST_NUMBER = 10**15
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]")

_read: set[str] = set()


def note_read(path: Path) -> None:
    """Remember that a file was read."""
    _read.add(os.path.realpath(path))


def was_read(path: Path) -> bool:
    """Whether a file was read since `forget`."""
    return os.path.realpath(path) in _read


def forget() -> None:
    """A new command begins: nothing was read yet."""
    _read.clear()


def is_there(path: Path) -> bool:
    """Whether there is a file of that name; what can't be the name of one isn't there."""
    try:
        return path.exists()
    except (OSError, ValueError):
        return False


def check_plain(path: Path, most_bytes: int) -> None:
    """Refuse what is no file that ends: folders, pipes, devices, and files beyond a size."""
    try:
        found = path.stat()
    except FileNotFoundError:
        raise InputError(f"{path}: there is no such file.") from None
    except (OSError, ValueError) as error:
        raise InputError(f"{path}: can't be read ({_reason(error)}).") from None
    if not stat.S_ISREG(found.st_mode):
        raise InputError(f"{path}: is no plain file.")
    if found.st_size > most_bytes:
        raise InputError(
            f"{path}: has {found.st_size / 1e6:.1f} MB; allowed: up to {most_bytes / 1e6:g} MB."
        )


def read_bytes(path: Path, most_bytes: int = MOST_BYTES) -> bytes:
    """All of a plain file.

    Raises
    ------
    InputError : it is missing, no plain file, too large or can't be read
    """
    check_plain(path, most_bytes)
    try:
        content = path.read_bytes()
    except OSError as error:
        raise InputError(f"{path}: can't be read ({_reason(error)}).") from None
    note_read(path)
    return content


def _reason(error: Exception) -> str:
    return getattr(error, "strerror", None) or str(error)


def read_toml(path: Path, name: str = "") -> dict[str, Any]:
    """The tables of a TOML file; `name` stands in front of what is wrong, else its path."""
    name = name or str(path)
    try:
        text = read_bytes(path).decode("utf-8-sig")
    except UnicodeDecodeError:
        raise InputError(f"{name}: isn't plain text in UTF-8; save it as such.") from None
    return toml_of(text, name)


def toml_of(text: str, name: str) -> dict[str, Any]:
    """TOML text as tables and values.

    Raises
    ------
    InputError
        With the line, if it is no TOML; with the key, where a value could never be used: numbers
        without end, control characters.
    """
    try:
        # é may be written as one letter or as two: names are compared letter by letter
        tables = tomllib.loads(normalize("NFC", text))
    except tomllib.TOMLDecodeError as error:
        told = _TWICE.sub(lambda found: f"[{'.'.join(re.findall(_QUOTED, found[0]))}]", str(error))
        raise InputError(f"{name}: isn't valid TOML: {told}.{_likely(text, error)}") from None
    except (ValueError, RecursionError, OverflowError):  # endless digits, endless brackets
        raise InputError(f"{name}: isn't valid TOML: a number or a list has no end.") from None
    if problems := list(dict.fromkeys(_unusable(tables))):
        raise InputError([f"{name}: {problem}" for problem in problems])
    return tables


_QUOTED = r"'([^']*)'"
_TWICE = re.compile(rf"\((?:{_QUOTED},? ?)+\)")
"""A heading as the reader of TOML tells it, ('well', 'dusk')."""
_MEANT = {
    "overwrite a value": "that key stands twice; leave one out",
    "declare": "that heading stands twice; put all it holds under one",
    "Unclosed array": "a list that begins with [ never ends with ]",
    "Unterminated string": "a text that begins with a quote never ends with one",
    'Expected "\'"': "a text that begins with a quote never ends with one",
    "character '\\n'": "a text that begins with a quote ends with one in its line",
}
"""What is wrong, by the words of the reader of TOML."""


def _likely(text: str, error: Exception) -> str:
    """The line that isn't valid TOML, and what its writer most likely has to change."""
    found = re.search(r"line (\d+)", str(error))
    lines = text.rstrip().split("\n")
    line = lines[min(int(found[1]), len(lines)) - 1 if found else -1].strip()
    if meant := next((meant for words, meant in _MEANT.items() if words in str(error)), ""):
        where = f"The line is: {line[:60]}; " if found or "overwrite" in str(error) else "In it "
        return f" {where}{meant}."
    if found is None:
        return ""
    bare = re.fullmatch(r"([\w.-]+)\s*=\s*([^\s\"'\[{#][^\"'\[{#]*)(#.*)?", line)
    if "\\" in line:
        hint = "between folders write /, not \\"
    elif bare:
        hint = f'text needs quotes, as {bare[1]} = "{bare[2].strip()}"'
    else:
        hint = "a text stands in quotes, a list in [ ], a table in { }"
    return f" The line is: {line[:60]}; {hint}."


def _unusable(tables: dict[str, Any]) -> list[str]:
    """What no key may hold, wherever it stands."""
    problems: list[str] = []
    left: list[tuple[str, Any, int]] = [("", tables, 0)]
    while left:
        key, value, depth = left.pop()
        if depth > MOST_DEPTH:
            return [f"{key}: lists and tables lie in one another more than {MOST_DEPTH} deep."]
        if isinstance(value, dict):
            left += [(str(inner), part, depth + 1) for inner, part in value.items()]
            problems += [f"{name!r}: a name with a control character." for name in value
                         if _controls(name)]  # fmt: skip
        elif isinstance(value, list):
            left += [(key, part, depth + 1) for part in value]
        elif isinstance(value, str) and _controls(value):
            problems.append(f"{key} holds a control character: {value[:60]!r}; take it out.")
        elif isinstance(value, int) and abs(value) > LARGEST_NUMBER:
            problems.append(f"{key} is a number of {int(math.log10(abs(value))) + 1} digits.")
    return problems


def _controls(text: str) -> bool:
    return _CONTROL.search(text) is not None


OTHER_KINDS = {
    b"GIF8": "GIF",
    b"WEBP": "WebP",
    b"ftyphei": "HEIC",
    b"ftypmif1": "HEIC",
    b"ftypavif": "AVIF",
    b"%PDF": "PDF",
}
"""Marks near the start of files that show pictures, and what those are (each format's own)."""


def no_picture(path: Path) -> str:
    """What a file is that can't be read as a picture, and what to do about it."""
    with path.open("rb") as file:
        first = file.read(12)
    kind = next((kind for mark, kind in OTHER_KINDS.items() if mark in first), None)
    if kind is not None:
        return (
            f'"{path.name}" is a {kind} file; PNG, JPEG and TIFF are read. Open it in the program '
            "it came from, and save it as PNG."
        )
    return (
        f'"{path.name}" can\'t be read as a picture: it is damaged or no PNG, JPEG or TIFF. '
        "Open it in the program it came from and save it again."
    )
