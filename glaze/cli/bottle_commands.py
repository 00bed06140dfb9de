"""`glaze bottles ...`: what to ask of the bottles one has, and of those one might buy."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import wraps
from typing import TYPE_CHECKING, Any

import click

from glaze.cli import completing
from glaze.cli.group import Shelf
from glaze.cli.look_commands import states_told
from glaze.cli.printing import sheet_options, sheets_written, to_print
from glaze.cli.screen import block, columns
from glaze.cli.show import VALUE_NOTE, Answer, answers, names
from glaze.cli.table_options import with_table

if TYPE_CHECKING:
    from glaze.charts.sheets.parts import Layout
    from glaze.patch.table import Table
    from glaze.planning.bottles.choose import Chosen

BOTTLES = {
    "nearest": ("bottle_commands:nearest", "Which of your bottles is nearest to a colour."),
    "mixable": ("bottle_commands:mixable", "Which bottles are a mix of others, and its drops."),
    "lack": ("bottle_commands:lack", "What your bottles don't reach, and which would help."),
    "choose": ("bottle_commands:choose", "Which few to buy out of a list."),
    "beside": ("bottle_commands:beside", "Two bottles side by side: undertone, ghost, fringe."),
}


@click.group(cls=Shelf, kept=BOTTLES, kind="question")
def bottles() -> None:
    """Ask about the bottles you have, and those you might buy.

    Yours are those of --palette, a built-in one or your own inks.toml; --and adds another file's.
    """


def with_bottles(command: Callable[..., Any]) -> Callable[..., Any]:
    """The table as options, and the bottles of another file on it; handed over as its `table`."""

    @wraps(command)
    def joined_on(*given: Any, asked: Any, other: str | None, **options: Any) -> Any:
        return command(*given, table=_with_other(asked.table, other), **options)

    told = "A palette or file whose bottles stand beside yours."
    return with_table(click.option("--and", "other", default=None, help=told)(joined_on))


def _with_other(table: Table, other: str | None) -> Table:
    from glaze.materials.ink import joined, load_palette
    from glaze.patch.table import table_of

    if other is None:
        return table
    palette = joined(table.palette, load_palette(other))
    fresh = table_of(palette, table.paper, table.light, dropper=table.dropper)
    return replace(fresh, bleach=table.bleach, room=table.room)


@click.command()
@click.argument("colour")
@click.option("--most", default=5, show_default=True, help="Bottles to name, at most.")
@with_bottles
@answers
def nearest(table: Table, colour: str, most: int) -> Answer:
    """Say which of your bottles comes nearest to COLOUR, alone and with water.

    COLOUR is read as by glaze mix.
    """
    from glaze.patch.band import promise_of
    from glaze.planning.bottles.nearest import nearest_bottles
    from glaze.planning.recipe.wanted import wanted_colour

    found = nearest_bottles(wanted_colour(colour), table, most)
    rows = [
        (block(m.rgb8), next(iter(m.inks.drops)), m.parts, m.notation, f"{m.de00:4.1f} off")
        for m in found.bottles
    ]
    head = f"{colour} is {found.wanted.notation}. {found.note}\n"
    notes = [promise_of([m.band for m in found.bottles[:1]]), VALUE_NOTE]
    return found.as_dict, [head, *columns(rows), *notes]


@click.command()
@with_bottles
@answers
def mixable(table: Table) -> Answer:
    """Say which bottles are a mix of others, with its drops: those you can do without."""
    from glaze.cli.show import progress
    from glaze.planning.bottles.nearest import mixable_bottles
    from glaze.planning.recipe.naming import mix_text

    with progress("Mixing each bottle from the others") as share:
        found = mixable_bottles(table, share)
    rows = []
    for one in found:
        dilution, off = one.mixes[0]
        drops = dilution.text if dilution.text != dilution.mix.recipe.text else ""
        told = f"{mix_text(dilution)} ({drops})" if drops else mix_text(dilution)
        rows.append((block(*one.chips[0]), one.ink, f"{off:4.1f} off", told))
    note = (
        "Off: CIEDE2000, neat and thinned; under 2 they look alike. Bottles further off than 10 "
        "are no mix of the others."
    )
    return {"bottles": [one.as_dict() for one in found], "note": note}, [*columns(rows), note]


def chosen_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """What is wished of the bottles to buy."""
    for option in (
        click.option("--values", default="all", show_default=True, help="light, middle, dark."),
        click.option("--bleach", default="any", show_default=True, help="lifts or stays."),
    ):
        command = option(command)
    return command


@click.command()
@click.argument("count", type=int, default=4)
@click.option("--have", default=None, help="Bottles of the list you have, as Blue,Black.")
@chosen_options
@with_bottles
@answers
def choose(table: Table, count: int, have: str | None, values: str, bleach: str) -> Answer:
    """Say which COUNT bottles of a list reach most colours together.

    The list is the palette's: give a shop's as --palette list.toml.
    """
    from glaze.planning.bottles.choose import choose_bottles

    found = choose_bottles(table, count, names(have) or (), values, bleach)
    return found.as_dict, _chosen_lines(found)


def _chosen_lines(found: Chosen) -> Iterator[str]:
    from glaze.materials.bleach import CAUTION_LINE

    rows = []
    for name, look in found.bottles.items():
        lost = f"{100 * found.without[name]:.0f} % less without it"
        rows.append((block(look.rgb8), name, look.munsell, look.words, lost))
    yield from columns(rows)
    yield found.note
    yield CAUTION_LINE


@click.command()
@click.option("--count", default=1, show_default=True, help="Bottles to add, at most 8.")
@click.option("--from", "shop", default=None, help="List to add from; else any single dye.")
@chosen_options
@with_table
@answers
def lack(asked: Any, count: int, shop: str | None, values: str, bleach: str) -> Answer:
    """Say which hues your bottles reach only dully, and which bottle would add most."""
    from glaze.planning.bottles.choose import choose_bottles
    from glaze.planning.bottles.gamut import plan_gamut
    from glaze.planning.bottles.gamut_words import told_of, with_single_dyes

    table = asked.table
    gamut = plan_gamut(table)
    mine = [ink.name for ink in table.palette.bottles]
    wider = _with_other(table, shop) if shop else with_single_dyes(gamut)[0]
    found = choose_bottles(wider, count, mine, values, bleach)
    more = 100 * (found.reach["all"] / found.reach_before["all"] - 1)
    told = [*told_of(gamut, lift=False)[1:2], f"These reach {more:.0f} % more than yours alone:"]
    return {**found.as_dict(), "lack": told[0]}, [*told, *_chosen_lines(found)]


@click.command()
@click.argument("one", shell_complete=completing.inks)
@click.argument("other_one", metavar="OTHER", shell_complete=completing.inks)
@with_bottles
@sheet_options
@answers
def beside(
    table: Table, one: str, other_one: str, output: str | None, layout: Layout, dpi: float
) -> Answer:
    """Lay two bottles side by side, as text and with -o as a sheet.

    Undertone, strength, fringe, what bleach and water leave, and keeping.
    """
    from glaze.charts.sheets.two_bottles_sheet import two_bottles_sheets
    from glaze.materials.bleach import CAUTION_LINE
    from glaze.planning.bottles.side_by_side import side_by_side

    found = side_by_side(table, one, other_one)
    pages = two_bottles_sheets(table, found, layout) if output else []
    files = sheets_written(pages, output, dpi)
    each = [(n, s) for pair in found.pairs for n, s in zip(found.names, pair.both, strict=True)]
    rows = columns(states_told(replace(state, state=name) for name, state in each))
    lines = [
        line
        for pair in found.pairs
        for line in (f"{pair.state}: {pair.de00:.0f} off", next(rows), next(rows))
    ]
    notes = ["Off: CIEDE2000 of the two; under 2 is hardly seen.", CAUTION_LINE, VALUE_NOTE]
    return {**found.as_dict(), "files": files}, [*to_print(files), *lines, *found.told, *notes]
