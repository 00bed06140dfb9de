"""Pages of the guide that the program tells of itself: each a function that gives Markdown."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from docutils import nodes
from sphinx.util.docutils import SphinxDirective

from guide.commands import commands
from guide.looks import colour_words, gallery, shapes
from guide.scene_keys import scene_keys
from guide.stock import dyes, inks, papers


def directive_of(tell: Callable[..., Iterator[str]]) -> type[SphinxDirective]:
    """A directive that stands for what a function tells."""

    class Told(SphinxDirective):
        """Markdown told by the program, read as if it stood in the page."""

        def run(self) -> list[nodes.Node]:
            """Read it."""
            text = "\n".join(tell())
            return list(self.parse_text_to_nodes(text, allow_section_headings=True))

    return Told


DIRECTIVES: dict[str, Any] = {
    "commands": directive_of(commands),
    "scene-keys": directive_of(scene_keys),
    "colour-words": directive_of(colour_words),
    "inks": directive_of(inks),
    "papers": directive_of(papers),
    "dyes": directive_of(dyes),
    "shapes": directive_of(shapes),
    "gallery": directive_of(gallery),
}
