"""The gamut drawn: the plane of hue and chroma as a disc, and slices of value and chroma."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from glaze.charts.paper.marks import HAIRLINE_PT, INK, WHITE, Line, Point, box
from glaze.charts.paper.page import FINE_PT, LABEL_PT, Page
from glaze.charts.paper.plot import Frame, grid
from glaze.charts.sheets.parts import Layout, start_sheet
from glaze.materials.bleach import CAUTION_LINE
from glaze.materials.colour_words import family_words
from glaze.materials.munsell import FAMILIES
from glaze.planning.bottles.gamut import SECTORS, STEPS, Gamut, GamutReach
from glaze.planning.bottles.gamut_words import Bottle, bottles_told, compared, told_of

PLANE_MM = 90.0
RIM_MM = 16.0
"""Room beside the disc for the names of hues."""
WORDS_MM = 62.0
CHIP_MM = 2.6
PENS = {"mixes": (1.5, False), "shadowed": (0.5, False), "lifted": (0.9, True)}
"""Width [pt] and dots of the boundaries, so that they part in black and white."""
OTHER_PEN = (0.9, True)


@dataclass(frozen=True)
class Scale:
    """Axes of a space: largest chroma, its rings, and words for its ten sectors."""

    title: str
    most: float
    ring: float
    sectors: tuple[str, ...]
    lightness: str


def gamut_sheets(
    gamuts: Sequence[Gamut],
    layout: Layout,
    others: Sequence[Gamut] = (),
    lift: bool = True,
    bottles: Sequence[Bottle] = (),
) -> list[Page]:
    """A page for each space, always upright; the first carries the words.

    gamuts : of one palette in each space. others : of a second palette, to lay over.
    bottles : that would add something, to be told of
    """
    layout = replace(layout, turned=False)
    pages = []
    for number, gamut in enumerate(gamuts):
        other = others[number] if others else None
        told = _table(gamut, scale_of(gamut))
        if gamut.space == "munsell" and other is not None:
            told = [*compared(gamut, other), *told_of(gamut)[:2]]
        elif gamut.space == "munsell":
            told = [*told_of(gamut, lift), *(bottles_told(bottles, lift) if bottles else [])]
        pages.append(_sheet(gamut, other, layout, lift and not others, told, number == 0))
    return pages


def _sheet(
    gamut: Gamut,
    other: Gamut | None,
    layout: Layout,
    lift: bool,
    words: Sequence[str],
    first: bool,
) -> Page:
    """One space: the disc, the words beside it, the slices beneath."""
    scale = scale_of(gamut, other)
    inks = ", ".join((*gamut.inks, gamut.black))
    told = f"What {inks} reach on {gamut.table.paper.name} paper, in {scale.title}"
    page = start_sheet(gamut.table, layout, "Gamut", told, bleach=lift and first)
    if lift and not first:
        page.caution(CAUTION_LINE)
    radius = PLANE_MM / 2
    centre = (page.left + radius + RIM_MM, page.top + radius + 9.0)
    chips = [
        at for one in (gamut, other) if one for at in _corners(one.mixes, centre, radius, scale)
    ]
    _disc(page, centre, radius, scale, chips)
    _boundaries(page, gamut, other, centre, radius, scale, lift)
    x = page.right - WORDS_MM
    y = _legend(page, gamut, other, x, page.top + 3.0, lift)
    for line in words:
        y = page.paragraph(x, y + 1.6, WORDS_MM, line, 8)
    _slices(page, gamut, other, scale, centre[1] + radius + 14.0, lift)
    return page


def scale_of(gamut: Gamut, other: Gamut | None = None) -> Scale:
    """Axes that hold both palettes."""
    far = max(float(g.mixes.plane.max()) for g in (gamut, other) if g is not None)
    if gamut.space == "munsell":
        words = tuple(f"5{f} {family_words()[f]}" for f in FAMILIES)
        return Scale("Munsell hue, value, chroma", 4 * math.ceil(far / 4 + 0.01), 4, words, "value")
    degrees = tuple(f"{18 + 36 * k}°" for k in range(10))
    return Scale("CIELAB hue, L*, C*", 20 * math.ceil(far / 20 + 0.01), 20, degrees, "L*/10")


def _table(gamut: Gamut, scale: Scale) -> list[str]:
    """Largest chroma by sector, for the page without words."""
    per = SECTORS // 10
    reach = [gamut.mixes.plane[k * per + per // 2] for k in range(10)]
    parts = [f"{word}: {chroma:.0f}" for word, chroma in zip(scale.sectors, reach, strict=True)]
    return [
        f"Largest chroma of mixes at each hue angle: {', '.join(parts)}.",
        "Hue angles run anticlockwise from red, as CIELAB has them.",
    ]


# --- the plane ---


def _at(centre: Point, radius: float, turn: float) -> Point:
    """Hue runs anticlockwise from the right, turn 0 to 1."""
    angle = 2 * math.pi * turn
    return centre[0] + radius * math.cos(angle), centre[1] - radius * math.sin(angle)


def _disc(page: Page, centre: Point, radius: float, scale: Scale, chips: Sequence[Point]) -> None:
    """Rings of chroma and spokes of the ten sectors, with their names at the rim.

    chips : what the figures of the rings keep clear of; they stand to the right if they do there
    """
    rings = np.arange(scale.ring, scale.most + 0.01, scale.ring)
    turns = [k / 10 for k in range(10)]
    figures = {t: [_at(centre, radius * c / scale.most, t) for c in rings] for t in turns}
    clear = next((t for t in turns if not _on_chips(figures[t], chips)), 0.0)
    for chroma, (x, y) in zip(rings, figures[clear], strict=True):
        page.line([_at(centre, radius * chroma / scale.most, t) for t in np.linspace(0, 1, 121)])
        page.rect(x - 2.2, y - 1.6, 4.4, 3.0, WHITE)
        page.text(x, y + 0.9, f"{chroma:g}", FINE_PT, align="centre")
    for k, word in enumerate(scale.sectors):
        turn = (k + 0.5) / 10
        page.line([centre, _at(centre, radius, turn)])
        x, y = _at(centre, radius + 2.0, turn)
        away = math.cos(2 * math.pi * turn)
        align = "centre" if abs(away) < 0.4 else "left" if away > 0 else "right"
        parts = word.split(" ", 1)
        drop = 2.4 if math.sin(2 * math.pi * turn) < 0 else -1.0
        for row, part in enumerate(parts if abs(away) >= 0.4 else [word]):
            page.text(x, y + drop + 3.0 * row, part, FINE_PT, align=align)


def _on_chips(figures: Sequence[Point], chips: Sequence[Point]) -> bool:
    """Whether a chip covers something of a figure, 3.6 mm wide and 2 mm high."""
    wide, high = (0.5 * (CHIP_MM + side) for side in (3.6, 2.0))
    return any(abs(x - a) < wide and abs(y - b) < high for x, y in figures for a, b in chips)


def _boundaries(
    page: Page,
    gamut: Gamut,
    other: Gamut | None,
    centre: Point,
    radius: float,
    scale: Scale,
    lift: bool,
) -> None:
    """Boundaries on the disc, and a chip of colour at each corner of the mixes' own."""
    drawn = [("plane-mixes", gamut.mixes, PENS["mixes"])]
    if other is not None:
        drawn.append(("plane-other", other.mixes, OTHER_PEN))
    if lift:
        drawn.append(("plane-lifted", gamut.lifted, PENS["lifted"]))
    for name, reach, (wide, dots) in drawn:
        corners = _corners(reach, centre, radius, scale)
        page.polygon(corners, None, Line((), wide, INK, dots), name)
    corners = _corners(gamut.mixes, centre, radius, scale)
    for number, ((x, y), colour) in enumerate(zip(corners, gamut.mixes.colours, strict=True)):
        half = CHIP_MM / 2
        frame = Line((), HAIRLINE_PT, WHITE)
        page.polygon(box(x - half, y - half, 2 * half, 2 * half), colour, frame, f"chip-{number}")


