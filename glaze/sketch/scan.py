"""Reading a picture file as a scan: upright, at its own depth, with its dpi and colour profile.

Sketches, masks and grades all come in through here; the file itself is never written.
"""

from __future__ import annotations

import io
import math
import struct
import threading
import warnings
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.picture.on_disk import lies_on_disk
from glaze.record.incoming import check_plain, no_picture, note_read

if TYPE_CHECKING:
    from PIL.Image import Image
    from PIL.ImageFile import ImageFile

LARGEST_BYTES = 2_000_000_000  # 150 million pixels of 16 bits have half of it, unpacked
LARGEST_SIDE = 30_000  # [px] in memory; a little over A0 at 600 dpi
LARGEST_ON_DISK = 2_000_000_000  # [px] areas are counted in 32 bits
LARGEST_AREA = 150_000_000  # [px] A2 at 600 dpi is 139 million; below Pillow's own refusal
FORMATS = ("PNG", "JPEG", "TIFF")
EXIF_ACROSS = 0x011A  # dots across
# all that Pillow, zlib and struct raise over broken bytes (SyntaxError: a broken PNG chunk)
DAMAGE: tuple[type[Exception], ...] = (
    *(OSError, SyntaxError, ValueError, TypeError, LookupError, EOFError, ArithmeticError),
    *(RuntimeError, MemoryError, struct.error, zlib.error),
)


_pillow = threading.RLock()  # held while Pillow's own limit is out of force


@dataclass(frozen=True)
class Scan:
    """A picture as it stands in its file, turned upright.

    Parameters
    ----------
    values : encoded values, shape (rows, columns) or (rows, columns, 3), uint8 or uint16
    opacity : None or shape (rows, columns), same type as `values`; full = opaque
    dpi : dots per inch across and down, None where the file doesn't say
    profile : the embedded ICC profile
    notes : what a painter should know about how it was read
    """

    values: NDArray[Any]
    opacity: NDArray[Any] | None = None
    dpi: tuple[float, float] | None = None
    profile: bytes | None = None
    notes: tuple[str, ...] = ()

    @property
    def full(self) -> int:
        """The largest value a channel can hold."""
        return int(np.iinfo(self.values.dtype).max)


def read_scan(path: Path) -> Scan:
    """A PNG, JPEG or TIFF file as a scan.

    Raises
    ------
    InputError
        When the file is missing, damaged, of another kind or too large.
    """
    with _opened(path) as image:
        if too_large(image.size):
            raise InputError(_too_large(path, f"{image.size[0]} x {image.size[1]} pixels"))
        return _scan_of(image, path)


def picture_head(path: Path) -> tuple[tuple[int, int], tuple[float, float] | None]:
    """Rows and columns of a picture file once it is upright [px], and its dpi across and down."""
    with _opened(path) as image:
        wide, high = image.width, image.height
        return (wide, high) if _turned(image) else (high, wide), _dpi(image)


@contextmanager
def _opened(path: Path) -> Iterator[ImageFile]:
    """A picture file whose pixels aren't read yet; what is wrong with it in words."""
    from PIL import Image

    if not path.exists():
        raise InputError(f'There is no picture "{path.name}" in "{path.parent}".')
    check_plain(path, 8 * LARGEST_ON_DISK if lies_on_disk(LARGEST_BYTES) else LARGEST_BYTES)
    note_read(path)
    try:
        # Pillow warns of odd metadata
        with _no_limit(), warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(path, formats=FORMATS) as image:
                yield image
    except InputError:
        raise
    except PermissionError as error:
        raise InputError(f'"{path}" can\'t be read ({error.strerror}).') from None
    except DAMAGE:
        raise InputError(no_picture(path)) from None


@contextmanager
def _no_limit() -> Iterator[None]:
    """Let Pillow read what is larger than it likes: sizes are judged here."""
    from PIL import Image

    with _pillow:
        most, Image.MAX_IMAGE_PIXELS = Image.MAX_IMAGE_PIXELS, None
        try:
            yield
        finally:
            Image.MAX_IMAGE_PIXELS = most


def _too_large(path: Path, found: str) -> str:
    return (
        f'"{path.name}" is too large: {found}; allowed: {LARGEST_SIDE} pixels a side and '
        f"{LARGEST_AREA // 1_000_000} million in all, but for `glaze preview -o picture.tif`. Scan "
        "it at a lower dpi or scale it down."
    )


def too_large(size: tuple[int, int]) -> bool:
    """Whether a sheet of so many pixels a side can't be worked on, in memory or on disk."""
    area = size[0] * size[1]
    if lies_on_disk(area):
        return area > LARGEST_ON_DISK
    return max(size) > LARGEST_SIDE or area > LARGEST_AREA


def _scan_of(image: ImageFile, path: Path) -> Scan:
    packing = image.tile[0].args if image.tile else None  # gone once the picture is loaded
    if image.format == "PNG" and packing in ("RGB;16B", "RGBA;16B"):
        scan = _split(_read_deep_png(path))
    elif _is_deep_tiff(image):
        deep = _read_deep_tiff(path)
        note = f'"{path.name}": its packing lets only 8 of its 16 bits be read.'
        scan = replace(_shallow(image), notes=(note,)) if deep is None else _split(deep)
    else:
        scan = _shallow(image)
    return replace(scan, dpi=_dpi(image), profile=image.info.get("icc_profile"))


