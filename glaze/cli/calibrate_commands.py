"""Commands around the painter's own swatches: print the sheet, read it back, compare a painting."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from glaze.cli import completing
from glaze.cli.calibration_told import calibration_json, calibration_lines, painted_gap
from glaze.cli.printing import Command, chart_of
from glaze.cli.show import Answer, answers, caution_lines, names, progress

if TYPE_CHECKING:
    from glaze.calibrate.fit.found import Calibration
    from glaze.calibrate.report.comparison import Comparison
    from glaze.calibrate.scan.swatch import SheetReading
    from glaze.charts.paper.page import Page
    from glaze.charts.sheets.parts import Layout
    from glaze.patch.table import Table


@click.command()
@click.option("--inks", default="", help='Only these, as "Blue, Black"; else the bottles.')
@click.option("--no-bleach", is_flag=True, help="Without any place for bleach.")
@click.option("--coats", is_flag=True,
              help="With a page of thin washes, two coats and both orders.")  # fmt: skip
@chart_of("swatches", turned=False)
def swatches(
    table: Table, layout: Layout, inks: str, no_bleach: bool, coats: bool
) -> tuple[Sequence[Page], list[str]]:
    """Swatch sheet to paint with your own inks, scan, and read back with glaze calibrate."""
    from glaze.charts.sheets.swatches import swatch_sheet

    how = "Print at 100 %, paint, scan the whole page, then: glaze calibrate SCAN -o inks.toml"
    pages = swatch_sheet(table, layout.size, names(inks) or [], layout.day, not no_bleach, coats)
    return pages, [how, *caution_lines(not no_bleach)]


def inks_made(palette: str, paper: str) -> Callable[[Command], Command]:
    """Make a command of a function that finds inks on a `table`, and write what it found.

    palette, paper : what is said of those two options
    """

    def made(find: Callable[..., Calibration]) -> Command:
        @wraps(find)
        def written(
            *given: Any, output: str, paper_out: str | None, report: str | None, **options: Any
        ) -> Answer:
            from glaze.calibrate.report.calibration_sheet import calibration_sheets
            from glaze.calibrate.report.ink_file import check_new, write_inks, write_paper
            from glaze.charts.paper.publish import check_output, write_pages
            from glaze.patch.table import table_of

            inks_of, paper_of, over = (
                options.pop(name) for name in ("palette", "paper", "replace")
            )
            for file in filter(None, (output, paper_out)):
                check_new(Path(file), over)
            if report:
                check_output(Path(report))
            found = find(*given, table=table_of(inks_of, paper_of, "D65"), **options)
            files = [write_inks(found, output, inks_of, replace=over)]
            if paper_out:
                files.append(write_paper(found, paper_out, paper_of, replace=over))
            files += write_pages(calibration_sheets(found), report) if report else []
            told = [str(file) for file in files]
            lines = [f"{file}: written." for file in told]
            lines.append(
                f'Mix and paint with them: --palette {output}, or in a scene palette = "...".'
            )
            return {"files": told, **calibration_json(found)}, [*calibration_lines(found), *lines]

        command: Command = answers(written)
        for option in (
            click.option(
                "--replace", is_flag=True, help="Write over files that are there already."
            ),
            click.option("--report", help="Also write what was found: .pdf, .svg or .png."),
            click.option("--paper-out", help="Also write the paper, as paper.toml."),
            click.option("--paper", default="white cartridge", show_default=True, help=paper),
            click.option("--palette", default="lifting", show_default=True, help=palette),
            click.option("-o", "--output", required=True, help="Inks to write: a .toml file."),
        ):
            command = option(command)
        return command

    return made


@click.command()
@click.argument("scans", metavar="SCAN...", nargs=-1, required=True)
@click.option("--inks", default="", help="As given when the sheet was printed.")
@click.option("--fit", "kind", default="auto", show_default=True,
              help="strength, dyes, measured; auto takes the simplest that predicts.")  # fmt: skip
@click.option("--grey-card", type=float, default=None, metavar="SHARE",
              help="Reflectance of a grey card on its place, as 0.18.")  # fmt: skip
@click.option("--tint-from-scan", is_flag=True, help="Take the paper's own colour from the scan.")
@inks_made("What the sheet was printed for.", "Paper the sheet is on.")
def calibrate(
    table: Table,
    scans: tuple[str, ...],
    inks: str,
    kind: str,
    grey_card: float | None,
    tint_from_scan: bool,
) -> Calibration:
    """Read painted swatch sheets from SCAN and write your own inks.

    A scan or photo may lie any way round, but has to show the whole page. Each ink is fitted to
    its strip; the mixes and shadow washes are predicted and tell how far to trust it.
    """
    from glaze.calibrate.fit.own_inks import calibrate as fit

    sheets = _read_scans(scans, table, inks)
    with progress("Fitting the inks") as share:
        return fit(
            sheets,
            table,
            kind=kind,
            grey=grey_card,
            tint_from_scan=tint_from_scan,
            progress=share,
        )


def _read_scans(scans: Sequence[str], table: Table, inks: str) -> list[SheetReading]:
    """The scans, on whichever size of page."""
    from glaze.calibrate.scan.swatch import read_swatches
    from glaze.charts.content.swatch_coats import coats_page
    from glaze.charts.content.swatch_layout import SIZES, swatch_pages, trial_pages

    asked = [(table, size, names(inks) or []) for size in SIZES]
    pages = [
        page
        for one in asked
        for page in (*swatch_pages(*one), *trial_pages(*one), coats_page(*one))
    ]
    return [read_swatches(scan, pages) for scan in scans]


@click.command()
@click.argument("file", metavar="FILE")
@inks_made(
    "Whose other inks are kept beside yours.", "Sort of paper; its colour comes from the file."
)
def spectra(table: Table, file: str) -> Calibration:
    """Make inks of measured spectra: FILE is CGATS.17 text or a CSV.

    Each sample is called as on the swatch sheet: "paper", "Blue neat", "Blue 1+4", "Blue with
    Red", "Black over Blue". A strip of each ink is fitted, band by band; the rest is predicted and
    tells how far to trust it.
    """
    from glaze.calibrate.fit.measured_strips import from_spectra
    from glaze.record.spectra import read_spectra

    return from_spectra(read_spectra(file), table)


@click.command()
@click.argument("scene", metavar="SCENE", shell_complete=completing.scenes)
@click.argument("scan", metavar="SCAN")
@click.option("-o", "--output", required=True, help="Report to write: .pdf, .svg or .png.")
@click.option("--inks-out", default=None, help="Also write the inks so corrected: a .toml file.")
@click.option("--replace", is_flag=True, help="Write over an inks file that is there already.")
@click.option("--dpi", type=float, default=150, show_default=True, help="Of a PNG.")
@answers
def compare(
    scene: str,
    scan: str,
    output: str,
    inks_out: str | None,
    replace: bool,
    dpi: float,
) -> Answer:
    """Lay SCAN, a scan or photo of the finished painting, over SCENE's prediction.

    Writes a report zone by zone, and says which ink's strength explains most of the difference.
    """
    from glaze.calibrate.report.comparison import compare as lay_over
    from glaze.calibrate.report.comparison_sheet import comparison_sheets, told
    from glaze.calibrate.report.ink_file import check_new, write_corrected
    from glaze.charts.paper.publish import check_output, write_pages

    check_output(Path(output))
    if inks_out:
        check_new(Path(inks_out), replace)
    with progress("Comparing") as share:
        found = lay_over(scene, scan, share)
    written = write_pages(comparison_sheets(found), output, dpi)
    if inks_out:
        palette, source = found.painting.table.palette, found.scene.palette
        named = found.scene.file(source) if source.endswith(".toml") else source
        written.append(
            write_corrected(palette, found.together, inks_out, str(named), replace=replace)
        )
    files = [str(file) for file in written]
    lines = [*_zone_lines(found), *told(found), *files]
    return {"files": files, **_comparison_json(found)}, lines


def _zone_lines(found: Comparison) -> list[str]:
    return [
        f"{zone.zone.name}: {painted_gap(zone.value_gap)}, {zone.de00:.1f} (CIEDE2000)."
        for zone in found.zones
    ]


def _comparison_json(found: Comparison) -> dict[str, Any]:
    zones = [
        {
            "steps": list(zone.zone.steps),
            "area_mm2": zone.zone.area_mm2,
            "de00": zone.de00,
            "value_gap": zone.value_gap,
        }
        for zone in found.zones
    ]
    return {
        "mean_de00": found.mean_de00,
        "mean_value_gap": found.mean_value_gap,
        "likeness": found.likeness,
        "zones": zones,
        "suggestions": [vars(one) for one in found.suggestions],
        "together": {
            name: {"strength": factor, "band": band}
            for name, (factor, band) in found.together.items()
        },
        "notes": list(found.notes),
    }
