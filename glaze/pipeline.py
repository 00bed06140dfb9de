"""The whole of glaze on one page: a painting's steps laid on a sheet, and the sheet made a picture.

    scene.toml -> Scene -> Painting -> [ tile of the Sheet: wash | lift | ... -> light ] -> picture

`glaze.painting` settles what looks sideways; here every pixel goes its own way, tile by tile, so
that memory is bounded by the tile, tiles run on all cores, and any rectangle can be had alone:
`render(painting, rect)` equals that rectangle of `render(painting)`, bit for bit.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError, unknown
from glaze.film import FULL
from glaze.kernel import exposure, glazing
from glaze.lift import rinse, water_lift
from glaze.painting import LaidStep, LiftStep, Painting, WaterStep
from glaze.physics.colour import srgb_encode
from glaze.physics.seeing import COLOUR_VISIONS, as_seen_by, few_values, values_only
from glaze.picture import Picture, picture_from_linear, reduce
from glaze.rect import Rect, squares, whole
from glaze.sheet import FILM_UNIT, Sheet, bare_sheet
from glaze.wash import stir, stir_reach_px

Linear = NDArray[np.float32]
Progress = Callable[[float], None]

TILE = 256
"""Side of a tile [px]: its sheet of 8 colourants is 4.5 MB."""

_PER_FILM, _PER_FULL = np.float32(1 / FILM_UNIT), np.float32(1 / FULL)

_SEEN_AS: dict[str, Callable[[Linear], NDArray[Any]]] = {
    "value": values_only,
    "three-values": partial(few_values, steps=3),
    "five-values": partial(few_values, steps=5),
    **{name: partial(as_seen_by, vision=name) for name in COLOUR_VISIONS},
}
VIEWS = ("picture", "before-after", "unlifted", "stacked-stirred", *_SEEN_AS)


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
    scale : smaller picture, averaged in linear light
    progress : called with the share done, 0 to 1; whatever it raises stops the work
    """
    if view not in VIEWS:
        raise InputError(unknown("view", view, VIEWS))
    rect = rect or whole(painting.shape)
    parts = list(_parts(painting, view))
    if view == "picture" and scale == 1.0:
        return _picture(painting, rect, bits, progress)
    linear = []
    for number, (part, stirred) in enumerate(parts):
        step = lambda share, n=number: progress((n + share) / len(parts))  # noqa: E731
        linear.append(reduce(linear_rgb(part, rect, stirred=stirred, progress=step), scale))
    side_by_side: NDArray[Any] = _beside(linear)
    if view in _SEEN_AS:
        side_by_side = _SEEN_AS[view](side_by_side)
    name = painting.studio.light.name
    return picture_from_linear(side_by_side, painting.dpi * scale, name, bits)


def linear_rgb(
    painting: Painting,
    rect: Rect | None = None,
    *,
    stirred: bool = False,
    progress: Progress = lambda share: None,
) -> Linear:
    """Linear sRGB of the painted sheet under its line, not mapped into the gamut.

    Returns
    -------
    shape (rows, columns, 3), float32
    """
    rect = rect or whole(painting.shape)
    out = np.empty((*rect.shape, 3), np.float32)

    def fill(tile: Rect) -> None:
        place = tile.inside(rect).slices
        out[place] = _tile_rgb(painting, tile, stirred)
        if painting.line is not None:
            out[place] *= painting.line[tile.slices][..., None]

    _over_tiles(fill, rect, progress)
    return out


def sheet_at(
    painting: Painting, rect: Rect, *, stirred: bool = False, on: Sheet | None = None
) -> Sheet:
    """What lies on a part of the sheet after all steps.

    A wash that stirs looks sideways, so the part is worked out with a margin and trimmed.

    Parameters
    ----------
    on : what lies there already, of the part's shape; it is changed. Not where washes stir
    """
    margin = stir_reach_px(painting.studio.paper.mixing_mm, painting.dpi) if stirred else 0
    washes = sum(isinstance(step, LaidStep) for step in painting.steps)
    outer = rect.grown(margin * washes, painting.shape)
    sheet = bare_sheet(*outer.shape, len(painting.studio.dyes)) if on is None else on
    for step in painting.steps:
        if isinstance(step, LaidStep):
            lay_step(painting, sheet, step, outer, stirred)
        elif isinstance(step, LiftStep):
            lift_step(sheet, step, outer)
        else:
            water_step(sheet, step, outer)
    return trimmed(sheet, rect.inside(outer))


