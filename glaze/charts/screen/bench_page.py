"""The plan beside the sheet: one page for a tablet or phone that needs no network."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Sequence
from xml.etree.ElementTree import Element

from glaze.charts.screen.bench_step import drops_list, sentence, sheet_figure, step_screen, ticks
from glaze.charts.screen.markup import tag
from glaze.charts.screen.shell import caution, screen, whole_page
from glaze.charts.screen.stages import Stage, stages_of
from glaze.charts.screen.to_do import Tick
from glaze.charts.sheets.facts import facts_of
from glaze.materials.parts_told import ml_words
from glaze.materials.recipe import WATER
from glaze.materials.words import Words
from glaze.painting.settle import Painting
from glaze.patch.seen import looks_of
from glaze.patch.washes import lay_first
from glaze.planning.sheet.plan import Plan
from glaze.step.timing import spoken


def bench_page(
    plan: Plan,
    painting: Painting,
    words: Words,
    day: str | None = None,
    progress: Callable[[float], None] = lambda share: None,
) -> str:
    """The page of a plan, as HTML.

    Parameters
    ----------
    painting : the scene's, as it is painted
    day : date to print, today's if None
    progress : called with the share done, 0 to 1
    """
    stages = stages_of(painting, progress)
    screens = [
        (words("bench.front"), _front(plan, stages[-1], words, day)),
        (words("bench.set_out"), _set_out(plan, words)),
        *(
            (f"{s.number} {s.name}", step_screen(plan, s, stages[s.number], words))
            for s in plan.steps
        ),
        (words("bench.end"), _end(plan, stages[-1], words)),
    ]
    told = json.dumps(plan.as_dict(), sort_keys=True, ensure_ascii=False)
    return whole_page(plan.scene.title, screens, words, told=told, bare=stages[0].picture)


def _size_mm(plan: Plan) -> dict[str, str]:
    wide, high = plan.painting.size_mm
    paper = plan.painting.table.paper.name
    return {"wide": f"{wide:.0f}", "high": f"{high:.0f}", "paper": paper}


def _front(plan: Plan, last: Stage, words: Words, day: str | None) -> Element:
    """The finished picture, how long it takes, and how far to trust it."""
    one, best = spoken(plan.minutes), spoken(plan.minutes_at_best)
    times = words("bench.never") if one == "never" else words("bench.times", one=one, best=best)
    standing = words(f"bench.standing.{plan.standing}")
    return screen(
        "front",
        plan.scene.title,
        _whole(last, plan, words),
        tag("p", words("bench.size", **_size_mm(plan))),
        tag("p", times),
        tag("p", words("bench.predicted", standing=standing)),
        tag("p", words("bench.kept"), class_="quiet screen-only", id="kept"),
        tag("p", facts_of(plan.painting.table, day, words), class_="quiet"),
    )


def _whole(stage: Stage, plan: Plan, words: Words) -> Element:
    whole = Stage(stage.picture, "", stage.box_mm)
    return sheet_figure(whole, words("bench.finished", title=plan.scene.title), words, before=False)


def _set_out(plan: Plan, words: Words) -> Element:
    """What stands ready before the first wash, to tick; with the caution where bleach is in."""
    used = [(n, ml) for n, ml in plan.bottles_ml.items() if n != WATER and ml > 0]
    bottles = [
        words("bench.bottle", ml=ml_words(ml), name=words("bench.bleach") if n == "bleach" else n)
        for n, ml in used
    ]
    things = [words("bench.sheet", **_size_mm(plan)), words("bench.water_pots")]
    things += [words("bench.bleach_things")] if plan.bleaches else []
    return screen(
        "set-out",
        words("bench.set_out"),
        tag("h3", words("bench.things")),
        _listed("thing", things),
        tag("h3", words("bench.bottles")),
        _listed("bottle", bottles),
        *_wells(plan, words),
        *_before(plan, words),
        caution(words) if plan.bleaches else None,
    )


def _listed(key: str, lines: Sequence[str]) -> Element:
    return ticks([Tick(f"{key}.{n}", line) for n, line in enumerate(lines, start=1)])


def _wells(plan: Plan, words: Words) -> Iterator[Element]:
    """Stock mixes with their colours and the drops to count."""
    if plan.wells:
        yield tag("h3", words("bench.wells"))
    table = plan.painting.table
    for name, amount in plan.wells.items():
        (look,) = looks_of(table, lay_first(table, [table.wells[name]]))
        swatch = tag("span", class_="swatch", style=f"background:{look.hex}")
        told = words("bench.well", name=name, ml=amount.ml_words)
        head = tag("p", swatch, tag("b", told), class_="mix")
        yield tag("div", head, drops_list(amount, f"well.{name}", words), class_="well")


def _before(plan: Plan, words: Words) -> Iterator[Element]:
    """What to mind before the first wash."""
    told = [line for line in (plan.cockling, *plan.mistakes) if line]
    if told:
        lines = [sentence(line, words, "li") for line in told]
        yield tag("div", tag("h3", words("bench.mind")), tag("ul", *lines), class_="mind")


def _end(plan: Plan, last: Stage, words: Words) -> Element:
    return screen(
        "end",
        words("bench.end"),
        _whole(last, plan, words),
        tag("p", words("bench.finished_told")),
        tag("p", plan.promise, lang="" if words.language == "en" else "en"),
    )
