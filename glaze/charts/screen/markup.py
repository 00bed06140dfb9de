"""Elements of a page for a browser, and the page as one text that asks the network for nothing."""

from __future__ import annotations

import base64
from functools import cache
from pathlib import Path
from xml.etree.ElementTree import Element, tostring

from glaze.charts.paper.type import font_file

FOLDER = Path(__file__).resolve().parent.parent / "tables" / "screen"
POLICY = (
    "default-src 'none'; img-src data:; font-src data:; style-src 'unsafe-inline'; "
    "script-src 'unsafe-inline'"
)
"""What the browser may load: nothing but what stands in the file itself."""

Child = Element | str | None


def tag(kind: str, *children: Child, **attributes: str) -> Element:
    """An element. `class_` and `data_key` are written class and data-key; "" leaves one out."""
    element = Element(kind)
    for key, value in attributes.items():
        if value or key == "alt":
            element.set(key.rstrip("_").replace("_", "-"), value)
    for child in children:
        _put(element, child)
    return element


def _put(element: Element, child: Child) -> None:
    if isinstance(child, Element):
        element.append(child)
    elif child and len(element):
        element[-1].tail = (element[-1].tail or "") + child
    elif child:
        element.text = (element.text or "") + child


def document(language: str, title: str, body: Element) -> str:
    """A whole page with its style, type and script inside."""
    head = tag(
        "head",
        tag("meta", charset="utf-8"),
        tag("meta", name="generator", content="glaze"),
        tag("meta", name="viewport", content="width=device-width, initial-scale=1"),
        tag("meta", http_equiv="Content-Security-Policy", content=POLICY),
        tag("title", title),
        tag("style", _faces() + (FOLDER / "page.css").read_text("utf-8")),
    )
    body.append(tag("script", (FOLDER / "page.js").read_text("utf-8")))
    page = tag("html", head, body, lang=language)
    return "<!doctype html>\n" + tostring(page, encoding="unicode", method="html") + "\n"


@cache
def _faces() -> str:
    """The sheets' own face, inside the page."""
    told = ""
    for face, weight in (("Regular", 400), ("Bold", 700)):
        held = base64.b64encode(Path(font_file(face)).read_bytes()).decode()
        told += (
            "@font-face{font-family:'Hyperlegible';font-weight:"
            f"{weight};src:url(data:font/ttf;base64,{held}) format('truetype')}}\n"
        )
    return told
