"""Commands on how a colour looks at other times: wet, after years of light, under other lights."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING

import click

from glaze.cli import completing
from glaze.cli.screen import block, columns
from glaze.cli.show import VALUE_NOTE, Answer, answers
from glaze.cli.table_options import with_table
from glaze.errors import InputError

if TYPE_CHECKING:
    from glaze.planning.asked import Asked
    from glaze.planning.looks.all_sides import SwatchState
    from glaze.planning.looks.keeping import Keeping


@click.command()
@click.argument("recipe", metavar="MIX", shell_complete=completing.hues)
@click.option("--on", "hue", default="paper", show_default=True, help="What it is laid on, dry.")
@with_table
@answers
def wet(asked: Asked, recipe: str, hue: str) -> Answer:
    """Show MIX in the well, wet on paper, and dry: how much lighter it dries."""
    from glaze.planning.looks.wet import wet_and_dry

    found = wet_and_dry(asked.table, recipe, asked.hue(hue))
    rows = [
        (block(look.rgb8), state, f"value {look.value:.1f}", look.munsell, look.words)
        for state, look in found.looks.items()
    ]
    return found.as_dict, [*columns(rows), found.note, VALUE_NOTE]


def _doses(_context: click.Context, _option: click.Parameter, text: str) -> list[float]:
    """Doses of light [Mlx h] written as 0.3,1,3."""
    try:
        return [float(part) for part in text.split(",")]
    except ValueError:
        raise InputError(f'--mlxh "{text}": numbers in Mlx h, as 0.3,1,3.') from None


@click.command()
@click.argument("hue", shell_complete=completing.hues)
@click.option(
    "--mlxh",
    default="0.3,1,3,10",
    callback=_doses,
    show_default=True,
    help="Doses of light, Mlx h.",
)
@with_table
@answers
def keep(asked: Asked, hue: str, mlxh: list[float]) -> Answer:
    """Show what doses of light leave of HUE: how it keeps on a wall.

    HUE is a bottle, a mix or washes over each other.
    """
    from glaze.planning.looks.keeping import keeping

    found = keeping(asked.table, asked.hue(hue), mlxh)
    return found.as_dict, _keeping_lines(found)


def _keeping_lines(found: Keeping) -> Iterator[str]:
    from glaze.planning.looks.keeping import years_words

    yield from columns([(d, f"blue wool {c:g}, {how}") for d, (c, how) in found.classes.items()])
    rows = [
        (
            *(block(row.look.rgb8), f"after {row.mlx_h:g} Mlx h"),
            f"{years_words(row.years_on_a_wall)} on a wall",
            *(row.look.munsell, row.look.words, f"{row.de00:4.1f} off"),
        )
        for row in found.rows
    ]
    yield from columns(rows)
    yield found.note


@click.command()
@click.argument("hue", shell_complete=completing.hues)
@click.option("--under", default="D65,A,LED-B3", show_default=True, help="Lights to see it under.")
@with_table
@answers
def lights(asked: Asked, hue: str, under: str) -> Answer:
    """Show HUE under daylight, a lamp and an LED.

    HUE is a bottle, a mix or washes over each other. For a whole picture see glaze preview --light.
    """
    from glaze.planning.looks.keeping import under_lights

    rows = under_lights(asked.table, asked.hue(hue), [part.strip() for part in under.split(",")])
    told = [(row, row.look) for row in rows]
    lines = columns(
        [
            (
                *(block(look.rgb8), row.light, f"value {look.value:.1f}"),
                *(look.munsell, look.words, f"{row.de00:4.1f} from daylight"),
            )
            for row, look in told
        ]
    )
    note = f"D65 is daylight, A a filament lamp. From daylight: CIEDE2000. {VALUE_NOTE}"
    return {"hue": hue, "under": [row.as_dict() for row in rows]}, [*lines, note]


@click.command()
@click.argument("hue", shell_complete=completing.hues)
@click.option("--shadow", default="Black", show_default=True, help="Ink of the shadow wash.")
@click.option("-o", "--output", default=None, help="Also write the swatches as a .png picture.")
@with_table
@answers
def swatch(asked: Asked, hue: str, shadow: str, output: str | None) -> Answer:
    """Look at HUE from all sides: dry, wet, a coat more, under a shadow, lifted, after years.

    HUE is a bottle, a mix or washes over each other.
    """
    from glaze.patch.band import promise_of
    from glaze.planning.looks.all_sides import swatch_of

    found = swatch_of(asked.table, asked.hue(hue), shadow)
    files = []
    if output is not None:
        from glaze.charts.sheets.stock_sheet import SwatchRow, write_swatch_rows

        rows = [
            SwatchRow(
                "",
                one.state,
                "",
                f"{one.look.munsell}, {one.look.words}; {one.value_text}",
                (one.look.value,),
                (one.look.rgb8,),
            )
            for one in found.states
        ]
        write_swatch_rows(rows, output, hue)
        files = [output]
    lines = columns(states_told(found.states))
    promise = promise_of([one.band for one in found.states if one.band])
    found_all = {**found.as_dict(), "files": files}
    return found_all, [*files, *lines, promise, *found.notes, VALUE_NOTE]


def states_told(states: Iterable[SwatchState]) -> list[tuple[str, ...]]:
    """A row for each state of a swatch: its colour, what was done, Munsell, words, value."""
    return [
        (block(one.look.rgb8), one.state, one.look.munsell, one.look.words, one.value_text)
        for one in states
    ]
