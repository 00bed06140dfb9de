"""A search's draft made such as can be painted: in few wells, counted out, what plans mind mended.

Where a wash would drag another strongly across its edge, or would hardly show over it, and no order
of them helps, the places that hold both take other washes; a shadow that would lose by that is laid
in two goes.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace

import numpy as np

from glaze.painting.settle import Painting
from glaze.planning.rough.choice import Barred, Search
from glaze.planning.rough.draft import Attempt
from glaze.planning.rough.goes import drags, second_go, with_second_go
from glaze.planning.rough.grounds import State, less_idle
from glaze.planning.rough.highlights import Highlight, highlights, under_lifts
from glaze.planning.rough.laid import OnSheet
from glaze.planning.rough.ordered import least_dragging
from glaze.planning.rough.pieces import NONE
from glaze.planning.rough.stocks import Stock, Taken, counted_out, in_few_wells
from glaze.planning.rough.written import Written, in_order
from glaze.planning.sheet.layout import layout_of
from glaze.planning.sheet.order import meetings, risks
from glaze.planning.sheet.place import coarse
from glaze.planning.sheet.reasons import hidden_by
from glaze.planning.sheet.stack import own_values

Pair = tuple[int, ...]
"""Steps, the lowest first."""

MENDS = 4
"""So often washes that drag or hide one another are laid otherwise."""
KEPT_SHADED, LEAST_SHADED = 0.95, 0.8
"""At least so much of what lies under a shadow's own wash stays under it when they are; and so
much where nothing else helps."""


@dataclass(frozen=True, eq=False)
class Measured:
    """A draft that can be counted out.

    taken : what each wash is; stocks : of its wells
    """

    state: State
    taken: list[Taken]
    stocks: list[Stock]

    def in_order(self, search: Search) -> Attempt:
        """Its washes over each other as they are painted."""
        order, draft = in_order(search.easel, self.state.draft), self.state.draft
        stacks = tuple(tuple(n for n in order if n in stack) for stack in draft.stacks)
        return search.easel.judged(replace(draft, stacks=stacks))


def measured_out(search: Search, state: State, wells: int, stopped: bool) -> Measured:
    """The draft in few wells and whole drops, every piece with the best of what that leaves.

    stopped : whether nothing more is to be looked for
    """
    state = search.reassigned(less_idle(state, True), True)
    state = less_idle(replace(state, draft=in_few_wells(search.easel, state.draft, wells)), True)
    state = search.reassigned(state, True)
    if not stopped:
        state = search.worth_their_steps(search.filled(state))
    state = less_idle(state, True)
    draft, taken, stocks = counted_out(search.easel, state.draft)
    state = search.reassigned(replace(state, draft=draft), True)
    return _in_use(Measured(state, taken, stocks))


def _in_use(found: Measured) -> Measured:
    """Without the washes that lie nowhere, and the wells that no wash is taken from."""
    taken = [found.taken[n] for n in found.state.draft.used]
    left = sorted({one.well for one in taken})
    taken = [replace(one, well=left.index(one.well)) for one in taken]
    return Measured(less_idle(found.state, True), taken, [found.stocks[n] for n in left])


Paints = Callable[[Attempt, Measured, Sequence[int], Sequence[Highlight]], tuple[Written, Painting]]
"""Writes and settles a draft with its washes in an order, and what is lifted from it."""


@dataclass(frozen=True, eq=False)
class Finished:
    """A draft as it is painted, and its places lighter than the wash about them.

    found : what it was made from. order : numbers of its washes as they are painted
    pairs : steps of which a plan would mind that the upper drags or hardly shows over the lower,
        as `minded_pairs` has them
    """

    found: Measured
    draft: Attempt
    order: list[int]
    made: Written
    painting: Painting
    bare: Sequence[Highlight]
    pairs: dict[Pair, set[Pair]]

    @classmethod
    def of(
        cls,
        found: Measured,
        draft: Attempt,
        order: list[int],
        bare: Sequence[Highlight],
        painted: tuple[Written, Painting],
    ) -> Finished:
        """Painted in an order, and looked at as a plan does."""
        made, painting = painted
        pairs = minded_pairs(painting.until(made.before + len(order)), made.before)
        return cls(found, draft, order, made, painting, bare, pairs)

    def washes_at(self, place: Collection[int]) -> frozenset[int]:
        """Its own washes among the steps of a place."""
        return frozenset(self.order[n - self.made.before] for n in place if n >= self.made.before)


def least_minded(
    search: Search, found: Measured, laid: OnSheet, paints: Paints, stopped: bool
) -> Finished:
    """The draft painted in the order, and with its washes laid so, that a plan minds least of.

    paints : writes and settles it. stopped : whether it is taken as it is
    """
    barred: list[Barred] = []
    tries: list[Finished] = []
    for _ in range(1 if stopped else MENDS):
        one = _finished(search, found, laid, paints)
        tries.append(one)
        if not one.pairs:
            break
        barred += [_barred(one, *pair) for pair in one.pairs.items()]
        found = replace(found, state=search.reassigned(found.state, True, barred))
    best = _least(search, tries, KEPT_SHADED)
    if stopped or not best.pairs:
        return best
    other = _least(search, [*tries, _in_two_goes(search, best, laid, paints)], LEAST_SHADED)
    return best if other.pairs else other  # half a cure isn't worth its colours


def _least(search: Search, tries: Sequence[Finished], kept: float) -> Finished:
    """What is minded least of those that keep such a share of the first one's shadow."""
    shaded = [_share_in_shadow(search, one.draft) for one in tries]
    fit = [one for one, share in zip(tries, shaded, strict=True) if share >= kept * shaded[0]]
    return min(fit, key=lambda one: (len(one.pairs), one.draft.cost))


