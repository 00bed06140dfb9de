"""`glaze chart lift`: what bleach leaves of every colour, and how one mix lifts with time."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from glaze.cli.chart_commands import (
    fill_options,
    names,
    page_options,
    table_and_layout,
    table_options_of_sheet,
)


@click.command()
@click.option("--curve", default=None, metavar="RECIPE", help="Plot one mix against time instead.")
@click.option(
    "--strengths",
    default="neat, 1+4, 1+9, 1+19",
    show_default=True,
    help="Of bleach; 1+4: 1 part + 4 parts water.",
)
@click.option("--touches", type=int, default=3, show_default=True, help="Columns, 1 to 4.")
@click.option("--shadow", default="1+8", show_default=True, help="Shadow wash, or none.")
@click.option("--extras", is_flag=True, help="Also the palette's other bottles.")
@click.option(
    "--minutes", type=float, default=1.0, show_default=True, help="From touch to blotting."
)
@click.option("--tool", default="brush", show_default=True, help="brush, dip pen or swab.")
@click.option(
    "--percent", type=float, default=5.0, show_default=True, help="Of the bleach, % on its label."
)
@click.option("--age", type=float, default=0.0, show_default=True, help="Of the bleach, months.")
@click.option("--room", type=float, default=20.0, show_default=True, help="Degrees Celsius.")
@click.option("--csv", "csv_file", default=None, help="Where the figures go; beside the chart.")
@click.option("--no-csv", is_flag=True, help="No file of figures.")
@table_options_of_sheet
@fill_options
@page_options
def lift(
    curve: str | None,
    strengths: str,
    touches: int,
    shadow: str,
    extras: bool,
    minutes: float,
    tool: str,
    percent: float,
    age: float,
    room: float,
    csv_file: str | None,
    no_csv: bool,
    **options: Any,
) -> None:
    """What bleach leaves: colours down, touches and strengths across; and a CSV of it all.

    Each cell has the predicted colour, its value before and after, the ghost in words and a band.
    With --curve "Black 1 + water 4" the course of one touch on that mix is plotted instead.
    """
    from glaze.materials.bleach import CAUTION_LINE, Bleach, tool_named
    from glaze.materials.room import Room
    from glaze.sheet.lift import Touches

    csv_path = None if no_csv or curve else _csv_path(csv_file, options["output"])
    table, layout = table_and_layout(options)
    table = replace(table, bleach=Bleach(percent, age_months=age), room=Room(room))
    plan = Touches(minutes=minutes, tool=tool_named(tool).name)
    wanted = names(strengths) or []
    if curve is not None:
        from glaze.charts.content.lift_curve import lift_curve, plan_curves

        curves = plan_curves(table, curve, wanted, plan)
        _write(lift_curve(curves, layout), options, "lift curve", CAUTION_LINE, None, "")
        return
    from glaze.charts.content.lift_rows import csv_text, plan_lift
    from glaze.charts.sheets.lift_sheet import lift_chart

    over = None if shadow.strip().lower() == "none" else shadow
    chart = plan_lift(table, wanted, touches, over, plan, extras)
    text = csv_text(chart) if csv_path else ""
    _write(lift_chart(chart, layout), options, "lift", CAUTION_LINE, csv_path, text)


def _csv_path(given: str | None, output: str) -> Path:
    """Where the figures go: beside the chart unless told otherwise."""
    from glaze.errors import InputError

    path = Path(given) if given else Path(output).with_suffix(".csv")
    if path.suffix.lower() != ".csv" or path.is_dir() or not path.parent.is_dir():
        raise InputError(f'"{path}" can\'t hold the figures; give a .csv in a folder that exists.')
    return path


def _write(
    pages: Any, options: dict[str, Any], what: str, caution: str, path: Path | None, text: str
) -> None:
    """Write the pages and the figures, and say so."""
    from glaze.cli.chart_commands import write
    from glaze.picture.writing import write_whole

    notes = [caution]
    if path is not None:
        write_whole(path, text.encode())
        notes = [f"{path}: the same in figures.", caution]
    write(pages, options, what, notes)
