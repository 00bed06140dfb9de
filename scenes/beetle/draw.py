"""Chafer beetle on a dock leaf: wing-cases just parting, on a ribbed and nibbled leaf with dew."""

# ruff: noqa: RUF005 - "+" adds arrays here

import sys
from pathlib import Path

import numpy as np

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent))

from pen import A5, Sheet, arc, between, clip, inside, ribbon, rotate, smooth  # noqa: E402

PLACE, TURN, GROW = (79.0, 104.0), -17.0, 1.16
MIDRIB = smooth([(4, 214), (22, 178), (48, 140), (78, 98), (104, 60), (122, 34), (131, 15)], per=40)
TIP = MIDRIB[-1] + 0.16 * (MIDRIB[-1] - MIDRIB[-41])
HALF_WIDTH = (
    (0, 0.05, 0.1, 0.2, 0.34, 0.5, 0.66, 0.8, 0.91, 1.0),
    (2.4, 4, 18, 37, 45, 44, 37, 26, 13, 1.6),
)


def put(p):
    """Beetle's own millimetres (head up) to the page."""
    return rotate(np.asarray(p, dtype=float).reshape(-1, 2) * GROW, TURN) + PLACE


def both(p):
    """A shape and its mirror."""
    p = np.asarray(p, dtype=float)
    return (p, p * (-1, 1))


def swing(p, sign, degrees=3.5, about=(7.0, -9.0)):
    """Open a wing-case about its shoulder."""
    return rotate(p * (sign, 1), -sign * degrees, np.array(about) * (sign, 1))


WING_CASE = smooth(
    [
        (0.5, -8.6),
        (0.45, -2),
        (0.4, 8),
        (0.5, 18),
        (0.9, 24),
        (3.4, 28.2),
        (8.2, 28.6),
        (12.6, 24.6),
        (15.6, 17),
        (17.0, 7),
        (16.9, -2),
        (15.6, -8.4),
        (13.0, -10.8),
        (8, -10.6),
        (3, -9.8),
    ],
    closed=True,
)
CASES = {"right": put(swing(WING_CASE, 1)), "left": put(swing(WING_CASE, -1))}
PRONOTUM = smooth(
    [
        (0, -23.4),
        (5, -23.2),
        (8.8, -22.6),
        (12.4, -18.8),
        (14.8, -14),
        (15.2, -10.6),
        (9, -9.6),
        (4, -8.7),
        (0, -8.2),
        (-4, -8.7),
        (-9, -9.6),
        (-15.2, -10.6),
        (-14.8, -14),
        (-12.4, -18.8),
        (-8.8, -22.6),
        (-5, -23.2),
    ],
    closed=True,
)
HEAD = smooth(
    [
        (0, -22),
        (6.6, -22.4),
        (8.0, -25.2),
        (6.9, -28.2),
        (6.2, -31.4),
        (3.4, -32.6),
        (0, -32.2),
        (-3.4, -32.6),
        (-6.2, -31.4),
        (-6.9, -28.2),
        (-8.0, -25.2),
        (-6.6, -22.4),
    ],
    closed=True,
)
SCUTELLUM = smooth(
    [(-3.6, -8.9), (0, -8.2), (3.6, -8.9), (2.6, -5.4), (0, -2.9), (-2.6, -5.4)], closed=True
)
ABDOMEN = smooth(
    [
        (-15, 4),
        (-14.4, 18),
        (-10.4, 27),
        (-4, 33.4),
        (0, 36.6),
        (4, 33.4),
        (10.4, 27),
        (14.4, 18),
        (15, 4),
        (0, 0),
    ],
    closed=True,
)
GAP = put([(0, -3), (0.9, 8), (2.4, 24), (3.6, 29), (-3.6, 29), (-2.4, 24), (-0.9, 8)])
BODY_SHADOW = put(np.vstack([ABDOMEN, PRONOTUM[::-1]])) + (3.2, 4.6)


