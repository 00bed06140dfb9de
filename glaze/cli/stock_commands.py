"""Commands that list what may lie on the table: inks and papers."""

from __future__ import annotations

from typing import Any

import click

from glaze.cli.show import VALUE_NOTE, json_option, tell, tell_json

palette_option = click.option(
    "--palette", "palette_name", default=None, help="Built-in palette, or your own inks.toml."
)


@click.command()
@palette_option
@click.option("--paper", "paper_name", default="white cartridge", show_default=True)
@click.option("-o", "--output", default=None, help="Also write the swatches as a .png picture.")
@json_option
def inks(palette_name: str | None, paper_name: str, output: str | None, as_json: bool) -> None:
    """List the inks of the palettes: what is in them and how they look on paper.

    Each ink is shown neat and at 1 part + 4 parts water, as it dries on the paper.
    """
    from glaze.charts.sheets.stock_sheet import ink_rows, write_swatch_rows
    from glaze.materials.bleach import CAUTION_LINE
    from glaze.materials.ink import load_palette, palette_names

    palettes = [load_palette(n) for n in ([palette_name] if palette_name else palette_names())]
    rows = [row for palette in palettes for row in ink_rows(palette, paper_name)]
    if output:
        write_swatch_rows(rows, output, f"Inks on {paper_name} paper")
    if as_json:
        tell_json({"paper": paper_name, "inks": [row.as_dict() for row in rows]})
        return
    for palette in palettes:
        tell(f"\n{palette.name}: {palette.note}")
        for row in (row for row in rows if row.group == palette.name):
            tell(f"  {_swatches(row.rgb8)}  {row.key} {row.name:<18} {row.text}")
    tell(f"\nEach ink neat, then 1 part + 4 parts water, on {paper_name} paper. {VALUE_NOTE}")
    tell(CAUTION_LINE)


@click.command()
@click.option("-o", "--output", default=None, help="Also write the swatches as a .png picture.")
@json_option
def papers(output: str | None, as_json: bool) -> None:
    """List the papers: bare, and as strong bleach leaves them."""
    from glaze.charts.sheets.stock_sheet import paper_rows, write_swatch_rows
    from glaze.materials.bleach import CAUTION_LINE

    rows = paper_rows()
    if output:
        write_swatch_rows(rows, output, "Papers, bare and under bleach")
    if as_json:
        tell_json({"papers": [row.as_dict() for row in rows]})
        return
    for row in rows:
        tell(f"  {_swatches(row.rgb8)}  {row.name:<20} {row.text}")
    tell(f"\nEach paper bare, then as bleach leaves it. {VALUE_NOTE}")
    tell(CAUTION_LINE)


def _swatches(colours: Any) -> str:
    """Blocks of colour for a terminal; click takes them out where the output is no terminal."""
    return "".join(click.style("    ", bg=(int(r), int(g), int(b))) for r, g, b in colours)
