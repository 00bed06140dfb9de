"""The reference of commands, from the commands themselves."""

from __future__ import annotations

import inspect
import re
from collections import Counter
from collections.abc import Iterable, Iterator

import click

from glaze.cli.help_ends import EXAMPLES

SHARED_BY = 8
"""An option that so many commands have, with the same words, is told once."""


def commands() -> Iterator[str]:
    """Every command with its words, examples and options; what many share, once."""
    from glaze.cli.main import glaze as top

    every = list(_all_of(top, "glaze"))[1:]
    counts = Counter(_row(option) for _, command in every for option in _options(command))
    shared = {row for row, count in counts.items() if count >= SHARED_BY}
    yield "## Options of many commands\n"
    yield from _table(row for row in counts if row in shared)
    for name, command in every:
        yield f"{'#' * name.count(' ')}# {name}\n"
        yield from _words(command, name)
        own = [_row(option) for option in _options(command)]
        yield from _table(row for row in own if row not in shared)
        if also := [row[0] for row in own if row in shared and row[0] != "`--json`"]:
            yield f"Also {', '.join(also)}.\n"


def _all_of(command: click.Command, name: str) -> Iterator[tuple[str, click.Command]]:
    """A command and all below it, each with its whole name."""
    yield name, command
    if isinstance(command, click.Group):
        context = click.Context(command, info_name=name)
        for part in command.list_commands(context):
            below = command.get_command(context, part)
            assert below is not None
            yield from _all_of(below, f"{name} {part}")


def _options(command: click.Command) -> list[click.Option]:
    return [p for p in command.params if isinstance(p, click.Option) and not p.hidden]


def _row(option: click.Option) -> tuple[str, str]:
    """Its names, and what it is for with what holds without it."""
    told = _marked((option.help or "").replace("|", "\\|"))
    default = option.default
    shown = option.show_default and default is not None and not callable(default)
    names = ", ".join(f"`{flag}`" for flag in option.opts)
    usual = " and ".join(default) if isinstance(default, tuple | list) else default
    return names, told + (f" Default: {usual}." if shown else "")


def _table(rows: Iterable[tuple[str, str]]) -> Iterator[str]:
    lines = [f"| {names} | {told} |" for names, told in rows]
    if lines:
        yield "\n".join(["| option | |", "|---|---|", *lines, ""])


def _words(command: click.Command, name: str) -> Iterator[str]:
    """Help in paragraphs, its own capitals as code; then how it is called, and examples."""
    usage = " ".join(command.collect_usage_pieces(click.Context(command, info_name=name)))
    given = "|".join(re.findall(r"[A-Z]{3,}", usage)) or "$^"
    for part in inspect.cleandoc(command.help or "").replace("\b", "").split("\n\n"):
        text = " ".join(map(str.strip, part.splitlines()))
        yield re.sub(rf"\b({given})\b", r"`\1`", _marked(text)) + "\n"
    examples = EXAMPLES.get(name.removeprefix("glaze "), ())
    yield "\n".join(["```sh", f"{name} {usage}", *examples, "```\n"])


def _marked(text: str) -> str:
    """Options in a text as code, which keeps their dashes."""
    return re.sub(r"(?<![\w`-])(--?[a-z][\w-]*)", r"`\1`", text)
