"""Pictures: linear light to sRGB signals, and to files with true size, profile and recipe.

A file depends on nothing but the picture and the recipe: no date, no machine, so that the same
scene gives the same bytes. Files are written beside their place and moved there when complete.
"""

from __future__ import annotations

import io
import json
import struct
from collections.abc import Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.physics.colour import map_into_gamut, srgb_encode
from glaze.picture.cores import cores
from glaze.picture.png_stream import png_pieces
from glaze.picture.true_size import TrueSize
from glaze.picture.writable import check_place
from glaze.picture.writing import write_whole
from glaze.record.incoming import is_there

SUFFIXES = (".png", ".tif", ".tiff")
ROWS_AT_ONCE = 256  # bounds the memory of a large sheet; no effect on the result

Metadata = Mapping[str, Any] | str


@dataclass(frozen=True, eq=False)
class Picture(TrueSize):
    """A finished picture.

    Parameters
    ----------
    rgb : shape (rows, columns, 3); uint8 or uint16: sRGB signals; floats: linear sRGB, 0 to 1
    dpi : pixels an inch at true size
    light : name of the light the colours are meant for; they are shown as seen under it
    mapped_share : share of pixels, 0 to 1, whose colour a screen can't show and that were moved
    notes : what the painter should know of this picture
    """

    rgb: NDArray[Any]
    dpi: float
    light: str = "D65"
    mapped_share: float = 0.0
    notes: tuple[str, ...] = ()

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and columns."""
        return self.rgb.shape[0], self.rgb.shape[1]

    def save(self, path: Path | str, metadata: Metadata = "", *, bits: int | None = None) -> None:
        """Write it as a PNG or TIFF, see `write_picture`."""
        write_picture(self, path, metadata, bits=bits)

    def _repr_png_(self) -> bytes:
        """The picture as a PNG file, for notebooks."""
        rgb = encode(self.rgb) if self.rgb.dtype.kind == "f" else self.rgb
        return b"".join(png_pieces(rgb, self.dpi, {}, srgb_profile()))


def picture_from_linear(
    linear_rgb: NDArray[Any],
    dpi: float,
    light: str = "D65",
    bits: int = 8,
    notes: tuple[str, ...] = (),
) -> Picture:
    """A picture of linear sRGB of any range: colours are moved into the gamut, then encoded.

    Parameters
    ----------
    linear_rgb : [-], floats, shape (rows, columns, 3)
    """
    _refuse_signals(linear_rgb)
    rgb = np.empty(linear_rgb.shape, _signal_type(bits))

    def fill(top: int) -> int:
        mapped, outside = map_into_gamut(linear_rgb[top : top + ROWS_AT_ONCE])
        rgb[top : top + ROWS_AT_ONCE] = encode(mapped, bits)
        return int(np.count_nonzero(outside))

    tops = range(0, len(rgb), ROWS_AT_ONCE)
    if len(tops) < 2:
        moved = sum(map(fill, tops))
    else:
        with ThreadPoolExecutor(cores()) as pool:
            moved = sum(pool.map(fill, tops))
    return Picture(rgb, dpi, light, moved / max(1, rgb[..., 0].size), notes)


def _refuse_signals(linear_rgb: NDArray[Any]) -> None:
    """Refuse what can't be linear light: other shapes, whole numbers, NaN."""
    if linear_rgb.ndim != 3 or linear_rgb.shape[2] != 3:
        raise InputError(
            f"Linear light of shape {linear_rgb.shape}; give (rows, columns, 3): red, green, blue."
        )
    if linear_rgb.dtype.kind != "f":
        raise InputError(
            f"Linear light as {linear_rgb.dtype.name}; give floats, 1 for white. Numbers from a "
            "picture file are sRGB signals: Picture(rgb, dpi) takes them as they are."
        )
    if np.isnan(linear_rgb).any():
        raise InputError("Linear light holds NaN, no number; put 0 where nothing is.")


def encode(linear_rgb: NDArray[Any], bits: int = 8) -> NDArray[Any]:
    """sRGB signals of 8 or 16 bits, to the nearest step; linear light is clipped to 0 to 1.

    Linear sRGB [-], shape (rows, columns, 3), to uint8 or uint16 alike in shape.
    """
    top = 2**bits - 1
    signal = np.empty(linear_rgb.shape, _signal_type(bits))
    for row in range(0, linear_rgb.shape[0], ROWS_AT_ONCE):
        part = np.clip(linear_rgb[row : row + ROWS_AT_ONCE], 0.0, 1.0)
        signal[row : row + ROWS_AT_ONCE] = np.rint(srgb_encode(part) * top)
    return signal


