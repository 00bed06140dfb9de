"""The whole of glaze on one page: a painting's steps laid on a sheet, and the sheet made a picture.

    scene.toml -> Scene -> Painting -> [ tile of the Sheet: wash | lift | ... -> light ] -> picture

`glaze.painting` settles what looks sideways; here every pixel goes its own way, tile by tile, so
that memory is bounded by the tile, tiles run on all cores, and any rectangle can be had alone:
`render(painting, rect)` equals that rectangle of `render(painting)`, bit for bit.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError, unknown
from glaze.painting.develop import Linear, developed, encoded, lined
from glaze.painting.lay import sheet_at
from glaze.painting.settle import Painting, resolve
from glaze.painting.tile import TILE, in_turn, tile_numbers, tile_rgb
from glaze.physics.flow import MM_PER_INCH
from glaze.physics.seeing import (
    COLOUR_VISIONS,
    as_seen_by,
    evened_reach,
    few_values,
    values_only,
)
from glaze.picture.file import Picture, picture_from_linear
from glaze.picture.resized import reduce
from glaze.scene.file import load_scene
from glaze.scene.records import Scene
from glaze.sheet.rect import Rect, squares, whole
from glaze.sheet.state import Sheet

Progress = Callable[[float], None]

STIRRED_TILES = 4
"""Stirred, so many times as long: each tile also needs what the washes bring into it."""

GRAIN_MM = 0.4
"""Tooth and brush marks finer than that don't count in a plan of few values."""

FEW_VALUES = {"three-values": 3, "five-values": 5}
_SEEN_AS: dict[str, Callable[..., NDArray[Any]]] = {
    "value": values_only,
    **{view: partial(few_values, steps=steps) for view, steps in FEW_VALUES.items()},
    **{name: partial(as_seen_by, vision=name) for name in COLOUR_VISIONS},
}
VIEWS = ("picture", "before-after", "unlifted", "stacked-stirred", *_SEEN_AS)


def paint(
    scene: Scene | str | Path, *, view: str = "picture", bits: int = 8, scale: float = 1.0
) -> Picture:
    """The predicted picture of a scene, or of the scene file or folder of that name.

    Read, settled and rendered in one call; see `render` for views, bits and scale.
    """
    scene = scene if isinstance(scene, Scene) else load_scene(scene)
    return render(resolve(scene, scale=scale), view=view, bits=bits, scale=scale)


def render(
    painting: Painting,
    rect: Rect | None = None,
    *,
    view: str = "picture",
    bits: int = 8,
    scale: float = 1.0,
    progress: Progress = lambda share: None,
) -> Picture:
    """The predicted picture.

    Parameters
    ----------
    rect : the part of the sheet to show, all of it by default
    view : one of VIEWS: the picture; the sketch beside it; the picture before any bleach; nothing
        stirred beside all stirred that is loose; values as greys, or as three or five of them;
        as seen with a weak red, green or blue cone (protan, deutan, tritan)
    bits : 8 or 16 a channel
    scale : smaller picture, averaged in linear light; of the sketch's resolution
    progress : called with the share done, 0 to 1; whatever it raises stops the work
    """
    if view not in VIEWS:
        raise InputError(unknown("view", view, VIEWS))
    if bits not in (8, 16):
        raise InputError(f"A picture of {bits} bits a channel; give 8 or 16.")
    rect = _on_sheet(rect, painting)
    scale /= painting.scale
    parts = list(_parts(painting, view))
    if view == "picture" and scale == 1.0:
        return _picture(painting, rect, bits, progress)
    even_px = GRAIN_MM * painting.dpi * scale / MM_PER_INCH if view in FEW_VALUES else 0.0
    # what is evened out looks sideways; a smaller picture has no whole pixels beyond its edge
    wide = rect.grown(evened_reach(even_px), painting.shape) if scale == 1.0 else rect
    pictures = []
    for number, (part, stirred) in enumerate(parts):
        step = lambda share, n=number: progress((n + share) / len(parts))  # noqa: E731
        seen: NDArray[Any] = linear_rgb(part, wide, stirred=stirred, progress=step)
        seen = reduce(seen, scale)
        if view in FEW_VALUES:
            seen = _in_few_values(seen, view, even_px)
        elif view in _SEEN_AS:
            seen = _SEEN_AS[view](seen)
        if wide != rect:
            seen = seen[rect.inside(wide).slices]
        # as numbers at once: of two sheets of floats only one is held
        light = painting.table.light.name
        pictures.append(picture_from_linear(seen, painting.dpi * scale, light, bits))
    return pictures[0] if len(pictures) == 1 else contact_sheet(pictures)


def _in_few_values(linear: NDArray[Any], view: str, even_px: float) -> NDArray[Any]:
    """A plan of few values, tile by tile with what lies about each.

    Linear sRGB [-], shape (rows, columns, 3), same shape back.
    """
    out, reach = np.empty_like(linear), evened_reach(even_px)

    def fill(tile: Rect) -> None:
        wide = tile.grown(reach, linear.shape[:2])
        greys = _SEEN_AS[view](linear[wide.slices], even_px=even_px)
        out[tile.slices] = greys[tile.inside(wide).slices]

    _over_tiles(fill, whole(linear.shape), lambda share: None)
    return out