def span(t):
    """Leaf half-width at a part t of the midrib, before the ruffle."""
    return np.interp(t, *HALF_WIDTH)


def normal(t):
    """Point and left-hand normal on the midrib."""
    u = np.linspace(0, 1, len(MIDRIB))
    slope = np.gradient(MIDRIB, axis=0)
    p, d = (np.column_stack([np.interp(t, u, a) for a in q.T]) for q in (MIDRIB, slope))
    return p, np.column_stack([d[:, 1], -d[:, 0]]) / np.hypot(*d.T)[:, None]


def margin(sign):
    """One ruffled leaf edge, foot to tip."""
    t = np.linspace(0, 1, 260)
    p, n = normal(t)
    w = span(t)
    w = np.convolve(np.pad(w, 8, "edge"), np.ones(17) / 17, "valid")
    phase = 0.6 if sign > 0 else 2.0
    ruffle = 0.045 * np.sin(t * 52 + phase) + 0.03 * np.sin(t * 91 + 2.2 * phase)
    w = w * (1 + ruffle * np.clip((t - 0.06) * 12, 0, 1))
    return np.vstack([p + n * (sign * w)[:, None], TIP])


def bite(edge, at, radius):
    """Take a round caterpillar bite out of an edge."""
    c = edge[at]
    hole = arc(c, radius, radius * 0.85, turn=25, n=40)
    keep = ~inside(edge, hole)
    first, last = np.flatnonzero(~keep)[[0, -1]]
    a, b = edge[first - 1], edge[last + 1]
    inner = MIDRIB[np.argmin(np.hypot(*(MIDRIB - c).T))] - c
    inner = inner / np.hypot(*inner)
    mid = c + inner * radius
    side = (b - a) * 0.16
    scallop = smooth(
        [
            a,
            a + inner * radius * 0.62 + side * 0.2,
            mid - side,
            mid + side * 0.6 - inner * 0.5,
            b + inner * radius * 0.7 - side * 0.2,
            b,
        ]
    )
    return np.vstack([edge[:first], scallop, edge[last + 1 :]])


EDGE_LEFT = bite(margin(1), 133, 6.0)
EDGE_RIGHT = bite(margin(-1), 168, 5.2)
FOLD = (50, 96)
LEAF = np.vstack([EDGE_LEFT, EDGE_RIGHT[::-1]])
MIDRIB_AREA = ribbon(MIDRIB, None, (5.4, 0.5))
VEIN_STARTS = (0.13, 0.21, 0.30, 0.39, 0.48, 0.57, 0.66, 0.74, 0.81)


def vein(t, sign):
    """A side vein: leaves the midrib, bends toward the tip, dies out short of the edge."""
    t2, t3, t4 = t + 0.026, t + 0.066, t + 0.122
    rows = [normal([t])[0][0]]
    for u, k in ((t2, 0.36), (t3, 0.68), (t4, 0.88)):
        (q,), (m,) = normal([min(u, 0.985)])
        rows.append(q + m * sign * span(min(u, 0.99)) * k)
    return ribbon(smooth(rows), None, (2.0 - t, 0.12))


VEINS = [vein(t + (0.02 if s < 0 else 0), s) for t in VEIN_STARTS for s in (1, -1)]
HOLES = [
    smooth(rotate(np.array(p) * k, r) + c, closed=True)
    for p, k, r, c in (
        (
            [(-3, 0), (-1.6, -2.2), (0.8, -1.8), (2.9, -2.4), (3.2, 0.4), (1.2, 2.1), (-1.4, 1.6)],
            1.15,
            15,
            (114, 70),
        ),
        ([(-2, 0), (-0.6, -1.7), (1.7, -1.2), (2.1, 0.8), (0.2, 1.8)], 1.0, -30, (41.5, 119)),
        ([(-1.4, 0), (0, -1.2), (1.5, -0.2), (0.6, 1.3)], 1.0, 40, (48, 113.6)),
        ([(-2, 0), (-0.4, -1.5), (2.2, -1.6), (2.4, 0.6), (0.2, 1.5)], 1.1, 60, (45, 170)),
    )
]
DEW = [((72.0, 151.0), 3.1), ((106.6, 128.6), 1.7), ((33.0, 150.0), 2.4), ((111.0, 47.0), 2.1)]


