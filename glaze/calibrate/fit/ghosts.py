"""What the bleach dots of a swatch sheet say: whether an ink lifts, and what ghost it leaves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glaze.calibrate.fit.spectrum_from_colour import most_probable
from glaze.calibrate.fit.strip import RUNG_DE, RUNG_SLIP, usual_prior, value_of
from glaze.calibrate.scan.swatch import Reading, apart, has_dot, is_painted
from glaze.materials.dye import Dye, Rate
from glaze.materials.own_spectrum import unit_path
from glaze.materials.paper import Curve
from glaze.patch.table import Table
from glaze.physics.absorption import glaze_weight
from glaze.physics.colour import D65_XYZ, lab_from_xyz, xyz_from_rgb
from glaze.picture.light import band_nm
from glaze.planning.lift.ghost import name_against

Array = NDArray[np.float64]

LIFTS_SHARE, RESISTS_SHARE = 0.75, 0.15
"""Share of the way back to bare paper that a dot has gone: above the first an ink lifts, below the
second it resists (guess, chosen by eye on predicted ghosts)."""

NO_GHOST_DE00 = 3.0
"""Nearer to paper than that a dot counts as clean."""


LIGHTER_DE = 3.0
"""Farther than that [CIE94-like units] from all that absorbs, a ghost is lighter than paper."""


@dataclass(frozen=True)
class Dot:
    """One bleach dot.

    name, kind, inks, parts : of its patch
    before, after : linear sRGB of the patch and of the dot
    share : of the way from the patch to the lifted paper that it has gone, in CIEDE2000
    value_gain : value steps lighter than its patch
    words : what is seen
    """

    name: str
    kind: str
    inks: tuple[str, ...]
    parts: float
    before: tuple[float, float, float]
    after: tuple[float, float, float]
    share: float
    value_gain: float
    words: str


def dots_of(readings: Sequence[Reading], scale: Array, table: Table) -> list[Dot]:
    """Every dot that was made on a painted patch.

    scale : linear sRGB of bare paper, what the readings are shares of

    Shape (3,).
    """
    bare = lifted_paper(readings, scale)
    anywhere = any(has_dot(r) for r in readings)
    found = []
    for reading in readings:
        if reading.dot_rgb is None or not anywhere or not is_painted(reading):
            continue
        if reading.place.kind in ("bleached", "trial"):
            continue
        before, after = reading.rgb * scale, reading.dot_rgb * scale
        whole = apart(before, bare)
        share = 1.0 - apart(after, bare) / whole if whole > 0 else 0.0
        found.append(
            Dot(
                reading.place.name,
                reading.place.kind,
                reading.place.inks,
                reading.place.parts,
                (float(before[0]), float(before[1]), float(before[2])),
                (float(after[0]), float(after[1]), float(after[2])),
                float(np.clip(share, 0.0, 1.0)),
                value_of(after) - value_of(before),
                seen_as(after, bare),
            )
        )
    return found


def lifted_paper(readings: Sequence[Reading], scale: Array) -> Array:
    """Paper as bleach leaves it: the dot on bare paper, or bare paper itself.

    Linear sRGB [-], `scale` and the result of shape (3,).
    """
    for reading in readings:
        if reading.place.kind == "bleached" and reading.dot_rgb is not None:
            return np.asarray(reading.dot_rgb * scale)
    return scale


def seen_as(rgb: Array, paper: Array) -> str:
    """A ghost in words: near paper, or its colour. Both linear sRGB [-], shape (3,)."""
    if apart(rgb, paper) < NO_GHOST_DE00:
        return "near paper"
    ghost, bare = (
        lab_from_xyz(xyz_from_rgb(np.maximum(part, 1e-4)), D65_XYZ) for part in (rgb, paper)
    )
    return name_against(ghost, bare).told()


def bleach_class(dots: Sequence[Dot]) -> str | None:
    """lifts, partly or resists by an ink's own dots; None without any that tells."""
    if not dots:
        return None
    shares = [dot.share for dot in dots]
    if max(shares) < RESISTS_SHARE:
        return "resists"
    return "lifts" if min(shares) >= LIFTS_SHARE else "partly"


def ghost_dye(table: Table, name: str, dots: Sequence[Dot]) -> Dye | None:
    """The ghost on the densest dotted patch as what bleach makes of a measured ink.

    It is taken as there gram for gram where the ink was, and as lasting.
    """
    dense = min((dot for dot in dots if dot.kind == "rung"), key=lambda d: d.parts, default=None)
    if dense is None or dense.words == "near paper":
        return None
    paper = table.paper
    told = most_probable(
        xyz_from_rgb(np.maximum(np.array([dense.after]), 1e-4)),
        np.asarray(glaze_weight(0.0, [1.0 / (1.0 + dense.parts)])),
        paper.bleached_reflectance(band_nm()),
        table.light.xyz_weights,
        usual_prior(),
        (paper.path_spread, paper.surface_reflectance),
        RUNG_DE,
        RUNG_SLIP,
    )
    if told.off.max() > LIGHTER_DE:
        return None  # lighter than the paper: nothing that absorbs
    return own_dye(name, own_curve(table, told.path), 1e-5, kind="product")


def own_curve(table: Table, path_of_neat_coat: Array, nm: Array | None = None) -> Curve:
    """Rows of nm and absorptivity [L/(g cm)] of an ink of 1 g/L with that path, shape (bands,).

    `nm` [nm], of the same shape, are the working bands if None.
    """
    rows = zip(
        band_nm() if nm is None else nm, path_of_neat_coat / unit_path(table.paper), strict=True
    )
    return tuple((float(at), float(value)) for at, value in rows)


def own_dye(
    name: str,
    curve: Curve,
    k: float,
    product: str | None = None,
    kind: str = "measured",
    source: str = "seen on a bleach dot only",
) -> Dye:
    """A colourant known only by its curve; its chemistry is assumed."""
    return Dye(
        name=name,
        kind=kind,
        molar_mass_g_per_mol=500.0,
        peak_absorptivity_l_per_g_cm=max(value for _, value in curve),
        bands=(),
        curve=curve,
        bleach=Rate(k, 14 * k, 35.0, 27.0, "assumed", 10.0, source),
        oxidant_mol_per_mol=2.0,
        product=product,
    )
