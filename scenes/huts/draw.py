"""Six beach huts: a row of gabled huts with porches on a beach, dunes behind."""

# ruff: noqa: RUF005 - "+" adds arrays here

import sys
from itertools import pairwise
from pathlib import Path

import numpy as np

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent))

from pen import A4_WIDE, Sheet, arc, between, gull, rotate, smooth  # noqa: E402

PITCH, FIRST, WIDTH = 45.0, 36.0, 33.0
CENTRES = [FIRST + PITCH * i for i in range(6)]
RIDGE_Y, EAVE_Y, FLOOR_Y, GROUND_Y = 62.0, 92.0, 147.0, 156.0
OVERHANG = 3.0
VANISH = np.array((148.5, 118.0))
DEPTH = 0.085
PORCH_INSET = 1.9
DOOR_WIDE, DOOR_TOP = 13.0, 106.0


def hut_face(x):
    """Front wall with its gable, clockwise from the lower left."""
    h = WIDTH / 2
    return np.array(
        [(x - h, FLOOR_Y), (x - h, EAVE_Y), (x, RIDGE_Y + 3.4), (x + h, EAVE_Y), (x + h, FLOOR_Y)]
    )


def hut_gable(x):
    """Gable triangle over the porch beam."""
    h = WIDTH / 2
    return np.array([(x - h, EAVE_Y + 2.2), (x, RIDGE_Y + 5), (x + h, EAVE_Y + 2.2)])


def hut_shadow(x):
    """Left third of a hut, where the one shadow wash goes."""
    h = WIDTH / 2
    cut = x - h + WIDTH / 3
    y = RIDGE_Y + 3.4 + (x - cut) / h * (EAVE_Y - RIDGE_Y - 3.4)
    return np.array([(x - h, FLOOR_Y), (x - h, EAVE_Y), (cut, y), (cut, FLOOR_Y)])


def hut_porch(x):
    """Recess behind the posts and under the beam, where the shadow goes a second time."""
    h = WIDTH / 2 - 2.2
    return np.array(
        [(x - h, EAVE_Y + 5.4), (x + h, EAVE_Y + 5.4), (x + h, EAVE_Y + 11), (x - h, EAVE_Y + 11)]
    )


def hut_door(x):
    """Door outline."""
    h = DOOR_WIDE / 2
    return np.array([(x - h, FLOOR_Y), (x - h, DOOR_TOP), (x + h, DOOR_TOP), (x + h, FLOOR_Y)])


def door_dot(x):
    """Where one bleach dot goes, on a clear part of the door."""
    return (x, 131.0)


def cast_shadow(x):
    """Shadow thrown on the sand to the left."""
    h = WIDTH / 2
    return np.array(
        [
            (x - h, GROUND_Y),
            (x + h, GROUND_Y),
            (x + h - 9, GROUND_Y + 7.5),
            (x - h - 7, GROUND_Y + 9),
            (x - h - 11.6, GROUND_Y + 3),
        ]
    )


HUTS = [hut_face(x) for x in CENTRES]
GABLES = [hut_gable(x) for x in CENTRES]
SHADOWS = [hut_shadow(x) for x in CENTRES]
PORCHES = [hut_porch(x) for x in CENTRES]
DOORS = [hut_door(x) for x in CENTRES]
DOTS = [door_dot(x) for x in CENTRES]
CAST = [cast_shadow(x) for x in CENTRES]
DUNE_FOOT = [(0, 118), (60, 114), (150, 117), (230, 113), (297, 117)]
DUNE = [
    (-1, 97),
    (12, 95),
    (28, 98.5),
    (50, 93.5),
    (72, 98),
    (96, 92.5),
    (120, 96.5),
    (147, 94),
    (170, 98),
    (192, 92),
    (215, 96),
    (238, 93.5),
    (262, 98),
    (281, 94.5),
    (298, 96),
]


def back(p):
    """Push points toward the vanishing point, to the rear of the hut."""
    return between(p, VANISH, DEPTH)


