"""How light bleach gets a scene back, as a printed sheet: pictures, map and table."""

from __future__ import annotations

from collections.abc import Sequence

from glaze.charts.content.card_words import shortened
from glaze.charts.paper.page import FINE_PT, Page
from glaze.charts.sheets.parts import Cell, Column, Layout, draw_table, fitted_points, start_sheet
from glaze.charts.sheets.reach_pictures import draw_pictures
from glaze.materials.parts_told import parts_short
from glaze.patch.seen import chip_of
from glaze.planning.lift.reach import Reach
from glaze.planning.lift.reach_map import VERDICTS
from glaze.planning.lift.reach_plans import LiftPlan
from glaze.planning.lift.reach_regions import RegionReach

TABLE_NOTE = (
    "1 + 4 is 1 part bleach + 4 parts water. Values: 0 black to 10 white. Band: where the value "
    "lies 9 times of 10, from assumed figures."
)

ROW_MM, LEAST_ROW_MM = 4.6, 4.1


def reach_sheets(reach: Reach, layout: Layout, title: str) -> list[Page]:
    """The sheet: as it lies, as light as bleach gets it, the map of wishes, and a table."""
    bleach = reach.bleach
    told = (
        f"{bleach.percent:g} % bleach with a brush, blotted after a minute; best of "
        f"{_plans_words(reach)}. Paper: value {reach.paper_value:.1f}."
    )
    wished = bool((reach.want > 0).any())
    pages: list[Page] = []
    rows = list(enumerate(reach.regions, start=1))
    while rows or not pages:
        first = not pages
        name = f"How light bleach gets it back: {title}"
        points = fitted_points(name, layout.width, 18.0, 11.0)
        page = start_sheet(
            reach.painting.table, layout, name if points >= 18.0 else title, told, bleach=True
        )
        y = page.top + 2.0
        if first:
            y = draw_pictures(page, reach, y, wished, len(rows))
        room = page.bottom - y - 12.0
        # a row or two more stand closer together rather than on a page of their own
        step = min(ROW_MM, max(LEAST_ROW_MM, room / (len(rows) + 1)))
        fit = max(1, int(room / step + 1e-6) - 1)
        if rows:
            page.text(page.left, y, TABLE_NOTE, FINE_PT)
            _table(page, y + 6.0, reach, rows[:fit], wished, step)
        rows = rows[fit:]
        pages.append(page)
    return pages


TABLE_MM = 178.0
"""Breadth of the table where nothing is wanted."""


def _plans_words(reach: Reach) -> str:
    """What was tried, in words."""
    strengths = [parts_short(parts) for parts in dict.fromkeys(p.parts_water for p in reach.plans)]
    most = max(plan.touches for plan in reach.plans)
    touches = "one touch" if most == 1 else f"1 to {most} touches"
    return f"{touches} of {', '.join(strengths)}"


def plan_words(plan: LiftPlan) -> str:
    """A plan for a narrow column: "1 + 9, 2 touches"."""
    return f"{parts_short(plan.parts_water)}, {plan.touches_words}"


def verdict_words(region: RegionReach) -> str:
    """What to do, in a word or two."""
    if region.doubtful:
        return "reserve, in doubt"
    return VERDICTS[region.verdict]


def _table(
    page: Page,
    y: float,
    reach: Reach,
    rows: Sequence[tuple[int, RegionReach]],
    wished: bool,
    step: float,
) -> None:
    """A row for each region; names take what the page has to spare."""
    spare = min(max(page.right - page.left - TABLE_MM, 0.0), 30.0)
    columns = [
        Column("", 6, "right"),
        Column("", 8),
        Column("region", 28 if wished else 38 + spare),
        Column("now", 10, "right"),
        Column("reach", 11, "right"),
        Column("by", 26 if wished else 30),
        Column("", 8),
        Column("leaves", 12, "right"),
        Column("band", 19, "right"),
        Column("ghost", 22),
        *([Column("wanted", 13, "right"), Column("so", 23)] if wished else []),
        *([] if wished else [Column("darkest", 13, "right")]),
    ]
    draw_table(page, page.left, y, columns, [_row(n, r, columns, wished) for n, r in rows], step)


def _row(number: int, region: RegionReach, columns: Sequence[Column], wished: bool) -> list[Cell]:
    name = shortened(region.name, columns[2].width - 1.5, FINE_PT, "Regular")
    row: list[Cell] = [
        str(number),
        chip_of(region.rgb_now),
        name,
        f"{region.now:.1f}",
        f"{region.reach:.1f}",
        plan_words(region.plan),
        chip_of(region.rgb_left),
        f"{region.leaves:.1f}",
        f"{region.low:.1f} to {region.high:.1f}",
        region.ghost,
    ]
    if not wished:
        return [*row, f"{region.darkest:.1f}"]
    want = "" if region.want is None else f"{region.want:.1f}"
    return [*row, want, verdict_words(region)]
