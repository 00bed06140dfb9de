"""The lesson on tertiaries: what a black glaze does to a secondary, and why.

A *tertiary* here is a secondary under a black glaze. It isn't a bottle: each wash takes its share
of the light that the other leaves, so the hue stays and light is lost.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glaze.charts.content.primaries import order_primaries
from glaze.errors import InputError
from glaze.materials.dilution import dilution_of
from glaze.materials.mix import diluted
from glaze.materials.parts_told import parts_of, parts_words
from glaze.patch.band import Band
from glaze.patch.layers import Laid
from glaze.patch.patches import glaze, reflectance_at
from glaze.patch.seen import Look, looks_of
from glaze.patch.table import Table
from glaze.patch.trust import trusted
from glaze.patch.washes import lay_first, refuse_water, shadow_ink
from glaze.planning.recipe.hue import read_hue
from glaze.planning.recipe.shadow import shadow as shadow_on

Array = NDArray[np.float64]

CURVE_NM: Array = np.arange(400.0, 701.0, 5.0)
THIRDS = (("blue", 400.0, 500.0), ("green", 500.0, 580.0), ("red", 580.0, 700.0))
"""Parts of the visible band in plain words, as far as the curves run; the bounds are those of the
usual names."""
EQUAL_DROP = 1.0
"""Value steps of the exercise's last question."""


@dataclass(frozen=True, eq=False)
class GlazeCurve:
    """Light that a patch sends back: its share at each wavelength of `CURVE_NM` [-]."""

    name: str
    reflectance: Array

    @property
    def shares(self) -> dict[str, float]:
        """Mean share sent back of blue, green and red light."""
        return {
            word: float(self.reflectance[(low <= CURVE_NM) & (high >= CURVE_NM)].mean())
            for word, low, high in THIRDS
        }


@dataclass(frozen=True)
class Task:
    """One task of the exercise: a hue, and the same under the shadow wash, with their bands."""

    recipe: str
    before: Look
    after: Look
    before_band: Band
    after_band: Band

    @property
    def value_drop(self) -> float:
        """Value steps lost."""
        return self.before.value - self.after.value


@dataclass(frozen=True, eq=False)
class Lesson:
    """All that the lesson shows.

    secondary : its recipe. black, shadow_words, shadow_drops : the shadow wash.
    patches, curves : of the secondary, the shadow wash alone and the glaze. paper : its curve.
    secondaries : the palette's three. tasks : of the exercise.
    """

    table: Table
    secondary: str
    black: str
    shadow_words: str
    shadow_drops: str
    patches: tuple[Look, Look, Look]
    curves: tuple[GlazeCurve, GlazeCurve, GlazeCurve]
    paper: GlazeCurve
    secondaries: tuple[Task, ...]
    tasks: tuple[Task, ...]
    inks: tuple[str, ...]


def plan_lesson(
    table: Table, secondary: str | None = None, dilution: str = "1+4", shadow: str | None = None
) -> Lesson:
    """The lesson for a secondary of the palette (its warmest if None) under a shadow wash."""
    first, second, third = order_primaries(table)
    black = shadow_ink(table, shadow)
    secondary = secondary or f"{first} 3 + {second} 3"
    mix = table.mix(secondary)
    if len(mix.ink_ml) < 2:
        raise InputError(
            f'"{secondary}" is one ink: a secondary is mixed from two, as "{first} 3 + {second} 3".'
        )
    parts = parts_of(dilution, "--inner")
    ink = table.mix(f"{black} 1")
    shade = diluted(ink, parts)
    refuse_water(table, mix, secondary)
    refuse_water(table, shade, f"{black}, {parts_words(parts)}")
    water = table.mix("water 1")
    sheet = glaze(table, lay_first(table, [mix, shade, mix]), [water, water, shade])
    names = ("the secondary", "the shadow wash", "the glaze")
    sent_back = reflectance_at(table, sheet, CURVE_NM)[0]
    curves = [GlazeCurve(name, row) for name, row in zip(names, sent_back, strict=True)]
    hue, alone, glazed = looks_of(table, sheet)
    pairs = ((first, second), (second, third), (third, first))
    return Lesson(
        table=table,
        secondary=mix.recipe.text,
        black=black,
        shadow_words=parts_words(parts),
        shadow_drops=dilution_of(ink, parts).text,
        patches=(hue, alone, glazed),
        curves=(curves[0], curves[1], curves[2]),
        paper=GlazeCurve("bare paper", table.paper.reflectance(CURVE_NM)),
        secondaries=_tasks(table, [f"{a} 3 + {b} 3" for a, b in pairs], black, parts),
        tasks=_tasks(table, _hues(pairs), black, parts),
        inks=(first, second, third, black),
    )


