"""What bleach leaves of every colour of a palette: the numbers behind `glaze chart lift`."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from glaze import __version__
from glaze.charts.content.wheel import order_primaries, plan_wheel
from glaze.errors import InputError, number_of
from glaze.materials.bleach import CAUTION_LINE
from glaze.materials.mix import Mix, diluted
from glaze.materials.parts_told import parts_of, parts_short, parts_words
from glaze.patch.layers import Laid, Layer, Lifted, standing_of
from glaze.patch.patches import bare_patches, bleach_patches, glaze
from glaze.patch.seen import Look, looks_of
from glaze.patch.table import Table
from glaze.patch.trust import bands_of
from glaze.patch.washes import shadow_ink
from glaze.picture.writable import OURS
from glaze.planning.lift.ghost import ghost_words
from glaze.sheet.lift import Touches
from glaze.sheet.state import Sheet

STRENGTHS = ("neat", "1+4", "1+9", "1+19")
TOUCHES = 3
MOST_TOUCHES, MOST_STRENGTHS = 4, 5
SHADOW = "1+8"
"""In the first line of the figures: an earlier file of them may be replaced, any other not."""


@dataclass(frozen=True, eq=False)
class LiftCell:
    """One colour after so many touches of one strength.

    after : what is left. low, high : band of its value. ghost : in words
    """

    parts_water: float
    touches: int
    after: Look
    low: float
    high: float
    ghost: str


@dataclass(frozen=True, eq=False)
class LiftRow:
    """One colour: its recipe, whether a shadow wash lies over it, and all its cells."""

    recipe: str
    shadowed: bool
    home: Look
    cells: tuple[LiftCell, ...]


@dataclass(frozen=True, eq=False)
class LiftChart:
    """The chart's rows, those in the light first, then the same under the shadow wash.

    strengths : dilutions as written on the command line. shadow : in words, "" for none.
    """

    table: Table
    rows: tuple[LiftRow, ...]
    strengths: tuple[str, ...]
    touches: int
    shadow: str
    plan: Touches
    paper: Look
    standing: str

    @property
    def how_words(self) -> str:
        """How the touches are laid, in a line."""
        minutes = number_of(self.plan.minutes, "minute")
        return (
            f"{self.table.bleach.percent:g} % bleach laid with a {self.plan.tool} on dry ink, "
            f"blotted after {minutes}; each touch is fresh"
        )


def plan_lift(
    table: Table,
    strengths: Sequence[str] = STRENGTHS,
    touches: int = TOUCHES,
    shadow: str | None = SHADOW,
    plan: Touches | None = None,
    extras: bool = False,
) -> LiftChart:
    """Every bottle and secondary of a palette, plain and under a shadow wash, lifted.

    Parameters
    ----------
    strengths : dilutions of the bleach as "neat" or "1+4", one to five
    touches : columns for 1 to so many touches, 1 to 4
    shadow : dilution of the shadow wash of the palette's black; None leaves those rows out
    plan : tool, film and minutes of a touch; its strength and number don't count
    extras : also the bottles a palette keeps beside its own
    """
    _check(strengths, touches)
    plan = plan or Touches()
    recipes = _recipes(table, extras)
    over, shadow_words = _shadow(table, shadow)
    mixes = [[table.mix(recipe)] for recipe in recipes]
    if over is not None:
        # clean water lies where the shadow doesn't: rows that are laid alike are drawn together
        water = table.mix("water 1")
        mixes = [[*row, wash] for wash in (water, over) for row in mixes]
    home = looks_of(table, _dry(table, mixes))
    (paper,) = looks_of(table, bare_patches(table))
    cells: list[list[LiftCell]] = [[] for _ in home]
    for strength in strengths:
        touch = replace(plan, parts_water=parts_of(strength, "--strengths"))
        for case, cell in _lifted(table, mixes, touch, touches, paper, home):
            cells[case].append(cell)
    return LiftChart(
        table=table,
        rows=tuple(
            LiftRow(recipes[i % len(recipes)], i >= len(recipes), home[i], tuple(cells[i]))
            for i in range(len(home))
        ),
        strengths=tuple(strengths),
        touches=touches,
        shadow=shadow_words,
        plan=plan,
        paper=paper,
        standing=standing_of(table),
    )


def _check(strengths: Sequence[str], touches: int) -> None:
    problems = []
    if not 1 <= touches <= MOST_TOUCHES:
        problems.append(f"{touches} touches don't fit the chart; give 1 to {MOST_TOUCHES}.")
    if not 1 <= len(strengths) <= MOST_STRENGTHS:
        problems.append(
            f"{len(strengths)} strengths of bleach don't fit the chart; give 1 to "
            f'{MOST_STRENGTHS}, as "neat, 1+4, 1+9".'
        )
    if problems:
        raise InputError(problems)


def _recipes(table: Table, extras: bool) -> list[str]:
    """Bottles in the palette's order, each secondary after them, then what else is there."""
    palette = table.palette
    own = [f"{ink.name} 1" for ink in palette.bottles]
    try:
        primaries = order_primaries(table)
        mixed = plan_wheel(table, 6, "hue", primaries, inner=None).segments[1::2]
        secondaries = [part.recipe for part in mixed]
    except InputError:
        secondaries = []  # no three inks with a hue of their own: no secondaries either
    others = [f"{name} 1" for name in palette.inks if f"{name} 1" not in own] if extras else []
    return own + secondaries + others


