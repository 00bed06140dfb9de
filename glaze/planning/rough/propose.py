"""From a scene and a rough to a proposal: steps, what they come to, and where they fall short."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.painting.settle import Painting, regions_of, resolve
from glaze.patch.table import Table
from glaze.physics.colour import D65_XYZ, delta_e_2000, lab_from_xyz, xyz_from_rgb
from glaze.pipeline import linear_rgb
from glaze.planning.rough.already import Already, Under, on_samples
from glaze.planning.rough.bound import free_off
from glaze.planning.rough.choice import Search
from glaze.planning.rough.draft import Attempt, Easel
from glaze.planning.rough.grounds import State
from glaze.planning.rough.highlights import Highlight, lifts_of
from glaze.planning.rough.laid import OnSheet, lay_rough
from glaze.planning.rough.measured import Measured, least_minded, measured_out
from glaze.planning.rough.pieces import Piece, pieces_of
from glaze.planning.rough.shadows import number_of, shadows_of
from glaze.planning.rough.shapes import Shapes
from glaze.planning.rough.trials import Bottles
from glaze.planning.rough.wants import wanted_of
from glaze.planning.rough.written import Written, written
from glaze.region.areas import Areas
from glaze.region.cover import Cover
from glaze.scene.laid_out import table_of_scene
from glaze.scene.records import Scene
from glaze.scene.starter import as_started
from glaze.sheet.memory import Memory

Array = NDArray[np.float64]
Numbers = NDArray[np.intp]
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
    minded : pairs of washes that a plan of it minds, as they drag or hide one another
    allowed : so many steps could be taken
    left_out : whether the scene's own steps are left out as the first of a new scene
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
    minded: int
    allowed: int
    left_out: bool = False
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
        return any(step.liquid == "bleach" for step in self.made.new)

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
    anew: bool | None = None,
    memory: Memory | None = None,
    painted: Mapping[str, Cover] | None = None,
    progress: Progress = lambda share: None,
) -> Proposal:
    """Steps that bring a scene's sheet to look like a rough, over the steps that it has.

    Parameters
    ----------
    rough : its picture; or as it lies over this sheet already
    wells, steps : at most so many stock mixes, and so many steps, beside those of the scene
    corners : of the rough in its picture, as `lay_rough` takes them
    only : areas to find steps for, by number; all if none is named
    anew : leave the scene's own steps out; None leaves out the first washes of a new scene alone
    memory, painted : what has been settled of this sheet before, and regions by name that are
        painted and in no file yet, as `resolve` takes them
    progress : called with the share done, 0 to 1; a KeyboardInterrupt keeps the best so far
    """
    _check(wells, steps)
    memory, painted = Memory() if memory is None else memory, painted or {}
    areas = regions_of(scene, memory).areas()
    if not areas.listed:
        raise InputError("The sketch has no areas: its lines enclose nothing to paint.")
    table = table_of_scene(scene)
    laid = rough if isinstance(rough, OnSheet) else lay_rough(rough, areas, table, corners)
    progress(0.1)
    _check_areas(laid, only)
    started = anew is None and bool(scene.steps) and as_started(scene)
    if anew or started:
        bare = scene.model_copy(update={"steps": (), "regions": {}, "wells": {}})
        scene = bare.in_folder(scene.folder)
    bottles, already = _lying(scene, table, laid, memory, painted)
    shadows = [] if only else shadows_of(laid, bottles)  # one area has no several hues
    pieces = _pieces(laid, only, number_of(shadows, laid), already)
    seen = laid.seen & _of_pieces(pieces, laid)
    _check_seen(seen, only)
    progress(0.25)
    wanted = wanted_of(pieces, _weights(pieces, laid))
    under = None if already is None else Under.of(already, pieces, laid)
    easel = Easel(bottles, wanted, under)
    search = Search(easel, steps, shadows)
    state, stopped = _searched(search, steps, progress)
    try:
        found = measured_out(search, state, wells, stopped)
    except KeyboardInterrupt:  # nothing can be written before it is measured out
        found, stopped = measured_out(search, state, wells, stopped=True), True
    progress(0.85)
    shapes = Shapes(laid, areas, pieces)

    def paints(
        draft: Attempt, own: Measured, order: Sequence[int], bare: Sequence[Highlight]
    ) -> tuple[Written, Painting]:
        lifts = lifts_of(bare)
        made = written(scene, easel, draft, own.stocks, own.taken, shapes, order, lifts)
        covers = {**painted, **made.covers()}
        return made, resolve(made.scene, even=True, memory=memory, painted=covers)

    best = least_minded(search, found, laid, paints, stopped)
    progress(0.97)
    predicted = _on_grid(best.painting, laid)
    off = np.where(seen, delta_e_2000(predicted, laid.lab), np.nan)
    free = free_off(easel, search.washes, search.runs, laid)
    return Proposal(
        *(best.made, areas, best.painting, easel, best.draft, laid, predicted, off, free),
        *(best.bare, len(best.pairs), steps, started, stopped),
    )


def _lying(
    scene: Scene, table: Table, laid: OnSheet, memory: Memory, painted: Mapping[str, Cover]
) -> tuple[Bottles, Already | None]:
    """The bottles, and what a scene's steps have laid under a rough."""
    if not scene.steps:
        return Bottles(table), None
    some = on_samples(resolve(scene, even=True, memory=memory, painted=painted), laid)
    bottles = Bottles(table, some.table.dyes)
    return bottles, Already.of(some, bottles, laid)


def _pieces(
    laid: OnSheet, only: Sequence[int], shadow: Numbers, already: Already | None
) -> list[Piece]:
    """The pieces of a rough, each over one ground."""
    if already is None:
        return pieces_of(laid, only, shadow)
    left = already.left_of(shadow, laid.lab.reshape(-1, 3))
    found = pieces_of(laid, only, left, already.number)
    return [replace(piece, shut=piece.ground in already.shut) for piece in found]


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


def _check_seen(seen: NDArray[np.bool_], only: Sequence[int]) -> None:
    """Refuse areas that no colour can be read for."""
    if not seen.any():
        where = f"area {', '.join(map(str, only))}" if only else "any area"
        raise InputError(
            f"The rough shows no colour for {where}: all of it lies under the sketch's line. Name "
            "larger areas, or give the sketch more dots to the inch."
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


def _on_grid(painting: Painting, laid: OnSheet) -> Array:
    """What a painting shows at every sample of a rough, CIELAB, shape (rows, columns, 3)."""
    some = on_samples(painting, laid)
    return lab_from_xyz(xyz_from_rgb(linear_rgb(some).astype(float)), D65_XYZ)
