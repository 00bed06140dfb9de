"""`glaze chart NAME`: the sheets a teacher prints, each at true size."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import click

from glaze.cli.group import Shelf
from glaze.cli.printing import Drawn, chart_of
from glaze.cli.show import caution_lines, names, progress, refuse_idle
from glaze.errors import InputError

if TYPE_CHECKING:
    from glaze.charts.sheets.parts import Layout
    from glaze.patch.table import Table

CHARTS = {
    "wheel": ("chart_commands:wheel", "Colour wheel with rings under a shadow wash and bleach."),
    "ladder": ("chart_commands:ladder", "Ladders of dilution, of shadow over a hue, of coats."),
    "blocks": ("chart_commands:blocks", "Graded blocks from hues to water and to black."),
    "tertiary": ("chart_commands:tertiary", "Lesson: what a black glaze does, and why."),
    "gamut": ("chart_commands:gamut", "What a palette reaches on a paper, and what would add."),
    "fringe": (
        "chart_commands:fringe",
        "What is in an ink: its fringe, and its dyes parted on a strip.",
    ),
    "lift": ("lift_chart_command:lift", "What bleach leaves of every colour, by strength."),
    "swatches": ("calibrate_commands:swatches", "Swatch sheet to paint, scan and read back."),
    "all": ("chart_commands:every", "All of them as a class pack."),
}
"""Each chart's command as module:function and its line in the help, loaded when it is called."""

SHADOW = "Ink of the shadow wash; the darkest bottle if not given."


@click.group(cls=Shelf, kept=CHARTS, kind="chart")
def chart() -> None:
    """Print a chart at true size: as PDF, SVG (in mm) or PNG.

    glaze chart wheel -o wheel.pdf writes an A4 sheet; see glaze chart wheel --help for more.
    """


@click.command()
@click.option("--segments", type=int, default=18, show_default=True, help="6 to 72, in threes.")
@click.option("--by", default="drops", show_default=True, help="Equal steps of drops, or of hue.")
@click.option("--primaries", default=None, help='Three inks, as "Blue, Red, Yellow".')
@click.option("--inner", default="1+8", show_default=True, help="Shadow wash inside, or none.")
@click.option("--shadow", default="Black", show_default=True, help="Ink of the shadow wash.")
@click.option("--bleach", default=None, help="A circle of bleach across the rings, as 1+4.")
@click.option(
    "--percent", type=float, default=5.0, show_default=True, help="Of the bleach, % on its label."
)
@click.option("--across", type=float, default=None, help="Diameter in mm; else what fits.")
@chart_of("wheel", fill=True)
def wheel(
    table: Table,
    layout: Layout,
    segments: int,
    by: str,
    primaries: str | None,
    inner: str,
    shadow: str,
    bleach: str | None,
    percent: float,
    across: float | None,
) -> Drawn:
    """Colour wheel of three primaries, with its recipe key.

    Rings from the outside in: the mixes, and the same under a shadow wash; with --bleach a circle
    across both shows the ghosts that one touch leaves.
    """
    from glaze.charts.content.wheel import plan_wheel
    from glaze.charts.sheets.wheel_sheet import wheel_sheets
    from glaze.materials.bleach import Bleach

    ring = _none(bleach or "none")
    if ring is None:
        refuse_idle("percent", "is for a wheel with bleach (--bleach 1+4)")
    if _none(inner) is None:
        refuse_idle("shadow", "is for a shadow wash inside (--inner 1+8)")
    chosen = names(primaries)
    table = replace(table, bleach=Bleach(percent))
    plan = plan_wheel(table, segments, by, chosen, shadow, _none(inner), ring)
    return wheel_sheets(plan, layout, across), [*plan.notes, *caution_lines(ring)], plan.as_dict()


