"""The whole plan of a scene: order, amounts, minutes, risks, values and what bleach leaves."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

import numpy as np

from glaze.materials.bleach import CAUTION
from glaze.materials.recipe import WATER
from glaze.painting.settle import Painting
from glaze.patch.band import Band, promise_of
from glaze.patch.layers import standing_of
from glaze.planning.sheet.amounts import (
    Amount,
)
from glaze.planning.sheet.crossed import Glazed
from glaze.planning.sheet.layout import Arrangement
from glaze.planning.sheet.order import (
    OrderChoice,
    Risk,
)
from glaze.planning.sheet.values import (
    LostBorder,
    Merging,
    Reserve,
    ValuePlan,
    lost_borders,
)
from glaze.region.records import SHEET, Region
from glaze.scene.records import Scene
from glaze.step.timing import (
    Minutes,
    spoken,
)

FULLEST_WORDS = "where the step lies fullest"
"""Where the value of a step is read; `glaze reach` reads the middle of a region instead."""


@dataclass(frozen=True, eq=False)
class PlannedStep:
    """One step as it is carried out.

    number : from 1
    kind : wash, lift, water lift or rinse
    value : where it lies fullest, just after it, with its band; None where it lies nowhere
    xyz : colour of that place after it
    starts : minute it may start if dry places are worked on meanwhile
    ghost : what bleach leaves there, in words, of a lift
    waits_for : numbers of the earlier steps it lies on or beside, which have to be dry
    glazed : what it does to each hue that it crosses, of a wash over others
    """

    number: int
    name: str
    kind: str
    mix: str
    region: str
    coats: int
    amount: Amount | None
    minutes: Minutes
    starts: float
    reason: str
    warnings: tuple[str, ...]
    value: Band | None
    xyz: tuple[float, float, float]
    ghost: str = ""
    tool: str = ""
    note: str = ""
    waits_for: tuple[int, ...] = ()
    glazed: tuple[Glazed, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        told: dict[str, Any] = {
            "step": self.number,
            "kind": self.kind,
            "name": self.name,
            "region": self.region,
            "coats": self.coats,
            "reason": self.reason,
            "waits_for": list(self.waits_for),
            "warnings": list(self.warnings),
            "minutes": self.minutes.as_dict(),
            "starts_at_minute": round(self.starts, 1) if np.isfinite(self.starts) else None,
        }
        if self.mix:
            told["mix"] = self.mix
        if self.amount:
            told["amount"] = self.amount.as_dict()
        if self.value:
            told["value"] = round(self.value.best, 2)
            told["band"] = self.value.as_dict()
            told["read"] = FULLEST_WORDS
        if self.glazed:
            told["crosses"] = [one.as_dict() for one in self.glazed]
        if self.ghost:
            told["bleach_leaves"] = self.ghost
        return told


@dataclass(frozen=True, eq=False)
class Plan:
    """All that a painter should know before the brush touches the sheet."""

    scene: Scene
    painting: Painting = field(repr=False)
    layout: Arrangement = field(repr=False)
    steps: tuple[PlannedStep, ...]
    wells: Mapping[str, Amount]
    choices: tuple[OrderChoice, ...]
    risks: tuple[Risk, ...]
    cockling: str
    mistakes: tuple[str, ...]
    values: ValuePlan
    merging: tuple[Merging, ...]
    reserves: tuple[Reserve, ...]

    @property
    def bleaches(self) -> bool:
        """Whether any bleach is planned."""
        return any(step.kind == "lift" for step in self.steps)

    @property
    def minutes(self) -> float:
        """One step after the other, each dry before the next."""
        return sum(step.minutes.all for step in self.steps)

    @property
    def minutes_at_best(self) -> float:
        """If dry places are worked on while others dry."""
        return max((step.starts + step.minutes.all for step in self.steps), default=0.0)

    @property
    def bottles_ml(self) -> dict[str, float]:
        """What of each bottle is used, spare included: stock mixes, then all other washes."""
        taken = [step.amount for step in self.steps if step.amount]
        own = [amount.ml for amount in taken if not amount.well]
        water = sum(amount.mix_ml - amount.of_well_ml for amount in taken if amount.well)
        used: dict[str, float] = {}
        for each in (
            *(amount.ml for amount in self.wells.values()),
            *own,
            {WATER: water} if water else {},
        ):
            for name, ml in each.items():
                used[name] = used.get(name, 0.0) + ml
        last = {name: used.pop(name) for name in ("bleach", WATER) if name in used}
        return used | last

    @cached_property
    def lost(self) -> tuple[LostBorder, ...]:
        """Borders that another colour vision hardly sees; asks colour-science, so when needed."""
        return lost_borders(self.layout)

    @property
    def promise(self) -> str:
        """What its values may be relied on for."""
        return promise_of(step.value for step in self.steps if step.value is not None)

    @property
    def standing(self) -> str:
        """Of its colours: the least of the bottles it uses."""
        bottles = self.painting.table.palette.inks
        return standing_of(self.painting.table, set(self.bottles_ml) & set(bottles))

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "scene": self.scene.title,
            "paper": self.painting.table.paper.name,
            "palette": self.painting.table.palette.name,
            "light": self.painting.table.light.name,
            "standing": self.standing,
            "steps": [step.as_dict() for step in self.steps],
            "minutes": _finite(self.minutes),
            "minutes_at_best": _finite(self.minutes_at_best),
            "bottles_ml": {name: round(ml, 2) for name, ml in self.bottles_ml.items()},
            "wells": {name: amount.as_dict() for name, amount in self.wells.items()},
            "orders_that_matter": [choice.as_dict() for choice in self.choices],
            "risks": [risk.as_dict() for risk in self.risks],
            "cockling": self.cockling,
            "mistakes": list(self.mistakes),
            "values": self.values.as_dict(self.layout),
            "places": [place.as_dict() for place in self.layout.places],
            "merging": [pair.as_dict(self.layout) for pair in self.merging],
            "lost_to_other_eyes": [pair.as_dict(self.layout) for pair in self.lost],
            "reserve": [reserve.as_dict() for reserve in self.reserves],
            "notes": list(self.painting.notes),
            "promise": self.promise,
            **({"caution": CAUTION} if self.bleaches else {}),
        }


def _finite(minutes: float) -> float | None:
    return round(minutes, 1) if np.isfinite(minutes) else None


def order_words(plan: Plan) -> list[str]:
    """Where the order of two washes can be seen: what to choose, then what to keep as it is."""
    return [*(choice_words(c) for c in plan.choices if not c.keep), *kept_words(plan)]


def choice_words(choice: OrderChoice) -> str:
    """Both orders of two washes, in a sentence or two."""
    return (
        f"Steps {choice.lower + 1} and {choice.upper + 1}: the other order changes the colour by "
        f"{choice.de00:.1f}, and drags {choice.other_smears:.1f} across edges instead of "
        f"{choice.smears:.1f} (CIEDE2000). {choice.advice}"
    )


def kept_words(plan: Plan) -> list[str]:
    """The orders that had better stay, in one sentence; none if there are none."""
    pairs = sorted((c.lower + 1, c.upper + 1) for c in plan.choices if c.keep)
    if not pairs:
        return []
    kept = ", ".join(f"{lower} before {upper}" for lower, upper in pairs)
    return [f"Keep {kept}: the other way round looks the same and drags more colour across edges."]


def running_words(plan: Plan) -> list[str]:
    """For each wash the edges it may drag colour across; wet neighbours in one sentence."""
    dragging = [risk for risk in plan.risks if risk.kind == "re-wet"]
    told = []
    for step in dict.fromkeys(risk.step for risk in dragging):
        edges = [risk for risk in dragging if risk.step == step]
        names = plan.scene.steps
        each = ", ".join(f'"{names[r.other].name}" ({r.border_mm:.0f} mm)' for r in edges)
        told.append(
            f'"{names[step].name}" crosses the edge of {each} and may drag colour about '
            f"{plan.painting.table.paper.mixing_mm:g} mm over it: one loaded stroke, no "
            "scrubbing, on bone-dry ink."
        )
    met = [f"{r.step + 1} beside {r.other + 1}" for r in plan.risks if r.kind == "bleed"]
    if met:
        told.append(f"These meet without a gap and run if both are wet: {', '.join(met)}.")
    return told


def times_text(plan: Plan) -> str:
    """How long it all takes, in a sentence."""
    one, best = spoken(plan.minutes), spoken(plan.minutes_at_best)
    if one == "never":
        return "In this air nothing dries: wait for a drier day."
    return f"{one} one step after the other; {best} if you work on dry places meanwhile."


def region_words(region: str | Region) -> str:
    """A region's name; parts of a region without one."""
    if isinstance(region, str):
        return "whole sheet" if region == SHEET else region
    if region.union:
        return " and ".join(region.union)
    return f"inside {' and '.join(region.inside)}" if region.inside else "its own shape"
