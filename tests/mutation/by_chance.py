"""Changes drawn by chance, tried one by one on the tests of their module."""

from __future__ import annotations

import shutil
import tomllib
from pathlib import Path

from platformdirs import user_cache_path

from tests.mutation.drawing import drawn
from tests.mutation.running import Mutation, changed, copied, failing

SAME = Path(__file__).with_name("same.toml")
"""Changes that change nothing a painter could see, each with the reason."""
Ends = tuple[int, int, list[str]]
"""Changes that are seen, those that change nothing to be seen, and those that no test saw."""


def by_chance(seed: int, count: int, first: int = 0) -> Ends:
    """Try so many changes of a seed; a line of each is printed as it ends."""
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
                told = failing(tree, change.tests, kernels)
            seen += bool(told)
            none += [line] if not told and line not in same else []
            end = "seen" if told else "same" if line in same else "NONE"
            print(f"{number:3} {end} {line}\n{'':9}{told or change.tests}", flush=True)
    return seen, count - seen - len(none), none


def in_a_line(change: Mutation) -> str:
    """A change by the line it stands in."""
    old, new = (text.splitlines()[0].strip() for text in (change.old, change.new))
    return f"{change.file}: {old} -> {new}"
