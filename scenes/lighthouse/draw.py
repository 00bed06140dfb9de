"""Lighthouse at dusk: a banded tower with gallery and lantern on sea rocks, three gulls over it."""

# ruff: noqa: RUF005 - "+" adds arrays here

import sys
from itertools import pairwise
from pathlib import Path

import numpy as np

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent))

from pen import A5, Sheet, arc, between, gull, rotate, smooth  # noqa: E402

HORIZON_MM = 160.0
AXIS = 86.0
FOOT, TOP = 172.0, 70.0
HALF_FOOT, HALF_TOP = 14.4, 8.6
BAND_CUTS = (172.0, 151.0, 130.5, 110.2, 90.0, 70.0)
GALLERY_Y, RAIL_Y, GALLERY_HALF = 66.0, 59.6, 12.6
LANTERN_FOOT, LANTERN_TOP, LANTERN_HALF = 60.0, 45.0, 6.2
DOME_TOP = 36.6


def half(y):
    """Tower half-width at height y, slightly swept out at the foot."""
    t = (y - TOP) / (FOOT - TOP)
    return HALF_TOP + (HALF_FOOT - HALF_TOP) * (0.72 * t + 0.28 * t**3)


def front(y, r, start=-1.0, end=1.0, n=48):
    """Near edge of a level circle round the axis: an arch above eye level, a sag below it."""
    x = np.linspace(start, end, n)
    rise = (HORIZON_MM - y) * 0.0023 * r * np.sqrt(np.maximum(1 - x * x, 0))
    return np.column_stack([AXIS + x * r, y - rise])


def side(y0, y1, sign, n=24):
    """One side of the tower between two heights."""
    y = np.linspace(y0, y1, n)
    return np.column_stack([AXIS + sign * half(y), y])


def band(low, high):
    """Closed outline of the tower between two heights."""
    return np.vstack(
        [
            front(high, half(high)),
            side(high, low, 1),
            front(low, half(low))[::-1],
            side(low, high, -1),
        ]
    )


def drum(low, high, r_low, r_high):
    """Closed outline of a straight-sided ring between two heights."""
    return np.vstack([front(high, r_high), front(low, r_low)[::-1]])


def window_at(x, y, w, h):
    """Arched window outline, lower-left corner first."""
    top = arc((x, y - h + w / 2), w / 2, w / 2, 180, 360, n=16)
    return np.vstack([[(x - w / 2, y)], top, [(x + w / 2, y)]])


BANDS = [band(a, b) for a, b in pairwise(BAND_CUTS)]
TOWER = band(FOOT, TOP)
TOWER_SHADOW = np.vstack(
    [
        np.column_stack(
            [AXIS + 0.2 * half(np.linspace(TOP, FOOT, 30)), np.linspace(TOP, FOOT, 30)]
        ),
        side(FOOT, TOP, 1),
    ]
)
LANTERN = drum(LANTERN_FOOT, LANTERN_TOP, LANTERN_HALF, LANTERN_HALF)
WINDOW = window_at(AXIS - 2.6, 104.2, 3.0, 5.6)
WINDOW_LOW = window_at(AXIS - 3.4, 144.6, 3.4, 6.2)
DOOR = window_at(AXIS - 1.4, 172.4, 6.4, 13.0)
HEAD = np.array(
    [
        (-7.6, 46),
        (-7, 43),
        (-4.5, 39.4),
        (-1.8, 32.4),
        (1.8, 32.4),
        (4.5, 39.4),
        (7, 43),
        (7.6, 46),
        (6.9, 58),
        (12.9, 59),
        (13, 68),
        (9, 72),
        (-9, 72),
        (-13, 68),
        (-12.9, 59),
        (-6.9, 58),
    ]
) + (AXIS, 0)
LAMP = (AXIS, 52.2)
BEAM_LEFT = np.array([(AXIS - 6.2, 51.0), (0.0, 33.0), (0.0, 61.0), (AXIS - 6.2, 53.6)])
BEAM_RIGHT = np.array([(AXIS + 6.2, 51.0), (148.0, 39.0), (148.0, 58.0), (AXIS + 6.2, 53.6)])
GULLS = (
    ((31.0, 84.0), 21.0, -10.0, 0.3),
    ((52.0, 106.0), 12.5, 9.0, 0.05),
    ((122.0, 92.0), 15.0, 13.0, 0.42),
)

