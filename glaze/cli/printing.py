"""Options that all printed sheets share, and the writing of their pages."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from glaze.cli.show import json_option, tell, tell_json
from glaze.cli.table_options import dropper_option

if TYPE_CHECKING:
    from glaze.charts.paper.page import Page
    from glaze.charts.sheets.parts import Layout
    from glaze.patch.table import Table

Command = Callable[..., None]


def table_options_of_sheet(command: Command) -> Command:
    """What lies on the table."""
    for option in (
        dropper_option,
        click.option("--light", default="D65", show_default=True, help="Light it is seen under."),
        click.option(
            "--paper", "paper_name", default="white cartridge", show_default=True, help="Paper."
        ),
        click.option(
            "--palette",
            "palette_name",
            default="lifting",
            show_default=True,
            help="Built-in palette, or your own inks.toml.",
        ),
    ):
        command = option(command)
    return command


def page_options(command: Command) -> Command:
    """How it is printed."""
    for option in (
        json_option,
        click.option("--date", "day", default=None, help="Date to print, if not today's."),
        click.option("--dpi", type=float, default=150, show_default=True, help="Of a PNG."),
        click.option("--turned", is_flag=True, help="The long side across."),
        click.option("--page", "size", default="A4", show_default=True, help="A4, A3 or Letter."),
        click.option("-o", "--output", required=True, help="File to write: .pdf, .svg or .png."),
    ):
        command = option(command)
    return command


def fill_options(command: Command) -> Command:
    """Whether swatches are printed or left to paint."""
    for value, told in (
        ("half", "Each swatch half as predicted, half to paint."),
        ("blank", "Outlines to paint."),
        ("predicted", "Colours as predicted (if nothing else is said)."),
    ):
        command = click.option(f"--{value}", "mode", flag_value=value, help=told)(command)
    return command


def names(text: str | None) -> list[str] | None:
    """Names from a list such as "Blue, Red, Yellow"."""
    return [part.strip() for part in text.split(",") if part.strip()] if text else None


def table_and_layout(options: dict[str, Any]) -> tuple[Table, Layout]:
    """The table and the layout that the shared options ask for; the output is checked first."""
    from glaze.charts.paper.publish import check_output
    from glaze.charts.sheets.parts import Layout
    from glaze.materials.dropper import parse_dropper
    from glaze.patch.table import table_of

    check_output(Path(options["output"]))
    layout = Layout(
        options["size"], options["turned"], options.get("mode") or "predicted", options["day"]
    )
    dropper = parse_dropper(options["dropper"]) if options["dropper"] else None
    table = table_of(
        options["palette_name"], options["paper_name"], options["light"], dropper=dropper
    )
    return table, layout


def write(pages: Sequence[Page], options: dict[str, Any], what: str, notes: Sequence[str]) -> None:
    """Write the pages and say what was written."""
    from glaze.charts.paper.publish import write_pages

    files = write_pages(pages, options["output"], options["dpi"])
    if options["as_json"]:
        found = {"chart": what, "files": [str(f) for f in files], "pages": len(pages)}
        tell_json({**found, "notes": list(notes)})
        return
    for file in files:
        tell(str(file))
    for note in notes:
        tell(note)
