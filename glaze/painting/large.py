"""Pictures that memory can't hold: painted on disk, tile by tile, and gone on with after a stop.

The fields of all steps lie in files beside the picture (`glaze.picture.on_disk`), its tiles go
into a file as they are painted, and both outlast a run that is killed. The numbers are those of the
picture painted in memory.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from glaze.painting.settle import FINER, Painting, resolve
from glaze.painting.tile import in_turn, tile_numbers
from glaze.picture.file import Metadata
from glaze.picture.on_disk import LEAST_BYTES, fields_on_disk
from glaze.picture.tiles import SIDE, KeptTiles, packed, write_tiles
from glaze.picture.unfinished import kept_beside
from glaze.record.incoming import is_there
from glaze.scene.file import scene_text
from glaze.scene.records import Scene
from glaze.sheet.cache_folder import source_hash
from glaze.sheet.kernel import BUILT_WITH
from glaze.sheet.memory import Memory, file_key
from glaze.sheet.rect import Rect, squares, whole

SETTLED = 0.5
"""Share of the work that is settling, for the bar. Measured: 0.4 to 0.6."""


@dataclass(frozen=True)
class PaintedFile:
    """A picture that was written as it was painted.

    Attributes
    ----------
    shape : rows and columns
    gone_on_with : tiles that an earlier run had painted
    """

    shape: tuple[int, int]
    dpi: float
    light: str
    mapped_share: float
    gone_on_with: int = 0


def paint_large(
    scene: Scene,
    path: Path,
    metadata: Callable[[PaintedFile], Metadata] = lambda written: "",
    *,
    bits: int = 16,
    scale: float = 1.0,
    neon: bool = False,
    part: Callable[[Painting], Rect | None] = lambda painting: None,
    progress: Callable[[float], None] = lambda share: None,
    least_bytes: int = LEAST_BYTES,
) -> tuple[Painting, PaintedFile]:
    """Paint a scene into a tiled BigTIFF, with its fields on disk.

    Parameters
    ----------
    metadata : what the file says of how it was made
    bits : 8 or 16 a channel
    scale : of the sketch's resolution; above 1 the sketch is read between its pixels, below 1 the
        sheet is settled on the picture's own pixels
    part : the part of the sheet to paint, all of it for None
    progress : called with the share done, 0 to 1; whatever it raises stops the work
    least_bytes : smaller fields stay in memory

    Raises
    ------
    InputError : naming what can't be painted, or that the disk has no room for it
    """
    made_of = repr((_made_of(scene), bits, scale, neon))
    with kept_beside(path, made_of) as folder, fields_on_disk(folder, least_bytes) as disk:
        memory = Memory(shelf=disk)
        reading = lambda share: progress(SETTLED * share)  # noqa: E731
        settled = scale if scale >= 1.0 else scale / FINER
        painting = resolve(scene, reading, memory=memory, scale=settled, on_disk=folder)
        memory.only_for(layer.key for layer in painting.layers)
        painting = painting.glowing() if neon else painting
        rect = part(painting) or whole(painting.shape)
        tiles = KeptTiles(folder / f"{'-'.join(map(str, rect))}.tiles")
        with closing(tiles):
            before = tiles.count
            _paint(painting, rect, bits, tiles, progress)
            share = tiles.mapped / (rect.shape[0] * rect.shape[1])
            light = painting.table.light.name
            written = PaintedFile(rect.shape, painting.dpi, light, share, before)
            write_tiles(tiles, path, rect.shape, bits, painting.dpi, metadata(written))
    return painting, written


def _paint(
    painting: Painting,
    rect: Rect,
    bits: int,
    tiles: KeptTiles,
    progress: Callable[[float], None],
) -> None:
    """Paint the tiles that aren't there yet."""
    places = [
        Rect(top + rect.top, left + rect.left, bottom + rect.top, right + rect.left)
        for top, left, bottom, right in squares(whole(rect.shape), SIDE)
    ]

    def painted(place: Rect) -> tuple[bytes, int]:
        numbers, mapped = tile_numbers(painting, place, bits)
        return packed(numbers), mapped

    with closing(in_turn(painted, places[tiles.count :])) as more:
        for tile, mapped in more:
            tiles.add(tile, mapped)
            progress(SETTLED + (1 - SETTLED) * tiles.count / len(places))


def _made_of(scene: Scene) -> list[Any]:
    """All that a scene's picture is made from: its text, its files, and the program."""
    files = sorted({name for name in _texts(scene.model_dump()) if is_there(scene.folder / name)})
    keys = [file_key(scene.folder / name) for name in files]
    return [scene_text(scene), keys, source_hash(("",), BUILT_WITH)]


def _texts(value: Any) -> Iterator[str]:
    """All texts within values."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        yield from _texts(list(value.values()))
    elif isinstance(value, list | tuple):
        for one in value:
            yield from _texts(one)
