"""Changes drawn by chance, tried one by one: what the tests of their package see, and any test."""

from __future__ import annotations

import time
import tomllib
from collections import Counter
from pathlib import Path

from tests.mutation.drawing import drawn
from tests.mutation.running import Mutation, caught_by, copied, watched

SAME = Path(__file__).with_name("same.toml")
"""Changes that change nothing a painter could see, each with the reason."""


Ends = tuple[int, int, int, list[str]]
"""Seen by tests of their package, by others, nothing to be seen, and those that none saw."""


def by_chance(seed: int, count: int) -> Ends:
    """Try so many changes; a line of each is printed as it ends."""
    changes, ends, left = drawn(seed, count), Counter[str](), []
    same = tomllib.loads(SAME.read_text(encoding="utf-8"))
    with copied() as tree:
        seen = watched(tree, changes)
        for number, change in enumerate(changes, 1):
            began = time.monotonic()
            told = caught_by(tree, change, seen)
            line = in_a_line(change)
            end = "own" if told else "same" if line in same else "none"
            end = "others" if told.startswith("(wider)") else end
            ends[end] += 1
            left += [line] if end == "none" else []
            took = time.monotonic() - began
            print(f"{number:3} {took:4.0f} s {end:6} {line}\n{'':11}{told}", flush=True)
    return ends["own"], ends["others"], ends["same"], left


def in_a_line(change: Mutation) -> str:
    """A change by the line it stands in."""
    old, new = (text.splitlines()[0].strip() for text in (change.old, change.new))
    return f"{change.file}: {old} -> {new}"
