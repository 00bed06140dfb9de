"""What lies on the table for a command: named outright, or taken from a scene."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

import click

from glaze.cli.completing import lights, palettes, papers, scenes

TABLE = {
    "scene": "Take palette, wells, paper, light from a scene.",
    "palette": "Palette, or your own inks.toml; lifting if not given.",
    "paper": "Paper, or a file; white cartridge if not given.",
    "light": "Light it is seen under; D65 if not given.",
    "dropper": 'Drops to the ml, as "ink 30, water 20" or "both 25"; count your own.',
}
"""Options that say what lies on the table."""
COMPLETED = {"scene": scenes, "palette": palettes, "paper": papers, "light": lights}


def dropper_option(command: Callable[..., Any]) -> Callable[..., Any]:
    """The dropper that drops are counted with."""
    return click.option("--dropper", default=None, help=TABLE["dropper"])(command)


def bleach_strengths(command: Callable[..., Any]) -> Callable[..., Any]:
    """Strengths of bleach to try, as text."""
    return click.option(
        "--strengths",
        default="neat, 1+4, 1+9, 1+19",
        show_default=True,
        help="Of bleach; 1+4: 1 part + 4 parts water.",
    )(command)


def with_table(command: Callable[..., Any]) -> Callable[..., Any]:
    """Let a command take what lies on the table as options, and hand it over as its `asked`."""

    @wraps(command)
    def laid_out(*given: Any, **options: Any) -> Any:
        from glaze.planning.asked import asked_of

        named = {name: options.pop(name) for name in TABLE}
        return command(*given, asked=asked_of(**named), **options)

    for name, told in reversed(TABLE.items()):
        found = COMPLETED.get(name)
        laid_out = click.option(f"--{name}", default=None, help=told, shell_complete=found)(
            laid_out
        )
    return laid_out
