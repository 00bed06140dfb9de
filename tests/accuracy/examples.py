"""Bands of a few washes and lifts: what they come to, and from what."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from types import MappingProxyType

from glaze.patch.layers import Laid, Layer, Lifted
from glaze.patch.table import Table, table_of
from glaze.patch.trust import trusted
from glaze.sheet.lift import Touches

STACKS: dict[str, tuple[str | Touches, ...]] = {
    "Black, neat": ("Black 1",),
    "Black 1 + 4": ("Black 1 part + water 4 parts",),
    "Black 1 + 20": ("Black 1 part + water 20 parts",),
    "Black 1 + 4 over Yellow": ("Yellow 1", "Black 1 part + water 4 parts"),
    "Black 1 + 6 over Blue": ("Blue 1", "Black 1 part + water 6 parts"),
    "Black 1 + 8 over Red 1 + 1 over Yellow": (
        "Yellow 1",
        "Red 1 part + water 1 part",
        "Black 1 part + water 8 parts",
    ),
    "neat bleach on Black": ("Black 1", Touches()),
    "bleach 1 + 9 on Black": ("Black 1", Touches(parts_water=9)),
    "bleach 1 + 19 on Blue": ("Blue 1", Touches(parts_water=19)),
}

SWATCHES_FACTOR = 1.1
"""How well a strip of one's own tells a strength, for the right half of the table."""


def painted(table: Table) -> Table:
    """The table with swatches of every bottle, on a paper that was measured."""
    inks = {
        name: replace(ink, how="measured", strength_factor=SWATCHES_FACTOR)
        for name, ink in table.palette.inks.items()
    }
    paper = dict(table.paper.entries)
    paper["reflectance"] = replace(paper["reflectance"], how="measured")
    palette = replace(table.palette, inks=MappingProxyType(inks))
    return replace(table, palette=palette, paper=replace(table.paper, entries=paper))


def rows() -> Iterator[list[str]]:
    """Name, value, bands as the bottles are, band after swatches, and what it mostly comes from."""
    bottles = table_of("lifting", "white cartridge")
    swatches = painted(bottles)
    for name, parts in STACKS.items():
        layers: list[Layer] = [
            Lifted(part) if isinstance(part, Touches) else Laid(bottles.mix(part)) for part in parts
        ]
        before, after = trusted(bottles, layers), trusted(swatches, layers)
        yield [
            name,
            f"{before.band.best:.1f}",
            *(f"{found.band.low:.1f} to {found.band.high:.1f}" for found in (before, after)),
            "{:.0f} ({:.0f} to {:.0f})".format(*(after.chroma[i] for i in (1, 0, 2))),
            after.band.standing,
            "; ".join(cause.words for cause in after.causes[:2]) or "the law itself",
        ]
