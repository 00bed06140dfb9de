"""Changes drawn by chance, tried one by one on the tests of their module."""

from __future__ import annotations

import shutil
import tomllib
from collections.abc import Iterator
from pathlib import Path

from platformdirs import user_cache_path

from tests.mutation.drawing import drawn
from tests.mutation.running import Mutation, changed, copied, failing

SAME = Path(__file__).with_name("same.toml")
"""Changes that change nothing a painter could see, each with the reason."""
QUICK_S = 25
"""Processor time of the tests tried on one change."""
Ends = tuple[int, int, list[str]]
"""Changes that are seen, those that change nothing to be seen, and those that no test saw."""


def by_chance(seed: int, count: int, first: int = 0) -> Iterator[Ends]:
    """Try so many changes of a seed, from the first wanted; gives after each how it stands."""
    seen, none, same = 0, [], tomllib.loads(SAME.read_text(encoding="utf-8"))
    with copied() as tree:
        # kept by a hash of their sources, so that these serve unchanged code in a copy too
        compiled = user_cache_path("glaze") / "kernels"
        if compiled.is_dir():
            shutil.copytree(compiled, tree.parent / "kernels" / "glaze" / "kernels")
        for number, change in enumerate(drawn(seed, first + count)[first:], first + 1):
            line = in_a_line(change)
            file = change.place(tree)
            assert file is not None
            with changed(tree, change, file) as kernels:
                told = failing(tree, change.tests, kernels, longest_s=2 * QUICK_S)
            seen += bool(told)
            none += [line] if not told and line not in same else []
            end = "seen" if told else "same" if line in same else "NONE"
            print(f"{number:3} {end} {line}\n{'':9}{told or change.tests}", flush=True)
            yield seen, number - first - seen - len(none), none


def in_a_line(change: Mutation) -> str:
    """A change by the line it stands in."""
    old, new = (text.splitlines()[0].strip() for text in (change.old, change.new))
    return f"{change.file}: {old} -> {new}"
