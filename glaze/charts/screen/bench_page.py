"""The plan beside the sheet: one page for a tablet or phone that needs no network."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterator, Sequence
from xml.etree.ElementTree import Element

from glaze.charts.content.lesson_words import Words
from glaze.charts.screen.bench_step import drops_list, sentence, sheet_figure, step_screen, ticks
from glaze.charts.screen.markup import document, tag
from glaze.charts.screen.stages import Stage, stages_of
from glaze.charts.screen.to_do import Tick
from glaze.charts.sheets.facts import facts_of
from glaze.materials.parts_told import ml_words
from glaze.materials.recipe import WATER
from glaze.painting.settle import Painting
from glaze.patch.patches import bare_patches, glaze
from glaze.patch.seen import looks_of
from glaze.physics.flow import MM_PER_INCH
from glaze.planning.sheet.plan import Plan
from glaze.step.timing import spoken

TOLD_BY_SCRIPT = (
    *("undone", "step_of", "front", "set_out", "end", "no_clock", "more", "off", "ringing"),
    *("wet", "not_laid", "is_dry", "not_kept"),
)
"""Words that the page itself puts together."""


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
        _front(plan, stages[-1], words, day),
        _set_out(plan, words),
        *(step_screen(plan, s, stages[s.number], words) for s in plan.steps),
        _end(plan, stages[-1], words, day),
    ]
    title = words("bench.title", title=plan.scene.title)
    first = "#step-1" if plan.steps else "#set-out"
    body = tag(
        "body",
        tag("a", words("bench.skip"), href=first, class_="skip"),
        _head(plan, words),
        tag("main", *screens, id="main"),
        _foot(words),
        tag("p", class_="spoken", role="status", **{"aria-live": "polite"}),
        _greys(),
        _told(plan, stages[0], words),
    )
    return document(words.language, title, body)


def _told(plan: Plan, bare: Stage, words: Words) -> Element:
    """What the page's script has to know."""
    content = json.dumps(plan.as_dict(), sort_keys=True, ensure_ascii=False)
    told = {
        "plan": hashlib.sha256(content.encode()).hexdigest()[:16],
        "bare": bare.picture,
        "words": {key: words.told["bench"][key] for key in TOLD_BY_SCRIPT},
    }
    text = json.dumps(told, ensure_ascii=False).replace("<", "\\u003c")
    return tag("script", text, type="application/json", id="told")


def _greys() -> Element:
    """A filter that shows luminance alone, worked out in linear light as the views in values."""
    row = "0.2126 0.7152 0.0722 0 0 "
    matrix = tag("feColorMatrix", type="matrix", values=row * 3 + "0 0 0 1 0")
    held = tag("filter", matrix, id="greys", **{"color-interpolation-filters": "linearRGB"})
    return tag("svg", held, width="0", height="0", class_="held", **{"aria-hidden": "true"})


# --- head and foot ---


def _head(plan: Plan, words: Words) -> Element:
    """Title, clocks, the list of all steps, light or dark."""
    links = [("#front", words("bench.front")), ("#set-out", words("bench.set_out"))]
    links += [(f"#step-{s.number}", f"{s.number} {s.name}") for s in plan.steps]
    links += [("#end", words("bench.end"))]
    items = [tag("li", tag("a", told, href=href)) for href, told in links]
    listed = tag("details", tag("summary", words("bench.steps")), tag("ol", *items), class_="list")
    clocks = tag("ul", class_="clocks", **{"aria-label": words("bench.clocks")})
    look = tag("button", "◐", type="button", id="look", **{"aria-label": words("bench.look")})
    title = tag("h1", plan.scene.title, class_="title")
    return tag("header", title, tag("p", class_="where"), listed, look, clocks)


def _foot(words: Words) -> Element:
    return tag(
        "nav",
        tag("button", "← " + words("bench.back"), type="button", id="back"),
        tag("button", words("bench.undo"), type="button", id="undo"),
        tag("button", words("bench.next") + " →", type="button", id="next"),
        **{"aria-label": words("bench.steps")},
    )


# --- before and after the steps ---


def _screen(name: str, title: str, *children: Element | None) -> Element:
    head = tag("h2", title, id=f"h-{name}")
    wide = [c for c in children if c is not None and c.tag == "figure"]
    rest = [c for c in children if c is not None and c.tag != "figure"]
    return tag(
        "section",
        *wide,
        tag("div", head, *rest, class_="do"),
        **{"class": "screen", "id": name, "aria-labelledby": f"h-{name}"},
        tabindex="-1",
    )


