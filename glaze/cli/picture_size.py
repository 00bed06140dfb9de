"""How large a picture is to be, which part of it, and pictures painted on disk."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from glaze.cli.show import working
from glaze.errors import InputError

if TYPE_CHECKING:
    from glaze.painting.large import PaintedFile
    from glaze.painting.settle import Painting
    from glaze.picture.file import Metadata
    from glaze.scene.records import Scene
    from glaze.sheet.rect import Rect

FAR_MM = 1e5
"""Beyond any sheet; a part given farther off ends there."""


def scale_of(scene: Scene, scale: float, dpi: float | None) -> float:
    """Of the sketch's resolution, as --scale or --dpi say it."""
    if dpi is None:
        return scale
    from glaze.scene.laid_out import sheet_of_scene
    from glaze.sketch.line import MOST_DPI

    if scale != 1.0:
        raise InputError("--scale and --dpi both say how large the picture is; leave one out.")
    if not 1 <= dpi <= MOST_DPI:
        raise InputError(f"--dpi {dpi:g}: allowed are 1 to {MOST_DPI} dots per inch.")
    return dpi / sheet_of_scene(scene)[1]


def is_for_disk(scene: Scene, path: Path, view: str, scale: float) -> bool:
    """Whether a picture is one that is painted on disk."""
    from glaze.painting.budget import is_large
    from glaze.painting.settle import FINER
    from glaze.picture.resized import check_scale
    from glaze.scene.laid_out import sheet_of_scene

    if path.suffix.lower() not in (".tif", ".tiff") or view != "picture":
        return False
    check_scale(scale, math.inf)
    rows, columns = sheet_of_scene(scene)[0]
    settled = max(min(1.0, FINER * scale), scale)
    return is_large(scene, round(rows * columns * settled**2))


def painted_on_disk(
    scene: Scene,
    path: Path,
    recipe: Callable[[PaintedFile], Metadata],
    bits: int,
    scale: float,
    neon: bool,
    crop: str | None,
) -> tuple[Painting, PaintedFile]:
    """The scene painted into its file."""
    from glaze.painting.large import paint_large

    with working("Painting on disk") as share:
        return paint_large(
            *(scene, path, recipe),
            bits=bits,
            scale=scale,
            neon=neon,
            part=lambda painting: part_of_sheet(painting, crop),
            progress=share,
        )


def part_of_sheet(painting: Painting, crop: str | None) -> Rect | None:
    """A part of the sheet given as x,y,w,h in mm."""
    if crop is None:
        return None
    from glaze.sheet.rect import Rect, whole

    try:
        x, y, wide, high = (float(part) for part in crop.split(","))
        if not all(map(math.isfinite, (x, y, wide, high))):
            raise ValueError
    except ValueError:
        raise InputError(f'--crop "{crop}": four numbers x,y,w,h in mm, as 20,30,60,40.') from None
    per_mm = painting.per_mm
    part = Rect(*(round(min(max(v, -FAR_MM), FAR_MM) * per_mm) for v in (y, x, y + high, x + wide)))
    seen = part.overlap(whole(painting.shape))
    if seen.empty or wide <= 0 or high <= 0:
        size = f"{painting.shape[1] / per_mm:.0f} x {painting.shape[0] / per_mm:.0f} mm"
        raise InputError(f"--crop {crop} holds nothing of the sheet, which is {size}.")
    return seen
