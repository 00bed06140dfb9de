"""A region's mask painted in another program, over the sketch at full size."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from glaze.errors import InputError
from glaze.picture.resized import averaged
from glaze.region.cover import on_finer
from glaze.sheet.units import Mask
from glaze.sketch.line import Sketch
from glaze.sketch.scan import read_scan
from glaze.sketch.scan_values import grey


def painted_mask(path: Path, name: str, drawn: Sketch, sketch: Sketch) -> Mask:
    """A grey picture of the sketch's size as coverage: white is full, black is nothing.

    Parameters
    ----------
    name : as the scene has it
    drawn : the sketch as it was read
    sketch : the same on the pixels that are wanted, which may be coarser or finer

    uint16, 65535 = full, shape (rows, columns) of the latter.
    """
    mask = grey(read_scan(path))
    rows, columns = drawn.shape
    if mask.shape != (rows, columns):
        raise InputError(
            f'"{name}" has {mask.shape[1]} x {mask.shape[0]} pixels; allowed: {columns} x '
            f"{rows}, the size of the sketch. Draw the mask over the sketch at full size."
        )
    if drawn is sketch:
        return mask
    if drawn.dpi < sketch.dpi:
        return on_finer(mask, sketch.shape).mask
    return np.rint(averaged(mask.astype(np.float32), sketch.shape)).astype(np.uint16)