ROCK_RIGHT = [
    (39, 187),
    (43, 184.6),
    (46.5, 183.6),
    (50, 178.2),
    (56.5, 176.4),
    (59, 172.4),
    (65, 170.6),
    (69.5, 173.0),
    (101, 173.2),
    (104.6, 169.4),
    (109.5, 168.4),
    (112, 164.2),
    (119, 162.2),
    (122.4, 166),
    (128.5, 167.4),
    (130, 172.6),
    (137.4, 174.4),
    (139, 180.6),
    (148, 183.4),
]
FLOOR_RIGHT = [
    (148, 191.6),
    (141, 191.0),
    (134, 192.6),
    (124, 191.4),
    (112, 193.6),
    (100, 193.0),
    (90, 194.6),
    (78, 195.2),
    (66, 192.8),
    (57, 193.2),
    (49, 190.4),
    (42, 190.0),
]
ROCK_LEFT = [
    (0, 177.4),
    (5, 176.4),
    (8, 171.6),
    (14.5, 169.6),
    (17.4, 174.4),
    (23, 175.6),
    (25.4, 181.4),
    (31.5, 182.6),
    (34, 189.2),
    (40.4, 191.4),
    (42.6, 197.6),
    (48.4, 200.2),
    (51, 210),
]
LEDGES_RIGHT = [
    ([(50, 178.2), (53.2, 181.6), (51.4, 185.4), (53.8, 190.8)], 2.2),
    ([(59, 172.4), (62.4, 177.6), (60.2, 183.2), (62.4, 191.2)], 3.4),
    ([(65, 170.6), (69, 176.4), (67.6, 180.4)], 2.0),
    ([(104.6, 169.4), (102.8, 175.6), (106, 181.4), (103.8, 191.4)], 3.2),
    ([(112, 164.2), (113.4, 171.8), (111, 177.4), (114.2, 190.8)], 4.2),
    ([(122.4, 166), (120.8, 172.4), (124, 178.6), (122.4, 188)], 3.2),
    ([(130, 172.6), (128.4, 179), (131.6, 184.4), (130.6, 191)], 3.0),
    ([(139, 180.6), (138, 185.2), (140, 190.2)], 2.2),
]
PLANES_RIGHT = [
    [(43, 184.6), (47, 186.6), (53.2, 181.6), (62.4, 177.6), (69, 176.4)],
    [(94, 178), (102.8, 175.6), (113.4, 171.8), (120.8, 172.4), (128.4, 179), (138, 185.2)],
    [(96.4, 186.6), (106, 181.4), (111, 177.4)],
    [(124, 178.6), (131.6, 184.4)],
]
LEDGES_LEFT = [
    ([(8, 171.6), (10.4, 180), (7.2, 187), (10, 199), (8.6, 209.6)], 3.6),
    ([(17.4, 174.4), (16.4, 182), (20.2, 189.4), (18.2, 199), (20.6, 209.6)], 4.2),
    ([(25.4, 181.4), (24.4, 187.4), (28.6, 194.4), (27.4, 204)], 3.4),
    ([(34, 189.2), (33.2, 195), (37, 201.6), (36.4, 208)], 3.0),
    ([(42.6, 197.6), (41.8, 202), (44.4, 207.6)], 2.2),
]
PLANES_LEFT = [
    [(0, 184.4), (4, 183.6), (10.4, 180), (16.4, 182), (24.4, 187.4), (33.2, 195), (41.8, 202)],
    [(0, 195.4), (7.2, 187)],
    [(10, 199), (20.2, 189.4), (28.6, 194.4)],
    [(27.4, 204), (37, 201.6)],
]
ROCK_RIGHT_AREA = np.vstack([ROCK_RIGHT, FLOOR_RIGHT])
ROCK_LEFT_AREA = np.vstack([ROCK_LEFT, [(0, 210)]])
BUOY = (121.0, 202.0)


