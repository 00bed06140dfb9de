"""What all printed sheets share: their options, and the writing of their pages."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from glaze.cli.show import Answer, answers, refuse_idle
from glaze.cli.table_options import with_table
from glaze.errors import InputError

if TYPE_CHECKING:
    from glaze.charts.paper.page import Page
    from glaze.planning.asked import Asked

Command = Callable[..., Any]
Drawn = tuple[Sequence["Page"], Iterable[str], *tuple[dict[str, Any], ...]]
"""A chart's pages, notes, and what JSON tells of it besides."""

PAGES = "A4, A3 or Letter; wheels and ladders A5 too."


def page_options(command: Command, *, turned: bool = True, needed: bool = True) -> Command:
    """How a sheet is printed, handed over as `output`, `layout` and `dpi`; the output is checked.

    turned : whether it may be printed with the long side across
    needed : whether there is no answer without a sheet
    """

    @wraps(command)
    def laid_out(
        *given: Any, output: str | None, size: str, day: str | None, **options: Any
    ) -> Any:
        from glaze.charts.paper.publish import check_output
        from glaze.charts.sheets.parts import Layout

        across, mode = options.pop("turned", False), options.pop("mode", None)
        if output is None or Path(output).suffix.lower() != ".png":
            refuse_idle("dpi", "is for a .png, and other sheets have none")
        if output is not None:
            check_output(Path(output))
        elif across or mode or day:
            raise InputError("A sheet is written with -o sheet.pdf; the rest is said of it.")
        layout = Layout(size, across, mode or "predicted", day)
        return command(*given, output=output, layout=layout, **options)

    for option in (
        click.option("--date", "day", default=None, help="Date to print, if not today's."),
        click.option("--dpi", type=float, default=150, show_default=True, help="Of a PNG."),
        *([click.option("--turned", is_flag=True, help="The long side across.")] if turned else []),
        click.option("--page", "size", default="A4", show_default=True, help=PAGES),
        click.option("-o", "--output", required=needed, help="A sheet: .pdf, .svg or .png."),
    ):
        laid_out = option(laid_out)
    return laid_out


def sheets_written(pages: Sequence[Page], output: str | None, dpi: float = 200.0) -> list[str]:
    """Write a sheet if one was asked for; gives the names of its files."""
    from glaze.charts.paper.publish import write_pages

    return [str(file) for file in write_pages(pages, output, dpi)] if output else []


def to_print(files: Iterable[str | Path]) -> list[str]:
    """What is said of sheets that were written: the pages of one sheet in one line."""
    return [f"{run}: written. Print at 100 %." for run in runs_of_pages(files)]


def to_open(files: Iterable[str | Path]) -> list[str]:
    """What is said of pages for a screen that were written."""
    return [f"{file}: written. Open it beside the sheet." for file in files]


def runs_of_pages(files: Iterable[str | Path]) -> list[str]:
    """Names of files with the pages of one sheet as one, "lesson.png to lesson-10.png"."""
    runs: list[list[Path]] = []
    for file in map(Path, files):
        if runs and file == runs[-1][0].with_stem(f"{runs[-1][0].stem}-{len(runs[-1]) + 1}"):
            runs[-1].append(file)
        else:
            runs.append([file])
    return [f"{run[0]} to {run[-1]}" if len(run) > 1 else str(run[0]) for run in runs]


def fill_options(command: Command) -> Command:
    """Whether swatches are printed or left to paint."""
    for value, told in (
        ("half", "Each swatch half as predicted, half to paint."),
        ("blank", "Outlines to paint."),
        ("predicted", "Colours as predicted (if nothing else is said)."),
    ):
        command = click.option(f"--{value}", "mode", flag_value=value, help=told)(command)
    return command


def sheet_options(command: Command, *, turned: bool = True) -> Command:
    """The same for an answer that is also printed if -o asks for it, to look at or to paint."""
    return fill_options(page_options(command, turned=turned, needed=False))


def chart_of(what: str, *, fill: bool = False, turned: bool = True) -> Callable[[Command], Command]:
    """Make a command of a function that draws a chart, and write its pages.

    The function is called with the `table` and the `layout`, and its own options.

    Parameters
    ----------
    what : the chart's name
    fill : whether its swatches may be left to paint
    turned : whether it may be printed with the long side across
    """

    def made(draw: Callable[..., Drawn]) -> Command:
        @wraps(draw)
        def written(*, asked: Asked, output: str, dpi: float, **options: Any) -> Answer:
            from glaze.charts.paper.publish import with_caution

            pages, notes, *more = draw(table=asked.table, **options)
            pages = with_caution(pages)
            files = sheets_written(pages, output, dpi)
            notes = list(notes)
            found = {"chart": what, "files": files, "pages": len(pages), "notes": notes}
            for figures in more:
                found |= figures
            return found, [*to_print(files), *notes]

        command = page_options(with_table(answers(written)), turned=turned)
        return fill_options(command) if fill else command

    return made
