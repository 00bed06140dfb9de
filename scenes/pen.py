"""Fine-liner drawing helpers for the demo scenes: millimetres in, a 300 dpi grey sketch out."""

from itertools import pairwise
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw

DPI = 300
MM = 25.4 / DPI
SUPER = 4
A4 = (2480, 3508)
A4_WIDE = (3508, 2480)
A5 = (1748, 2480)


def points(pts):
    """Return points as an (n, 2) float array."""
    return np.asarray(pts, dtype=float).reshape(-1, 2)


def smooth(pts, closed=False, per=14):
    """Centripetal-looking Catmull-Rom curve through the points, sampled `per` times a span."""
    p = points(pts)
    p = (
        np.vstack([p[-1], p, p[:2]])
        if closed
        else np.vstack([2 * p[0] - p[1], p, 2 * p[-1] - p[-2]])
    )
    t = np.linspace(0, 1, per, endpoint=False)[:, None]
    out = []
    for a, b, c, d in zip(p[:-3], p[1:-2], p[2:-1], p[3:], strict=True):
        out.append(
            0.5
            * (
                2 * b
                + (c - a) * t
                + (2 * a - 5 * b + 4 * c - d) * t**2
                + (3 * b - 3 * c + d - a) * t**3
            )
        )
    return np.vstack(out if closed else [*out, p[-2][None]])


def arc(centre, rx, ry=None, start=0.0, end=360.0, turn=0.0, n=72):
    """Elliptic arc in degrees (0 right, 90 down), turned about its centre by `turn` degrees."""
    a = np.radians(np.linspace(start, end, n))
    xy = np.column_stack([rx * np.cos(a), (rx if ry is None else ry) * np.sin(a)])
    return rotate(xy, turn) + np.asarray(centre, dtype=float)


def rotate(pts, degrees, about=(0.0, 0.0)):
    """Turn points clockwise on the page about a point."""
    a = np.radians(degrees)
    m = np.array([[np.cos(a), np.sin(a)], [-np.sin(a), np.cos(a)]])
    return (points(pts) - about) @ m + about


def between(a, b, t):
    """Point(s) a part `t` of the way from a to b."""
    a, b = np.asarray(a, dtype=float), np.asarray(b, dtype=float)
    return a + (b - a) * t


def resample(pts, step=0.18):
    """Points spaced evenly along a path, ends kept."""
    p = points(pts)
    s = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(p, axis=0).T))])
    n = max(2, int(np.ceil(s[-1] / step)) + 1)
    u = np.linspace(0, s[-1], n)
    return np.column_stack([np.interp(u, s, p[:, 0]), np.interp(u, s, p[:, 1])])


def ribbon(path, widths=None, ends=(1.0, 1.0)):
    """Closed outline of a band along a path: given widths, or tapering evenly between two."""
    p = points(path)
    w = np.linspace(*ends, len(p)) if widths is None else np.asarray(widths, dtype=float)
    d = np.gradient(p, axis=0)
    side = np.column_stack([-d[:, 1], d[:, 0]]) / np.hypot(*d.T)[:, None] * w[:, None] / 2
    return np.vstack([p - side, (p + side)[::-1]])


def close(pts):
    """Repeat the first point at the end."""
    p = points(pts)
    return np.vstack([p, p[:1]])


def inside(pts, polygon):
    """Even-odd test: which points lie in the polygon."""
    p, q = points(pts), points(polygon)
    hit = np.zeros(len(p), dtype=bool)
    for (x0, y0), (x1, y1) in zip(q, np.roll(q, -1, axis=0), strict=True):
        if y0 == y1:
            continue
        spans = (y0 > p[:, 1]) != (y1 > p[:, 1])
        hit ^= spans & (p[:, 0] < (x1 - x0) * (p[:, 1] - y0) / (y1 - y0) + x0)
    return hit


