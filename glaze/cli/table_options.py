"""What lies on the table for a command: named outright, or taken from a scene."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

import click


def dropper_option(command: Callable[..., Any]) -> Callable[..., Any]:
    """The dropper that drops are counted with."""
    told = 'Drops to the ml, as "ink 30, water 20" or "both 25"; count your own.'
    return click.option("--dropper", default=None, help=told)(command)


def table_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Options that say what lies on the table."""
    for option in (
        dropper_option,
        click.option("--light", default=None, help="Light it is seen under; D65 if not given."),
        click.option(
            "--paper", default=None, help="Paper, or a file; white cartridge if not given."
        ),
        click.option("--palette", default=None, help="Palette, or your own inks.toml."),
        click.option(
            "--scene", default=None, help="Take palette, wells, paper, light from a scene."
        ),
    ):
        command = option(command)
    return command


def with_table(command: Callable[..., Any]) -> Callable[..., Any]:
    """Let a command take what lies on the table as options, and hand it over as its `asked`."""

    @wraps(command)
    def laid_out(
        *,
        scene: str | None,
        palette: str | None,
        paper: str | None,
        light: str | None,
        dropper: str | None,
        **options: Any,
    ) -> None:
        from glaze.planning.asked import asked_of

        command(asked=asked_of(scene, palette, paper, light, dropper), **options)

    return table_options(laid_out)