def _finished(search: Search, found: Measured, laid: OnSheet, paints: Paints) -> Finished:
    """A draft with what is lifted from it, its washes in the order that drags least."""
    draft = found.in_order(search)
    bare = highlights(search.easel, draft, laid, search.steps - len(draft.used))
    draft = under_lifts(draft, bare)
    order = [n for n in in_order(search.easel, draft) if n in draft.used]
    painted = made, painting = paints(draft, found, order, bare)
    better = least_dragging(painting.until(made.before + len(order)), order)
    if better != order:
        painted = paints(draft, found, better, bare)
    return Finished.of(found, draft, better, bare, painted)


def _in_two_goes(search: Search, one: Finished, laid: OnSheet, paints: Paints) -> Finished:
    """The same with washes that drag others laid in two goes, in place of the one that is missed
    least where no more steps are allowed."""
    if len(one.made.new) >= search.steps:
        one = _finished(search, _one_fewer(search, one.found), laid, paints)
    washes = one.painting.until(one.made.before + len(one.order))
    draft, order, taken = one.draft, list(one.order), list(one.found.taken)
    room = search.steps - len(one.made.new)
    for upper, lowers in list(_dragging(one).items())[:room]:
        wash = one.order[upper - one.made.before]
        places = {one.washes_at(place) for place in second_go(washes, lowers, upper)}
        pieces = {n for n, stack in enumerate(one.draft.stacks) if frozenset(stack) in places}
        draft = with_second_go(draft, wash, pieces)
        order.insert(order.index(wash) + 1, len(taken))
        taken.append(taken[wash])
    found = replace(one.found, taken=taken)
    return Finished.of(found, draft, order, one.bare, paints(draft, found, order, one.bare))


def _dragging(one: Finished) -> dict[int, list[int]]:
    """Steps that drag others, and those."""
    found: dict[int, list[int]] = {}
    for (lower, upper), places in one.pairs.items():
        if places:
            found.setdefault(upper, []).append(lower)
    return found


def _one_fewer(search: Search, found: Measured) -> Measured:
    """Without the wash that is missed least."""
    wash, state = search.least_missed(found.state)
    taken = [one for n, one in enumerate(found.taken) if n != wash]
    return _in_use(replace(found, state=state, taken=taken))


def _barred(one: Finished, pair: Pair, places: Collection[Pair]) -> Barred:
    """Two washes that a plan minds, and the pieces that shall do without the one or the other.

    places : steps of the places where it is minded; nothing where it is wherever both lie
    """
    draft, both = one.draft, one.washes_at(pair)
    # a shadow stays one wash: what lies under it gives way
    cast = frozenset(n for n in both if draft.cast[n] != NONE)
    sets = {one.washes_at(place) for place in places}
    of = [n for n, stack in enumerate(draft.stacks) if frozenset(stack) in sets]
    wherever = [n for n, stack in enumerate(draft.stacks) if both.issubset(stack)]
    return both - cast or both, np.array(of or wherever, dtype=np.intp)


def _share_in_shadow(search: Search, draft: Attempt) -> float:
    """Share of the sheet that is in shadow and lies under its shadow's own wash."""
    wanted = search.easel.wanted
    own = [
        shadow != NONE and any(draft.cast[n] == shadow for n in stack)
        for shadow, stack in zip(wanted.shadow, draft.stacks, strict=True)
    ]
    return float(wanted.share @ np.array(own))


def minded_pairs(painting: Painting, before: int = 0) -> dict[Pair, set[Pair]]:
    """Steps of which a plan would say that the upper drags the lower, or is hidden.

    before : steps that were there already; what they do to one another is left to them

    Returns
    -------
    the steps of the places where the lower one is dragged out of, by pairs of lower and upper; of
    none where a wash is hidden
    """
    small = coarse(painting)
    layout, (over, beside) = layout_of(small), meetings(small)
    found: dict[Pair, set[Pair]] = {}
    for risk in risks(small, layout, over, beside):
        if risk.kind == "re-wet" and risk.level == "strong":
            found[risk.other, risk.step] = {
                next(p.steps for p in places if risk.other in p.steps)
                for border in layout.borders
                if drags(small, layout, border, risk.other, risk.step)
                for places in [[layout.places[border.one], layout.places[border.other]]]
            }
    own = own_values(small)
    for step in range(len(small.steps)):
        if small.steps[step].step.liquid == "ink":
            found |= {(below, step): set() for below in hidden_by(small, own, over, step)}
    return {pair: places for pair, places in found.items() if min(pair) >= before}