def background(s):
    """A dock seed stalk and grass blades behind the leaf, and a second leaf low on the right."""
    for pts, w in (
        ([(2, 150), (7, 96), (4, 44), (9, 10)], 3.0),
        ([(140, 210), (139, 160), (144, 110)], 3.4),
        ([(146, 210), (142, 178), (128, 140)], 2.8),
    ):
        blade = ribbon(smooth(pts), None, (w, 0.3))
        s.form(blade, 0.3, 0.02)
        s.broken(smooth(pts), 0.18, 14, 4, 0.02)
    other = np.vstack(
        [
            smooth([(70, 212), (92, 196), (112, 182), (134, 174), (150, 172)]),
            smooth([(152, 214), (128, 214), (110, 214)]),
        ]
    )
    s.blank(other)
    s.line(
        smooth(
            [
                (70, 212),
                (82, 203),
                (92, 195),
                (101, 190),
                (112, 182),
                (122, 180),
                (134, 174),
                (150, 172),
            ]
        ),
        0.36,
        wobble=0.1,
    )
    rib = smooth([(90, 214), (118, 198), (150, 188)])
    s.form(ribbon(rib, None, (2.6, 1.6)), 0.28, 0.02)
    for a, b, c in (
        ((104, 205), (108, 196), (118, 187)),
        ((122, 196.4), (127, 188), (136, 180)),
        ((124, 196.6), (133, 199), (146, 198)),
    ):
        s.form(ribbon(smooth([a, b, c]), None, (1.1, 0.3)), 0.22, 0.02)
    seeds(s)


def seeds(s):
    """The seed stalk: whorls of winged seeds round a ribbed stem."""
    stem = smooth([(27, 150), (25, 110), (28, 66), (25, 26), (27, 8)], per=30)
    s.form(ribbon(stem, None, (2.4, 0.8)), 0.32, 0.02)
    for k in np.linspace(0.12, 0.97, 14):
        c = stem[int(k * (len(stem) - 1))]
        n = int(7 - 3 * k)
        for d in s.rng.permutation(np.linspace(-1, 1, n * 2)):
            reach = (6.6 - 4.2 * k) * abs(d)
            at = c + (np.sign(d) * (reach + 0.6), 1.5 * (abs(d) * 1.4 - 0.6) + s.rng.normal(0, 0.5))
            size = 1.75 - 0.7 * k
            husk = [(0, -1.1), (0.8, -0.5), (0.75, 0.5), (0, 1.25), (-0.75, 0.5), (-0.8, -0.5)]
            turn = -38 * d
            s.form(smooth(rotate(np.array(husk) * size, turn) + at, True), 0.24, 0.01)
            s.line(rotate([(0, -0.6 * size), (0, 0.5 * size)], turn) + at, 0.18, wobble=0)