def dunes(s):
    """Dune crest behind the huts with marram on it, and the break of the slope below."""
    crest = smooth(DUNE)
    s.line(crest, 0.34, wobble=0.05)
    for x in s.rng.uniform(3, 294, 46):
        y = np.interp(x, crest[:, 0], crest[:, 1])
        s.tuft((x, y + 0.4), s.rng.uniform(2.5, 6), 5, -0.18, 0.4, 0.24)
    s.line(smooth(DUNE_FOOT), 0.24, wobble=0.08)


def sides(s, x):
    """The flank wall and roof slope seen past the front, on the side facing the middle."""
    sign = 1 if x < VANISH[0] else -1
    h = WIDTH / 2
    wall = np.array([(x + sign * h, EAVE_Y), (x + sign * h, FLOOR_Y)])
    s.box(np.vstack([wall, back(wall)[::-1]]), 0.34, 0.03)
    stub = back([(x + sign * h, FLOOR_Y), (x + sign * h, GROUND_Y)])
    pier = np.vstack([stub, (stub - (sign * 2.2, 0))[::-1]])
    s.box(pier, 0.28, 0.02)
    for y in np.arange(EAVE_Y + 6, FLOOR_Y, 5.0):
        a = np.array((x + sign * h, y))
        s.line([a, back(a)], 0.18, (0, 0.5), 0.01)
    roof = np.array([(x, RIDGE_Y - 1.2), (x + sign * (h + OVERHANG), EAVE_Y + 5.1)])
    s.box(np.vstack([roof, back(roof)[::-1]]), 0.36, 0.03)
    for t in (0.22, 0.44, 0.66, 0.86):
        a = between(*roof, t)
        s.line([a, back(a)], 0.18, (0, 0.4), 0.01)


def piers(s, x):
    """Stub legs and dark underside, with the floor joists showing."""
    h = WIDTH / 2
    s.blank([(x - h, FLOOR_Y), (x + h, FLOOR_Y), (x + h, GROUND_Y), (x - h, GROUND_Y)])
    s.line([(x - h - 0.4, GROUND_Y - 1.6), (x + h, GROUND_Y - 1.4)], 0.26, wobble=0.12)
    for dx in (-h + 2.4, h - 2.4):
        a = x + dx
        s.box(
            [
                (a - 1.5, FLOOR_Y),
                (a + 1.5, FLOOR_Y),
                (a + 1.5, GROUND_Y),
                (a - 1.5, GROUND_Y + 0.3),
            ],
            0.34,
            0.03,
        )
    under = [
        (x - h + 4, FLOOR_Y + 2.4),
        (x + h - 4, FLOOR_Y + 2.4),
        (x + h - 4, FLOOR_Y + 5.4),
        (x - h + 4, FLOOR_Y + 5.4),
    ]
    s.hatch(under, 72, 1.1, 0.2, 0.05)


def boards(s, x):
    """Lap boards of the front wall, drawn only here and there, never across the door."""
    h = WIDTH / 2
    left, right = (x - h + 2.2, x - DOOR_WIDE / 2 - 1.6), (x + DOOR_WIDE / 2 + 1.6, x + h - 2.2)
    for y in np.arange(EAVE_Y + 14, FLOOR_Y - 2, 4.9):
        for a, b in (left, right):
            cut = s.rng.uniform(0.35, 0.8)
            if s.rng.random() < 0.6:
                s.line([(a, y), (a + (b - a) * cut, y)], 0.18, (0, 1.4), 0.03)
            else:
                s.line([(b - (b - a) * cut, y), (b, y)], 0.18, (1.4, 0), 0.03)


