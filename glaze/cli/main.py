"""The `glaze` command and the list of its commands, each loaded when it is called."""

from __future__ import annotations

import importlib
from typing import Any

import click

from glaze import __version__

COMMANDS = {
    "preview": ("scene_commands", "Paint a scene and write the picture."),
    "check": ("scene_commands", "Read a scene and say all that is wrong with it."),
    "new": ("scene_commands", "Start a scene from a scan or photo of a sketch."),
    "example": ("scene_commands", "Copy one of the scenes that come with glaze."),
    "plan": ("plan_command", "Plan a scene: order, drops, ml, minutes, risks; print its card."),
    "mix": ("question_commands", "Find the drops that make a colour."),
    "name": ("question_commands", "Say which mix a bottle is close to."),
    "shadow": ("question_commands", "Find the dilution of black that gives a shadow."),
    "room": ("question_commands", "See when glazes turn to mud, and how many are left."),
    "wet": ("look_commands", "See how much lighter a mix dries."),
    "keep": ("look_commands", "See what light leaves of a colour."),
    "lights": ("look_commands", "See a colour under daylight, a lamp and an LED."),
    "calibrate": ("calibrate_commands", "Read your own inks from a painted swatch sheet."),
    "compare": ("calibrate_commands", "Lay a finished painting over its prediction."),
    "reach": ("reach_command", "See how light bleach gets a scene back, and what to reserve."),
    "floor": ("reach_command", "The same as reach."),
    "inks": ("stock_commands", "List the inks of the palettes."),
    "papers": ("stock_commands", "List the papers."),
    "chart": ("chart_commands", "Print wheels, ladders, blocks and lessons at true size."),
    "view": ("view_command", "Open a scene or a sketch in the window."),
}
"""Each command's module and its line in `glaze --help`, so that help loads nothing."""


class _LazyGroup(click.Group):
    """A group whose commands are imported only when they are run."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        module = importlib.import_module(f"glaze.cli.{COMMANDS[cmd_name][0]}")
        command = getattr(module, cmd_name)
        assert isinstance(command, click.Command)
        return command

    def resolve_command(self, ctx: click.Context, args: list[str]) -> Any:
        from glaze.errors import unknown

        if args and args[0] not in COMMANDS and not args[0].startswith("-"):
            raise click.UsageError(unknown("command", args[0], COMMANDS))
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        with formatter.section("Commands"):
            formatter.write_dl([(name, text) for name, (_, text) in COMMANDS.items()])


@click.group(cls=_LazyGroup, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, package_name="glaze-lift", prog_name="glaze")
def glaze() -> None:
    """glaze: layered glazing and bleach lift, seen before the brush touches the sheet."""
