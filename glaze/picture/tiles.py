"""A picture too large for memory: its tiles one by one, kept in a file, and at last a tiled TIFF.

Tiles are compressed as they are painted and written to a file in their order. Of a run that was
killed all tiles are there that it had written; the next goes on behind the last whole one.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import IO, Any

import numpy as np
from numpy.typing import NDArray

from glaze.picture.file import Metadata, tiff_tags
from glaze.picture.writing import write_whole

SIDE = 256
"""Of a tile [px]."""
LEVEL = 4
"""Of zlib, as in a PNG."""
HEAD = struct.Struct("<IIQ")
"""Before each kept tile: its bytes, their check, and how many of its pixels were mapped."""


def packed(numbers: NDArray[Any]) -> bytes:
    """A tile as it stands in a TIFF: differences along the rows (predictor 2), compressed.

    sRGB signals, uint8 or uint16, shape (rows, columns, 3), at most SIDE a side; what is missing
    is filled up with its last row and column.
    """
    rows, columns = numbers.shape[:2]
    full = np.pad(numbers, [(0, SIDE - rows), (0, SIDE - columns), (0, 0)], mode="edge")
    little = full.astype(full.dtype.newbyteorder("<"))
    little[:, 1:] -= full[:, :-1]
    return zlib.compress(little.tobytes(), LEVEL)


class KeptTiles:
    """Packed tiles in a file, those of an earlier run among them.

    Attributes
    ----------
    count, mapped : tiles that are there, and how many of their pixels were moved into the gamut
    """

    def __init__(self, path: Path) -> None:
        self.path, self.count, self.mapped = path, 0, 0
        path.touch()
        end = 0
        for mapped, tile in self._read():
            self.count, self.mapped = self.count + 1, self.mapped + mapped
            end += HEAD.size + len(tile)
        self._file = open(path, "r+b")  # noqa: SIM115 - closed with the kept tiles
        self._file.truncate(end)
        self._file.seek(end)

    def add(self, tile: bytes, mapped: int) -> None:
        """The next tile, and how many of its pixels were mapped."""
        self._file.write(HEAD.pack(len(tile), zlib.crc32(tile), mapped) + tile)
        self._file.flush()
        self.count, self.mapped = self.count + 1, self.mapped + mapped

    def close(self) -> None:
        """No more are to come."""
        self._file.close()

    def __iter__(self) -> Iterator[bytes]:
        return (tile for _, tile in self._read())

    def _read(self) -> Iterator[tuple[int, bytes]]:
        """Pixels mapped and bytes of each tile, up to the first that isn't whole."""
        with open(self.path, "rb") as file:
            while len(head := file.read(HEAD.size)) == HEAD.size:
                size, check, mapped = HEAD.unpack(head)
                tile = file.read(size)
                if len(tile) < size or zlib.crc32(tile) != check:
                    return
                yield mapped, tile


def write_tiles(
    tiles: KeptTiles, path: Path, shape: tuple[int, int], bits: int, dpi: float, metadata: Metadata
) -> None:
    """Write packed tiles as a tiled BigTIFF at true size; an existing file is replaced in one step.

    Parameters
    ----------
    tiles : SIDE a side, row by row
    shape : rows and columns of the picture
    """

    def write(file: IO[bytes]) -> None:
        import tifffile

        with tifffile.TiffWriter(file, bigtiff=True, byteorder="<") as tiff:
            tiff.write(
                iter(tiles),
                shape=(*shape, 3),
                dtype=f"uint{bits}",
                tile=(SIDE, SIDE),
                predictor=2,
                **tiff_tags(dpi, metadata),
            )

    write_whole(path, write)
