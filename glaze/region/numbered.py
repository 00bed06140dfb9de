"""Numbers of areas kept beside a scene, and found again in a sketch that has changed.

A sketch that was scanned again, moved, turned or made larger has the same areas in other places.
Which is which is told by where the middles of the areas lie among one another, and by their sizes.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from itertools import count
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.region.areas import Area, Areas

LARGEST = 14  # areas of each sketch by which the change between the two is found
SIZE_RATIO = 1.5  # two areas that differ more than this are not one area
OFF_SHARE = 0.3  # of an area's own width: so far its middle may lie off
OFF_MM = 1.0


def kept_text(areas: Areas, listed: Sequence[Area] | None = None) -> str:
    """The areas of a sketch of shape (rows, columns) as JSON, to be kept beside a scene.

    Numbers, places [mm] and sizes [mm2] of areas; places and widths of joins and gaps.

    listed : the areas under other numbers (`renumbered`)
    """
    lines = [json.dumps(vars(area)) for area in listed or areas.listed]
    joins, gaps = (
        [{"at_mm": _round(join.at_mm), "width_mm": round(join.width_mm, 2)} for join in some]
        for some in (areas.joins, areas.leaks.gaps)
    )
    width, height = areas.sketch.size_mm
    return (
        f'{{"sheet_mm": {json.dumps(_round((width, height)))}, "gap_mm": {areas.gap_mm:g},\n'
        f'"joins": {json.dumps(joins)},\n"gaps": {json.dumps(gaps)},\n"areas": [\n'
        + ",\n".join(lines)
        + "\n]}\n"
    )


def read_kept(path: Path) -> list[Area]:
    """The areas of a file that `kept_text` made.

    Raises
    ------
    InputError
        When it isn't such a file.
    """
    try:
        kept: Any = json.loads(path.read_text(encoding="utf-8"))
        return [
            Area(
                int(one["number"]),
                _tuple(one["at_mm"], 2),
                _tuple(one["middle_mm"], 2),
                float(one["mm2"]),
                _tuple(one["box_mm"], 4),
            )
            for one in kept["areas"]
        ]
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        raise InputError(
            f'"{path.name}" holds no numbers of areas, or is damaged. Number them anew: '
            "`glaze areas SCENE --renumber`; what the file holds is kept beside it."
        ) from None


def matched(kept: Sequence[Area], found: Sequence[Area]) -> dict[int, int]:
    """For each kept number that is found again, the number of its area now."""
    if not kept or not found:
        return {}
    if [(a.number, a.middle_mm) for a in kept] == [(a.number, a.middle_mm) for a in found]:
        return {area.number: area.number for area in kept}
    old, new = _middles(kept), _middles(found)
    old_mm2, new_mm2 = (np.array([area.mm2 for area in some]) for some in (kept, found))
    turn, shift = _change(old, old_mm2, new, new_mm2)
    away = np.abs(turn * old[:, None] + shift - new)
    ratio = np.abs(np.log(new_mm2 / (old_mm2[:, None] * abs(turn) ** 2)))
    off = OFF_MM + OFF_SHARE * np.sqrt(new_mm2)
    cost = np.where((away < off) & (ratio < np.log(SIZE_RATIO)), away / off + ratio, np.inf)
    pairs: dict[int, int] = {}
    taken: set[int] = set()
    for flat in np.argsort(cost, axis=None)[: np.count_nonzero(np.isfinite(cost))]:
        row, column = divmod(int(flat), len(found))
        if kept[row].number not in pairs and column not in taken:
            pairs[kept[row].number] = found[column].number
            taken.add(column)
    return pairs


def renumbered(kept: Sequence[Area], found: Sequence[Area]) -> list[Area]:
    """The areas of a sketch, each with the number it was kept under; new ones count on from there.

    Numbers that are kept for areas no longer found stay free.
    """
    old = {now: number for number, now in matched(kept, found).items()}
    free = count(max((area.number for area in kept), default=0) + 1)
    return [replace(area, number=old.get(area.number) or next(free)) for area in found]


def _change(
    old: NDArray[np.complex128],
    old_mm2: NDArray[np.float64],
    new: NDArray[np.complex128],
    new_mm2: NDArray[np.float64],
) -> tuple[complex, complex]:
    """Turn and scale, and shift, that bring most of the old sketch's larger areas onto new ones.

    Places are complex numbers x + iy [mm], so that a turn with a scale is one factor. Every two
    large areas of the old sketch are tried on every two of the new; as they are counts as well.
    """
    a, b = old[:LARGEST], new[:LARGEST]
    size_a, size_b = old_mm2[:LARGEST], new_mm2[:LARGEST]
    tries = [(1.0 + 0.0j, 0.0j)]
    i, j = np.nonzero(~np.eye(len(a), dtype=bool))
    k, m = np.nonzero(~np.eye(len(b), dtype=bool))
    between, again = a[j] - a[i], b[m] - b[k]
    with np.errstate(divide="ignore", invalid="ignore"):
        turns = again / between[:, None]
        one = np.abs(np.log(size_b[k] / size_a[i][:, None] / np.abs(turns) ** 2))
        other = np.abs(np.log(size_b[m] / size_a[j][:, None] / np.abs(turns) ** 2))
    good = (one < 0.2) & (other < 0.2) & np.isfinite(turns)
    rows, columns = np.nonzero(good)
    for row, column in zip(rows, columns, strict=True):
        turn = complex(turns[row, column])
        tries.append((turn, complex(b[k[column]] - turn * a[i[row]])))
    scores = [_fit(turn, shift, a, size_a, b, size_b) for turn, shift in tries]
    return tries[int(np.argmax(scores))]


def _fit(
    turn: complex,
    shift: complex,
    a: NDArray[np.complex128],
    size_a: NDArray[np.float64],
    b: NDArray[np.complex128],
    size_b: NDArray[np.float64],
) -> float:
    """How well large areas fall on one another: each counts up to 1."""
    away = np.abs(turn * a[:, None] + shift - b) / (OFF_MM + OFF_SHARE * np.sqrt(size_b))
    alike = np.abs(np.log(size_b / (size_a[:, None] * abs(turn) ** 2))) < np.log(SIZE_RATIO)
    return float(np.where(alike, np.maximum(1 - away, 0), 0).max(axis=1).sum())


def _middles(areas: Sequence[Area]) -> NDArray[np.complex128]:
    return np.array([complex(*area.middle_mm) for area in areas])


def _round(place: tuple[float, float]) -> list[float]:
    return [round(place[0], 2), round(place[1], 2)]


def _tuple(values: Any, count: int) -> Any:
    made = tuple(float(value) for value in values)
    if len(made) != count:
        raise ValueError
    return made


def in_words(numbers: list[int]) -> str:
    """Numbers as they are said in a sentence."""
    return ", ".join(map(str, numbers))