def sea(s):
    """Horizon, a far headland, a coaster hull-down, and wavelets closing up with distance."""
    s.line([(0, HORIZON_MM), (148, HORIZON_MM)], 0.3, wobble=0.03)
    land = [
        (148, 151.6),
        (142, 152.4),
        (137.5, 151.8),
        (131, 154.6),
        (126, 155),
        (121, 157.8),
        (113, 158.8),
        (107, HORIZON_MM),
    ]
    s.line(s.rough(land, 0.12), 0.28, wobble=0.02)
    s.broken([(136, 154.6), (131, 157), (126, 158)], 0.2, 3, 1.5)
    ship = [(20, 157.9), (20.9, HORIZON_MM), (31.6, HORIZON_MM), (32.8, 157.4), (30.6, 157.9)]
    s.box(ship, 0.26, 0.02)
    s.edges([(21.6, 157.9), (21.6, 155.2), (24.4, 155.2), (24.4, 157.9)], 0.22, 0.02)
    s.edges([(22.3, 155.2), (22.5, 153.3), (23.5, 153.3), (23.5, 155.2)], 0.22, 0.02)
    s.line([(28.2, 157.9), (28.2, 153.2)], 0.2, (0, 0.6), 0.02)
    s.line([(28.2, 153.8), (25, 157.2)], 0.14, wobble=0.01)
    for y, k in (
        (162.2, 5),
        (164.6, 4),
        (168, 4),
        (172.4, 3),
        (177.6, 3),
        (183.4, 2),
        (201.5, 2),
        (206, 1),
    ):
        size = 2.5 + (y - HORIZON_MM) * 0.22
        for x in s.strew(4 if y < 195 else 62, 146, k + 2):
            wave(s, x, y + s.rng.normal(0, 0.6), size * s.rng.uniform(0.7, 1.5))


def wave(s, x, y, w):
    """A single wavelet: a flat stroke with one lifted crest."""
    h = w * 0.09
    s.curve(
        [
            (x - w, y),
            (x - 0.4 * w, y - 0.2 * h),
            (x, y - h),
            (x + 0.3 * w, y + 0.1 * h),
            (x + w, y),
        ],
        0.24,
        (w * 0.6, w * 0.6),
        0.02,
    )


def foam(s, pts):
    """Broken scalloped wash lapping below a water line."""
    p = smooth(pts)
    s.broken(p + (0.4, 1.5), 0.24, 6, 2.2)
    s.broken(p + (1.2, 3.0), 0.2, 4, 5)


def rock(s, crest, floor, ledges, planes):
    """One rock mass: crest, water line, planes turning the light, ledges shaded on one side."""
    crest = s.rough(crest, 0.22, 2)
    s.blank(np.vstack([crest, floor]))
    s.line(crest, 0.52, wobble=0.03)
    for path in planes:
        s.broken(s.rough(path, 0.2, 2), 0.26, 7, 1.6, 0.02)
    for path, reach in ledges:
        path = s.rough(path, 0.24, 2)
        s.line(path, 0.38, (0, 4.0), 0.03)
        s.shade(path, reach)


def buoy(s):
    """A small spar buoy leaning in the swell, its topmark and a broken reflection."""
    x, y = BUOY
    lean = 9
    hull = smooth([(-2.6, 0.2), (-2.9, -1.6), (-1.2, -2.8), (1.2, -2.8), (2.9, -1.6), (2.6, 0.2)])
    mast = np.array([(-0.9, -2.8), (-0.3, -9.6), (0.3, -9.6), (0.9, -2.8)])
    for part in (mast, hull):
        s.form(rotate(part, lean) + (x, y), 0.32, 0.015)
    s.form(rotate(arc((0, -11), 1.4, 1.4), lean) + (x, y), 0.32, 0.01)
    for h in (-4.8, -7.0):
        s.line(rotate([(-0.9, h), (0.9, h)], lean) + (x, y), 0.24, wobble=0.01)
    s.line(rotate([(-2.9, -1.2), (2.9, -1.2)], lean) + (x, y), 0.24, wobble=0.01)
    for i, w in enumerate((3.6, 2.6, 1.6, 0.9)):
        s.curve(
            [(x - w, y + 0.7 + i * 1.3), (x, y + 1.0 + i * 1.3), (x + w * 0.9, y + 0.7 + i * 1.3)],
            0.24,
            (1, 1),
            0.02,
        )


