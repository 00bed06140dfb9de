"""`glaze chart lift`: what bleach leaves of every colour, and how one mix lifts with time."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from glaze.cli.printing import Drawn, chart_of
from glaze.cli.show import names, refuse_idle
from glaze.cli.table_options import bleach_strengths
from glaze.errors import InputError

if TYPE_CHECKING:
    from glaze.charts.sheets.parts import Layout
    from glaze.patch.table import Table


@click.command()
@click.option("--curve", default=None, metavar="RECIPE", help="Plot one mix against time instead.")
@bleach_strengths
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
@chart_of("lift", fill=True)
def lift(
    table: Table,
    layout: Layout,
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
) -> Drawn:
    """What bleach leaves: colours down, touches and strengths across; and a CSV of it all.

    Each cell has the predicted colour, its value before and after, the ghost in words and a band.
    With --curve "Black 1 + water 4" the course of one touch on that mix is plotted instead.
    """
    from glaze.materials.bleach import CAUTION_LINE, Bleach, tool_named
    from glaze.materials.room import Room
    from glaze.picture.writing import write_whole
    from glaze.sheet.lift import Touches

    if curve is not None:
        refuse_idle("touches shadow extras csv_file no_csv", "is of the chart, not of a curve")
        if layout.mode != "predicted":
            raise InputError(f"--{layout.mode} is of the chart; a curve has no swatches to paint.")
    csv_path = None if no_csv or curve else _csv_path(csv_file)
    table = replace(table, bleach=Bleach(percent, age_months=age), room=Room(room))
    plan = Touches(minutes=minutes, tool=tool_named(tool).name)
    wanted = names(strengths) or []
    if curve is not None:
        from glaze.charts.content.lift_curve import lift_curve, plan_curves

        return lift_curve(plan_curves(table, curve, wanted, plan), layout), [CAUTION_LINE]
    from glaze.charts.content.lift_rows import csv_text, plan_lift
    from glaze.charts.sheets.lift_sheet import lift_chart

    over = None if shadow.strip().lower() == "none" else shadow
    chart = plan_lift(table, wanted, touches, over, plan, extras)
    notes = [CAUTION_LINE]
    if csv_path is not None:
        write_whole(csv_path, csv_text(chart).encode(), named=False)
        notes = [f"{csv_path}: the same in figures.", CAUTION_LINE]
    return lift_chart(chart, layout), notes


def _csv_path(given: str | None) -> Path:
    """Where the figures go: beside the chart unless told otherwise."""
    from glaze.picture.writable import check_place

    output = click.get_current_context().params["output"]
    path = Path(given) if given else Path(output).with_suffix(".csv")
    check_place(path, (".csv",), "a file of figures")
    return path