def gable(s, x, kind):
    """Gable boards, a vent that differs from hut to hut, and deep bargeboards with a finial."""
    h = WIDTH / 2
    tri = hut_gable(x)
    s.box(tri, 0.3, 0.03)
    for dx in (-11.8, -7.9, -4.0, 4.0, 7.9, 11.8):
        top = EAVE_Y + 2.2 - (1 - abs(dx) / h) * (EAVE_Y - RIDGE_Y - 2.8)
        foot = EAVE_Y + 2.0
        s.line(
            [(x + dx, foot), (x + dx, foot - (foot - top) * s.rng.uniform(0.25, 0.5))],
            0.18,
            (0, 1.2),
            0.03,
        )
    vent(s, (x, EAVE_Y - 9.0), kind)
    out = OVERHANG
    for sign in (-1, 1):
        rake = [
            (x, RIDGE_Y - 1.2),
            (x + sign * (h + out), EAVE_Y + 5.1),
            (x + sign * (h + out - 1.9), EAVE_Y + 7.2),
            (x, RIDGE_Y + 3.6),
        ]
        s.box(rake, 0.42, 0.03)
        trim(s, np.array(rake), kind)
    s.box(
        [
            (x - 0.9, RIDGE_Y + 6),
            (x - 0.9, RIDGE_Y - 5),
            (x, RIDGE_Y - 7.2),
            (x + 0.9, RIDGE_Y - 5),
            (x + 0.9, RIDGE_Y + 6),
            (x, RIDGE_Y + 8),
        ],
        0.3,
        0.01,
    )


def trim(s, rake, kind):
    """Fretwork or nail heads along a bargeboard."""
    a, b = between(rake[0], rake[3], 0.5), between(rake[1], rake[2], 0.5)
    for t in np.linspace(0.1, 0.94, 9 if kind % 2 else 6):
        p = between(a, b, t)
        if kind % 3 == 1:
            s.loop(arc(p, 0.62, n=20), 0.18, 0)
        else:
            s.dot(p, 0.42)


def vent(s, at, kind):
    """A louvre, a round light, a star, a heart, a diamond or a fanlight."""
    x, y = at
    if kind == 0:
        s.form(arc(at, 3.0), 0.3, 0.02)
        s.line([(x - 3, y), (x + 3, y)], 0.2, wobble=0.01)
        s.line([(x, y - 3), (x, y + 3)], 0.2, wobble=0.01)
    elif kind == 1:
        s.box([(x, y - 3.8), (x + 2.8, y), (x, y + 3.8), (x - 2.8, y)], 0.3, 0.01)
        s.edges([(x, y - 2.2), (x + 1.6, y), (x, y + 2.2), (x - 1.6, y)], 0.2, 0.01)
    elif kind == 2:
        heart = smooth([(0, 3.0), (-2.0, 1.0), (-3.0, -0.9), (-2.2, -2.4), (-0.8, -2.4), (0, -1.2)])
        s.form(np.vstack([heart, heart[::-1] * (-1, 1)]) + at, 0.3, 0.01)
    elif kind == 3:
        s.box(
            [(x - 2.6, y - 2.8), (x + 2.6, y - 2.8), (x + 2.6, y + 3), (x - 2.6, y + 3)], 0.3, 0.01
        )
        for dy in (-1.6, -0.4, 0.8, 2.0):
            s.line([(x - 2.3, y + dy), (x + 2.3, y + dy)], 0.24, wobble=0.01)
    elif kind == 4:
        a = np.radians(np.arange(-90, 270, 36))
        r = np.where(np.arange(10) % 2, 1.35, 3.3)
        s.box(np.column_stack([np.cos(a) * r, np.sin(a) * r]) + at, 0.28, 0.01)
    else:
        s.form(np.vstack([arc((x, y + 1.8), 4.0, 4.0, 180, 360)]), 0.3, 0.01)
        for d in (225, 270, 315):
            s.line([(x, y + 1.8), arc((x, y + 1.8), 4.0, None, d, d, n=1)[0]], 0.2, wobble=0.01)


