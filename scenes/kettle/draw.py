"""Brass kettle on a black hob: a squat riveted kettle steaming over a gas ring, tiles behind."""

# ruff: noqa: RUF005 - "+" adds arrays here

import sys
from itertools import pairwise
from pathlib import Path

import numpy as np

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent))

from pen import A4, Sheet, arc, between, ribbon, smooth  # noqa: E402

AXIS, EYE_Y, BASE_Y, DISTANCE = 98.0, 20.0, 216.0, 711.0
BACK_EDGE_MM, FRONT_EDGE_MM = 166.0, 260.0
BELLY = [
    (50, 216),
    (54.5, 211),
    (62, 201),
    (67, 190),
    (68.6, 179),
    (66, 168),
    (59.5, 158),
    (49, 149.5),
    (38, 144.2),
    (33.5, 142),
    (32.6, 138.4),
]
LID = [(30.6, 137.4), (29.6, 133.4), (25, 129.2), (17, 126.2), (9.5, 124.6), (6.4, 122.6)]
HOOP = smooth(
    [
        (50.5, 151),
        (43.6, 137),
        (40.6, 120),
        (44, 101),
        (55, 84),
        (74, 72.6),
        (98, 68.6),
        (122, 72.6),
        (141, 84),
        (152, 101),
        (155.4, 120),
        (152.4, 137),
        (145.5, 151),
    ]
)
SPOUT_AXIS = smooth(
    [(149, 189), (160, 186), (170, 177), (175, 163), (177.5, 148), (183, 134), (192, 125.6)]
)
KNOBS = [(26.0, 282.0), (74.0, 282.0), (122.0, 282.0), (170.0, 282.0)]
BURNER_ON = KNOBS[1][0]
LID_KNOB = (AXIS, 113.6)


def flat(y):
    """Height to width of a level circle at height y, flatter toward the eye's level."""
    return 0.0014 * (y - EYE_Y)


def front(y, r, start=0.0, end=180.0, n=60):
    """Near half of a level circle round the kettle's axis, right to left."""
    return arc((AXIS, y), r, r * flat(y), start, end, n=n)


def turned(profile):
    """Closed outline of a turned form: its profile mirrored above, the hull of its rings below."""
    p = smooth(profile)
    wide = int(np.argmax(p[:, 0]))
    x = np.sin(np.linspace(-np.pi / 2, np.pi / 2, 160)) * p[wide, 0]
    r, y = p[: wide + 1, :1], p[: wide + 1, 1:]
    low = y + flat(y) * np.where(r >= abs(x), np.sqrt(np.maximum(r * r - x * x, 0)), -1e3)
    right, left = p[wide:] + (AXIS, 0), p[wide:] * (-1, 1) + (AXIS, 0)
    return np.vstack([right, left[::-1], np.column_stack([x + AXIS, low.max(axis=0)])])


def radius(y):
    """Body radius at a height."""
    p = smooth(BELLY)[::-1]
    return np.interp(y, p[:, 1], p[:, 0])


def ground(x, z, h=0.0):
    """Project hob coordinates (mm right, mm away, mm up from the bars) to the page."""
    s = DISTANCE / (DISTANCE + z)
    return np.array((AXIS + x * s, EYE_Y + (BASE_Y - EYE_Y - h) * s))


def half_width(y):
    """Half-width of the drawn kettle body at a page height."""
    right = BODY[BODY[:, 0] >= AXIS]
    order = np.argsort(right[:, 1])
    return np.interp(y, right[order, 1], right[order, 0]) - AXIS


def crescent(inner, outer, top=150.0, low=226.0):
    """Shadow crescent on the belly between two parts of its half-width (0 axis, 1 edge)."""
    y = np.linspace(top, low, 48)
    k = np.sin(np.linspace(0, np.pi, 48)) ** 0.6
    r = half_width(y)
    a = AXIS + r * (outer - (outer - inner) * k)
    return np.vstack([np.column_stack([a, y]), np.column_stack([AXIS + r * outer, y])[::-1]])


