"""A rough beside what its steps come to: wanted, predicted, where they differ and why,
and where the bottles' doubt matters."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from glaze.charts.paper.marks import THIN_SPACE
from glaze.charts.paper.page import FINE_PT, Colour, Page
from glaze.charts.sheets.beside import ROW_MM, pictures, row
from glaze.charts.sheets.parts import start_report
from glaze.physics.colour import D65_XYZ, map_into_gamut, rgb_from_xyz, xyz_from_lab
from glaze.picture.file import encode
from glaze.planning.rough.doubt import Unsure
from glaze.planning.rough.propose import Proposal
from glaze.planning.rough.told import Shortfall, summary

Array = NDArray[np.float64]

WHITE_AT, BLACK_AT = 2.0, 14.0
"""Differences shown white, and black [CIEDE2000]."""
WHITE_STEPS, BLACK_STEPS = 0.25, 3.5
"""Half widths of bands shown white, and black [value steps]."""


def rough_sheets(
    found: Proposal, places: Sequence[Shortfall], doubt: Unsure, size: str = "A4"
) -> list[Page]:
    """The page."""
    page = _start(found, size)
    shown = [
        ("wanted", _as_shown(found.laid.lab, found.laid.open)),
        ("predicted", _as_shown(found.predicted, found.laid.open)),
        ("where they differ", _in_greys(found.off, WHITE_AT, BLACK_AT)),
        ("where strips are missing", _in_greys(_halves(found, doubt), WHITE_STEPS, BLACK_STEPS)),
    ]
    pictures(page, shown, [place.at for place in places])
    told = (
        f"Where they differ: white to {WHITE_AT:g}, black from {BLACK_AT:g} (CIEDE2000). Where "
        f"strips are missing: how far the value is open, white to {WHITE_STEPS:g}, black from "
        f"{BLACK_STEPS:g} steps either way."
    )
    wide = page.right - page.left
    page.top = page.paragraph(page.left, page.top - 4.0, wide, told, FINE_PT) + 2.0
    lighter = [f"Lighter than the wash about it: {one.text}" for one in found.bare[:3]]
    for line in [*summary(found), doubt.text, *lighter]:
        page.top = page.paragraph(page.left, page.top, page.right - page.left, line, 8.5) + 1.0
    page.top += 3.0
    pages = [page]
    for number, place in enumerate(places, start=1):
        if pages[-1].top + ROW_MM > pages[-1].bottom:
            pages.append(_start(found, size))
        _place(pages[-1], number, place)
    return pages


def _start(found: Proposal, size: str) -> Page:
    title, told = "As wanted, as predicted", found.scene.title
    return start_report(found.painting.table, title, told, bool(found.bare), size=size)


def _place(page: Page, number: int, place: Shortfall) -> None:
    halves = [("wanted", _chip(place.wanted)), ("predicted", _chip(place.predicted))]
    name = f"{place.name}, {place.mm2 / 100:.1f}{THIN_SPACE}cm², off {place.de00:.1f}"
    wide = page.right - page.left
    row(page, (page.left, page.top), wide, number, name, place.why, halves)
    page.top += ROW_MM


def _as_shown(lab: Array, line: NDArray[np.float32]) -> NDArray[np.uint8]:
    """Colours under the sketch's line as a screen shows them, (rows, columns, 3)."""
    rgb = rgb_from_xyz(xyz_from_lab(lab, D65_XYZ)) * line[..., None]
    return np.asarray(encode(map_into_gamut(rgb)[0]))


def _halves(found: Proposal, doubt: Unsure) -> Array:
    """Half width of the band at every sample [value steps], NaN off what is painted."""
    halves = np.full(found.off.size, np.nan)
    for piece, half in zip(found.easel.wanted.pieces, doubt.half_of, strict=True):
        halves[piece.at] = half
    return halves.reshape(found.off.shape)


def _in_greys(field: Array, white_at: float, black_at: float) -> NDArray[np.uint8]:
    """A field from white to black, what isn't known in white; uint8, (rows, columns, 3)."""
    share = np.clip((np.nan_to_num(field) - white_at) / (black_at - white_at), 0, 1)
    grey = np.rint(255 - 215 * share).astype(np.uint8)
    return np.repeat(grey[..., None], 3, axis=-1)


def _chip(lab: Array) -> Colour:
    r, g, b = encode(map_into_gamut(rgb_from_xyz(xyz_from_lab(lab, D65_XYZ)))[0][None, None])[0, 0]
    return int(r), int(g), int(b)
