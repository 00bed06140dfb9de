"""From the patches of a painted swatch sheet to the painter's own inks.

The strips are fitted, ink by ink. The mixes of two inks and the black over each hue are *not*:
they are predicted with the fitted inks and tell how far the whole is to be trusted on this
painter's table.

Strength here means ink, film and the fibres' path gain together: a patch shows only their
product, so the path gain is left as the paper has it and the whole goes into the ink.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from glaze.calibrate.fit.check_patches import checks_of, held_by, surface_note, weakest_of
from glaze.calibrate.fit.dye_prior import DyePrior
from glaze.calibrate.fit.found import Calibration, InkFit, ReadRung, triple
from glaze.calibrate.fit.ghosts import Dot, bleach_class, dots_of, ghost_dye, own_curve, own_dye
from glaze.calibrate.fit.lift_trial import TrialDot, fit_lift, lift_words, own_chain
from glaze.calibrate.fit.own_paper import paper_found
from glaze.calibrate.fit.painted_strips import strips_of
from glaze.calibrate.fit.scanner import (
    Scanner,
    scanner_found,
    scanner_notes,
    strength_band,
    taken_out,
)
from glaze.calibrate.fit.strip import (
    KINDS,
    Fitted,
    Strip,
    acts_as_parts,
    dye_paths,
    fit_strip,
    log_error,
    own_crowding,
    strip_rgb,
    usual_prior,
    with_factors,
)
from glaze.calibrate.fit.unseen import LeftOut, choose, leave_one_out
from glaze.calibrate.scan.swatch import (
    Reading,
    SheetReading,
    has_dot,
    is_painted,
    printed_black,
)
from glaze.errors import InputError, unknown
from glaze.materials.dye import Dye
from glaze.materials.ink import Ink, Palette
from glaze.patch.table import Table, table_of
from glaze.picture.light import band_nm

Array = NDArray[np.float64]
Progress = Callable[[float], None]

UNEXPLAINED_DE00 = 5.0
"""Mean difference over a strip above which its ink counts as estimated (guess)."""

UNSURE_FACTOR = 2.0
"""Least band, times or over, of the strength of an ink whose strip nothing explains (guess)."""

CROWDING_GAIN_DE00 = 1.0
"""What another crowding has to gain over a strip before it is told (guess)."""


def calibrate(
    sheets: Sequence[SheetReading],
    table: Table,
    *,
    kind: str = "auto",
    grey: float | None = None,
    tint_from_scan: bool = False,
    progress: Progress = lambda share: None,
) -> Calibration:
    """The painter's inks from the pages read.

    Parameters
    ----------
    table : palette and paper the sheet was printed for; the palette's inks are what is expected
    kind : auto, or one of strength, dyes, measured for all inks
    grey : luminance factor of a grey card that lay on its place, None if there was none
    tint_from_scan : take the paper's own colour from the scan, as if the scanner were a standard
    """
    if kind not in ("auto", *KINDS):
        raise InputError(unknown("way to fit inks", kind, ("auto", *KINDS)))
    if table.light.name != "D65":
        table = table_of(table.palette, table.paper, "D65")
    readings = [r for sheet in sheets for r in sheet.readings.values()]
    found = paper_found(sheets, table.paper, grey, tint_from_scan)
    table = table_of(table.palette, found.paper, "D65")
    scale = table.paper_reflectance @ table.light.display_weights
    strips, notes = strips_of(readings, table, scale)
    scanner = scanner_found(table, strips, printed_black(sheets))
    if scanner.told_by == "inks through it":
        readings = [_through(reading, scanner) for reading in readings]
        strips, notes = strips_of(readings, table, scale)
    prior = usual_prior() if kind in ("auto", "measured") else None
    fits = {}
    for number, strip in enumerate(strips):
        fits[strip.ink.name] = _fit_ink(table, strip, kind, prior, scanner, readings, scale)
        progress((number + 1) / len(strips))
    for name in fits:
        fits[name] = _with_lift(table, fits[name], readings, scale)
    palette = _palette(table.palette, fits)
    after = table_of(palette, table.paper, "D65")
    checks = checks_of(after, readings, fits, scale)
    checked = held_by(fits, checks, scanner, scale, weakest_of(strips))
    palette = replace(palette, checked=checked)
    after = table_of(palette, table.paper, "D65")
    page_notes = [note for sheet in sheets for note in sheet.notes]
    suspects = (*scanner_notes(scanner), *surface_note(table, strips, fits))
    every = (*page_notes, *found.notes, *notes, *suspects)
    dots = tuple(dot for dot in dots_of(readings, scale, table) if dot.kind != "rung")
    return Calibration(fits, checks, dots, found, scanner, palette, after, every)


def _through(reading: Reading, scanner: Scanner) -> Reading:
    """A reading with what its scanner adds taken out."""
    dot, white = reading.dot_rgb, np.ones(3)
    return replace(
        reading,
        rgb=taken_out(reading.rgb, white, scanner.change),
        dot_rgb=None if dot is None else taken_out(dot, white, scanner.change),
    )


def _fit_ink(
    table: Table,
    strip: Strip,
    kind: str,
    prior: DyePrior | None,
    scanner: Scanner,
    readings: Sequence[Reading],
    scale: Array,
) -> InkFit:
    """The simplest explanation that predicts unseen rungs, and what follows from it."""
    tried: dict[str, LeftOut] = {}
    for each in KINDS if kind == "auto" else (kind, "strength"):
        checked = leave_one_out(table, strip, partial(fit_strip, table, kind=each, prior=prior))
        if checked is not None:
            tried[each] = checked
    chosen = choose(tried) if kind == "auto" or kind not in tried else kind
    fitted = fit_strip(table, strip, chosen, prior)
    assert fitted is not None  # it was fitted with fewer rungs
    dots = tuple(d for d in dots_of(readings, scale, table) if d.inks == (strip.ink.name,))
    klass = bleach_class(dots) or strip.ink.bleach_class
    factor = tried[chosen].strength_factor
    dyes: tuple[Dye, ...] = ()
    if chosen == "measured":
        dyes = _own_dyes(table, strip, fitted, dots, klass)
        ink = replace(strip.ink, contents_g_per_l={dyes[0].name: 1.0}, how="measured")
        ink = replace(ink, strength_factor=round(factor, 3))
    else:
        ink = with_factors(strip.ink, fitted, factor)
    ink = replace(ink, bleach_class=klass, source="read from a painted swatch sheet")
    expected = dye_paths(table, strip.ink).sum(axis=0)
    visible = (band_nm() >= 400) & (band_nm() <= 700)
    strength = float(fitted.unit_path[visible].mean() / expected[visible].mean())
    crowding = own_crowding(table, strip, fitted)
    rungs = rungs_of(table, strip, fitted, tried[chosen])
    if _unexplained(rungs):
        ink = replace(ink, how="estimated", strength_factor=max(ink.strength_factor, UNSURE_FACTOR))
    unseen = {name: checked.mean_de00 for name, checked in tried.items()}
    band = strength_band(table, strip, fitted.unit_path, ink.strength_factor, scanner)
    fit = InkFit(chosen, ink, dyes, strength, band, rungs, unseen, crowding, dots)
    return replace(fit, notes=tuple(_notes(table, strip, fit, kind)))


def _with_lift(table: Table, fit: InkFit, readings: Sequence[Reading], scale: Array) -> InkFit:
    """The fit with what the lift experiment says of the ink, where its dots were made."""
    name = fit.ink.name
    dots = [
        TrialDot(r.place.parts, *r.place.bleach, r.dot_rgb * scale)
        for r in readings
        if r.place.bleach and r.place.inks == (name,) and r.dot_rgb is not None
        if is_painted(r) and has_dot(r)
    ]
    if not dots:
        return fit
    own = _palette(table.palette, {name: fit})
    found = fit_lift(table_of(own, table.paper, "D65"), fit.ink, dots)
    ink, dyes = own_chain(table_of(own, table.paper, "D65"), fit.ink, found)
    notes = (*fit.notes, lift_words(found))
    return replace(fit, ink=ink, dyes=dyes, lift=found, notes=notes)


def _unexplained(rungs: Sequence[ReadRung]) -> bool:
    """Whether a strip is farther off than an explanation may be."""
    return float(np.mean([rung.de00 for rung in rungs])) > UNEXPLAINED_DE00


def rungs_of(table: Table, strip: Strip, fitted: Fitted, left: LeftOut) -> tuple[ReadRung, ...]:
    """Each rung against the fit, and against what hadn't seen it."""
    fit = strip_rgb(table, fitted.unit_path, strip.strength)
    found = []
    for i, name in enumerate(strip.names):
        off, slope = log_error(table, fitted.unit_path, strip, i)
        acts = acts_as_parts(float(strip.strength[i]), off) if slope > 3.0 else None
        seen, unseen, aside = (triple(c[i]) for c in (strip.rgb, left.predicted, left.aside))
        found.append(ReadRung(name, seen, triple(fit[i]), unseen, aside, acts))
    return tuple(found)