def _shadow(table: Table, shadow: str | None) -> tuple[Mix | None, str]:
    """The shadow wash and its words: the palette's darkest bottle let down."""
    if shadow is None:
        return None, ""
    darkest = shadow_ink(table)
    parts = parts_of(shadow, "--shadow")
    return diluted(table.mix(f"{darkest} 1"), parts), f"{darkest}, {parts_words(parts)}"


def _dry(table: Table, mixes: Sequence[Sequence[Mix]]) -> Sheet:
    """Patches of washes over each other, the lowest first."""
    sheet = bare_patches(table, len(mixes))
    for washes in zip(*mixes, strict=True):
        glaze(table, sheet, washes)
    return sheet


def _lifted(
    table: Table,
    mixes: Sequence[Sequence[Mix]],
    plan: Touches,
    touches: int,
    paper: Look,
    home: Sequence[Look],
) -> Iterator[tuple[int, LiftCell]]:
    """The cells of one strength, touch after touch, each with the number of its row."""
    once = replace(plan, touches=1)
    sheet = _dry(table, mixes)
    lifts: list[Layer] = [Lifted(once)] * touches
    stacks = [[*(Laid(mix) for mix in washes), *lifts] for washes in mixes]
    bands = bands_of(table, stacks, touches)
    for touch in range(touches):
        bleach_patches(table, sheet, once)
        for case, after in enumerate(looks_of(table, sheet)):
            words = ghost_words(after.lab, home[case].lab, paper.lab)
            band = bands[case][touch]
            yield case, LiftCell(plan.parts_water, touch + 1, after, band.low, band.high, words)


CSV_COLUMNS = (
    *("recipe", "shadow_wash", "bleach", "touches", "minutes", "tool"),
    *("value_before", "value_after", "value_low", "value_high", "ghost", "munsell_after"),
    *("L", "a", "b", "srgb_before", "srgb_after", "de00_from_paper", "standing"),
)


def csv_text(chart: LiftChart) -> str:
    """The chart as comma-separated values; lines that start with # say what it rests on."""
    out = io.StringIO()
    table = chart.table
    for line in (
        f"glaze {__version__}{OURS['.csv'][0].decode()}",
        f"palette {table.palette.name}, {table.paper.name} paper, light {table.light.name}",
        chart.how_words,
        "value_low to value_high holds 9 cases of 10 of what isn't known of the lift",
        CAUTION_LINE,
    ):
        out.write(f"# {line}\n")
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(CSV_COLUMNS)
    for row in chart.rows:
        writer.writerows(_csv_row(chart, row, cell) for cell in row.cells)
    return out.getvalue()


def _csv_row(chart: LiftChart, row: LiftRow, cell: LiftCell) -> list[str]:
    from glaze.physics.colour import delta_e_2000

    off = float(delta_e_2000(np.array(cell.after.lab), np.array(chart.paper.lab)))
    return [
        row.recipe,
        chart.shadow if row.shadowed else "",
        parts_short(cell.parts_water),
        str(cell.touches),
        f"{chart.plan.minutes:g}",
        chart.plan.tool,
        *(f"{v:.2f}" for v in (row.home.value, cell.after.value, cell.low, cell.high)),
        cell.ghost,
        cell.after.munsell,
        *(f"{v:.1f}" for v in cell.after.lab),
        *(f"#{r:02x}{g:02x}{b:02x}" for r, g, b in (row.home.rgb8, cell.after.rgb8)),
        f"{off:.1f}",
        chart.standing,
    ]
