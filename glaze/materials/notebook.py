"""Tables in HTML, as notebooks show what lies in a cell's last line."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape


def html_table(title: str, heads: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A table with a line above it; a cell that is a colour, "#aabbcc", is shown as a swatch."""
    head = "".join(f"<th>{escape(name)}</th>" for name in heads)
    body = "".join(f"<tr>{''.join(map(_cell, row))}</tr>" for row in rows)
    return f"<p>{escape(title)}</p><table><tr>{head}</tr>{body}</table>"


def _cell(text: str) -> str:
    if len(text) == 7 and text.startswith("#"):
        return f'<td style="background:{escape(text)};width:4em" title="{escape(text)}"></td>'
    return f"<td>{escape(text)}</td>"