def tower(s):
    """The tower in five bands, with two windows, the door and its steps."""
    s.blank(TOWER)
    for sign in (-1, 1):
        s.line(side(TOP, FOOT, sign), 0.5 if sign > 0 else 0.42, wobble=0.025)
    for y in BAND_CUTS[1:]:
        s.line(front(y, half(y)), 0.34, wobble=0.02)
    s.line(front(FOOT, half(FOOT)), 0.36, wobble=0.02)
    courses(s)
    for w in (WINDOW, WINDOW_LOW):
        opening(s, w)
    door(s)


def courses(s):
    """Hints of stone courses near the lit edge and the shadow side, only at the edges."""
    for y in np.arange(75.0, 170, 5.05):
        if min(abs(y - c) for c in BAND_CUTS) < 1.4:
            continue
        a = s.rng.uniform(0.72, 0.84)
        s.line(front(y, half(y), a, 0.985, 8), 0.2, (1.2, 0), 0.01)
        if s.rng.random() < 0.55:
            b = s.rng.uniform(-0.86, -0.78)
            s.line(front(y, half(y), -0.985, b, 8), 0.18, (0, 1.0), 0.01)


def opening(s, outline):
    """A deep-set window: frame, reveal, sill and one glazing cross."""
    s.form(outline, 0.34, 0.01)
    (x0, y0), (x1, y1) = outline.min(axis=0), outline.max(axis=0)
    mid = (x0 + x1) / 2
    s.line([(mid, y0), (mid, y1)], 0.2, wobble=0.01)
    s.line([(x0, y0 + 0.52 * (y1 - y0)), (x1, y0 + 0.52 * (y1 - y0))], 0.2, wobble=0.01)
    s.box(
        [(x0 - 0.6, y1), (x1 + 0.6, y1), (x1 + 0.6, y1 + 0.75), (x0 - 0.6, y1 + 0.75)], 0.24, 0.01
    )
    c = ((x0 + x1) / 2, y0 + (x1 - x0) / 2)
    s.line(arc(c, (x1 - x0) / 2 + 0.85, None, 200, 340, n=24), 0.22, (0.4, 0.4), 0.01)


def door(s):
    """Plank door with strap hinges under an arched hood."""
    c = (AXIS - 1.4, 172.4 - 13 + 3.2)
    hood = np.vstack(
        [arc(c, 4.3, None, 180, 360, n=40), [(c[0] + 4.3, 172.4)], [(c[0] - 4.3, 172.4)]]
    )
    s.form(hood, 0.34, 0.015)
    s.form(DOOR, 0.38, 0.015)
    for a in np.arange(200, 350, 28):
        s.line([arc(c, 3.25, None, a, a, n=1)[0], arc(c, 4.25, None, a, a, n=1)[0]], 0.2, wobble=0)
    for dx in (-1.6, 0.0, 1.6):
        s.inset([(c[0] + dx, 158), (c[0] + dx, 172.2)], DOOR, 0.18, (0.2, 0.2), 0.02)
    for y in (163.6, 169.4):
        s.line([(c[0] - 3.1, y), (c[0] + 0.9, y)], 0.34, (0, 0.8), 0.01)
    s.dot((c[0] + 2.3, 167), 0.55)


