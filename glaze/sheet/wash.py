"""A wash: what it lays where, and how its edge dries."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple

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
from glaze.physics.flow import MM_PER_INCH
from glaze.sheet.mask import check_film
from glaze.sheet.state import Field, Sheet

VISIBLE_NM: NDArray[np.float64] = np.arange(400.0, 701.0, 5.0)
"""Where a colourant's share of a wash is weighed."""


NARROWER = 4
"""Times narrower than the drying line's own blur is the one that follows corners."""


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


def drying_line(
    coverage: Field,
    thickness: Field,
    rim_mm: float,
    gain: float,
    dpi: float,
    uneven: tuple[Field, Field] | None = None,
) -> Field:
    """What the drying edge of a wash gains, and the strip behind it loses, as thickness [-].

    While a wash dries, liquid runs to its edge and leaves its dye there, in a rim of fixed width
    (Gonzalez-Gutierrez 2019: for dissolved dye the width does not grow with strength). Written
    as a local flux F that lives in a strip inside the edge and never crosses it, so that dye is
    conserved exactly: load' = load - div F. With e the coverage blurred over sigma,
    F = -kappa (e - 1/2)+ grad e; across a straight edge that gains `gain` at the edge itself and
    draws at most 0.42 `gain` from the donor strip.

    In a corner e falls below a half well inside the wash. There a narrower blur d takes over, with
    (d - 1/2)/4 for (e - 1/2): equally steep at a straight edge and nowhere above it, since the
    error function bends down, so that the rim runs on into the corner and leaves straight edges
    as they are.

    Parameters
    ----------
    coverage : region of the wash [-], shape (rows, columns), 0 to 1; tells where edges are
    thickness : its film there [-], same shape; what can flow
    rim_mm : width of the rim [mm], a property of the paper
    gain : gain at a straight hard edge, share of the film [-]
    uneven : the gain as a share of that, and how much of it gathers in the narrower rim [-]
    """
    wide, narrow, narrower, kappa = rim_flow(rim_mm, gain, dpi)
    e, d = spread(coverage, wide), spread(coverage, narrow)
    half = np.float32(0.5)
    depth = np.maximum(e - half, (d - half) / narrower)
    out = np.zeros_like(thickness)
    for axis in (0, 1):
        near, far = _halves(axis)
        inside = np.maximum((depth[near] + depth[far]) / 2, 0)
        film = np.minimum(thickness[near], thickness[far])
        if uneven is None:
            flux = kappa * inside * (e[near] - e[far]) * film
        else:
            broad, share = inside * (e[near] - e[far]), uneven[1][near]
            fine = np.maximum((d[near] + d[far]) / 2 - half, 0) / (narrower * narrower)
            fine = fine * (d[near] - d[far])
            flux = (broad + share * (fine - broad)) * (kappa * uneven[0][near]) * film
        out[near] -= flux
        out[far] += flux
    return out


class RimFlow(NamedTuple):
    """What a drying line's flux takes of the paper and the sheet's dpi.

    Attributes
    ----------
    wide, narrow : weights of the two blurs [-], shape (taps,)
    narrower : how many times narrower one is than the other [-]
    kappa : flux by depth and slope [px2]
    """

    wide: NDArray[np.float64]
    narrow: NDArray[np.float64]
    narrower: np.float32
    kappa: np.float32


def rim_flow(rim_mm: float, gain: float, dpi: float) -> RimFlow:
    """What `drying_line` and its compiled form take of the width and gain of a rim.

    The blur of the coverage is one whose flux peaks a rim's width behind the edge: at 0.77 sigma.
    """
    sigma = rim_mm / 0.77 * dpi / MM_PER_INCH
    kappa = gain * 2 * np.pi * sigma**2  # d(flux)/dx at the edge is kappa/(2 pi sigma2)
    wide, narrow = gaussian_taps(sigma), gaussian_taps(sigma / NARROWER)
    return RimFlow(wide, narrow, np.float32(NARROWER), np.float32(kappa))


def drying_reach_px(rim_mm: float, dpi: float) -> int:
    """How far a drying line looks sideways [px]."""
    return len(rim_flow(rim_mm, 0.0, dpi).wide) // 2 + 1


def _column(g_per_l: Mapping[str, float], colourants: Sequence[Dye]) -> NDArray[np.float64]:
    """Contents of a liquid [g/L] as one entry a colourant."""
    return np.array([g_per_l.get(dye.name, 0.0) for dye in colourants])


def _halves(axis: int) -> tuple[tuple[slice, ...], tuple[slice, ...]]:
    """Index of each pixel and of its next neighbour along an axis."""
    near = [slice(None), slice(None)]
    far = [slice(None), slice(None)]
    near[axis], far[axis] = slice(None, -1), slice(1, None)
    return tuple(near), tuple(far)
