"""Which washes, and which of them on which piece: laid one by one where they gain most, then tuned.

Each new wash is chosen among many by what it gains over the whole sheet, on bare paper or over what
lies there already; a run of colours is offered its own graded washes. After each, every piece
chooses anew among all ways to lay what there is, so that one wash may serve as a local colour
here and as a glaze or a shadow there. Then mixes are moved, and washes that gain little are
tried elsewhere, as long as that helps.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from glaze.planning.rough.draft import OVER, Attempt, Easel, Stack
from glaze.planning.rough.grades import RunFit, run_fits
from glaze.planning.rough.grounds import (
    GradedGround,
    State,
    as_they_lie,
    less_idle,
    with_wash,
    without,
)
from glaze.planning.rough.offered import Washes, of_bottles, of_wells
from glaze.planning.rough.pieces import NONE
from glaze.planning.rough.shadows import CastShadow
from glaze.planning.rough.tune import tuned

Array = NDArray[np.float64]
Numbers = NDArray[np.intp]
Barred = tuple[frozenset[int], Numbers]
Offer = tuple[float, "Callable[[], State]"]

STEPS_PRICE = 0.5
"""All the steps that are allowed cost so much together [minded difference, mean of the sheet], so
each has to gain the more the fewer they are: of 6 a twelfth, of 25 a fiftieth."""
LEAST_SHARE, DROPPED_OF = 0.2, 2
"""Of its price that a wash has to gain as it is laid, as all are tuned to it later; and how many
of those that are missed least are tried without."""
MOST_RUNS, LEAST_RUN = 14, 0.0015
"""So many runs, of at least such a share of the sheet, are offered graded washes."""
MOST_DEEP = 24
SWAPS = 3
OFFERS = 4
TUNED_EVERY = 3
STEPS_A_SHADOW = 4
"""Fewer steps leave no room for a shadow's own wash, or for another."""