def _corners(reach: GamutReach, centre: Point, radius: float, scale: Scale) -> list[Point]:
    shares = reach.plane / scale.most
    return [_at(centre, radius * float(share), k / SECTORS) for k, share in enumerate(shares)]


def _legend(page: Page, gamut: Gamut, other: Gamut | None, x: float, y: float, lift: bool) -> float:
    """Pens and their meaning."""
    lines = [(PENS["mixes"], f"{gamut.table.palette.name}: mixes, one to two coats")]
    if other is not None:
        lines.append((OTHER_PEN, f"{other.table.palette.name}: the same"))
    else:
        lines.append((PENS["shadowed"], f"with shadow washes of {gamut.black} (slices)"))
    if lift:
        lines.append((PENS["lifted"], f"left by bleach, {gamut.bleach_words}"))
    for (wide, dots), told in lines:
        page.line([(x, y), (x + 8, y)], wide, INK, dotted=dots)
        page.text(x + 10, y + 1.0, told, FINE_PT)
        y += 4.4
    return y


# --- slices ---


def _slices(
    page: Page, gamut: Gamut, other: Gamut | None, scale: Scale, y: float, lift: bool
) -> None:
    """Five slices, each of a family of hue at the right and its opposite at the left."""
    gap, room = 5.0, page.right - page.left
    wide = (room - 6.0 - 4 * gap) / 5
    tall = min(95.0, page.bottom - y - 9.0)
    for k in range(5):
        x = page.left + 6.0 + k * (wide + gap)
        frame = Frame(x, y + 4.0, wide, tall - 4.0, (-scale.most, scale.most), (0, 10))
        half = scale.most / 2
        levels = [0, 2, 4, 6, 8, 10]
        words = [f"{v}" for v in levels] if k == 0 else [""] * 6
        grid(page, frame, [-half, 0, half], levels, [f"{half:g}", "0", f"{half:g}"], words)
        page.line([frame.at(0, 0), frame.at(0, 10)])
        left, right = scale.sectors[k + 5].split(" ")[0], scale.sectors[k].split(" ")[0]
        page.text(x, y + 2.0, left, LABEL_PT, face="Bold")
        page.text(x + wide, y + 2.0, right, LABEL_PT, face="Bold", align="right")
        _slice(page, frame, gamut, other, k, lift)
    page.text(page.left, y - 2.0, f"{scale.lightness} against chroma", FINE_PT)