def steps(s):
    """Stone steps coming down from the door, widening towards us, with a rope rail."""
    x, y, w = AXIS - 1.4, 172.6, 5.2
    for i in range(7):
        tread, riser = 0.7 + 0.12 * i, 1.25 + 0.12 * i
        x2, w2 = x - 0.7 - 0.12 * i, w + 0.55
        s.box([(x - w, y), (x + w, y), (x2 + w2, y + tread), (x2 - w2, y + tread)], 0.28, 0.03)
        y += tread
        s.box([(x2 - w2, y), (x2 + w2, y), (x2 + w2, y + riser), (x2 - w2, y + riser)], 0.3, 0.03)
        y += riser
        x, w = x2, w2
    posts = [(AXIS - 8.2, 174.0, 5.0), (AXIS - 11.6, 180.6, 5.8), (AXIS - 15.4, 188.4, 6.6)]
    for a, b in pairwise(posts):
        p, q = np.array((a[0], a[1] - a[2] + 0.7)), np.array((b[0], b[1] - b[2] + 0.7))
        for sag in (0.0, 0.45):
            s.line(
                smooth([p + (0, sag), between(p, q, 0.5) + (0.3, 1.5 + sag), q + (0, sag)]),
                0.2,
                wobble=0.01,
            )
    for px, py, h in posts:
        s.box(
            [(px - 0.42, py - h), (px + 0.42, py - h), (px + 0.42, py), (px - 0.42, py)], 0.24, 0.01
        )
        s.dot((px, py - h - 0.35), 1.0)


def gallery(s):
    """Corbelled gallery floor with its brackets."""
    neck = drum(TOP + 0.2, GALLERY_Y + 1.4, HALF_TOP, HALF_TOP + 1.6)
    s.form(neck, 0.34, 0.015)
    for t in np.sin(np.radians(np.arange(-75, 76, 25))):
        a, b = front(TOP, HALF_TOP, t, t, 1)[0], front(GALLERY_Y + 1.2, GALLERY_HALF, t, t, 1)[0]
        s.curve([a, between(a, b, 0.5) + (0.5 * t * -1, 0.3), b], 0.3, (0, 0), 0.01)
    s.form(drum(GALLERY_Y + 1.6, GALLERY_Y, GALLERY_HALF, GALLERY_HALF), 0.42, 0.015)


def lantern(s):
    """Lantern: low wall, tall panes with slanting bars, the lens inside, and a ribbed dome."""
    s.form(drum(GALLERY_Y, LANTERN_FOOT, LANTERN_HALF + 0.7, LANTERN_HALF + 0.7), 0.36, 0.015)
    s.form(LANTERN, 0.4, 0.01)
    lens(s)
    for t in np.sin(np.radians((-54, -18, 18, 54))):
        a = front(LANTERN_FOOT, LANTERN_HALF, t, t, 1)[0]
        b = front(LANTERN_TOP, LANTERN_HALF, t, t, 1)[0]
        s.line([a, b], 0.3, wobble=0.01)
    s.line(front((LANTERN_FOOT + LANTERN_TOP) / 2 - 3.2, LANTERN_HALF), 0.22, wobble=0.01)
    dome(s)


def lens(s):
    """The lens: a barrel of prisms round the lamp."""
    x, y = LAMP
    s.loop(arc((x, y), 2.1, 3.6, 0, 360), 0.24, 0.01)
    for dy in (-2.4, -1.3, 1.3, 2.4):
        w = 2.1 * np.sqrt(1 - (dy / 3.6) ** 2)
        s.line(arc((x, y + dy), w, 0.35, 180, 360, n=12), 0.16, wobble=0)
    s.loop(arc((x, y), 0.75, 0.75, 0, 360, n=24), 0.2, 0)