def clip(pts, polygon, keep_inside=True):
    """Split a path into the runs that lie inside (or outside) a polygon."""
    p = resample(pts, 0.1)
    ok = inside(p, polygon) == keep_inside
    edges = np.flatnonzero(np.diff(ok.astype(int))) + 1
    runs = zip(np.split(p, edges), np.split(ok, edges), strict=True)
    return [r for r, k in runs if k[0] and len(r) > 3]


class Sheet:
    """White paper with a pen over it. Shapes blank what they cover, so draw from back to front."""

    def __init__(self, size, seed):
        """Take a size in 300 dpi pixels and a seed for the hand's wobble."""
        self.size = size
        self.rng = np.random.default_rng(seed)
        self.image = Image.new("L", (size[0] * SUPER, size[1] * SUPER), 255)
        self.draw = ImageDraw.Draw(self.image)
        self.scale = SUPER / MM

    @property
    def page(self):
        """Width and height in millimetres."""
        return self.size[0] * MM, self.size[1] * MM

    def _drift(self, n, step, wavelength):
        """Slow random curve of unit size, zero-mean, sampled at n points."""
        knots = max(4, int(n * step / wavelength) + 4)
        x = np.linspace(0, knots - 1, n)
        k = self.rng.normal(size=knots)
        i = np.clip(x.astype(int), 0, knots - 2)
        f = x - i
        f = f * f * (3 - 2 * f)
        return k[i] * (1 - f) + k[i + 1] * f

    def _hand(self, p, wobble):
        """Shift a resampled path sideways by the hand's drift, ends held still."""
        n = len(p)
        t = np.gradient(p, axis=0)
        t /= np.maximum(np.hypot(*t.T), 1e-9)[:, None]
        hold = np.minimum(1, np.minimum(np.arange(n), np.arange(n)[::-1]) / max(1, min(12, n // 3)))
        off = self._drift(n, 0.18, 9) * wobble + self._drift(n, 0.18, 2.2) * wobble * 0.25
        return p + np.column_stack([-t[:, 1], t[:, 0]]) * (off * hold)[:, None]

    def line(self, pts, width=0.35, taper=(0.0, 0.0), wobble=0.06):
        """One pen stroke: `taper` gives the length in mm over which each end thins out."""
        p = points(pts)
        if len(p) < 2 or np.hypot(*np.diff(p, axis=0).T).sum() < 0.05:
            return
        p = self._hand(resample(p), wobble)
        n = len(p)
        w = width * (1 + 0.11 * self._drift(n, 0.18, 6))
        at = np.arange(n) * 0.18
        for run, length in ((at, taper[0]), (at[::-1], taper[1])):
            if length:
                w *= 0.3 + 0.7 * np.clip(run / length, 0, 1) ** 0.7
        self._ink(p, w)

    def _ink(self, p, w):
        """Fill a stroke of varying width as a chain of quads and discs."""
        p, r = p * self.scale, np.maximum(w, 0.1) * self.scale / 2
        d = np.diff(p, axis=0)
        d /= np.maximum(np.hypot(*d.T), 1e-9)[:, None]
        side = np.column_stack([-d[:, 1], d[:, 0]])
        for i, s in enumerate(side):
            a, b = s * r[i], s * r[i + 1]
            self.draw.polygon([*map(tuple, (p[i] + a, p[i + 1] + b, p[i + 1] - b, p[i] - a))], 0)
        for (x, y), q in zip(p, r, strict=True):
            self.draw.ellipse((x - q, y - q, x + q, y + q), fill=0)

    def curve(self, pts, width=0.35, taper=(1.5, 1.5), wobble=0.04):
        """Smooth stroke through a few points."""
        self.line(smooth(pts), width, taper, wobble)

    def edges(self, pts, width=0.35, wobble=0.06):
        """Closed straight-sided outline, each side its own stroke, corners meeting."""
        p = close(pts)
        for a, b in pairwise(p):
            self.line([a, b], width, wobble=wobble)

    def loop(self, pts, width=0.35, wobble=0.04):
        """Closed outline along already smooth points."""
        self.line(close(pts), width, wobble=wobble)

    def blank(self, pts):
        """Return the covered area to white paper."""
        self.draw.polygon([*map(tuple, points(pts) * self.scale)], 255)

    def solid(self, pts):
        """Ink an area solid black."""
        self.draw.polygon([*map(tuple, points(pts) * self.scale)], 0)

    def box(self, pts, width=0.35, wobble=0.06):
        """Straight-sided object in front of what is drawn so far."""
        self.blank(pts)
        self.edges(pts, width, wobble)

    def form(self, pts, width=0.35, wobble=0.04):
        """Curved object in front of what is drawn so far."""
        self.blank(pts)
        self.loop(pts, width, wobble)

    def inset(self, pts, polygon, width=0.25, taper=(0.6, 0.6), wobble=0.05):
        """Stroke kept inside a polygon."""
        for run in clip(pts, polygon):
            self.line(run, width, taper, wobble)

    def broken(self, pts, width=0.25, dash=6.0, gap=3.0, wobble=0.06):
        """Stroke lifted now and then, lengths uneven."""
        p = resample(pts, 0.1)
        i = int(self.rng.uniform(0, gap) / 0.1)
        while i < len(p) - 4:
            n = max(5, int(dash * self.rng.uniform(0.3, 1.5) / 0.1))
            end = min(1.2, n * 0.03)
            self.line(p[i : i + n], width, (end, end), wobble)
            i += n + int(gap * self.rng.uniform(0.4, 1.7) / 0.1)

    def shade(self, path, reach, angle=60, spacing=0.8, width=0.2):
        """Hatch the strip to the right of a ledge, narrowing to its foot."""
        p = points(path)
        t = np.linspace(0.35, 1, len(p)) * np.linspace(1, 0.15, len(p)) * 2.2
        self.hatch(
            np.vstack([p, (p + np.column_stack([reach * t, 0.25 * reach * t]))[::-1]]),
            angle,
            spacing,
            width,
            0.05,
        )

    def hatch(self, polygon, angle, spacing=1.1, width=0.2, skip=0.08):
        """Even parallel strokes inside a polygon, a few left out, ends tapered."""
        q = rotate(polygon, -angle)
        (x0, y0), (x1, y1) = q.min(axis=0), q.max(axis=0)
        for y in np.arange(y0 + spacing / 2, y1, spacing):
            if self.rng.random() < skip:
                continue
            j = self.rng.normal(0, spacing * 0.1, 2)
            stroke = rotate([(x0, y + j[0]), (x1, y + j[1])], angle)
            self.inset(stroke, polygon, width, (0.3, 1.4), 0.04)

    def dot(self, at, size=0.35):
        """A pen dot."""
        x, y = np.asarray(at, dtype=float) * self.scale
        r = size * self.scale / 2
        self.draw.ellipse((x - r, y - r, x + r, y + r), fill=0)

    def strew(self, x0, x1, count):
        """Positions strewn along a line without crowding."""
        return x0 + (np.arange(count) + self.rng.uniform(0.15, 0.85, count)) * (x1 - x0) / count

    def pebble(self, at, size):
        """A small stone lying on the ground."""
        x, y = at
        k = np.arange(0, 360, 45)
        r = self.rng.uniform(0.86, 1.12, (8, 1)) * size
        ring = np.column_stack([np.cos(np.radians(k)), 0.58 * np.sin(np.radians(k))]) * r
        self.form(smooth(np.add(ring, at), closed=True), 0.22, 0.01)
        foot = [(x - size * 1.1, y + size * 0.6), (x + size * 1.7, y + size * 0.62)]
        self.line(foot, 0.2, (0.2, 0.6))

    def tuft(self, at, height, blades=7, lean=0.15, spread=0.5, width=0.28):
        """A tuft of grass: tapering blades bending from uneven roots."""
        x, y = at
        for t in self.rng.permutation(np.linspace(-1, 1, blades)):
            h = height * self.rng.uniform(0.5, 1.05) * (1 - 0.3 * abs(t))
            dx = h * (t * spread + lean + self.rng.normal(0, 0.08))
            root = (x + t * height * 0.2, y + self.rng.uniform(-0.04, 0.04) * height)
            mid = (root[0] + dx * 0.28, y - h * 0.62)
            bend = [root, mid, (root[0] + dx, y - h)]
            self.curve(bend, width, (h * 0.3, h * 0.7), 0.02)

    def rough(self, pts, size=0.25, rounds=3):
        """Break a polyline's sides into uneven facets, as on rock."""
        p = points(pts)
        for _ in range(rounds):
            d = np.diff(p, axis=0)
            t = self.rng.uniform(0.35, 0.65, (len(d), 1))
            off = np.column_stack([-d[:, 1], d[:, 0]]) * self.rng.normal(0, size * 0.4, (len(d), 1))
            mid = p[:-1] + d * t + np.clip(off, -2, 2)
            p = np.insert(p, np.arange(1, len(p)), mid, axis=0)
        return p

    def save(self, path):
        """Area-average to 300 dpi and write an 8-bit grey PNG."""
        small = self.image.reduce(SUPER)
        small.save(Path(path), dpi=(DPI, DPI), optimize=True)


def gull(sheet, at, span, bank=0.0, flap=0.25, width=0.3):
    """A gull on the wing, three-quarter view: far wing, tail, body and head, near wing in front."""
    near = smooth(
        [
            (0.02, -0.035),
            (0.1, -0.13 - flap * 0.3),
            (0.2, -0.17 - flap * 0.45),
            (0.36, -0.12 - flap * 0.45),
            (0.54, 0.02 - flap * 0.4),
            (0.34, -0.05 - flap * 0.33),
            (0.22, -0.05 - flap * 0.2),
            (0.13, 0.02),
        ]
    )
    far = smooth(
        [
            (-0.03, -0.035),
            (-0.09, -0.15 - flap * 0.3),
            (-0.19, -0.19 - flap * 0.4),
            (-0.33, -0.15 - flap * 0.35),
            (-0.46, -0.03 - flap * 0.25),
            (-0.3, -0.1 - flap * 0.2),
            (-0.18, -0.09 - flap * 0.1),
            (0.0, 0.0),
        ]
    )
    body = smooth(
        [
            (-0.2, 0.035),
            (-0.17, -0.01),
            (-0.12, -0.02),
            (-0.04, -0.045),
            (0.06, -0.03),
            (0.16, 0.02),
            (0.2, 0.045),
            (0.12, 0.065),
            (0.0, 0.085),
            (-0.1, 0.08),
            (-0.17, 0.065),
        ],
        closed=True,
    )
    tail = [(0.14, 0.02), (0.29, 0.045), (0.3, 0.075), (0.26, 0.095), (0.12, 0.06)]
    bill = [(-0.195, 0.02), (-0.265, 0.05), (-0.255, 0.065), (-0.19, 0.055)]

    def place(p):
        return rotate(p, bank) * span + at

    for part in (far, np.array(tail), np.array(bill), body):
        sheet.form(place(part), width, 0.015)
    sheet.blank(place(near))
    sheet.line(place(near), width, (0, 0.5), 0.015)
    sheet.solid(
        place([(0.54, 0.02 - flap * 0.4), (0.43, -0.075 - flap * 0.43), (0.4, -0.02 - flap * 0.36)])
    )
    sheet.solid(
        place(
            [
                (-0.46, -0.03 - flap * 0.25),
                (-0.385, -0.115 - flap * 0.31),
                (-0.36, -0.065 - flap * 0.23),
            ]
        )
    )
    sheet.dot(place([(-0.165, 0.025)])[0], max(0.3, span * 0.02))
    return place(np.vstack([near, body, tail]))
