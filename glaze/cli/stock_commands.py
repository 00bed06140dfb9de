"""Commands that list what may lie on the table: inks and papers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from glaze.cli.screen import block
from glaze.cli.show import VALUE_NOTE, Answer, answers

if TYPE_CHECKING:
    from glaze.charts.sheets.stock_sheet import SwatchRow


@click.command()
@click.option(
    "--palette", "palette_name", default=None, help="Built-in palette, or your own inks.toml."
)
@click.option(
    "--paper", "paper_name", default="white cartridge", show_default=True, help="What they lie on."
)
@click.option("-o", "--output", default=None, help="Also write the swatches as a .png picture.")
@answers
def inks(palette_name: str | None, paper_name: str, output: str | None) -> Answer:
    """List the inks of the palettes: what is in them and how they look on paper.

    Each ink is shown neat and at 1 part + 4 parts water, as it dries on the paper.
    """
    from glaze.charts.sheets.stock_sheet import ink_rows
    from glaze.materials.ink import load_palette, palette_names

    palettes = [load_palette(n) for n in ([palette_name] if palette_name else palette_names())]
    rows = [row for palette in palettes for row in ink_rows(palette, paper_name)]
    lines = []
    for palette in palettes:
        own = [_line(row) for row in rows if row.group == palette.name]
        lines += [f"\n{palette.name}: {palette.note}", *own]
    note = f"\nEach ink neat, then 1 part + 4 parts water, on {paper_name} paper. {VALUE_NOTE}"
    found = _list(rows, "inks", f"Inks on {paper_name} paper", output)
    return {"paper": paper_name, **found, "caution": _caution()}, [*lines, note, _caution()]


@click.command()
@click.option("-o", "--output", default=None, help="Also write the swatches as a .png picture.")
@answers
def papers(output: str | None) -> Answer:
    """List the papers: bare, and as strong bleach leaves them."""
    from glaze.charts.sheets.stock_sheet import paper_rows

    rows = paper_rows()
    note = f"\nEach paper bare, then as bleach leaves it. {VALUE_NOTE}"
    found = _list(rows, "papers", "Papers, bare and under bleach", output)
    return {**found, "caution": _caution()}, [*map(_line, rows), note, _caution()]


def _list(
    rows: Sequence[SwatchRow], what: str, title: str, output: str | None
) -> dict[str, object]:
    """Rows for JSON, and written as a picture if asked for."""
    from glaze.charts.sheets.stock_sheet import write_swatch_rows

    if output:
        write_swatch_rows(rows, output, title)
    return {what: [row.as_dict() for row in rows]}


def _line(row: SwatchRow) -> str:
    key = f"{row.key} {row.name:<18}" if row.group != "papers" else f"{row.name:<20}"
    return f"  {block(*row.rgb8)}{key} {row.text}"


def _caution() -> str:
    from glaze.materials.bleach import CAUTION_LINE

    return CAUTION_LINE
