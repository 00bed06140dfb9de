"""A group of commands that are loaded only when they are run, so that help answers at once."""

from __future__ import annotations

import importlib
from collections.abc import Mapping
from typing import Any

import click


class Shelf(click.Group):
    """Commands by name.

    Parameters
    ----------
    kept : each command's place as module:function, and its line in the help
    kind : what one of them is called
    """

    def __init__(
        self, *given: Any, kept: Mapping[str, tuple[str, str]], kind: str, **named: Any
    ) -> None:
        super().__init__(*given, **named)
        self.kept, self.kind = kept, kind

    def list_commands(self, ctx: click.Context) -> list[str]:
        """All their names."""
        return list(self.kept)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """One of them, loaded."""
        if cmd_name not in self.kept:
            return None
        module, function = self.kept[cmd_name][0].split(":")
        command = getattr(importlib.import_module(f"glaze.cli.{module}"), function)
        assert isinstance(command, click.Command)
        return command

    def resolve_command(self, ctx: click.Context, args: list[str]) -> Any:
        """The one that is meant, or a sentence with those there are."""
        from glaze.errors import unknown

        if args and args[0] not in self.kept and not args[0].startswith("-"):
            raise click.UsageError(unknown(self.kind, args[0], self.kept))
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Their lines in the help."""
        with formatter.section(f"{self.kind.capitalize()}s"):
            formatter.write_dl([(name, text) for name, (_, text) in self.kept.items()])
