"""How much to mix: millilitres and drops for each wash and touch, and whether the sheet cockles."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.materials.ink import Palette
from glaze.materials.mix import FEWEST_INK_DROPS, WATER_DROPS_PER_ML, Mix, parts_text
from glaze.materials.recipe import WATER
from glaze.sheet.state import FILM_UNIT

SPARE = 1.4
"""Mixed over laid: 1.3 to 1.5 is common practice, no source; running short is the dearer error."""
LEAST_MIX_ML = 0.5
"""Less can't be stirred and picked up with a brush; assumed."""
LEAST_BLEACH_DROPS = 3
COCKLE_SHARE = 0.4
"""Water over paper by weight from which a sheet cockles: 100 g/m2 of water on 250 gsm, below which
painters stretch their paper for wet work (common practice, no source)."""
COCKLE_AREA_CM2 = 20.0


@dataclass(frozen=True)
class Amount:
    """What to put together for one wash or touch.

    laid_ml : what the brush leaves on the sheet, all coats
    mix_ml : what to mix, with its spare
    drops : of each bottle and of water, whole, or of the well it is taken from
    ml : of each bottle and of water
    well : the stock mix it is taken from, if any
    """

    area_cm2: float
    laid_ml: float
    mix_ml: float
    parts: str
    drops: Mapping[str, int]
    ml: Mapping[str, float]
    well: str = ""

    @property
    def drops_text(self) -> str:
        """As "Blue 3 + Yellow 2 + water 4"."""
        return " + ".join(f"{name} {n}" for name, n in self.drops.items() if n)

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "area_cm2": round(self.area_cm2, 2),
            "laid_ml": round(self.laid_ml, 3),
            "mix_ml": round(self.mix_ml, 2),
            "parts": self.parts,
            "drops": dict(self.drops),
            "ml": {name: round(ml, 3) for name, ml in self.ml.items()},
            **({"from_well": self.well} if self.well else {}),
        }


def laid_ml(
    thickness: NDArray[np.uint16], film_ml_per_m2: float, coats: float, dpi: float
) -> float:
    """Liquid that a wash leaves on the sheet [ml], from its film over every pixel."""
    pixel_m2 = (0.0254 / dpi) ** 2
    films = float(thickness.sum(dtype=np.float64)) / FILM_UNIT
    return films * pixel_m2 * film_ml_per_m2 * coats


def wash_amount(
    mix: Mix, area_cm2: float, on_sheet_ml: float, palette: Palette, spare: float = SPARE
) -> Amount:
    """A wash's mix in whole drops: the smallest multiple of its recipe that is enough.

    A recipe in ml or parts keeps its proportions to the nearest drop, with at least three drops of
    its weakest ink, since one drop of one more would change it a good deal.
    """
    wanted = max(on_sheet_ml * spare, LEAST_MIX_ML) if on_sheet_ml > 0 else 0.0
    times = wanted / mix.all_ml
    if mix.recipe.unit == "drops" and set(mix.recipe.amounts) == set(mix.ink_ml):
        times = math.ceil(times - 1e-9)
        drops = {name: round(n * times) for name, n in mix.recipe.amounts.items()}
        drops[WATER] = round(mix.recipe.water * times)
    else:
        times = max(times, _least_times(mix, palette)) if times > 0 else 0.0
        drops = {
            name: round(part * times * palette.inks[name].drops_per_ml)
            for name, part in mix.ink_ml.items()
        }
        drops[WATER] = round(mix.water_ml * times * WATER_DROPS_PER_ML)
    ml = {name: part * times for name, part in mix.ink_ml.items()} | {WATER: mix.water_ml * times}
    kept = {name: n for name, n in drops.items() if n or name != WATER}
    return Amount(area_cm2, on_sheet_ml, times * mix.all_ml, parts_text(mix), kept, ml)


def _least_times(mix: Mix, palette: Palette) -> float:
    """How much of a thinned mix holds three drops of its weakest ink."""
    drops = [ml * palette.inks[name].drops_per_ml for name, ml in mix.ink_ml.items()]
    return FEWEST_INK_DROPS / min(drops) if drops and mix.water_ml > 0 else 0.0


def well_amount(well: str, mix: Mix, area_cm2: float, on_sheet_ml: float) -> Amount:
    """What a wash takes from a stock mix that stands ready in a well."""
    taken = max(on_sheet_ml * SPARE, LEAST_MIX_ML) if on_sheet_ml > 0 else 0.0
    drops = {well: math.ceil(taken * mix.drops_per_ml)}
    share = taken / mix.all_ml
    ml = {name: part * share for name, part in mix.ink_ml.items()} | {WATER: mix.water_ml * share}
    return Amount(area_cm2, on_sheet_ml, taken, parts_text(mix), drops, ml, well)


def bleach_amount(
    parts_water: float, area_cm2: float, film_ml_per_m2: float, touches: int
) -> Amount:
    """Bleach and water for a lift, in drops alike in size; at least three drops of bleach.

    Fresh bleach for each touch comes from the same dish.
    """
    laid = area_cm2 * 1e-4 * film_ml_per_m2 * touches
    # bleach drops are taken as large as water's: no figure found
    one_part = laid * SPARE / (1.0 + parts_water) * WATER_DROPS_PER_ML
    bleach = max(LEAST_BLEACH_DROPS, math.ceil(one_part))
    water = round(bleach * parts_water)
    ml = {"bleach": bleach / WATER_DROPS_PER_ML, WATER: water / WATER_DROPS_PER_ML}
    words = "neat" if parts_water == 0 else _bleach_parts(parts_water)
    drops = {"bleach": bleach} | ({WATER: water} if water else {})
    return Amount(area_cm2, laid, sum(ml.values()), words, drops, ml)


def _bleach_parts(parts_water: float) -> str:
    plural = "" if parts_water == 1 else "s"
    return f"1 part bleach + {parts_water:g} part{plural} water"


def cockles(film_ml_per_m2: float, weight_gsm: float, area_cm2: float) -> bool:
    """Whether a wash wets the sheet so much that it may buckle."""
    return film_ml_per_m2 / weight_gsm >= COCKLE_SHARE and area_cm2 >= COCKLE_AREA_CM2
