"""What the guide is made from: commands that are run, and pages told by the program itself."""

from __future__ import annotations

import re
import shutil
from typing import Any

from sphinx.util.inspect import TypeAliasForwardRef

from guide.run import MADE, Run
from guide.told import DIRECTIVES

ITEM = re.compile(r"(\w[\w, ]*?) : (.*)")
"""A line of our sections: a name and what it is."""


def setup(app: Any) -> dict[str, Any]:
    """Let Sphinx know the directives."""
    app.add_directive("run", Run)
    for name, directive in DIRECTIVES.items():
        app.add_directive(name, directive)
    app.connect("builder-inited", _start)
    app.connect("autodoc-process-docstring", _described, priority=400)
    # "ArrayLike | None" as it is written
    TypeAliasForwardRef.__repr__ = lambda alias: alias.name  # type: ignore[method-assign]
    return {"parallel_read_safe": True}


def _start(app: Any) -> None:
    """Begin with no pictures of an earlier build; the type stands in the site itself."""
    from glaze.charts.paper.type import font_file

    shutil.rmtree(MADE, ignore_errors=True)
    MADE.mkdir()
    for face, weight in (("Regular", 400), ("Bold", 700)):
        target = f"Hyperlegible-{face}.ttf"
        shutil.copy(font_file(face), MADE / target)
        rule = (
            f"@font-face {{ font-family: 'Hyperlegible'; font-weight: {weight};"
            f" src: url('{target}') format('truetype'); }}\n"
        )
        with (MADE / "type.css").open("a", encoding="utf-8") as file:
            file.write(rule)
    app.config.html_static_path.append(str(MADE))
    app.add_css_file("type.css")


def _described(app: Any, what: str, name: str, obj: Any, options: Any, lines: list[str]) -> None:
    """Move what our sections say after "name :" to the line below, as no type stands there."""
    part, told = "", list[str]()
    items = [n for n, line in enumerate(lines) if ITEM.fullmatch(line)]
    if items and not any(line.startswith("---") for line in lines):
        lines[items[0] : items[0]] = ["Parameters", "----------"]
    for number, line in enumerate(lines):
        ruled = line and set(line) == {"-"}
        if ruled:
            part = lines[number - 1]
            # what a class is made with is told once, with its types
            told[-1] = told[-1].replace("Attributes", "Parameters")
            line = "-" * len(told[-1])
        found = ITEM.fullmatch(line)
        named = part in ("Parameters", "Attributes") and found
        told += [found[1], f"    {found[2]}"] if found and named else [line]
    lines[:] = told
