"""Draws the sketch of a storm over ploughed land: barn, poplars and a fence under a large sky."""

import sys
from itertools import pairwise
from pathlib import Path

import numpy as np

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent))
from pen import A5, Sheet  # noqa: E402

LAND = [(-2, 106), (30, 104.6), (62, 105.4), (96, 104.2), (140, 105.2), (176, 103.8), (213, 105)]
FAR = [(-2, 106.2), (20, 101.8), (44, 100.4), (70, 102.6), (88, 104.6)]
VANISH = np.array([118.0, 96.0])


def furrows(s):
    """Lines of the plough that run together behind the barn."""
    for x in np.linspace(-150, 330, 27):
        foot = np.array([x, 150.0])
        way = VANISH - foot
        top = foot + way * 0.76
        bend = foot + way * 0.4 + (0.6, 0.4)
        if -40 < top[0] < 250:
            s.curve([foot, bend, top], 0.24, (6, 9), 0.08)


def barn(s):
    """A barn with its roof, door and boards."""
    s.box([(142, 88), (142, 110), (168, 110.6), (168, 88)], 0.4)
    s.box([(168, 88), (168, 110.6), (186, 108.4), (186, 88.4)], 0.4)
    s.box([(140, 88.6), (146, 76.4), (182, 76), (188.2, 89), (168.6, 88.6), (166, 88.6)], 0.42)
    s.box([(150.4, 95), (150.4, 110.2), (159.8, 110.4), (159.8, 95)], 0.34)
    s.line([(150.4, 95), (159.8, 110.4)], 0.28)
    for x in (145, 147.8, 162.6, 165.4):
        s.line([(x, 90.5), (x, 108.8)], 0.2, (1, 2))
    for x in (153, 160, 167.5, 175):
        s.line([(x, 77.6), (x + 0.8, 86.8)], 0.2, (2, 3))


def poplar(s, x, foot, top, half):
    """One poplar, leaning a little in the wind."""
    height = foot - top
    left = [(x, foot), (x - half, foot - 0.3 * height), (x - 0.6 * half, foot - 0.7 * height)]
    right = [(x + 0.9 * half, foot - 0.65 * height), (x + half, foot - 0.28 * height), (x, foot)]
    s.form(np.vstack([left, [(x + 1.2, top)], right]), 0.36, 0.3)
    for at in (0.25, 0.42, 0.6, 0.78):
        y = foot - at * height
        s.curve([(x - 0.4 * half, y + 1.6), (x, y), (x + 0.5 * half, y - 2.2)], 0.22, (1, 1.5))
    s.line([(x, foot), (x, foot + 2.6)], 0.6)


def fence(s):
    """Posts and two wires in front."""
    posts = [(14, 132), (38, 128), (58, 124.6), (74, 121.8), (87, 119.6)]
    for n, (x, y) in enumerate(posts):
        high = 14 - 2.1 * n
        s.box([(x - 0.9, y), (x - 0.7, y - high), (x + 0.7, y - high - 0.4), (x + 0.9, y)], 0.32)
    for a, ((x0, y0), (x1, y1)) in enumerate(pairwise(posts)):
        for share in (0.35, 0.75):
            start = (x0 + 1, y0 - share * (14 - 2.1 * a))
            s.line([start, (x1 - 1, y1 - share * (11.9 - 2.1 * a))], 0.2, wobble=0.1)


def main():
    """Draw from the sky forward and save beside this script."""
    s = Sheet((A5[1], A5[0]), 23)
    s.curve(FAR, 0.32, (0, 3), 0.1)
    s.curve(LAND, 0.42, (0, 0), 0.1)
    furrows(s)
    for x, foot, top, half in ((112, 106, 70, 3.6), (120.5, 106.4, 62, 4.2), (129, 106, 67, 3.8)):
        poplar(s, x, foot, top, half)
    barn(s)
    fence(s)
    for x, y, wide in ((52, 40, 3.4), (60, 46, 2.6), (47, 50, 2.2)):
        s.curve([(x - wide, y - 0.6), (x - wide / 2, y - 1.6), (x, y)], 0.3)
        s.curve([(x, y), (x + wide / 2, y - 1.7), (x + wide, y - 0.9)], 0.3)
    s.save(HERE / "sketch.png")


if __name__ == "__main__":
    main()