def lay_step(
    painting: Painting, sheet: Sheet, step: LaidStep, rect: Rect, stirred: bool = False
) -> None:
    """Lay one wash on a tile, in place."""
    thickness = step.thickness[rect.slices]
    if not thickness.any():
        return
    studio, wash = painting.studio, step.wash
    rim: Linear = np.zeros(0, np.float32)
    if step.rim is not None:
        # the film holds the mean gain already: each dye adds what it travels beyond the mean
        rim = np.multiply(step.rim[rect.slices].ravel(), _PER_FILM, dtype=np.float32)
    count = len(studio.dyes)
    glazing.lay(
        np.ascontiguousarray(thickness).ravel(),
        rim,
        np.float32(wash.strength),
        wash.full_load_g_per_m2.astype(np.float32),
        wash.overlap.astype(np.float32),
        (wash.mobility - wash.mean_mobility).astype(np.float32),
        sheet.load_g_per_m2.reshape(sheet.bleached.size, count),
        sheet.optical_g_per_m2.reshape(sheet.bleached.size, count),
        sheet.coats.reshape(-1),
        glazing.counted(count),
    )
    if stirred:
        loose = np.array([dye.loose_fraction for dye in studio.dyes])
        coverage = np.multiply(step.coverage[rect.slices], _PER_FULL, dtype=np.float32)
        stir(sheet, loose, coverage, studio.paper.mixing_mm, painting.dpi)
    if step.residue is not None:
        film = np.multiply(thickness, _PER_FILM, dtype=np.float32)
        exposure.residue_attack(sheet, film, *step.residue)


def lift_step(sheet: Sheet, step: LiftStep, rect: Rect) -> None:
    """Lay one lift on a tile, in place."""
    dose = step.dose[rect.slices]
    if dose.any():
        exposure.lift(sheet, dose, step.touch, step.chemistry)


def water_step(sheet: Sheet, step: WaterStep, rect: Rect) -> None:
    """Clean water on a tile, in place."""
    mask = step.coverage[rect.slices]
    if step.rinse:
        rinse(sheet, mask, step.chemistry)
    elif mask.any():
        water_lift(sheet, mask, step.minutes, step.chemistry)


def trimmed(sheet: Sheet, rect: Rect) -> Sheet:
    """The part of a sheet inside a rectangle."""
    if rect == whole(sheet.shape):
        return sheet
    return Sheet(**{name: field[rect.slices] for name, field in vars(sheet).items()})


@dataclass(frozen=True, eq=False)
class _Constants:
    """What `glaze.kernel.glazing` needs of a studio, as float32."""

    path_per_k: Linear
    paper: Linear
    bleached_gain: Linear
    weights: Linear
    floor: np.float32
    k: np.float32
    law: tuple[int, ...]


def _constants(painting: Painting) -> _Constants:
    studio = painting.studio
    k = studio.paper.path_spread
    return _Constants(
        path_per_k=(studio.path_m2_per_g / k).astype(np.float32),
        paper=studio.paper_reflectance.astype(np.float32),
        bleached_gain=studio.bleached_gain.astype(np.float32),
        weights=studio.light.display_weights.astype(np.float32),
        floor=np.float32(studio.paper.floor),
        k=np.float32(k),
        law=glazing.law_of(k),
    )


def _tile_rgb(painting: Painting, tile: Rect, stirred: bool) -> Linear:
    """Linear sRGB of one tile, without the sketch's line."""
    glows = painting.studio.glow is not None
    if not stirred and not glows and all(_only_a_film(step) for step in painting.steps):
        return _washes_rgb(painting, tile)
    return _developed(painting, sheet_at(painting, tile, stirred=stirred))


def _developed(painting: Painting, sheet: Sheet) -> Linear:
    """Linear sRGB of what lies on a sheet, without the sketch's line."""
    glows = painting.studio.glow is not None
    c = _constants(painting)
    count = len(painting.studio.dyes)
    rgb = np.empty((*sheet.shape, 3), np.float32)
    glazing.develop(
        np.ascontiguousarray(sheet.optical_g_per_m2).reshape(sheet.bleached.size, count),
        c.path_per_k,
        np.ascontiguousarray(sheet.bleached).reshape(-1),
        np.full(sheet.bleached.size, c.floor),
        *(c.paper, c.bleached_gain, c.weights, c.k),
        *(glazing.counted(count), c.law),
        rgb.reshape(-1, 3),
    )
    if glows:
        _add_glow(painting, sheet, rgb)
    return rgb


def _add_glow(painting: Painting, sheet: Sheet, rgb: Linear) -> None:
    """Add the light that fluorescent dyes give back to a tile, in place."""
    from glaze.kernel.glow import add_glow

    studio = painting.studio
    assert studio.glow is not None
    count = len(studio.dyes)
    add_glow(
        np.ascontiguousarray(sheet.optical_g_per_m2).reshape(sheet.bleached.size, count),
        np.ascontiguousarray(sheet.load_g_per_m2).reshape(sheet.bleached.size, count),
        studio.glow.mol_per_g,
        studio.path_m2_per_g,
        studio.glow.quantum_yield,
        np.ascontiguousarray(sheet.bleached).reshape(-1),
        studio.paper_reflectance,
        studio.bleached_gain,
        studio.paper.floor,
        studio.paper.path_spread,
        studio.glow.photon_weights,
        studio.glow.emission_xyz @ studio.light.display_matrix,
        rgb.reshape(-1, 3),
    )


