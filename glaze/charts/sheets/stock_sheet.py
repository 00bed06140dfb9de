"""Rows of swatches: the inks of a palette and the papers, as text and as a picture."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from itertools import zip_longest
from pathlib import Path
from typing import Any

import numpy as np

from glaze.materials.ink import Ink, Palette
from glaze.materials.paper import load_paper, paper_names
from glaze.patch.band import Band
from glaze.patch.layers import Laid
from glaze.patch.patches import bare_patches, glaze, linear_rgb, value
from glaze.patch.seen import rgb8_of
from glaze.patch.table import Table, table_of
from glaze.patch.trust import trusted
from glaze.picture.file import Picture, check_path, write_picture


@dataclass(frozen=True)
class SwatchRow:
    """One line of a list.

    group : the list it belongs to (a palette)
    rgb8 : colours of its swatches, 8-bit sRGB
    bands : of its values, where they are known
    """

    group: str
    name: str
    key: str
    text: str
    values: tuple[float, ...]
    rgb8: tuple[tuple[int, int, int], ...]
    bands: tuple[Band, ...] = ()

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return asdict(self) | {"bands": [band.as_dict() for band in self.bands]}


def ink_rows(palette: Palette, paper: str) -> list[SwatchRow]:
    """Each ink of a palette neat, and at 1 part + 4 parts water, by volume."""
    table = table_of(palette, paper)
    rows = []
    for ink in palette.inks.values():
        mixes = [table.mix(f"{ink.name} 1 ml"), table.mix(f"{ink.name} 1 ml + water 4 ml")]
        patches = glaze(table, bare_patches(table, 2), mixes)
        bands = tuple(trusted(table, [Laid(mix)]).band for mix in mixes)
        rows.append(_row(table, patches, palette.name, ink.name, ink.key, _words(ink), bands))
    return rows


def _words(ink: Ink) -> str:
    dyes = ", ".join(f"{name} {g_per_l:g} g/L" for name, g_per_l in ink.contents_g_per_l.items())
    bleach = {"lifts": "lifts", "partly": "lifts in part", "resists": "resists bleach"}
    parts = [dyes, bleach.get(ink.bleach_class, "bleach unknown")]
    if ink.separation in ("slight", "strong"):
        parts.append(f"{ink.separation} separation")
    return "; ".join([*parts, ink.how])


def paper_rows() -> list[SwatchRow]:
    """Each paper bare and bleached."""
    rows = []
    for name in paper_names():
        paper = load_paper(name)
        table = table_of("lifting", paper)
        patches = bare_patches(table, 2)
        patches.bleached[0, 1] = 1
        text = f"{paper.surface}, {paper.weight_gsm:g} gsm; drying line {paper.rim_mm:g} mm"
        bare = trusted(table, []).band
        rows.append(_row(table, patches, "papers", name, name[0].upper(), text, (bare,)))
    return rows


def _row(
    table: Table,
    patches: Any,
    group: str,
    name: str,
    key: str,
    text: str,
    bands: tuple[Band, ...],
) -> SwatchRow:
    values = value(table, patches)[0]
    rgb8 = rgb8_of(linear_rgb(table, patches))[0]
    ends = [f" ({band.low:.1f} to {band.high:.1f})" for band in bands]
    told = [f"{v:.1f}{end}" for v, end in zip_longest(values, ends, fillvalue="")]
    text = f"{text}; value {' and '.join(told)}, {bands[0].standing}"
    colours = tuple((int(r), int(g), int(b)) for r, g, b in rgb8)
    rounded = tuple(round(float(v), 2) for v in values)
    return SwatchRow(group, name, key, text, rounded, colours, bands)


def write_swatch_rows(rows: Sequence[SwatchRow], path: str | Path, title: str) -> None:
    """A picture of the list: swatches at the left, name and text beside them."""
    from PIL import Image, ImageDraw

    from glaze.charts.paper.type import pil_font

    check_path(Path(path))
    dpi, line, left = 150, 62, 40
    image = Image.new("RGB", (1700, line * (len(rows) + 2)), (255, 255, 255))
    draw = ImageDraw.Draw(image)
    ink = (64, 58, 52)
    draw.text((left, 24), title, ink, font=pil_font(18, dpi))
    for number, row in enumerate(rows, start=1):
        top = line * number + 24
        for place, colour in enumerate(row.rgb8):
            x = left + 90 * place
            draw.rectangle((x, top, x + 84, top + 48), fill=colour, outline=(200, 196, 190))
        draw.text((left + 200, top), f"{row.name}  {row.key}", ink, font=pil_font(10, dpi))
        draw.text((left + 200, top + 26), row.text, ink, font=pil_font(7.5, dpi))
    write_picture(Picture(np.asarray(image), dpi), path)
