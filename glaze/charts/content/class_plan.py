"""One class from one question: wheel, nine blocks, ladder and glazes, what they take, how long.

One shadow dilution holds throughout, and the same nine blocks stand on every page.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from glaze.charts.content.ladder import Ladder, dilution_ladder
from glaze.charts.content.tertiary import Lesson, plan_lesson
from glaze.charts.content.wheel import Wheel, plan_wheel
from glaze.errors import InputError
from glaze.materials.bleach import tool_named
from glaze.materials.dilution import Dilution, dilution_of
from glaze.materials.mix import Mix, ml_for_area, recipe_for_ml
from glaze.materials.parts_told import parts_of
from glaze.materials.recipe import WATER
from glaze.patch.seen import Look, looks_of
from glaze.patch.table import Table
from glaze.patch.washes import lay_first, shadow_ink

SEGMENTS = (18, 36)
MOST_PUPILS, MINUTES = 60, (20.0, 480.0)
BLACK_DROPS = (0, 1, 2, 3)
"""Drops of black to six of the hue, field by field."""
WATER_DROPS = (0, 3, 9, 21)
"""Drops of water to three of the hue."""
FIELD_MM2 = 12.0 * 16.0
"""About a field of a block, or a rung."""
WHEEL_MM = 150.0
CIRCLE_MM = 3.0
"""Breadth of the circle of bleach."""
BLEACH_PARTS = "1+4"
DISH_ML = 5.0
"""Least there has to be in a dish to load a brush from (guess)."""
SPARE = 1.25
"""More of each bottle than counted: what is spilt and what stays in droppers (guess)."""
LESSON_MINUTES = {"intro": 10, "blocks": 20, "ladder": 12, "hues": 12, "shadow": 10, "bleach": 10}
A_SEGMENT_MIN, TIDY_MIN = 1.0, 10
"""Minutes; common practice, no source."""
LEFT_OUT = ("ladder", "blocks")
"""What goes where the minutes don't suffice, the least first: nothing else hangs on it."""


@dataclass(frozen=True)
class Block9:
    """One of the nine blocks: its number, its hue, what it is mixed with, its fields.

    way : "black", "water" or "free", which has no fields
    """

    number: int
    hue: str
    way: str
    recipes: tuple[str, ...]
    looks: tuple[Look, ...]


@dataclass(frozen=True, eq=False)
class ClassPlan:
    """All that the lesson's pages show.

    shadow : the one shadow wash. bleach : whether the grown-up demonstrates it
    """

    table: Table
    pupils: int
    minutes: float
    black: str
    shadow: Dilution
    bleach: bool
    wheel: Wheel
    blocks: tuple[Block9, ...]
    ladder: Ladder
    glazes: Lesson

    # --- amounts ---

    def washes(self) -> Iterator[tuple[Mix, float]]:
        """What one pupil mixes, and the area it has to cover [mm2]; without the shadow wash."""
        ring = math.pi * (WHEEL_MM / 2) ** 2 * 0.75 / len(self.wheel.segments)
        for part in self.wheel.segments:
            yield self.wheel.mix(part), ring
        for block in self.blocks:
            for recipe in block.recipes:
                yield self.table.mix(recipe), FIELD_MM2
        for rung in self.ladder.rungs:
            yield self.table.mix(rung.recipe.split(",")[0]), FIELD_MM2
        for task in self.glazes.tasks:
            yield self.table.mix(task.recipe), 5 * FIELD_MM2

    @cached_property
    def shadow_ml(self) -> float:
        """Shadow wash for the whole class [ml]."""
        half = math.pi * (WHEEL_MM / 2) ** 2 * 0.4 + len(self.glazes.tasks) * 2.5 * FIELD_MM2
        return self.pupils * ml_for_area(half, self.table.paper.film_ml_per_m2) * SPARE

    @cached_property
    def bottles_ml(self) -> dict[str, float]:
        """Of each bottle, and of water, for the whole class with its spare [ml]."""
        found = {ink.name: 0.0 for ink in self.table.palette.bottles} | {WATER: 0.0}
        film = self.table.paper.film_ml_per_m2
        for mix, area in self.washes():
            times = sum(recipe_for_ml(mix, ml_for_area(area, film)).amounts.values())
            times /= sum(mix.recipe.amounts.values())
            for name, ml in {**mix.ink_ml, WATER: mix.water_ml}.items():
                found[name] = found.get(name, 0.0) + times * ml * self.pupils * SPARE
        for name, ml in zip((self.black, WATER), self.stock_ml, strict=True):
            found[name] += ml
        return {name: ml for name, ml in found.items() if ml > 0}

    @property
    def stock_ml(self) -> tuple[float, float]:
        """Ink and water of the shadow wash for all [ml]."""
        ink = self.shadow_ml / (1 + self.shadow.parts_water)
        return ink, self.shadow_ml - ink

    @cached_property
    def bleach_ml(self) -> tuple[float, float]:
        """Bleach and water for the demonstration [ml]."""
        circle = math.pi * WHEEL_MM * 0.6 * CIRCLE_MM
        all_ml = max(DISH_ML, self.pupils * ml_for_area(circle, tool_named("brush").film_ml_per_m2))
        bleach = math.ceil(all_ml / (1 + parts_of(BLEACH_PARTS)))
        return float(bleach), bleach * parts_of(BLEACH_PARTS)

    # --- time ---

    @property
    def times(self) -> list[tuple[str, float]]:
        """What is done, in order, and its minutes; what is painted dries while the next is."""
        wheel = ("wheel", A_SEGMENT_MIN * len(self.wheel.segments) + 5)
        rows = [wheel if name == "wheel" else (name, LESSON_MINUTES[name]) for name in self._order]
        return [*rows, ("compare", float(TIDY_MIN))]

    @property
    def _order(self) -> list[str]:
        order = ["intro", "wheel", "hues", "blocks", "ladder", "shadow"]
        return [*order, "bleach"] if self.bleach else order

    @property
    def spare_minutes(self) -> float:
        """Left over; below 0 where the minutes don't suffice."""
        return self.minutes - sum(minutes for _, minutes in self.times)

    @property
    def left_out(self) -> list[str]:
        """What to leave for another time so that the rest fits, as little as does."""
        choices = [[], *([name] for name in LEFT_OUT), list(LEFT_OUT)]
        over = -self.spare_minutes
        fits = (c for c in choices if sum(LESSON_MINUTES[name] for name in c) >= over)
        return next(fits, list(LEFT_OUT))

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        bleach = dict(zip(("bleach_ml", "water_ml"), self.bleach_ml, strict=True))
        return {
            "pupils": self.pupils,
            "shadow": {"ink": self.black, **self.shadow.as_dict(), "ml": round(self.shadow_ml, 1)},
            "bottles_ml": {name: round(ml, 1) for name, ml in self.bottles_ml.items()},
            "bleach": bleach if self.bleach else None,
            "minutes": dict(self.times),
            "left_out": self.left_out,
        }


