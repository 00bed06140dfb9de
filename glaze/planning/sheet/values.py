"""The value plan: does the picture read in three values, in five, and to other eyes?"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.physics.colour import D65_XYZ, delta_e_2000, lab_from_xyz, rgb_from_xyz, xyz_from_rgb
from glaze.physics.seeing import COLOUR_VISIONS, as_seen_by
from glaze.planning.sheet.layout import Arrangement, Border
from glaze.planning.sheet.place import Place

Array = NDArray[np.float64]

DARKEST, LIGHTEST = 2.0, 9.5
"""Ends of the plan [Munsell value], as `glaze.physics.seeing.few_values` has them."""
STEPS = {3: ("dark", "middle", "light"), 5: ("darkest", "dark", "middle", "light", "lightest")}
RUNS_INTO_DE00 = 3.0
"""Below this two places run into each other on purpose, as a graded wash does."""
CLOSE_SHARE = 0.5
LOST_DE00, CLEAR_DE00 = 5.0, 12.0
"""Plainly apart to full colour vision, hardly apart to another."""


@dataclass(frozen=True)
class ValuePlan:
    """Where the picture's values lie.

    shares : for 3 and for 5 values, share of the sheet in each, from dark to light
    """

    shares: dict[int, tuple[float, ...]]
    places: dict[int, tuple[int, ...]]
    note: str

    def as_dict(self, layout: Arrangement) -> dict[str, Any]:
        """For JSON."""
        plans = {}
        for steps, words in STEPS.items():
            rows = zip(words, self.shares[steps], strict=True)
            plans[str(steps)] = {
                "share_of_sheet": {word: round(share, 3) for word, share in rows},
                "places": {
                    place.name: words[step]
                    for place, step in zip(layout.places, self.places[steps], strict=True)
                },
            }
        return {"plans": plans, "note": self.note}


def value_step(value: float, steps: int) -> int:
    """Which of so many equal steps a value falls in, 0 the darkest."""
    place = (value - DARKEST) / (LIGHTEST - DARKEST) * (steps - 1)
    return int(np.clip(np.rint(place), 0, steps - 1))


def value_plan(layout: Arrangement) -> ValuePlan:
    """The places sorted into three and into five values."""
    area = sum(place.area_mm2 for place in layout.places)
    shares, places = {}, {}
    for steps in STEPS:
        found = tuple(value_step(place.value, steps) for place in layout.places)
        parts = [0.0] * steps
        for place, step in zip(layout.places, found, strict=True):
            parts[step] += place.area_mm2 / area
        shares[steps], places[steps] = tuple(parts), found
    return ValuePlan(shares, places, _plan_note(shares[3]))


def _plan_note(shares: Sequence[float]) -> str:
    missing = [word for word, share in zip(STEPS[3], shares, strict=True) if share < 0.02]
    if missing:
        verb = "is" if len(missing) == 1 else "are"
        return (
            f"In three values {' and '.join(missing)} {verb} missing: the picture may read flat. "
            "Is that meant?"
        )
    if max(shares) < 0.4:
        return "The three values share the sheet about alike; one that leads reads more clearly."
    return f"The {STEPS[3][int(np.argmax(shares))]} value leads."


@dataclass(frozen=True)
class Merging:
    """Two places that meet and are less than half a value step apart."""

    border: Border
    text: str

    def as_dict(self, layout: Arrangement) -> dict[str, Any]:
        """For JSON."""
        b = self.border
        return {
            "between": [layout.places[b.one].name, layout.places[b.other].name],
            "border_mm": round(b.length_mm, 1),
            "value_apart": round(b.apart, 2),
            "de00": round(b.de00, 1),
            "share_closer_than_half_a_step": round(b.close, 2),
            "share_with_a_line": round(b.lined, 2),
            "text": self.text,
        }


def merging(layout: Arrangement) -> tuple[Merging, ...]:
    """Neighbours closer than half a step along half of their border or more, the longest first."""
    found = []
    for border in sorted(layout.borders, key=lambda b: -b.length_mm):
        if border.close >= CLOSE_SHARE and border.de00 >= RUNS_INTO_DE00:
            found.append(Merging(border, _merging_words(layout, border)))
    return tuple(found)


def _merging_words(layout: Arrangement, border: Border) -> str:
    one, other = layout.places[border.one], layout.places[border.other]
    parted = "by the drawn line and by hue" if border.lined > 0.5 else "by hue alone"
    darker, lighter = sorted((one, other), key=lambda place: place.value)
    # bare paper is as light as it gets
    way = f' or "{lighter.name}" lighter' if lighter.steps else ""
    return (
        f'"{one.name}" and "{other.name}" are {border.apart:.1f} steps apart over '
        f"{border.length_mm:.0f} mm, told apart {parted}. Half a step wants "
        f'"{darker.name}" darker{way}.'
    )


@dataclass(frozen=True)
class LostBorder:
    """Two places that another colour vision hardly tells apart."""

    one: int
    other: int
    de00: float
    seen: dict[str, float]

    def as_dict(self, layout: Arrangement) -> dict[str, Any]:
        """For JSON."""
        return {
            "between": [layout.places[self.one].name, layout.places[self.other].name],
            "de00": round(self.de00, 1),
            "seen_de00": {vision: round(off, 1) for vision, off in self.seen.items()},
        }


def lost_borders(layout: Arrangement) -> tuple[LostBorder, ...]:
    """Borders that are plain to most and nearly lost to a missing cone (Machado et al. 2009)."""
    if not layout.borders:
        return ()
    sides = [
        np.array([layout.places[n].xyz for n in numbers])
        for numbers in zip(*[(b.one, b.other) for b in layout.borders], strict=True)
    ]
    plain = delta_e_2000(*[lab_from_xyz(side, D65_XYZ) for side in sides])
    seen = {
        vision: delta_e_2000(*[_lab_seen(s, vision) for s in sides]) for vision in COLOUR_VISIONS
    }
    found = []
    for n, border in enumerate(layout.borders):
        lost = {v: float(off[n]) for v, off in seen.items() if off[n] < LOST_DE00}
        if plain[n] >= CLEAR_DE00 and lost:
            found.append(LostBorder(border.one, border.other, float(plain[n]), lost))
    return tuple(found)


def _lab_seen(xyz: Array, vision: str) -> Array:
    rgb = np.clip(rgb_from_xyz(xyz), 0.0, 1.0)
    return lab_from_xyz(xyz_from_rgb(as_seen_by(rgb, vision)), D65_XYZ)


@dataclass(frozen=True)
class Reserve:
    """A place that bleach doesn't bring back to paper.

    value, ghost : what bleach leaves there; paper_value : of the bare sheet
    """

    place: str
    value: float
    ghost: str
    paper_value: float

    @property
    def text(self) -> str:
        """In a sentence."""
        return (
            f'Bleach brings "{self.place}" to value {self.value:.1f} ({self.ghost}); bare paper is '
            f"{self.paper_value:.1f}. What has to be lighter or cleaner than that, reserve."
        )

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "place": self.place,
            "value": round(self.value, 2),
            "bleach_leaves": self.ghost,
            "paper_value": round(self.paper_value, 2),
            "text": self.text,
        }


def reserve_of(place: Place, paper_value: float, ghost: str) -> Reserve | None:
    """What to know where a lift ends darker or more coloured than paper; None where it doesn't."""
    if place.value >= paper_value - 0.3 and ghost in ("paper", "near paper"):
        return None
    return Reserve(place.name, place.value, ghost, paper_value)


def reserve_words(reserves: Sequence[Reserve]) -> str:
    """All of them in one sentence."""
    if not reserves:
        return ""
    each = ", ".join(f'"{r.place}" to {r.value:.1f} ({r.ghost})' for r in reserves)
    return (
        f"Bleach brings {each}; bare paper is {reserves[0].paper_value:.1f}. What has to be "
        "lighter or cleaner than that, reserve."
    )
