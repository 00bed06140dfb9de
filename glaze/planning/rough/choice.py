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
from itertools import combinations, product

import numpy as np
from numpy.typing import NDArray

from glaze.planning.rough.draft import OVER, Attempt, Easel, Stack, unlike
from glaze.planning.rough.grades import RunFit, run_fits
from glaze.planning.rough.grounds import GradedGround, State, as_they_lie, with_wash, without
from glaze.planning.rough.pieces import NONE
from glaze.planning.rough.shadows import CastShadow, washes_of
from glaze.planning.rough.tune import STRONGEST, tuned
from glaze.sheet.state import Sheet

Array = NDArray[np.float64]
Numbers = NDArray[np.intp]
Offer = tuple[float, "Callable[[], State]"]

DROPS, STRENGTHS = 6, np.geomspace(0.012, 2.0, 14)
KEPT_EACH, TOPS = 4, 70
"""Washes kept for each piece, as the nearest to it; and such as are tried over what lies there."""
STEP_PRICE = 0.004
"""What a step has to gain [minded difference, mean of the sheet] to be worth laying."""
MOST_RUNS, LEAST_RUN = 14, 0.0015
"""So many runs, of at least such a share of the sheet, are offered graded washes."""
MOST_DEEP = 24
SWAPS = 3
OFFERS = 4
FREE_STEPS = (0.3, 0.15, 0.07, 0.03)
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
        self.shadows = shadows[: steps // STEPS_A_SHADOW]
        self.mixes = self._candidates()
        self.alone = easel.flat_offs(self.mixes, [(n,) for n in range(len(self.mixes))])
        self._keep_useful()
        self.tops = self._tops()
        self.runs = self._runs()

    def _candidates(self) -> Array:
        """Every wash that is tried, shape (washes, bottles)."""
        return washes_of(self.easel.bottles, DROPS, STRENGTHS)

    def _keep_useful(self) -> None:
        """Only those that are among the nearest for some piece."""
        best = np.argpartition(self.alone, KEPT_EACH, axis=0)[:KEPT_EACH]
        kept = np.unique(best)
        self.mixes, self.alone = self.mixes[kept], self.alone[kept]

    def free_labs(self) -> Array:
        """Every place with the best colour its piece could have, CIELAB [-], shape (places, 3).

        The nearest of all washes that were tried, moved until nothing is nearer; graded washes for
        a run.
        """
        easel, own = self.easel, self.mixes[self.alone.argmin(axis=0)]
        off, found = self._own_off(own)
        for step in FREE_STEPS:
            for ink, sign in product(range(own.shape[1]), (step, -step)):
                moved = own.copy()
                moved[:, ink] += sign * np.maximum(own[:, ink], 0.2 * own.sum(axis=1))
                moved = np.clip(moved, 0.0, STRONGEST)
                now, lab = self._own_off(moved)
                better = now < off
                own[better], off[better] = moved[better], now[better]
                found = np.where(better[easel.wanted.piece, None], lab, found)
        bare = easel.bare().off < off
        found[bare[easel.wanted.piece]] = easel.bottles.paper_lab
        for piece, fits in self.runs.items():
            fit = min(fits, key=lambda one: one.off)
            if fit.off < off[piece]:
                at = np.flatnonzero(easel.wanted.piece == piece)
                films = np.array([g.film(easel.wanted.xy_mm[at]) for g in fit.grades]).T
                rows = np.tile(np.arange(len(fit.mixes)), (len(at), 1))
                found[at] = easel.bottles.labs(fit.mixes, rows, films)
        return found

    def _own_off(self, mixes: Array) -> tuple[Array, Array]:
        """How far off every piece is with a wash of its own, and the colours of all places."""
        wanted = self.easel.wanted
        lab = self.easel.bottles.labs(mixes, wanted.piece[:, None])
        return wanted.summed(unlike(lab, wanted.lab)), lab

    def _tops(self) -> Array:
        """Washes to try over others: every bottle alone and with black, from thin to strong."""
        count = len(self.easel.bottles.inks)
        pure = np.eye(count)
        two = [(pure[a] + pure[b]) / 2 for a, b in combinations(range(count), 2)]
        each = np.array([*pure, *two])
        strengths = np.geomspace(0.02, 1.0, max(2, TOPS // len(each)))
        return (each[:, None] * strengths[:, None]).reshape(-1, count)

    def _runs(self) -> dict[int, list[RunFit]]:
        """Graded washes for the largest runs, by piece."""
        share = self.easel.wanted.share
        pieces = [n for n, p in enumerate(self.easel.wanted.pieces) if p.runs]
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
            if better.draft.cost > state.draft.cost - STEP_PRICE:
                break
            state = better
            yield state

    def _with_one_more(self, state: State) -> State | None:
        """The draft with the wash, or the graded washes, that gain most for each step."""
        room = self.steps - len(state.draft.mixes)
        offers = sorted(self._offers(state, room), key=lambda offer: -offer[0])
        for gain, make in offers[:OFFERS]:
            if gain < STEP_PRICE:
                break
            found = self.reassigned(make())
            count = len(found.draft.mixes) - len(state.draft.mixes)
            if state.draft.cost - found.draft.cost > count * STEP_PRICE:
                return found
        return None

    def _offers(self, state: State, room: int) -> Iterator[Offer]:
        """What each kind of step would gain, and how to take it."""
        draft = state.draft
        gains = np.maximum(draft.off - self.alone, 0.0).sum(axis=1)
        best = int(gains.argmax())
        yield float(gains[best]), partial(with_wash, state, self.mixes[best])
        if len(draft.mixes):
            over = self._gains_over(draft)
            best = int(over.argmax())
            yield float(over[best]), partial(with_wash, state, self.tops[best])
        laid = {int(n) for ground in state.grounds for n in ground.near[:1]}
        for piece, fits in self.runs.items():
            for fit in fits if piece not in laid else ():
                count = len(fit.mixes)
                if count <= room:
                    price = OVER * (count - 1) * self.easel.wanted.share[piece]
                    gain = (draft.off[piece] - fit.off - price) / count
                    yield float(gain), partial(self._with_run, state, fit)

    def _gains_over(self, draft: Attempt) -> Array:
        """What each wash gains if it is laid over what lies there, where that is nearer."""
        easel, wanted = self.easel, self.easel.wanted
        heavy = np.argsort(-draft.off)[:400]
        places, which = easel.places(heavy)
        below = easel.sheet_of(draft, heavy)
        count = len(self.tops)
        many = Sheet(**{n: np.concatenate([f] * count, axis=1) for n, f in vars(below).items()})
        lab = easel.bottles.lab(easel.bottles.over(many, self.tops, len(places)))
        off = unlike(lab.reshape(count, len(places), 3), wanted.lab[places]) + OVER
        off = off * wanted.weight[places]
        summed = np.add.reduceat(off, np.searchsorted(which, np.arange(len(heavy))), axis=1)
        return np.asarray(np.maximum(draft.off[heavy] - summed, 0.0).sum(axis=1))

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

    def reassigned(self, state: State, deep: bool = False) -> State:
        """Every piece with the best stack of the washes there are.

        deep : whether three glazes over each other are tried as well
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
        best = offs.argmin(axis=0)
        chosen = tuple(stacks[n] for n in best)
        offered = as_they_lie(draft)
        draft = replace(draft, stacks=chosen, off=offs[best, np.arange(len(best))])
        for ground in state.grounds:
            # the first of them alone may do for a small place; each on its own too
            for washes in {ground.washes, *((n,) for n in ground.washes)}:
                offered += [(washes, ground.near), *(((*washes, n), ground.near) for n in flat)]
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
            if gained < STEP_PRICE:
                break
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

    def _without(self, state: State, wash: int) -> State:
        return self.reassigned(without(state, [wash]))
