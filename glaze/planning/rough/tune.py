"""Mixes moved until nothing gets nearer: a compass search, well by well.

All washes of a well have one proportion of the bottles; each has a strength of its own. A few
tries of each round are laid in one go; the best is taken, and the steps halve where none is.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from glaze.planning.rough.draft import Attempt, Easel, Grade

Array = NDArray[np.float64]
Numbers = NDArray[np.intp]

ROUNDS, FIRST, LAST = 14, 0.3, 0.02
"""Most rounds for a well; first and last step, as a share of what is moved."""
STRONGEST = 2.0
"""Most neat coats of one wash."""


def tuned(easel: Easel, draft: Attempt, wells: Sequence[int] | None = None) -> Attempt:
    """The draft with its mixes moved to where it is nearest, its stacks as they are.

    wells : those to move; all if None
    """
    draft = easel.judged(draft)
    of_well = draft.well or tuple(range(len(draft.mixes)))
    for well in dict.fromkeys(of_well) if wells is None else wells:
        washes = [n for n, own in enumerate(of_well) if own == well]
        draft = _well_tuned(easel, draft, washes)
    for wash, grade in enumerate(draft.grades):
        if grade is not None and wells is None:
            draft = _grade_tuned(easel, draft, wash, grade)
    return draft


def _grade_tuned(easel: Easel, draft: Attempt, wash: int, grade: Grade) -> Attempt:
    """A graded wash's ends moved along its run, and what it leaves at its end."""
    of = pieces_with(draft, [wash])
    if not of.size:
        return draft
    stacks, step = [draft.stacks[n] for n in of], FIRST
    grades, off = list(draft.grades), draft.off[of]
    for _ in range(ROUNDS):
        tries = []
        for moved in grade.moved(step):
            grades[wash] = moved
            made = replace(draft, grades=tuple(grades))
            tries.append((easel.off(made, stacks, of), moved))
        best, moved = min(tries, key=lambda one: float(one[0].sum()))
        if best.sum() < off.sum() - 1e-9:
            grade, off = moved, best
        else:
            step /= 2
            if step < LAST:
                break
    grades[wash] = grade
    found = draft.off.copy()
    found[of] = off
    return replace(draft, grades=tuple(grades), off=found)


def pieces_with(draft: Attempt, washes: Sequence[int]) -> Numbers:
    """Numbers of the pieces that one of some washes lies on."""
    some = set(washes)
    return np.array([n for n, s in enumerate(draft.stacks) if some.intersection(s)], dtype=np.intp)


def _well_tuned(easel: Easel, draft: Attempt, washes: list[int]) -> Attempt:
    of = pieces_with(draft, washes)
    if not of.size:
        return draft
    stacks = [draft.stacks[n] for n in of]
    mixes, off, step = draft.mixes, draft.off[of], FIRST
    for _ in range(ROUNDS):
        moves = _moves(mixes[washes], step)
        if not moves:
            break
        offs = easel.offs(replace(draft, mixes=mixes), washes, np.array(moves), stacks, of)
        best = int(offs.sum(axis=1).argmin())
        if offs[best].sum() < off.sum() - 1e-9:
            mixes, off = _with(mixes, washes, moves[best]), offs[best]
        else:
            step /= 2
            if step < LAST:
                break
    found = draft.off.copy()
    found[of] = off
    return replace(draft, mixes=mixes, off=found)


def _with(mixes: Array, washes: list[int], moved: Array) -> Array:
    made = mixes.copy()
    made[washes] = moved
    return made


def _moves(own: Array, step: float) -> list[Array]:
    """A well's washes with a little more or less of a bottle in all, or one stronger or weaker."""
    made, total = [], own.sum(axis=1, keepdims=True)
    for ink in range(own.shape[1]):
        for sign in (1.0, -1.0):
            some = own.copy()
            some[:, ink] = np.maximum(
                own[:, ink] + sign * step * np.maximum(own[:, ink], 0.2 * total[:, 0]), 0.0
            )
            made.append(some)
    for wash in range(len(own) if len(own) > 1 else 0):
        for factor in (1 + step, 1 / (1 + step)):
            some = own.copy()
            some[wash] *= factor
            made.append(some)
    return [
        some
        for some in made
        if some.sum(axis=1).min() > 1e-4 and some.sum(axis=1).max() < STRONGEST
    ]