def _only_a_film(step: object) -> bool:
    """Whether a step needs nothing but its film: a wash whose dyes stay together."""
    return isinstance(step, LaidStep) and step.rim is None


def _washes_rgb(painting: Painting, tile: Rect) -> Linear:
    """A tile with nothing but washes on it, in one pass and with nothing kept.

    Washes that don't touch the tile are left out; the rest is filled up to a compiled count.
    """
    steps = [
        s for s in painting.steps if isinstance(s, LaidStep) and s.thickness[tile.slices].any()
    ]
    c, n = _constants(painting), len(steps)
    count = glazing.padded_count(n)
    masks = np.zeros((count, tile.shape[0] * tile.shape[1]), np.uint16)
    strength = np.zeros(count, np.float32)
    overlap = np.zeros((3, count, count), np.float32)
    path_per_k = np.zeros((count, c.paper.size), np.float32)
    for i, step in enumerate(steps):
        masks[i] = step.thickness[tile.slices].ravel()
        strength[i] = step.wash.strength / FILM_UNIT
        path_per_k[i] = unit_load(step) @ c.path_per_k
        overlap[:, i, :n] = step.wash.overlap @ np.array([unit_load(s) for s in steps]).T
    rgb = np.empty((*tile.shape, 3), np.float32)
    glazing.glaze_washes(
        *(masks, strength, overlap, path_per_k, c.floor, c.paper, c.weights, c.k),
        *(glazing.counted(count), c.law),
        rgb.reshape(-1, 3),
    )
    return rgb


def unit_load(step: LaidStep) -> NDArray[np.float64]:
    """Dye of a wash for each neat coat of its strength [g/m2], shape (colourants,)."""
    wash = step.wash
    return wash.full_load_g_per_m2 / wash.strength if wash.strength > 0 else 0 * wash.share


def picture_on(painting: Painting, sheet: Sheet) -> NDArray[np.uint8]:
    """The 8-bit picture once all steps of a painting are laid on what lies there already.

    sheet : of the painting's shape; it is changed
    """
    rgb = _developed(painting, sheet_at(painting, whole(painting.shape), on=sheet))
    line = np.ones(painting.shape, np.float32) if painting.line is None else painting.line
    encoded = np.empty(rgb.shape, np.uint8)
    glazing.encode8(
        rgb.reshape(-1, 3), np.ascontiguousarray(line).ravel(), _SRGB8, encoded.reshape(-1, 3)
    )
    return encoded


def _picture(painting: Painting, rect: Rect, bits: int, progress: Progress) -> Picture:
    """The plain picture, encoded tile by tile so that no sheet of floats is ever held."""
    out = np.empty((*rect.shape, 3), np.uint8 if bits == 8 else np.uint16)
    moved: list[int] = []

    def fill(tile: Rect) -> None:
        rgb = _tile_rgb(painting, tile, stirred=False)
        line = (
            painting.line[tile.slices]
            if painting.line is not None
            else np.ones(tile.shape, np.float32)
        )
        encoded = np.empty(rgb.shape, out.dtype)
        flat = rgb.reshape(-1, 3), np.ascontiguousarray(line).ravel()
        if bits == 8:
            moved.append(glazing.encode8(*flat, _SRGB8, encoded.reshape(-1, 3)))
        else:
            moved.append(glazing.encode16(*flat, encoded.reshape(-1, 3)))
        out[tile.inside(rect).slices] = encoded

    _over_tiles(fill, rect, progress)
    share = sum(moved) / max(1, rect.shape[0] * rect.shape[1])
    return Picture(out, painting.dpi, painting.studio.light.name, share, painting.notes)


_SRGB8 = np.rint(srgb_encode(np.arange(65536) / 65535) * 255).astype(np.uint8)


def _over_tiles(work: Callable[[Rect], None], rect: Rect, progress: Progress) -> None:
    """Run `work` on every tile of a rectangle in a pool of threads; numba lets go of the GIL."""
    tiles = list(squares(rect, TILE))
    if len(tiles) == 1:
        work(tiles[0])
        progress(1.0)
        return
    with ThreadPoolExecutor(os.cpu_count() or 1) as pool:
        try:
            for number, _ in enumerate(pool.map(work, tiles)):
                progress((number + 1) / len(tiles))
        except BaseException:
            pool.shutdown(cancel_futures=True)
            raise


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


def _beside(pictures: list[Linear]) -> Linear:
    """Pictures side by side, a white gutter of a fiftieth of the width between them."""
    rows, columns = pictures[0].shape[:2]
    gutter = np.ones((rows, max(2, columns // 50), 3), np.float32)
    row = [pictures[0]]
    for picture in pictures[1:]:
        row += [gutter, picture]
    return np.concatenate(row, axis=1) if len(row) > 1 else row[0]
