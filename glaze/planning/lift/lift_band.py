"""How far a lift may be off: random draws of all that is not known of it, laid and lifted again.

A lift's value is no straight function of what it rests on (bleach runs out, ghosts come and go),
and its figures are known to within factors of 1.2 to 10, so the band is taken from draws with a
fixed seed rather than from slopes: halfway up the two agree to a third, near the paper slopes give
a third to a half of the width (tests/planning/test_lift_band.py). What is drawn, and how far it may
be off, stands in the tables; docs/lift.md says which figures matter most.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.materials.bleach import bleach_entries
from glaze.materials.chemistry import COLDEST_C, WARMEST_C
from glaze.materials.dye import Dye
from glaze.materials.ink import Ink
from glaze.materials.mix import Mix
from glaze.patch.layers import (
    BOTTLE_FACTOR,
    MINUTES_FACTOR,
    OXIDANT_FACTOR,
    ROOM_C,
    YIELD_FACTOR,
    washes_in_doubt,
)
from glaze.patch.patches import bare_patches, glaze, value
from glaze.patch.table import Table
from glaze.physics.uncertainty import LEVEL, log_sd, model_sd_value
from glaze.sheet.lift import Chemistry, Touch, Touches, chemistry_of, touch_of
from glaze.sheet.state import Sheet

Array = NDArray[np.float64]

DRAWS, SEED = 200, 3
"""200 draws place the ends of a band within about 0.15 of its standard deviation."""


@dataclass(frozen=True, eq=False)
class Unsure:
    """By what factor each figure of a lift may be off, times or over, 9 times of 10.

    rate, oxidant, product_yield : of each colourant; the others are single figures
    """

    rate: Array
    oxidant: Array
    product_yield: Array
    film: float
    minutes: float
    bottle: float
    depth: float
    fibres: float
    fibre_rate: float
    kept: float
    room_c: float

    def flat(self) -> Array:
        """All factors in one row; the room's degrees come last, as exp of them."""
        single = [self.film, self.minutes, self.bottle, self.depth, self.fibres]
        single += [self.fibre_rate, self.kept, float(np.exp(self.room_c))]
        return np.concatenate([self.rate, self.oxidant, self.product_yield, single])


def unsure_of(table: Table, tool: str) -> Unsure:
    """The factors of a table's colourants and paper and of a tool, from their tables."""
    usual, paper = bleach_entries(), table.paper.entries
    return Unsure(
        rate=np.array([max(1.0, dye.bleach.factor) for dye in table.dyes]),
        oxidant=np.array([_factor(dye, "oxidant", OXIDANT_FACTOR) for dye in table.dyes]),
        product_yield=np.array([_factor(dye, "product_yield", YIELD_FACTOR) for dye in table.dyes]),
        film=usual[tool]["film"].factor,
        minutes=MINUTES_FACTOR,
        bottle=BOTTLE_FACTOR,
        depth=usual["touch"]["inked_depth"].factor,
        fibres=max(1.0, paper["fibre_mol_per_m2"].factor),
        fibre_rate=max(1.0, paper["fibre_rate_l_per_mol_s"].factor),
        kept=usual["touch"]["kept_when_blotted"].factor,
        room_c=ROOM_C,
    )


def _factor(dye: Dye, key: str, otherwise: float) -> float:
    """Factor of uncertainty of a dye's figure; `otherwise` where the table gives none."""
    entry = dye.entries.get(key)
    return entry.factor if entry is not None and entry.factor > 1.0 else otherwise


@dataclass(frozen=True, eq=False)
class Moved:
    """A lift with every figure moved: the touch and the chemistry to lift with."""

    touch: Touch
    chemistry: Chemistry