def pane(x0, x1, y0, y1):
    """A window-shaped patch bent round the belly; x0 and x1 are parts of the half-width."""
    y = np.linspace(y0, y1, 20)
    r = radius(y)
    return np.vstack(
        [np.column_stack([AXIS + r * x0, y]), np.column_stack([AXIS + r * x1, y])[::-1]]
    )


BODY = turned(BELLY)
LID_OUTLINE = turned(LID)
CRESCENTS = [crescent(0.30, 1.0), crescent(0.52, 1.0, 156), crescent(0.70, 1.0, 162)]
HIGHLIGHT = pane(-0.60, -0.42, 156.0, 196.0)
HIGHLIGHT_BESIDE = pane(-0.36, -0.27, 156.0, 196.0)
KNOB_DOTS = [(AXIS - 2.6, 111.4), (AXIS - 1.0, 109.4)]
HOOP_BAND = ribbon(HOOP, np.full(len(HOOP), 5.6))
SPOUT = ribbon(
    SPOUT_AXIS,
    np.interp(
        np.linspace(0, 1, len(SPOUT_AXIS)), (0, 0.3, 0.6, 0.85, 1), (31, 22, 13.5, 10.5, 11.5)
    ),
)


def bar_corners(a, b, wide):
    """Page corners of a bar's top face, from a to b in hob coordinates."""
    a, b = np.array(a, dtype=float), np.array(b, dtype=float)
    d = (b - a)[::-1] * (1, -1) / np.hypot(*(b - a)) * wide / 2
    return [ground(*p) for p in (a - d, b - d, b + d, a + d)]


SIDE = 74.0
BARS = {
    "back": bar_corners((-SIDE, SIDE), (SIDE, SIDE), 6.5),
    "left": bar_corners((-SIDE, SIDE), (-SIDE, 3 - SIDE), 6.5),
    "right": bar_corners((SIDE, SIDE), (SIDE, 3 - SIDE), 6.5),
    "finger back": bar_corners((0, SIDE), (0, 24), 6.5),
    "finger left": bar_corners((3.4 - SIDE, 0), (-24, 0), 6.5),
    "finger right": bar_corners((SIDE - 3.4, 0), (24, 0), 6.5),
    "front": bar_corners((-SIDE, -SIDE), (SIDE, -SIDE), 6.5),
    "finger front": bar_corners((0, -SIDE), (0, -24), 6.5),
}
HOB = np.array([(0, BACK_EDGE_MM), (210, BACK_EDGE_MM), (210, FRONT_EDGE_MM), (0, FRONT_EDGE_MM)])
PANEL = np.array([(0, FRONT_EDGE_MM + 3.4), (210, FRONT_EDGE_MM + 3.4), (210, 297), (0, 297)])


def wall(s):
    """Tiles with thin joints, and a hanging rail with a ladle."""
    for x in (14, 56, 98, 140, 182):
        s.broken([(x, 0), (x, BACK_EDGE_MM - 5)], 0.17, 24, 3, 0.05)
    for y in (40, 82, 124):
        s.broken([(0, y), (210, y)], 0.17, 24, 3, 0.05)
    s.box([(-1, 19), (211, 19), (211, 21.6), (-1, 21.6)], 0.36, 0.02)
    for x in (70, 126):
        s.form(arc((x, 20.3), 4.2), 0.32, 0.01)
        for d in (-2.3, 2.3):
            s.dot((x + d, 20.3), 0.7)
    ladle(s, 24.0)
    hook(s, 36.5)
    hook(s, 176.0)


def hook(s, x):
    """An S-hook over the rail."""
    path = smooth(
        [
            (x - 1.8, 23.0),
            (x - 2.0, 19.2),
            (x, 17.6),
            (x + 1.4, 19.4),
            (x + 0.6, 25),
            (x - 0.4, 29.4),
            (x + 1.0, 31.6),
            (x + 2.8, 30.2),
        ]
    )
    s.form(ribbon(path, np.full(len(path), 1.0)), 0.24, 0.01)