@click.command()
@click.option(
    "--of", "inks", multiple=True, help='Ink or mix to thin, as Black or "Blue 3 + Red 1".'
)
@click.option(
    "--over", "hues", multiple=True, help="Hue to lay shadow washes over; may be repeated."
)
@click.option(
    "--coats-of",
    "coated",
    multiple=True,
    help='Wash to lay coat upon coat, as "Black 3 + water 14".',
)
@click.option("--coats", type=int, default=None, help="1 to 8; 5 if not given.")
@click.option("--rungs", type=int, default=None, help="2 to 12; 6 if not given.")
@click.option("--spacing", default=None, help="doubling (if not given), or even in value.")
@click.option("--shadow", default=None, help=SHADOW)
@chart_of("ladder", fill=True)
def ladder(
    table: Table,
    layout: Layout,
    inks: tuple[str, ...],
    hues: tuple[str, ...],
    coated: tuple[str, ...],
    coats: int | None,
    rungs: int | None,
    spacing: str | None,
    shadow: str | None,
) -> Drawn:
    """Ladders: what thinning, a shadow wash and coat upon coat do to value.

    Without --of, --over and --coats-of the sheet shows the usual ladders of the palette.
    """
    from glaze.charts.content import ladder as plan
    from glaze.charts.sheets.ladder_sheet import ladder_sheets
    from glaze.patch.washes import shadow_ink

    if (rungs or spacing) and not (inks or hues):
        raise InputError("--rungs and --spacing are for ladders that --of or --over names.")
    if coats is not None and not coated:
        raise InputError("--coats is for a ladder that --coats-of names.")
    if shadow and not hues:
        raise InputError("--shadow is for a ladder that --over names.")
    steps = 6 if rungs is None else rungs, spacing or "doubling"
    dark = shadow or shadow_ink(table)
    found = [plan.dilution_ladder(table, _one(ink), *steps) for ink in inks]
    found += [plan.shadow_ladder(table, _one(hue), *steps, dark) for hue in hues]
    found += [
        plan.glaze_ladder(table, _one(wash), 5 if coats is None else coats) for wash in coated
    ]
    found = found or plan.usual_ladders(table)
    return ladder_sheets(table, found, layout), []


@click.command()
@click.option("--of", "hues", multiple=True, help='A hue in drops, as "Yellow 4 + Red 2".')
@click.option(
    "--kinds",
    default=None,
    help='Of the palette: "primaries, intermediates, secondaries, tertiaries".',
)
@click.option("--shadow", default=None, help=SHADOW)
@click.option("--wet", is_flag=True, help="Hue and black meet wet in one block, beside an empty.")
@click.option("--language", default="en", show_default=True, help="With --wet: en, de, fr or es.")
@chart_of("blocks", fill=True)
def blocks(
    table: Table,
    layout: Layout,
    hues: tuple[str, ...],
    kinds: str | None,
    shadow: str | None,
    wet: bool,
    language: str,
) -> Drawn:
    """Graded blocks: a hue towards water and towards black, with olives, browns and greys named.

    A tertiary here is a secondary under a black glaze. With --wet each hue meets black in one block
    while both shine: what lies at the edges, in the middles, and where they blend.
    """
    if wet:
        refuse_idle("kinds", "is of graded blocks; name a hue to paint wet with --of")
        return _wet_blocks(table, layout, hues, shadow, language)
    refuse_idle("language", "is of blocks painted wet (--wet)")
    from glaze.charts.content.blocks import KINDS, plan_blocks
    from glaze.charts.sheets.blocks_sheet import blocks_sheets

    if hues:
        refuse_idle("kinds", "is of the palette's own hues, not of those that --of names")
    chosen = [_one(hue) for hue in hues] or None
    found = plan_blocks(table, chosen, names(kinds) or KINDS, shadow)
    return blocks_sheets(table, found, layout), []


@click.command()
@click.option("--of", "secondary", default=None, help='A secondary, as "Yellow 3 + Red 3".')
@click.option("--inner", default="1+4", show_default=True, help="Dilution of the shadow wash.")
@click.option("--shadow", default=None, help=SHADOW)
@chart_of("tertiary", fill=True, turned=False)
def tertiary(
    table: Table, layout: Layout, secondary: str | None, inner: str, shadow: str | None
) -> Drawn:
    """A lesson in three pages: why tertiaries come about, an exercise, and its answers.

    A tertiary here is a secondary (two primaries mixed) under a black glaze.
    """
    from glaze.charts.content.tertiary import plan_lesson
    from glaze.charts.sheets.tertiary_sheet import lesson_sheets

    lesson = plan_lesson(table, secondary, inner, shadow)
    return lesson_sheets(lesson, layout), []