def moved_by(table: Table, plan: Touches, factors: Array) -> Moved:
    """The lift with each figure multiplied by its entry of `factors`, in the order of `flat`."""
    count = len(table.dyes)
    rate, oxidant, yields = (factors[i * count : (i + 1) * count] for i in range(3))
    film, minutes, bottle, depth, fibres, fibre_rate, kept, room = factors[3 * count :]
    warmer = min(max(table.room.temperature_c + float(np.log(room)), COLDEST_C), WARMEST_C)
    touch = touch_of(plan, table.bleach, table.room, table.paper)
    ph = table.bleach.diluted_ph(plan.parts_water)
    chemistry = chemistry_of(table.dyes, table.paper, warmer, ph)
    return Moved(
        replace(
            touch,
            dose_mol_per_m2=touch.dose_mol_per_m2 * film * bottle,
            film_l_per_m2=touch.film_l_per_m2 * film,
            seconds=touch.seconds * minutes,
            lag_seconds=touch.lag_seconds * depth**2,
            kept=min(1.0, touch.kept * kept),
        ),
        replace(
            chemistry,
            k_l_per_mol_s=chemistry.k_l_per_mol_s * rate,
            oxidant_mol_per_mol=chemistry.oxidant_mol_per_mol * oxidant,
            product_mol_per_mol=chemistry.product_mol_per_mol * yields,
            fibre_mol_per_m2=chemistry.fibre_mol_per_m2 * fibres,
            fibre_rate_l_per_mol_s=chemistry.fibre_rate_l_per_mol_s * fibre_rate,
        ),
    )


def draws_of(unsure: Unsure, draws: int = DRAWS, seed: int = SEED) -> Array:
    """Random factors, log-normal, shape (draws, figures)."""
    if draws < 20:
        raise InputError(f"{draws} draws are too few for a band; give 20 or more.")
    sd = log_sd(unsure.flat())
    return np.exp(sd * np.random.default_rng(seed).standard_normal((draws, sd.size)))


Lifter = Callable[[Sheet, NDArray[np.float32], Touch, Chemistry], None]


def touched(
    lifter: Lifter, sheet: Sheet, moved: Moved, touches: int, table: Table
) -> Iterator[Array]:
    """Values of the patches of a sheet after each of `touches` touches; lifts the sheet."""
    ones = np.ones(sheet.shape, np.float32)
    once = replace(moved.touch, touches=1)
    for _ in range(touches):
        lifter(sheet, ones, once, moved.chemistry)
        yield value(table, sheet)[0]


@dataclass(frozen=True, eq=False)
class Laid:
    """Patches of washes over each other, by what each bottle brought.

    load, optical : [g/m2], shape (patches, inks, colourants); the sheet's are their sum over inks
    coats : running load, shape (patches,)
    """

    load: Array
    optical: Array
    coats: Array

    def sheet(self, strength: Array | None = None, gain: float = 1.0) -> Sheet:
        """The patches, with each bottle `strength` times as strong as its figure.

        `gain`: by what more than its figure ink works in the paper.
        """
        times = np.ones(self.load.shape[1]) if strength is None else strength
        load, optical = (np.einsum("pic,i->pc", w, times) for w in (self.load, self.optical))
        none = np.zeros((1, len(self.coats)), np.float32)
        fields = (load, gain * optical, self.coats)
        load, optical, coats = (field[None].astype(np.float32) for field in fields)
        return Sheet(load, optical, coats, none, none.copy())


def lay_in_layers(table: Table, layers: Sequence[Sequence[Mix | None]]) -> Laid:
    """Washes on bare paper, one patch for each case, the lowest layer first; None lays nothing."""
    inks = list(table.palette.inks.values())
    contents = np.array(
        [[ink.contents_g_per_l.get(dye.name, 0.0) for dye in table.dyes] for ink in inks]
    )
    sheet = bare_patches(table, len(layers[0]))
    load = np.zeros((len(layers[0]), len(inks), len(table.dyes)))
    optical = np.zeros_like(load)
    for layer in layers:
        before = copied(sheet)
        water = table.mix("water 1")
        glaze(table, sheet, [mix or water for mix in layer])
        share = np.array([_ink_shares(mix, inks) for mix in layer])
        brought = share[..., None] * contents * table.paper.film_ml_per_m2 / 1000.0
        new, seen = (
            (now - then)[0].sum(axis=-1).astype(float)
            for now, then in (
                (sheet.load_g_per_m2, before.load_g_per_m2),
                (sheet.optical_g_per_m2, before.optical_g_per_m2),
            )
        )
        weight = np.divide(seen, new, out=np.zeros_like(new), where=new > 0)
        load += brought
        optical += brought * weight[:, None, None]
    return Laid(load, optical, sheet.coats[0].astype(float))


def _ink_shares(mix: Mix | None, inks: Sequence[Ink]) -> list[float]:
    """Share by volume of each bottle in a mix."""
    if mix is None:
        return [0.0] * len(inks)
    return [mix.ink_ml.get(ink.name, 0.0) / mix.all_ml for ink in inks]


