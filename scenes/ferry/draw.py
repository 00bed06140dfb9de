"""Ferry landing, night rain: a lit ferry coming in to a wet timber landing."""

# ruff: noqa: RUF005 - "+" adds arrays here

import sys
from itertools import pairwise
from pathlib import Path

import numpy as np

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent))

from pen import A4_WIDE, Sheet, arc, between, clip, ribbon, rotate, smooth  # noqa: E402

HORIZON_MM = 78.0
VANISH = np.array((150.0, HORIZON_MM))
EYE_OVER_DECK, EYE_OVER_WATER = 5.2, 6.1
DECK_EDGE_MM = 160.0
WATERLINE_MM = 117.0
LAMPS = [(64.0 + 11.0 * i, 76.6) for i in range(6)]
PIER_FAR_MM = 110.0


def scale_at(y):
    """Page mm to one metre for something standing on the deck at height y on the page."""
    return (y - HORIZON_MM) / EYE_OVER_DECK


def along(start, y):
    """Point at height y on the line from a start point to the vanishing point."""
    k = (y - HORIZON_MM) / (start[1] - HORIZON_MM)
    return VANISH + (np.array(start, dtype=float) - VANISH) * k


def water_under(y):
    """Page height of the water straight below the deck point at page height y."""
    return HORIZON_MM + EYE_OVER_WATER * scale_at(y)


PIER_LEFT, PIER_RIGHT = (220.0, DECK_EDGE_MM), (291.0, DECK_EDGE_MM)
PIER = np.array(
    [PIER_LEFT, along(PIER_LEFT, PIER_FAR_MM), along(PIER_RIGHT, PIER_FAR_MM), PIER_RIGHT]
)
DECK = np.array(
    [
        (0, DECK_EDGE_MM),
        PIER_LEFT,
        *PIER[1:3],
        PIER_RIGHT,
        (297, DECK_EDGE_MM),
        (297, 210),
        (0, 210),
    ]
)
SHEER = smooth([(43, 103), (80, 105.4), (120, 104.6), (150, 101.0), (170, 95.2)])
HULL = np.vstack(
    [
        SHEER,
        smooth([(170, 95.2), (166.4, 103), (161, 111.4), (156.6, WATERLINE_MM)]),
        [(52, WATERLINE_MM)],
        smooth([(52, WATERLINE_MM), (46.4, 113.4), (43.6, 108), (43, 103)]),
    ]
)
CABIN_FOOT = SHEER[(SHEER[:, 0] > 58) & (SHEER[:, 0] < 147)][::-1]
CABIN = np.vstack([[(CABIN_FOOT[-1, 0], 91), (143, 91)], CABIN_FOOT])
BOAT_DECK = np.array([(53, 88.4), (151, 88.4), (152.4, 91), (53, 91)])
CANOPY = np.array([(57, 71.4), (59.4, 68.6), (122.6, 68.6), (124.6, 71.4)])
WHEELHOUSE = np.array([(127, 88.4), (127, 72.4), (143.4, 72.4), (146, 88.4)])
FUNNEL = np.array([(80, 68.6), (78.4, 52.4), (89.4, 52.4), (93, 68.6)])
FERRY = np.vstack(
    [
        [
            (43, 97.6),
            (57.4, 97.6),
            (57.4, 91),
            (53, 91),
            (53, 81.8),
            (57, 81.8),
            (57, 71.4),
            (59.4, 68.6),
        ],
        [
            (79.9, 68.6),
            (78.4, 51.4),
            (89.4, 51.4),
            (93, 68.6),
            (122.6, 68.6),
            (124.6, 71.4),
            (126, 70.4),
        ],
        [
            (145, 70.4),
            (146.4, 72.4),
            (145.2, 81.8),
            (151, 81.8),
            (152.4, 91),
            (147.6, 93),
            (168.4, 89.5),
        ],
        HULL[len(SHEER) :],
    ]
)
SHORE = [
    (-1, 71),
    (10, 69.4),
    (24, 65.2),
    (37, 66.4),
    (52, 62.2),
    (70, 60.6),
    (88, 63.8),
    (108, 62),
    (128, 66.2),
    (150, 68.6),
    (171, 66.8),
    (194, 70.2),
    (214, 68.6),
    (236, 72),
    (262, 71),
    (281, 74.2),
    (298, 73),
]
SHORE_AREA = np.vstack([smooth(SHORE), [(297, HORIZON_MM), (0, HORIZON_MM)]])
PILES_LEFT = [152.5, 139.5, 129.5, 121.5, 115.5]
PILES_RIGHT = [148.0, 134.0, 123.5, 115.0]
FIGURE = (243.0, 181.0)
PUDDLES = [
    smooth(
        [
            (24, 190),
            (33, 187.4),
            (41, 187.8),
            (50, 184.8),
            (63, 185.6),
            (70, 183.6),
            (83, 184.4),
            (90, 186.8),
            (101, 187.4),
            (97, 190.4),
            (86, 191),
            (80, 193.6),
            (66, 192.8),
            (58, 195.8),
            (46, 195.2),
            (38, 196.8),
            (29, 193.8),
        ],
        closed=True,
    ),
    smooth(
        [
            (124, 202),
            (136, 200),
            (142, 197.6),
            (156, 198.6),
            (165, 196.6),
            (180, 198.2),
            (186, 200),
            (198, 200.6),
            (190, 203.4),
            (178, 203),
            (170, 206),
            (152, 204.6),
            (140, 206.2),
            (132, 204),
        ],
        closed=True,
    ),
    smooth(
        [
            (218, 187.6),
            (228, 186),
            (234, 184),
            (248, 185.2),
            (258, 183.8),
            (264, 186),
            (276, 187),
            (270, 189.4),
            (262, 189.8),
            (256, 192.6),
            (244, 191.2),
            (234, 193),
            (226, 190.6),
        ],
        closed=True,
    ),
]
REFLECTIONS = [
    np.array([(x, WATERLINE_MM + 3), (x, 151.0 - 2.2 * (i % 3))]) for i, (x, _) in enumerate(LAMPS)
]
DECK_REFLECTIONS = [
    np.array([(x, 164.0), (x, 192.0 - 3 * (i % 2))]) for i, (x, _) in enumerate(LAMPS[1:5])
]


