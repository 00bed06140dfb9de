"""What a painted sheet holds of its own predictions: patches that nothing was fitted to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from glaze.calibrate.fit.found import INSTRUMENT, InkFit, ReadRung, triple
from glaze.calibrate.fit.scanner import Scanner
from glaze.calibrate.fit.strip import Strip, fit_strip, strip_rgb
from glaze.calibrate.scan.swatch import Reading, apart, is_painted, lab_of
from glaze.materials.checked import AS_USUAL, Checked, Off
from glaze.materials.mix import mix_recipe
from glaze.materials.paper import SURFACES
from glaze.patch.cases import Cases
from glaze.patch.layers import Laid
from glaze.patch.patches import bare_patches, glaze, linear_rgb
from glaze.patch.table import Table
from glaze.patch.trust import LAWS, law_sd
from glaze.physics.colour import LUMINANCE_OF_RGB, delta_e_2000, lab_from_xyz, munsell_value
from glaze.physics.colour import xyz_from_rgb as xyz
from glaze.physics.uncertainty import LEVEL, shown

Array = NDArray[np.float64]

USUAL_WORTH = 6.0
"""Patches that the usual error of overlays counts as, beside those of a sheet (guess: about half
the weight of the sheet's own)."""

FEW_DRAWS = 20
"""Of figures in doubt, where only the law's own error is asked."""

BETTER_SHARE, BETTER_DE00 = 0.25, 0.4
"""By how much another surface has to explain the strips better to be told: share of what is left,
and CIEDE2000 (guess)."""


def checks_of(
    table: Table, readings: Sequence[Reading], fits: Mapping[str, InkFit], scale: Array
) -> tuple[ReadRung, ...]:
    """Mixes and shadow washes as the fitted inks predict them, against what was painted.

    scale : linear sRGB of bare paper [-], shape (3,), what the readings are shares of
    """
    found = []
    for reading in readings:
        place = reading.place
        wanted = place.kind in ("secondary", "over") and all(ink in fits for ink in place.inks)
        if wanted and is_painted(reading):
            sheet = bare_patches(table)
            for recipe in place.layers:
                glaze(table, sheet, mix_recipe(recipe, table.palette))
            predicted = linear_rgb(table, sheet)[0, 0]
            law = law_of(table, place.layers)
            colours = triple(reading.rgb * scale), triple(predicted)
            found.append(ReadRung(place.name, *colours, law=law))
    return tuple(found)


def law_of(table: Table, recipes: Sequence[str]) -> Off:
    """What the law's own error is where these washes lie over each other; nothing for one."""
    if len(recipes) < 2:
        return Off()
    layers = tuple(Laid(mix_recipe(recipe, table.palette)) for recipe in recipes)
    cases = Cases(table, (layers,), (len(layers),), FEW_DRAWS, 1)
    return Off(*(law_sd(cases, measure, len(layers), 0) for measure in LAWS))


def held_by(
    fits: Mapping[str, InkFit],
    checks: Sequence[ReadRung],
    scanner: Scanner,
    paper: Array,
    weakest: float,
) -> Checked:
    """How far off the sheet's own patches were that nothing was fitted to, and its scanner.

    Linear sRGB of the paper [-], shape (3,); `weakest`: of every strip [neat coats].
    """
    rungs = [rung for fit in fits.values() for rung in fit.rungs]
    seen = np.array([rung.seen for rung in (*rungs, *checks)])
    moved = [_gaps(seen, shifted) for shifted in scanner.shifts(seen, paper)]
    by_scanner = _off(np.sqrt(np.sum(np.square(moved), axis=0)), _shown(seen, paper), 1.0)
    return Checked(
        _off_of(rungs, paper),
        _off_of(checks, paper),
        Off() if scanner.told_by == INSTRUMENT else by_scanner,
        _overlay_times(checks),
        weakest,
    )


def _overlay_times(checks: Sequence[ReadRung]) -> Off:
    """The law's error over that of the tables: as usual, moved by what each overlay says.

    A scaled inverse chi-square law: `USUAL_WORTH` patches of the usual error, and these.
    """
    over = [check for check in checks if check.law.colour > 0.0]
    if not over:
        return AS_USUAL
    law = np.array([[check.law.value, check.law.colour, check.law.chroma] for check in over]).T
    gaps = _gaps(np.array([c.seen for c in over]), np.array([c.fitted for c in over]))
    squares = ((gaps / law) ** 2).sum(axis=1)
    times = np.sqrt((USUAL_WORTH + squares) / (USUAL_WORTH + len(over)))
    return Off(*(float(one) for one in times))


def weakest_of(strips: Iterable[Strip]) -> float:
    """Strength that the thinnest rung of every strip reaches [neat coats]."""
    return max(float(strip.strength.min()) for strip in strips)


def _off_of(rungs: Sequence[ReadRung], paper: Array) -> Off:
    """Standard deviations of some patches; few of them may have been off by chance too little.

    Of strips it is what no strength explains, as their strength has its own band.
    """
    from scipy.stats import norm, t

    if not rungs:
        return Off()
    seen = np.array([rung.seen for rung in rungs])
    told = np.array([rung.aside or rung.fitted for rung in rungs])
    half = 0.5 + LEVEL / 2.0
    few = float(t.ppf(half, len(rungs)) / norm.ppf(half))
    return _off(_gaps(seen, told), _shown(seen, paper), few)


def _off(gaps: Array, share: Array, times: float) -> Off:
    """Root mean squares for a colour that shows its whole error."""
    sd = times * np.sqrt((gaps**2).sum(axis=1) / max(float((share**2).sum()), 1e-9))
    return Off(*(float(one) for one in sd))


def _gaps(rgb: Array, other: Array) -> Array:
    """Value, CIEDE2000 and chroma between linear colours, shape (3, patches)."""
    value = [munsell_value(np.maximum(one, 0.0) @ LUMINANCE_OF_RGB) for one in (rgb, other)]
    labs = [lab_of(one) for one in (rgb, other)]
    chroma = [np.hypot(lab[:, 1], lab[:, 2]) for lab in labs]
    return np.array([value[0] - value[1], delta_e_2000(*labs), chroma[0] - chroma[1]])


def _shown(rgb: Array, paper: Array) -> Array:
    """How much of an error each colour can have, shape (patches,)."""
    return shown(lab_from_xyz(xyz(np.maximum(rgb, 1e-6)), xyz(paper)))


def surface_note(
    table: Table, strips: Iterable[Strip], fits: Mapping[str, InkFit]
) -> tuple[str, ...]:
    """Whether the strips follow another sort of surface clearly better than the paper's own."""
    strips = [strip for strip in strips if strip.ink.name in fits]
    paper, left = table.paper, {}
    for name, (k, s) in SURFACES.items():
        if name == paper.surface:
            left[name] = float(np.mean([fits[strip.ink.name].mean_de00 for strip in strips]))
            continue
        sort = replace(table, paper=replace(paper, path_spread=k, surface_reflectance=s))
        off = [_unexplained(sort, strip, fits[strip.ink.name].kind) for strip in strips]
        left[name] = float(np.mean(off))
    best, own = min(left, key=lambda name: left[name]), left[paper.surface]
    if own - left[best] < max(BETTER_DE00, BETTER_SHARE * own):
        return ()
    return (
        f'The strips follow a "{best}" surface better than "{paper.surface}" (they differ by '
        f"{left[best]:.1f} and {own:.1f}, CIEDE2000). If your paper is one, name such a paper "
        "(--paper) or a file of your own that says so; else the scanner's tone may be off.",
    )


def _unexplained(table: Table, strip: Strip, kind: str) -> float:
    """Mean CIEDE2000 of a strip from its best explanation of a kind."""
    fitted = fit_strip(table, strip, kind)
    if fitted is None:
        return 99.0
    rgb = strip_rgb(table, fitted.unit_path, strip.strength)
    return float(np.mean([apart(a, b) for a, b in zip(strip.rgb, rgb, strict=True)]))
