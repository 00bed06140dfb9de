"""What the plan knows of the sheet, as advice: where it is, what it says, and what may cure it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.materials.parts_told import parts_words
from glaze.painting.settle import Painting
from glaze.planning.recipe.thinned import diluted_text
from glaze.planning.sheet.plan import Plan
from glaze.planning.sheet.planner import plan_of
from glaze.planning.sheet.step_bands import middle_of
from glaze.region.records import SHEET, Region
from glaze.scene.called import free_name
from glaze.step.timing import spoken

from . import drafting
from .drafting import Draft
from .saying import say, translated

MOST = 8
"""More at once nobody reads."""
LEAST_BORDER_MM = 20.0  # guess: a shorter meeting of two like values is hardly seen


@dataclass(frozen=True)
class Cure:
    """What may be done about it, in words, and the draft in which it is done."""

    words: str
    draft: Draft


@dataclass(frozen=True)
class Advice:
    """One thing the plan has to say.

    short : in a few words; text : in full
    at_mm : where on the sheet, x and y; None if it is of the whole picture
    """

    short: str
    text: str
    at_mm: tuple[float, float] | None = None
    cures: tuple[Cure, ...] = ()


def advice_on(draft: Draft, even: Painting) -> list[Advice]:
    """Advice on a draft and its painting, laid even: the gravest first."""
    if not draft.laid.steps:
        return []
    adviser = _Adviser(draft, plan_of(draft.laid, even))
    found = [*adviser.flat(), *adviser.dragged(), *adviser.kept_bare(), *adviser.alike()]
    return [*found, *adviser.too_large()][:MOST]


class _Adviser:
    """Reads a plan."""

    def __init__(self, draft: Draft, plan: Plan) -> None:
        self.draft, self.plan = draft, plan
        self.steps = draft.laid.steps
        # numbers in the order, of the steps that are painted
        self.numbers = [n for n in range(len(draft.scene.steps)) if n not in draft.aside]

    def _name(self, step: int) -> str:
        return say("advice.quoted", name=self.steps[step].name)

    def _middle(self, there: NDArray[np.bool_]) -> tuple[float, float] | None:
        """The middle of where it is [mm], of any grid over the sheet."""
        if not there.any():
            return None
        row, column = middle_of(*np.nonzero(there))
        wide, high = self.plan.painting.size_mm
        x = (column + 0.5) / there.shape[1] * wide
        return round(x, 1), round((row + 0.5) / there.shape[0] * high, 1)

    def flat(self) -> Iterator[Advice]:
        """A picture without one of three values."""
        if note := self.plan.values.note:
            yield Advice(say("advice.flat"), translated(note))

    def dragged(self) -> Iterator[Advice]:
        """A wash that drags the one below, and the other order where that drags less."""
        painted = self.plan.painting.steps
        for risk in self.plan.risks:
            if risk.kind != "re-wet" or risk.level != "strong":
                continue
            both = [painted[n].film[::8, ::8] > 0 for n in (risk.step, risk.other)]
            names = {"one": self._name(risk.step), "other": self._name(risk.other)}
            other = [c for c in self.plan.choices if (c.lower, c.upper) == (risk.other, risk.step)]
            cures = []
            if other and other[0].other_smears < other[0].smears:
                to, start = self.numbers[risk.other], self.numbers[risk.step]
                moved = drafting.with_step_moved(self.draft, start, to)
                cures.append(Cure(say("advice.before", **names), moved))
            middle = self._middle(both[0] & both[1])
            text = translated(risk.text)
            yield Advice(say("advice.drags", **names), text, middle, tuple(cures))

    def kept_bare(self) -> Iterator[Advice]:
        """Where bleach doesn't bring the paper back: reserve it, or touch it once more."""
        places = {place.name: n for n, place in enumerate(self.plan.layout.places)}
        for told in self.plan.reserves:
            number = places[told.place]
            stack = self.plan.layout.places[number].steps
            lift = max(n for n in stack if self.steps[n].liquid == "bleach")
            short = say("advice.reaches", value=f"{told.value:.1f}", name=self._name(lift))
            there = self.plan.layout.labels == number
            more = {"touches": self.steps[lift].times + 1}
            cures = (
                Cure(say("advice.reserve"), self._reserved(lift, [n for n in stack if n < lift])),
                Cure(
                    say("advice.touch"),
                    drafting.with_changed_step(self.draft, self.numbers[lift], **more),
                ),
            )
            yield Advice(short, translated(told.text), self._middle(there), cures)

    def _reserved(self, lift: int, below: list[int]) -> Draft:
        """The draft in which washes stay out of a lift's place, and the lift is set aside."""
        draft, kept = self._named(self.draft, lift)
        for step in below:
            if self.steps[step].liquid != "ink":
                continue
            draft, region = self._named(draft, step)
            name = free_name(say("advice.but", region=region, kept=kept), draft.scene.regions)
            draft = drafting.with_region(draft, name, Region(union=(region,), minus=(kept,)))
            draft = drafting.with_changed_step(draft, self.numbers[step], region=name)
        return drafting.with_step_laid(draft, self.numbers[lift], False)

    def _named(self, draft: Draft, step: int) -> tuple[Draft, str]:
        """The region of a step by a name, which it gets if it has none."""
        region = draft.scene.steps[self.numbers[step]].region
        if isinstance(region, str) and region != SHEET:
            return draft, region
        if not isinstance(region, Region):
            wide, high = self.plan.painting.size_mm
            region = Region(polygon_mm=((0, 0), (wide, 0), (wide, high), (0, high)))
        wanted = say("advice.where", name=self.steps[step].name)
        name = free_name(wanted, draft.scene.regions)
        return drafting.with_region(draft, name, region), name

    def alike(self) -> Iterator[Advice]:
        """Neighbours of one value: the upper wash of the darker one with half its water."""
        layout = self.plan.layout
        for found in self.plan.merging[:3]:
            border = found.border
            if border.length_mm < LEAST_BORDER_MM:
                continue
            dark = min((border.one, border.other), key=lambda n: layout.places[n].value)
            washes = [n for n in layout.places[dark].steps if self.steps[n].recipe]
            cures = self._stronger(washes[-1]) if washes else ()
            there = layout.labels == dark
            short = say("advice.alike", mm=f"{border.length_mm:.0f}")
            yield Advice(short, translated(found.text), self._middle(there), cures)

    def _stronger(self, step: int) -> tuple[Cure, ...]:
        table, mix = self.plan.painting.table, self.steps[step].recipe
        try:
            parts = table.mix(mix).parts_water / 2
            text = diluted_text(mix, parts, table)
            told = parts_words(table.mix(text).parts_water)
        except InputError:
            return ()  # from a well, which other washes are taken from, too
        draft = drafting.with_changed_step(self.draft, self.numbers[step], mix=text)
        words = say("advice.stronger", name=self._name(step), told=translated(told))
        return (Cure(words, draft),) if parts > 0 else ()

    def too_large(self) -> Iterator[Advice]:
        """A wash that is dry at its first edge before its last is laid."""
        for n, step in enumerate(self.plan.steps):
            laying, shine = step.minutes.hands_on / step.coats, step.minutes.shine_gone
            if self.steps[n].liquid == "ink" and laying > shine:
                took, dry = (translated(spoken(minutes)) for minutes in (laying, shine))
                text = say("advice.large_told", name=self._name(n), laying=took, shine=dry)
                there = self.plan.painting.steps[n].film[::8, ::8] > 0
                short = say("advice.large", name=self._name(n))
                yield Advice(short, text, self._middle(there))
