"""Areas of a sketch that a painter would take in one go: neighbours alike in size and shape."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import numpy as np

from glaze.region.areas import Area, Areas

LARGE_MM2 = 30.0
"""What is smaller waits: it is told beside the others and painted with a small brush."""
MOST_LARGE = 60
NEAR_MM = 2.5
SIZE_RATIO = 1.8
SHAPE_RATIO = 1.6


def neighbours(areas: Areas) -> set[tuple[int, int]]:
    """Pairs of areas that meet under a line, the lower number first.

    Areas are numbered in a field of shape (rows, columns), each number an index from 1.
    """
    pairs: set[tuple[int, int]] = set()
    for one, other in (
        (areas.number[:, :-1], areas.number[:, 1:]),
        (areas.number[:-1], areas.number[1:]),
    ):
        meet = (one != other) & (one > 0) & (other > 0)
        both = np.sort(np.stack([one[meet], other[meet]], axis=1), axis=1)
        pairs |= {(int(a), int(b)) for a, b in np.unique(both, axis=0)}
    return pairs


def groups_of(areas: Areas) -> list[tuple[int, ...]]:
    """Numbers of the large areas, neighbours alike in one group; the largest group first.

    Areas are numbered in a field of shape (rows, columns), each number an index from 1.
    """
    large = {a.number: a for a in areas.listed[:MOST_LARGE] if a.mm2 >= LARGE_MM2}
    group = {number: number for number in large}
    inner = [a for a in large.values() if not at_edge(a, areas.sketch.size_mm)]
    for one, other in combinations(inner, 2):
        if alike(one, other) and _apart_mm(one, other) <= NEAR_MM:
            old, new = group[other.number], group[one.number]
            group = {n: new if home == old else home for n, home in group.items()}
    homes = dict.fromkeys(group.values())
    found = [tuple(n for n in large if group[n] == home) for home in homes]
    return sorted(found, key=lambda numbers: -sum(large[n].mm2 for n in numbers))


def at_edge(area: Area, size_mm: tuple[float, float]) -> bool:
    """Whether it runs to the sheet's edge, as skies and fields do, each a wash of its own."""
    left, top, right, bottom = area.box_mm
    return left < 1 or top < 1 or right > size_mm[0] - 1 or bottom > size_mm[1] - 1


def _apart_mm(one: Area, other: Area) -> float:
    """Distance [mm] of the boxes round two areas."""
    across = max(one.box_mm[0], other.box_mm[0]) - min(one.box_mm[2], other.box_mm[2])
    down = max(one.box_mm[1], other.box_mm[1]) - min(one.box_mm[3], other.box_mm[3])
    return max(across, down, 0.0)


def alike(one: Area, other: Area) -> bool:
    """Whether two areas are of about one size and shape."""
    shapes = [(a.box_mm[2] - a.box_mm[0]) / (a.box_mm[3] - a.box_mm[1]) for a in (one, other)]
    size = max(one.mm2, other.mm2) / min(one.mm2, other.mm2)
    return size <= SIZE_RATIO and max(shapes) / min(shapes) <= SHAPE_RATIO


def parted(areas: Areas, groups: list[tuple[int, ...]], colours: int) -> Iterator[int]:
    """For each group one of so many colours, another than its neighbours have where that goes.

    Groups hold numbers of areas, which stand in a field of shape (rows, columns); each colour is
    given as an index.
    """
    home = {number: n for n, numbers in enumerate(groups) for number in numbers}
    meets = [set[int]() for _ in groups]
    for one, other in neighbours(areas):
        if one in home and other in home and home[one] != home[other]:
            meets[home[one]].add(home[other])
            meets[home[other]].add(home[one])
    taken: dict[int, int] = {}
    for n in range(len(groups)):
        near = {taken[other] for other in meets[n] if other in taken}
        order = [(n + k) % colours for k in range(colours)]
        taken[n] = next((colour for colour in order if colour not in near), order[0])
        yield taken[n]