def shore(s):
    """Far shore: hills, a wood, a few roofs with lit windows, the horizon."""
    hills = smooth(SHORE)
    s.line(hills, 0.3, wobble=0.05)
    for x0, x1 in ((18, 34), (186, 206), (244, 262)):
        trees(s, x0, x1)
    for x, w in ((204, 5.4), (211.5, 4.4), (221, 6.0), (230, 4.0), (270, 5.0), (12, 4.6)):
        house(s, x, HORIZON_MM, w)
    s.line([(0, HORIZON_MM), (297, HORIZON_MM)], 0.3, wobble=0.02)


def trees(s, x0, x1):
    """A line of tree heads along the shore."""
    x = x0
    while x < x1:
        r = s.rng.uniform(1.3, 2.4)
        crown = smooth(
            [
                (x - r, HORIZON_MM),
                (x - r, HORIZON_MM - r * 1.6),
                (x, HORIZON_MM - r * 2.3),
                (x + r, HORIZON_MM - r * 1.5),
                (x + r, HORIZON_MM),
            ]
        )
        s.blank(crown)
        s.line(crown, 0.22, wobble=0.05)
        x += r * 1.5


def house(s, x, y, w):
    """A cottage on the shore: gable roof, chimney, two lights."""
    h = w * 0.5
    s.box(
        [
            (x + w * 0.66, y - h * 1.5),
            (x + w * 0.66, y - h * 2.1),
            (x + w * 0.8, y - h * 2.1),
            (x + w * 0.8, y - h * 1.4),
        ],
        0.2,
        0,
    )
    s.box([(x, y), (x, y - h), (x + w, y - h), (x + w, y)], 0.24, 0.01)
    s.box(
        [
            (x - 0.4, y - h),
            (x + 0.5, y - h * 1.7),
            (x + w - 0.5, y - h * 1.7),
            (x + w + 0.4, y - h),
        ],
        0.24,
        0.01,
    )
    for k in (0.22, 0.6):
        a = x + w * k
        s.edges(
            [
                (a, y - h * 0.35),
                (a, y - h * 0.7),
                (a + w * 0.16, y - h * 0.7),
                (a + w * 0.16, y - h * 0.35),
            ],
            0.16,
            0,
        )