@click.command()
@click.option("--and", "other", default=None, help="A second palette to lay over the first.")
@click.option(
    "--inks", default=None, help='Bottles to mix from, as "Blue, Red, Yellow, Neon Pink".'
)
@click.option("--space", default="both", show_default=True, help="munsell, cielab or both.")
@click.option("--bleach", default="1+4", show_default=True, help="Touch to show, or none.")
@chart_of("gamut")
def gamut(
    table: Table, layout: Layout, other: str | None, inks: str | None, space: str, bleach: str
) -> Drawn:
    """What a palette reaches: hue against chroma, and slices of value against chroma.

    Says which hues go dull, and what a fourth, fifth or sixth bottle would add.
    """
    from glaze.charts.sheets.gamut_sheet import gamut_sheets
    from glaze.patch.table import table_of
    from glaze.planning.bottles.gamut import SPACES, plan_gamuts
    from glaze.planning.bottles.gamut_words import bottles_that_add

    if other is not None:
        refuse_idle("bleach", "isn't shown where two palettes lie over each other")
    spaces = SPACES if space.strip().lower() == "both" else (space,)
    touch = _none(bleach)
    found = plan_gamuts(table, spaces, names(inks), touch or "1+4")
    over = []
    if other is not None:
        second = table_of(other, table.paper, table.light, dropper=table.dropper)
        over = plan_gamuts(second, spaces, names(inks))
    shown = touch is not None and not over
    bottles = bottles_that_add(found[0]) if spaces[0] == "munsell" and not over else []
    return gamut_sheets(found, layout, over, shown, bottles), caution_lines(shown)


@click.command()
@click.option("--of", "inks", multiple=True, help='An ink or mix, as "Blue 3 + Yellow 2".')
@chart_of("fringe", fill=True)
def fringe(table: Table, layout: Layout, inks: tuple[str, ...]) -> Drawn:
    """Separation: the fringe at a drying edge, and what is in an ink.

    First the edges, then a strip of paper for each ink at true size: where its dyes come to lie
    when water carries them apart, with room for your own strip. Without --of the sheet shows the
    edges of inks that hold more than one dye, and the strips of the bottles.
    """
    from glaze.charts.sheets.fringe_sheet import fringe_sheets
    from glaze.charts.sheets.strip_sheet import strip_sheets
    from glaze.planning.looks.fringe import plan_fringes
    from glaze.planning.looks.ink_strip import plan_strips

    chosen = [_one(ink) for ink in inks] or None
    edges, strips = plan_fringes(table, chosen), plan_strips(table, chosen)
    pages = [*fringe_sheets(table, edges, layout), *strip_sheets(table, strips, layout)]
    return pages, [], {"strips": [strip.as_dict() for strip in strips]}


@click.command(name="all")
@click.option("--segments", type=int, default=18, show_default=True, help="Of the wheel.")
@click.option("--no-bleach", is_flag=True, help="Without the sheets that plan bleach.")
@chart_of("all")
def every(table: Table, layout: Layout, segments: int, no_bleach: bool) -> Drawn:
    """A class pack: every sheet, to hang up and to paint, with a contents page."""
    from glaze.charts.sheets.pack import class_pack

    with progress("Drawing the class pack") as share:
        pages = class_pack(table, layout, segments, not no_bleach, share)
    return pages, [f"{len(pages)} pages.", *caution_lines(not no_bleach)]


def _wet_blocks(
    table: Table, layout: Layout, hues: tuple[str, ...], shadow: str | None, language: str
) -> Drawn:
    """Blocks painted wet."""
    from glaze.charts.content.lesson_words import lesson_words
    from glaze.charts.content.spoken_table import speaker, spoken_table
    from glaze.charts.content.wet_blocks import plan_wet_blocks
    from glaze.charts.sheets.wet_blocks_sheet import wet_blocks_sheets

    words = lesson_words(language)
    found = plan_wet_blocks(table, [_one(hue) for hue in hues] or None, shadow)
    figures = {"blocks": [block.as_dict() for block in found]}
    shown = [block.called(speaker(table, words)) for block in found]
    return wet_blocks_sheets(spoken_table(table, words), shown, layout, words), [], figures


def _one(recipe: str) -> str:
    """A recipe; the name of an ink alone stands for one drop of it."""
    return recipe if any(letter.isdigit() for letter in recipe) else f"{recipe.strip()} 1"


def _none(text: str) -> str | None:
    """A dilution, or None for the word none."""
    return None if text.strip().lower() == "none" else text
