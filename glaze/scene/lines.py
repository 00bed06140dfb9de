"""Where in a scene's text a step stands, so that a mistake in it is found."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

HEADER = re.compile(r"^\s*\[\[?")
STEP = re.compile(r"^\s*\[\[\s*step\s*\]\]")
NAMED = re.compile(r"\s*(?:wash|charge|lift|water_lift|rinse)\s*=\s*[\"'](.*?)[\"']")
PLACE = re.compile(r"(?:[^:\s]+: )?step\[(\d+)\](?:\.([\w-]+))?")


def with_lines(problems: Iterable[str], text: str) -> list[str]:
    """Problems of steps with the step's name and the line of the text in which they stand."""
    blocks = list(step_blocks(text.split("\n")))
    told = []
    for problem in problems:
        found = PLACE.match(problem)
        if found and int(found[1]) <= len(blocks):
            problem += f" {_where(*blocks[int(found[1]) - 1], found[2])}"
        told.append(problem)
    return told


def step_blocks(lines: list[str]) -> Iterator[tuple[int, list[str]]]:
    """Each step's first line, counted from 1, and its lines."""
    starts = [n for n, line in enumerate(lines) if STEP.match(line)]
    for start in starts:
        ends = (n for n in range(start + 1, len(lines)) if HEADER.match(lines[n]))
        yield start + 1, lines[start : next(ends, len(lines))]


def _where(first: int, block: list[str], key: str | None) -> str:
    """As: (step "shadow", line 14)."""
    line = next(
        (n for n, text in enumerate(block) if key and re.match(rf"\s*{re.escape(key)}\s*=", text)),
        0,
    )
    named = (NAMED.match(text) for text in block)
    name = next((found[1] for found in named if found), "")
    return f'(step "{name}", line {first + line})' if name else f"(line {first + line})"
