"""Write munsell_grid.csv: Munsell hue and chroma on a regular grid of value, hue angle and chroma.

Run from the root of the repository: `python glaze/materials/tables/make_munsell.py`. Needs
colour-science, whose renotation table (Newhall, Nickerson and Judd 1943, with the extrapolated
colours) is turned inside out here, so that reading a colour needs neither it nor a search.
"""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator

from glaze.materials.munsell import ANGLES, CHROMAS_AB, FAMILIES, ILLUMINANT_C_XYZ, VALUES
from glaze.physics.colour import lab_from_xyz, luminance_of_value, xyz_from_xy

Array = NDArray[np.float64]


def hue_number(name: str) -> float:
    """ "2.5YR" -> 12.5, counted from 0 = 10RP round to 100."""
    found = re.fullmatch(r"([\d.]+)([A-Z]+)", name)
    assert found, name
    return float(found[1]) + 10.0 * FAMILIES.index(found[2])


def rays(value: float, colours: list) -> dict[float, Array]:
    """For each hue number, rows of (Munsell chroma, C*ab, hue angle [deg]) under illuminant C.

    Each of shape (colours, 3).
    """
    found: dict[float, list[tuple[float, float, float]]] = {}
    for (name, V, chroma), xyY in colours:
        if value != V:
            continue
        xyz = xyz_from_xy(xyY[:2]) * luminance_of_value(value)
        _, a, b = lab_from_xyz(xyz, ILLUMINANT_C_XYZ)
        row = (float(chroma), float(np.hypot(a, b)), float(np.degrees(np.arctan2(b, a))))
        found.setdefault(hue_number(name), []).append(row)
    return {hue: np.array(sorted(rows)) for hue, rows in found.items()}


def along(ray: Array) -> tuple[Array, Array]:
    """Ratio of Munsell chroma to C*ab, and hue angle, at CHROMAS_AB; held beyond the ray's ends.

    Ratio [-] and angle [deg], shape (chromas,) each, of a ray of shape (colours, 3).
    """
    chroma, C, angle = ray.T
    angle = np.degrees(np.unwrap(np.radians(angle)))
    at = np.clip(CHROMAS_AB, C[0], C[-1])
    if len(C) == 1:
        return np.full(at.size, chroma[0] / C[0]), np.full(at.size, angle[0])
    return PchipInterpolator(C, chroma / C)(at), PchipInterpolator(C, angle)(at)


def plane(value: float, colours: list) -> tuple[Array, Array]:
    """Ratio and hue number minus angle/3.6, each (angles, chromas), at one Munsell value.

    Both [-], shape (angles, chromas).
    """
    found = rays(value, colours)
    hues = np.array(sorted(found))
    ratios, angles = np.moveaxis(np.array([along(found[h]) for h in hues]), 1, 0)
    ratio, turn = np.empty((2, ANGLES.size, CHROMAS_AB.size))
    for c in range(CHROMAS_AB.size):
        # the circle three times over, so that its ends are interpolated as the rest
        start = np.degrees(np.unwrap(np.radians(angles[:, c])))
        x = np.concatenate([start - 360, start, start + 360])
        h = np.concatenate([hues - 100, hues, hues + 100])
        goal = ANGLES + 360 * np.ceil((start[0] - ANGLES) / 360)
        ratio[:, c] = PchipInterpolator(x, np.tile(ratios[:, c], 3))(goal)
        offset = PchipInterpolator(x, h)(goal) - goal / 3.6
        turn[:, c] = (offset + 50) % 100 - 50
    return ratio, turn


def write(folder: Path) -> None:
    """Make the table: one row for each value and angle; ratios, then turns."""
    import colour

    colours = list(colour.notation.MUNSELL_COLOURS["Munsell Colours All"])
    planes = [np.hstack(plane(value, colours)) for value in VALUES]
    where = [(V, angle) for V in VALUES for angle in ANGLES]
    names = [f"{kind}_{C:.0f}" for kind in ("ratio", "turn") for C in CHROMAS_AB]
    np.savetxt(
        folder / "munsell_grid.csv",
        np.hstack([where, np.vstack(planes)]),
        ["%d", "%d"] + ["%.4f"] * CHROMAS_AB.size + ["%.3f"] * CHROMAS_AB.size,
        ",",
        header="Munsell renotation read backwards; made by make_munsell.py with colour-science "
        f"{colour.__version__} (Newhall, Nickerson, Judd 1943; extrapolated)\n"
        "illuminant C, 2 degree; ratio: Munsell chroma / C*ab; turn: hue number (10RP = 0, of "
        "100) minus hue angle / 3.6; how: read, interpolated\nvalue,angle_deg," + ",".join(names),
    )


if __name__ == "__main__":
    write(Path(__file__).parent)
