"""`glaze lesson`: a whole class from one question, as one set of pages and each part alone."""

from __future__ import annotations

from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from glaze.cli.printing import page_options, to_open, to_print
from glaze.cli.show import Answer, answers, caution_lines
from glaze.cli.table_options import with_table

if TYPE_CHECKING:
    from glaze.charts.content.class_plan import ClassPlan
    from glaze.charts.sheets.parts import Layout
    from glaze.planning.asked import Asked


@click.command()
@click.option("--pupils", type=int, default=20, show_default=True, help="In the class.")
@click.option("--minutes", type=float, default=90, show_default=True, help="Of the lesson.")
@click.option("--segments", type=int, default=18, show_default=True, help="Of the wheel: 18, 36.")
@click.option("--shadow", "dilution", default="1+8", show_default=True, help="The shadow wash.")
@click.option("--no-bleach", is_flag=True, help="No bleach, and not a word of it.")
@click.option("--language", default="en", show_default=True, help="en, de, fr or es.")
@partial(page_options, turned=False)
@with_table
@answers
def lesson(
    asked: Asked,
    output: str,
    layout: Layout,
    dpi: float,
    pupils: int,
    minutes: float,
    segments: int,
    dilution: str,
    no_bleach: bool,
    language: str,
) -> Answer:
    """Print a class: hand-outs, the demonstration, answers, and what to buy and prepare.

    The parts are also written alone, as lesson-answers.pdf.
    """
    from glaze.charts.content.class_plan import plan_class
    from glaze.charts.content.lesson_words import lesson_words
    from glaze.charts.content.spoken_table import spoken_table
    from glaze.charts.paper.publish import write_pages
    from glaze.charts.screen.demonstration_page import demonstration_page
    from glaze.charts.sheets.class_sheets import class_parts
    from glaze.materials.parts_told import parts_of
    from glaze.picture.writing import together, write_whole

    parts_of(dilution, "--shadow")
    words = lesson_words(language)
    asked_for = (pupils, minutes, segments, dilution, not no_bleach)
    plan = plan_class(spoken_table(asked.table, words), *asked_for)
    parts = class_parts(plan, words, layout)
    whole = [page for pages in parts.values() for page in pages]
    path, files, screens = Path(output), [], []
    with together():
        files += write_pages(whole, path, dpi)
        for name, pages in parts.items():
            files += write_pages(pages, path.with_stem(f"{path.stem}-{name}"), dpi)
        if plan.bleach:
            screens.append(path.with_name(f"{path.stem}-demonstration.html"))
            page = demonstration_page(plan, words, parts["answers"][0], layout.day)
            write_whole(screens[0], page.encode(), named=False)
    told = [str(file) for file in (*files, *screens)]
    notes = caution_lines(plan.bleach)
    # JSON has the names that commands take
    figures = plan_class(asked.table, *asked_for).as_dict()
    found = {"files": told, "pages": len(whole), **figures, "notes": notes}
    return found, [*to_print(files), *to_open(screens), *_time_lines(plan), *notes]


def _time_lines(plan: ClassPlan) -> list[str]:
    """What doesn't fit into the lesson's minutes."""
    from glaze.charts.content.class_plan import LESSON_MINUTES

    if plan.spare_minutes >= 0:
        return []
    takes = sum(minutes for _, minutes in plan.times)
    out = " and ".join(f"the {name}" for name in plan.left_out)
    told = f"All of it takes {takes:.0f} minutes, and you have {plan.minutes:g}: leave out {out}."
    short = sum(LESSON_MINUTES[name] for name in plan.left_out) < -plan.spare_minutes
    return [told + (" Even so it is too short." if short else "")]
