"""Commands that answer a painter's questions on mixes and glazes: mix, name, room."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import click

from glaze.cli import completing
from glaze.cli.screen import block, columns
from glaze.cli.show import VALUE_NOTE, Answer, answers, names
from glaze.cli.table_options import with_table

if TYPE_CHECKING:
    from glaze.planning.asked import Asked
    from glaze.planning.looks.mud import RoomLeft
    from glaze.planning.recipe.match import Answer as Recipes


@click.command()
@click.argument("colour", metavar="COLOUR")
@click.option("--drops", default=12, show_default=True, help="Ink drops to share out, at most.")
@click.option("--inks", "most_inks", default=3, show_default=True, help="At most so many inks.")
@click.option("--only", default=None, help="Bottles allowed, as Blue,Yellow.")
@with_table
@answers
def mix(asked: Asked, colour: str, drops: int, most_inks: int, only: str | None) -> Answer:
    """Find the drops of ink that make COLOUR, and the water to let them down with.

    COLOUR is a name ("teal", "deep brown"), a hex code ("#2f6f6a"), L,a,b ("42,-21,-3"), Munsell
    notation ("5BG 4/4", "N 6") or a point of a picture in pixels ("photo.png@120,340").

    All proportions are tried, at any strength from two coats to 1 part + 60 parts water. What is
    out of reach is matched in hue first, then in value, then in chroma.
    """
    from glaze.planning.recipe.match import match_colour
    from glaze.planning.recipe.wanted import wanted_colour

    found = match_colour(wanted_colour(colour), asked.table, drops, most_inks, names(only))
    return found.as_dict, _recipe_lines(colour, found)


def _recipe_lines(colour: str, found: Recipes) -> Iterator[str]:
    from glaze.materials.parts_told import NEAT
    from glaze.patch.band import promise_of

    yield f"{colour} is {found.wanted.notation}. {found.note}\n"
    rows = [
        (block(m.rgb8), m.proportions, m.parts, m.notation, f"{m.de00:4.1f} off")
        for m in found.recipes
    ]
    for match, line in zip(found.recipes, columns(rows), strict=True):
        yield line
        if match.dilution.parts_water >= NEAT:
            yield f"      in drops: {match.dilution.text}"
    yield (
        "\n(Off: CIEDE2000 from the wanted colour; under 2 is hardly seen. Before it: Munsell hue, "
        "value/chroma.)"
    )
    best, *others = found.recipes
    yield f"The first: {best.band.text}."
    for simpler in others[:1]:
        more = simpler.de00 - best.de00
        # what is out of reach keeps its hue and value, though another were nearer in all
        apart = (
            f"{more:.1f} further off" if more >= 0 else f"{-more:.1f} nearer, its hue or value not"
        )
        yield f"Next simpler: {simpler.proportions}, {apart}."
    yield promise_of([best.band])
    yield VALUE_NOTE


@click.command()
@click.argument("ink", metavar="INK", shell_complete=completing.inks)
@click.option("--of", "inks_file", default=None, help="The file or palette INK stands in.")
@click.option("--drops", default=12, show_default=True, help="At most so many drops in all.")
@with_table
@answers
def name(asked: Asked, ink: str, inks_file: str | None, drops: int) -> Answer:
    """Say which mix INK, a bottle or a mix of this palette, is close to, neat and thinned."""
    from glaze.materials.ink import find_name, load_palette
    from glaze.planning.recipe.naming import beside, mix_text, name_ink

    table = asked.table
    home = load_palette(inks_file) if inks_file else table.palette
    bottles = [one.name for one in table.palette.bottles]
    if inks_file is None and find_name(ink, home.inks) is None:
        likeness = name_ink(table.mix(ink), table, drops, bottles)
    else:
        found = home.ink(ink)
        likeness = name_ink(found, beside(table, home, found.name), drops, bottles)
    rows = [
        (block(*chips), mix_text(dilution), f"{off:4.1f} off")
        for (dilution, off), chips in zip(likeness.mixes, likeness.chips, strict=True)
    ]
    return likeness.as_dict, [likeness.note, *columns(rows)]


@click.command()
@click.argument("hue", shell_complete=completing.hues)
@click.option(
    "--glaze",
    "glazes",
    multiple=True,
    default=["Black 1 part + water 8 parts"],
    show_default=True,
    help="A glaze; once for each.",
)
@with_table
@answers
def room(asked: Asked, hue: str, glazes: tuple[str, ...]) -> Answer:
    """Show value and chroma after each glaze on HUE, when it turns to mud, and the room left.

    HUE is a bottle, a mix or washes over each other.
    """
    from glaze.planning.looks.mud import room as find

    found = find(asked.table, asked.hue(hue), glazes)
    return found.as_dict, _room_lines(found, (hue, *glazes))


def _room_lines(found: RoomLeft, laid: tuple[str, ...]) -> Iterator[str]:
    rows = []
    for row, text in zip(found.rows, laid, strict=True):
        turned = row.reads_as_neutral and not found.rows[0].reads_as_neutral
        grey = "reads as neutral" if turned else ""
        look = row.look
        rows.append((block(look.rgb8), text, look.munsell, look.words, row.band.text, grey))
    yield from columns(rows)
    yield found.note
    yield VALUE_NOTE
