"""What every page for a screen has around its screens: head, clocks, foot, and its script."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from xml.etree.ElementTree import Element

from glaze.charts.screen.markup import document, tag
from glaze.materials.words import Words

TOLD_BY_SCRIPT = (
    *("undone", "step_of", "front", "set_out", "end", "more", "off"),
    *("wet", "not_laid", "is_dry", "not_kept"),
)
"""Words that the page itself puts together."""


def whole_page(
    title: str, screens: Sequence[tuple[str, Element]], words: Words, *, told: str, bare: str = ""
) -> str:
    """A page of its screens, as HTML.

    Parameters
    ----------
    screens : each with its name in the list of all of them
    told : what it tells, so that ticks of another plan are not taken for this one's
    bare : the picture before the first step, as a data URI
    """
    first = next((s.get("id") for _, s in screens if s.get("data-step")), "set-out")
    body = tag(
        "body",
        tag("a", words("bench.skip"), href=f"#{first}", class_="skip"),
        _head(title, screens, words),
        tag("main", *(screen for _, screen in screens), id="main"),
        _foot(words),
        tag("p", class_="spoken", role="status", **{"aria-live": "polite"}),
        _greys(),
        _known(told, bare, words),
    )
    return document(words.language, words("bench.title", title=title), body)


def screen(name: str, title: str, *children: Element | None, step: str = "") -> Element:
    """One screen: its picture, if any, and what is told beside it. step : its number, if any"""
    number = tag("span", step, class_="number") if step else None
    head = tag("h2", number, f" {title}" if step else title, id=f"h-{name}")
    wide = [c for c in children if c is not None and c.tag == "figure"]
    rest = [c for c in children if c is not None and c.tag != "figure"]
    return tag(
        "section",
        *wide,
        tag("div", head, *rest, class_="do"),
        **{"class": "screen", "id": name, "aria-labelledby": f"h-{name}"},
        data_step=step,
        tabindex="-1",
    )


def caution(words: Words) -> Element:
    """The caution in full."""
    lines = [tag("p", line) for line in words.caution]
    return tag("div", tag("h3", words("bench.bleach_title")), *lines, class_="caution", role="note")


def _known(told: str, bare: str, words: Words) -> Element:
    """What the page's script has to know."""
    known = {
        "plan": hashlib.sha256(told.encode()).hexdigest()[:16],
        "bare": bare,
        "words": {key: words.told["bench"][key] for key in TOLD_BY_SCRIPT},
    }
    text = json.dumps(known, ensure_ascii=False).replace("<", "\\u003c")
    return tag("script", text, type="application/json", id="told")


def _greys() -> Element:
    """A filter that shows luminance alone, worked out in linear light as the views in values."""
    row = "0.2126 0.7152 0.0722 0 0 "
    matrix = tag("feColorMatrix", type="matrix", values=row * 3 + "0 0 0 1 0")
    held = tag("filter", matrix, id="greys", **{"color-interpolation-filters": "linearRGB"})
    return tag("svg", held, width="0", height="0", class_="held", **{"aria-hidden": "true"})


def _head(title: str, screens: Sequence[tuple[str, Element]], words: Words) -> Element:
    """Title, clocks, the list of all screens, light or dark."""
    items = [tag("li", tag("a", name, href=f"#{one.get('id')}")) for name, one in screens]
    listed = tag("details", tag("summary", words("bench.steps")), tag("ol", *items), class_="list")
    clocks = tag("ul", class_="clocks", **{"aria-label": words("bench.clocks")})
    look = tag("button", "◐", type="button", id="look", **{"aria-label": words("bench.look")})
    head = tag("h1", title, class_="title")
    return tag("header", head, tag("p", class_="where"), listed, look, clocks)


def _foot(words: Words) -> Element:
    return tag(
        "nav",
        tag("button", "← " + words("bench.back"), type="button", id="back"),
        tag("button", words("bench.undo"), type="button", id="undo"),
        tag("button", words("bench.next") + " →", type="button", id="next"),
        **{"aria-label": words("bench.steps")},
    )
