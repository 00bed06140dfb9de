"""The wheel drawn at true size: rings of segments with their recipes, and its key page."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from glaze.charts.content.wheel import Segment, Wheel
from glaze.charts.paper.marks import HAIR, MM_PER_PT, Point, segment, text_mm, wrapped
from glaze.charts.paper.page import FINE_PT, LABEL_PT, SIZES_MM, Page
from glaze.charts.sheets.parts import Layout, line_high, name_lines, start_sheet, told_on
from glaze.charts.sheets.wheel_key import key_pages
from glaze.errors import InputError
from glaze.materials.dilution import dilution_of
from glaze.patch.layers import standing_of
from glaze.patch.seen import Look

GAP_MM = 1.2
LABEL_GAP_MM = 2.0
LEGEND_MM, LEADING = 24.0, 1.38
DEPTHS = (0.30, 0.22)
"""Depth of the rings, hue and shadow wash, as shares of the wheel's radius."""
CIRCLE_DEPTH = 0.08
"""How far the circle of bleach reaches into either ring, likewise."""
RING_NAMES = ("hue", "shadow")
SMALLEST_MM = 60.0
LEAST_PITCH_MM = 3.4
"""A line of the smallest type, and a hair."""
TURNED_ABOVE = 36
"""With more segments than this on A4, fewer on smaller sheets, recipes stand along the radius."""


@dataclass(frozen=True)
class Ring:
    """Radii of a ring [mm]."""

    name: str
    inner: float
    outer: float


@dataclass(frozen=True)
class Geometry:
    """Where a wheel lies on its page [mm]."""

    centre: Point
    radius: float
    rings: tuple[Ring, ...]


def wheel_sheets(wheel: Wheel, layout: Layout, across_mm: float | None = None) -> list[Page]:
    """The wheel and the page or pages of its key.

    across_mm : diameter of the wheel, as large as the page allows if None
    """
    count = len(wheel.segments)
    by = "equal drops" if wheel.by == "drops" else "equal steps of hue"
    title = f"Colour wheel, {count} segments by {by}"
    then = ": outer ring first; dry; then the shadow wash over the next" if wheel.shadow else ""
    told = {
        "predicted": "Colours as predicted; paint the blank sheet beside it.",
        "blank": f"To paint{then}. Recipes stand outside.",
        "half": "Left half of each segment as predicted, right half to paint.",
    }[layout.mode]
    bleach = bool(wheel.bleach_words)
    page = start_sheet(wheel.table, layout, title, told, bleach=bleach, small=True)
    if layout.mode == "blank":
        name_lines(page)
    place = draw_wheel(page, wheel, layout.mode, across_mm)
    _legend(page, wheel, place)
    if layout.mode == "blank":
        return [page]
    painted = [ring for ring in place.rings if "ghost" not in ring.name]
    return [page, *key_pages(wheel, layout, painted[-1].inner, painted[0].outer)]


def draw_wheel(
    page: Page,
    wheel: Wheel,
    mode: str,
    across_mm: float | None = None,
    figure: Callable[[str], str] = str,
) -> Geometry:
    """The rings of all segments with their recipes outside; gives where they lie.

    figure : how a value is written, as 7.1 or 7,1
    """
    place = geometry(wheel, page, across_mm)
    for part in wheel.segments:
        _draw_segment(page, wheel, place, part, mode, figure)
        _label(page, wheel, place, part)
    return place


def geometry(wheel: Wheel, page: Page, across_mm: float | None = None) -> Geometry:
    """Where the wheel lies; refused if it doesn't fit between the page's margins."""
    beside = _label_room(wheel)
    legend = _legend_mm(page, wheel)
    high = page.bottom - page.top - legend - 2 * (beside if _turned(wheel, page) else 6.0)
    most = min(page.right - page.left - 2 * beside, high)
    # a wheel ends on whole 2 mm, so that a teacher can check it with a ruler
    fits = math.floor(most / 2) * 2.0
    if across_mm is None:
        across_mm = fits
    if not SMALLEST_MM <= across_mm <= most:
        raise InputError(
            f"A wheel {across_mm:g} mm across doesn't fit {page.size} "
            f"{'turned' if page.turned else 'upright'}: with its labels it may be {SMALLEST_MM:g} "
            f"to {fits:g} mm. Give another --across, or a larger --page."
        )
    pitch = math.pi * across_mm / len(wheel.segments)
    if pitch < LEAST_PITCH_MM:
        raise InputError(
            f"{len(wheel.segments)} segments on a wheel of {across_mm:g} mm leave {pitch:.1f} mm "
            "each, too little for their letters: ask for fewer segments, or a larger --page."
        )
    radius = across_mm / 2
    # in the middle of what the title and the legend leave
    middle = (page.top + page.bottom - legend) / 2 + 2.0
    return Geometry(((page.left + page.right) / 2, middle), radius, rings(wheel, radius))


