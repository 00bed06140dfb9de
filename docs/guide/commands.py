"""The reference of commands, from the commands themselves."""

from __future__ import annotations

import inspect
import re
from collections.abc import Iterator

import click


def commands() -> Iterator[str]:
    """Every command with its words, examples and options."""
    from glaze.cli.main import glaze as top

    context = click.Context(top, info_name="glaze")
    for name in top.list_commands(context):
        found = top.get_command(context, name)
        assert found is not None
        yield from _told(found, f"glaze {name}", 2)


def _told(found: click.Command, name: str, level: int) -> Iterator[str]:
    yield f"{'#' * level} {name}\n"
    yield from _words(inspect.cleandoc(found.help or ""))
    usage = " ".join(found.collect_usage_pieces(click.Context(found, info_name=name)))
    yield f"```\n{name} {usage}\n```\n"
    options = [p for p in found.params if isinstance(p, click.Option) and not p.hidden]
    if options:
        yield "| option | |\n|---|---|"
    for option in options:
        names = ", ".join(f"`{flag}`" for flag in option.opts)
        yield f"| {names} | {_cell(option)} |"
    yield ""
    if isinstance(found, click.Group):
        context = click.Context(found, info_name=name)
        for part in found.list_commands(context):
            below = found.get_command(context, part)
            assert below is not None
            yield from _told(below, f"{name} {part}", level + 1)


def _words(text: str) -> Iterator[str]:
    """Help in paragraphs; lines of examples as code."""
    for part in text.replace("\b", "").split("\n\n"):
        lines = [line for line in part.splitlines() if line.strip()]
        if lines and all(re.match(r"\s*glaze \w+ ", line) for line in lines):
            yield "```sh\n" + "\n".join(line.strip() for line in lines) + "\n```\n"
        else:
            yield re.sub(r"\b([A-Z]{3,})\b", r"`\1`", " ".join(map(str.strip, lines))) + "\n"


def _cell(option: click.Option) -> str:
    told = (option.help or "").replace("|", "\\|")
    default = option.default
    shown = option.show_default and default is not None and not callable(default)
    return told + (f" Default: {default}." if shown else "")
