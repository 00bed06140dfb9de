"""From a scene and a rough to a proposal: steps, what they come to, and where they fall short."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.painting.settle import Painting, regions_of, resolve
from glaze.physics.colour import D65_XYZ, delta_e_2000, lab_from_xyz, xyz_from_rgb
from glaze.physics.flow import MM_PER_INCH
from glaze.pipeline import linear_rgb
from glaze.planning.rough.bound import free_off
from glaze.planning.rough.choice import Search
from glaze.planning.rough.draft import Attempt, Easel, wanted_of
from glaze.planning.rough.grounds import State, less_idle
from glaze.planning.rough.highlights import Highlight, highlights, under_lifts
from glaze.planning.rough.laid import OnSheet, lay_rough
from glaze.planning.rough.ordered import least_dragging
from glaze.planning.rough.pieces import Piece, pieces_of
from glaze.planning.rough.shadows import number_of, shadows_of
from glaze.planning.rough.shapes import Shapes
from glaze.planning.rough.stocks import Stock, Taken, counted_out, in_few_wells
from glaze.planning.rough.trials import Bottles
from glaze.planning.rough.written import Written, in_order, written
from glaze.region.areas import Areas
from glaze.scene.laid_out import table_of_scene
from glaze.scene.records import Scene
from glaze.sheet.lift import Touches
from glaze.sheet.memory import Memory

Array = NDArray[np.float64]
Progress = Callable[[float], None]

EFFORTS = {"low": 6, "middle": 12, "high": 25}
MOST_STEPS, MOST_WELLS = 60, 40
UNDER_LINE = 0.03
"""Least weight of what lies under the line, which shows little of its colour."""


@dataclass(frozen=True, eq=False)
class Proposal:
    """Steps for a rough.

    predicted : CIELAB of the painted sheet on the rough's grid, shape (rows, columns, 3)
    off : CIEDE2000 from what is wanted, NaN where the rough can't be read, shape (rows, columns)
    free : how far off each piece would be with free colours of its own, mean CIEDE2000, (pieces,)
    bare : places that are lighter than the wash about them, and what is done for them
    stopped : whether it was stopped before it had tried all it could
    """

    made: Written
    areas: Areas
    painting: Painting
    easel: Easel
    draft: Attempt
    laid: OnSheet
    predicted: Array
    off: Array
    free: Array
    bare: Sequence[Highlight]
    stopped: bool = False

    @property
    def scene(self) -> Scene:
        """With its steps."""
        return self.made.scene

    @property
    def mean(self) -> float:
        """Mean CIEDE2000 over the sheet."""
        return float(np.nanmean(self.off))

    @property
    def bound(self) -> float:
        """What free colours for every piece would come to, mean CIEDE2000."""
        return float(self.free @ self.easel.wanted.share)

    @property
    def bleaches(self) -> bool:
        """Whether any bleach is planned."""
        return any(step.liquid == "bleach" for step in self.scene.steps)

    def within(self, de00: float) -> float:
        """Share of the sheet that is so near or nearer."""
        seen = self.off[np.isfinite(self.off)]
        return float((seen <= de00).mean())


def propose(
    scene: Scene,
    rough: str | Path | OnSheet,
    *,
    wells: int = 6,
    steps: int = EFFORTS["middle"],
    corners: str | None = None,
    only: Sequence[int] = (),
    memory: Memory | None = None,
    progress: Progress = lambda share: None,
) -> Proposal:
    """Steps that bring a scene's sheet to look like a rough.

    Parameters
    ----------
    rough : its picture; or as it lies over this sheet already
    wells, steps : at most so many stock mixes, and so many steps
    corners : of the rough in its picture, as `lay_rough` takes them
    only : areas to find steps for, by number; all if none is named
    memory : what has been settled of this sheet before, as `resolve` takes it
    progress : called with the share done, 0 to 1; a KeyboardInterrupt keeps the best so far
    """
    _check(wells, steps)
    memory = Memory() if memory is None else memory
    areas = regions_of(scene, memory).areas()
    if not areas.listed:
        raise InputError("The sketch has no areas: its lines enclose nothing to paint.")
    table = table_of_scene(scene)
    laid = rough if isinstance(rough, OnSheet) else lay_rough(rough, areas, table, corners)
    progress(0.1)
    _check_areas(laid, only)
    bottles = Bottles(table)
    shadows = [] if only else shadows_of(laid, bottles)  # one area has no several hues
    pieces = pieces_of(laid, only, number_of(shadows, laid))
    progress(0.25)
    easel = Easel(bottles, wanted_of(pieces, _weights(pieces, laid)))
    search = Search(easel, steps, shadows)
    state, stopped = _searched(search, steps, progress)
    try:
        draft, stocks, taken = _measured_out(search, state, wells, stopped)
    except KeyboardInterrupt:  # nothing can be written before it is measured out
        draft, stocks, taken = _measured_out(search, state, wells, stopped=True)
        stopped = True
    progress(0.85)
    shapes = Shapes(laid, areas, pieces)
    bare = highlights(easel, draft, laid)
    if len(taken) + 2 > steps:
        bare = [replace(one, lifted=False) for one in bare]  # no step is left for bleach
    draft = under_lifts(draft, bare)
    lifts: dict[Touches, list[int]] = {}
    for one in bare:
        if one.lifted:
            lifts.setdefault(one.plan, []).append(one.piece)

    def painted(order: Sequence[int]) -> tuple[Written, Painting]:
        made = written(scene, easel, draft, stocks, taken, shapes, order, lifts)
        return made, resolve(made.scene, even=True, memory=memory, painted=made.covers())

    order = [n for n in in_order(easel, draft) if n in draft.used]
    made, painting = painted(order)
    progress(0.92)
    better = least_dragging(painting.until(len(order)), order)
    if better != order:
        made, painting = painted(better)
    predicted = _on_grid(painting, laid)
    off = np.where(laid.seen & _of_pieces(pieces, laid), delta_e_2000(predicted, laid.lab), np.nan)
    free = free_off(easel, search.washes, search.runs, laid)
    return Proposal(made, areas, painting, easel, draft, laid, predicted, off, free, bare, stopped)


def _of_pieces(pieces: Sequence[Piece], laid: OnSheet) -> NDArray[np.bool_]:
    """Samples that some pieces hold, shape (rows, columns)."""
    found = np.zeros(laid.number.size, bool)
    for piece in pieces:
        found[piece.at] = True
    return found.reshape(laid.number.shape)


def _check_areas(laid: OnSheet, only: Sequence[int]) -> None:
    """Refuse areas that aren't there."""
    lost = sorted(set(only) - set(np.unique(laid.number[laid.number > 0]).tolist()))
    if lost:
        raise InputError(
            f"There is no area {', '.join(map(str, lost))}; this sketch has 1 to "
            f"{laid.number.max()}. `glaze areas` draws them with their numbers."
        )