def ladle(s, x):
    """A ladle hanging bowl down."""
    hook(s, x - 0.6)
    stem = ribbon(smooth([(x, 30), (x - 0.3, 60), (x + 0.2, 88), (x + 1.6, 99)]), None, (4.4, 2.8))
    s.form(stem, 0.34, 0.02)
    s.loop(arc((x, 32.6), 0.8, 1.3, n=24), 0.24, 0)
    bowl = np.vstack(
        [arc((x - 2.0, 101), 13.0, 12.6, 0, 180, n=50), arc((x - 2.0, 101), 13.0, 3.4, 180, 360)]
    )
    s.form(bowl, 0.42, 0.02)
    s.line(arc((x - 2.0, 101), 13.0, 3.4, 0, 180), 0.34, wobble=0.01)
    s.line(arc((x - 2.0, 101.2), 11.6, 2.3, 0, 360), 0.2, wobble=0.01)
    s.curve([(x + 7.6, 104.6), (x + 5.6, 109), (x + 2, 111.6)], 0.22, (0.5, 2), 0.02)
    s.form(
        ribbon(smooth([(x + 0.2, 88), (x + 1.2, 96), (x + 2.4, 100.4)]), None, (2.9, 4.6)),
        0.3,
        0.01,
    )
    for y in (97.4, 99.4):
        s.dot((x + 1.7 + (y - 97.4) * 0.25, y), 0.6)


def hob(s):
    """The hob plate: upstand at the back, rolled front edge, control panel with knobs."""
    s.blank([(0, BACK_EDGE_MM - 5), (210, BACK_EDGE_MM - 5), (210, 297), (0, 297)])
    s.line([(0, BACK_EDGE_MM - 5), (210, BACK_EDGE_MM - 5)], 0.34, wobble=0.04)
    s.line([(0, BACK_EDGE_MM), (210, BACK_EDGE_MM)], 0.42, wobble=0.04)
    s.line([(0, FRONT_EDGE_MM), (210, FRONT_EDGE_MM)], 0.4, wobble=0.04)
    s.line([(0, FRONT_EDGE_MM + 3.4), (210, FRONT_EDGE_MM + 3.4)], 0.5, wobble=0.04)
    for x, y in KNOBS:
        control(s, x, y)


def control(s, x, y):
    """A control knob: skirt, raised grip with its pointer, and dial ticks round it."""
    for d in range(150, 391, 24):
        a, b = (arc((x, y), r, None, d, d, n=1)[0] for r in (13.2, 14.6))
        s.line([a, b], 0.26, wobble=0)
    s.form(arc((x, y), 11.4), 0.44, 0.02)
    s.loop(arc((x, y - 0.4), 9.8), 0.24, 0.02)
    turn = 118 if x == BURNER_ON else 0
    grip = smooth(
        [
            (-2.6, 8.6),
            (-2.9, 0),
            (-2.2, -8.4),
            (0, -9.3),
            (2.2, -8.4),
            (2.9, 0),
            (2.6, 8.6),
            (0, 9.3),
        ],
        closed=True,
    )
    a = np.radians(turn)
    m = np.array([[np.cos(a), np.sin(a)], [-np.sin(a), np.cos(a)]])
    s.form(grip @ m + (x, y), 0.36, 0.01)
    s.line(np.array([(0, -7.8), (0, -3.6)]) @ m + (x, y), 0.5, (0, 0), 0)


def bars(s):
    """The pan support: a square iron frame on feet, with a finger from each side."""
    burner(s)
    for name, top in BARS.items():
        top = np.array(top)
        drop = (0, 3.4 if "front" in name else 2.6)
        if name in ("front", "back"):
            for corner in top[:2]:
                foot(s, corner)
        for p, q in pairwise(np.vstack([top, top[:1]])):
            if max(p[1], q[1]) >= top[:, 1].mean() - 0.1:
                s.box([p, q, q + drop, p + drop], 0.34, 0.02)
        s.box(top, 0.38, 0.02)
    joints(s)


def foot(s, corner):
    """A short leg from a frame corner to the plate."""
    x, y = corner
    s.box([(x - 2.4, y), (x + 2.4, y), (x + 1.9, y + 8), (x - 1.9, y + 8)], 0.34, 0.02)


