"""What every sheet says of itself: on what its colours rest, and how far they are to be trusted."""

from __future__ import annotations

from datetime import date

from glaze import __version__
from glaze.charts.paper.marks import text_mm
from glaze.charts.paper.page import FINE_PT
from glaze.patch.table import Table


def facts_of(table: Table, day: str | None = None, room_mm: float = 186.0) -> str:
    """The line every sheet carries: palette, paper, light, date, version, standing of the inks.

    day : date to print, today's if None
    """
    hows = sorted({ink.how for ink in table.palette.bottles})
    facts = (
        f"palette {table.palette.name} · {table.paper.name} paper · light {table.light.name} · "
        f"{day or date.today().isoformat()} · glaze {__version__}, layered glazing and bleach lift "
        f"· inks {' and '.join(hows)}"
    )
    longest = text_mm(facts, FINE_PT)
    return facts if longest <= room_mm else facts.replace(", layered glazing and bleach lift", "")
