"""Numbers among a command's options: what is none is told as everything else is."""

from __future__ import annotations

import copy
import math
from functools import partial
from typing import Any

import click

from glaze.errors import InputError


class WholeBetween(click.IntRange):
    """A whole number between two, told as "2 to 9"."""

    def _describe_range(self) -> str:
        return f"{self.min} to {self.max}"


def read_in_words(command: click.Command) -> None:
    """Let a command's numbers say in a painter's words what can't be read, and what they are.

    Help has NUMBER where it would have INTEGER or FLOAT, and 5 where it would have 5.0.
    """
    for param in command.params:
        if isinstance(param.type, click.types.FloatParamType | click.types.IntParamType):
            whole = isinstance(param.type, click.types.IntParamType)
            ends = getattr(param.type, "min", None), getattr(param.type, "max", None)
            param.type = copy.copy(param.type)
            setattr(param.type, "convert", partial(_read, whole, ends))  # noqa: B010
            if isinstance(param, click.Option):
                param.metavar = param.metavar or "NUMBER"
            if isinstance(param.default, float) and param.default.is_integer():
                param.default = int(param.default)


def _read(
    whole: bool, ends: tuple[Any, Any], value: Any, param: click.Parameter, ctx: Any
) -> int | float:
    """The number that a text says: one that has an end, between those that are allowed if any."""
    low, high = ends
    try:
        number = int(value) if whole else float(value)
        if math.isfinite(number) and (low is None or low <= number <= high):
            return number
    except (ValueError, OverflowError):
        pass
    of = f", {low} to {high}" if low is not None else f", as {_likely(str(value), whole)}"
    option = isinstance(param, click.Option)
    name = max(param.opts, key=len) if option else param.human_readable_name
    raise InputError(f'{name} "{value}": write a {"whole " if whole else ""}number{of}.')


def _likely(text: str, whole: bool) -> str:
    """What is meant where only a comma stands for the point, or an example."""
    meant = text.strip().replace(",", ".")
    if whole or not (meant.isascii() and meant.replace(".", "", 1).isdecimal()):
        return "3" if whole else "0.5"
    return meant
