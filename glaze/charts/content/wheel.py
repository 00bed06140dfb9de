"""The colour wheel: what goes into each segment, and what it looks like plain, shadowed, lifted.

Three primaries stand on the wheel a third apart. Between two of them the segments are mixed from
both, by equal steps of drops or by equal steps of the hue that is seen. Inside lie the same hues
under one shadow wash, and the ghosts that bleach leaves of them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from glaze.charts.content.between import drop_steps, hue_steps
from glaze.charts.content.primaries import order_primaries
from glaze.errors import InputError, unknown
from glaze.materials.bleach import Bleach
from glaze.materials.mix import Mix, diluted, mix_recipe
from glaze.materials.parts_told import parts_of, parts_words
from glaze.materials.recipe import Recipe
from glaze.patch.patches import bleach_patches, glaze
from glaze.patch.seen import Look, looks_of
from glaze.patch.table import Table
from glaze.patch.washes import lay_first, refuse_water
from glaze.sheet.lift import Touches
from glaze.sheet.state import Sheet

FEWEST, MOST = 6, 72
STEPS_BY = ("drops", "hue")


@dataclass(frozen=True)
class Segment:
    """One segment.

    number : from 1, clockwise, 1 at the top. middle_degrees : clockwise from the top.
    drops : whole drops by ink.
    hue : the wash alone; shadowed : under the shadow wash; ghost, shadow_ghost : what one touch
    leaves of either.
    """

    number: int
    middle_degrees: float
    drops: Mapping[str, int]
    hue: Look
    shadowed: Look | None = None
    ghost: Look | None = None
    shadow_ghost: Look | None = None

    @property
    def recipe(self) -> str:
        """As it is mixed: "Red 4 + Yellow 2"."""
        return Recipe(self.drops).text

    def short(self, keys: Mapping[str, str]) -> str:
        """By key letters: "R4 Y2"."""
        return " ".join(f"{keys[name]}{count}" for name, count in self.drops.items())

    def as_dict(self) -> dict[str, Any]:
        """For JSON: its recipe, and each ring's colour."""
        rings = {
            "hue": self.hue,
            "shadow": self.shadowed,
            "lifted": self.ghost,
            "shadow_lifted": self.shadow_ghost,
        }
        seen = {name: look.as_dict() | {"screen": look.hex} for name, look in rings.items() if look}
        return {"number": self.number, "recipe": self.recipe, "drops": dict(self.drops), **seen}

    @property
    def value_drop(self) -> float:
        """By how many value steps the shadow wash darkens it."""
        return self.hue.value - self.shadowed.value if self.shadowed else 0.0


@dataclass(frozen=True, eq=False)
class Wheel:
    """A wheel ready to be drawn.

    primaries : in the order of the wheel. by : "drops" or "hue".
    shadow, shadow_words : the shadow wash of the inner ring and its strength in words, or None.
    bleach_words : strength of the circle of bleach, or "".
    stocks : stock mixes that recipes call for, in drops. notes : what the painter should know.
    """

    table: Table
    primaries: tuple[str, str, str]
    by: str
    segments: tuple[Segment, ...]
    shadow: Mix | None = None
    shadow_name: str = ""
    shadow_words: str = ""
    bleach_words: str = ""
    stocks: Mapping[str, Mapping[str, int]] = field(default_factory=dict)
    notes: tuple[str, ...] = ()

    def mix(self, segment: Segment) -> Mix:
        """What a segment's recipe mixes to."""
        wells = wells_of(self.table, self.stocks)
        return mix_recipe(Recipe(segment.drops), self.table.palette, wells)

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "primaries": list(self.primaries),
            "by": self.by,
            "shadow": f"{self.shadow_name}, {self.shadow_words}" if self.shadow else None,
            "bleach": self.bleach_words or None,
            "stock_mixes": {name: dict(drops) for name, drops in self.stocks.items()},
            "segments": [part.as_dict() for part in self.segments],
        }

    @property
    def step_degrees(self) -> float:
        """Width of a segment [degrees]."""
        return 360.0 / len(self.segments)

    @property
    def keys(self) -> dict[str, str]:
        """Key letter of each ink; of a stock mix two small ones, the main ink first."""
        keys = {name: ink.key for name, ink in self.table.palette.inks.items()}
        for name, drops in self.stocks.items():
            keys[name] = "".join(keys[ink].lower() for ink in drops)
        return keys


