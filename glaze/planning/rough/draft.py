"""A draft of a plan: washes, what lies over what on each piece, and how far off that is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from glaze.patch.band import Band
from glaze.patch.layers import Layer
from glaze.planning.rough.already import Under
from glaze.planning.rough.pieces import NONE as NO_SHADOW
from glaze.planning.rough.runs import SHORTEST_MM
from glaze.planning.rough.trials import NONE, Bottles
from glaze.planning.rough.wants import Wants, unlike
from glaze.sheet.lift import Touches
from glaze.sheet.state import Sheet

Array = NDArray[np.float64]
Numbers = NDArray[np.intp]
Stack = tuple[int, ...]
"""Numbers of the washes that lie on a piece, the lowest first."""

OVER = 0.2
"""Price of each glaze over the first on a piece [CIEDE2000]: it has to dry, and may drag."""
SHUT = 100.0
"""Price of any wash where none may lie [CIEDE2000]: over bleach it would be eaten."""
MOST_SAMPLES = 8192
"""Of all tries together that are laid in one go: their bands fit a processor's own memory."""
UNSHADED = 3.0
"""Price of a shadow that its own wash doesn't lie on [CIEDE2000]: one shadow over many hues is
sooner painted, and hangs together, where a mix of its own for each is another picture."""
MOST_LEFT = 0.8
"""Of its film that a graded wash leaves at its end [-]."""


@dataclass(frozen=True)
class Grade:
    """A film that eases from full to a share along a line, as a wash carried down a board does."""

    from_mm: tuple[float, float]
    to_mm: tuple[float, float]
    end: float = 0.0

    def film(self, xy_mm: Array) -> Array:
        """Its share of the full film at some places [mm], shape (..., 2) to shape (...)."""
        start, stop = np.array(self.from_mm), np.array(self.to_mm)
        along = (stop - start) / ((stop - start) ** 2).sum()
        t = np.clip((xy_mm - start) @ along, 0, 1)
        return np.asarray(1 + (self.end - 1) * t * t * (3 - 2 * t))

    def moved(self, step: float) -> Iterator[Grade]:
        """The same a little longer or shorter at either end, and with more or less left there."""
        start, stop = np.array(self.from_mm), np.array(self.to_mm)
        way = stop - start
        for sign in (step, -step):
            a, b = start + sign * way / 2, stop + sign * way / 2
            for one, other in ((a, stop), (start, b)):
                if np.hypot(*(other - one)) >= SHORTEST_MM:
                    yield Grade(_mm(one), _mm(other), self.end)
            if 0.0 <= self.end + sign / 3 <= MOST_LEFT:
                yield Grade(self.from_mm, self.to_mm, round(self.end + sign / 3, 3))


def _mm(place: Array) -> tuple[float, float]:
    return round(float(place[0]), 1), round(float(place[1]), 1)


@dataclass(frozen=True, eq=False)
class Attempt:
    """Washes and where they lie.

    mixes : of each wash, shape (washes, bottles) [neat coats]
    grades : of each wash, None for a flat one
    cast : number of the rough's shadow that each wash is meant for, or none
    well : number of the stock mix each wash is taken from; washes of a well have one proportion
    stacks : of each piece
    off : how far off each piece is, weighted, its glazes' price in it, shape (pieces,)
    """

    mixes: Array
    grades: tuple[Grade | None, ...]
    stacks: tuple[Stack, ...]
    off: Array
    cast: tuple[int, ...]
    well: tuple[int, ...] = field(default=())

    @property
    def cost(self) -> float:
        """Of all pieces."""
        return float(self.off.sum())

    @property
    def used(self) -> list[int]:
        """Washes that lie somewhere."""
        return sorted({n for stack in self.stacks for n in stack})


