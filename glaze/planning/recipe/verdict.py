"""Whether a colour can be had, in words: what is missing, and what would help."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from glaze.materials.colour_words import load_words
from glaze.materials.munsell import munsell_from_xyz
from glaze.patch.table import Table
from glaze.physics.colour import D65_XYZ, delta_e_2000, lab_from_xyz, munsell_value, xyz_from_lab
from glaze.planning.recipe.nearness import FAR_DE00
from glaze.planning.recipe.wanted import Wanted, daylight_weights

SAME_DE00, REACHED_DE00 = 1.0, 2.0
"""Within the second a colour counts as reached: a just noticeable change is about 1.6 (as the
light damage figures of conservators have it)."""


def verdict(wanted: Wanted, lab: Sequence[float], de00: float, table: Table) -> str:
    """A sentence or two on how near the best recipe comes: its CIELAB and its CIEDE2000."""
    if de00 <= SAME_DE00:
        return "Reached: the eye can't tell the mix from the wanted colour."
    if de00 <= REACHED_DE00:
        return "Reached: the difference is hardly seen side by side."
    if wanted.value > paper_value(table) + 0.05:
        return (
            f"Lighter than bare {table.paper.name} paper (value {paper_value(table):.1f}): no "
            f"wash reaches it. Reserve the paper, which is {_paper_off(wanted, table):.1f} off; "
            f"the nearest wash is {difference(wanted, lab)}."
        )
    order = " in hue first, then in value, then in chroma" if de00 > FAR_DE00 else ""
    told = f"These inks don't reach it: the nearest{order} is {difference(wanted, lab)}."
    if _paper_off(wanted, table) < de00:
        told += " Bare paper comes nearer than any of these washes."
    return told


def paper_value(table: Table) -> float:
    """Munsell value of the bare paper."""
    return float(munsell_value(table.paper_reflectance @ table.light.xyz_weights[:, 1]))


def _paper_off(wanted: Wanted, table: Table) -> float:
    """CIEDE2000 of the bare paper from the wanted colour."""
    xyz = table.paper_reflectance @ daylight_weights(table.light)
    return float(delta_e_2000(lab_from_xyz(xyz, D65_XYZ), wanted.lab))


def difference(wanted: Wanted, lab: Sequence[float]) -> str:
    """How a colour differs from the wanted one: "half a step darker, duller, more yellow"."""
    found = munsell_from_xyz(np.array([xyz_from_lab(lab, D65_XYZ), wanted.xyz]), D65_XYZ)
    steps = float(found.value[0] - found.value[1])
    chroma = float(found.chroma[0] - found.chroma[1])
    turn = (float(found.hue[0] - found.hue[1]) + 50.0) % 100.0 - 50.0
    words = []
    if abs(steps) >= 0.2:
        words.append(f"{abs(steps):.1f} value steps {'lighter' if steps > 0 else 'darker'}")
    if abs(chroma) >= 1.0:
        much = "much " if abs(chroma) >= 4 else ""
        words.append(f"{much}{'more vivid' if chroma > 0 else 'duller'}")
    if abs(turn) >= 2.5 and min(float(c) for c in found.chroma) >= 1.0:
        words.append(f"of another hue ({hue_direction(float(found.hue[1]), turn)})")
    return ", ".join(words) or "a little off in hue, value and chroma alike"


def hue_direction(hue: float, turn: float) -> str:
    """Which way a hue has turned, by the next principal hue that way."""
    names = [load_words()["words"][key] for key in ("red", "yellow", "green", "blue", "purple")]
    # principal hues stand at 5, 25, 45, 65, 85
    place = (hue - 5.0) / 20.0
    ahead = int(np.floor(place + 1e-9)) + 1 if turn > 0 else int(np.ceil(place - 1e-9)) - 1
    return f"towards {names[ahead % 5]}"