def _slice(page: Page, frame: Frame, gamut: Gamut, other: Gamut | None, k: int, lift: bool) -> None:
    """Boundaries of one slice, and chips along the whole one."""
    drawn = [("mixes", gamut.mixes, PENS["mixes"])]
    if other is None:
        drawn.append(("shadowed", gamut.shadowed, PENS["shadowed"]))
    else:
        drawn.append(("other", other.mixes, OTHER_PEN))
    if lift:
        drawn.append(("lifted", gamut.lifted, PENS["lifted"]))
    for name, reach, (wide, dots) in drawn:
        for family, way in ((k, 1), (k + 5, -1)):
            side = _side(reach.slices[family], way)
            if len(side) > 2:
                places = [frame.at(c, v) for c, v in side]
                page.line(places, wide, INK, dotted=dots, name=f"slice-{name}-{family}")
    whole = gamut.shadowed if other is None else gamut.mixes
    for family, way in ((k, 1), (k + 5, -1)):
        for level in np.flatnonzero(whole.slices[family]).tolist():
            x, y = frame.at(way * whole.slices[family, level], _middle(level))
            r, g, b = (int(v) for v in whole.chips[family, level])
            page.rect(x - 1.1, y - 1.1, 2.2, 2.2, (r, g, b), Line((), HAIRLINE_PT, WHITE))


def _side(chromas: np.ndarray, way: int) -> list[tuple[float, float]]:
    """Boundary of one half of a slice, from its darkest to its lightest colour."""
    levels = np.flatnonzero(chromas)
    if not levels.size:
        return []
    edge = [(way * float(chromas[k]), _middle(k)) for k in levels.tolist()]
    first, last = 10 * levels[0] / STEPS, 10 * (levels[-1] + 1) / STEPS
    return [(0.0, float(first)), *edge, (0.0, float(last))]


def _middle(level: int) -> float:
    return 10 * (level + 0.5) / STEPS
