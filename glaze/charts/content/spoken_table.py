"""The bottles and papers that come with glaze, called as a language calls them.

For sheets in the hands of people who never type a name; a painter's own keep theirs.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType

from glaze.materials.words import Words
from glaze.patch.table import Table


def spoken_table(table: Table, words: Words) -> Table:
    """A table whose invented bottles and built-in paper bear a language's names and key letters.

    It has no wells: their mixes are of bottles as they were called before.
    """
    called = _called(table, words)
    inks = {}
    for name, ink in table.palette.inks.items():
        told = called.get(name, name)
        letter = words(f"key_letters.{name}") if name in called else ink.key
        inks[told] = replace(ink, name=told, key=letter)
    palette = replace(table.palette, inks=MappingProxyType(inks))
    paper = words.told["called"].get(table.paper.name, table.paper.name)
    return replace(table, palette=palette, paper=replace(table.paper, name=paper), wells={})


def speaker(table: Table, words: Words) -> Callable[[str], str]:
    """What calls a table's bottles in a text, such as a recipe, as `spoken_table` does."""
    called = _called(table, words)
    known = "|".join(sorted(map(re.escape, called), key=len, reverse=True))
    return lambda text: re.sub(rf"\b(?:{known})\b", lambda name: called.get(name[0], ""), text)


def _called(table: Table, words: Words) -> Mapping[str, str]:
    """Names of the bottles that come with glaze, in the language, by their own."""
    called = words.told["called"]
    inks = table.palette.inks.values()
    return {i.name: called[i.name] for i in inks if i.how == "invented" and i.name in called}