def wells_of(table: Table, stocks: Mapping[str, Mapping[str, int]]) -> dict[str, Mix]:
    """Stock mixes, mixed."""
    return {name: mix_recipe(Recipe(drops), table.palette) for name, drops in stocks.items()}


def plan_wheel(
    table: Table,
    segments: int = 18,
    by: str = "drops",
    primaries: Sequence[str] | None = None,
    shadow: str = "Black",
    inner: str | None = "1+8",
    bleach: str | None = None,
) -> Wheel:
    """The wheel of a palette's three primaries.

    Parameters
    ----------
    segments : 6 to 72, in threes
    by : "drops" (equal steps of drops) or "hue" (equal steps of the predicted Munsell hue)
    primaries : names of three inks; those of the palette if None
    shadow, inner : ink of the inner ring's shadow wash and its dilution "1+8"; None for no ring
    bleach : dilution "1+4" of the circle of bleach across the rings; None for no circle
    """
    check_segments(segments)
    if by not in STEPS_BY:
        raise InputError(unknown("way to step", by, STEPS_BY))
    names = order_primaries(table, primaries)
    steps = (drop_steps if by == "drops" else hue_steps)(table, names, segments // 3)
    drops = [count.drops for count in steps.counts]

    def laid() -> Sheet:
        """A sheet for one ring: glazing and bleach change it in place."""
        return lay_drops(table, drops, steps.stocks)

    hues = looks_of(table, laid())
    nothing: Sequence[Look | None] = [None] * len(hues)
    under = ghosts = shadow_ghosts = nothing
    wash = None
    if inner is not None:
        wash = _shadow_wash(table, shadow, inner)
        under = looks_of(table, glaze(table, laid(), wash))
    if bleach is not None:
        plan = Touches(parts_water=parts_of(bleach, "--bleach"))
        ghosts = looks_of(table, bleach_patches(table, laid(), plan))
        if wash is not None:
            sheet = bleach_patches(table, glaze(table, laid(), wash), plan)
            shadow_ghosts = looks_of(table, sheet)
    rows = zip(drops, hues, under, ghosts, shadow_ghosts, strict=True)
    return Wheel(
        table=table,
        primaries=names,
        by=by,
        segments=tuple(Segment(k + 1, 360.0 / len(hues) * k, *row) for k, row in enumerate(rows)),
        shadow=wash,
        shadow_name=table.palette.ink(shadow).name if wash else "",
        shadow_words=parts_words(parts_of(inner)) if inner else "",
        bleach_words=_bleach_words(bleach, table.bleach) if bleach else "",
        stocks=steps.stocks,
        notes=steps.notes,
    )


def _shadow_wash(table: Table, shadow: str, inner: str) -> Mix:
    """The wash of the inner ring; refused if it doesn't show."""
    name = table.palette.ink(shadow).name
    wash = diluted(table.mix(f"{name} 1"), parts_of(inner, "--inner"))
    refuse_water(table, wash, f"{name}, {parts_words(parts_of(inner))}")
    return wash


def _bleach_words(bleach: str, bottle: Bleach) -> str:
    """Strength of the bleach ring's touch in words."""
    return f"{bottle.percent:g}\u2009%, {parts_words(parts_of(bleach))}"


def check_segments(segments: int) -> None:
    """Refuse a number that three primaries can't share."""
    if FEWEST <= segments <= MOST and segments % 3 == 0:
        return
    near = sorted({min(MOST, max(FEWEST, segments // 3 * 3 + shift)) for shift in (0, 3)})
    raise InputError(
        f"{segments} segments can't be shared between three primaries: the number has to divide "
        f"by 3, from {FEWEST} to {MOST}. The nearest: {' or '.join(map(str, near))} "
        "(12, 18, 24 and 36 are usual)."
    )


def lay_drops(
    table: Table,
    recipes: Sequence[Mapping[str, int]],
    stocks: Mapping[str, Mapping[str, int]] | None = None,
) -> Sheet:
    """Bare paper with a wash of each recipe in drops, of bottles or of stock mixes."""
    wells = wells_of(table, stocks or {})
    return lay_first(table, [mix_recipe(Recipe(r), table.palette, wells) for r in recipes])
