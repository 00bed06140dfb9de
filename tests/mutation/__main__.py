# ruff: noqa: E501
"""`python -m tests.mutation [PACKAGE ...] [--missed]`: change a line at a time: does a test fail?

`python -m tests.mutation random SEED COUNT [FIRST]` draws the changes by chance, from all of glaze.
Writes what the tests caught to docs/mutations.md; without a package, of all. With --missed only
those that no test saw the last time are tried again, and all of a package whose list has changed.
"""

from __future__ import annotations

import importlib
import os
import sys
import time
from collections.abc import Iterator
from pathlib import Path

from tests.mutation.by_chance import Ends, by_chance
from tests.mutation.running import (
    ROOT,
    Mutation,
    caught_by,
    copied,
    mutations_of,
    packages,
    watched,
)
from tests.mutation.watching import Seen

Rows = dict[str, tuple[int, int, str]]
"""Changes of each package, how many were caught, and those that weren't."""
PAGE = ROOT / "docs" / "mutations.md"

READ_ONCE = (
    *("colour", "numba", "pydantic", "pytest", "click.testing", "PIL.Image", "PIL.ImageCms"),
    *("scipy.ndimage", "scipy.optimize", "scipy.spatial", "scipy.stats", "scipy.sparse.csgraph"),
    *("hypothesis", "tomlkit", "tifffile", "reportlab.pdfgen.canvas", "fontTools.ttLib", "pypdf"),
)
"""What every run needs, read before it forks."""

CHANCE = """
## Drawn by chance

`python -m tests.mutation random SEED COUNT` draws single tokens by the code's own tree, evenly from
the packages of glaze: a comparison turned, + and -, times and divided, a constant a tenth or one
larger, `and` and `or`, a `not` dropped, an argument given back in place of what is made of it, an
index off by one. Words, types and errors told are left out. Each is tried on its module's listed
tests and on six files of tests at most: those that name the module, then those of its room, for 25 s of the processor. What
changes nothing that could be seen is named with its reason in `tests/mutation/same.toml`.
What none saw in that time when it was drawn stands below; tests written since may see it.

Of what slipped through most, the whole kind is held since: where marks stand on a printed page and
how large (`tests/charts/sheet_faults.py`, for every function that draws pages), the ends of figures
in files ([materials](materials.md#your-own-without-code) and the scene's schema, both ways), and
what commands take where nothing is said (`tests/cli/test_defaults.py`). The rest were branches
that few scenes come to, and single words of an answer.

| seed | drawn | caught | nothing to be seen | by none | of these seen now |
|---|---|---|---|---|---|
"""
SINCE = "(now seen by "
"""Stands behind a change, put there by hand, with the test."""
HEAD = """# Changes that the tests see

Made by `python -m tests.mutation`: it changes one figure, sign or condition of glaze at a time, in a
copy, and runs the tests that should see it (`tests/mutation/lists/` names such changes and their
tests, a file a package): first those that run the changed line, the quickest of them first. A change
that no test sees is a fault that could lie there today.

**{caught} of {total} are caught, {percent:.0f} %.**

| package | changes | caught | | seen by no test |
|---|---|---|---|---|
"""


def main() -> None:
    """Run the packages asked for and write their rows."""
    if sys.argv[1:2] == ["random"]:
        seed, count, first = (*map(int, sys.argv[2:5]), 0)[:3]
        _ready()
        before = _chances_before().get(seed, (0, 0, [])) if first else (0, 0, [])
        for seen, same, none in by_chance(seed, count, first):
            now = before[0] + seen, before[1] + same, [*before[2], *none]
            _write(_rows_before(), {**_chances_before(), seed: now})
        return
    again = "--missed" in sys.argv[1:]
    asked = [word for word in sys.argv[1:] if word != "--missed"] or packages()
    _ready()
    rows = _rows_before()
    with copied() as tree:
        tried = {package: _tried(package, tree, rows if again else {}) for package in asked}
        seen = watched(tree, [change for some in tried.values() for change in some])
        for name in seen.blind:
            print(f"Without any change, this fails or is left out: {name}", flush=True)
        for package, changes in tried.items():
            if changes:
                missed = list(_missed(tree, changes, seen))
                total = len(_possible(package, tree))
                rows[package] = total, total - len(missed), "; ".join(missed)
                print(f"{package}: {total - len(missed)} of {total}", flush=True)
            rows = {name: row for name, row in rows.items() if name in packages()}
            _write(rows, _chances_before())


