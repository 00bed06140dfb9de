"""Commands around the painter's own swatches: print the sheet, read it back, compare a painting."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from glaze.cli.show import json_option, progress, tell, tell_json

if TYPE_CHECKING:
    from glaze.calibrate.compare import Comparison
    from glaze.calibrate.found import Calibration, InkFit, Rung


@click.command()
@click.option("-o", "--output", required=True, help="File to write: .pdf, .svg or .png.")
@click.option("--palette", "palette_name", default="lifting", show_default=True, help="Inks.")
@click.option("--paper", "paper_name", default="white cartridge", show_default=True, help="Paper.")
@click.option("--inks", default="", help='Only these, as "Blue, Black"; else the bottles.')
@click.option("--page", "size", default="A4", show_default=True, help="A4 or Letter.")
@click.option("--date", "day", default=None, help="Date to print, if not today's.")
@click.option("--dpi", type=float, default=150, show_default=True, help="Of a PNG.")
@json_option
def swatches(
    output: str,
    palette_name: str,
    paper_name: str,
    inks: str,
    size: str,
    day: str | None,
    dpi: float,
    as_json: bool,
) -> None:
    """Swatch sheet to paint with your own inks, scan, and read back with glaze calibrate."""
    from glaze.charts.publish import check_output, write_pages
    from glaze.charts.swatches import swatch_sheet
    from glaze.materials.bleach import CAUTION_LINE
    from glaze.studio import studio_of

    check_output(Path(output))
    studio = studio_of(palette_name, paper_name)
    pages = swatch_sheet(studio, size, _names(inks), day)
    files = write_pages(pages, output, dpi)
    if as_json:
        found = {"chart": "swatches", "files": [str(f) for f in files], "pages": len(pages)}
        tell_json({**found, "notes": [CAUTION_LINE]})
        return
    for file in files:
        tell(str(file))
    tell("Print at 100 %, paint, scan the whole page, then: glaze calibrate SCAN -o inks.toml")
    tell(CAUTION_LINE)


def _names(text: str) -> list[str]:
    return [part.strip() for part in text.split(",") if part.strip()]


@click.command()
@click.argument("scans", metavar="SCAN...", nargs=-1, required=True)
@click.option("-o", "--output", required=True, help="Inks to write: a .toml file.")
@click.option("--palette", "palette_name", default="lifting", show_default=True,
              help="What the sheet was printed for.")  # fmt: skip
@click.option("--paper", "paper_name", default="white cartridge", show_default=True,
              help="Paper the sheet is on.")  # fmt: skip
@click.option("--inks", default="", help="As given when the sheet was printed.")
@click.option("--fit", "kind", default="auto", show_default=True,
              help="strength, dyes, measured; auto takes the simplest that predicts.")  # fmt: skip
@click.option("--grey-card", type=float, default=None, metavar="SHARE",
              help="Reflectance of a grey card on its place, as 0.18.")  # fmt: skip
@click.option("--tint-from-scan", is_flag=True, help="Take the paper's own colour from the scan.")
@click.option("--paper-out", default=None, help="Also write the paper, as paper.toml.")
@click.option("--report", default=None, help="Also write what was found: .pdf, .svg or .png.")
@click.option("--replace", is_flag=True, help="Write over files that are there already.")
@json_option
def calibrate(
    scans: tuple[str, ...],
    output: str,
    palette_name: str,
    paper_name: str,
    inks: str,
    kind: str,
    grey_card: float | None,
    tint_from_scan: bool,
    paper_out: str | None,
    report: str | None,
    replace: bool,
    as_json: bool,
) -> None:
    """Read painted swatch sheets from SCAN and write your own inks.

    A scan or photo may lie any way round, but has to show the whole page. Each ink is fitted to
    its strip; the mixes and shadow washes are predicted and tell how far to trust it.
    """
    from glaze.calibrate.fit import calibrate as fit
    from glaze.calibrate.ink_file import check_new, write_inks, write_paper
    from glaze.calibrate.swatch import read_swatches
    from glaze.charts.publish import check_output, write_pages
    from glaze.charts.swatch_layout import SIZES, swatch_pages
    from glaze.studio import studio_of

    check_new(Path(output), replace)
    if paper_out:
        check_new(Path(paper_out), replace)
    if report:
        check_output(Path(report))
    studio = studio_of(palette_name, paper_name, "D65")
    pages = [page for size in SIZES for page in swatch_pages(studio, size, _names(inks))]
    sheets = [read_swatches(scan, pages) for scan in scans]
    with progress("Fitting the inks", as_json) as share:
        found = fit(
            *(sheets, studio),
            kind=kind,
            grey=grey_card,
            tint_from_scan=tint_from_scan,
            progress=share,
        )
    written = [write_inks(found, output, palette_name, replace=replace)]
    if paper_out:
        written.append(write_paper(found, paper_out, paper_name, replace=replace))
    if report:
        from glaze.calibrate.calibration_sheet import calibration_sheets

        written += write_pages(calibration_sheets(found), report)
    if as_json:
        tell_json({"files": [str(file) for file in written], **_calibration_json(found)})
        return
    _tell_calibration(found)
    for file in written:
        tell(str(file))


@click.command()
@click.argument("scene", metavar="SCENE")
@click.argument("scan", metavar="SCAN")
@click.option("-o", "--output", required=True, help="Report to write: .pdf, .svg or .png.")
@click.option("--inks-out", default=None, help="Also write the inks so corrected: a .toml file.")
@click.option("--replace", is_flag=True, help="Write over an inks file that is there already.")
@click.option("--dpi", type=float, default=150, show_default=True, help="Of a PNG.")
@json_option
def compare(
    scene: str,
    scan: str,
    output: str,
    inks_out: str | None,
    replace: bool,
    dpi: float,
    as_json: bool,
) -> None:
    """Lay SCAN, a scan or photo of the finished painting, over SCENE's prediction.

    Writes a report zone by zone, and says which ink's strength explains most of the difference.
    """
    from glaze.calibrate.compare import compare as lay_over
    from glaze.calibrate.comparison_sheet import comparison_sheets, told
    from glaze.calibrate.ink_file import check_new, write_corrected
    from glaze.charts.publish import check_output, write_pages

    check_output(Path(output))
    if inks_out:
        check_new(Path(inks_out), replace)
    with progress("Comparing", as_json) as share:
        found = lay_over(scene, scan, share)
    written = write_pages(comparison_sheets(found), output, dpi)
    if inks_out:
        palette, source = found.painting.studio.palette, found.scene.palette
        named = found.scene.file(source) if source.endswith(".toml") else source
        written.append(
            write_corrected(palette, found.together, inks_out, str(named), replace=replace)
        )
    if as_json:
        tell_json({"files": [str(file) for file in written], **_comparison_json(found)})
        return
    for zone in found.zones:
        side = "lighter" if zone.value_gap > 0 else "darker"
        tell(
            f"{zone.zone.name}: painted {abs(zone.value_gap):.1f} step {side}, "
            f"{zone.de00:.1f} (CIEDE2000)."
        )
    for line in told(found):
        tell(line)
    for file in written:
        tell(str(file))


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


def _tell_calibration(found: Calibration) -> None:
    """What was found, a line an ink."""
    for fit in found.inks.values():
        tell(
            f"{fit.ink.name:<10} {fit.strength:5.2f} times the palette's strength, known within "
            f"{fit.ink.strength_factor:.2f} times; {len(fit.rungs)} patches differ by "
            f"{fit.mean_de00:.1f} (CIEDE2000) from the fit, unseen ones by "
            f"{fit.unseen_de00[fit.kind]:.1f}."
        )
        for rung in fit.rungs:
            if abs(rung.value_gap) >= 0.3:
                tell(f"           {rung.name}: {_gap(rung)}{_acts(rung)}.")
        if fit.dots:
            ghosts = "; ".join(f"{dot.name}: {dot.words}" for dot in fit.dots)
            tell(f"           under bleach it {LIFTS_TOLD[fit.ink.bleach_class]} ({ghosts}).")
    if found.checks:
        gaps = [check.de00 for check in found.checks]
        tell(
            f"{len(gaps)} mixes and shadow washes, predicted and not fitted, differ by "
            f"{sum(gaps) / len(gaps):.1f} on average, at most {max(gaps):.1f} (CIEDE2000)."
        )
        for check in found.checks:
            if abs(check.value_gap) >= 0.3:
                tell(f"           {check.name}: {_gap(check)}.")
    notes = [*found.notes, *(note for fit in found.inks.values() for note in fit.notes)]
    for note in notes:
        tell(note)


LIFTS_TOLD = {"lifts": "lifts", "partly": "lifts in part", "resists": "resists"}


def _gap(rung: Rung) -> str:
    side = "lighter" if rung.value_gap > 0 else "darker"
    return f"painted {abs(rung.value_gap):.1f} step {side} than fitted"


def _acts(rung: Rung) -> str:
    if rung.acts_as is None:
        return ""
    if rung.acts_as < 0.05:
        return ", as if it held no water" if rung.acts_as > -0.05 else ", stronger than neat"
    return f", as if it were 1 part + {rung.acts_as:.1f} parts water"


def _calibration_json(found: Calibration) -> dict[str, Any]:
    return {
        "inks": {name: _ink_json(fit) for name, fit in found.inks.items()},
        "checks": [_rung_json(check) for check in found.checks],
        "paper": {
            "how": found.paper.how,
            "linear_srgb": [float(v) for v in found.paper.rgb],
            "surface_reflectance": found.paper.paper.surface_reflectance,
        },
        "notes": list(found.notes),
    }


def _ink_json(fit: InkFit) -> dict[str, Any]:
    return {
        "kind": fit.kind,
        "strength": fit.strength,
        "strength_factor": fit.ink.strength_factor,
        "dyes_g_per_l": dict(fit.ink.contents_g_per_l),
        "mean_de00": fit.mean_de00,
        "unseen_de00": fit.unseen_de00,
        "crowding": fit.crowding[0],
        "bleach_class": fit.ink.bleach_class,
        "patches": [_rung_json(rung) for rung in fit.rungs],
        "dots": [
            {
                "patch": dot.name,
                "ghost": dot.words,
                "value_gain": dot.value_gain,
                "share": dot.share,
            }
            for dot in fit.dots
        ],
        "notes": list(fit.notes),
    }


def _rung_json(rung: Rung) -> dict[str, Any]:
    return {
        "patch": rung.name,
        "de00": rung.de00,
        "unseen_de00": rung.unseen_de00,
        "value_gap": rung.value_gap,
        "acts_as_parts_water": rung.acts_as,
    }
