"""`glaze plan SCENE`: the whole plan in words, as JSON, and as a card to print."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from glaze.cli.show import (
    VALUE_NOTE,
    first_run_note,
    json_option,
    progress,
    tell,
    tell_json,
)
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
@json_option
def plan(
    scene_path: str,
    card: str | None,
    page: str,
    date: str | None,
    dropper: str | None,
    as_json: bool,
) -> None:
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
    with first_run_note(as_json), progress("Working out the plan", as_json) as share:
        from glaze.painting.settle import resolve

        found = plan_of(scene, resolve(scene, share, even=True))
    written: list[Path] = []
    if path is not None:
        from glaze.charts.paper.publish import write_pages
        from glaze.charts.sheets.card import card_pages

        written = write_pages(card_pages(found, page, date), path)
    if as_json:
        tell_json(found.as_dict() | {"card": [str(file) for file in written]})
        return
    _tell_plan(found)
    for file in written:
        tell(f"{file}: written. Print it at 100 %.")


def _tell_plan(plan: Plan) -> None:
    from glaze.planning.sheet.plan import FULLEST_WORDS, order_words, running_words, times_text
    from glaze.planning.sheet.values import reserve_words

    table = plan.painting.table
    tell(f"{plan.scene.title}, on {table.paper.name} paper. {times_text(plan)}\n")
    if not plan.steps:
        tell("No step yet: add washes to the scene.")
    else:
        tell(f"Each value is read {FULLEST_WORDS}, just after the step.\n")
    for step in plan.steps:
        _tell_step(step)
    _tell_table(plan)
    _tell_all("Mind", [plan.cockling, *plan.mistakes])
    _tell_all("Order", order_words(plan))
    _tell_all("Risks", running_words(plan))
    _tell_values(plan)
    _tell_all("Reserve", [reserve_words(plan.reserves)])
    tell(f"\n{plan.promise}")
    if plan.bleaches:
        from glaze.materials.bleach import CAUTION

        tell(f"\nBLEACH\n{CAUTION}")


def _tell_step(step: PlannedStep) -> None:
    from glaze.step.timing import spoken

    look = f"{step.value.text}" if step.value else ""
    leaves = f", leaves {step.ghost}" if step.ghost else ""
    tell(f"{step.number:3}  {step.name}  [{step.kind}]  {look}{leaves}")
    if step.amount is not None:
        coats = f", {step.coats} {'touches' if step.kind == 'lift' else 'coats'}"
        source = f"from the well {step.amount.well}" if step.amount.well else step.amount.text
        tell(
            f"     {source}: {step.amount.ml_words}, {step.amount.parts}"
            f"{coats if step.coats > 1 else ''}; covers {step.amount.area_cm2:.1f} cm2"
        )
    dry = spoken(step.minutes.dry)
    tell(f"     {step.reason} {spoken(step.minutes.hands_on)} to do, {dry} to dry.")
    for warning in step.warnings:
        tell(f"     {warning}")


def _tell_table(plan: Plan) -> None:
    """Stock mixes and bottles."""
    from glaze.materials.parts_told import ml_words

    if plan.wells:
        tell("\nStock mixes for all their washes:")
    for name, amount in plan.wells.items():
        tell(f"  {name}: {amount.text}  ({amount.ml_words}, {amount.parts})")
    used = ", ".join(f"{name} {ml_words(ml)}" for name, ml in plan.bottles_ml.items())
    if used:
        tell(f"In all: {used}, with a spare of 40 %.")


def _tell_values(plan: Plan) -> None:
    from glaze.planning.sheet.values import STEPS

    tell(f"\nValues:\n  {VALUE_NOTE.removeprefix('Value: ')}")
    for steps, words in STEPS.items():
        row = zip(words, plan.values.shares[steps], strict=True)
        tell(f"  in {steps}: " + ", ".join(f"{word} {share:.0%}" for word, share in row))
    tell(f"  {plan.values.note}")
    for pair in plan.merging[:MOST_TOLD]:
        tell(f"  {pair.text}")
    for lost in plan.lost[:MOST_TOLD]:
        one, other = plan.layout.places[lost.one].name, plan.layout.places[lost.other].name
        tell(f'  "{one}" and "{other}" look nearly alike to {" and ".join(lost.seen)} vision.')


def _tell_all(title: str, lines: Iterable[str]) -> None:
    """Remarks under a title; the first few of many."""
    told = [line for line in lines if line]
    if told:
        tell(f"\n{title}:")
    for line in told[:MOST_TOLD]:
        tell(f"  {line}")
    if len(told) > MOST_TOLD:
        tell(f"  and {len(told) - MOST_TOLD} more; --json has them all.")