def joints(s):
    """Round bosses at the corners and where the fingers meet the frame."""
    for x, z in ((-1, 0), (1, 0), (0, -1), (-1, -1), (1, -1), (-1, 1), (1, 1)):
        c = ground(x * SIDE, z * SIDE)
        s.form(arc(c, 4.8, 1.6), 0.3, 0.01)


def burner(s):
    """Burner ring on the plate with small flames at its slots."""
    c = ground(0, 0, -8)
    for r in (38, 33):
        s.form(arc(c, r, r * flat(c[1])), 0.34, 0.02)
    for d in range(8, 176, 12):
        x, y = arc(c, 36, 36 * flat(c[1]), d, d, n=1)[0]
        h = s.rng.uniform(4.6, 6.4)
        flame = smooth(
            [(x, y + 0.6), (x + 1.5, y - 1.4), (x + 0.5, y - h), (x - 1.3, y - 1.6)], True
        )
        s.form(flame, 0.26, 0.02)


def body(s):
    """The belly, with rim, seam lines and a beaded band; the foot ring below."""
    s.form(BODY, 0.56, 0.03)
    for y, w in ((211.0, 0.26), (160.4, 0.26), (157.4, 0.26)):
        s.line(front(y, radius(y), 3, 177), w, (1.2, 1.2), 0.02)
    for d in range(6, 177, 4):
        s.dot(front(158.9, radius(158.9), d, d, 1)[0], 0.62)
    collar = np.vstack(
        [front(142.4, 33.4, 0, 180), arc((AXIS, 138), 32.6, 32.6 * flat(138), 180, 360)]
    )
    s.form(collar, 0.4, 0.02)
    s.line(front(138, 32.6), 0.34, wobble=0.02)


def lid(s):
    """The domed lid with a rolled edge, a step, a steam hole and a turned wooden knob."""
    s.form(LID_OUTLINE, 0.46, 0.02)
    s.line(front(134.2, 29.6, 4, 176), 0.26, (1, 1), 0.01)
    s.line(front(127.2, 19.4, 10, 170), 0.24, (2, 2), 0.01)
    s.form(arc((AXIS - 14, 131.4), 1.3, 0.55, n=24), 0.26, 0)
    x = LID_KNOB[0]
    s.form(np.vstack([front(123.6, 7.2), arc((x, 121.8), 6.4, 1.2, 180, 360, n=30)]), 0.34, 0.01)
    stem = np.vstack(
        [
            smooth([(x - 4.4, 122), (x - 2.6, 120), (x - 3.0, 117.6)]),
            smooth([(x + 3.0, 117.6), (x + 2.6, 120), (x + 4.4, 122)]),
            arc((x, 122), 4.4, 0.9, 0, 180, n=20),
        ]
    )
    s.form(stem, 0.34, 0.01)
    ball = smooth(
        [
            (x, 105.4),
            (x + 5.4, 107.4),
            (x + 8.2, 112),
            (x + 6.2, 116.4),
            (x, 118.4),
            (x - 6.2, 116.4),
            (x - 8.2, 112),
            (x - 5.4, 107.4),
        ],
        closed=True,
    )
    s.form(ball, 0.44, 0.02)
    s.line(arc((x, 112.2), 8.1, 1.3, 8, 172, n=30), 0.24, (1, 1), 0.01)
    s.line(arc((x, 113.6), 7.9, 1.4, 10, 170, n=30), 0.24, (1, 1), 0.01)


def spout(s):
    """The goose-neck spout, its flange riveted to the belly, and a rolled lip."""
    n = len(SPOUT_AXIS)
    upper, lower = SPOUT[:n], SPOUT[n:][::-1]
    upper, lower = upper[upper[:, 0] > 157], lower[lower[:, 0] > 156]
    a, b = upper[0], lower[0]
    root = smooth([a, (148.6, 176), (144.6, 188), (147.2, 198.6), b])
    inner = smooth([a, (152.6, 177.6), (149.4, 188), (151.2, 196.6), b])
    s.blank(np.vstack([inner, lower, upper[::-1]]))
    s.line(upper, 0.5, wobble=0.02)
    s.line(lower, 0.54, wobble=0.02)
    s.form(np.vstack([root, inner[::-1]]), 0.38, 0.01)
    mid = between(root, inner, 0.5)
    for i in range(11, len(mid) - 9, 8):
        s.form(arc(mid[i], 0.85, n=20), 0.24, 0)
    tip, t = SPOUT_AXIS[-1], np.degrees(np.arctan2(*(SPOUT_AXIS[-1] - SPOUT_AXIS[-3])[::-1]))
    s.form(arc(tip, 2.6, 6.6, turn=t), 0.44, 0.01)
    s.loop(arc(tip + (0.2, 0), 1.6, 5.2, turn=t), 0.24, 0.01)
    s.curve([(169.4, 186.4), (176.6, 175), (179.6, 160), (181.6, 149)], 0.22, (2, 4), 0.02)