def plan_class(
    table: Table,
    pupils: int = 20,
    minutes: float = 90.0,
    segments: int = 18,
    dilution: str = "1+8",
    bleach: bool = True,
) -> ClassPlan:
    """A class with the palette's three primaries and its black.

    Parameters
    ----------
    minutes : of the lesson
    segments : of the wheel, 18 or 36
    dilution : of the shadow wash, on every sheet
    bleach : whether it is demonstrated
    """
    _check(pupils, minutes, segments)
    black = shadow_ink(table)
    touch = BLEACH_PARTS if bleach else None
    wheel = plan_wheel(table, segments, shadow=black, inner=dilution, bleach=touch)
    ink = table.mix(f"{black} 1")
    return ClassPlan(
        table=table,
        pupils=pupils,
        minutes=minutes,
        black=black,
        shadow=dilution_of(ink, parts_of(dilution, "--shadow")),
        bleach=bleach,
        wheel=wheel,
        blocks=nine_blocks(table, wheel.primaries, black),
        ladder=replace(dilution_ladder(table, f"{black} 1", 6), note=""),
        glazes=plan_lesson(table, None, dilution, black),
    )


def _check(pupils: int, minutes: float, segments: int) -> None:
    problems = []
    if not 1 <= pupils <= MOST_PUPILS:
        problems.append(f"{pupils} pupils: a class has 1 to {MOST_PUPILS}.")
    if not MINUTES[0] <= minutes <= MINUTES[1]:
        problems.append(f"{minutes:g} minutes: a lesson has {MINUTES[0]:g} to {MINUTES[1]:g}.")
    if segments not in SEGMENTS:
        problems.append(f"{segments} segments: the lesson's wheel has 18 or 36.")
    if problems:
        raise InputError(problems)


def nine_blocks(table: Table, primaries: tuple[str, str, str], black: str) -> tuple[Block9, ...]:
    """Three hues and three secondaries with black, two hues with water, one free."""
    first, second, third = primaries
    hues = [f"{name} 6" for name in primaries]
    hues += [f"{a} 3 + {b} 3" for a, b in ((first, second), (second, third), (third, first))]
    rows = [(hue, "black", [_and(hue, black, n) for n in BLACK_DROPS]) for hue in hues]
    thin = [f"{name} 3" for name in (second, third)]
    rows += [(hue, "water", [_and(hue, WATER, n) for n in WATER_DROPS]) for hue in thin]
    found = []
    for number, (hue, way, recipes) in enumerate(rows, start=1):
        looks = looks_of(table, lay_first(table, [table.mix(recipe) for recipe in recipes]))
        name = hue[:-2] if "+" not in hue else hue
        found.append(Block9(number, name, way, tuple(recipes), tuple(looks)))
    return (*found, Block9(len(rows) + 1, "", "free", (), ()))


def _and(hue: str, other: str, drops: int) -> str:
    return f"{hue} + {other} {drops}" if drops else hue