def rings(wheel: Wheel, radius: float) -> tuple[Ring, ...]:
    """The rings a wheel has, from the outside in; then what bleach crosses of each.

    With bleach the rings touch, as the circle of bleach runs over both alike.
    """
    shown = (True, bool(wheel.shadow_words))
    made, outer = [], radius
    for name, depth, there in zip(RING_NAMES, DEPTHS, shown, strict=True):
        if there:
            made.append(Ring(name, outer - depth * radius, outer))
            outer -= depth * radius + (0.0 if wheel.bleach_words else GAP_MM)
    if wheel.bleach_words:
        deep = CIRCLE_DEPTH * radius
        made.append(Ring("ghost", made[0].inner, made[0].inner + deep))
        if len(made) == 3:
            made.append(Ring("shadow-ghost", made[1].outer - deep, made[1].outer))
    return tuple(made)


def _turned(wheel: Wheel, page: Page) -> bool:
    return len(wheel.segments) > TURNED_ABOVE * min(page.width, page.height) / SIZES_MM["A4"][0]


def _points(wheel: Wheel) -> float:
    return 8.0 if len(wheel.segments) <= 24 else FINE_PT


def _label_room(wheel: Wheel) -> float:
    """Widest label and its gap [mm]."""
    size = _points(wheel)
    mixed = [part for part in wheel.segments if len(part.drops) > 1]
    widest = max(text_mm(part.short(wheel.keys), size) for part in mixed)
    return widest + LABEL_GAP_MM + 0.5


def _patch_of(part: Segment, ring: str) -> Look:
    found = {
        "hue": part.hue,
        "shadow": part.shadowed,
        "ghost": part.ghost,
        "shadow-ghost": part.shadow_ghost,
    }[ring]
    assert found is not None
    return found


