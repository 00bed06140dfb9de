"""Values of a scan: over an opaque ground, as a mask's grey, as linear light under its profile."""

from __future__ import annotations

import io
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.physics.colour import srgb_decode
from glaze.picture.on_disk import filled_field
from glaze.sketch.scan import DAMAGE, Scan

Y_OF_SRGB = (0.2126, 0.7152, 0.0722)  # luminance of linear sRGB, IEC 61966-2-1


def over(scan: Scan, ground: int) -> NDArray[Any]:
    """Encoded values over an opaque ground of one value, same shape and type as the scan's.

    uint8 or uint16.
    """
    if scan.opacity is None:
        return scan.values
    made = filled_field(scan.values.shape, scan.values.dtype)
    for rows in strips(len(made)):
        share = scan.opacity[rows].astype(np.float32) / scan.full
        share = share[..., None] if scan.values.ndim == 3 else share
        made[rows] = scan.values[rows] * share + ground * (1 - share) + 0.5
    return made


def grey(scan: Scan) -> NDArray[np.uint16]:
    """A mask's values over black, 65535 = white; a mask says how much, so nothing is decoded.

    Shape (rows, columns).
    """
    values = over(scan, 0)
    made = filled_field(values.shape[:2], np.uint16)
    for rows in strips(len(made)):
        some = values[rows]
        if values.ndim == 3:
            # equal channels must give back their own value exactly
            some = some.astype(np.float32) @ np.array(Y_OF_SRGB, np.float32) + 0.5
        made[rows] = some.astype(np.uint16) * np.uint16(65535 // scan.full)
    return made


def strips(rows: int) -> list[slice]:
    """Rows in groups, so that working copies stay small."""
    return [slice(start, min(start + 256, rows)) for start in range(0, rows, 256)]


def luminance(scan: Scan) -> tuple[NDArray[np.float32], tuple[str, ...]]:
    """Linear luminance over white paper, 0 to 1, shape (rows, columns), and notes.

    The embedded profile is honoured: grey profiles and matrix profiles by their tone curve and
    colorants at full depth, others by conversion to sRGB at 8 bits.

    [-].
    """
    values, notes = over(scan, scan.full), scan.notes
    table, weights = srgb_decode(np.linspace(0, 1, scan.full + 1)), Y_OF_SRGB
    if scan.profile:
        try:
            values, table, weights = _profiled(values, scan.profile)
        except (*DAMAGE, _cms_error()):
            notes = (*notes, "The picture's colour profile can't be read; it is taken as sRGB.")
    bright = filled_field(values.shape[:2], np.float32)
    shares = weights if values.ndim == 3 else (1.0,)
    channels = values.reshape(*values.shape[:2], -1)
    for channel, weight in enumerate(shares):
        light = (weight * table).astype(np.float32)
        for rows in strips(len(bright)):
            bright[rows] += light[channels[rows, :, channel]]
    return bright, notes


def _cms_error() -> type[Exception]:
    from PIL import ImageCms

    return ImageCms.PyCMSError


def _profiled(
    values: NDArray[Any], profile: bytes
) -> tuple[NDArray[Any], NDArray[np.float64], tuple[float, float, float]]:
    """Values, the linear light of each code and the channels' weights under an ICC profile."""
    from PIL import Image, ImageCms

    source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
    mode = "L" if source.profile.xcolor_space.strip() == "GRAY" else "RGB"
    to_srgb = ImageCms.buildTransform(
        source, ImageCms.createProfile("sRGB"), mode, "RGB", ImageCms.Intent.RELATIVE_COLORIMETRIC
    )
    if mode == "RGB" and values.ndim == 3 and not source.profile.is_matrix_shaper:
        eight = values if values.dtype == np.uint8 else (values >> 8).astype(np.uint8)
        turned = ImageCms.applyTransform(Image.fromarray(np.ascontiguousarray(eight)), to_srgb)
        return np.asarray(turned), srgb_decode(np.linspace(0, 1, 256)), Y_OF_SRGB
    # neutral greys through the profile give its tone curve; a matrix profile's channels share it
    ramp = np.arange(256, dtype=np.uint8)[None]
    ramp = ramp if mode == "L" else np.repeat(ramp[..., None], 3, axis=2)
    neutral = np.asarray(ImageCms.applyTransform(Image.fromarray(ramp), to_srgb))[0, :, 1]
    codes = np.linspace(0, 1, int(np.iinfo(values.dtype).max) + 1)
    table = np.interp(codes, np.linspace(0, 1, 256), srgb_decode(neutral / 255))
    if mode == "L" or values.ndim == 2:
        return (values if values.ndim == 2 else values[..., 1]), table, Y_OF_SRGB
    parts = [getattr(source.profile, f"{name}_colorant")[0][1] for name in ("red", "green", "blue")]
    red, green, blue = (float(part) / float(sum(parts)) for part in parts)
    return values, table, (red, green, blue)