def _check(wells: int, steps: int) -> None:
    if not 1 <= wells <= MOST_WELLS:
        raise InputError(f"{wells} wells; allowed are 1 to {MOST_WELLS}.")
    if not 1 <= steps <= MOST_STEPS:
        raise InputError(f"{steps} steps; allowed are 1 to {MOST_STEPS}.")


def _weights(pieces: Sequence[Piece], laid: OnSheet) -> Array:
    """What each piece counts: its area as the line leaves it to be seen."""
    open_ = np.maximum(laid.open.ravel(), UNDER_LINE)
    return np.array([float(open_[piece.at].sum()) for piece in pieces])


def _searched(search: Search, steps: int, progress: Progress) -> tuple[State, bool]:
    state = State(search.easel.bare())
    try:
        for state in search.states():
            progress(0.25 + 0.5 * min(1.0, len(state.draft.mixes) / steps))
    except KeyboardInterrupt:
        return state, True
    return state, False


def _measured_out(
    search: Search, state: State, wells: int, stopped: bool
) -> tuple[Attempt, list[Stock], list[Taken]]:
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
    used = state.draft.used
    kept = less_idle(state, True).draft
    taken = [taken[n] for n in used]
    left = sorted({one.well for one in taken})
    taken = [replace(one, well=left.index(one.well)) for one in taken]
    order = in_order(search.easel, kept)
    stacks = tuple(tuple(n for n in order if n in stack) for stack in kept.stacks)
    return (
        search.easel.judged(replace(kept, stacks=stacks)),
        [stocks[n] for n in left],
        taken,
    )


def _on_grid(painting: Painting, laid: OnSheet) -> Array:
    """What a painting shows at every sample of a rough, CIELAB, shape (rows, columns, 3)."""
    rows, columns = laid.number.shape
    step = round(laid.mm * painting.dpi / MM_PER_INCH)
    half = step // 2
    index = slice(half, rows * step, step), slice(half, columns * step, step)
    some = replace(painting, line=None).taken(index)
    return lab_from_xyz(xyz_from_rgb(linear_rgb(some).astype(float)), D65_XYZ)