def door(s, x, kind):
    """Framed, ledged door with long hinges, and latch; every other door hung the other way."""
    h = DOOR_WIDE / 2
    frame = np.array(
        [
            (x - h - 1.6, FLOOR_Y),
            (x - h - 1.6, DOOR_TOP - 1.8),
            (x + h + 1.6, DOOR_TOP - 1.8),
            (x + h + 1.6, FLOOR_Y),
        ]
    )
    s.box(frame, 0.3, 0.03)
    s.box(hut_door(x), 0.4, 0.03)
    for dx in (-h / 2, 0, h / 2):
        for a, b in (
            (DOOR_TOP, DOOR_TOP + s.rng.uniform(5, 9)),
            (FLOOR_Y, FLOOR_Y - s.rng.uniform(4, 8)),
        ):
            s.line([(x + dx, a), (x + dx, b)], 0.18, (0, 1.5), 0.03)
    sign = -1 if kind % 2 else 1
    for y in (DOOR_TOP + 5, FLOOR_Y - 6.5):
        hinge(s, x - sign * h, y, sign)
    k = (x + sign * (h - 1.7), 128.0)
    s.form(arc(k, 0.75, n=24), 0.26, 0)
    s.line([(k[0], k[1] + 0.8), (k[0], k[1] + 2.2)], 0.24, wobble=0)


def hinge(s, x, y, sign):
    """A strap hinge tapering across the boards, three nails in it."""
    s.box(
        [
            (x, y - 0.75),
            (x + sign * 6.6, y - 0.35),
            (x + sign * 7.6, y),
            (x + sign * 6.6, y + 0.35),
            (x, y + 0.75),
        ],
        0.22,
        0.01,
    )
    for d in (1.4, 3.4, 5.4):
        s.dot((x + sign * d, y), 0.34)


def porch(s, x):
    """Deck edge, posts with brackets, beam and low side rails."""
    h = WIDTH / 2
    s.box(
        [
            (x - h, EAVE_Y + 2.2),
            (x + h, EAVE_Y + 2.2),
            (x + h, EAVE_Y + 5.4),
            (x - h, EAVE_Y + 5.4),
        ],
        0.32,
        0.03,
    )
    for sign in (-1, 1):
        a, b = x + sign * h, x + sign * (h - 2.2)
        s.box([(a, EAVE_Y + 5.4), (a, FLOOR_Y), (b, FLOOR_Y), (b, EAVE_Y + 5.4)], 0.34, 0.03)
        knee = smooth(
            [(b, EAVE_Y + 11.5), (b - sign * 1.6, EAVE_Y + 8.0), (b - sign * 5.6, EAVE_Y + 5.4)]
        )
        s.line(knee, 0.32, wobble=0.01)
        rail(s, b, x + sign * (DOOR_WIDE / 2 + 1.6), sign)
    s.box(
        [
            (x - h - 1.4, FLOOR_Y),
            (x + h + 1.4, FLOOR_Y),
            (x + h + 1.4, FLOOR_Y + 2.4),
            (x - h - 1.4, FLOOR_Y + 2.4),
        ],
        0.38,
        0.03,
    )
    for dx in np.arange(-h + 1, h, 4.4):
        s.dot((x + dx, FLOOR_Y + 1.2), 0.3)


def rail(s, a, b, sign):
    """A short porch rail with crossed bars between post and door frame."""
    top, low = FLOOR_Y - 13.5, FLOOR_Y - 1.6
    s.box([(a, top), (b, top), (b, top + 1.5), (a, top + 1.5)], 0.28, 0.02)
    for p, q in (((a, top + 1.5), (b, low)), ((a, low), (b, top + 1.5))):
        d = np.array((0.0, 0.55))
        p, q = np.array(p), np.array(q)
        s.box([p - d, q - d, q + d, p + d], 0.2, 0.01)
    s.box([(a, low), (b, low), (b, low + 1.6), (a, low + 1.6)], 0.24, 0.02)


def steps(s, x):
    """Three open steps down to the sand."""
    w = DOOR_WIDE / 2 + 0.6
    for sign in (-1, 1):
        s.box(
            [
                (x + sign * w, FLOOR_Y + 2.4),
                (x + sign * (w + 1.6), FLOOR_Y + 2.4),
                (x + sign * (w + 3.0), GROUND_Y + 3.6),
                (x + sign * (w + 1.2), GROUND_Y + 3.6),
            ],
            0.34,
            0.02,
        )
    for i in range(3):
        y, k = FLOOR_Y + 3.9 + i * 3.0, w + i * 0.4
        s.box([(x - k, y), (x + k, y), (x + k + 0.35, y + 1.2), (x - k - 0.35, y + 1.2)], 0.3, 0.02)


