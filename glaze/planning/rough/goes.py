"""A wash laid in two goes, with a pause to dry, where in one it would drag what lies below it.

The brush of one go ends where the other's begins, at the edge that it would have dragged across;
both are of one well and one dilution, so nothing looks otherwise.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from glaze.painting.settle import Painting
from glaze.planning.rough.draft import Attempt
from glaze.planning.sheet.layout import Arrangement, Border, layout_of
from glaze.planning.sheet.order import STRONG_DE00, smear
from glaze.planning.sheet.place import coarse

Place = frozenset[int]
"""Steps that lie there."""


def drags(painting: Painting, layout: Arrangement, border: Border, lower: int, upper: int) -> bool:
    """Whether a wash drags another strongly over one border."""
    return smear(painting, replace(layout, borders=(border,)), lower, upper)[0] >= STRONG_DE00


def second_go(painting: Painting, lowers: Sequence[int], upper: int) -> list[Place]:
    """Places that a step leaves to a second go, so that it drags none of some steps over an edge.

    Of places that have to be parted the larger ones stay in the first.
    """
    small = coarse(painting)
    layout = layout_of(small)
    beside: dict[int, list[int]] = {}
    for border in layout.borders:
        if any(drags(small, layout, border, lower, upper) for lower in lowers):
            beside.setdefault(border.one, []).append(border.other)
            beside.setdefault(border.other, []).append(border.one)
    sides = [min(two, key=lambda side: _mm2(layout, side)) for two in _parted(beside)]
    return [frozenset(layout.places[n].steps) for side in sides for n in side]


def _mm2(layout: Arrangement, side: Sequence[int]) -> float:
    return sum(layout.places[n].area_mm2 for n in side)


def _parted(beside: dict[int, list[int]]) -> list[tuple[list[int], list[int]]]:
    """Every group of places that hang together in two sides; neighbours are on different ones,
    as far as that can be."""
    side: dict[int, int] = {}
    groups = []
    for start in beside:
        if start in side:
            continue
        side[start], waiting, group = 0, [start], [start]
        while waiting:
            place = waiting.pop(0)
            for other in beside[place]:
                if other not in side:
                    side[other] = 1 - side[place]
                    waiting.append(other)
                    group.append(other)
        groups.append(([n for n in group if side[n] == 0], [n for n in group if side[n] == 1]))
    return groups


def with_second_go(draft: Attempt, wash: int, pieces: Collection[int]) -> Attempt:
    """The draft with a wash once more, as its last, in the wash's place on some pieces."""
    again = len(draft.mixes)
    stacks = tuple(
        tuple(again if n == wash else n for n in stack) if piece in pieces else stack
        for piece, stack in enumerate(draft.stacks)
    )
    every = [*range(again), wash]
    return replace(
        draft,
        mixes=draft.mixes[every],
        grades=tuple(draft.grades[n] for n in every),
        cast=tuple(draft.cast[n] for n in every),
        well=tuple(draft.well[n] for n in every) if draft.well else (),
        stacks=stacks,
    )
