"""The three primaries of a palette, in the order in which they stand on a wheel."""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence

from glaze.errors import InputError
from glaze.patch.seen import Look
from glaze.patch.table import Table
from glaze.patch.washes import hued_inks, refuse_water


def order_primaries(table: Table, names: Sequence[str] | None = None) -> tuple[str, str, str]:
    """Three inks in the order of the wheel: the lightest first, then by falling hue.

    Clockwise that is yellow, red, blue: hues fall from yellow over orange, red, violet to green.
    """
    palette = table.palette
    chosen = list(palette.bottles) if names is None else [palette.ink(name) for name in names]
    inks = list({ink.name: ink for ink in chosen}.values())
    if names is not None and len(inks) != 3:
        told = ", ".join(ink.name for ink in inks)
        raise InputError(
            f"A wheel is mixed from three different primaries; {len(inks)} given ({told}). "
            'Name three, as --primaries "Blue, Red, Yellow".'
        )
    if names is not None:
        for ink in inks:
            refuse_water(table, table.mix(f"{ink.name} 1"), ink.name)
    hued = hued_inks(table, inks)
    if len(hued) < 3:
        grey = ", ".join(ink.name for ink in inks if ink.name not in hued) or "none"
        raise InputError(
            f"A wheel needs three inks with a hue of their own; here are {len(hued)} "
            f"({', '.join(hued) or 'none'}) and without a hue: {grey}. Choose three others with "
            "--primaries, or another palette."
        )
    three = max(itertools.combinations(hued, 3), key=lambda trio: _smallest_gap(hued, trio))
    first = max(three, key=lambda name: hued[name].value)
    around = sorted(three, key=lambda name: (hued[first].hue - hued[name].hue) % 100.0)
    return around[0], around[1], around[2]


def _smallest_gap(hued: Mapping[str, Look], names: Sequence[str]) -> float:
    """Smallest distance in hue between neighbours among the inks."""
    hues = sorted(hued[name].hue for name in names)
    return min((b - a) % 100.0 for a, b in zip(hues, hues[1:] + hues[:1], strict=True))
