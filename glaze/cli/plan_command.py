"""`glaze plan SCENE`: the whole plan in words, as JSON, and as a card to print."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from glaze.cli import completing
from glaze.cli.each_scene import Class, Done, each_scene
from glaze.cli.printing import sheets_written, to_open, to_print
from glaze.cli.show import VALUE_NOTE, Answer, answers, progress, refuse_idle, working
from glaze.cli.table_options import dropper_option
from glaze.errors import number_of, percent

if TYPE_CHECKING:
    from glaze.planning.sheet.plan import Plan, PlannedStep
    from glaze.sheet.memory import Memory

MOST_TOLD = 6
"""Of each kind of remark; all of them stand in the JSON."""


def _planned(found: Mapping[str, Any]) -> list[str]:
    from glaze.step.timing import spoken

    minutes = found["minutes"]
    dry = spoken(minutes) if minutes is not None else "never dry"
    return [number_of(len(found["steps"]), "step"), dry, _ml_of_each(found["bottles_ml"])]


def _all_bottles(
    done: Mapping[str, Done], places: Mapping[str, Path]
) -> tuple[dict[str, Any], list[str]]:
    """What a class takes of every bottle."""
    used: Counter[str] = Counter()
    for one in done.values():
        used.update(one.found["bottles_ml"])
    told = [f"All together: {_ml_of_each(used)}, with a spare of 40 %."] if used else []
    return {"bottles_ml": {name: round(ml, 2) for name, ml in used.items()}}, told


def _ml_of_each(bottles_ml: Mapping[str, float]) -> str:
    from glaze.materials.parts_told import ml_words

    return ", ".join(f"{name} {ml_words(ml)}" for name, ml in bottles_ml.items())


@click.command()
@click.argument("scene_path", metavar="SCENE | FOLDER", shell_complete=completing.scenes)
@click.option("--card", default=None, help="Also print the recipe card: .pdf, .svg or .png.")
@click.option("--card-size", default="A4", show_default=True, help="A4, A3 or Letter.")
@click.option("--page", default=None, help="Also write the bench page for a screen: .html")
@click.option("--language", default="en", show_default=True, help="Of the page: en, de, fr, es.")
@click.option("--date", default=None, help="Date on card and page; today's if not given.")
@dropper_option
@answers
@each_scene(Class(_planned, _all_bottles, {"card": ".pdf", "page": ".html"}))
def plan(
    scene_path: str,
    card: str | None,
    card_size: str,
    page: str | None,
    language: str,
    date: str | None,
    dropper: str | None,
) -> Answer:
    """Plan SCENE: order, drops and ml, minutes, risks, values, and what to reserve.

    With --card it is also printed at true size, to paint beside. With --page it becomes one page
    for a tablet or phone beside the sheet: a step a screen, drops to tick, clocks for drying.

    Of a FOLDER of scenes each is planned, and what all take of each bottle is told; --card and
    --page then name folders.
    """
    from glaze.charts.sheets.parts import Layout
    from glaze.materials.dropper import parse_dropper
    from glaze.painting.settle import resolve
    from glaze.planning.sheet.planner import plan_of
    from glaze.scene.file import load_scene
    from glaze.sheet.memory import Memory

    if card is None:
        refuse_idle("card_size", "is of the card (--card card.pdf)")
    if page is None:
        refuse_idle("language", "is of the page for a screen (--page page.html)")
    if card is None and page is None:
        refuse_idle("date", "is of the card or the page (--card card.pdf)")
    Layout(card_size, day=date)
    _check_places(card, page, language)
    scene = load_scene(scene_path)
    if dropper:
        scene = scene.counted_with(parse_dropper(dropper))
    memory = Memory()
    with working("Working out the plan") as share:
        found = plan_of(scene, resolve(scene, share, even=True, memory=memory))
    written: dict[str, list[str]] = {"card": [], "page": []}
    if card is not None:
        from glaze.charts.sheets.card import card_pages

        written["card"] = sheets_written(card_pages(found, card_size, date), card, 150.0)
    if page is not None:
        written["page"] = [_write_bench_page(found, memory, Path(page), language, date)]
    printed = to_print(written["card"])
    printed += to_open(written["page"])
    return found.as_dict() | written, [*plan_lines(found), *printed]


def _check_places(card: str | None, page: str | None, language: str) -> None:
    """Refuse what can't be written, before the work is done."""
    from glaze.charts.content.lesson_words import lesson_words

    lesson_words(language)
    if card is not None:
        from glaze.charts.paper.publish import check_output

        check_output(Path(card))
    if page is not None:
        from glaze.picture.writable import check_place

        check_place(Path(page), (".html",), "the bench page")


def _write_bench_page(
    found: Plan, memory: Memory, path: Path, language: str, date: str | None
) -> str:
    """The plan as a page for a screen; gives where it lies."""
    from glaze.charts.content.lesson_words import lesson_words
    from glaze.charts.screen.bench_page import bench_page
    from glaze.painting.settle import resolve
    from glaze.picture.writing import write_whole

    painting = resolve(found.scene, memory=memory)
    with progress("Painting it step by step") as share:
        text = bench_page(found, painting, lesson_words(language), date, share)
    write_whole(path, text.encode())
    return str(path)


def plan_lines(plan: Plan) -> Iterator[str]:
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
    from glaze.cli.screen import block
    from glaze.patch.seen import chip_of_xyz
    from glaze.step.timing import spoken

    look = f"{block(chip_of_xyz(step.xyz))}{step.value.text}" if step.value else ""
    leaves = f", leaves {step.ghost}" if step.ghost else ""
    yield f"{step.number:3}  {step.name}  [{step.kind}]  {look}{leaves}"
    if step.amount is not None:
        coats = f", {step.coats} {'touches' if step.kind == 'lift' else 'coats'}"
        source = f"from the well {step.amount.well}" if step.amount.ready else step.amount.text
        yield (
            f"     {source}: {step.amount.ml_words}, {step.amount.parts}"
            f"{coats if step.coats > 1 else ''}; covers {step.amount.area_cm2:.1f} cm²"
        )
    dry = spoken(step.minutes.dry)
    yield f"     {step.reason} {spoken(step.minutes.hands_on)} to do, {dry} to dry."
    for warning in step.warnings:
        yield f"     {warning}"


def _table_lines(plan: Plan) -> Iterator[str]:
    """Stock mixes and bottles."""
    if plan.wells:
        yield "\nStock mixes for all their washes:"
    for name, amount in plan.wells.items():
        yield f"  {name}: {amount.text}  ({amount.ml_words}, {amount.parts})"
    used = _ml_of_each(plan.bottles_ml)
    if used:
        yield f"In all: {used}, with a spare of 40 %."


def _value_lines(plan: Plan) -> Iterator[str]:
    from glaze.planning.sheet.values import STEPS

    yield f"\nValues:\n  {VALUE_NOTE.removeprefix('Value: ')}"
    for steps, words in STEPS.items():
        row = zip(words, plan.values.shares[steps], strict=True)
        yield f"  in {steps}: " + ", ".join(f"{word} {percent(share)}" for word, share in row)
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