def linear_rgb(
    painting: Painting,
    rect: Rect | None = None,
    *,
    stirred: bool = False,
    progress: Progress = lambda share: None,
) -> Linear:
    """Linear sRGB of the painted sheet under its line, not mapped into the gamut.

    [-], 1 for white.

    Returns
    -------
    shape (rows, columns, 3), float32
    """
    rect = _on_sheet(rect, painting)
    out = np.empty((*rect.shape, 3), np.float32)

    def fill(tile: Rect) -> None:
        place = tile.inside(rect).slices
        out[place] = tile_rgb(painting, tile, stirred=stirred)
        if painting.line is not None:
            out[place] = lined(painting, out[place], painting.line[tile.slices])

    _over_tiles(fill, rect, progress, TILE * STIRRED_TILES if stirred else TILE)
    return out


def _on_sheet(rect: Rect | None, painting: Painting) -> Rect:
    """A rectangle that lies on the sheet and holds something; all of the sheet for None."""
    sheet = whole(painting.shape)
    rect = sheet if rect is None else rect
    if rect.empty or rect.union(sheet) != sheet:
        raise InputError(
            f"{rect} of a sheet of {sheet.bottom} rows and {sheet.right} columns; give one that "
            "lies on it, with its bottom below its top and its right beyond its left."
        )
    return rect


def after_each(painting: Painting, rect: Rect) -> Iterator[Linear]:
    """Linear sRGB of a part of the bare sheet, then after each step, under its line.

    [-], 1 for white, shape (rows, columns, 3). Each step is laid once, on what lies there.
    """
    sheet = sheet_at(painting.until(0), rect)
    for layer in (None, *painting.steps):
        if layer is not None:
            layer.lay(painting.table, sheet, rect)
        rgb = developed(painting, sheet)
        yield rgb if painting.line is None else lined(painting, rgb, painting.line[rect.slices])


def picture_on(painting: Painting, sheet: Sheet) -> NDArray[np.uint8]:
    """The 8-bit picture once all steps of a painting are laid on what lies there already.

    sheet : of the painting's shape; it is changed

    sRGB signals, uint8, shape (rows, columns, 3).
    """
    rgb = developed(painting, sheet_at(painting, whole(painting.shape), on=sheet))
    return encoded(painting, rgb, painting.line)[0]


def _picture(painting: Painting, rect: Rect, bits: int, progress: Progress) -> Picture:
    """The plain picture, encoded tile by tile so that no sheet of floats is ever held."""
    out = np.empty((*rect.shape, 3), np.uint8 if bits == 8 else np.uint16)
    moved: list[int] = []

    def fill(tile: Rect) -> None:
        numbers, mapped = tile_numbers(painting, tile, bits)
        out[tile.inside(rect).slices] = numbers
        moved.append(mapped)

    _over_tiles(fill, rect, progress)
    share = sum(moved) / max(1, rect.shape[0] * rect.shape[1])
    return Picture(out, painting.dpi, painting.table.light.name, share, painting.notes)


def _over_tiles(
    work: Callable[[Rect], None], rect: Rect, progress: Progress, side: int | None = None
) -> None:
    """Run `work` on every tile of a rectangle, on all cores."""
    tiles = list(squares(rect, side or TILE))
    if len(tiles) == 1:
        work(tiles[0])
        progress(1.0)
        return
    with closing(in_turn(work, tiles)) as done:
        for number, _ in enumerate(done):
            progress((number + 1) / len(tiles))


def _parts(painting: Painting, view: str) -> Iterator[tuple[Painting, bool]]:
    """The paintings a view shows side by side, and whether each is stirred."""
    if view == "before-after":
        yield painting.until(0), False
    if view == "unlifted":
        yield painting.unlifted(), False
    else:
        yield painting, False
    if view == "stacked-stirred":
        yield painting, True


def contact_sheet(pictures: list[Picture]) -> Picture:
    """Pictures of one size in rows, as many across as down; white where none is left."""
    across = math.ceil(math.sqrt(len(pictures)))
    rows, columns = pictures[0].rgb.shape[:2]
    gap, down = max(2, columns // 50), math.ceil(len(pictures) / across)
    size = down * (rows + gap) - gap, across * (columns + gap) - gap, 3
    sheet = np.full(size, np.iinfo(pictures[0].rgb.dtype).max, pictures[0].rgb.dtype)
    for n, picture in enumerate(pictures):
        top, left = n // across * (rows + gap), n % across * (columns + gap)
        sheet[top : top + rows, left : left + columns] = picture.rgb
    mapped = sum(picture.mapped_share for picture in pictures) / len(pictures)
    return replace(pictures[0], rgb=sheet, mapped_share=mapped)