def _dpi(image: Image) -> tuple[float, float] | None:
    """Dots per inch across and down, None where missing or meaningless."""
    try:
        across, down = (float(value) for value in image.info["dpi"])
        if _invented(image):
            return None
    except (KeyError, TypeError, ValueError, ZeroDivisionError):
        return None
    # a TIFF without resolution is read as 1 dpi
    if not (math.isfinite(across) and math.isfinite(down) and min(across, down) > 5):
        return None
    return (down, across) if _turned(image) else (across, down)


def _turned(image: Image) -> bool:  # on its side in its file
    return image.getexif().get(0x0112, 1) in (5, 6, 7, 8)


def _invented(image: Image) -> bool:
    """Whether Pillow put in its own 72 dpi, as it does for a photo that says none."""
    said = image.info.get("jfif_unit") in (1, 2) or EXIF_ACROSS in image.getexif()
    return image.format in ("JPEG", "MPO") and not said


def _shallow(image: Image) -> Scan:
    """A picture as Pillow itself reads it: 8 bits, or 16 of grey."""
    from PIL import ImageOps

    upright = ImageOps.exif_transpose(image)
    if upright.mode.startswith("I;16"):
        return Scan(np.asarray(upright).astype(np.uint16))
    if upright.mode in ("I", "F"):
        return Scan(_wide(np.asarray(upright)))
    if upright.mode == "P" or "transparency" in upright.info:
        upright = upright.convert("RGBA")
    if upright.mode in ("1", "L"):
        return Scan(np.asarray(upright.convert("L")))
    if upright.mode in ("LA", "La"):
        return _split(np.asarray(upright.convert("LA")))
    if upright.mode == "CMYK":
        return Scan(np.asarray(_from_cmyk(upright)))
    alpha = upright.mode in ("RGBA", "RGBa", "PA")
    return _split(np.asarray(upright.convert("RGBA" if alpha else "RGB")))


def _wide(values: NDArray[Any]) -> NDArray[np.uint16]:
    """Grey of 32 bits as 16: whole numbers count to 65535, fractions to 1."""
    whole = np.issubdtype(values.dtype, np.integer)
    scaled = values.astype(np.float64) * (1.0 if whole else 65535.0)
    return np.clip(np.nan_to_num(scaled), 0, 65535).round().astype(np.uint16)


def _from_cmyk(image: Image) -> Image:
    """Printing inks as sRGB by their own profile, by plain complement without one."""
    from PIL import ImageCms

    profile = image.info.pop("icc_profile", None)
    if profile:
        try:
            source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            turned = ImageCms.profileToProfile(
                image, source, ImageCms.createProfile("sRGB"), outputMode="RGB"
            )
            assert turned is not None  # only a change in place gives None
            return turned
        except ImageCms.PyCMSError:
            pass
    return image.convert("RGB")


def _split(values: NDArray[Any]) -> Scan:
    """Colour or grey apart from opacity."""
    if values.ndim == 2:
        return Scan(values)
    channels = values.shape[2]
    colour = values[..., :3] if channels >= 3 else values[..., 0]
    opacity = values[..., channels - 1] if channels in (2, 4) else None
    return Scan(colour, opacity)


def _read_deep_png(path: Path) -> NDArray[np.uint16]:
    """All 16 bits of a colour PNG.

    Pillow keeps the first byte of each channel. Told that the bytes stand the other way round, it
    keeps the second: two readings give both.
    """
    from PIL import Image, ImageOps

    halves = []
    for order in ("B", "L"):
        with Image.open(path, formats=("PNG",)) as image:
            rawmode = str(image.tile[0][3])[:-1] + order
            image.tile = [image.tile[0]._replace(args=rawmode)]
            halves.append(np.asarray(ImageOps.exif_transpose(image)))
    return halves[0].astype(np.uint16) << 8 | halves[1]


def _is_deep_tiff(image: ImageFile) -> bool:
    bits = getattr(image, "tag_v2", {}).get(258, (8,))
    return image.format == "TIFF" and max(np.atleast_1d(bits)) == 16 and image.mode[:2] != "I;"


def _read_deep_tiff(path: Path) -> NDArray[np.uint16] | None:
    """All 16 bits of a colour TIFF; None where its packing needs more than this machine has."""
    import tifffile

    # ImportError: its packing needs a codec that isn't there
    faults: tuple[type[Exception], ...] = (*DAMAGE, ImportError, tifffile.TiffFileError)
    try:
        with tifffile.TiffFile(path) as file:
            page = file.pages.first
            values = page.asarray()
            planes = page.planarconfig == 2 and values.ndim == 3
            orientation = page.tags.valueof(274) or 1
    except faults:
        return None
    if planes:
        values = np.moveaxis(values, 0, -1)
    if values.dtype != np.uint16 or values.ndim not in (2, 3):
        return None
    return np.ascontiguousarray(turn_upright(values, int(orientation)))


def turn_upright(values: NDArray[Any], orientation: int) -> NDArray[Any]:
    """Rows and columns as the eye should see them.

    Encoded values, uint8 or uint16, back as (rows, columns, ...).

    Parameters
    ----------
    values : shape (rows, columns, ...)
    orientation : EXIF/TIFF tag 274, 1 to 8 (TIFF 6.0, p. 36); anything else changes nothing
    """
    if orientation >= 5 and orientation <= 8:
        values = values.swapaxes(0, 1)
    if orientation in (2, 3, 6, 7):
        values = values[:, ::-1]
    if orientation in (3, 4, 7, 8):
        values = values[::-1]
    return values
