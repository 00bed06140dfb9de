"""What every sheet says of itself: on what its colours rest, and how far they are to be trusted."""

from __future__ import annotations

from datetime import date

from glaze import __version__
from glaze.patch.table import Table


def day_of(asked: str | None = None) -> str:
    """The date to print: as asked for, today's if None."""
    return asked or date.today().isoformat()


def facts_of(table: Table, day: str | None = None) -> str:
    """The line every sheet carries: palette, paper, light, date, version, standing of the inks.

    day : date to print, today's if None
    """
    hows = sorted({ink.how for ink in table.palette.bottles})
    return (
        f"palette {table.palette.name} · {table.paper.name} paper · light {table.light.name} · "
        f"{day_of(day)} · glaze {__version__} · inks {' and '.join(hows)}"
    )
