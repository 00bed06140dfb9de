"""A draft in the making: its graded grounds, and washes laid on it or taken from it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glaze.planning.rough.draft import Attempt, Stack
from glaze.planning.rough.pieces import NONE

Array = NDArray[np.float64]
Numbers = NDArray[np.intp]

DEEPEST = 5
"""Most washes over each other."""


@dataclass(frozen=True, eq=False)
class GradedGround:
    """Graded washes that lie over each other, and the pieces that may lie on them."""

    washes: Stack
    near: Numbers


@dataclass(frozen=True, eq=False)
class State:
    """A draft and its grounds."""

    draft: Attempt
    grounds: tuple[GradedGround, ...] = ()


def as_they_lie(draft: Attempt) -> list[tuple[Stack, Numbers]]:
    """The stacks of a draft, and each with the last wash over it, on the pieces that have it."""
    homes: dict[Stack, list[int]] = {}
    for n, stack in enumerate(draft.stacks):
        homes.setdefault(stack, []).append(n)
    last = len(draft.mixes) - 1
    found = []
    for stack, at in homes.items():
        of = np.array(at)
        found.append((stack, of))
        if last >= 0 and last not in stack and len(stack) < DEEPEST:
            found.append(((*stack, last), of))
    return found


def with_wash(state: State, mix: Array, cast: int = NONE, well: int | None = None) -> State:
    """The attempt with a flat wash more, [neat coats] of each bottle, shape (bottles,).

    cast : number of the rough's shadow it is meant for. well : that it is taken from
    """
    draft = state.draft
    made = replace(
        draft,
        mixes=np.vstack([draft.mixes, mix]),
        grades=(*draft.grades, None),
        cast=(*draft.cast, cast),
        well=draft.well if well is None else (*draft.well, well),
    )
    return replace(state, draft=made)


def less_idle(state: State, shadows_too: bool = False) -> State:
    """The draft without the washes that lie nowhere; a shadow's own waits for its place."""
    draft = state.draft
    waits = [n for n, cast in enumerate(draft.cast) if cast != NONE and not shadows_too]
    kept = {*draft.used, *waits}
    return without(state, [n for n in range(len(draft.mixes)) if n not in kept])


def without(state: State, washes: Sequence[int]) -> State:
    """The draft less some washes; what lay over or under them stays."""
    draft = state.draft
    kept = [n for n in range(len(draft.mixes)) if n not in washes]
    now = {old: new for new, old in enumerate(kept)}
    stacks = tuple(tuple(now[n] for n in s if n in now) for s in draft.stacks)
    grades = tuple(draft.grades[n] for n in kept)
    cast = tuple(draft.cast[n] for n in kept)
    well = tuple(draft.well[n] for n in kept) if draft.well else ()
    grounds = tuple(
        replace(g, washes=tuple(now[n] for n in g.washes if n in now)) for g in state.grounds
    )
    mixes = draft.mixes[kept]
    made = replace(draft, mixes=mixes, grades=grades, stacks=stacks, cast=cast, well=well)
    return State(made, tuple(g for g in grounds if g.washes))
