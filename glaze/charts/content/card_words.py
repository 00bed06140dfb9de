"""What the recipe card says: the lines of a step, and the remarks at its end."""

from __future__ import annotations

from collections.abc import Iterator

from glaze.charts.paper.marks import THIN_SPACE, text_mm, wrapped
from glaze.charts.paper.page import FINE_PT, LABEL_PT
from glaze.materials.bleach import CAUTION_LINE
from glaze.planning.sheet.crossed import Glazed
from glaze.planning.sheet.plan import Plan, PlannedStep, running_words
from glaze.planning.sheet.values import reserve_words

RECIPE_PT = 8.5
MOST_REMARKS = 6


def step_words(step: PlannedStep) -> str:
    """A step's name, and its kind if it is no wash."""
    kind = {"wash": "", "lift": " (bleach lift)"}.get(step.kind, f" ({step.kind})")
    return step.name + kind


def drop_words(one: Glazed) -> str:
    """Value before and after a wash, as "9.1 to 7.4 (5.0 to 9.2)"."""
    band = one.band
    return f"{one.before.value:.1f} to {band.best:.1f} ({band.low:.1f} to {band.high:.1f})"


def recipe_lines(step: PlannedStep, width: float) -> list[str]:
    """What goes into the brush, in as many lines as it takes: drops, then parts."""
    amount = step.amount
    if amount is None:
        return [{"rinse": "blot, clean water, blot", "water lift": "clean water; blot"}[step.kind]]
    source = f"from the well {amount.well}" if amount.ready else amount.text
    several = ""
    if step.coats > 1:
        several = f", {step.coats} {'touches' if step.kind == 'lift' else 'coats'}"
    tool = f", {step.tool}" if step.kind == "lift" else ""
    rest = f"{amount.parts}{several}{tool}"
    together = f"{source}; {rest}"
    if text_mm(together, RECIPE_PT) <= width:
        return [together]
    return [*wrapped(f"{source};", width, RECIPE_PT), *wrapped(rest, width, RECIPE_PT)]


def fine_lines(step: PlannedStep, width: float) -> Iterator[tuple[str, float]]:
    """What it waits for, why, the painter's own note, what bleach leaves, and warnings.

    Each line with its size [pt]: the caution's is larger.
    """
    leaves = f"Bleach leaves: {step.ghost}." if step.ghost else ""
    told = " ".join(part for part in (_waits(step), step.reason, step.note, leaves) if part)
    for text in (told, *step.warnings):
        points = LABEL_PT if text == CAUTION_LINE else FINE_PT
        yield from ((line, points) for line in wrapped(text, width, points))


def _waits(step: PlannedStep) -> str:
    """As "When 3, 4, 7 and earlier ones are dry."."""
    if not step.waits_for:
        return ""
    last = [str(number) for number in step.waits_for[-3:]]
    if len(step.waits_for) > 3:
        return f"When {', '.join(last)} and earlier ones are dry."
    if len(last) == 1:
        return f"When {last[0]} is dry."
    return f"When {', '.join(last[:-1])} and {last[-1]} are dry."


def area_words(area_cm2: float) -> str:
    """An area in cm2, or in mm2 where that says more."""
    if area_cm2 < 1.0:
        return f"{max(1, round(area_cm2 * 100))}{THIN_SPACE}mm²"
    return f"{area_cm2:.0f}{THIN_SPACE}cm²"


def shortened(text: str, width: float, points: float, face: str = "Bold") -> str:
    """A name cut to fit its column."""
    while text_mm(text, points, face) > width:
        text = text.rstrip("…")[:-1].rstrip() + "…"
    return text


def in_lines(text: str, width: float, most: int) -> list[str]:
    """Fine print in lines, at most so many; the last is cut with dots where there is more."""
    lines = wrapped(text, width, FINE_PT)
    last = " ".join(lines[most - 1 :])
    return [*lines[: most - 1], *([shortened(last, width, FINE_PT, "Regular")] if last else [])]


def remarks(plan: Plan) -> Iterator[tuple[str, list[str]]]:
    """Titles and sentences of what else there is to mind; nothing that is empty."""
    for title, lines in (
        ("Before you start", [plan.cockling, *plan.mistakes]),
        ("What may run", running_words(plan)),
        ("Where bleach can't bring the paper back", [reserve_words(plan.reserves)]),
        ("Values", [plan.values.note, *[pair.text for pair in plan.merging]]),
    ):
        kept = [line for line in lines if line]
        if kept:
            yield title, kept[:MOST_REMARKS]
