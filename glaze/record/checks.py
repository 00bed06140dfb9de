"""Kinds of values in a scene file, each refusing what it can't use in a painter's words.

Every check raises pydantic's custom error of type "glaze" whose text is "found; allowed: ...", so
that `glaze.scene.file` only has to put the place in front.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any
from unicodedata import normalize

from pydantic import (
    BaseModel,
    BeforeValidator,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
)
from pydantic_core import PydanticCustomError, core_schema

from glaze.errors import InputError, meant
from glaze.record.incoming import PICTURES


def shown(value: Any) -> str:
    """A value as it stands in the file, cut short where it is long."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "a table" if value else "an empty table"
    try:
        text = f'"{value}"' if isinstance(value, str) else str(value)
    except ValueError:  # Python refuses to print whole numbers of over 4300 digits
        return "a very long number"
    text = text.encode("utf-8", "replace").decode()
    return text if len(text) <= 60 else text[:57] + "..."


def refuse(value: Any, allowed: str) -> PydanticCustomError:
    return PydanticCustomError(
        "glaze", "{found} found; allowed: {allowed}.", {"found": shown(value), "allowed": allowed}
    )


def refuse_words(found: str, allowed: str) -> PydanticCustomError:
    return PydanticCustomError(
        "glaze", "{found} found; allowed: {allowed}.", {"found": found, "allowed": allowed}
    )


def is_number(value: Any) -> bool:
    """Whether a value is a plain finite number (true and false are not)."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return False
    try:
        return math.isfinite(float(value))
    except OverflowError:
        return False


@dataclass(frozen=True)
class Within:
    """A number and its range, in words a painter can act on.

    Parameters
    ----------
    low, high : ends of the range
    unit : said after the range
    above : whether `low` itself is left out
    advice : what to do when the value lies outside
    """

    low: float
    high: float
    unit: str = ""
    above: bool = False
    advice: str = ""

    def allowed(self, kind: str) -> str:
        """The range in words."""
        start = f"more than {self.low:g}, up to" if self.above else f"{self.low:g} to"
        advice = f". {self.advice}" if self.advice else ""
        return f"{kind}, {start} {self.high:g} {self.unit}".rstrip() + advice

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> core_schema.CoreSchema:
        whole = source is int
        kind = "a whole number" if whole else "a number"

        def check(value: Any) -> Any:
            good = is_number(value) and (not whole or isinstance(value, int))
            if not good or not self.low <= value <= self.high or (self.above and value == self.low):
                raise refuse(value, self.allowed(kind))
            return value if whole else float(value)

        return core_schema.no_info_before_validator_function(check, handler(source))

    def __get_pydantic_json_schema__(
        self, schema: core_schema.CoreSchema, handler: GetJsonSchemaHandler
    ) -> dict[str, Any]:
        low = "exclusiveMinimum" if self.above else "minimum"
        return {**handler(schema), low: self.low, "maximum": self.high}


def words(longest: int) -> BeforeValidator:
    def check(value: Any) -> Any:
        if not isinstance(value, str) or not value.strip() or len(value) > longest:
            raise refuse(value, f"a text in quotes, up to {longest} characters")
        return value

    return BeforeValidator(check)


def one_of(*choices: str) -> BeforeValidator:
    def check(value: Any) -> Any:
        if not isinstance(value, str) or value not in choices:
            raise refuse(value, ", ".join(f'"{choice}"' for choice in choices))
        return value

    return BeforeValidator(check)


def pair(low: float, high: float, allowed: str) -> BeforeValidator:
    def check(value: Any) -> Any:
        good = isinstance(value, list | tuple) and len(value) == 2
        if not good or not all(is_number(v) and low <= v <= high for v in value):
            raise refuse(value, allowed)
        return tuple(float(v) for v in value)

    return BeforeValidator(check)


def several(value: Any) -> Any:
    """One table may stand where a list of tables may."""
    return [value] if isinstance(value, dict | BaseModel) else value


def several_numbers(value: Any) -> Any:
    """One number may stand where a list of numbers may."""
    return [value] if is_number(value) else value


def several_points(value: Any) -> Any:
    """One point may stand where a list of points may."""
    lone = (
        isinstance(value, list | tuple) and bool(value) and not isinstance(value[0], list | tuple)
    )
    return [value] if lone else value


Name = Annotated[str, words(80)]
Text = Annotated[str, words(2000)]
FileName = Annotated[str, words(400)]
# 5 m covers any sheet on a table and keeps far-off corners from costing time
Point = Annotated[
    tuple[float, float], pair(-5000, 5000, "[x, y] in mm from the upper left corner, -5000 to 5000")
]
Length = Annotated[float, Within(0, 1000, "mm", above=True)]


def file_in(folder: Path, name: str) -> Path:
    """The path of a file inside a folder, links followed.

    Raises
    ------
    InputError
        When the name leads out of the folder or no such file is there.
    """
    home = folder.resolve()
    try:
        path = as_spelled(home, name).resolve()
        inside = path.is_relative_to(home) and not Path(name).is_absolute()
        there = inside and path.is_file()
    except (OSError, ValueError, RuntimeError):
        raise InputError(f"{shown(name)} can't be the name of a file.") from None
    if not inside:
        raise InputError(
            f"{shown(name)} lies outside the scene's folder. A scene uses only files of its own "
            "folder, so that it opens alike anywhere: copy the file there and name it from there."
        )
    if not there:
        raise InputError(
            f'There is no file {shown(name)} in the folder "{home.name}".{_others(home, name)}'
        )
    return path


def as_spelled(home: Path, name: str) -> Path:
    """The path of a name as the disk spells it: é is one letter here and two elsewhere."""
    path = home
    for part in Path(name).parts:
        if not (path / part).exists() and path.is_dir():
            same = (one.name for one in path.iterdir() if normalize("NFC", one.name) == part)
            part = next(same, part)
        path /= part
    return path


def _others(home: Path, name: str) -> str:
    """What may have been meant by a name no file has: a slash, or one of the files of its kind."""
    if any(sign in name for sign in "\\\n\t\r"):
        return " Between folders write /, which also Windows reads; \\ means something else here."
    kinds = PICTURES if Path(name).suffix.lower() in PICTURES else (Path(name).suffix.lower(),)
    there = sorted(f.name for f in home.glob("*") if f.suffix.lower() in kinds)
    hint = meant(name, there)
    return f"{hint} There are: {', '.join(there[:8])}." if there else hint
