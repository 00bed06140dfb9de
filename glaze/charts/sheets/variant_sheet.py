"""A scene painted with every combination of some values, as a contact sheet."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from glaze.charts.paper.page import Page
from glaze.charts.sheets.contact import Cell, contact_pages
from glaze.charts.sheets.parts import Layout
from glaze.patch.table import Table
from glaze.planning.many.variants import Variant, Variants
from glaze.scene.laid_out import table_of_scene
from glaze.scene.records import Scene


def variant_pages(found: Variants, layout: Layout) -> list[Page]:
    """Every combination with what was changed and how far it is off the first."""
    cells = [
        Cell(one.seen.linear_rgb, str(number), _lines(one, number == 1))
        for number, one in enumerate(found.each, start=1)
    ]
    return contact_pages(
        cells,
        layout,
        common_table(one.scene for one in found.each),
        f"{found.scene.title}: {len(cells)} ways",
        [found.note, *([found.promise] if found.step else [])],
        bleach=found.bleached,
        together=len(found.axes[-1]),
    )


def _lines(one: Variant, first: bool) -> list[str]:
    band = one.seen.band
    return [
        ", ".join(one.words),
        *([f"value {band.best:.1f} ({band.low:.1f} to {band.high:.1f})"] if band else []),
        *([] if first else [f"off {one.mean_off:.1f}, at most {one.most_off:.1f}"]),
        *(["as the scene has it"] if one.as_it_is else []),
    ]


def common_table(scenes: Iterable[Scene]) -> Table:
    """The table of the first of some scenes, as far as it is that of all."""
    tables = [table_of_scene(scene) for scene in scenes]
    first = tables[0]
    return replace(
        first,
        palette=replace(first.palette, name=_named(t.palette.name for t in tables)),
        paper=replace(first.paper, name=_named(t.paper.name for t in tables)),
        light=replace(first.light, name=_named(t.light.name for t in tables)),
    )


def _named(names: Iterable[str]) -> str:
    own = list(dict.fromkeys(names))
    return own[0] if len(own) == 1 else "various"
