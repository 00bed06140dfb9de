"""A place brought to a wanted value: three ways, each with what it comes to and how it looks.

What lies at the place is laid as a patch, with all that comes after it: the wash that is seen
there otherwise let down, another wash over it, or bleach of another strength. Recipes are those
that a painter can mix: whole drops, and parts of water that can be measured.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from glaze.errors import InputError
from glaze.materials.parts_told import parts_words
from glaze.patch.band import Band
from glaze.patch.engine import Stacks, alike
from glaze.patch.layers import Layer
from glaze.patch.table import Table
from glaze.patch.trust import trusted
from glaze.physics.colour import munsell_value
from glaze.planning.lift.reach_plans import darkest_bottle
from glaze.planning.recipe.thinned import bottled, diluted_text, neat_mix
from glaze.planning.sheet.step_bands import LEAST_SHARE
from glaze.region.records import SHEET, Region
from glaze.scene.called import free_name
from glaze.step.kind import Step
from glaze.step.lift_step import Lift
from glaze.step.wash_step import Wash

from . import drafting
from .drafting import Draft
from .hand import Hand, amounts_of, parts_of
from .opened import RESERVE
from .saying import amounts, say
from .sitting import Sitting

PARTS_WATER = (*np.arange(0, 4, 0.25), *np.arange(4, 16, 0.5), *np.arange(16, 65, 2))
"""Dilutions that are tried: nobody measures a wash more closely."""
BLEACH_PARTS = (19, 14, 11, 9, 8, 7, 6, 5, 4, 3, 2, 1, 0)
MOST_COATS = MOST_TOUCHES = 3
NEAR = 0.25
"""So near a value is as good as there: the best eye tells no less apart on two sheets."""
FAR = 0.75
"""And what is further off is no way to it."""
WAYS = 3
OFF = (-0.5, 0.5, -1.0, 1.0, -1.5, 1.5)
"""Beside the value are shown, where there are fewer ways: so much darker and lighter."""


@dataclass(frozen=True)
class Way:
    """One way to bring a place to a value.

    words : what is done; amounts : with which mix, or with bleach of which strength
    times : coats or touches, of which few are better
    layers : what lies there then
    draft : in which it is done; chosen : the step that is in hand then
    value : of the place then, its line left out
    """

    words: str
    amounts: str
    times: int
    layers: tuple[Layer, ...]
    draft: Draft
    chosen: int
    value: float = 0.0

    @property
    def bleach(self) -> bool:
        """Whether it is done with bleach."""
        return self.draft.scene.steps[self.chosen].liquid == "bleach"


@dataclass(frozen=True)
class ValueWanted:
    """A place, the value it has and the one it is to have, and three ways there.

    pixel : row and column
    bands : of each way's value, as the plan says it
    """

    pixel: tuple[int, int]
    wanted: float
    now: Band
    ways: tuple[Way, ...]
    bands: tuple[Band, ...]


def ways_to(sitting: Sitting, pixel: tuple[int, int], wanted: float) -> ValueWanted:
    """Three ways to bring a place, row and column, to a value; the simplest first.

    Raises
    ------
    InputError : it has that value already, or nothing changes it
    """
    if not 0 <= wanted <= 10:
        raise InputError(say("value.range", value=f"{wanted:g}"))
    place = _Place(sitting, pixel)
    now = trusted(place.table, place.layers).band
    if abs(now.best - wanted) < NEAR / 2:
        raise InputError(say("value.already", value=f"{now.best:.1f}"))
    found = place.three(now.best, wanted)
    bands = tuple(trusted(place.table, way.layers).band for way in found)
    return ValueWanted(pixel, wanted, now, tuple(found), bands)


def value_at(sitting: Sitting, pixel: tuple[int, int]) -> float:
    """The value of a place, row and column, as the ways count it."""
    place = _Place(sitting, pixel)
    return values_of(place.table, [place.layers])[0]


class _Place:
    """What lies at a pixel, and what else could."""

    def __init__(self, sitting: Sitting, pixel: tuple[int, int]) -> None:
        self.sitting, self.pixel, self.table = sitting, pixel, sitting.table
        self.draft, self.scene = sitting.draft, sitting.draft.scene
        laid = [n for n in range(len(self.scene.steps)) if n not in self.draft.aside]
        # number in the order, record and share of what lies here
        self.lying: list[tuple[int, Step, float]] = []
        for number, (painted, step) in zip(laid, sitting.settling.pairs(), strict=False):
            share = float(painted.even_shares(pixel))
            if share >= LEAST_SHARE:
                self.lying.append((number, step, share))
        self.layers = tuple(step.layer(self.table, share) for _, step, share in self.lying)
        # the uppermost that is seen
        colours = [s for _, s, _ in self.lying if s.liquid != "water" and not s.everywhere]
        self.uppermost = colours[-1] if colours else None

    def three(self, now: float, wanted: float) -> list[Way]:
        """The three ways: those that get there, then half a step to either side of it."""
        kinds = map(list, self._means(darker=wanted < now))
        means = [self._with_values(some) for some in kinds if some]
        nearest = [(_nearest(some, wanted), some) for some in means]
        # a way that leaves the place as it is is none
        nearest = [one for one in nearest if abs(one[0].value - now) > NEAR / 2]
        if not nearest:
            raise InputError(say("value.stays", value=f"{now:.1f}"))
        nearest.sort(key=lambda one: max(abs(one[0].value - wanted) - NEAR, 0))
        first, means_of_first = nearest[0]
        found = [way for way, _ in nearest if abs(way.value - wanted) <= FAR] or [first]
        about = wanted if abs(first.value - wanted) <= FAR else first.value
        found += [_nearest(means_of_first, about + off) for off in OFF]
        return list({(way.words, way.amounts): way for way in found}.values())[:WAYS]

    def _with_values(self, ways: Sequence[Way]) -> list[Way]:
        """Ways with the value that each comes to."""
        values = values_of(self.table, [way.layers for way in ways])
        return [replace(way, value=value) for way, value in zip(ways, values, strict=True)]

    def _means(self, darker: bool) -> Iterator[Iterator[Way]]:
        """Kinds of ways, the simplest first."""
        washes = [n for n, (_, step, _) in enumerate(self.lying) if isinstance(step, Wash)]
        lifts = [n for n, (_, step, _) in enumerate(self.lying) if isinstance(step, Lift)]
        hand = self.sitting.hand
        for n in washes[-1:]:
            yield self._let_down_otherwise(n)
        for n in lifts[-1:]:
            yield self._lifted_otherwise(n)
        if darker:
            dark = next(iter(darkest_bottle(self.table).ink_ml))
            for mix in (dark, hand.mix) if hand.kind == "wash" else (dark,):
                yield self._washed_over(mix)
        elif not lifts and self.uppermost is not None:
            yield self._lifted()
        for n in washes[-2:-1]:
            yield self._let_down_otherwise(n)

    # ---- another strength of what lies there

    def _let_down_otherwise(self, n: int) -> Iterator[Way]:
        step = self.lying[n][1]
        assert isinstance(step, Wash)
        before = self.table.mix(step.mix).parts_water
        for mix, coats in self._strengths(step.mix, step.coats):
            more = "more" if self.table.mix(mix).parts_water > before else "less"
            words = say(f"value.{more}_water", name=step.name)
            yield self._changed(n, words, mix=mix, coats=coats)

    def _lifted_otherwise(self, n: int) -> Iterator[Way]:
        step = self.lying[n][1]
        assert isinstance(step, Lift)
        before = _used(step.parts_water, step.touches)
        for parts, touches in BLEACHES:
            more = "more" if _used(parts, touches) > before else "less"
            values = {"parts_water": parts, "touches": touches}
            yield self._changed(n, say(f"value.{more}_bleach", name=step.name), **values)

    def _changed(self, n: int, words: str, **values: Any) -> Way:
        number, step, share = self.lying[n]
        other = drafting.changed(step, **values)
        layers = (*self.layers[:n], other.layer(self.table, share), *self.layers[n + 1 :])
        draft = drafting.with_changed_step(self.draft, number, **values)
        return Way(words, self._told(other), other.times, layers, draft, number)

    def _strengths(self, mix: str, least_coats: int = 1) -> Iterator[tuple[str, int]]:
        """Strengths of a mix that can be mixed, each with its coats."""
        texts = [diluted_text(mix, parts, self.table) for parts in PARTS_WATER]
        # stronger than it stands in its well it has to be mixed from the bottles
        own, least = bottled(mix, self.table), neat_mix(mix, self.table).parts_water
        texts += [diluted_text(own, parts, self.table) for parts in PARTS_WATER if parts < least]
        for coats in range(least_coats, max(least_coats, MOST_COATS) + 1):
            for text in texts:
                yield text, coats

    # ---- something more over it

    def _washed_over(self, mix: str) -> Iterator[Way]:
        hand = replace(self.sitting.hand, kind="wash")
        for text, coats in self._strengths(mix):
            laid = replace(hand, mix=text, coats=coats)
            yield self._over(laid, laid.called(self.scene.wells))

    def _lifted(self) -> Iterator[Way]:
        hand = replace(self.sitting.hand, kind="lift")
        for parts, touches in BLEACHES:
            yield self._over(replace(hand, parts_water=parts, touches=touches), say("value.bleach"))

    def _over(self, hand: Hand, called: str) -> Way:
        """Lay what a hand holds over what is seen here, or in the area that encloses it."""
        name = free_name(called, {step.name for step in self.scene.steps})
        draft, region, below = self.draft, SHEET, str(say("here.bare"))
        if self.uppermost is not None:
            below = self.uppermost.name
            region = self.uppermost.region if isinstance(self.uppermost.region, str) else ""
        if region in ("", SHEET):
            shape = self._shape()
            region = self.sitting.free_region(name)
            draft = drafting.with_region(draft, region, shape)
        step = hand.step(name, region)
        draft = drafting.with_step(draft, step)
        layers = (*self.layers, step.layer(self.table, 1.0))
        number = len(draft.scene.steps) - 1
        words = say("value.over", what=called, below=below)
        return Way(words, self._told(step), step.times, layers, draft, number)

    def _shape(self) -> Region:
        """The shape that is meant, where it has no name."""
        if self.uppermost is not None and isinstance(self.uppermost.region, Region):
            return self.uppermost.region
        x, y = self.sitting.painting.middle_mm(*self.pixel)
        point = round(x, 2), round(y, 2)
        if self.sitting.reserve is not None:
            return Region(enclosed_at_mm=(point,), minus=(RESERVE,))
        return Region(enclosed_at_mm=(point,))

    def _told(self, step: Step) -> str:
        """Amounts of a step in a line; of an ink or a well alone the parts say all."""
        recipe, parts = step.amount_words(self.table)
        if isinstance(step, Wash) and len(names := list(amounts_of(recipe)[0])) == 1:
            recipe, parts = names[0], parts_words(parts_of(recipe, self.table), step.coats)
        return f"{recipe if step.recipe else amounts(recipe)}, {amounts(parts)}"


def _nearest(ways: Sequence[Way], wanted: float) -> Way:
    """The way that comes nearest to a value, in as few coats or touches as will do."""

    def cost(way: Way) -> tuple[float, int, float]:
        off = abs(way.value - wanted)
        return round(max(off - NEAR, 0.0), 1), way.times, off

    return min(ways, key=cost)


def _used(parts_water: float, touches: int) -> float:
    """Parts of neat bleach laid in all."""
    return touches / (1 + parts_water)


BLEACHES = sorted(
    ((float(parts), n) for parts in BLEACH_PARTS for n in range(1, MOST_TOUCHES + 1)),
    key=lambda one: _used(*one),
)
"""Parts of water and touches of bleach, the gentlest first."""


def values_of(table: Table, stacks: Sequence[tuple[Layer, ...]]) -> list[float]:
    """Munsell value of many patches of layers."""
    groups: dict[object, list[int]] = {}
    for n, layers in enumerate(stacks):
        groups.setdefault(alike(layers), []).append(n)
    values = [0.0] * len(stacks)
    for patches in groups.values():
        some = Stacks(table, tuple(stacks[n] for n in patches))
        *_, last = some.after_each()
        for n, found in zip(patches, munsell_value(some.xyz(last)[0, :, 1]), strict=True):
            values[n] = float(found)
    return values
