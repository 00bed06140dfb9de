"""Pieces of a PNG file [ISO/IEC 15948]: by hand, as Pillow writes no colour of 16 bits.

Groups of rows are compressed side by side on all cores; the bytes don't depend on how many.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.physics.flow import MM_PER_INCH
from glaze.picture.cores import cores

ROWS_AT_ONCE = 256
"""Rows that are compressed together."""
LEVEL, PACKING = 4, zlib.Z_RLE
"""Of zlib: runs only, which takes half the time of its level 4 and gives 6 % larger files; once
rows are differences, little else repeats."""
HEAD = b"\x78\x5e"
"""Of a zlib stream with a window of 32 KB, compressed fast [RFC 1950, 2.2]."""
BASE = 65521
"""The largest prime below 65536, of Adler's sums [RFC 1950, 8.2]."""


def png_pieces(
    rgb: NDArray[Any], dpi: float, texts: Mapping[str, str], profile: bytes
) -> Iterator[bytes]:
    """Pieces of a file.

    Parameters
    ----------
    rgb : sRGB signals, uint8 or uint16, shape (rows, columns, 3)
    dpi : at true size
    texts : kept as "glaze:<name>"
    profile : ICC profile of the signals
    """
    rows, columns = rgb.shape[:2]
    bits = rgb.dtype.itemsize * 8
    yield b"\x89PNG\r\n\x1a\n"
    yield _chunk(b"IHDR", struct.pack(">IIBBBBB", columns, rows, bits, 2, 0, 0, 0))
    yield _chunk(b"iCCP", b"sRGB\0\0" + zlib.compress(profile, 9))
    per_metre = round(dpi / MM_PER_INCH * 1000)
    yield _chunk(b"pHYs", struct.pack(">IIB", per_metre, per_metre, 1))
    for name, text in texts.items():
        head = f"glaze:{name}".encode("latin-1", "replace")[:79]
        yield _chunk(b"iTXt", head + b"\0\1\0\0\0" + zlib.compress(text.encode(), 9))
    for piece in _compressed(rgb):
        yield _chunk(b"IDAT", piece)
    yield _chunk(b"IEND", b"")


def _chunk(kind: bytes, content: bytes) -> bytes:
    check = zlib.crc32(kind + content)
    return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", check)


def _compressed(rgb: NDArray[Any]) -> Iterator[bytes]:
    """One zlib stream of all rows, in pieces."""
    yield HEAD
    total = 1
    with ThreadPoolExecutor(cores()) as pool:
        tops = range(0, rgb.shape[0], ROWS_AT_ONCE)
        for piece, check, length in pool.map(lambda top: _squeezed(rgb, top), tops):
            yield piece
            total = _check_of_both(total, check, length)
    yield struct.pack(">I", total)


def _squeezed(rgb: NDArray[Any], top: int) -> tuple[bytes, int, int]:
    """A group of rows compressed by itself, the check of its bytes, and how many they were.

    Rows are differences from the row above (PNG filter 2, "up").
    """
    stop = min(top + ROWS_AT_ONCE, rgb.shape[0])
    part = rgb[max(top - 1, 0) : stop].astype(rgb.dtype.newbyteorder(">"))
    lines = part.view(np.uint8).reshape(len(part), -1)
    filtered = np.full((stop - top, lines.shape[1] + 1), 2, np.uint8)
    filtered[:, 1:] = lines[int(top > 0) :]
    filtered[int(top == 0) :, 1:] -= lines[:-1]
    squeeze = zlib.compressobj(LEVEL, wbits=-15, strategy=PACKING)
    piece = squeeze.compress(filtered.data)
    # all but the last end on a whole byte, and the next goes on there
    piece += squeeze.flush(zlib.Z_FINISH if stop == rgb.shape[0] else zlib.Z_SYNC_FLUSH)
    return piece, zlib.adler32(filtered.data), filtered.size


def _check_of_both(one: int, other: int, length: int) -> int:
    """Adler's check of bytes that follow one another, the latter so many [RFC 1950, 8.2].

    Each is a, a sum of bytes begun at 1, and b, the sum of all a on the way.
    """
    a, b = one & 0xFFFF, one >> 16
    c, d = other & 0xFFFF, other >> 16
    return (b + d + length * (a - 1)) % BASE << 16 | (a + c - 1) % BASE