def leaf(s):
    """The leaf: ruffled edge, ribs as narrow double lines, holes, a turned-over lip and dew."""
    s.blank(LEAF)
    s.line(EDGE_LEFT, 0.5, wobble=0.03)
    s.line(EDGE_RIGHT, 0.56, wobble=0.03)
    for v in VEINS:
        s.form(v, 0.26, 0.015)
    nerves(s)
    s.form(MIDRIB_AREA, 0.4, 0.02)
    for k in (0.32, 0.66):
        n = len(MIDRIB)
        s.broken(
            between(MIDRIB_AREA[:n], MIDRIB_AREA[n:][::-1], k)[: int(n * 0.7)], 0.18, 9, 6, 0.02
        )
    for hole in HOLES:
        s.form(hole, 0.38, 0.03)
        c = hole.mean(axis=0)
        s.line((hole[len(hole) // 2 :] - c) * 0.8 + c + (0.25, 0.35), 0.2, (0.6, 0.6), 0.02)
    fold(s)


def nerves(s):
    """Fine cross nerves between the ribs, only here and there."""
    for t in np.arange(0.16, 0.9, 0.045):
        for sign in (1, -1):
            k = s.rng.uniform(0.3, 0.75)
            (p,), (n,) = normal([t + 0.05])
            (q,), (m,) = normal([t + 0.085])
            a = p + n * sign * span(t + 0.05) * k
            b = q + m * sign * span(t + 0.085) * (k - 0.06)
            if s.rng.random() < 0.75:
                for run in keep_off(s, [a, between(a, b, 0.5) + s.rng.normal(0, 0.5, 2), b]):
                    s.line(run, 0.18, (0.8, 0.8), 0.03)


def keep_off(s, pts):
    """Cut a nerve where it would cross a rib or hole."""
    runs = [smooth(pts)]
    for area in (*VEINS, *HOLES):
        runs = [r for run in runs for r in clip(run, area, keep_inside=False)]
    return runs


def fold(s):
    """A lip of the right-hand edge turned over, showing the paler underside."""
    a, b = FOLD
    outer = EDGE_RIGHT[a:b]
    _, n = normal(np.linspace(0, 1, 260)[a:b])
    swell = np.sin(np.linspace(0, np.pi, b - a))[:, None]
    crease, inner = outer + n * 1.6 * swell, outer + n * 11.5 * swell**0.8
    s.blank(np.vstack([outer - n * 0.9 * swell**0.3, inner[::-1]]))
    s.line(crease, 0.52, wobble=0.02)
    s.line(inner, 0.42, wobble=0.06)
    for k in (0.2, 0.36, 0.52, 0.68, 0.82):
        i = int(k * (b - a))
        p, q = inner[i], crease[i - 3]
        s.line(smooth([p, between(p, q, 0.5) + (0.5, 0.4), q]), 0.22, (0, 1.2), 0.02)


def dew(s):
    """Drops of dew with a small window of light and a crescent of shade each."""
    for c, r in DEW:
        s.form(arc(c, r, r * 0.92), 0.32, 0.02)
        s.line(arc(c, r * 0.68, r * 0.62, 190, 250), 0.24, (0.3, 0.3), 0.01)
        s.line(arc((c[0] + 0.25, c[1] + 0.5), r * 1.0, r * 0.95, 10, 110), 0.3, (0.8, 0.8), 0.01)


LEGS = {
    "front": ([(9, -16), (18.4, -21.6), (22.2, -32.4)], (6.4, 3.0, 3.9), 41.5, (2.0, -8.6)),
    "middle": ([(12, -3), (24.6, -3.4), (32.2, 5.2)], (7.0, 3.0, 3.6), 13.0, (3.2, 7.8)),
    "hind": ([(11, 12), (23.4, 17.6), (28.6, 31.4)], (8.6, 3.2, 3.8), 0.0, (1.6, 9.8)),
}


def leg(s, name, sign, jitter):
    """One leg: foot of five beads and two claws, toothed shin, stout thigh."""
    (hip, knee, ankle), widths, _, step = LEGS[name]
    f = np.array((sign, 1))
    hip, knee, ankle = (np.array(p) * f for p in (hip, knee, ankle))
    ankle = rotate([ankle], jitter, knee)[0]
    foot(s, ankle, rotate([np.array(step) * f], jitter)[0])
    path = smooth([knee, between(knee, ankle, 0.5) + (0.5 * sign, 0), ankle])
    shin = ribbon(path, 1.7 + (widths[2] - 1.7) * np.linspace(0, 1, len(path)) ** 1.4)
    out = np.array((sign, -0.35 if name == "front" else 0.2))
    for t in (0.45, 0.72, 0.97):
        base = between(knee, ankle, t)
        d = (ankle - knee) / np.hypot(*(ankle - knee))
        tooth = [
            base - d * 0.8 + out * 0.6,
            base + out * (2.7 if name == "front" else 2.2) + d * 0.9,
            base + d * 0.7 + out * 0.6,
        ]
        s.box(put(tooth), 0.24, 0)
    s.form(put(shin), 0.36, 0.02)
    s.form(put(arc(knee, 1.15, n=24)), 0.28, 0)
    path = smooth([hip, between(hip, knee, 0.55) + (0, -0.4), between(hip, knee, 1.04)])
    u = np.linspace(0, 1, len(path))
    thigh = ribbon(path, widths[0] + (widths[1] - widths[0]) * u**1.6)
    s.form(put(thigh), 0.4, 0.02)
    s.line(
        put(between(thigh[: len(thigh) // 2], thigh[len(thigh) // 2 :][::-1], 0.3)[12:-6]),
        0.2,
        (2, 2),
        0.02,
    )


def foot(s, ankle, step):
    """Five beads tapering to a pair of hooked claws."""
    u = step / np.hypot(*step)
    side = np.array((-u[1], u[0]))
    turn = np.degrees(np.arctan2(*u[::-1]))
    end = ankle + step
    for k in (-1, 1):
        claw = [end - u * 0.4, end + u * 1.3 + side * k * 1.0, end + u * 2.3 + side * k * 0.7]
        s.curve(put(claw), 0.34, (0, 0.9), 0.01)
    for i in range(5):
        c = between(ankle, end, (i + 0.5) / 5) + side * 0.35 * np.sin(i * 1.3)
        s.form(put(arc(c, np.hypot(*step) / 9, 0.95 - 0.06 * i, turn=turn, n=30)), 0.28, 0)


def antenna(s, sign):
    """A bent feeler ending in a fan of leaves."""
    f = np.array((sign, 1))
    joint = np.array((12.4, -33.6)) * f
    for i, d in enumerate(np.linspace(-68, 2, 6)):
        blade = smooth(
            [
                (0, -0.35),
                (4, -1.0),
                (8.4 - 0.35 * i, -0.7),
                (9.2 - 0.35 * i, 0.2),
                (8.2 - 0.35 * i, 0.75),
                (4, 0.75),
                (0, 0.35),
            ],
            closed=True,
        )
        s.form(put(rotate(blade, d) * f + joint), 0.28, 0.01)
    stalk = ribbon(
        smooth(
            [np.array(p) * f for p in ((6.0, -28.6), (9.4, -30.6), (11.2, -32.4), (12.8, -33.8))]
        ),
        None,
        (1.0, 1.7),
    )
    s.form(put(stalk), 0.3, 0.01)
    for i in (14, 22, 30):
        k = len(stalk) - 1 - i
        s.line(put([stalk[i], stalk[k]]), 0.2, wobble=0)


def abdomen(s):
    """Tip of the abdomen with its rings, and the toothed pale marks along the side."""
    s.form(put(ABDOMEN), 0.42, 0.02)
    for y, w in ((26.6, 10.6), (30.0, 7.4)):
        s.line(put(arc((0, y - 1.6), w, 2.2, 10, 170)), 0.24, (0.6, 0.6), 0.01)
    for y in (6.0, 1.0, 11.0, 16.0, 21.0):
        s.line(put([(-3, y), (0, y + 0.9), (3, y)]), 0.22, (0.5, 0.5), 0.01)
    for sign in (1, -1):
        for y in (31.4, 32.6, 33.8):
            s.line(put([(sign * 1.0, y), (sign * 2.0, y + 0.3)]), 0.18, (0.2, 0.2), 0)


def cases(s):
    """The two wing-cases: rolled rim, a raised shoulder, three faint ribs, a few pits."""
    for sign, name in ((-1, "left"), (1, "right")):
        s.form(CASES[name], 0.52, 0.02)
        rim = swing(between(WING_CASE, (8.4, 8), 0.06), sign)
        s.line(put(rim[int(14 * 4.4) : int(14 * 11.4)]), 0.22, (2, 2), 0.01)
        for x, bow in ((4.2, 0.4), (8.2, 1.6), (12.0, 2.2)):
            rib = smooth([(x - 0.3, -6.5), (x + bow, 6), (x + bow * 0.2, 17), (x * 0.78, 23.6)])
            s.broken(put(swing(rib, sign)), 0.2, 9, 3.4, 0.02)
        knob = smooth([(11.4, -8.0), (13.2, -6.4), (13.2, -4.2), (12.2, -2.8)])
        s.line(put(swing(knob, sign)), 0.26, (0.8, 1.4), 0.01)
        for _ in range(26):
            x, y = s.rng.uniform(1.8, 13), s.rng.uniform(-8, 4)
            s.dot(put(swing(np.array([(x, y - 0.5)]), sign))[0], s.rng.uniform(0.2, 0.3))


def thorax(s):
    """Shield, scutellum and head with eyes and upturned front edge."""
    for sign in (1, -1):
        antenna(s, sign)
    s.form(put(HEAD), 0.44, 0.02)
    for sign in (1, -1):
        eye = arc((sign * 6.9, -25.0), 1.7, 2.2, turn=sign * 14, n=40)
        s.form(put(eye), 0.34, 0.01)
        s.solid(put(arc((sign * 7.1, -24.8), 1.0, 1.45, turn=sign * 14, n=30)))
        s.blank(put(arc((sign * 6.8, -25.5), 0.3, 0.4, n=16)))
    s.line(
        put(smooth([(-6.2, -29.6), (-3, -30.6), (0, -30.2), (3, -30.6), (6.2, -29.6)])),
        0.26,
        (0.3, 0.3),
        0.01,
    )
    s.line(put(smooth([(-5.2, -26.6), (0, -27.6), (5.2, -26.6)])), 0.24, (0.6, 0.6), 0.01)
    s.form(put(SCUTELLUM), 0.38, 0.01)
    s.form(put(PRONOTUM), 0.52, 0.02)
    s.line(put(between(PRONOTUM, (0, -16), 0.07)[: int(14 * 5.6)]), 0.22, (3, 1), 0.01)
    s.line(put([(0, -21.4), (0.1, -17), (0, -11.6)]), 0.2, (2, 2), 0.04)
    for _ in range(34):
        a, r = s.rng.uniform(0, 2 * np.pi), s.rng.uniform(0.55, 0.86)
        s.dot(
            put([(13.5 * r * np.cos(a), -15.6 + 6.4 * r * np.sin(a))])[0], s.rng.uniform(0.2, 0.3)
        )
    fringe(s)


def fringe(s):
    """Short hairs where shield meets wing-cases and along the shield's front edge."""
    for x in np.arange(-13.2, 13.3, 1.15):
        y = -8.3 - 2.0 * (abs(x) / 15) ** 1.5
        s.line(
            put([(x, y - 0.1), (x * 1.015, y + 1.5 + s.rng.uniform(-0.3, 0.4))]),
            0.18,
            (0, 0.8),
            0.01,
        )


def main():
    """Draw the sketch from the grass forward and save it next to this script."""
    s = Sheet(A5, 47)
    background(s)
    leaf(s)
    dew(s)
    for name, turn in (("hind", 4), ("middle", -5), ("front", 3)):
        leg(s, name, 1, turn)
        leg(s, name, -1, turn * 1.4)
    abdomen(s)
    cases(s)
    thorax(s)
    s.save(HERE / "sketch.png")


if __name__ == "__main__":
    main()
