"""A wash: what it lays where, how its edge dries, and what it stirs up from below."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.materials.dye import Dye
from glaze.materials.mix import Mix
from glaze.materials.paper import Paper
from glaze.physics.absorption import (
    CROWDING,
    SQUARE_METRE_TO_PATH,
    glaze_weight,
    path,
)
from glaze.physics.blur import gaussian_taps, spread
from glaze.physics.crowding import coats_below, crowding_overlap
from glaze.sheet import compiled_stir
from glaze.sheet.mask import check_film
from glaze.sheet.rect import Rect
from glaze.sheet.state import Field, Sheet
from glaze.sheet.units import FULL, Mask

VISIBLE_NM: NDArray[np.float64] = np.arange(400.0, 701.0, 5.0)
"""Where a colourant's share of a wash is weighed."""


@dataclass(frozen=True)
class LaidWash:
    """The constants of a wash on a given paper, one entry a colourant of the sheet.

    One wash for all places, or one for each: then `strength`, `full_load_g_per_m2` and `overlap`
    have the sheet's leading axes in front.

    Attributes
    ----------
    strength : at full film thickness [neat coats]
    full_load_g_per_m2 : dye at full film thickness [g/m2], shape (colourants,)
    share : of the wash's mean absorption 400-700 nm [-], shape (colourants,), sums to 1
    overlap : coats of this wash that 1 g/m2 below it stands for, in each third of light [m2/g],
        shape (3, colourants)
    mobility : how readily each colourant travels to a drying edge [-], shape (colourants,)
    """

    strength: Any
    full_load_g_per_m2: NDArray[np.float64]
    share: NDArray[np.float64]
    overlap: NDArray[np.float64]
    mobility: NDArray[np.float64]

    @property
    def mean_mobility(self) -> float:
        """Mobility of the wash as a whole [-]."""
        return float(self.share @ self.mobility)

    @property
    def separates(self) -> bool:
        """Whether its dyes travel unequally, so that its edge dries with a coloured fringe."""
        present = self.mobility[self.full_load_g_per_m2 > 0]
        return bool(present.size and np.ptp(present) > 1e-6)


def parted_by_none(strength: Any, load: NDArray[np.float64], overlap: Any) -> LaidWash:
    """A wash on patches, which have no edge at which dyes could part; fields as in `LaidWash`.

    Strength [neat coats] of shape (...), load [g/m2] of shape (..., colourants), overlap
    [m2/g].
    """
    none = np.zeros(load.shape[-1])
    return LaidWash(strength, load, none, overlap, none)


def work_out(
    mix: Mix, coats: float, film_ml_per_m2: float, paper: Paper, colourants: Sequence[Dye]
) -> LaidWash:
    """The constants of a wash of `mix`.

    Parameters
    ----------
    coats : equal coats laid one after the other [-]
    film_ml_per_m2 : liquid that one coat lays [ml/m2]; all its dye stays
    colourants : the columns of the sheet
    """
    check_wash(mix, coats, film_ml_per_m2, colourants)
    load = _column(mix.contents_g_per_l, colourants) * film_ml_per_m2 * coats / 1000
    neat = _column(mix.neat_g_per_l, colourants) * paper.film_ml_per_m2 / 1000
    curves = [dye.absorptivity_l_per_g_cm(VISIBLE_NM) for dye in colourants]
    absorptivity = np.array(curves).reshape(len(colourants), VISIBLE_NM.size)  # also of no dye
    means = load * absorptivity.mean(axis=1)
    paths = path(absorptivity * SQUARE_METRE_TO_PATH, paper.path_gain)
    return LaidWash(
        strength=mix.strength * coats * film_ml_per_m2 / paper.film_ml_per_m2,
        full_load_g_per_m2=load,
        share=means / means.sum() if means.any() else means,
        overlap=crowding_overlap(neat, paths, VISIBLE_NM, paper.path_spread),
        mobility=np.array([dye.mobility for dye in colourants]),
    )