def _hues(pairs: Sequence[tuple[str, str]]) -> list[str]:
    """Six hues for a class: each secondary, and an intermediate beside it."""
    return [hue for a, b in pairs for hue in (f"{a} 5 + {b} 1", f"{a} 3 + {b} 3")]


def _tasks(table: Table, recipes: Sequence[str], black: str, parts: float) -> tuple[Task, ...]:
    mixes = [table.mix(recipe) for recipe in recipes]
    shade = diluted(table.mix(f"{black} 1"), parts)
    before = looks_of(table, lay_first(table, mixes))
    after = looks_of(table, glaze(table, lay_first(table, mixes), shade))
    lone = [trusted(table, [Laid(mix)]).band for mix in mixes]
    both = [trusted(table, [Laid(mix), Laid(shade)]).band for mix in mixes]
    return tuple(Task(*row) for row in zip(recipes, before, after, lone, both, strict=True))


def why(lesson: Lesson) -> list[str]:
    """What the three curves say, in plain words and the lesson's own figures."""
    hue, alone, glazed = (curve.shares for curve in lesson.curves)
    most, least = max(hue, key=hue.__getitem__), min(hue, key=hue.__getitem__)
    before, _, after = lesson.patches
    top = max(glazed, key=glazed.__getitem__)
    kept = "still the most, so the hue stays" if top == most else "the most no more: it turns"
    return [
        f"The secondary sends back {_pc(hue[most])} of the {most} light and only "
        f"{_pc(hue[least])} of the {least}: that difference is its hue.",
        f"The shadow wash alone sends back {_pc(alone['blue'])} of the blue, "
        f"{_pc(alone['green'])} of the green and {_pc(alone['red'])} of the red: a little of "
        f"everything. It reads as {lesson.patches[1].words}.",
        f"One over the other, each takes its share of what the other leaves. The glaze sends back "
        f"{_pc(glazed[most])} of the {most} and {_pc(glazed[least])} of the {least}. "
        f"{most.capitalize()} is {kept}; "
        f"all of it is less, so value falls from {before.value:.1f} to {after.value:.1f}; and the "
        f"gap between most and least shrinks, so chroma falls from {before.chroma:.0f} to "
        f"{after.chroma:.0f}.",
        f"The result reads as {after.words}. A tertiary isn't a bottle: it is a glaze.",
    ]


def answers(lesson: Lesson) -> list[str]:
    """The answers to the exercise's questions, from the predictions."""
    tasks = lesson.tasks
    most, least = max(tasks, key=lambda t: t.value_drop), min(tasks, key=lambda t: t.value_drop)
    turned = max(tasks, key=_turn)
    grey = min(tasks, key=lambda t: t.after.chroma)
    return [
        f"{most.recipe} loses most light, {most.value_drop:.1f} steps, as it has most to lose; "
        f"{least.recipe} least, {least.value_drop:.1f}.",
        f"{turned.recipe} turns most in hue, from {turned.before.munsell} to "
        f"{turned.after.munsell}: {_turn(turned):.0f} of the hundred steps of hue. "
        "The others stay nearer to theirs.",
        f"{grey.recipe} comes nearest to grey: chroma {grey.after.chroma:.1f}.",
        f"One dilution for each hue instead of one for all: {_equal(lesson)}.",
    ]


def _turn(task: Task) -> float:
    """Steps of Munsell hue between before and after."""
    return abs((task.after.hue - task.before.hue + 50) % 100 - 50)


def _equal(lesson: Lesson) -> str:
    """The shadow wash that darkens each hue of the exercise by the same step, in words."""
    told = []
    for number, task in enumerate(lesson.tasks, start=1):
        hue = read_hue(task.recipe, lesson.table)
        found = shadow_on(lesson.table, hue, darker=EQUAL_DROP, ink=lesson.black)
        if not found.reachable or found.coats > 1:
            told.append(f"field {number} can't lose {EQUAL_DROP:g} in one wash")
        else:
            told.append(f"field {number}: {found.parts}")
    return "; ".join(told)


QUESTIONS = (
    "Which hue loses most light under the same shadow wash, and which least?",
    "Which one turns most in hue, and which keep theirs?",
    "Which comes nearest to grey?",
    f"How would you darken all six by the same {EQUAL_DROP:g} step of value?",
)


def _pc(share: float) -> str:
    return f"{100 * share:.0f} %"