def rain(s):
    """Slant rain, sparse and fine."""
    for x in s.strew(-10, 300, 34):
        y = s.rng.uniform(2, 140)
        n = s.rng.uniform(4, 9)
        s.line([(x, y), (x - n * 0.2, y + n)], 0.15, (1.5, 1.5), 0.01)


def ripples(s):
    """Ripples opening up toward us, and rings where drops fall."""
    for y in (81.5, 85, 90, 96, 103, 111, 121, 131, 141, 151):
        w = 1.6 + (y - HORIZON_MM) * 0.11
        for x in s.strew(-4, 300, 9):
            x += s.rng.uniform(-6, 6)
            s.curve(
                [
                    (x - w, y + 0.1),
                    (x - 0.3 * w, y - 0.08 * w),
                    (x + 0.3 * w, y + 0.06 * w),
                    (x + w, y),
                ],
                0.22,
                (w * 0.6, w * 0.6),
                0.02,
            )


def hull(s):
    """Hull with rubbing strake, boot line, portholes, anchor and tyre fenders."""
    s.form(HULL, 0.56, 0.03)
    strake = smooth([(43.2, 106.4), (80, 108.8), (120, 108.2), (150, 104.8), (168.4, 99.4)])
    for dy in (0, 1.5):
        s.inset(strake + (0, dy), HULL, 0.28, (0, 0))
    s.inset(smooth([(45.6, 114.4), (100, 115.0), (158.6, 113.8)]), HULL, 0.24, (0, 0))
    for x in (62, 74, 86, 98, 110, 122, 134):
        s.form(arc((x, 112.2 - abs(x - 90) * 0.006), 1.25, n=30), 0.28, 0.01)
    for x in (56.5, 92, 127.5):
        s.line([(x, 103.6), (x, 107.2)], 0.22, wobble=0.02)
        s.form(arc((x, 109.6), 2.5, 2.6, n=36), 0.4, 0.02)
        s.form(arc((x, 109.6), 1.2, 1.25, n=30), 0.28, 0.01)
    s.form(arc((159.4, 101.8), 0.8, n=20), 0.26, 0)
    anchor(s, (158.6, 103.4))


def anchor(s, at):
    """A stowed anchor under its hawse pipe."""
    x, y = at
    s.line([(x + 0.6, y - 1), (x - 0.4, y + 3.2)], 0.34, wobble=0)
    s.line(
        smooth(
            [
                (x - 2.4, y + 1.6),
                (x - 1.6, y + 3.0),
                (x - 0.4, y + 3.4),
                (x + 0.9, y + 3.3),
                (x + 1.9, y + 2.2),
            ]
        ),
        0.34,
        wobble=0,
    )


def cabin(s):
    """Main-deck saloon with a row of windows and a sliding door; the boat deck over it."""
    s.box(CABIN, 0.4, 0.02)
    s.line(SHEER, 0.5, wobble=0.02)
    for i in range(8):
        x = 61.4 + 8.4 * i + (6.5 if i > 3 else 0)
        s.box([(x, 93.4), (x + 5.8, 93.4), (x + 5.8, 99.2), (x, 99.2)], 0.3, 0.01)
        s.line([(x + 0.5, 94.9), (x + 5.3, 94.9)], 0.17, wobble=0.01)
    s.box([(94.6, 92.4), (100.4, 92.4), (100.4, 105.2), (94.6, 105.2)], 0.32, 0.01)
    s.box([(95.7, 93.6), (99.3, 93.6), (99.3, 97.8), (95.7, 97.8)], 0.24, 0.01)
    s.dot((99.5, 100), 0.5)
    for x0, x1, y0, y1 in ((44.6, 57.4, 98.2, 103.4), (147.4, 168.4, 94.6, 96.8)):
        taffrail(s, x0, x1, y0, y1)
    s.box(BOAT_DECK, 0.4, 0.02)


def taffrail(s, x0, x1, y0, y1):
    """Open rails at the stern and bow."""
    drop = 5.4
    for k in (0, 0.5):
        s.line([(x0, y0 + drop * k), (x1, y1 - 5.2 + drop * k)], 0.24, wobble=0.02)
    for t in np.linspace(0, 1, max(3, int((x1 - x0) / 4.2))):
        top = between((x0, y0), (x1, y1 - 5.2), t)
        s.line([top, top + (0, drop + (1.2 if x0 > 100 else 0.4))], 0.24, wobble=0.01)


