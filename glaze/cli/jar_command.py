"""`glaze jar`: a mix in quantity, with a trial first and a label for the jar."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from typing import TYPE_CHECKING

import click

from glaze.cli import completing
from glaze.cli.look_commands import states_told
from glaze.cli.printing import sheet_options, sheets_written, to_print
from glaze.cli.screen import block, columns
from glaze.cli.show import VALUE_NOTE, Answer, answers
from glaze.cli.table_options import with_table

if TYPE_CHECKING:
    from glaze.charts.sheets.parts import Layout
    from glaze.planning.asked import Asked
    from glaze.planning.recipe.jar import Jar, JarFilling


@click.command()
@click.argument("mix", shell_complete=completing.hues)
@click.option("--ml", type=float, default=30.0, show_default=True, help="That the jar holds.")
@click.option("--marks", type=float, default=0.5, show_default=True, help="Of your measure, ml.")
@click.option("--name", default="", help="For the label; the recipe if not given.")
@with_table
@partial(sheet_options, turned=False)
@answers
def jar(
    asked: Asked,
    mix: str,
    ml: float,
    marks: float,
    name: str,
    output: str | None,
    layout: Layout,
    dpi: float,
) -> Answer:
    """Fill a jar with MIX, a recipe or the name of a colour: what to measure, and a trial first.

    With -o also a page with a label to cut out and the trial strip to paint.
    """
    from glaze.charts.sheets.jar_sheet import jar_sheets
    from glaze.planning.recipe.jar import fill_jar
    from glaze.planning.recipe.match import mix_or_match

    table = asked.table
    chosen, told = mix_or_match(mix, table)
    found = fill_jar(table, chosen, ml, name or (mix if told else ""), marks)
    files = sheets_written(jar_sheets(table, found, layout) if output else [], output, dpi)
    return {**found.as_dict(), "files": files}, [*to_print(files), *told, *_jar_lines(found)]


def _jar_lines(found: Jar) -> Iterator[str]:
    from glaze.materials.bleach import CAUTION_LINE
    from glaze.patch.band import promise_of

    look = found.look
    yield f"{block(look.rgb8)}{found.name}: {look.munsell}, {look.words}, {found.mix.parts}"
    yield from _filling_lines("A tenth first", found.tenth)
    yield from _filling_lines("Then the jar", found.whole)
    yield "Strip of the tenth:"
    yield from columns(states_told((*found.strip, found.lifted)))
    yield from found.habits
    yield promise_of([state.band for state in found.strip if state.band])
    yield CAUTION_LINE
    yield VALUE_NOTE


def _filling_lines(title: str, filling: JarFilling) -> Iterator[str]:
    yield f"{title}, {filling.ml:g} ml: {filling.text}"
    yield from columns(
        [
            (m.liquid, f"{m.ml:.2f} ml", f"to the mark {m.marks_ml:g} ml", f"{m.drops} drops")
            for m in filling.measures
        ]
    )
    yield (
        f"  rounding costs {filling.off:.1f} so, {filling.off_marks:.1f} by marks alone, "
        f"{filling.off_drops:.1f} by drops alone (CIEDE2000)"
    )
