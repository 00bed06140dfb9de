"""Commands that answer a painter's questions on mixes and glazes: mix, name, shadow, room."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from glaze.cli.show import VALUE_NOTE, json_option, tell, tell_json
from glaze.cli.table_options import table_options, with_table

if TYPE_CHECKING:
    from glaze.patch.band import Band
    from glaze.planning.asked import Asked
    from glaze.planning.recipe.rungs import Strength
    from glaze.planning.recipe.shadow import Shadow


@click.command()
@click.argument("colour", metavar="COLOUR")
@click.option("--drops", default=12, show_default=True, help="At most so many drops in all.")
@click.option("--inks", "most_inks", default=3, show_default=True, help="At most so many inks.")
@click.option("--only", default=None, help="Bottles allowed, as Blue,Yellow.")
@with_table
@json_option
def mix(
    asked: Asked,
    colour: str,
    drops: int,
    most_inks: int,
    only: str | None,
    as_json: bool,
) -> None:
    """Find the whole-drop recipes that make COLOUR in one wash.

    COLOUR is a hex code ("#2f6f6a"), L,a,b ("42,-21,-3"), Munsell notation ("5BG 4/4", "N 6") or a
    point of a picture in pixels ("photo.png@120,340"). Every recipe is tried.
    """
    from glaze.patch.band import promise_of
    from glaze.planning.recipe.match import match_colour
    from glaze.planning.recipe.wanted import wanted_colour

    allowed = [name.strip() for name in only.split(",")] if only is not None else None
    answer = match_colour(wanted_colour(colour), asked.table, drops, most_inks, allowed)
    if as_json:
        tell_json(answer.as_dict())
        return
    tell(f"{colour} is {answer.wanted.notation}. {answer.note}\n")
    for match in answer.recipes:
        tell(
            f"  {_block(match.lab)}  {match.mix.recipe.text:<36} {_parts(match.mix):<26} "
            f"{match.notation:<13} {match.de00:4.1f} off"
        )
    best = answer.best
    tell(
        "\n(Off: CIEDE2000 from the wanted colour; under 2 is hardly seen. Before it: Munsell hue, "
        "value/chroma.)"
    )
    tell(f"The first: {best.band.text}. {'; '.join(best.mix.notes)}".rstrip())
    simpler = next(iter(answer.recipes[1:]), None)
    if simpler is not None:
        more = simpler.de00 - best.de00
        tell(f"Next simpler: {simpler.mix.recipe.text}, {more:.1f} further off.")
    tell(promise_of([best.band]))
    tell(VALUE_NOTE)


def _block(lab: Any) -> str:
    """A block of colour (CIELAB, D65) for a terminal; click takes it out elsewhere."""
    from glaze.physics.colour import D65_XYZ, map_into_gamut, rgb_from_xyz, xyz_from_lab
    from glaze.picture.file import encode

    rgb = encode(map_into_gamut(rgb_from_xyz(xyz_from_lab([[lab]], D65_XYZ)))[0])[0, 0]
    red, green, blue = (int(v) for v in rgb)
    return click.style("    ", bg=(red, green, blue))


def _parts(mixed: Any) -> str:
    return str(mixed.parts)


@click.command()
@click.argument("ink", metavar="INK")
@click.option("--of", "inks_file", default=None, help="The file or palette INK stands in.")
@click.option("--drops", default=12, show_default=True, help="At most so many drops in all.")
@table_options
@json_option
def name(
    ink: str,
    inks_file: str | None,
    drops: int,
    scene: str | None,
    palette: str | None,
    paper: str | None,
    light: str | None,
    dropper: str | None,
    as_json: bool,
) -> None:
    """Say which mix the bottle INK is close to, neat and thinned."""
    from glaze.materials.ink import load_palette
    from glaze.planning.asked import PALETTE, asked_of
    from glaze.planning.recipe.naming import beside, name_ink

    home = load_palette(inks_file or palette or PALETTE)
    found = home.ink(ink)
    base = asked_of(scene, palette, paper, light, dropper)
    bottles = [one.name for one in base.table.palette.bottles]
    likeness = name_ink(found, beside(base.table, home, found.name), drops, bottles)
    if as_json:
        tell_json(likeness.as_dict())
        return
    tell(likeness.note)
    for recipe, off in likeness.recipes:
        tell(f"  {recipe.text:<36} {off:4.1f} off")


@click.command()
@click.argument("hues", metavar="HUE...", nargs=-1, required=True)
@click.option("--value", "to_value", type=float, default=None, help="Value it is to have, 0 to 10.")
@click.option("--darker", type=float, default=None, help="By so many value steps.")
@click.option("--ladder", type=int, default=None, help="Instead: a ladder of so many rungs.")
@click.option("--ink", default="Black", show_default=True, help="The dark ink, or a mix.")
@with_table
@json_option
def shadow(
    asked: Asked,
    hues: tuple[str, ...],
    to_value: float | None,
    darker: float | None,
    ladder: int | None,
    ink: str,
    as_json: bool,
) -> None:
    """Find the dilution of black that gives a shadow on HUE.

    HUE is "paper", an ink, a recipe, "Red 1 over Yellow 1", or with --scene one of its wells or
    regions. Several hues with --darker get a dilution each, so that their shadows are even.
    """
    found = [asked.hue(text) for text in hues]
    if ladder is not None:
        _tell_ladder(asked, found[0], ladder, ink, as_json)
    elif len(found) > 1 and darker is not None:
        _tell_even(asked, found, darker, ink, as_json)
    else:
        from glaze.planning.recipe.shadow import shadow as find

        shadows = [
            find(asked.table, hue, to_value=to_value, darker=darker, ink=ink) for hue in found
        ]
        if as_json:
            rows = [one.as_dict() for one in shadows]
            tell_json(rows[0] if len(rows) == 1 else {"shadows": rows})
            return
        for one in shadows:
            _tell_shadow(one)
        _tell_promise([one.band for one in shadows])


def _tell_shadow(one: Shadow) -> None:
    """A shadow in three lines."""
    tell(f"{one.hue}, value {one.value_before:.1f}: {one.ink}, {one.parts}.")
    tell(f"  {one.munsell_before} becomes {one.munsell}; {one.drift}. {one.band.text}")
    if one.coats:
        measured = "in drops" if one.dilution.in_drops else "measured"
        tell(f"  {measured}: {one.dilution.text}, value {one.recipe_value:.1f}")
    if one.note:
        tell(f"  {one.note}")


def _tell_promise(bands: list[Band]) -> None:
    from glaze.patch.band import promise_of

    tell(promise_of(bands))
    tell(VALUE_NOTE)


def _tell_even(asked: Asked, found: list[Any], darker: float, ink: str, as_json: bool) -> None:
    from glaze.planning.recipe.shadow import even_shadows

    even = even_shadows(asked.table, found, darker, ink)
    if as_json:
        tell_json(even.as_dict())
        return
    tell(f"Each {darker:g} value steps darker:")
    for one, drop in zip(even.shadows, even.drops_with_one, strict=True):
        drops = f"  ({one.dilution.text})" if one.coats else ""
        tell(
            f"  {one.hue:<24} {one.value_before:.1f} to {one.value:.1f}  {one.parts}{drops}"
            f"   one wash for all: {drop:.1f} darker"
        )
    tell(even.note)
    _tell_promise([one.band for one in even.shadows])


def _tell_ladder(asked: Asked, hue: Any, rungs: int, ink: str, as_json: bool) -> None:
    from glaze.planning.recipe.rungs import ladders

    both = ladders(asked.table, hue, rungs, ink)
    if as_json:
        tell_json(both.as_dict())
        return
    for title, row in (("Even values", both.even), ("Doubled water", both.doubling)):
        tell(f"{title}, {ink} on {both.hue}:")
        for rung in row:
            _tell_rung(rung)
    tell(VALUE_NOTE)


def _tell_rung(rung: Strength) -> None:
    dilution = rung.dilution
    tell(f"  value {rung.value:.1f}  {dilution.words:<26} {dilution.text}".rstrip())


@click.command()
@click.argument("hue")
@click.option(
    "--glaze",
    "glazes",
    multiple=True,
    default=["Black 1 part + water 8 parts"],
    show_default=True,
    help="A glaze; once for each.",
)
@with_table
@json_option
def room(asked: Asked, hue: str, glazes: tuple[str, ...], as_json: bool) -> None:
    """Show value and chroma after each glaze on HUE, when it turns to mud, and the room left."""
    from glaze.planning.looks.mud import room as find

    found = find(asked.table, asked.hue(hue), glazes)
    if as_json:
        tell_json(found.as_dict())
        return
    for row, text in zip(found.rows, (hue, *glazes), strict=True):
        turned = row.reads_as_neutral and not found.rows[0].reads_as_neutral
        grey = "  reads as neutral" if turned else ""
        tell(f"  {text:<30} {row.munsell:<13} {row.words:<18} {row.band.text}{grey}")
    tell(found.note)
    tell(VALUE_NOTE)
