"""The lift experiment of a swatch sheet: dots of bleach, read back to rates and to the ghost.

Dots of a few strengths and times on one ink fix up to four numbers, all found at once and none
further than the dots tell it: how fast bleach takes the ink, how much ghost it leaves, how fast
that goes in turn, and which way the ghost's colour leans. Each starts from the tables, held by
their own uncertainty; what comes out carries a band, and the two dots to add that would tell most.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glaze.calibrate.fit.scanner import Z
from glaze.calibrate.fit.strip import READING_DE, residuals
from glaze.charts.content.swatch_layout import TRIAL
from glaze.materials.dye import Dye, colourants
from glaze.materials.ink import Ink
from glaze.patch.patches import bare_patches, glaze, seen_through, touch_of_each
from glaze.patch.table import Table
from glaze.physics.uncertainty import log_sd
from glaze.picture.light import band_nm
from glaze.sheet.lift import Touches, lift

Array = NDArray[np.float64]

NAMES = ("rate", "ghost", "ghost_rate", "lean")
"""How fast bleach takes the ink, how much ghost it leaves, how fast that goes, all times the
table's; and the lean of its colour: log of its path from 550 to 700 nm."""

LEAN_SD = 0.7
"""Of the lean before anything was read (guess)."""

SLOPE_STEP = 1e-3
"""Of a log, to see how the dots' colours move with it."""

TOLD_SHARE = 0.6
"""A number is told by the dots where they leave less of its spread than that (guess)."""


@dataclass(frozen=True, eq=False)
class TrialDot:
    """A dot of bleach on one ink: parts of water in the ink and in the bleach, minutes, colour.

    rgb : linear sRGB on the scale of the paper's reflectance, shape (3,)
    """

    ink_parts: float
    bleach_parts: float
    minutes: float
    rgb: Array


@dataclass(frozen=True, eq=False)
class LiftFound:
    """What the dots say of an ink.

    log_times, log_sd : of the four `NAMES`, natural logs against the table, and what is left open
    told : which of them the dots tell rather than the tables
    predicted : linear sRGB of each dot, shape (dots, 3)
    add : strength (parts of water) and minutes of the two dots that would tell most
    """

    ink: str
    log_times: Array
    log_sd: Array
    told: tuple[bool, ...]
    predicted: Array
    add: tuple[tuple[float, float], ...]

    def times(self, name: str) -> tuple[float, float]:
        """One of the numbers, times the table's, and its band: times or over, 9 of 10."""
        i = NAMES.index(name)
        return math.exp(self.log_times[i]), math.exp(Z * self.log_sd[i])


class LiftTrial:
    """The dots of one ink as the model paints them, for any four numbers."""

    def __init__(self, table: Table, ink: Ink, dots: Sequence[TrialDot]) -> None:
        self.table, self.dots = table, dots
        family = {dye.name for dye in colourants(ink.contents_g_per_l, table.palette.dyes)}
        self.own = np.array([dye.name in ink.contents_g_per_l for dye in table.dyes])
        self.ghost = np.array([dye.name in family for dye in table.dyes]) & ~self.own
        mixes = [table.mix(f"{ink.name} 1 part + water {d.ink_parts:g} parts") for d in dots]
        self.washed = glaze(table, bare_patches(table, len(dots)), mixes)
        touches = [Touches(dot.bleach_parts, minutes=dot.minutes) for dot in dots]
        self.touch, self.chemistry = touch_of_each(table, touches)

    def rgb(self, log_times: Array) -> Array:
        """Linear sRGB [-] of every dot, shape (..., dots, 3), for logs of the four `NAMES`.

        log_times : shape (..., 4)
        """
        table, usual = self.table, self.chemistry
        rate, ghost, ghost_rate, lean = np.moveaxis(log_times[..., None], -2, 0)[..., None]
        k = usual.k_l_per_mol_s * np.exp(rate * self.own + ghost_rate * self.ghost)
        yields = usual.product_mol_per_mol * np.exp(ghost * self.own)
        chemistry = replace(usual, k_l_per_mol_s=k, product_mol_per_mol=yields)
        sheet = self.washed.each(
            lambda field: np.broadcast_to(field[0], (*k.shape[:-1], *field.shape[2:])).copy()
        )
        lift(sheet, 1.0, self.touch, chemistry)
        leaning = np.exp(lean * np.outer(self.ghost, (band_nm() - 550.0) / 150.0))
        A = sheet.optical_g_per_m2 @ (table.path_m2_per_g * leaning)
        R = seen_through(table, A, sheet.bleached[..., None])
        return np.asarray(R @ table.light.display_weights)

    def spread(self) -> Array:
        """Standard deviations of the four numbers' logs [-] before a dot was read, shape (4,)."""
        dyes = self.table.dyes
        own = [dye.bleach.factor for dye, mine in zip(dyes, self.own, strict=True) if mine]
        left = [dye.bleach.factor for dye, after in zip(dyes, self.ghost, strict=True) if after]
        factors = max(own), 2.0, max(left, default=1.0)
        logs = [float(log_sd(max(factor, 1.05))) for factor in factors]
        return np.array([*logs, LEAN_SD])