@dataclass(frozen=True, eq=False)
class Easel:
    """What a draft is tried on: the bottles, what is wanted, and what lies there already."""

    bottles: Bottles
    wanted: Wants
    lying: Under | None = None

    @cached_property
    def lifted(self) -> dict[tuple[object, ...], list[tuple[Touches, Band]]]:
        """What plans of bleach leave of washes over each other, as far as it was asked for."""
        return {}

    @cached_property
    def bare_lab(self) -> Array:
        """Every place as it is before the first wash, CIELAB [-], D65, shape (places, 3)."""
        if self.lying is None:
            return np.broadcast_to(self.bottles.paper_lab, (len(self.wanted.lab), 3))
        return self.bottles.lab(self.lying.kinds)[self.lying.kind]

    def under(self, places: Numbers) -> Sheet | None:
        """What lies there at some places already, to lay on; None where that is bare paper.

        Patches of shape (1, places).
        """
        return None if self.lying is None else self.lying.on(self.lying.kind[places])

    def ground(self, piece: int) -> int:
        """Number of what lies under a piece already; pieces of one number are alike."""
        return 0 if self.lying is None else int(self.lying.kind[self.wanted.first[piece]])

    def layers_under(self, piece: int) -> list[Layer]:
        """What lies under a piece already, as layers of a patch."""
        return [] if self.lying is None else self.lying.layers(int(self.wanted.first[piece]))

    def films(self, grades: Sequence[Grade | None]) -> Array:
        """Film of each wash at every place [-], shape (washes, places)."""
        ones = np.ones(len(self.wanted.lab))
        return np.array([ones if g is None else g.film(self.wanted.xy_mm) for g in grades])

    def bare(self) -> Attempt:
        """Nothing laid anywhere."""
        off = self.wanted.summed(unlike(self.bare_lab, self.wanted.lab))
        none = np.zeros((0, len(self.bottles.inks)))
        off += UNSHADED * self.wanted.share * (self.wanted.shadow != NO_SHADOW)
        return Attempt(none, (), ((),) * len(off), off, ())

    def off(self, draft: Attempt, stacks: Sequence[Stack], of: Numbers) -> Array:
        """How far off some pieces are with a stack of a draft's washes each.

        CIEDE2000 by the share of the sheet [-], shape (pieces,).

        of : numbers of the pieces
        """
        return self.offs(draft, (), np.empty((1, 0, draft.mixes.shape[1])), stacks, of)[0]

    def offs(
        self,
        draft: Attempt,
        washes: Sequence[int],
        tries: Array,
        stacks: Sequence[Stack],
        of: Numbers,
    ) -> Array:
        """How far off some pieces are, as by `off`, with each of some tries of a draft's washes.

        Shape (tries, pieces).

        tries : mixes of those washes, shape (tries, washes, bottles) [neat coats]
        """
        places, which = self.places(of)
        laid, films = self._laid(draft.grades, stacks, places, which)
        over = OVER * np.maximum((laid >= 0).sum(axis=1) - 1, 0)
        weight, summed = self.wanted.weight[places], []
        most = max(1, MOST_SAMPLES // max(len(places), 1))
        for at in range(0, len(tries), most):
            labs = self._tried(draft.mixes, washes, tries[at : at + most], laid, films, places)
            off = (unlike(labs, self.wanted.lab[places]) + over) * weight
            summed += [np.bincount(which, one, len(of)) for one in off]
        bare = [
            own != NO_SHADOW and all(draft.cast[n] != own for n in stack)
            for stack, own in zip(stacks, self.wanted.shadow[of], strict=True)
        ]
        shut = self.wanted.shut[of] & np.array([len(stack) > 0 for stack in stacks])
        price = UNSHADED * np.array(bare) + SHUT * shut
        return np.asarray(np.array(summed) + self.wanted.share[of] * price, float)

    def _tried(
        self,
        mixes: Array,
        washes: Sequence[int],
        tries: Array,
        laid: Numbers,
        films: Array | None,
        places: Numbers,
    ) -> Array:
        """Colours of some places with each of some tries, CIELAB (D65), (tries, places, 3)."""
        count = len(tries)
        # the mix that each try takes for a wash, and NONE for none
        own = np.full((count, len(mixes) + 1), NONE)
        own[:, :-1] = np.arange(len(mixes))
        own[:, list(washes)] = len(mixes) + np.arange(count * len(washes)).reshape(count, -1)
        labs = self.bottles.labs(
            np.concatenate([mixes, tries.reshape(-1, tries.shape[-1])]),
            own[:, laid].reshape(-1, laid.shape[1]),
            None if films is None else np.tile(films, (count, 1)),
            self.under(np.tile(places, count)),
        )
        return labs.reshape(count, len(places), 3)

    def _laid(
        self,
        grades: Sequence[Grade | None],
        stacks: Sequence[Stack],
        places: Numbers,
        which: Numbers,
    ) -> tuple[Numbers, Array | None]:
        """Washes at some places, and their films if any is graded."""
        deep = max((len(stack) for stack in stacks), default=0)
        rows = np.full((len(stacks), max(deep, 1)), NONE)
        for n, stack in enumerate(stacks):
            rows[n, : len(stack)] = stack
        laid = rows[which]
        if all(grade is None for grade in grades):
            return laid, None
        return laid, self.films(grades)[np.maximum(laid, 0), places[:, None]]

    def sheet_of(self, draft: Attempt, of: Numbers) -> Sheet:
        """What lies at the places of some pieces."""
        places, which = self.places(of)
        stacks = [draft.stacks[n] for n in of]
        laid, films = self._laid(draft.grades, stacks, places, which)
        return self.bottles.laid(draft.mixes, laid, films, self.under(places))

    def places(self, of: Numbers) -> tuple[Numbers, Numbers]:
        """Places of some pieces, and which of those each is of."""
        ends = np.append(self.wanted.first, len(self.wanted.lab))
        counts = ends[of + 1] - ends[of]
        which = np.repeat(np.arange(len(of)), counts)
        start = np.repeat(ends[of] - np.concatenate([[0], np.cumsum(counts)[:-1]]), counts)
        return start + np.arange(counts.sum()), which

    def judged(self, draft: Attempt) -> Attempt:
        """The draft with how far off it is worked out."""
        every = np.arange(len(draft.stacks))
        return replace(draft, off=self.off(draft, draft.stacks, every))

    def assigned(self, draft: Attempt, offered: Iterable[tuple[Stack, Numbers]]) -> Attempt:
        """The draft with the best of its own and some offered stacks on each piece.

        offered : stacks with the numbers of the pieces each may lie on
        """
        pairs = [(stack, of) for stack, of in offered if len(of)]
        if not pairs:
            return draft
        of = np.concatenate([numbers for _, numbers in pairs])
        stacks = [stack for stack, numbers in pairs for _ in numbers]
        off = self.off(draft, stacks, of)
        best, chosen = draft.off.copy(), list(draft.stacks)
        for n in np.lexsort((off, of)):
            if off[n] < best[of[n]] - 1e-12:
                best[of[n]], chosen[of[n]] = off[n], stacks[n]
        return replace(draft, stacks=tuple(chosen), off=best)

    def flat_offs(self, mixes: Array, stacks: Sequence[Stack], cast: Sequence[int] = ()) -> Array:
        """How far off every piece is under each of some stacks of flat washes.

        mixes : shape (washes, bottles) [neat coats]
        cast : number of the rough's shadow that each is meant for; none is if it is empty

        Returns
        -------
        shape (stacks, pieces)
        """
        deep = max((len(stack) for stack in stacks), default=1)
        rows = np.full((len(stacks), max(deep, 1)), NONE)
        for n, stack in enumerate(stacks):
            rows[n, : len(stack)] = stack
        price = OVER * np.maximum((rows >= 0).sum(axis=1) - 1, 0)
        out = np.empty((len(stacks), len(self.wanted.pieces)))
        grounds = list(self._flat_labs(mixes, rows))
        for at in range(0, len(stacks), 256):
            part = slice(at, at + 256)
            off = np.empty((len(rows[part]), len(self.wanted.lab)))
            for places, lab in grounds:
                off[:, places] = unlike(lab[part, None], self.wanted.lab[places])
            out[part] = self.wanted.summed(off + price[part, None])
        laid = np.array([len(stack) > 0 for stack in stacks])
        out += SHUT * np.outer(laid, self.wanted.share * self.wanted.shut)
        kept = [{cast[n] for n in stack} if cast else set() for stack in stacks]
        for shadow in np.unique(self.wanted.shadow):
            bare = np.array([shadow != NO_SHADOW and shadow not in one for one in kept])
            out += UNSHADED * np.outer(bare, self.wanted.share * (self.wanted.shadow == shadow))
        return out

    def _flat_labs(self, mixes: Array, rows: Numbers) -> Iterator[tuple[Numbers | slice, Array]]:
        """Colours of some stacks on each ground, shape (stacks, 3), and the places that have it."""
        if self.lying is None:
            yield slice(None), self.bottles.labs(mixes, rows)
            return
        for kind in np.unique(self.lying.kind):
            on = self.lying.on(np.full(len(rows), kind))
            yield np.flatnonzero(self.lying.kind == kind), self.bottles.labs(mixes, rows, on=on)
