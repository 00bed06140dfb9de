"""A group of commands that are loaded only when they are run, so that help answers at once."""

from __future__ import annotations

import importlib
from collections.abc import Mapping, Sequence
from typing import Any

import click

from glaze.cli.help_ends import told_at_the_end
from glaze.cli.numbers import read_in_words


class Shelf(click.Group):
    """Commands by name.

    Parameters
    ----------
    kept : each command's place as module:function, and its line in the help
    kind : what one of them is called
    shelves : names under a heading each, in the order of the help; one for all if None
    other_names : further names of commands, which the help doesn't list twice
    meant : what to type in place of words that are no commands
    """

    def __init__(
        self,
        *given: Any,
        kept: Mapping[str, tuple[str, str]],
        kind: str,
        shelves: Mapping[str, Sequence[str]] | None = None,
        other_names: Mapping[str, str] | None = None,
        meant: Mapping[str, str] | None = None,
        **named: Any,
    ) -> None:
        super().__init__(*given, **named)
        self.kept, self.kind = kept, kind
        self.shelves = shelves
        self.other_names, self.meant = other_names or {}, meant or {}

    def list_commands(self, ctx: click.Context) -> list[str]:
        """All their names."""
        return list(self.kept)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """One of them, loaded."""
        cmd_name = self.other_names.get(cmd_name, cmd_name)
        if cmd_name not in self.kept:
            return None
        module, function = self.kept[cmd_name][0].split(":")
        command = getattr(importlib.import_module(f"glaze.cli.{module}"), function)
        assert isinstance(command, click.Command)
        read_in_words(command)
        top = self.kind == "command"
        command.epilog = told_at_the_end(cmd_name if top else f"{self.name} {cmd_name}")
        return command

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """Without any word after it, it tells what there is."""
        if not args and not ctx.resilient_parsing:  # a shell asks without any, to complete
            click.echo(ctx.get_help())
            ctx.exit()
        return super().parse_args(ctx, args)

    def resolve_command(self, ctx: click.Context, args: list[str]) -> Any:
        """The one that is meant, or a sentence with those there are."""
        from glaze.errors import unknown

        known = {*self.kept, *self.other_names}
        if args and args[0] not in known and not args[0].startswith("-"):
            if meant := self.meant.get(args[0].lower()):
                raise click.UsageError(f'No {self.kind} is called "{args[0]}"; there is {meant}.')
            raise click.UsageError(unknown(self.kind, args[0], self.kept))
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Their lines in the help."""
        shelves = self.shelves or {f"{self.kind.capitalize()}s": list(self.kept)}
        for heading, names in shelves.items():
            with formatter.section(heading):
                formatter.write_dl([(name, self.kept[name][1]) for name in names])