def upper(s):
    """Funnel, wheelhouse, canopy on posts, rails, lifebuoys and the mast with its stays."""
    mast(s)
    s.box(FUNNEL, 0.42, 0.02)
    s.form(arc((83.9, 52.4), 5.5, 1.1), 0.36, 0.01)
    for y in (56.4, 59.8):
        a, b = (
            between(FUNNEL[1], FUNNEL[0], (y - 52.4) / 16.2),
            between(FUNNEL[2], FUNNEL[3], (y - 52.4) / 16.2),
        )
        s.line(smooth([a, between(a, b, 0.5) + (0, 0.9), b]), 0.28, wobble=0.01)
    pipe = ribbon([(94.6, 68.6), (92.0, 54.6)], None, (1.2, 1.0))
    s.form(pipe, 0.26, 0.01)
    s.box(WHEELHOUSE, 0.42, 0.02)
    for x in (129.0, 133.8, 138.6):
        lean = 0.5 if x > 138 else 0.0
        s.box([(x, 80.4), (x, 75), (x + 3.7, 75), (x + 3.7 + lean, 80.4)], 0.3, 0.01)
    s.box([(125.6, 72.4), (126.6, 70.4), (145, 70.4), (146.4, 72.4)], 0.38, 0.02)
    posts = np.linspace(58.6, 123.4, 7)
    for x in posts:
        s.box([(x - 0.45, 71.4), (x + 0.45, 71.4), (x + 0.45, 88.4), (x - 0.45, 88.4)], 0.24, 0.01)
    benches(s, posts)
    s.box(CANOPY, 0.42, 0.02)
    for x in np.arange(58.6, 121.8, 2.16):
        s.line(smooth([(x, 71.4), (x + 1.08, 72.5), (x + 2.1, 71.4)]), 0.2, wobble=0)
    deck_rail(s)


def benches(s, posts):
    """Slatted benches under the canopy, backs toward us."""
    for a, b in ((posts[0] + 2, posts[2] - 2), (posts[4] + 2, posts[6] - 2)):
        for y in (83.2, 84.9):
            s.box([(a, y), (b, y), (b, y + 1.1), (a, y + 1.1)], 0.2, 0.01)


def deck_rail(s):
    """Boat-deck railing with two lifebuoys hung on it."""
    for y, w in ((82.0, 0.32), (84.2, 0.18), (86.3, 0.18)):
        s.line([(54, y), (126.8, y)], w, wobble=0.01)
        s.line([(146.2, y), (151, y)], w, wobble=0.01)
    for x in (*np.arange(54, 127, 4.55), 151.0):
        s.line([(x, 81.8), (x, 88.4)], 0.22, wobble=0.01)
    for x in (69.5, 112.5):
        s.form(arc((x, 85.0), 2.5, n=40), 0.34, 0.01)
        s.form(arc((x, 85.0), 1.3, n=30), 0.26, 0.01)
        for d in (45, 135, 225, 315):
            s.line([arc((x, 85), r, None, d, d, n=1)[0] for r in (1.3, 2.5)], 0.22, wobble=0)


def mast(s):
    """Raked mast with a yard, masthead light, stays and a small pennant."""
    s.form(ribbon([(134.8, 70.4), (133.4, 41)], None, (1.5, 0.7)), 0.28, 0.01)
    s.line([(128.6, 51.6), (139.2, 51.2)], 0.34, (0.4, 0.4), 0.01)
    for end in ((169.4, 94.4), (60.4, 68.6)):
        s.line([(133.5, 43), end], 0.16, wobble=0.02)
    s.box([(132.4, 57.6), (132.7, 55.2), (135.3, 55.2), (135.6, 57.6)], 0.28, 0.01)
    flag = smooth(
        [
            (133.2, 41.4),
            (129.6, 41.0),
            (126.6, 42.4),
            (122.6, 41.8),
            (126.4, 43.8),
            (130, 43.4),
            (133.3, 44.2),
        ]
    )
    s.form(flag, 0.24, 0.01)