def dome(s):
    """Ribbed dome with an eave, a vent ball and a lightning rod with a vane."""
    eave = drum(LANTERN_TOP + 0.6, LANTERN_TOP - 0.7, LANTERN_HALF + 1.2, LANTERN_HALF + 1.2)
    cap = np.vstack(
        [
            front(LANTERN_TOP - 0.7, LANTERN_HALF + 0.6),
            smooth(
                [
                    (AXIS + 6.8, 44.3),
                    (AXIS + 5.2, 40.6),
                    (AXIS + 1.4, DOME_TOP),
                    (AXIS - 1.4, DOME_TOP),
                    (AXIS - 5.2, 40.6),
                    (AXIS - 6.8, 44.3),
                ]
            ),
        ]
    )
    s.form(cap, 0.44, 0.015)
    for t in (-0.7, -0.26, 0.26, 0.7):
        foot = front(LANTERN_TOP - 0.7, LANTERN_HALF + 0.6, t, t, 1)[0]
        s.curve([foot, (AXIS + t * 5.6, 40.6), (AXIS + t * 1.5, DOME_TOP)], 0.24, (0, 0.6), 0.01)
    s.form(eave, 0.34, 0.01)
    s.box(
        [(AXIS - 1.0, DOME_TOP), (AXIS - 0.8, 35.2), (AXIS + 0.8, 35.2), (AXIS + 1.0, DOME_TOP)],
        0.28,
        0.01,
    )
    s.form(arc((AXIS, 34.0), 1.6, 1.5), 0.34, 0.01)
    s.line([(AXIS, 32.5), (AXIS, 24.4)], 0.3, (0, 1.2), 0.02)
    s.form(
        smooth(
            [(AXIS + 0.1, 28.6), (AXIS + 2.4, 28.0), (AXIS + 4.6, 28.9), (AXIS + 2.4, 29.3)], True
        ),
        0.22,
        0,
    )
    s.line([(AXIS, 28.8), (AXIS - 2.6, 28.8)], 0.24, wobble=0.01)
    s.solid([(AXIS - 2.4, 28.2), (AXIS - 4.0, 28.8), (AXIS - 2.4, 29.4)])


def rails(s):
    """Gallery railing in front of the lantern wall: stanchions with knobs, three rails."""
    for y in (RAIL_Y, RAIL_Y + 2.1, RAIL_Y + 4.2):
        s.line(front(y, GALLERY_HALF - 0.3), 0.3 if y == RAIL_Y else 0.18, wobble=0.01)
    for t in np.sin(np.radians(np.arange(-90, 91, 15))):
        a = front(GALLERY_Y, GALLERY_HALF - 0.3, t, t, 1)[0]
        b = front(RAIL_Y, GALLERY_HALF - 0.3, t, t, 1)[0]
        s.line([a, b + (0, -0.3)], 0.24, wobble=0.01)
        s.dot(b + (0, -0.4), 0.6)


def grass(s):
    """Thrift and rough grass in the rock clefts, in front."""
    for x, y, h in (
        (61.5, 170.6, 4.5),
        (64.6, 170.2, 6),
        (104.4, 169.4, 5),
        (108.6, 169.8, 4),
        (3.5, 177.6, 5.5),
        (13.5, 170.2, 6),
        (11.2, 171.8, 4),
    ):
        s.tuft((x, y), h, 8, 0.1, 0.5, 0.26)
    for x, y, h in ((10.4, 170.9, 6.6), (12.6, 170.2, 8.4), (14.4, 170.2, 6.0), (63.6, 170.4, 7)):
        tip = (x + 0.9, y - h)
        s.curve([(x, y), (x + 0.2, y - h * 0.6), tip], 0.22, (0, 0), 0.02)
        s.form(arc(tip, 0.95, 0.8, n=20), 0.24, 0.05)


def main():
    """Draw the sketch from the sky forward and save it next to this script."""
    s = Sheet(A5, 11)
    sea(s)
    rock(s, ROCK_RIGHT, FLOOR_RIGHT, LEDGES_RIGHT, PLANES_RIGHT)
    water_line = s.rough([ROCK_RIGHT[0], *FLOOR_RIGHT[::-1]], 0.16, 2)
    s.line(water_line, 0.34, wobble=0.03)
    foam(s, FLOOR_RIGHT[::-1])
    tower(s)
    steps(s)
    lantern(s)
    gallery(s)
    rails(s)
    rock(s, ROCK_LEFT, [(0, 210)], LEDGES_LEFT, PLANES_LEFT)
    foam(s, [(42.4, 196.6), (48.6, 199.0), (51.4, 204), (52.4, 209.8)])
    buoy(s)
    grass(s)
    for at, span, bank, flap in GULLS:
        gull(s, at, span, bank, flap)
    s.save(HERE / "sketch.png")


if __name__ == "__main__":
    main()