def steam(s):
    """Steam curling from the spout."""
    for pts, w in (
        ([(197, 121), (203, 113), (199, 104), (191, 98), (192, 88), (200, 80), (198, 70)], 0.26),
        ([(200, 124), (207, 116), (206, 108), (200, 101)], 0.22),
        ([(194.6, 117), (193, 108), (186.6, 101), (185.6, 91), (191, 83)], 0.22),
        ([(196, 66), (191, 60), (193, 52), (199, 47)], 0.22),
    ):
        s.curve(pts, w, (4, 6), 0.02)


def lug(s, sign):
    """A riveted ear that carries the hoop."""

    def place(p):
        return np.array(p) * (sign, 1) + (AXIS, 0)

    plate = smooth(
        [(37.6, 160), (38, 152.4), (43.4, 146.6), (50, 147.2), (54, 153), (53, 161.4), (46, 165.6)],
        closed=True,
    )
    s.form(place(plate), 0.42, 0.01)
    for p in ((42.4, 158.8), (49.4, 158.4), (45.6, 162)):
        s.form(arc(place([p])[0], 1.05, n=24), 0.26, 0)
    s.form(arc(place([(47.0, 152.4)])[0], 2.5, n=36), 0.36, 0.01)
    s.form(arc(place([(47.0, 152.4)])[0], 1.0, n=24), 0.24, 0)


def hoop(s):
    """The hoop handle: a brass strap each side, and a turned wooden grip bound by ferrules."""
    n = len(HOOP)
    edge_a, edge_b = HOOP_BAND[:n], HOOP_BAND[n:]
    s.blank(HOOP_BAND)
    s.line(edge_a, 0.46, wobble=0.02)
    s.line(edge_b, 0.46, wobble=0.02)
    inner = ribbon(HOOP, np.full(n, 3.2))
    s.broken(inner[n:], 0.2, 16, 4, 0.01)
    a, b = int(n * 0.33), int(n * 0.67)
    grip = HOOP[a:b]
    t = np.linspace(-1, 1, len(grip))
    s.form(ribbon(grip, 8.4 + 1.8 * (1 - t**2)), 0.48, 0.02)
    for i in (a, b - 4):
        s.form(ribbon(HOOP[i : i + 5], np.full(5, 9.6)), 0.4, 0.01)
    for i in (a + 6, a + 8, b - 8, b - 6):
        bit = ribbon(HOOP[i : i + 2], np.full(2, 8.6))
        s.line(bit[[0, -1]], 0.24, wobble=0)
    for off in (-2.2, 0.6, 2.6):
        k = slice(14, len(grip) - 14)
        side = ribbon(grip, np.full(len(grip), abs(2 * off) + 0.01))
        s.broken((side[: len(grip)] if off < 0 else side[len(grip) :][::-1])[k], 0.18, 9, 4, 0.02)


def main():
    """Draw the sketch from the wall forward and save it next to this script."""
    s = Sheet(A4, 31)
    wall(s)
    hob(s)
    bars(s)
    steam(s)
    body(s)
    lid(s)
    spout(s)
    for sign in (-1, 1):
        lug(s, sign)
    hoop(s)
    for sign in (-1, 1):
        pin = np.array((AXIS + sign * 47.4, 151.6))
        s.form(arc(pin, 3.9, n=40), 0.4, 0.01)
        s.form(arc(pin, 1.4, n=24), 0.28, 0)
    s.save(HERE / "sketch.png")


if __name__ == "__main__":
    main()
