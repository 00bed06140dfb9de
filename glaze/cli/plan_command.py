"""`glaze plan SCENE`: the whole plan in words, as JSON, and as a card to print."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from glaze.cli.show import VALUE_NOTE, Answer, answers, first_run_note, progress
from glaze.cli.table_options import dropper_option

if TYPE_CHECKING:
    from glaze.planning.sheet.plan import Plan, PlannedStep

MOST_TOLD = 6
"""Of each kind of remark; all of them stand in the JSON."""


@click.command()
@click.argument("scene_path", metavar="SCENE")
@click.option("--card", default=None, help="Also print the recipe card: .pdf, .svg or .png.")
@click.option("--page", default="A4", show_default=True, help="Of the card: A4, A3 or Letter.")
@click.option("--date", default=None, help="Date on the card; today's if not given.")
@dropper_option
@answers
def plan(
    scene_path: str, card: str | None, page: str, date: str | None, dropper: str | None
) -> Answer:
    """Plan SCENE: order, drops and ml, minutes, risks, values, and what to reserve.

    With --card it is also printed at true size, to paint beside.
    """
    from glaze.materials.dropper import parse_dropper
    from glaze.planning.sheet.planner import plan_of
    from glaze.scene.file import load_scene

    path = Path(card) if card else None
    if path is not None:
        from glaze.charts.paper.page import Page
        from glaze.charts.paper.publish import check_output

        check_output(path)
        Page(page)
    scene = load_scene(scene_path)
    if dropper:
        scene = scene.counted_with(parse_dropper(dropper))
    with first_run_note(), progress("Working out the plan") as share:
        from glaze.painting.settle import resolve

        found = plan_of(scene, resolve(scene, share, even=True))
    written: list[Path] = []
    if path is not None:
        from glaze.charts.paper.publish import write_pages
        from glaze.charts.sheets.card import card_pages

        written = write_pages(card_pages(found, page, date), path)
    printed = [f"{file}: written. Print it at 100 %." for file in written]
    as_dict = found.as_dict() | {"card": [str(file) for file in written]}
    return as_dict, [*_plan_lines(found), *printed]


def _plan_lines(plan: Plan) -> Iterator[str]:
    from glaze.planning.sheet.plan import FULLEST_WORDS, order_words, running_words, times_text
    from glaze.planning.sheet.values import reserve_words

    table = plan.painting.table
    yield f"{plan.scene.title}, on {table.paper.name} paper. {times_text(plan)}\n"
    if not plan.steps:
        yield "No step yet: add washes to the scene."
    else:
        yield f"Each value is read {FULLEST_WORDS}, just after the step.\n"
    for step in plan.steps:
        yield from _step_lines(step)
    yield from _table_lines(plan)
    yield from _titled("Mind", [plan.cockling, *plan.mistakes])
    yield from _titled("Order", order_words(plan))
    yield from _titled("Risks", running_words(plan))
    yield from _value_lines(plan)
    yield from _titled("Reserve", [reserve_words(plan.reserves)])
    yield f"\n{plan.promise}"
    if plan.bleaches:
        from glaze.materials.bleach import CAUTION

        yield f"\nBLEACH\n{CAUTION}"


def _step_lines(step: PlannedStep) -> Iterator[str]:
    from glaze.step.timing import spoken

    look = f"{step.value.text}" if step.value else ""
    leaves = f", leaves {step.ghost}" if step.ghost else ""
    yield f"{step.number:3}  {step.name}  [{step.kind}]  {look}{leaves}"
    if step.amount is not None:
        coats = f", {step.coats} {'touches' if step.kind == 'lift' else 'coats'}"
        source = f"from the well {step.amount.well}" if step.amount.well else step.amount.text
        yield (
            f"     {source}: {step.amount.ml_words}, {step.amount.parts}"
            f"{coats if step.coats > 1 else ''}; covers {step.amount.area_cm2:.1f} cm2"
        )
    dry = spoken(step.minutes.dry)
    yield f"     {step.reason} {spoken(step.minutes.hands_on)} to do, {dry} to dry."
    for warning in step.warnings:
        yield f"     {warning}"


def _table_lines(plan: Plan) -> Iterator[str]:
    """Stock mixes and bottles."""
    from glaze.materials.parts_told import ml_words

    if plan.wells:
        yield "\nStock mixes for all their washes:"
    for name, amount in plan.wells.items():
        yield f"  {name}: {amount.text}  ({amount.ml_words}, {amount.parts})"
    used = ", ".join(f"{name} {ml_words(ml)}" for name, ml in plan.bottles_ml.items())
    if used:
        yield f"In all: {used}, with a spare of 40 %."


def _value_lines(plan: Plan) -> Iterator[str]:
    from glaze.planning.sheet.values import STEPS

    yield f"\nValues:\n  {VALUE_NOTE.removeprefix('Value: ')}"
    for steps, words in STEPS.items():
        row = zip(words, plan.values.shares[steps], strict=True)
        yield f"  in {steps}: " + ", ".join(f"{word} {share:.0%}" for word, share in row)
    yield f"  {plan.values.note}"
    for pair in plan.merging[:MOST_TOLD]:
        yield f"  {pair.text}"
    for lost in plan.lost[:MOST_TOLD]:
        one, other = plan.layout.places[lost.one].name, plan.layout.places[lost.other].name
        yield f'  "{one}" and "{other}" look nearly alike to {" and ".join(lost.seen)} vision.'


def _titled(title: str, lines: Iterable[str]) -> Iterator[str]:
    """Remarks under a title; the first few of many."""
    told = [line for line in lines if line]
    if told:
        yield f"\n{title}:"
    for line in told[:MOST_TOLD]:
        yield f"  {line}"
    if len(told) > MOST_TOLD:
        yield f"  and {len(told) - MOST_TOLD} more; --json has them all."