def _size_mm(plan: Plan) -> dict[str, str]:
    rows, columns = plan.painting.shape
    scale = MM_PER_INCH / plan.painting.dpi
    paper = plan.painting.table.paper.name
    return {"wide": f"{columns * scale:.0f}", "high": f"{rows * scale:.0f}", "paper": paper}


def _front(plan: Plan, last: Stage, words: Words, day: str | None) -> Element:
    """The finished picture, how long it takes, and how far to trust it."""
    one, best = spoken(plan.minutes), spoken(plan.minutes_at_best)
    times = words("bench.never") if one == "never" else words("bench.times", one=one, best=best)
    standing = words(f"bench.standing.{plan.standing}")
    return _screen(
        "front",
        plan.scene.title,
        _whole(last, plan, words),
        tag("p", words("bench.size", **_size_mm(plan))),
        tag("p", times),
        tag("p", words("bench.predicted", standing=standing)),
        tag("p", words("bench.kept"), class_="quiet screen-only", id="kept"),
        tag("p", facts_of(plan.painting.table, day), class_="quiet", lang=_english(words)),
    )


def _whole(stage: Stage, plan: Plan, words: Words) -> Element:
    whole = Stage(stage.picture, "", stage.box_mm)
    return sheet_figure(whole, words("bench.finished", title=plan.scene.title), words, before=False)


def _english(words: Words) -> str:
    return "" if words.language == "en" else "en"


def _set_out(plan: Plan, words: Words) -> Element:
    """What stands ready before the first wash, to tick; with the caution where bleach is in."""
    used = [(n, ml) for n, ml in plan.bottles_ml.items() if n != WATER and ml > 0]
    bottles = [
        words("bench.bottle", ml=ml_words(ml), name=words("bench.bleach") if n == "bleach" else n)
        for n, ml in used
    ]
    things = [words("bench.sheet", **_size_mm(plan)), words("bench.water_pots")]
    things += [words("bench.bleach_things")] if plan.bleaches else []
    return _screen(
        "set-out",
        words("bench.set_out"),
        tag("h3", words("bench.things")),
        _listed("thing", things),
        tag("h3", words("bench.bottles")),
        _listed("bottle", bottles),
        *_wells(plan, words),
        *_before(plan, words),
        caution(plan, words),
    )


def _listed(key: str, lines: Sequence[str]) -> Element:
    return ticks([Tick(f"{key}.{n}", line) for n, line in enumerate(lines, start=1)])


def _wells(plan: Plan, words: Words) -> Iterator[Element]:
    """Stock mixes with their colours and the drops to count."""
    if plan.wells:
        yield tag("h3", words("bench.wells"))
    table = plan.painting.table
    for name, amount in plan.wells.items():
        look = looks_of(table, glaze(table, bare_patches(table), table.wells[name]))[0]
        colour = "#{:02x}{:02x}{:02x}".format(*look.rgb8)
        swatch = tag("span", class_="swatch", style=f"background:{colour}")
        told = words("bench.well", name=name, ml=amount.ml_words)
        head = tag("p", swatch, tag("b", told), class_="mix")
        yield tag("div", head, drops_list(amount, f"well.{name}", words), class_="well")


def _before(plan: Plan, words: Words) -> Iterator[Element]:
    """What to mind before the first wash."""
    told = [line for line in (plan.cockling, *plan.mistakes) if line]
    if told:
        lines = [sentence(line, words, "li") for line in told]
        yield tag("div", tag("h3", words("bench.mind")), tag("ul", *lines), class_="mind")


def caution(plan: Plan, words: Words) -> Element | None:
    """The caution in full, where bleach is planned."""
    if not plan.bleaches:
        return None
    lines = [tag("p", line) for line in words.caution]
    return tag("div", tag("h3", words("bench.bleach_title")), *lines, class_="caution", role="note")


def _end(plan: Plan, last: Stage, words: Words, day: str | None) -> Element:
    return _screen(
        "end",
        words("bench.end"),
        _whole(last, plan, words),
        tag("p", words("bench.finished_told")),
        tag("p", plan.promise, lang=_english(words)),
    )