def _ready() -> None:
    """Leave the machine to others, and read once what every run needs."""
    os.nice(5)
    for name in READ_ONCE:
        importlib.import_module(name)


def _possible(package: str, tree: Path) -> list[Mutation]:
    """Changes of a package that can be made."""
    return [c for c in mutations_of(package) if c.place(tree) and c.tests_there(tree)]


def _tried(package: str, tree: Path, rows: Rows) -> list[Mutation]:
    """Changes of a package to be tried: those that were missed, or all if its list is another."""
    possible = _possible(package, tree)
    for change in mutations_of(package):
        if change not in possible:
            print(f"It or its tests are no longer where they stood: {change}", flush=True)
    count, caught, missed = rows.get(package, (0, 0, ""))
    again = [change for change in possible if str(change) in missed]
    same = len(possible) == count and len(again) == count - caught
    return again if same else possible


def _missed(tree: Path, changes: list[Mutation], seen: Seen) -> Iterator[str]:
    """Those changes that no test sees."""
    for number, change in enumerate(changes, 1):
        began = time.monotonic()
        told = caught_by(tree, change, seen)
        took = time.monotonic() - began
        print(f"{number:3} {took:4.0f} s {told or 'NOT CAUGHT':60} {change}", flush=True)
        if not told:
            yield str(change)


def _page_before() -> tuple[list[str], list[str]]:
    """Lines of both parts of the page as it stands: listed changes, and those by chance."""
    text = PAGE.read_text(encoding="utf-8") if PAGE.is_file() else ""
    listed, _, chance = text.partition(CHANCE)
    return listed.splitlines(), chance.splitlines()


def _rows_before() -> Rows:
    """What the page says of each package."""
    rows = {}
    for line in _page_before()[0]:
        cells = [cell.strip() for cell in line.strip("|").split(" | ", 4)]
        if len(cells) == 5 and cells[1].isdigit():
            rows[cells[0]] = int(cells[1]), int(cells[2]), cells[4].rstrip("| ")
    return rows


def _chances_before() -> dict[int, Ends]:
    """What the page says of each seed."""
    lines = _page_before()[1]
    rows = [
        [int(cell) for cell in line.strip("| ").split(" | ")] for line in lines if line[:1] == "|"
    ]
    left = [line.removeprefix("- ").partition(": ") for line in lines if line[:2] == "- "]
    return {
        seed: (seen, same, [what for of, _, what in left if of == str(seed)])
        for seed, _, seen, same, *_ in rows
    }


def _write(rows: Rows, chances: dict[int, Ends]) -> None:
    total, caught = (sum(row[i] for row in rows.values()) for i in (0, 1))
    page = HEAD.format(total=total, caught=caught, percent=100 * caught / total)
    for name, (count, seen, missed) in sorted(rows.items()):
        page += f"| {name} | {count} | {seen} | {100 * seen / count:.0f} % | {missed} |\n"
    left = {p: len(mutations_of(p)) - rows.get(p, (0, 0, ""))[0] for p in packages()}
    if waiting := [f"{package} ({count})" for package, count in left.items() if count > 0]:
        page += f"\nListed and not run since: {', '.join(waiting)}.\n"
    if chances:
        page += CHANCE
    for seed, (seen, same, none) in sorted(chances.items()):
        since = sum(SINCE in what for what in none)
        drawn = seen + same + len(none)
        page += f"| {seed} | {drawn} | {seen} | {same} | {len(none)} | {since} |\n"
    none = [f"- {seed}: {what}\n" for seed in sorted(chances) for what in chances[seed][2]]
    PAGE.write_text(page + "\n" * bool(none) + "".join(none), encoding="utf-8")


if __name__ == "__main__":
    main()
