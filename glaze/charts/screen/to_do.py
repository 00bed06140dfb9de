"""What a painter ticks off at a step, and the clocks that each tick starts."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from glaze.materials.words import Words
from glaze.planning.sheet.plan import Plan, PlannedStep


@dataclass(frozen=True)
class Clock:
    """Time to wait. minutes : until it rings; label : while it runs; told : when it rings."""

    minutes: float
    label: str
    told: str


@dataclass(frozen=True)
class Tick:
    """One thing to do and tick. key : as "5.2"; dries : whether a clock of it ends dry."""

    key: str
    label: str
    clocks: tuple[Clock, ...] = ()
    dries: bool = False


def ticks_of(plan: Plan, step: PlannedStep, words: Words) -> list[Tick]:
    """All that is done at a step, in order; the last one starts the clock until it is dry."""
    laid = plan.scene.steps[step.number - 1]
    dry = _drying(step, words)
    if laid.blotted_after_minutes is None:
        found = [Tick("", label, dry) for label in _coats(step, words)]
    else:
        found = list(_touches(step, words, laid.blotted_after_minutes))
    if laid.rinsed_at_once:
        found.append(Tick("", words("bench.rinsed")))
    found[-1] = replace(found[-1], clocks=(*dry, *_charges(plan, step, words)), dries=True)
    return [replace(deed, key=f"{step.number}.{n}") for n, deed in enumerate(found, start=1)]


def _drying(step: PlannedStep, words: Words) -> tuple[Clock, ...]:
    """Until it is dry, each coat for itself; none where nothing dries."""
    minutes = step.minutes.dry / (step.coats if step.kind == "wash" else 1)
    if not math.isfinite(minutes):
        return ()
    name = _named(step)
    return (Clock(minutes, words("bench.drying", name=name), words("bench.dry", name=name)),)


def _coats(step: PlannedStep, words: Words) -> list[str]:
    if step.coats == 1:
        key = {"rinse": "rinsed", "charge": "charged"}.get(step.kind, "laid")
        return [words(f"bench.{key}")]
    coats = range(1, step.coats + 1)
    return [words("bench.coat_laid", coat=coat, coats=step.coats) for coat in coats]


def _touches(step: PlannedStep, words: Words, blot_after: float) -> Iterator[Tick]:
    """Bleach or water on, and blotted, touch by touch."""
    liquid = "bleach" if step.kind == "lift" else "water"
    on, off = words(f"bench.{liquid}_on"), words("bench.blotted")
    working = words("bench.working", name=_named(step))
    clock = Clock(blot_after, working, words("bench.blot_now", name=_named(step)))
    for touch in range(1, step.coats + 1):
        of = words("bench.touch", touch=touch, touches=step.coats) if step.coats > 1 else ""
        yield Tick("", f"{on} {of}".strip(), (clock,))
        yield Tick("", f"{off} {of}".strip())


def _charges(plan: Plan, step: PlannedStep, words: Words) -> Iterator[Clock]:
    """When to charge what goes into this step while it is wet."""
    for number, other in enumerate(plan.scene.steps, start=1):
        if other.joins == step.name and number > step.number:
            name = f"{number} {other.name}"
            told = words("bench.charge_now", name=name, into=step.name)
            soon = words("bench.charge_soon", name=name)
            yield Clock(other.joined_after_minutes, soon, told)


def _named(step: PlannedStep) -> str:
    return f"{step.number} {step.name}"
