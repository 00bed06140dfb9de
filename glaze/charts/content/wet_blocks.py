"""Blocks painted wet: a hue and black, side by side in one block, meeting while both shine.

What lies in the middle of each, at the edges, and where they blend is read off the block as the law
lays it; the picture beside is one of its likely days. Nothing else than a wash and a charge.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.charts.content.primaries import order_primaries
from glaze.materials.recipe import WATER, Recipe
from glaze.painting.lay import sheet_at
from glaze.painting.settle import Painting
from glaze.patch.patches import linear_rgb, xyz
from glaze.patch.seen import Look, looks_of_xyz
from glaze.patch.table import Table
from glaze.patch.washes import named, refuse_water, shadow_ink
from glaze.physics.flow import MM_PER_INCH
from glaze.pipeline import render
from glaze.region.cover import Cover
from glaze.sheet.memory import Memory
from glaze.sheet.rect import Rect, whole
from glaze.sheet.units import FULL
from glaze.step.charge_step import Charge
from glaze.step.ground import Ground
from glaze.step.painted_charge import PaintedCharge
from glaze.step.steadiness import Steadiness
from glaze.step.wash_step import PaintedWash, Wash

LONG_MM, HIGH_MM, ROUND_MM = 76.0, 26.0, 4.0
"""A block, and the paper round it."""
DPI = 127.0
HUE_PARTS, BLACK_PARTS = 1.0, 3.0
HUE_ML, BLACK_ML = 120.0, 200.0
"""Films [ml/m2]: the hue rich, the black fuller, so that it runs into the hue."""
AFTER_MINUTES = 1.0
BLENDED = 0.1, 0.9
"""They blend between these shares of black."""
MEETS = 0.2, 0.5, 0.8
"""Shares of black at which the blend is told."""
PLACES = ("edge", 0.4), ("hue", 8.0), ("black", LONG_MM - 8.0), ("black_edge", LONG_MM - 0.4)
"""Where else, from the left edge [mm]."""


@dataclass(frozen=True)
class WetPlace:
    """A place along a block: edge, hue, meets, black or black_edge; mm from its left edge.

    look : as the law lays it
    """

    place: str
    mm: float
    look: Look


@dataclass(frozen=True, eq=False)
class WetBlock:
    """A hue and black meeting wet.

    Attributes
    ----------
    name, recipe, black : the hue, its drops, and the ink it meets
    places : from left to right
    blend_mm : from where a tenth of the black lies to where nine tenths do
    rgb8 : the block and the paper round it, shape (rows, columns, 3)
    inks : that are in it
    """

    name: str
    recipe: str
    black: str
    places: tuple[WetPlace, ...]
    blend_mm: float
    rgb8: NDArray[np.uint8]
    inks: tuple[str, ...]

    def called(self, speak: Callable[[str], str]) -> WetBlock:
        """The same block, its bottles called otherwise in all that names them."""
        name, recipe, black = map(speak, (self.name, self.recipe, self.black))
        return replace(self, name=name, recipe=recipe, black=black, inks=(*map(speak, self.inks),))

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        places = [{"place": p.place, "mm": round(p.mm, 1)} | p.look.as_dict() for p in self.places]
        return {
            "recipe": self.recipe,
            "black": self.black,
            "blend_mm": round(self.blend_mm, 1),
            "places": places,
        }


def plan_wet_blocks(
    table: Table, hues: Sequence[str] | None = None, shadow: str | None = None
) -> list[WetBlock]:
    """Blocks of some hues with black; of the three primaries and the orange between two if None."""
    black = shadow_ink(table, shadow)
    if hues is None:
        first, second, third = order_primaries(table)
        hues = [f"{first} 1", f"{first} 3 + {second} 3", f"{second} 1", f"{third} 1"]
    return [wet_block(table, hue, black) for hue in hues]


def wet_block(table: Table, hue: str, black: str) -> WetBlock:
    """A hue with black charged in beside it a minute later, left to dry."""
    mix = table.mix(hue)
    refuse_water(table, mix, hue)
    even, by_hand = (_painted(table, hue, black, hand) for hand in (None, Steadiness(1.0)))
    sheet = sheet_at(even, whole(even.shape))
    share = _share_of_black(even, sheet.load_g_per_m2)
    per_mm, left = DPI / MM_PER_INCH, round(ROUND_MM * DPI / MM_PER_INCH)
    start, end, *meets = (int(np.argmax(share >= at)) - left for at in (*BLENDED, *MEETS))
    at = [*PLACES[:2], *(("meets", column / per_mm) for column in meets), *PLACES[2:]]
    looks = _looks(even, [left + mm * per_mm for _, mm in at])
    places = [WetPlace(*place, look) for place, look in zip(at, looks, strict=True)]
    picture = render(by_hand).rgb
    return WetBlock(
        *(
            named(hue),
            hue,
            black,
            tuple(places),
            (end - start) / per_mm,
            picture,
            (*mix.ink_ml, black),
        ),
    )


def _painted(table: Table, hue: str, black: str, hand: Steadiness | None) -> Painting:
    """The block on a piece of paper."""
    mix = _rich(table.mix(hue).recipe)
    wash = Wash(name=hue, mix=mix, region="hue", film_ml_per_m2=HUE_ML)
    charge = Charge(
        name=black,
        mix=f"{black} 1 + {WATER} {BLACK_PARTS:g}",
        region="black",
        into=hue,
        minutes=AFTER_MINUTES,
        film_ml_per_m2=BLACK_ML,
    )
    used = table.only([table.mix(step.mix) for step in (wash, charge)])
    covers = _halves()
    shape = covers[0].mask.shape
    ground = Ground(used, DPI, (shape[0], shape[1]), Memory(), "bare", _ungraded, hand=hand)
    laid = wash.settled(ground, covers[0])
    over = replace(ground, earlier=((wash, covers[0]),))
    return Painting(used, DPI, (shape[0], shape[1]), (laid, charge.settled(over, covers[1])))


def _rich(recipe: Recipe) -> str:
    """A recipe with as much water as ink, unless it says its own."""
    own = recipe.water or HUE_PARTS * sum(recipe.amounts.values())
    return replace(recipe, water=own).text


def _ungraded(_: object) -> Any:
    raise AssertionError("no step of a block is graded")


def _halves() -> tuple[Cover, Cover]:
    """The left half of a block, and its right half."""
    edge, middle, end, high = (
        round(mm * DPI / MM_PER_INCH)
        for mm in (ROUND_MM, ROUND_MM + LONG_MM / 2, ROUND_MM + LONG_MM, ROUND_MM + HIGH_MM)
    )
    covers = []
    for name, left, right in (("hue", edge, middle), ("black", middle, end)):
        mask = np.zeros((high + edge, end + edge), np.uint16)
        mask[edge:high, left:right] = FULL
        covers.append(Cover(mask, name))
    return covers[0], covers[1]


def _middle_rows(painting: Painting) -> slice:
    """The rows half way up a block, a third of its height."""
    rows = painting.shape[0]
    return slice(rows // 3, rows - rows // 3)


def _share_of_black(painting: Painting, load: NDArray[Any]) -> NDArray[np.float64]:
    """How much of its full dye the black has at each column [-], shape (columns,)."""
    wash, charge = painting.steps
    assert isinstance(wash, PaintedWash)
    assert isinstance(charge, PaintedCharge)
    both = np.stack([wash.wash.full_load_g_per_m2, charge.alone.full_load_g_per_m2], axis=-1)
    along = load[_middle_rows(painting)].mean(axis=0)
    black = np.linalg.lstsq(both, along.T.astype(float), rcond=None)[0][1]
    return np.asarray(black / np.quantile(black, 0.95))


def _looks(painting: Painting, columns: Sequence[float]) -> list[Look]:
    """Looks of narrow upright stretches about some columns."""
    rows = _middle_rows(painting)
    found = []
    for column in columns:
        rect = Rect(rows.start, round(column) - 1, rows.stop, round(column) + 1)
        sheet = sheet_at(painting, rect)
        mean = [f(painting.table, sheet).mean(axis=(0, 1)) for f in (xyz, linear_rgb)]
        found += looks_of_xyz(mean[0], painting.table.light, mean[1])
    return found