def _draw_segment(
    page: Page,
    wheel: Wheel,
    place: Geometry,
    part: Segment,
    mode: str,
    figure: Callable[[str], str],
) -> None:
    """All rings of one segment, each with its value where there is room."""
    half = wheel.step_degrees / 2
    start, end = part.middle_degrees - half, part.middle_degrees + half
    standing = standing_of(wheel.table, wheel.primaries)
    for ring in place.rings:
        name = f"{ring.name}-{part.number}"
        if mode != "predicted":
            outline = segment(place.centre, ring.inner, ring.outer, start, end)
            if "ghost" in ring.name:
                # nothing to paint: where the bleach will go
                edge = ring.outer if ring.name == "ghost" else ring.inner
                arc = segment(place.centre, edge, edge, start, end)
                page.line(arc[: len(arc) // 2], 0.7, HAIR, dotted=True, name=f"{name}-blank")
            else:
                page.swatch(outline, None, name=f"{name}-blank")
        if mode == "blank":
            continue
        last = end if mode == "predicted" else part.middle_degrees
        patch = _patch_of(part, ring.name)
        outline = segment(place.centre, ring.inner, ring.outer, start, last)
        page.swatch(outline, patch.rgb8, standing, name=name)
        if "ghost" not in ring.name:
            told = figure(f"{patch.value:.1f}")
            _value(page, place, ring, (start + last) / 2, last - start, patch, told)


def _value(
    page: Page,
    place: Geometry,
    ring: Ring,
    middle: float,
    wide_degrees: float,
    patch: Look,
    told: str,
) -> None:
    """The value of a patch, as it is told, near the outer edge of its segment, if it fits."""
    # what bleach crosses of a ring lies over its outer part, of the hues' over their inner one
    crossed = any(other.name == f"{ring.name}-ghost" for other in place.rings)
    radius = ring.inner + 2.8 if crossed else ring.outer - 3.6
    if math.radians(wide_degrees) * radius < text_mm(told, FINE_PT) + 1.2:
        return
    x, y = _at(place.centre, radius, middle)
    told_on(page, x, y + 0.9, told, patch)


def _label(page: Page, wheel: Wheel, place: Geometry, part: Segment) -> None:
    """Recipe by key letters outside the segment, its number inside the innermost ring."""
    primary = len(part.drops) == 1
    size, face = (LABEL_PT, "Bold") if primary else (_points(wheel), "Regular")
    told = part.short(wheel.keys)
    pitch = math.radians(wheel.step_degrees) * (place.radius + LABEL_GAP_MM)
    if primary and text_mm(part.recipe, size, face) < pitch:
        told = part.recipe
    turn = math.radians(part.middle_degrees)
    wide, high = text_mm(told, size, face), size * MM_PER_PT * 0.7
    name = f"recipe-{part.number}"
    if _turned(wheel, page):
        _radial_label(page, place, part, told, size, face)
    else:
        # far enough out that the box of the text stays clear of the circle
        away = abs(math.sin(turn)) * wide / 2 + abs(math.cos(turn)) * high / 2
        x, y = _at(place.centre, place.radius + LABEL_GAP_MM + away, part.middle_degrees)
        y += high / 2
        page.text(x, y, told, size, face=face, align="centre", name=name)
    inner = min(ring.inner for ring in place.rings) - 3.0
    if math.radians(wheel.step_degrees) * inner > 4.6 or part.number % 6 == 1:
        x, y = _at(place.centre, inner, part.middle_degrees)
        page.text(x, y + 0.9, str(part.number), FINE_PT, align="centre", name=f"n-{part.number}")


def _radial_label(
    page: Page, place: Geometry, part: Segment, told: str, size: float, face: str
) -> None:
    """A label along the radius, read from outside in on the left half."""
    left = part.middle_degrees > 180
    x, y = _at(place.centre, place.radius + LABEL_GAP_MM, part.middle_degrees)
    # the base line lies a third of the letters' height beside the radius
    aside = size * MM_PER_PT * 0.33 * (-1 if left else 1)
    turn = math.radians(part.middle_degrees)
    x, y = x + aside * math.cos(turn), y + aside * math.sin(turn)
    turned, align = (90, "right") if left else (-90, "left")
    degrees, name = part.middle_degrees + turned, f"recipe-{part.number}"
    page.text(x, y, told, size, face=face, align=align, turn_degrees=degrees, name=name)


def _at(centre: Point, radius: float, degrees: float) -> Point:
    turn = math.radians(degrees)
    return centre[0] + radius * math.sin(turn), centre[1] - radius * math.cos(turn)


def _legend(page: Page, wheel: Wheel, place: Geometry) -> None:
    """What the rings and letters mean, in lines under the wheel."""
    y, room = page.bottom - _legend_mm(page, wheel) + 2.0, page.right - page.left
    for face, text in _told(wheel):
        y = page.paragraph(page.left, y, room, text, LABEL_PT, face=face, leading=LEADING)


def _legend_mm(page: Page, wheel: Wheel) -> float:
    """Height of the lines under the wheel [mm]."""
    room = page.right - page.left
    lines = sum(len(wrapped(text, room, LABEL_PT, face)) for face, text in _told(wheel))
    return max(LEGEND_MM, 4.0 + lines * line_high(LABEL_PT, LEADING))


def _told(wheel: Wheel) -> list[tuple[str, str]]:
    """What the letters mean, and a line on each ring."""
    used = [n for n in wheel.keys if any(n in part.drops for part in wheel.segments)]
    keys = ", ".join(f"{wheel.keys[name]} {name}" for name in used)
    lines = [
        ("Bold", f"{keys}. Figures beside the letters are drops."),
        ("Regular", "Outer ring: one wash of the mix. Small figures: value, 0 black to 10 white."),
    ]
    if wheel.shadow is not None:
        ink = wheel.table.mix(f"{wheel.shadow_name} 1")
        drops = dilution_of(ink, wheel.shadow.parts_water).text
        told = f"Next ring: the same under a shadow wash of {wheel.shadow_name}, "
        lines.append(("Regular", f"{told}{wheel.shadow_words} (drops: {drops})."))
    if wheel.bleach_words:
        told = f"Circle across both: what one touch of bleach ({wheel.bleach_words})"
        lines.append(("Regular", f"{told} leaves of either."))
    return lines