def _signal_type(bits: int) -> type[np.unsignedinteger[Any]]:
    if bits not in (8, 16):
        raise InputError(f"A picture of {bits} bits a channel; give 8 or 16.")
    return np.uint8 if bits == 8 else np.uint16


def write_picture(
    picture: Picture,
    path: Path | str,
    metadata: Metadata = "",
    *,
    bits: int | None = None,
    protect: Path | str | None = None,
    named: bool = True,
) -> None:
    """Write a PNG or TIFF at true size with the sRGB profile and the recipe in it.

    Parameters
    ----------
    path : ends in .png, .tif or .tiff; an existing file is replaced, in one step
    metadata : the scene's text, or several named texts; PNG keeps each as "glaze:<name>" ("scene"
        for a single text), TIFF keeps the text or a JSON object as the image's description
    bits : for a picture of floats: 8 or 16; if left out, 8 for PNG and 16 for TIFF
    protect : a file that must not be written over, such as the sketch
    named : whether it was asked for by this name, see `glaze.picture.writing.write_whole`

    Raises
    ------
    InputError : if the name or the place can't be written to
    """
    path = Path(path)
    check_path(path, protect)
    rgb = picture.rgb
    if rgb.dtype.kind == "f":
        rgb = encode(rgb, bits or (8 if path.suffix.lower() == ".png" else 16))
    elif bits is not None and rgb.dtype.itemsize * 8 != bits:
        raise InputError(
            f"{bits} bits for a picture of {rgb.dtype.itemsize * 8}; render it with bits={bits}."
        )
    if path.suffix.lower() == ".png":
        texts = _texts(metadata) or {"picture": "at true size"}  # by it we know our own again
        pieces = png_pieces(rgb, picture.dpi, texts, srgb_profile())
    else:
        pieces = _tiff(rgb, picture.dpi, metadata)
    write_whole(path, pieces, named=named)


def check_path(path: Path, protect: Path | str | None = None) -> None:
    """Refuse a name or place that a picture can't be written to, before any work is done."""
    there = protect is not None and all(map(is_there, (path, Path(protect))))
    if protect is not None and there and path.samefile(protect):
        raise InputError(
            f'"{path}" is the sketch, which is never overwritten. Choose another name.'
        )
    check_place(path, SUFFIXES, "a picture")


def srgb_profile() -> bytes:
    """The sRGB ICC profile without its date of making, so that it is the same each time."""
    from PIL import ImageCms

    profile = bytearray(ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes())
    profile[24:36] = struct.pack(">6H", 2000, 1, 1, 0, 0, 0)  # date [ICC.1:2022, 7.2.8]
    profile[84:100] = bytes(16)  # identifier: a sum over the profile, zero = not given
    return bytes(profile)


def _tiff(rgb: NDArray[Any], dpi: float, metadata: Metadata) -> Iterator[bytes]:
    """A TIFF file, compressed without loss and without a date."""
    import tifffile

    whole = io.BytesIO()
    tifffile.imwrite(whole, rgb, rowsperstrip=64, **tiff_tags(dpi, metadata))
    yield whole.getvalue()


def tiff_tags(dpi: float, metadata: Metadata) -> dict[str, Any]:
    """What every TIFF of ours says of itself, in the words of tifffile."""
    texts = _texts(metadata)
    alone = list(texts) == ["scene"]
    text = texts["scene"] if alone else json.dumps(texts, ensure_ascii=False, sort_keys=True)
    return {
        "photometric": "rgb",
        "compression": "zlib",
        "resolution": (dpi, dpi),
        "resolutionunit": "INCH",
        "iccprofile": srgb_profile(),
        "description": text.encode() if texts else None,
        "metadata": None,
        "software": "glaze",
    }


def _texts(metadata: Metadata) -> dict[str, str]:
    """Named texts in the order of their names; what isn't text is written as JSON."""
    if isinstance(metadata, str):
        return {"scene": metadata} if metadata else {}
    return {
        str(name): value if isinstance(value, str) else json.dumps(value, sort_keys=True)
        for name, value in sorted(metadata.items())
    }