@dataclass(frozen=True, eq=False)
class Bands:
    """Ends of the bands of Munsell value, each of shape (touches, patches)."""

    low: Array
    high: Array


def bands_of_lift(
    table: Table,
    laid: Laid,
    plan: Touches,
    *,
    lifter: Lifter,
    touches: int = 3,
    draws: int = DRAWS,
    seed: int = SEED,
    overlaid: bool = False,
) -> Bands:
    """The bands of the values that 1, 2, ... `touches` touches reach on some patches.

    Every figure of the lift is drawn, the strength of every bottle, the films, how deep ink works
    in the paper, and the error of the law for washes over each other.

    Parameters
    ----------
    plan : the touch; its `touches` doesn't count
    lifter : `glaze.sheet.compiled_lift.lift`, or the plain one of `glaze.sheet.lift`, slower
    overlaid : whether washes lie over each other
    """
    found = np.empty((draws, touches, len(laid.coats)))
    for number, (moved, sheet) in enumerate(_cases(table, laid, plan, draws, seed)):
        for touch, reached in enumerate(touched(lifter, sheet, moved, touches, table)):
            found[number, touch] = reached
    return _ends(found, overlaid, seed)


def bands_of_course(
    table: Table,
    laid: Laid,
    plan: Touches,
    minutes: Sequence[float] | Array,
    *,
    lifter: Lifter,
    draws: int = DRAWS,
    seed: int = SEED,
    overlaid: bool = False,
) -> Bands:
    """The bands of what one touch reaches when it is blotted after each of some minutes.

    As `bands_of_lift`; the bands have the shape (minutes, patches).
    """
    found = np.empty((draws, len(minutes), len(laid.coats)))
    for number, (moved, laid_now) in enumerate(_cases(table, laid, plan, draws, seed)):
        for place, wait in enumerate(minutes):
            seconds = moved.touch.seconds * wait / plan.minutes
            later = replace(moved, touch=replace(moved.touch, seconds=seconds))
            (found[number, place],) = touched(lifter, copied(laid_now), later, 1, table)
    return _ends(found, overlaid, seed)


def _cases(
    table: Table, laid: Laid, plan: Touches, draws: int, seed: int
) -> Iterator[tuple[Moved, Sheet]]:
    """For every draw the lift as it may be, and the patches as they may be."""
    factors = draws_of(unsure_of(table, plan.tool), draws, seed)
    strengths, films = strength_draws(table, draws, seed), film_draws(table, draws, seed)
    for row, strength, (film, gain) in zip(factors, strengths, films, strict=True):
        yield moved_by(table, plan, row), laid.sheet(film * strength, gain)


def _ends(found: Array, overlaid: bool, seed: int) -> Bands:
    """Quantiles over the draws (first axis), with the law's own error laid on each."""
    law = model_sd_value(overlaid=overlaid)
    noise = np.random.default_rng(seed + 1).standard_normal((len(found), 1, found.shape[2]))
    low, high = np.quantile(found + law * noise, [0.5 - LEVEL / 2.0, 0.5 + LEVEL / 2.0], axis=0)
    return Bands(np.clip(low, 0.0, 10.0), np.clip(high, 0.0, 10.0))


def strength_draws(table: Table, draws: int = DRAWS, seed: int = SEED) -> Array:
    """By what factor each bottle is as strong as its figure, shape (draws, inks)."""
    sd = log_sd([ink.strength_factor for ink in table.palette.inks.values()])
    return np.exp(sd * np.random.default_rng(seed + 2).standard_normal((draws, sd.size)))


def film_draws(table: Table, draws: int = DRAWS, seed: int = SEED) -> Array:
    """By what factor films are thicker, and ink works deeper in this paper, shape (draws, 2)."""
    doubts = {doubt.key[0]: doubt.factor for doubt in washes_in_doubt(table)}
    sd = log_sd([doubts.get("film", 1.0), doubts.get("gain", 1.0)])
    return np.exp(sd * np.random.default_rng(seed + 3).standard_normal((draws, 2)))


def copied(sheet: Sheet) -> Sheet:
    """A sheet whose arrays are its own."""
    return Sheet(**{name: field.copy() for name, field in vars(sheet).items()})
