"""Which bottles to buy out of a list: the few that reach most, by value, and what yours lack.

What bottles reach is a volume in Munsell space: at each step of value the area of hue and chroma
that mixes of them have, by twos and in all strengths (a third ink only dulls what two reach). Sets
are compared by that volume over the values that are wished for.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError, unknown
from glaze.materials.bleach import CAUTION_LINE
from glaze.materials.ink import Ink
from glaze.materials.parts_told import parts_of
from glaze.patch.patches import bare_patches, bleach_patches, lab
from glaze.patch.seen import Look, looks_of
from glaze.patch.table import Table
from glaze.patch.washes import lay_shares
from glaze.physics.colour import delta_e_2000
from glaze.planning.bottles.gamut import STEPS, Cloud, closed, cloud_of, mixtures, places_of
from glaze.sheet.lift import Touches

Array = NDArray[np.float64]

VALUES = {"light": (7.0, 10.0), "middle": (4.0, 7.0), "dark": (0.0, 4.0), "all": (0.0, 10.0)}
"""Bands of Munsell value; in thirds, as a plan in three values has them (common practice, no
source)."""
BLEACH = {"lifts": (0.5, 1.0), "stays": (0.0, 0.15), "any": (0.0, 1.0)}
"""Share of what sets a neat wash apart from bare paper (CIEDE2000) that one touch takes (guess)."""
TOUCH = "1+4"
MOST_TRIED = 60_000
"""Up to so many sets all are tried; beyond, bottles are exchanged until none gains."""
MOST_BOTTLES = 100
AT_ONCE = 2048


@dataclass(frozen=True)
class Chosen:
    """A set of bottles out of a list.

    bottles : name and neat look of each, in the order of what each adds
    have : those that were there already. without : share of the set's reach that is lost without
    each bottle [-]. reach : of what all bottles together reach, by band of value [-]
    tried : sets that were compared. every : whether those are all there are
    """

    bottles: Mapping[str, Look]
    have: tuple[str, ...]
    without: Mapping[str, float]
    reach: Mapping[str, float]
    reach_before: Mapping[str, float]
    out_of: int
    wish: str
    tried: int
    every: bool

    @property
    def note(self) -> str:
        """The answer in sentences."""
        told = ", ".join(
            f"{name} {100 * self.reach[name]:.0f} %" for name in ("light", "middle", "dark")
        )
        beside = f" beside {', '.join(self.have)}" if self.have else ""
        how = (
            "There is no other choice."
            if self.every and self.tried == 1
            else f"All {self.tried} sets were compared."
            if self.every
            else f"{self.tried} sets were compared, exchanging bottles until none gained."
        )
        return (
            f"{', '.join(self.bottles)}{beside} reach {100 * self.reach['all']:.0f} % of what all "
            f"{self.out_of} bottles reach together ({told}). {self.wish}{how}"
        )

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        rows = [
            {"bottle": name, **look.as_dict(), "lost_without": round(self.without[name], 4)}
            for name, look in self.bottles.items()
        ]
        return {
            "bottles": rows,
            "have": list(self.have),
            "reach": {name: round(share, 4) for name, share in self.reach.items()},
            "reach_before": {name: round(share, 4) for name, share in self.reach_before.items()},
            "tried": self.tried,
            "all_tried": self.every,
            "note": self.note,
            "caution": CAUTION_LINE,
        }


def choose_bottles(
    table: Table,
    count: int,
    have: Sequence[str] = (),
    values: str = "all",
    bleach: str = "any",
) -> Chosen:
    """The few bottles of a palette that reach most, beside those that one has.

    Parameters
    ----------
    count : bottles to choose, 1 to 8
    have : names of bottles of the same palette that are there already
    values : light, middle, dark or all: where reach counts
    bleach : lifts or stays: only bottles that one touch of 1 + 4 takes so; or any

    Raises
    ------
    InputError : for wishes that aren't there, and where too few bottles are left to choose from
    """
    wrong = [
        unknown(what, asked, known)
        for what, asked, known in (
            ("band of value", values, VALUES),
            ("wish for bleach", bleach, BLEACH),
        )
        if asked not in known
    ]
    if wrong:
        raise InputError(wrong)
    owned = tuple(dict.fromkeys(table.palette.ink(name).name for name in have))
    inks = list(table.palette.inks.values())
    shares = lifted_shares(table, inks)
    least, most = BLEACH[bleach]
    free = [
        n
        for n, ink in enumerate(inks)
        if ink.name not in owned and least <= round(float(shares[n]), 2) <= most
    ]
    _check(count, len(free), len(inks), bleach)
    volumes = pair_volumes(table, inks)
    kept = [n for n, ink in enumerate(inks) if ink.name in owned]
    weighed = volumes[..., _levels(values)].reshape(len(inks), len(inks), -1)
    found, tried, every = _best(weighed, kept, free, count)
    return _chosen(table, inks, volumes, kept, found, (values, bleach, tried, every))


def _check(count: int, free: int, inks: int, bleach: str) -> None:
    if inks > MOST_BOTTLES:
        raise InputError(f"{inks} bottles; at most {MOST_BOTTLES} can be chosen from.")
    if not 1 <= count <= 8:
        raise InputError(f"{count} bottles: choose 1 to 8.")
    if free < count:
        wish = f' that fit the wish "{bleach}" for bleach' if bleach != "any" else ""
        raise InputError(
            f"{free} to choose from{wish}, and {count} are asked for: ask for fewer, or give a "
            "longer list."
        )


def lifted_shares(table: Table, inks: Sequence[Ink]) -> Array:
    """Share of a neat wash's distance from bare paper that one touch of 1 + 4 takes.

    [-] of CIEDE2000, shape (inks,).
    """
    sheet = lay_shares(table, inks, np.eye(len(inks)))
    bare = lab(table, bare_patches(table))[0, 0]
    before = delta_e_2000(lab(table, sheet)[0], bare)
    bleach_patches(table, sheet, Touches(parts_water=parts_of(TOUCH)))
    after = delta_e_2000(lab(table, sheet)[0], bare)
    return np.clip(1.0 - after / np.maximum(before, 1e-9), 0.0, 1.0)


def pair_volumes(table: Table, inks: Sequence[Ink]) -> Array:
    """Reach of each two bottles, squared, shape (inks, inks, 10 families, 20 steps of value).

    [chroma squared]; the diagonal is what a bottle reaches alone.
    """
    shares, n = mixtures(2), len(inks)
    pairs = [*((k, k) for k in range(n)), *itertools.combinations(range(n), 2)]
    out = np.zeros((n, n, 10, STEPS))
    for start in range(0, len(pairs), AT_ONCE // 16):
        some = pairs[start : start + AT_ONCE // 16]
        rows = np.zeros((len(some), len(shares), n))
        for row, (one, other) in zip(rows, some, strict=True):
            row[:, one] += shares[:, 0]
            if other != one:
                row[:, other] += shares[:, 1]
        cloud = cloud_of(table, lay_shares(table, inks, rows.reshape(-1, n)), "munsell")
        found = _widest(cloud, len(some))
        for (one, other), reach in zip(some, found, strict=True):
            out[one, other] = out[other, one] = reach**2
    return out


def _widest(cloud: Cloud, sets: int) -> Array:
    """Largest chroma of equal runs of a cloud by family and step, shape (sets, 10, STEPS)."""
    family, level = places_of(cloud)
    run = np.repeat(np.arange(sets), cloud.hue.size // sets)
    reach = np.zeros((sets, 10, STEPS))
    np.maximum.at(reach, (run, family, level), cloud.chroma)
    return closed(reach)


def _levels(values: str) -> slice:
    low, high = (round(end * STEPS / 10) for end in VALUES[values])
    return slice(low, high)


def volume(volumes: Array, chosen: Sequence[int]) -> float:
    """What a set of bottles reaches: of each place the widest of its pairs.

    volumes : of each two bottles [chroma squared], shape (bottles, bottles, ...)
    """
    return float(volumes[np.ix_(chosen, chosen)].max(axis=(0, 1)).sum()) if len(chosen) else 0.0


def _best(
    volumes: Array, kept: list[int], free: list[int], count: int
) -> tuple[list[int], int, bool]:
    """The free bottles that add most to those kept; how many sets were tried; whether all."""
    if math.comb(len(free), count) <= MOST_TRIED:
        return _best_of_all(volumes, kept, free, count)
    chosen: list[int] = []
    tried = 0
    for _ in range(count):
        rest = [n for n in free if n not in chosen]
        tried += len(rest)
        chosen.append(max(rest, key=lambda n: volume(volumes, [*kept, *chosen, n])))
    best, gained = volume(volumes, [*kept, *chosen]), True
    while gained:
        gained = False
        for place, new in itertools.product(range(count), free):
            if new in chosen:
                continue
            other = [*chosen[:place], new, *chosen[place + 1 :]]
            tried += 1
            if (found := volume(volumes, [*kept, *other])) > best:
                chosen, best, gained = other, found, True
    return chosen, tried, False


def _best_of_all(
    volumes: Array, kept: list[int], free: list[int], count: int
) -> tuple[list[int], int, bool]:
    sets = np.array(list(itertools.combinations(free, count)))
    flat = volumes.astype(np.float32)
    own = np.tile(np.array(kept, dtype=int), (len(sets), 1))
    whole = np.concatenate([own, sets], axis=1)
    reached = np.empty(len(sets))
    for start in range(0, len(sets), AT_ONCE):
        some = whole[start : start + AT_ONCE]
        widest = np.zeros((len(some), flat.shape[-1]), np.float32)
        for one, other in itertools.combinations_with_replacement(range(some.shape[1]), 2):
            np.maximum(widest, flat[some[:, one], some[:, other]], out=widest)
        reached[start : start + AT_ONCE] = widest.sum(axis=1)
    return sets[int(reached.argmax())].tolist(), len(sets), True


def _chosen(
    table: Table,
    inks: list[Ink],
    volumes: Array,
    kept: list[int],
    found: list[int],
    asked: tuple[str, str, int, bool],
) -> Chosen:
    values, bleach, tried, every = asked
    whole = [*kept, *found]
    wished = volumes[:, :, :, _levels(values)]
    full = volume(wished, whole)
    lost = {n: 1 - volume(wished, [m for m in whole if m != n]) / full for n in found}
    found = sorted(found, key=lambda n: -lost[n])
    looks = looks_of(table, lay_shares(table, [inks[n] for n in found], np.eye(len(found))))
    every_one = list(range(len(inks)))
    parts = {name: volumes[..., _levels(name)] for name in VALUES}
    of_all = {name: volume(part, every_one) or 1.0 for name, part in parts.items()}
    return Chosen(
        bottles={inks[n].name: look for n, look in zip(found, looks, strict=True)},
        have=tuple(inks[n].name for n in kept),
        without={inks[n].name: lost[n] for n in found},
        reach={name: volume(part, whole) / of_all[name] for name, part in parts.items()},
        reach_before={name: volume(part, kept) / of_all[name] for name, part in parts.items()},
        out_of=len(inks),
        wish=_wish_told(values, bleach),
        tried=tried,
        every=every,
    )


def _wish_told(values: str, bleach: str) -> str:
    told = "" if values == "all" else f"Chosen for {values} values. "
    if bleach == "any":
        return told
    takes = "at least half" if bleach == "lifts" else "next to nothing"
    return f"{told}Only bottles of which one touch of bleach, {TOUCH}, takes {takes}. "