def check_wash(mix: Mix, coats: float, film_ml_per_m2: float, colourants: Sequence[Dye]) -> None:
    """Refuse washes that can't be laid, and dyes the sheet has no column for."""
    for amount, what in ((coats, "coats"), (film_ml_per_m2, "ml/m2 of film")):
        if not 0.0 < amount < np.inf:
            raise InputError(f"A wash of {amount:g} {what}; give a number above 0.")
    lost = set(mix.contents_g_per_l) - {dye.name for dye in colourants}
    if lost:
        raise InputError(
            f"{mix.recipe.text} holds {', '.join(sorted(lost))}, for which this sheet has no "
            "column: mix it from the bottles of the table that the sheet was made for."
        )


def lay(
    sheet: Sheet,
    wash: LaidWash,
    thickness: NDArray[np.floating[Any]] | float = 1.0,
    rim: Field | None = None,
    crowding: float = CROWDING,
) -> None:
    """Lay a wash on what is dry: adds its dye to the sheet, in place.

    The plain law, for any leading axes, and the specification; `glaze.sheet.compiled_wash.lay` is
    the compiled form for pictures. There is no third.

    Parameters
    ----------
    thickness : film thickness [-], shape (rows, columns) or one for all, 1 = the wash's own film;
        the mean gain of a drying line is in it
    rim : what the drying line moves [-], same shape, negative where dye was drawn from; only for
        washes whose dyes part
    crowding : b of the load law; another than the law's own only to ask what fits a strip
    """
    thickness = np.asarray(thickness, dtype=None if np.ndim(thickness) else float)
    check_film(thickness, sheet.shape)
    dQ = np.broadcast_to(wash.strength * np.asarray(thickness, dtype=float), sheet.shape)
    Q = coats_below(sheet.load_g_per_m2, sheet.coats, wash.overlap)
    weight = np.divide(glaze_weight(Q, dQ, crowding), dQ, where=dQ > 0, out=np.zeros(dQ.shape))
    film = np.asarray(thickness, dtype=float)[..., None]
    if rim is not None:
        film = film + rim[..., None] * (wash.mobility - wash.mean_mobility)
    dload = wash.full_load_g_per_m2 * np.maximum(film, 0)
    kind = sheet.coats.dtype
    sheet.load_g_per_m2 += dload.astype(kind)
    sheet.optical_g_per_m2 += (dload * weight[..., None]).astype(kind)
    sheet.coats += dQ.astype(kind)


def drying_line(coverage: Field, thickness: Field, rim_mm: float, gain: float, dpi: float) -> Field:
    """What the drying edge of a wash gains, and the strip behind it loses, as thickness [-].

    While a wash dries, liquid runs to its edge and leaves its dye there, in a rim of fixed width
    (Gonzalez-Gutierrez 2019: for dissolved dye the width does not grow with strength). Written
    as a local flux F that lives in a strip inside the edge and never crosses it, so that dye is
    conserved exactly: load' = load - div F. With e the coverage blurred over sigma,
    F = -kappa (e - 1/2)+ grad e; across a straight edge that gains `gain` at the edge itself and
    draws at most 0.42 `gain` from the donor strip.

    Parameters
    ----------
    coverage : region of the wash [-], shape (rows, columns), 0 to 1; tells where edges are
    thickness : its film there [-], same shape; what can flow
    rim_mm : width of the rim [mm], a property of the paper
    gain : gain at a straight hard edge, share of the film [-]
    """
    sigma = rim_mm / 0.77 * dpi / 25.4  # the flux peaks at 0.77 sigma behind the edge
    e = spread(coverage, gaussian_taps(sigma))
    kappa = np.float32(gain * 2 * np.pi * sigma**2)  # d(flux)/dx at the edge is kappa/(2 pi sigma2)
    out = np.zeros_like(thickness)
    for axis in (0, 1):
        near, far = _halves(axis)
        inside = np.maximum((e[near] + e[far]) / 2 - np.float32(0.5), 0)
        flux = kappa * inside * (e[near] - e[far]) * np.minimum(thickness[near], thickness[far])
        out[near] -= flux
        out[far] += flux
    return out


def drying_reach_px(rim_mm: float, dpi: float) -> int:
    """How far a drying line looks sideways [px]."""
    return len(gaussian_taps(rim_mm / 0.77 * dpi / 25.4)) // 2 + 1


def stir_reach_px(mixing_mm: float, dpi: float) -> int:
    """How far a stirring wash looks sideways [px]."""
    return compiled_stir.reach_px(_mixing_px(mixing_mm, dpi))


def _mixing_px(mixing_mm: float, dpi: float) -> float:
    return max(mixing_mm * dpi / 25.4, 0.3)