def hut(s, x, kind):
    """One hut from the back to the front step."""
    sides(s, x)
    s.box(hut_face(x), 0.44, 0.03)
    boards(s, x)
    piers(s, x)
    door(s, x, kind)
    porch(s, x)
    gable(s, x, kind)
    steps(s, x)


def sand(s):
    """Wind ripples, pebbles, shells, footprints leading to one hut."""
    for y, k in ((165, 5), (171, 6), (178, 6), (186, 5), (195, 5), (203, 4)):
        for x in s.strew(5, 290, k):
            w = (y - 145) * 0.26 * s.rng.uniform(0.7, 1.3)
            s.curve(
                [
                    (x - w, y + 0.4),
                    (x - w * 0.2, y - 0.5),
                    (x + w * 0.4, y + 0.1),
                    (x + w, y - 0.3),
                ],
                0.22,
                (w * 0.6, w * 0.6),
                0.02,
            )
    for _ in range(46):
        y = s.rng.uniform(163, 206)
        s.pebble((s.rng.uniform(4, 293), y), (y - 140) * 0.016 * s.rng.uniform(0.6, 1.5))
    sole = smooth(
        [
            (-1.35, 0),
            (-0.9, -0.46),
            (0, -0.42),
            (1, -0.6),
            (1.6, -0.1),
            (1.1, 0.46),
            (0, 0.36),
            (-0.9, 0.44),
        ],
        closed=True,
    )
    path = smooth([(171, 163), (168, 170), (158, 179), (150, 190), (152, 206)], per=5)
    for i, (a, b) in enumerate(pairwise(path[1:])):
        k = 0.62 + 0.035 * (a[1] - 160)
        heading = np.degrees(np.arctan2(*(b - a)[::-1]))
        step = rotate(sole * k + (0, 1.0 * k if i % 2 else -1.0 * k), heading) * (1, 0.72)
        s.form(step + a, 0.24, 0.01)


def deckchair(s, x, y):
    """A folding chair seen three-quarter on, its sling striped."""
    sling = np.vstack(
        [
            smooth([(0, -14), (2.4, -8.6), (6.8, -5.2), (9.4, -5.6)]),
            smooth([(13.8, -4.6), (11.0, -4.0), (7.0, -7.0), (4.6, -13.2)]),
        ]
    ) + (x, y)
    for a, b in (
        ((0.4, -14.4), (12.6, 0.4)),
        ((5.0, -13.6), (17.0, 1.0)),
        ((9.6, -6.0), (1.2, 0.6)),
        ((13.8, -5.0), (5.6, 1.4)),
    ):
        leg(s, np.array(a) + (x, y), np.array(b) + (x, y))
    s.form(sling, 0.34, 0.02)
    n = len(sling) // 2
    left, right = sling[:n], sling[n:][::-1]
    for t in (0.25, 0.5, 0.75):
        s.line(between(left, right[: len(left)], t), 0.2, wobble=0.01)
    leg(s, np.array((-0.6, -14.4)) + (x, y), np.array((5.4, -13.4)) + (x, y))


def leg(s, a, b, w=0.5):
    """A wooden bar between two points."""
    d = np.array((b[1] - a[1], a[0] - b[0])) / np.hypot(*(b - a)) * w
    s.box([a - d, b - d, b + d, a + d], 0.26, 0.01)


def bucket(s, x, y):
    """Bucket with rim and handle, a spade stuck beside it."""
    leg(s, np.array((x + 6.4, y - 9.6)), np.array((x + 5.2, y - 1.4)), 0.35)
    leg(s, np.array((x + 5.2, y - 9.9)), np.array((x + 7.6, y - 9.5)), 0.4)
    s.form(
        smooth(
            [
                (x + 4.0, y - 2.4),
                (x + 6.6, y - 2.0),
                (x + 6.2, y + 1.2),
                (x + 4.8, y + 2.0),
                (x + 3.8, y + 0.8),
            ],
            True,
        ),
        0.3,
        0.01,
    )
    s.box([(x - 3, y - 5.6), (x + 3, y - 5.6), (x + 2.2, y + 0.4), (x - 2.2, y + 0.4)], 0.32, 0.01)
    s.form(arc((x, y - 5.6), 3.0, 0.9), 0.3, 0.01)
    s.line(arc((x, y - 5.4), 3.3, 3.2, 20, 160), 0.24, wobble=0.01)