def _own_dyes(
    table: Table, strip: Strip, fitted: Fitted, dots: Sequence[Dot], klass: str
) -> tuple[Dye, ...]:
    """A measured ink as one colourant, and the ghost that bleach was seen to leave of it."""
    name = f"{strip.ink.name} as painted"
    ghost = ghost_dye(table, f"{strip.ink.name} ghost", dots) if klass != "resists" else None
    curve = own_curve(table, fitted.unit_path)
    k = 1e-5 if klass == "resists" else 1.0
    return (
        own_dye(name, curve, k, product=ghost.name if ghost else None),
        *([ghost] if ghost else []),
    )


def _notes(table: Table, strip: Strip, fit: InkFit, asked: str) -> list[str]:
    """What a painter should know of this ink's fit."""
    name, notes = strip.ink.name, []
    if asked not in ("auto", fit.kind):
        notes.append(f'{name}: can\'t be fitted by "{asked}", so by "{fit.kind}".')
    if _unexplained(fit.rungs):
        worst = sorted(fit.rungs, key=lambda rung: -rung.de00)[:2]
        again = " and ".join(f"{rung.name} ({rung.de00:.0f})" for rung in worst)
        notes.append(
            f"{name}: no ink explains the strip (mean CIEDE2000 {fit.mean_de00:.1f}), so it counts "
            f"as estimated, not as measured. Farthest off are {again}: paint these again with the "
            "dilution printed over them, in one even wash, and scan with every correction off."
        )
    elif fit.kind == "measured":
        notes.append(
            f"{name}: taken as an ink of its own, not as the palette's dyes; its bleaching "
            "follows the dots only, and its spectrum is one of many with that colour."
        )
    b, gain = fit.crowding
    if gain > CROWDING_GAIN_DE00:
        way = "falls off faster" if b > 0.4 else "falls off slower"
        notes.append(
            f"{name}: its colour {way} between neat and thin than the law of dilution has it "
            f"(crowding {b:.1f} instead of 0.4 would gain {gain:.1f} CIEDE2000). Check how the "
            "rungs were measured out, and that the scanner corrected nothing."
        )
    return notes


def with_inks(palette: Palette, inks: Mapping[str, Ink], dyes: Iterable[Dye]) -> Palette:
    """The palette with some inks in place of its own or besides, and their dyes."""
    return replace(
        palette,
        inks={**palette.inks, **inks},
        dyes={**palette.dyes, **{dye.name: dye for dye in dyes}},
    )


def _palette(palette: Palette, fits: Mapping[str, InkFit]) -> Palette:
    """The palette with the inks that were fitted in place of its own."""
    inks = {name: fit.ink for name, fit in fits.items()}
    return with_inks(palette, inks, (dye for fit in fits.values() for dye in fit.dyes))