ALL_OF_IT = np.array([[0.0, 1.0]])
"""Of the one thing there is, all is sent."""


def stir(
    sheet: Sheet,
    loose: NDArray[np.float64],
    coverage: Mask,
    rect: Rect,
    mixing_mm: float,
    dpi: float,
) -> None:
    """Let a wet wash move all that is loose below it: the *stirred* end of the preview.

    What leaves a pixel arrives at others within the wash, weighted by a Gaussian of the mixing
    length that is normalised where it leaves, so nothing is lost and nothing crosses the edge.
    What has moved lies mixed with the rest and gets the mixed-wet weight E(Q)/(Q E(1)).

    Parameters
    ----------
    sheet : a tile of the sheet, changed in place; near its own edges it is then wrong as far as
        `stir_reach_px`, unless the sheet ends there
    loose : fraction of each colourant that dissolves again [-], shape (colourants,)
    coverage : where the wash is wet, FULL = wholly; of the whole sheet, shape (rows, columns)
    rect : where the tile lies on it
    mixing_mm : mixing length, a property of the paper [mm]
    """
    sigma = _mixing_px(mixing_mm, dpi)
    part = wet_part_of(coverage, rect)
    if part.empty:
        return
    # how much of what leaves each pixel finds the wash: that looks further than the tile
    around = part.grown(compiled_stir.reach_px(sigma), coverage.shape)
    wet = np.multiply(coverage[around.slices], np.float32(1 / FULL), dtype=np.float32)
    grid, nodes = _sent(np.ones((*wet.shape, 1), np.float32), wet, ALL_OF_IT, sigma, around)
    found = np.empty(wet.shape, np.float32)
    compiled_stir.read(nodes[0], grid, found)
    here = part.inside(around).slices
    wet, found = np.ascontiguousarray(wet[here]), found[here]
    leaves = np.divide(wet, found, where=found > 1e-6, out=np.zeros_like(wet))
    # what is loose leaves, and lies down where it arrives
    within = part.inside(rect).slices
    load, optical = sheet.load_g_per_m2[within], sheet.optical_g_per_m2[within]
    dissolves = np.flatnonzero(loose > 0)
    dyes = np.column_stack([dissolves, loose[dissolves]])
    grid, nodes = _sent(load, leaves, dyes, sigma, part)
    there = nodes.any(axis=(1, 2))
    compiled_stir.settle(load, optical, sheet.coats[within], wet, grid, nodes[there], dyes[there])


def _sent(
    amount: NDArray[np.float32],
    share: Field,
    which: NDArray[np.float64],
    sigma_px: float,
    rect: Rect,
) -> tuple[compiled_stir.Grid, NDArray[np.float32]]:
    """What each pixel sends, blurred at the nodes; arguments as in `compiled_stir.gather`."""
    grid, taps = compiled_stir.grid_of(sigma_px, rect.top, rect.left)
    nodes = np.zeros((len(which), *grid.shape(*share.shape)), np.float32)
    compiled_stir.gather(amount, share, which, grid, nodes)
    return grid, compiled_stir.blurred(nodes, taps)


def wet_part_of(coverage: Mask, rect: Rect) -> Rect:
    """The part of a rectangle that holds all of a coverage, uint16 of shape (rows, columns)."""
    there = coverage[rect.slices]
    rows, columns = np.flatnonzero(there.any(axis=1)), np.flatnonzero(there.any(axis=0))
    if not rows.size:
        return Rect(0, 0, 0, 0)
    top, left = rect.top, rect.left
    return Rect(top + rows[0], left + columns[0], top + rows[-1] + 1, left + columns[-1] + 1)


def _column(g_per_l: Mapping[str, float], colourants: Sequence[Dye]) -> NDArray[np.float64]:
    """Contents of a liquid [g/L] as one entry a colourant."""
    return np.array([g_per_l.get(dye.name, 0.0) for dye in colourants])


def _halves(axis: int) -> tuple[tuple[slice, ...], tuple[slice, ...]]:
    """Index of each pixel and of its next neighbour along an axis."""
    near = [slice(None), slice(None)]
    far = [slice(None), slice(None)]
    near[axis], far[axis] = slice(None, -1), slice(1, None)
    return tuple(near), tuple(far)