def ball(s, x, y):
    """A beach ball in six gores."""
    s.form(arc((x, y), 4.3), 0.36, 0.01)
    pole = np.array((x - 1.3, y - 1.9))
    s.loop(arc(pole, 0.8, 0.65, turn=-30, n=24), 0.22, 0)
    for d in range(15, 375, 60):
        edge = arc((x, y), 4.3, None, d, d, n=1)[0]
        bend = between(pole, edge, 0.55) + rotate((edge - pole) * 0.16, 90)[0]
        s.line(smooth([between(pole, edge, 0.12), bend, edge]), 0.24, wobble=0.01)
    s.broken([(x - 6.5, y + 4.4), (x + 5.5, y + 4.6)], 0.22, 3, 1.2)


def lifebuoy(s, x, y):
    """A lifebuoy on a post with its line wound round."""
    s.box([(x - 1, y - 8), (x + 1, y - 8), (x + 1, y + 24), (x - 1, y + 24)], 0.34, 0.03)
    s.form(arc((x, y), 5.4), 0.36, 0.01)
    s.form(arc((x, y), 3.0), 0.3, 0.01)
    s.box([(x - 1, y - 2.9), (x + 1, y - 2.9), (x + 1, y + 2.9), (x - 1, y + 2.9)], 0.26, 0)
    for d in (45, 135, 225, 315):
        for e in (-9, 9):
            s.line(
                [
                    arc((x, y), 3.0, None, d + e, d + e, n=1)[0],
                    arc((x, y), 5.4, None, d + e, d + e, n=1)[0],
                ],
                0.24,
                wobble=0,
            )
    for d in (90, 180, 270, 0):
        m = arc((x, y), 6.5, None, d, d, n=1)[0]
        s.line(
            smooth(
                [
                    arc((x, y), 5.4, None, d - 42, d - 42, n=1)[0],
                    m,
                    arc((x, y), 5.4, None, d + 42, d + 42, n=1)[0],
                ]
            ),
            0.2,
            wobble=0.02,
        )


def bunting(s, a, b, sag):
    """A string of small pennants slung between two gables."""
    cord = smooth([a, between(a, b, 0.5) + (0, sag), b], per=40)
    s.line(cord, 0.22, wobble=0.01)
    for i in range(8, len(cord) - 8, 11):
        p, q = cord[i - 3], cord[i + 3]
        s.box([p, q, between(p, q, 0.5) + (0.1, 3.6)], 0.22, 0.01)


def main():
    """Draw the sketch from the dunes forward and save it next to this script."""
    s = Sheet(A4_WIDE, 23)
    dunes(s)
    order = sorted(range(6), key=lambda i: -abs(CENTRES[i] - VANISH[0]))
    sand(s)
    for i in order:
        hut(s, CENTRES[i], i)
    lifebuoy(s, 148.5, 137)
    deckchair(s, 56, 186)
    bucket(s, 112, 181)
    ball(s, 226, 182)
    bunting(s, np.array((CENTRES[3], 56.0)), np.array((CENTRES[4], 56.0)), 9.5)
    for x, y, k in (
        (3, 162, 9),
        (12, 165, 6),
        (292, 164, 10),
        (283, 168, 7),
        (266, 201, 8),
        (20, 202, 9),
        (27, 205, 6),
    ):
        s.tuft((x, y), k, 11, -0.12, 0.6, 0.28)
    gull(s, (93, 33), 17, -8, 0.3)
    gull(s, (118, 46), 10, 10, 0.05, 0.26)
    gull(s, (246, 28), 13, 6, 0.42, 0.28)
    s.save(HERE / "sketch.png")


if __name__ == "__main__":
    main()
