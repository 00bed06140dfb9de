"""The pictures of docs/calibrate.md.

The painted sheet and the painting are synthetic: painted by numbers with inks of other strengths,
a hand that measures 12 % wrongly, patchy washes and a scanner's noise.
"""

from __future__ import annotations

import io
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from unittest.mock import patch

import numpy as np
from PIL import Image

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parents[1] / "tests" / "calibrate"))

from make import content  # noqa: E402
from swatch_painter import FACTORS, Painter, encode, paint_page, photographed  # noqa: E402

from glaze.calibrate.fit.own_inks import calibrate  # noqa: E402
from glaze.calibrate.report.calibration_sheet import calibration_sheets  # noqa: E402
from glaze.calibrate.report.comparison import compare  # noqa: E402
from glaze.calibrate.report.comparison_sheet import comparison_sheets  # noqa: E402
from glaze.calibrate.report.suggest import scaled_palette  # noqa: E402
from glaze.calibrate.scan.swatch import read_swatches  # noqa: E402
from glaze.charts.content.swatch_layout import swatch_pages  # noqa: E402
from glaze.charts.paper.png import page_pixels  # noqa: E402
from glaze.charts.sheets.swatches import swatch_sheet  # noqa: E402
from glaze.painting.settle import resolve  # noqa: E402
from glaze.patch.patches import bare_patches, bleach_patches, glaze, linear_rgb  # noqa: E402
from glaze.patch.table import table_of  # noqa: E402
from glaze.pipeline import linear_rgb as picture_rgb  # noqa: E402
from glaze.scene.file import load_scene  # noqa: E402
from glaze.scene.laid_out import table_of_scene  # noqa: E402
from glaze.sheet.lift import Touches  # noqa: E402

DAY = "2026-01-01"


def ghosts(table, page):
    """Colours of neat bleach dots after a minute, as the model has them."""
    found = {}
    for place in page.places:
        if place.dot and place.layers:
            sheet = bare_patches(table)
            for recipe in place.layers:
                glaze(table, sheet, table.mix(recipe))
            bleach_patches(table, sheet, Touches())
            found[place.name] = np.clip(linear_rgb(table, sheet)[0, 0], 0, 1)
    return found


def painted_scan(path: Path) -> None:
    """A painted sheet, photographed at an angle, with bottles of other strengths."""
    table = table_of("lifting", "white cartridge")
    page = swatch_pages(table)[0]
    rng = np.random.default_rng(7)
    slips = {p.name: float(np.exp(0.12 * rng.standard_normal())) for p in page.places}
    painter = Painter(table.palette, table.paper, FACTORS, slips)
    painted = paint_page(page, painter, dpi=150, noise=0.03, dots=ghosts(table, page))
    corners = [(150, 120), (1290, 90), (1375, 1790), (100, 1750)]
    photo = photographed(painted, corners, (1880, 1480), fall_off=0.12, tint=(1, 0.97, 0.9))
    Image.fromarray(encode(photo)).save(path)


def jpeg(image: Image.Image, quality: int) -> bytes:
    """A picture as JPEG."""
    kept = io.BytesIO()
    image.save(kept, "JPEG", quality=quality)
    return kept.getvalue()


def pictures() -> Iterator[tuple[str, bytes]]:
    """Name and content of each."""
    table = table_of("lifting", "white cartridge")
    sheets = swatch_sheet(table, day=DAY, coats=True)
    names = "calibrate_sheet", "measure_coats", "calibrate_dots"
    for sheet, name in zip(sheets, names, strict=True):
        yield f"{name}.png", content(Image.fromarray(page_pixels(sheet, 75)))
    page = swatch_pages(table)[0]
    with tempfile.TemporaryDirectory() as folder:
        scan = Path(folder) / "scan.png"
        painted_scan(scan)
        yield "calibrate_photo.jpg", jpeg(Image.open(scan).resize((592, 752)), 85)
        found = calibrate([read_swatches(scan, [page])], table)
        report = calibration_sheets(found, day=DAY)[0]
        yield "calibrate_report.png", content(Image.fromarray(page_pixels(report, 80)))
        yield "compare_report.jpg", comparison(Path(folder))


def comparison(folder: Path) -> bytes:
    """The report of a lighthouse painted with two bottles of other strengths."""
    scenes = HERE.parents[1] / "scenes"
    scene = load_scene(scenes / "lighthouse")
    inks = scaled_palette(table_of_scene(scene).palette, {"Black": 1.5, "Blue": 0.8})
    with patch("glaze.scene.laid_out.palette_of", lambda scene: inks):
        painted = picture_rgb(resolve(scene))
    rows, columns = (side // 2 * 2 for side in painted.shape[:2])
    half = painted[:rows, :columns].reshape(rows // 2, 2, columns // 2, 2, 3).mean(axis=(1, 3))
    scan = folder / "painting.png"
    Image.fromarray(encode(half, noise=0.01)).save(scan)
    report = comparison_sheets(compare(scenes / "lighthouse", scan), day=DAY)[0]
    return jpeg(Image.fromarray(page_pixels(report, 80)), 88)