def lamp(s, at):
    """A hanging lamp: short rod, enamel shade, glass."""
    x, y = at
    s.line([(x, 72.2), (x, y - 2.0)], 0.24, wobble=0)
    s.form(arc((x, y), 1.25, 1.45, n=30), 0.28, 0)
    s.form(
        np.vstack(
            [
                smooth(
                    [
                        (x - 2.2, y - 0.3),
                        (x - 1.2, y - 1.6),
                        (x, y - 2.2),
                        (x + 1.2, y - 1.6),
                        (x + 2.2, y - 0.3),
                    ]
                )
            ]
        ),
        0.3,
        0,
    )


def reflections(s):
    """Lamp reflections as broken uprights, hull reflection as short level strokes."""
    for line in REFLECTIONS:
        (x, y0), (_, y1) = line
        y = y0
        while y < y1:
            n = 1.3 + (y - y0) * 0.07 * s.rng.uniform(0.7, 1.3)
            side = s.rng.normal(0, 0.25 + (y - y0) * 0.012)
            s.curve(
                [(x + side, y), (x + side * 0.3 + 0.25, y + n * 0.5), (x - side * 0.6, y + n)],
                0.34,
                (0.5, 0.7),
                0.02,
            )
            y += n + 0.8 + (y - y0) * 0.03
    for i in range(6):
        y = WATERLINE_MM + 1.1 + i * 1.7
        s.broken([(52 + i * 3, y), (158 - i * 4, y)], 0.22, 8 - i, 4 + i * 2.6, 0.05)


def pile(s, x, y, side):
    """One mooring pile through the pier edge: cap, rope turns, and its broken reflection."""
    k = scale_at(y)
    r, top, low = 0.2 * k, y - 1.25 * k, water_under(y)
    foot = low if side < 0 else y
    s.form(
        np.vstack(
            [arc((x, top), r, r * 0.3, 180, 360, n=20), arc((x, foot), r, r * 0.3, 0, 180, n=20)]
        ),
        0.36,
        0.03,
    )
    s.line(arc((x, top), r, r * 0.3, 0, 180, n=20), 0.26, wobble=0.01)
    for j in range(3):
        s.line(
            arc((x, y - (0.5 + 0.1 * j) * k), r * 1.1, r * 0.34, 0, 180, n=16), 0.26, wobble=0.02
        )
    s.broken([(x - r * 0.35, top + 0.2 * k), (x - r * 0.35, foot - 0.2 * k)], 0.18, 3.2, 2.4)
    s.broken([(x + r * 0.4, top + 0.5 * k), (x + r * 0.4, foot)], 0.18, 3.2, 3)
    if side < 0:
        for e in (-0.8, 0.7):
            s.broken([(x + e * r, low + 0.8), (x + e * r, low + 0.9 * k)], 0.24, 2.0, 1.2, 0.15)


def pier(s):
    """The finger pier running out, its plank ends, side beam, piles and lamp post."""
    far_l = PIER[1]
    drop_n, drop_f = 0.42 * scale_at(DECK_EDGE_MM), 0.42 * scale_at(PIER_FAR_MM)
    beam = np.array([PIER_LEFT, far_l, far_l + (0, drop_f), (PIER_LEFT[0], PIER_LEFT[1] + drop_n)])
    s.box(beam, 0.36, 0.03)
    s.box(PIER, 0.44, 0.03)
    y, step = DECK_EDGE_MM - 3.0, 3.0
    while y > PIER_FAR_MM + 1:
        a, b = along(PIER_LEFT, y), along(PIER_RIGHT, y)
        cut = s.rng.uniform(0.15, 0.45)
        s.line([a, between(a, b, cut)], 0.2, (0, 2), 0.03)
        if s.rng.random() < 0.7:
            s.line([between(a, b, s.rng.uniform(0.6, 0.85)), b], 0.2, (2, 0), 0.03)
        step = 0.042 * (y - HORIZON_MM)
        y -= step
    for edge in PILES_RIGHT[::-1]:
        pile(s, *along(PIER_RIGHT, edge), 1)
    lamp_post(s)
    for edge in PILES_LEFT[::-1]:
        pile(s, *along(PIER_LEFT, edge), -1)