def fit_lift(table: Table, ink: Ink, dots: Sequence[TrialDot]) -> LiftFound:
    """The four numbers of an ink from its dots, and the two dots that would tell most besides.

    Parameters
    ----------
    table : with the ink as its strip was fitted, so that the dots tell nothing but the lift
    """
    from scipy.optimize import least_squares

    trial, seen = LiftTrial(table, ink, dots), np.array([dot.rgb for dot in dots])
    spread = trial.spread()

    def gaps(x: Array) -> Array:
        off = residuals(seen, trial.rgb(x)) / READING_DE
        size = np.linalg.norm(off, axis=-1, keepdims=True)
        # a dot far off is a slip of the hand: it pulls like its distance
        off = off * np.sqrt(np.minimum(1.0, 3.0 / np.maximum(size, 1e-9)))
        return np.concatenate([off.reshape(*x.shape[:-1], -1), x / spread], axis=-1)

    def slopes(x: Array) -> Array:
        beside = gaps(x + np.concatenate([np.zeros((1, 4)), SLOPE_STEP * np.eye(4)]))
        return np.asarray((beside[1:] - beside[0]).T / SLOPE_STEP)

    found = least_squares(gaps, np.zeros(4), slopes, x_scale=spread, xtol=1e-4, ftol=1e-5)
    scatter = max(1.0, float((gaps(found.x)[:-4] ** 2).sum()) / max(seen.size - 4, 1))
    told = found.jac.T @ found.jac
    sd = np.sqrt(np.diag(np.linalg.inv(told)) * scatter)
    done = {(dot.bleach_parts, dot.minutes) for dot in dots}
    return LiftFound(
        ink.name,
        found.x,
        np.minimum(sd, spread),
        tuple(bool(one) for one in sd < TOLD_SHARE * spread),
        trial.rgb(found.x),
        _worth_adding(table, ink, found.x, told, done),
    )


def _worth_adding(
    table: Table, ink: Ink, x: Array, told: Array, done: set[tuple[float, float]]
) -> tuple[tuple[float, float], ...]:
    """The two dots of the sheet not made yet that narrow the numbers most (D-optimal)."""
    rest = [(parts, minutes) for parts, minutes in TRIAL if (parts, minutes) not in done]
    if len(rest) < 2:
        return tuple(rest)
    trial = LiftTrial(table, ink, [TrialDot(1.0, *one, np.zeros(3)) for one in rest])
    J = residuals(trial.rgb(x), trial.rgb(x + 0.05 * np.eye(4))) / 0.05 / READING_DE
    each = np.einsum("idc,jdc->dij", J, J)
    pairs = itertools.combinations(range(len(rest)), 2)
    best = max(pairs, key=lambda p: np.linalg.slogdet(told + each[p[0]] + each[p[1]])[1])
    return rest[best[0]], rest[best[1]]


def own_chain(table: Table, ink: Ink, found: LiftFound) -> tuple[Ink, tuple[Dye, ...]]:
    """The ink with dyes of its own that lift as its dots did; the palette's stay as they are.

    What the dots don't tell keeps the table's figure and its band.
    """
    dyes = colourants(ink.contents_g_per_l, table.palette.dyes)
    named = {dye.name: f"{dye.name} of {ink.name}" for dye in dyes}
    rate, ghost, ghost_rate, lean = np.where(found.told, found.log_times, 0.0)
    own = []
    for dye in dyes:
        mine = dye.name in ink.contents_g_per_l
        which, log = ("rate", rate) if mine else ("ghost_rate", ghost_rate)
        factor = found.times(which)[1] if found.told[NAMES.index(which)] else dye.bleach.factor
        bleach = replace(
            dye.bleach,
            k_ocl_l_per_mol_s=dye.bleach.k_ocl_l_per_mol_s * math.exp(log),
            k_hocl_l_per_mol_s=(dye.bleach.k_hocl_l_per_mol_s or 0.0) * math.exp(log),
            how="fitted" if found.told[NAMES.index(which)] else dye.bleach.how,
            factor=round(factor, 3),
            source="dots of bleach on a painted swatch sheet",
        )
        nm = np.arange(380.0, 781.0, 5.0)
        curve = dye.absorptivity_l_per_g_cm(nm) * np.exp(0 if mine else lean * (nm - 550) / 150)
        own.append(
            replace(
                dye,
                name=named[dye.name],
                bands=(),
                curve=tuple((float(a), float(b)) for a, b in zip(nm, curve, strict=True)),
                bleach=bleach,
                product=named.get(dye.product or ""),
                product_mol_per_mol=dye.product_mol_per_mol * math.exp(ghost if mine else 0.0),
                fit_residual=None,
            )
        )
    contents = {named[name]: grams for name, grams in ink.contents_g_per_l.items()}
    return replace(ink, contents_g_per_l=contents), tuple(own)


def lift_words(found: LiftFound) -> str:
    """What the dots told of an ink, in a sentence."""
    words = {
        "rate": "bleach takes it {:.2g} times as fast as the table has it",
        "ghost": "it leaves {:.2g} times as much ghost",
        "ghost_rate": "the ghost goes {:.2g} times as fast",
    }
    parts = []
    for name, text in words.items():
        if found.told[NAMES.index(name)]:
            times, band = found.times(name)
            parts.append(f"{text.format(times)} (times or over {band:.1f})")
    told = "; ".join(parts) or "its dots tell nothing that the table didn't"
    add = " and ".join(f"1 + {parts:g} for {_time(minutes)}" for parts, minutes in found.add)
    return f"{found.ink}: {told}." + (f" Dots that would tell most besides: {add}." if add else "")


def _time(minutes: float) -> str:
    return f"{60 * minutes:.0f} s" if minutes < 1 else f"{minutes:g} min"
