"""How long it takes: hands on, drying, and when each step may start at the earliest."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.materials.room import Room
from glaze.physics.drying import drying_minutes

BONE_DRY = 1.5
"""Times the time until the shine is gone, as the last third of the water leaves slowly; assumed."""
SETTING_UP_MIN = 1.0
MINUTES_PER_CM2 = 1.0 / 40.0
"""Hands on for an area; assumed, as is the minute to set up."""
BLOTTING_MIN = 1.0
RINSING_MIN = 3.0


@dataclass(frozen=True)
class Minutes:
    """Of one step.

    hands_on : with the brush in the hand, and waiting beside a touch of bleach
    shine_gone : from then until the surface no longer shines
    dry : until something may be laid over it
    """

    hands_on: float
    shine_gone: float
    dry: float

    @property
    def all(self) -> float:
        """Until the next step on the same place."""
        return self.hands_on + self.dry

    def as_dict(self) -> dict[str, Any]:
        """For JSON; None for what never dries."""
        return {
            "hands_on": round(self.hands_on, 1),
            "shine_gone": _finite(self.shine_gone),
            "dry": _finite(self.dry),
        }


def _finite(minutes: float) -> float | None:
    return round(minutes, 1) if math.isfinite(minutes) else None


def drying_in_room(film_ml_per_m2: float, room: Room) -> float:
    """Minutes until the shine of a film is gone in a room's air."""
    air = room.temperature_c, room.humidity_percent, room.air_m_per_s
    return float(drying_minutes(film_ml_per_m2, *air))


def wash_minutes(
    area_cm2: float,
    film_ml_per_m2: float,
    coats: int,
    room: Room,
) -> Minutes:
    """A wash of so many coats, each dry before the next."""
    once = drying_in_room(film_ml_per_m2, room)
    work = coats * (SETTING_UP_MIN + area_cm2 * MINUTES_PER_CM2)
    waits = (coats - 1) * BONE_DRY * once if coats > 1 else 0.0
    return Minutes(work, waits + once, waits + BONE_DRY * once)


def lift_minutes(
    area_cm2: float,
    film_ml_per_m2: float,
    touches: int,
    minutes: float,
    rinsed: bool,
    room: Room,
) -> Minutes:
    """Touches of bleach, each blotted, then perhaps a rinse; the blotted film dries."""
    once = drying_in_room(film_ml_per_m2, room)
    work = SETTING_UP_MIN + touches * (minutes + BLOTTING_MIN + area_cm2 * MINUTES_PER_CM2)
    work += RINSING_MIN if rinsed else 0.0
    return Minutes(work, once, BONE_DRY * once)


def water_minutes(area_cm2: float, film_ml_per_m2: float, minutes: float, room: Room) -> Minutes:
    """Clean water left to loosen, or a rinse, blotted."""
    once = drying_in_room(film_ml_per_m2, room)
    work = RINSING_MIN + minutes + min(area_cm2 * MINUTES_PER_CM2, 5.0)
    return Minutes(work, once, BONE_DRY * once)


def earliest_starts(steps: Sequence[Minutes], waits_for: NDArray[np.bool_]) -> tuple[float, ...]:
    """Minute at which each step starts if dry places are worked on while others dry.

    One pair of hands: steps are taken in their order, none while another is being laid.

    Parameters
    ----------
    waits_for : whether a later step (row) lies on or beside an earlier one (column), bool [-],
        shape (steps, steps)
    """
    starts: list[float] = []
    free = 0.0
    for n in range(len(steps)):
        dry = [starts[k] + steps[k].all for k in range(n) if waits_for[n, k]]
        starts.append(max([free, *dry]))
        free = starts[n] + steps[n].hands_on
    return tuple(starts)


def spoken(minutes: float) -> str:
    """As "40 min", "2 h 10 min"."""
    if not math.isfinite(minutes):
        return "never"
    if minutes < 90:
        return f"{max(1, round(minutes))} min"
    hours, rest = divmod(round(minutes / 5) * 5, 60)
    return f"{hours} h" + (f" {rest} min" if rest else "")