def lamp_post(s):
    """A standard on the pier with a swan neck and a hooded lamp, the light still off."""
    x, y = along((283, DECK_EDGE_MM), 128)
    h = 3.7 * scale_at(128)
    s.form(ribbon([(x, y), (x, y - h)], None, (1.9, 1.1)), 0.32, 0.02)
    s.box([(x - 1.7, y), (x - 1.3, y - 4.4), (x + 1.3, y - 4.4), (x + 1.7, y)], 0.32, 0.01)
    neck = smooth(
        [
            (x, y - h),
            (x - 0.3, y - h - 5),
            (x - 3.6, y - h - 7.4),
            (x - 7, y - h - 5.6),
            (x - 7.4, y - h - 3),
        ]
    )
    s.form(ribbon(neck, None, (1.1, 0.9)), 0.28, 0.01)
    c = (x - 7.4, y - h - 1)
    s.form(arc((c[0], c[1] + 0.3), 1.7, 2.0, n=30), 0.3, 0.01)
    s.form(
        np.vstack(
            [
                smooth(
                    [
                        (c[0] - 3.6, c[1]),
                        (c[0] - 2.0, c[1] - 1.8),
                        (c[0], c[1] - 2.6),
                        (c[0] + 2.0, c[1] - 1.8),
                        (c[0] + 3.6, c[1]),
                    ]
                )
            ]
        ),
        0.36,
        0.01,
    )


def deck(s):
    """The wet landing: planks running to the vanishing point, nail heads, puddles, splashes."""
    area = [(0, DECK_EDGE_MM), (297, DECK_EDGE_MM), (297, 210), (0, 210)]
    s.blank(area)
    for x in np.arange(-130, 440, 15.5):
        p, q = np.array((x, 212.0)), along((x, 212.0), DECK_EDGE_MM + 5.4)
        runs = [np.array([p, q])]
        for pool in PUDDLES:
            runs = [r for run in runs for r in clip(run, pool, keep_inside=False)]
        for r in runs:
            s.broken(r, 0.26, 22, 2.4, 0.06)
    s.line([(0, DECK_EDGE_MM), (PIER_LEFT[0], DECK_EDGE_MM)], 0.5, wobble=0.04)
    s.line([(PIER_RIGHT[0], DECK_EDGE_MM), (297, DECK_EDGE_MM)], 0.5, wobble=0.04)
    s.line([(0, DECK_EDGE_MM + 5.4), (297, DECK_EDGE_MM + 5.4)], 0.34, wobble=0.05)
    for x in np.arange(6, 297, 14.6):
        s.dot((x, DECK_EDGE_MM + 2.7), 0.5)
    for pool in PUDDLES:
        s.form(pool, 0.3, 0.06)
    splashes(s)


def splashes(s):
    """Rain striking the deck: small rings with a jumping drop or two."""
    for _ in range(26):
        x, y = s.rng.uniform(6, 291), s.rng.uniform(169, 207)
        r = 0.9 + (y - 165) * 0.03
        s.line(arc((x, y), r, r * 0.32, 20, 330, n=30), 0.2, (0.5, 0.8), 0.02)
        s.line([(x, y - 0.3 * r), (x - 0.1, y - 1.1 * r)], 0.22, (0, 0.3), 0.01)
        s.dot((x + s.rng.uniform(-0.8, 0.8) * r, y - s.rng.uniform(1.5, 2.1) * r), 0.32)


def bollard(s, x, y):
    """A cast bollard with a hawser made fast in turns, leading away to a coil."""
    s.form(
        np.vstack([arc((x, y), 6.2, 1.9, 0, 180), arc((x, y - 1.6), 6.2, 1.9, 180, 360)]),
        0.42,
        0.02,
    )
    s.line(arc((x, y - 1.6), 6.2, 1.9, 0, 180), 0.26, wobble=0.01)
    body = np.vstack(
        [
            smooth([(x - 3.8, y - 1.6), (x - 3.2, y - 6), (x - 3.4, y - 10.6)]),
            smooth([(x + 3.4, y - 10.6), (x + 3.2, y - 6), (x + 3.8, y - 1.6)]),
            arc((x, y - 1.6), 3.8, 1.2, 0, 180, n=24),
        ]
    )
    s.form(body, 0.42, 0.02)
    s.form(
        smooth(
            [
                (x - 4.8, y - 11.6),
                (x - 3.6, y - 14.2),
                (x, y - 15),
                (x + 3.6, y - 14.2),
                (x + 4.8, y - 11.6),
                (x + 3.2, y - 10.2),
                (x, y - 9.7),
                (x - 3.2, y - 10.2),
            ],
            True,
        ),
        0.44,
        0.02,
    )
    for j in range(4):
        rope(s, arc((x, y - 3.6 - 1.45 * j), 4.4, 1.3, -8, 188, n=30), 1.5)
    rope(
        s,
        smooth(
            [
                (x - 4.2, y - 3.9),
                (x - 12, y - 0.4),
                (x - 22, y + 3.4),
                (x - 38, y + 5),
                (x - 50, y + 4),
            ]
        ),
        1.5,
    )