class Search:
    """The search for one rough.

    steps : most washes
    shadows : of the rough, each to be one wash
    """

    def __init__(self, easel: Easel, steps: int, shadows: Sequence[CastShadow] = ()) -> None:
        self.easel, self.steps = easel, steps
        self.price = STEPS_PRICE / steps
        self.least = LEAST_SHARE * self.price
        self.shadows = shadows[: steps // STEPS_A_SHADOW]
        self.washes = of_bottles(easel)
        self.runs = self._runs()

    def _runs(self) -> dict[int, list[RunFit]]:
        """Graded washes for the largest runs, by piece."""
        share = self.easel.wanted.share
        pieces = [n for n, p in enumerate(self.easel.wanted.pieces) if p.runs and not p.shut]
        pieces = [n for n in pieces if share[n] > LEAST_RUN][:MOST_RUNS]
        return {n: list(run_fits(self.easel, n)) for n in pieces}

    # ---- laying one by one

    def states(self) -> Iterator[State]:
        """Better and better drafts, the last the best."""
        state = State(self.easel.bare())
        for number, shadow in enumerate(self.shadows):
            state = with_wash(state, shadow.mix, number)
        if self.shadows:
            state = self.reassigned(state)
        while len(state.draft.mixes) < self.steps:
            more = self._with_one_more(state)
            if more is None:
                break
            state = more
            if len(state.draft.mixes) % TUNED_EVERY == 0:
                state = self.settled(state, 1)
            yield state
        state = self.settled(state)
        yield state
        for _ in range(SWAPS):
            better = self._moved(state)
            if better.draft.cost > state.draft.cost - self.least:
                break
            state = better
            yield state

    def _with_one_more(self, state: State, washes: Washes | None = None) -> State | None:
        """The draft with the wash, or the graded washes, that gain most for each step.

        washes : those that may be laid, from any bottle if None
        """
        room = self.steps - len(state.draft.mixes)
        runs = self._run_offers(state, room) if washes is None else ()
        offers = [*self._offers(state, washes or self.washes), *runs] if room > 0 else []
        for gain, make in sorted(offers, key=lambda offer: -offer[0])[:OFFERS]:
            if gain < self.least:
                break
            found = less_idle(self.reassigned(make()))
            count = max(0, len(found.draft.mixes) - len(state.draft.mixes))
            if state.draft.cost - found.draft.cost > max(count, 1) * self.least:
                return found
        return None

    def _offers(self, state: State, washes: Washes) -> Iterator[Offer]:
        """What a flat wash more would gain, and how to take it."""
        best, gain = washes.gains(state.draft)
        own = washes.wells[best] if washes.wells else None
        yield gain, partial(with_wash, state, washes.mixes[best], well=own)
        if len(state.draft.mixes):
            best, gain = washes.gains_over(self.easel, state.draft)
            own = washes.top_wells[best] if washes.wells else None
            yield gain, partial(with_wash, state, washes.tops[best], well=own)

    def _run_offers(self, state: State, room: int) -> Iterator[Offer]:
        """What graded washes for a run would gain, more of them than it has, for each step."""
        draft = state.draft
        laid = {int(ground.near[0]): len(ground.washes) for ground in state.grounds}
        for piece, fits in self.runs.items():
            for fit in fits:
                count = len(fit.mixes)
                if laid.get(piece, 0) < count <= room:
                    price = OVER * (count - 1) * self.easel.wanted.share[piece]
                    gain = draft.off[piece] - fit.off - price
                    new = count - laid.get(piece, 0)
                    yield float(gain) / new, partial(self._with_run, state, fit)

    def _with_run(self, state: State, fit: RunFit) -> State:
        draft, first = state.draft, len(state.draft.mixes)
        washes = tuple(range(first, first + len(fit.mixes)))
        near = np.array([fit.piece, *self._near(fit.piece)])
        mixes = np.vstack([draft.mixes, fit.mixes])
        grades, cast = (*draft.grades, *fit.grades), (*draft.cast, *(NONE for _ in washes))
        made = replace(draft, mixes=mixes, grades=grades, cast=cast)
        return State(made, (*state.grounds, GradedGround(washes, near)))

    def _near(self, piece: int) -> list[int]:
        """Other pieces of its area, and those that lie within its bounds."""
        wanted = self.easel.wanted
        mine = wanted.xy_mm[wanted.piece == piece]
        inside = (wanted.xy_mm > mine.min(axis=0) - 2) & (wanted.xy_mm < mine.max(axis=0) + 2)
        within = np.bitwise_and.reduceat(inside.all(axis=1), wanted.first)
        areas = np.array([other.area for other in wanted.pieces])
        found = within | (areas == areas[piece])
        found[piece] = False
        return [int(n) for n in np.flatnonzero(found)]

    # ---- who takes which

    def reassigned(self, state: State, deep: bool = False, barred: Sequence[Barred] = ()) -> State:
        """Every piece with the best stack of the washes there are.

        deep : whether three glazes over each other are tried as well
        barred : washes that don't lie over each other, and on which pieces they don't
        """
        draft, easel = state.draft, self.easel
        flat = [n for n, grade in enumerate(draft.grades) if grade is None]
        flat.sort(key=lambda n: (draft.cast[n] != NONE, -self._lightness(draft.mixes[n])))
        stacks: list[Stack] = [(), *((n,) for n in flat), *combinations(flat, 2)]
        if deep:
            most = sorted(flat, key=lambda n: -self._weight_of(draft, n))[:MOST_DEEP]
            kept = [n for n in flat if n in most]
            stacks += list(combinations(kept, 3))
        offs = easel.flat_offs(draft.mixes, stacks, draft.cast)
        for pair, of in barred:
            holding = np.array([pair.issubset(stack) for stack in stacks])
            offs[np.ix_(holding, of)] = np.inf
        best = offs.argmin(axis=0)
        chosen = tuple(stacks[n] for n in best)
        offered = as_they_lie(draft)
        draft = replace(draft, stacks=chosen, off=offs[best, np.arange(len(best))])
        for ground in state.grounds:
            # the first of them alone may do for a small place; each on its own too
            for washes in {ground.washes, *((n,) for n in ground.washes)}:
                offered += [(washes, ground.near), *(((*washes, n), ground.near) for n in flat)]
        for pair, never in barred:
            offered = [
                (stack, np.setdiff1d(of, never) if pair.issubset(stack) else of)
                for stack, of in offered
            ]
        return replace(state, draft=easel.assigned(draft, offered))

    def _lightness(self, mix: Array) -> float:
        return float(self.easel.bottles.labs(mix[None], np.zeros((1, 1), int))[0, 0])

    def _weight_of(self, draft: Attempt, wash: int) -> float:
        share = self.easel.wanted.share
        return float(sum(share[n] for n, stack in enumerate(draft.stacks) if wash in stack))

    # ---- making it better

    def settled(self, state: State, rounds: int = 3) -> State:
        """Mixes moved and pieces assigned anew, in turns, as long as that helps."""
        for _ in range(rounds):
            moved = self.reassigned(replace(state, draft=tuned(self.easel, state.draft)), True)
            gained = state.draft.cost - moved.draft.cost
            state = moved if gained > 0 else state
            if gained < self.least:
                break
        return state

    def filled(self, state: State) -> State:
        """The draft with more washes from the wells that are mixed, while there are steps left."""
        more: State | None = state if state.draft.used else None
        while more is not None:
            state = more
            more = self._with_one_more(state, of_wells(self.easel, state.draft))
            if more is not None and len(more.draft.mixes) % TUNED_EVERY == 0:
                more = self.settled(more, 1)
        return self.settled(state) if state.draft.used else state

    def worth_their_steps(self, state: State) -> State:
        """The draft without the washes that aren't worth a step, those missed least first."""
        while len(state.draft.used) > 1:
            less = [self._without(state, n) for n in state.draft.used]
            least = sorted(less, key=lambda one: one.draft.cost)[:DROPPED_OF]
            fewer = min((self.settled(one, 1) for one in least), key=lambda one: one.draft.cost)
            if fewer.draft.cost - state.draft.cost > self.price:
                break
            state = fewer
        return state

    def _moved(self, state: State) -> State:
        """The washes that are missed least taken away, one after the other, and laid anew."""
        best = state
        flat = [n for n in state.draft.used if state.draft.grades[n] is None]
        missed = [(self._without(state, n).draft.cost, n) for n in flat]
        for _, wash in sorted(missed)[:4]:
            less = self._without(best, wash) if best is state else None
            if less is None:
                break
            more = self._with_one_more(less)
            if more is not None and more.draft.cost < best.draft.cost:
                best = more
        return self.settled(best, 2) if best is not state else state

    def least_missed(self, state: State) -> tuple[int, State]:
        """The wash that is missed least, and the draft without it."""
        less = [(n, self._without(state, n)) for n in state.draft.used]
        return min(less, key=lambda one: one[1].draft.cost)

    def _without(self, state: State, wash: int) -> State:
        return self.reassigned(without(state, [wash]))
