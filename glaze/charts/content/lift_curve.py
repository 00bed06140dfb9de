"""How one mix lightens while bleach stands on it: value against time, strength by strength."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glaze.charts.content.lift_rows import STRENGTHS
from glaze.charts.paper.marks import HAIR, INK, Point, frame_of, text_mm
from glaze.charts.paper.page import FINE_PT, LABEL_PT, Page
from glaze.charts.sheets.parts import Layout, start_sheet
from glaze.errors import InputError
from glaze.materials.dye import colourants
from glaze.materials.parts_told import parts_of, parts_words
from glaze.patch.layers import Laid, Lifted, standing_of
from glaze.patch.patches import bare_patches, bleach_each
from glaze.patch.seen import Look, looks_of
from glaze.patch.table import Table
from glaze.patch.trust import trusted
from glaze.patch.washes import lay_first
from glaze.planning.lift.ghost import ghost_words
from glaze.sheet.lift import Touches

Array = NDArray[np.float64]

FIRST_S, LAST_S = 3.0, 1800.0
"""Bleach takes about 4 s into the fibres; after half an hour the film has long dried thin."""
TICKS_S = ((5, "5 s"), (10, "10 s"), (30, "30 s"), (60, "1 min"), (120, "2 min"))
TICKS_LATE_S = ((300, "5 min"), (600, "10 min"), (1200, "20 min"))
STEPS, BAND_STEPS = 140, 16
PALE = (222, 219, 215)
"""Of the band behind the curve."""
CURVE_STRENGTHS = 4


@dataclass(frozen=True, eq=False)
class LiftCourse:
    """One strength of bleach on the mix.

    values, colours : at `times_s`; low, high : band of the value at `band_times_s`
    """

    parts_water: float
    times_s: Array
    patches: tuple[Look, ...]
    band_times_s: Array
    low: Array
    high: Array
    ghost: str

    @property
    def values(self) -> Array:
        """Munsell values along the curve. [value steps], shape (times,)."""
        return np.array([patch.value for patch in self.patches])


@dataclass(frozen=True, eq=False)
class Curves:
    """All strengths of one mix."""

    table: Table
    recipe: str
    home: Look
    paper: Look
    plan: Touches
    curves: tuple[LiftCourse, ...]


def plan_curves(
    table: Table,
    recipe: str,
    strengths: Sequence[str] = STRENGTHS,
    plan: Touches | None = None,
) -> Curves:
    """The course of one touch on a mix, for one to four strengths of bleach."""
    if not 1 <= len(strengths) <= CURVE_STRENGTHS:
        raise InputError(
            f"{len(strengths)} strengths of bleach don't fit the plot; give 1 to {CURVE_STRENGTHS}."
        )
    plan = plan or Touches()
    table = _with_only(table, recipe)
    wash = table.mix(recipe)
    (home,) = looks_of(table, lay_first(table, [wash]))
    (paper,) = looks_of(table, bare_patches(table))
    times = np.geomspace(FIRST_S, LAST_S, STEPS)
    band_times = np.geomspace(FIRST_S, LAST_S, BAND_STEPS)
    made = []
    for strength in strengths:
        touch = replace(plan, parts_water=parts_of(strength, "--strengths"), touches=1)
        touches = [replace(touch, minutes=seconds / 60.0) for seconds in times]
        patches = looks_of(table, bleach_each(table, lay_first(table, [wash] * STEPS), touches))
        waits = [Lifted(replace(touch, minutes=seconds / 60.0)) for seconds in band_times]
        bands = [trusted(table, [Laid(wash), wait]).band for wait in waits]
        made.append(
            LiftCourse(
                parts_water=touch.parts_water,
                times_s=times,
                patches=tuple(patches),
                band_times_s=band_times,
                low=np.array([band.low for band in bands]),
                high=np.array([band.high for band in bands]),
                ghost=ghost_words(patches[-1].lab, home.lab, paper.lab),
            )
        )
    return Curves(table, recipe, home, paper, plan, tuple(made))


def _with_only(table: Table, recipe: str) -> Table:
    """The table with the colourants of one recipe alone, which is all its lift needs."""
    used = [name for name, g_per_l in table.mix(recipe).contents_g_per_l.items() if g_per_l > 0]
    return replace(table, dyes=colourants(used, table.palette.dyes))


def lift_curve(curves: Curves, layout: Layout) -> list[Page]:
    """One page: a panel for each strength, its colours along the top, its value beneath."""
    told = (
        f"One touch of {curves.table.bleach.percent:g} % bleach with a {curves.plan.tool}: value "
        "against the time until it is blotted. The strip shows the colour at that time."
    )
    page = start_sheet(
        curves.table, layout, f"How {curves.recipe} lifts with time", told, bleach=True
    )
    foot = 12.0
    room = page.bottom - page.top - foot
    high = min(room / len(curves.curves), 45.0)
    for number, curve in enumerate(curves.curves):
        _Panel(page, curves, curve, page.top + number * high, high).draw()
    bottom = page.top + len(curves.curves) * high
    _ticks(page, bottom)
    note = (
        f"Grey: 9 cases of 10 of what isn't known. Dotted: bare paper, value "
        f"{curves.paper.value:.1f}, and the dry wash, value {curves.home.value:.1f}. A curve that "
        "levels off below the paper has run out of bleach, or has reached a ghost that stays."
    )
    page.paragraph(page.left, bottom + 6.0, page.right - page.left, note, FINE_PT)
    return [page]


def _time_x(page: Page, seconds: float) -> float:
    """Where a time stands across the page [mm]: equal steps for equal ratios."""
    left, right = page.left + 46.0, page.right - 4.0
    share = math.log(seconds / FIRST_S) / math.log(LAST_S / FIRST_S)
    return left + share * (right - left)


def _ticks(page: Page, y: float) -> None:
    """Times under the panels."""
    for seconds, words in (*TICKS_S, *TICKS_LATE_S):
        x = _time_x(page, seconds)
        page.line([(x, y - 1.0), (x, y)], 0.5, INK)
        page.text(x, y + 3.0, words, FINE_PT, align="centre", tabular=True)


@dataclass(frozen=True, eq=False)
class _Panel:
    """One strength: where it lies and what it shows."""

    page: Page
    curves: Curves
    curve: LiftCourse
    top: float
    high: float

    @property
    def strip(self) -> tuple[float, float]:
        """Top and height of the strip of colours."""
        return self.top + 1.0, min(6.5, 0.25 * self.high)

    def y(self, value: float) -> float:
        """Where a value stands: 10 under the strip, the darkest of all bands at the foot."""
        top, foot = sum(self.strip) + 1.5, self.top + self.high - 2.0
        return foot - (value - self.darkest) / (10.0 - self.darkest) * (foot - top)

    @property
    def darkest(self) -> int:
        """Value at the foot of the panels: whole, the same for all."""
        return int(min(float(curve.low.min()) for curve in self.curves.curves))

    def draw(self) -> None:
        """Strip, band, curve and words."""
        page, curve = self.page, self.curve
        y, deep = self.strip
        edges = [*np.sqrt(curve.times_s[1:] * curve.times_s[:-1]), LAST_S]
        start = FIRST_S
        for patch, end in zip(curve.patches, edges, strict=True):
            x = _time_x(page, start)
            # a hair of overlap hides the seams
            wide = _time_x(page, end) - x + (0.0 if end == LAST_S else 0.15)
            page.rect(x, y, wide, deep, patch.rgb8)
            start = end
        left, right = _time_x(page, FIRST_S), _time_x(page, LAST_S)
        page.rect(left, y, right - left, deep, None, frame_of(standing_of(self.curves.table)))
        self._band()
        self._axis(left, right)
        points = [
            (_time_x(page, t), self.y(v)) for t, v in zip(curve.times_s, curve.values, strict=True)
        ]
        page.line(points, 1.2, INK, name=f"curve-{curve.parts_water:g}")
        self._words()

    def _axis(self, left: float, right: float) -> None:
        """Lines at some values and at the times, dotted ones at the paper and the dry wash."""
        for seconds, _ in (*TICKS_S, *TICKS_LATE_S):
            x = _time_x(self.page, seconds)
            self.page.line([(x, self.y(10)), (x, self.y(self.darkest))], 0.25, PALE)
        for value in sorted({self.darkest, (self.darkest + 10) // 2, 10}):
            self.page.line([(left, self.y(value)), (right, self.y(value))])
            self.page.text(
                left - 1.5, self.y(value) + 0.9, str(value), FINE_PT, align="right", tabular=True
            )
        for there in (self.curves.paper.value, self.curves.home.value):
            self.page.line([(left, self.y(there)), (right, self.y(there))], 0.6, HAIR, dotted=True)

    def _band(self) -> None:
        """What isn't known, as a pale ribbon."""
        curve = self.curve
        times = [_time_x(self.page, t) for t in curve.band_times_s]
        over: list[Point] = list(zip(times, map(self.y, curve.high), strict=True))
        under: list[Point] = list(zip(times, map(self.y, curve.low), strict=True))
        self.page.polygon([*over, *under[::-1]], PALE, name=f"band-{curve.parts_water:g}")

    def _words(self) -> None:
        """Strength at the left, with what one minute and all of half an hour give."""
        page, curve = self.page, self.curve
        y = self.strip[0] + 3.2
        words = parts_words(curve.parts_water)
        lines = ["neat bleach"] if words == "neat" else ["1 part bleach", f"+ {words[9:]}"]
        for line in lines:
            page.text(page.left, y, line, LABEL_PT, face="Bold")
            y += 4.0
        minute = float(np.interp(math.log(60.0), np.log(curve.times_s), curve.values))
        for told in (f"after 1 minute: value {minute:.1f}", f"in the end: {curve.ghost}"):
            if text_mm(told, FINE_PT) < 42.0 and y < self.top + self.high:
                page.text(page.left, y, told, FINE_PT)
                y += 3.4
