"""A scan as linear sRGB: its embedded profile honoured, sRGB assumed where there is none."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.physics.colour import srgb_decode
from glaze.sketch.scan import DAMAGE, Scan, read_scan
from glaze.sketch.scan_values import over

Linear = NDArray[np.float32]


def read_linear(
    path: str | Path, *, grey_too: bool = False
) -> tuple[Linear, Scan, tuple[str, ...]]:
    """A colour scan or photo as linear sRGB, shape (rows, columns, 3), the scan, and notes.

    The colours are [-], 1 for white. A grey picture is refused unless it will do.
    """
    scan = read_scan(Path(path))
    values, notes = over(scan, scan.full), scan.notes
    if values.ndim == 2 and grey_too:
        values = np.repeat(values[..., None], 3, axis=-1)
    elif values.ndim == 2:
        raise InputError(
            f'"{Path(path).name}" is a grey picture; inks are told by their colour. Scan it in '
            "colour."
        )
    if scan.profile and scan.values.ndim == 3:
        values, more = _to_srgb(values, scan.profile)
        notes = (*notes, *more)
    full = int(np.iinfo(values.dtype).max)
    table = srgb_decode(np.linspace(0, 1, full + 1)).astype(np.float32)
    return table[values], scan, notes


def _to_srgb(values: NDArray[np.integer], profile: bytes) -> tuple[NDArray[np.integer], list[str]]:
    """Encoded values as sRGB, 8 bits if the profile is another one."""
    from PIL import Image, ImageCms

    faults: tuple[type[Exception], ...] = (*DAMAGE, ImageCms.PyCMSError)
    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        said = ImageCms.getProfileDescription(source).strip()
        if "srgb" in said.lower():
            return values, []
        to_srgb = ImageCms.buildTransform(
            source,
            ImageCms.createProfile("sRGB"),
            "RGB",
            "RGB",
            ImageCms.Intent.RELATIVE_COLORIMETRIC,
        )
        eight = values if values.dtype == np.uint8 else (values >> 8).astype(np.uint8)
        turned = ImageCms.applyTransform(Image.fromarray(np.ascontiguousarray(eight)), to_srgb)
        assert turned is not None  # only a change in place gives None
        return np.asarray(turned), [f'Read by its own colour profile, "{said}".']
    except faults:
        return values, ["The picture's colour profile can't be read; it is taken as sRGB."]
