# ruff: noqa: E501
"""`python -m tests.mutation [PACKAGE ...] [--missed]`: change a line at a time: does a test fail?

Writes what the tests caught to docs/mutations.md; without a package, of all. With --missed only
those that no test saw the last time are tried again.
"""

from __future__ import annotations

import importlib
import os
import sys
import time
from pathlib import Path

from tests.mutation.running import (
    LONGEST_S,
    ROOT,
    caught_by,
    copied,
    failing,
    mutations_of,
    packages,
)

PAGE = ROOT / "docs" / "mutations.md"

READ_ONCE = (
    *("colour", "numba", "pydantic", "pytest", "click.testing", "PIL.Image", "PIL.ImageCms"),
    *("scipy.ndimage", "scipy.optimize", "scipy.spatial", "scipy.stats", "scipy.sparse.csgraph"),
    *("hypothesis", "tomlkit", "tifffile", "reportlab.pdfgen.canvas", "fontTools.ttLib", "pypdf"),
)
"""What every run needs, read before it forks."""

HEAD = """# Changes that the tests see

Made by `python -m tests.mutation`: it changes one figure, sign or condition of glaze at a time, in a
copy, and runs the tests that should see it (`tests/mutation/lists/` names such changes and their
tests, a file a package). A change that no test sees is a fault that could lie there today.

**{caught} of {total} are caught, {percent:.0f} %.**

| package | changes | caught | | seen by no test |
|---|---|---|---|---|
"""


def main() -> None:
    """Run the packages asked for and write their rows."""
    again = "--missed" in sys.argv[1:]
    asked = [word for word in sys.argv[1:] if word != "--missed"] or packages()
    os.nice(5)
    for name in READ_ONCE:
        importlib.import_module(name)
    rows = _rows_before()
    with copied() as tree:
        for package in asked:
            before = rows.get(package, (0, 0, "")) if again else (0, 0, "")
            if again and not before[2]:
                continue
            if row := _row_of(package, tree, before[2]):
                rows[package] = row
            _write({name: row for name, row in rows.items() if name in packages()})


def _row_of(package: str, tree: Path, only: str = "") -> tuple[int, int, str] | None:
    """Changes of a package, how many were caught, and those that weren't; None if it can't be told.

    only : those that the page says were missed, where only they are to be tried again
    """
    listed = [c for c in mutations_of(package) if c.place(tree) and c.tests_there(tree)]
    for change in mutations_of(package):
        if change not in listed:
            print(f"It or its tests are no longer where they stood: {change}", flush=True)
    tried = [change for change in listed if not only or str(change) in only]
    tests = tuple(dict.fromkeys(test for change in tried for test in change.tests + change.wider))
    if seen := failing(tree, tests, tree.parent / "kernels", 20 * LONGEST_S):
        print(f"{package}: without any change, {seen}", flush=True)
        return None
    missed = []
    for number, change in enumerate(tried, 1):
        began = time.monotonic()
        seen = caught_by(tree, change)
        missed += [] if seen else [str(change)]
        took = time.monotonic() - began
        print(f"{number:3} {took:4.0f} s {seen or 'NOT CAUGHT':60} {change}", flush=True)
    print(f"{package}: {len(listed) - len(missed)} of {len(listed)}", flush=True)
    return len(listed), len(listed) - len(missed), "; ".join(missed)


def _rows_before() -> dict[str, tuple[int, int, str]]:
    """What the page says of each package."""
    rows = {}
    for line in PAGE.read_text(encoding="utf-8").splitlines() if PAGE.is_file() else ():
        cells = [cell.strip() for cell in line.strip("|").split(" | ")]
        if len(cells) == 5 and cells[1].isdigit():
            rows[cells[0]] = int(cells[1]), int(cells[2]), cells[4].rstrip("| ")
    return rows


def _write(rows: dict[str, tuple[int, int, str]]) -> None:
    total, caught = (sum(row[i] for row in rows.values()) for i in (0, 1))
    page = HEAD.format(total=total, caught=caught, percent=100 * caught / total)
    for name, (count, seen, missed) in sorted(rows.items()):
        page += f"| {name} | {count} | {seen} | {100 * seen / count:.0f} % | {missed} |\n"
    if waiting := [f"{p} ({len(mutations_of(p))})" for p in packages() if p not in rows]:
        page += f"\nListed and not run since: {', '.join(waiting)}.\n"
    PAGE.write_text(page, encoding="utf-8")


if __name__ == "__main__":
    main()
