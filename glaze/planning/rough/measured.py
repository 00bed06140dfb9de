"""A search's draft made such as can be painted: in few wells, counted out, what plans mind mended.

Where a wash would drag another strongly across its edge, or would hardly show over it, and no order
of them helps, the places that hold both take other washes.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace

import numpy as np

from glaze.painting.settle import Painting
from glaze.planning.rough.choice import Barred, Search
from glaze.planning.rough.draft import Attempt
from glaze.planning.rough.grounds import State, less_idle
from glaze.planning.rough.highlights import Highlight, highlights, under_lifts
from glaze.planning.rough.laid import OnSheet
from glaze.planning.rough.ordered import least_dragging
from glaze.planning.rough.pieces import NONE
from glaze.planning.rough.stocks import Stock, Taken, counted_out, in_few_wells
from glaze.planning.rough.written import Written, in_order
from glaze.planning.sheet.layout import Arrangement, Border, layout_of
from glaze.planning.sheet.order import STRONG_DE00, meetings, risks, smear
from glaze.planning.sheet.place import coarse
from glaze.planning.sheet.reasons import hidden_by
from glaze.planning.sheet.stack import own_values

Pair = tuple[int, ...]
"""Steps, the lowest first."""

MENDS = 4
"""So often washes that drag or hide one another are laid otherwise."""
KEPT_SHADED = 0.95
"""At least so much of what lies under a shadow's own wash stays under it when they are."""


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
    """A draft as it is painted, its places lighter than the wash about them, and how many pairs of
    its washes a plan would mind."""

    draft: Attempt
    made: Written
    painting: Painting
    bare: Sequence[Highlight]
    minded: int


def least_minded(
    search: Search, found: Measured, laid: OnSheet, paints: Paints, stopped: bool
) -> Finished:
    """The draft painted in the order, and with its washes laid so, that a plan minds least of.

    paints : writes and settles it. stopped : whether it is taken as it is
    """
    barred: list[Barred] = []
    first = 0.0
    best: Finished | None = None
    for _ in range(1 if stopped else MENDS):
        draft = found.in_order(search)
        bare = highlights(search.easel, draft, laid, search.steps - len(draft.used))
        draft = under_lifts(draft, bare)
        order = [n for n in in_order(search.easel, draft) if n in draft.used]
        made, painting = paints(draft, found, order, bare)
        washes = painting.until(made.before + len(order))
        better = least_dragging(washes, order)
        if better != order:
            made, painting = paints(draft, found, better, bare)
            washes = painting.until(made.before + len(order))
        pairs = minded_pairs(washes, made.before)
        shaded = _share_in_shadow(search, draft)
        first = shaded if best is None else first
        if best is None or (len(pairs) < best.minded and shaded >= KEPT_SHADED * first):
            best = Finished(draft, made, painting, bare, len(pairs))
        if not pairs:
            break
        barred += [_barred(draft, better, made.before, *pair) for pair in pairs.items()]
        state = search.reassigned(found.state, True, barred)
        found = replace(found, state=state)
    assert best is not None
    return best


def _barred(
    draft: Attempt, order: Sequence[int], before: int, pair: Pair, places: Collection[Pair]
) -> Barred:
    """Two washes that a plan minds, and the pieces that shall do without the one or the other.

    order : numbers of the washes as they are painted, after `before` steps
    places : steps of the places where it is minded; nothing where it is wherever both lie
    """
    both = frozenset(order[step - before] for step in pair)
    # a shadow stays one wash: what lies under it gives way
    cast = frozenset(n for n in both if draft.cast[n] != NONE)
    sets = [frozenset(order[n - before] for n in place if n >= before) for place in places]
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
                if _drags(small, layout, border, risk.other, risk.step)
                for places in [[layout.places[border.one], layout.places[border.other]]]
            }
    own = own_values(small)
    for step in range(len(small.steps)):
        if small.steps[step].step.liquid == "ink":
            found |= {(below, step): set() for below in hidden_by(small, own, over, step)}
    return {pair: places for pair, places in found.items() if min(pair) >= before}


def _drags(painting: Painting, layout: Arrangement, border: Border, lower: int, upper: int) -> bool:
    """Whether a wash drags another strongly over one border."""
    return smear(painting, replace(layout, borders=(border,)), lower, upper)[0] >= STRONG_DE00
