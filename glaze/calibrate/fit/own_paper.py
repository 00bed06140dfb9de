"""What a swatch sheet says of its paper: tint, paper under bleach, and how dark it can get."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glaze.calibrate.scan.swatch import SheetReading
from glaze.errors import InputError, percent
from glaze.materials.paper import Curve, Paper
from glaze.physics.colour import LUMINANCE_OF_RGB, xyz_from_rgb
from glaze.picture.light import band_nm, load_light

Array = NDArray[np.float64]

GREY_CARD = (0.05, 0.95)
PAPER_LUMINANCE = (0.4, 0.98)
"""Luminance factor a sheet to paint on can have; beyond it a reading is wrong."""


@dataclass(frozen=True, eq=False)
class PaperFound:
    """The paper that readings are taken against.

    paper : with what was found in it
    rgb : linear sRGB of the bare sheet
    how : "named" (the paper's own figures), "grey card" or "scan"
    """

    paper: Paper
    rgb: Array
    how: str
    notes: tuple[str, ...] = ()


def paper_found(
    sheets: Sequence[SheetReading],
    named: Paper,
    grey: float | None = None,
    tint_from_scan: bool = False,
) -> PaperFound:
    """The paper, by name or as it was read.

    A scan tells colours relative to its paper. The paper itself comes from the table (`named`),
    from a grey card of known luminance factor on its place, or from the scan taken at its word.
    """
    weights = load_light("D65")
    listed = named.reflectance(band_nm()) @ weights.display_weights
    rgb, how = listed, "named"
    if grey is not None:
        rgb, how = _by_card(sheets, grey), "grey card"
    elif tint_from_scan:
        rgb, how = sheets[0].paper_rgb, "scan"
    paper = named if how == "named" else replace(named, curve=tinted(named, rgb), name="own paper")
    if how != "named":
        paper = replace(paper, bleached_curve=paper.curve)
        _judge(rgb)
    notes = []
    bleached = _bleached(sheets)
    if bleached is not None:
        curve = tinted(paper, np.minimum(bleached * rgb, 0.99))
        paper = replace(paper, bleached_curve=curve)
    darkest = _darkest(sheets, rgb)
    if darkest < paper.surface_reflectance:
        surface_reflectance = round(0.9 * darkest, 4)
        notes.append(
            f"The darkest patch reflects {percent(darkest, 1)}, less than this surface's "
            f"{percent(paper.surface_reflectance, 1)}; the fit takes "
            f"{percent(surface_reflectance, 1)}. Write the paper too (--paper-out) and name it in "
            "your scenes."
        )
        paper = replace(paper, surface_reflectance=surface_reflectance)
    return PaperFound(paper, rgb, how, tuple(notes))


def _by_card(sheets: Sequence[SheetReading], grey: float) -> Array:
    if not GREY_CARD[0] <= grey <= GREY_CARD[1]:
        raise InputError(
            f"A grey card of {grey:g}: give its reflectance as a share, {GREY_CARD[0]:g} to "
            f"{GREY_CARD[1]:g}; the common card is 0.18."
        )
    cards = [sheet.readings["grey card"].rgb for sheet in sheets if "grey card" in sheet.readings]
    if not cards:
        raise InputError(
            "No scan shows the place for the grey card, which is on the first page of strips. Scan "
            "that page too, or leave --grey-card out."
        )
    read = cards[0]
    if (np.abs(np.log(np.maximum(read, 1e-4))) < 0.03).all():
        raise InputError(
            "There is bare paper where the grey card should lie. Lay the card on its place and "
            "scan again, or leave --grey-card out."
        )
    return np.asarray(grey / np.maximum(read, 1e-4))


def _judge(rgb: Array) -> None:
    Y = float(rgb @ LUMINANCE_OF_RGB)
    if not PAPER_LUMINANCE[0] <= Y <= PAPER_LUMINANCE[1] or rgb.max() > 1.02:
        raise InputError(
            f"By this the paper reflects {percent(Y)} of the light (its lightest channel "
            f"{percent(rgb.max())}); a sheet to paint on lies between "
            f"{' and '.join(map(percent, PAPER_LUMINANCE))}. Check the grey card's figure, that no "
            "shadow lies on it, and that the picture isn't burnt out."
        )


def _bleached(sheets: Sequence[SheetReading]) -> Array | None:
    """Bleach on bare paper over bare paper, None if no such dot was made."""
    found = [sheet.readings.get("bleach on bare paper") for sheet in sheets]
    rows = [r.dot_rgb for r in found if r is not None and r.dot_rgb is not None]
    if not rows:
        return None
    share = np.mean(rows, axis=0)
    # a dot that can't be told from bare paper may not have been made at all
    return np.asarray(share) if np.abs(share - 1.0).max() > 0.015 else None


def _darkest(sheets: Sequence[SheetReading], rgb: Array) -> float:
    """Lowest luminance factor of any patch."""
    seen = [r.rgb * rgb @ LUMINANCE_OF_RGB for s in sheets for r in s.readings.values()]
    return float(min(seen))


def tinted(paper: Paper, rgb: Array) -> Curve:
    """The paper's reflectance curve bent smoothly so that it has exactly that colour under D65.

    R' = R exp(c0 + c1 u + c2 u^2), u along the wavelengths: three numbers for three.

    The colour is linear sRGB [-], shape (3,).
    """
    nm = band_nm()
    W = load_light("D65").xyz_weights
    R, target = paper.reflectance(nm), xyz_from_rgb(rgb)
    u = (nm - 550.0) / 150.0
    terms = np.stack([np.ones_like(u), u, u * u], axis=1)
    c = np.zeros(3)
    for _ in range(30):
        now = R * np.exp(terms @ c)
        step = np.linalg.solve((W.T * now) @ terms, target - now @ W)
        c = c + step
        if np.abs(step).max() < 1e-12:
            break
    curve = R * np.exp(terms @ c)
    # the ends beyond 420 and 680 nm hardly show; they may not leave what paper can do
    curve = np.clip(curve, 0.02, 1.0)
    return tuple((float(a), float(b)) for a, b in zip(nm, curve, strict=True))