def rope(s, path, wide):
    """Laid rope: two edges and slanting strands."""
    s.form(ribbon(path, np.full(len(path), wide)), 0.26, 0.01)
    n = len(path)
    half = ribbon(path, np.full(n, wide * 0.8))
    gap = max(1, round(1.1 / max(0.05, np.hypot(*(path[1] - path[0])))))
    for i in range(0, n - gap, gap):
        s.line([half[i], half[2 * n - 1 - min(n - 1, i + gap)]], 0.18, wobble=0)


def coil(s, x, y):
    """A flat coil of rope on the deck."""
    for r, dy in ((11.0, 0), (10.6, -1.5), (8.2, -1.8), (5.8, -1.9)):
        ring = arc((x, y + dy), r, r * 0.3, 0, 360, n=90)
        s.blank(ring)
        rope(s, ring, 1.5)
    rope(s, smooth([(x + 9, y + 1), (x + 15, y + 3.4), (x + 22, y + 2.4), (x + 28, y + 4.6)]), 1.5)


def figure(s):
    """A passenger under an umbrella, seen from behind, case in hand, mirrored in the wet boards."""
    x, y = FIGURE
    for e in (-2.4, 2.2):
        s.form(
            smooth(
                [
                    (x + e - 1.5, y),
                    (x + e - 1.3, y - 1.4),
                    (x + e + 1.2, y - 1.4),
                    (x + e + 1.5, y),
                    (x + e, y + 0.6),
                ],
                True,
            ),
            0.3,
            0.01,
        )
        s.box(
            [
                (x + e - 0.95, y - 7.5),
                (x + e + 1.05, y - 7.5),
                (x + e + 0.9, y - 1),
                (x + e - 0.8, y - 1),
            ],
            0.32,
            0.01,
        )
    coat = np.vstack(
        [
            smooth(
                [(x - 3.0, y - 26.4), (x - 4.8, y - 24.0), (x - 5.2, y - 17), (x - 5.8, y - 6.2)]
            ),
            smooth([(x - 2, y - 5.4), (x + 2.4, y - 5.6), (x + 6.2, y - 6.6)]),
            smooth([(x + 5.0, y - 17), (x + 4.6, y - 24.0), (x + 2.6, y - 26.4)]),
        ]
    )
    s.form(coat, 0.42, 0.02)
    s.curve([(x + 0.1, y - 14.6), (x - 0.1, y - 10), (x + 0.3, y - 5.5)], 0.26, (1, 0), 0.02)
    s.line(smooth([(x - 5.1, y - 16.8), (x, y - 15.9), (x + 4.9, y - 16.9)]), 0.26, wobble=0.01)
    s.line(smooth([(x - 5.1, y - 15.4), (x, y - 14.5), (x + 4.9, y - 15.5)]), 0.26, wobble=0.01)
    case(s, x - 7.8, y - 8.6)
    sleeve = smooth(
        [
            (-2.6, -25.8),
            (-4.8, -24.4),
            (-7.2, -19.4),
            (-8.5, -12.4),
            (-6.0, -11.8),
            (-4.6, -17.4),
            (-3.2, -21.6),
        ],
        closed=True,
    ) + (x, y)
    s.form(sleeve, 0.36, 0.02)
    s.form(arc((x - 7.4, y - 11.2), 1.1, 1.2, n=24), 0.28, 0.01)
    s.form(arc((x - 0.1, y - 28.6), 2.5, 2.9, n=40), 0.36, 0.01)
    s.form(
        smooth([(x - 3.4, y - 25.6), (x, y - 27.4), (x + 3.2, y - 25.6), (x, y - 24.6)], True),
        0.34,
        0.01,
    )
    umbrella(s, x + 1.6, y - 29)
    elbow = smooth(
        [
            (x + 2.7, y - 25.6),
            (x + 5.2, y - 23.6),
            (x + 7.0, y - 19.6),
            (x + 5.6, y - 18.0),
            (x + 3.9, y - 19.6),
            (x + 3.3, y - 22),
        ]
    )
    s.blank(elbow)
    s.line(elbow, 0.36, (0, 0.8), 0.02)
    for e, n in ((-4.8, 9), (-1.6, 12), (1.6, 12), (5.0, 8)):
        s.broken([(x + e, y + 2), (x + e, y + 2 + n)], 0.26, 2.4, 1.3, 0.12)


def case(s, x, y):
    """A small suitcase with straps."""
    s.line(
        smooth([(x - 0.8, y - 0.2), (x - 0.6, y - 1.6), (x + 1.8, y - 1.6), (x + 2.0, y - 0.2)]),
        0.3,
        wobble=0,
    )
    s.box([(x - 4.4, y), (x + 3.6, y), (x + 3.6, y + 6), (x - 4.4, y + 6)], 0.36, 0.02)
    for dx in (-2.6, 1.6):
        s.line([(x + dx, y), (x + dx, y + 6)], 0.24, wobble=0.01)


def umbrella(s, x, y):
    """Open umbrella, tilted into the rain, ribs meeting at the ferrule."""
    top = np.array((1.6, -8.6))
    rim = [
        (-13.5, 2.6),
        (-9.2, 1.0),
        (-4.2, 2.6),
        (1.2, 1.2),
        (6.6, 2.0),
        (11.6, -0.2),
        (14.4, 0.6),
    ]
    crown = smooth(
        [(-13.5, 2.6), (-10.6, -3.0), (-5, -7.2), (1.6, -8.6), (8, -7.0), (12.6, -3.4), (14.4, 0.6)]
    )
    scallops = [smooth([a, between(a, b, 0.5) + (0, -0.9), b]) for a, b in pairwise(rim)]
    shape = rotate(np.vstack([crown, np.vstack(scallops)[::-1]]), -4) + (x, y)
    s.form(shape, 0.46, 0.02)
    for tip in rim[1:-1]:
        bow = between(tip, top, 0.5) + ((tip[0] - top[0]) * 0.16, -0.9)
        s.line(rotate(smooth([tip, bow, top]), -4) + (x, y), 0.24, wobble=0.01)
    s.line(rotate([top, top + (0.1, -2.4)], -4) + (x, y), 0.5, wobble=0)


def dolphin(s, x, y):
    """A beacon on three leaning piles."""
    for a, b in ((-4.6, -1.2), (4.6, 1.2), (0, 0)):
        s.form(ribbon([(x + a, y), (x + b, y - 17)], None, (2.2, 1.9)), 0.34, 0.03)
    s.box([(x - 3, y - 18.6), (x + 3, y - 18.6), (x + 3, y - 16.4), (x - 3, y - 16.4)], 0.34, 0.02)
    s.box(
        [(x - 1.3, y - 22.6), (x + 1.3, y - 22.6), (x + 1.3, y - 18.6), (x - 1.3, y - 18.6)],
        0.32,
        0.01,
    )
    s.box([(x - 2.0, y - 22.6), (x, y - 24.6), (x + 2.0, y - 22.6)], 0.32, 0.01)
    for e in (-4.6, 0, 4.6):
        s.broken([(x + e, y + 1.2), (x + e * 1.1, y + 9)], 0.24, 2, 1.4, 0.12)


def main():
    """Draw the sketch from the far shore forward and save it next to this script."""
    s = Sheet(A4_WIDE, 59)
    rain(s)
    shore(s)
    ripples(s)
    dolphin(s, 19, 109)
    hull(s)
    cabin(s)
    upper(s)
    for at in LAMPS:
        lamp(s, at)
    reflections(s)
    pier(s)
    near = along(PIER_LEFT, PILES_LEFT[-1])
    s.line(smooth([(160.2, 101.4), (168, 106.6), near + (-1.3, -4.6)]), 0.3, wobble=0.02)
    deck(s)
    coil(s, 152, 177.0)
    bollard(s, 58, 172)
    figure(s)
    s.save(HERE / "sketch.png")


if __name__ == "__main__":
    main()
