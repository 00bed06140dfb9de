"""Strips of spectra: an ink's path band by band, from all its rungs at once.

A spectrophotometer leaves nothing to a prior. Each rung gives every band's path; a rung counts
there by how well its reflectance tells it: dense rungs where the ink hardly absorbs, thin ones at
its peak. What a whole rung is stronger or weaker is a slip of the hand, told apart.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glaze.calibrate.fit.check_patches import held_by, law_of, weakest_of
from glaze.calibrate.fit.found import (
    INSTRUMENT,
    SPECTRUM,
    Calibration,
    InkFit,
    ReadRung,
    triple,
)
from glaze.calibrate.fit.ghosts import own_curve, own_dye
from glaze.calibrate.fit.own_inks import rungs_of, with_inks
from glaze.calibrate.fit.own_paper import PaperFound
from glaze.calibrate.fit.sample_names import Sample, samples_of
from glaze.calibrate.fit.scanner import SIZE, Scanner
from glaze.calibrate.fit.strip import (
    RUNG_SLIP,
    Fitted,
    Strip,
    dye_paths,
    own_crowding,
)
from glaze.calibrate.fit.unseen import leave_one_out
from glaze.errors import InputError
from glaze.materials.entries import Entry
from glaze.materials.ink import Ink
from glaze.materials.mix import mix_recipe
from glaze.materials.paper import Paper
from glaze.patch.patches import bare_patches, glaze, linear_rgb
from glaze.patch.table import Table, table_of
from glaze.physics.absorption import glaze_weight, path_from_reflectance
from glaze.picture.light import band_nm, load_light
from glaze.record.spectra import Spectra

Array = NDArray[np.float64]

READING = 0.004
"""Standard deviation of a measured reflectance [-]: the same patch measured anew on uneven paper
(guess; instruments alone repeat within a tenth of that)."""

FEWEST_RUNGS = 2
"""Rungs that an ink needs: one tells no dilution."""


@dataclass(frozen=True, eq=False)
class MeasuredRungs:
    """Spectra of one ink's rungs.

    nm : [nm], shape (bands,). R : [-], shape (rungs, bands), in the order of the strip's names
    """

    nm: Array
    names: tuple[str, ...]
    R: Array

    def path(self, table: Table, strip: Strip) -> Array:
        """Path of one neat coat [-], shape (bands,), from the rungs of a strip."""
        paper = table.paper
        rows = [self.names.index(name) for name in strip.names]
        return path_of_rungs(
            self.R[rows],
            paper.reflectance(self.nm),
            np.asarray(glaze_weight(0.0, strip.strength)),
            (paper.path_spread, paper.surface_reflectance),
        )

    def fitted(self, table: Table, strip: Strip) -> Fitted:
        """The strip explained by its own spectra."""
        path = self.path(table, strip)
        return Fitted("measured", np.ones(1), np.interp(band_nm(), self.nm, path))


def path_of_rungs(R: Array, Rp: Array, weight: Array, sheet: tuple[float, float]) -> Array:
    """Path of one neat coat, the mean of all rungs' logs by how well each tells it.

    Parameters
    ----------
    R : of each rung [-], shape (rungs, bands). Rp : bare paper [-], shape (bands,)
    weight : path of each rung over that of a neat coat [-], shape (rungs,)
    sheet : path_spread k and surface s of the paper [-]

    Returns
    -------
    [-], shape (bands,)
    """
    k, s = sheet
    within = np.clip(R, s + 1e-4, Rp - 1e-4)
    A = np.array([path_from_reflectance(one, Rp, s, k) for one in within])
    slope = (Rp - s) * A * (1.0 + A / k) ** -(k + 1.0)
    logs, spread = np.log(A / weight[:, None]), READING / slope
    slip = np.zeros(len(R))
    for _ in range(6):
        trust = 1.0 / (RUNG_SLIP**2 / len(R) + spread**2)
        mean = (trust * (logs - slip[:, None])).sum(axis=0) / trust.sum(axis=0)
        surely = 1.0 / spread**2
        off = (surely * (logs - mean)).sum(axis=1) / surely.sum(axis=1)
        slip = off - off.mean()  # all together are the ink's own strength
    return np.asarray(np.exp(mean))


def from_spectra(spectra: Spectra, table: Table) -> Calibration:
    """The painter's inks, and the paper, from spectra of a painted swatch sheet.

    Parameters
    ----------
    table : palette and paper that are expected: the palette's other inks are kept, the paper keeps
        all but its colour

    Raises
    ------
    InputError : with every sample that can't be used, and every ink with too few
    """
    bare, samples = samples_of(spectra)
    paper = _measured_paper(table.paper, spectra, bare)
    strips, rungs = _strips(spectra, samples, table)
    palette = with_inks(table.palette, {n: strip.ink for n, strip in strips.items()}, ())
    table = table_of(palette, paper, "D65")
    scale = table.paper_reflectance @ table.light.display_weights
    fits = {name: _fit(table, strip, rungs[name], spectra.file) for name, strip in strips.items()}
    dyes = [dye for fit in fits.values() for dye in fit.dyes]
    palette = with_inks(palette, {n: fit.ink for n, fit in fits.items()}, dyes)
    table = table_of(palette, paper, "D65")
    checks = tuple(_checks(table, spectra, samples))
    exact = Scanner(np.zeros(SIZE), np.zeros((SIZE, SIZE)), INSTRUMENT)
    checked = held_by(fits, checks, exact, scale, weakest_of(strips.values()))
    palette = replace(palette, checked=checked)
    found = PaperFound(paper, scale, INSTRUMENT)
    after = table_of(palette, paper, "D65")
    return Calibration(fits, checks, (), found, exact, palette, after)


def _measured_paper(named: Paper, spectra: Spectra, bare: Array) -> Paper:
    """The named paper with the colour that was measured, its surface no lighter than any patch."""
    curve = tuple(
        (float(nm), float(min(R, 1.0))) for nm, R in zip(spectra.wavelength_nm, bare, strict=True)
    )
    darkest = max(0.9 * float(spectra.reflectance.min()), 1e-3)
    entries = {**named.entries, "reflectance": Entry(curve, "nm, -", spectra.file, "measured")}
    return replace(
        named,
        name=f"{named.name}, measured",
        curve=curve,
        bleached_curve=curve,
        surface_reflectance=round(min(named.surface_reflectance, darkest), 4),
        entries=entries,
    )


def _strips(
    spectra: Spectra, samples: Sequence[Sample], table: Table
) -> tuple[dict[str, Strip], dict[str, MeasuredRungs]]:
    """The strip of each ink, with its spectra."""
    strips, measured, few = {}, {}, []
    weights, nm = load_light("D65").display_weights, spectra.wavelength_nm
    names = dict.fromkeys(sample.ink for sample in samples if sample.ink)
    for name in names:
        rungs = sorted((s for s in samples if s.ink == name), key=lambda s: s.parts)
        if len(rungs) < FEWEST_RUNGS:
            few.append(
                f"{spectra.file}: {name} has {len(rungs)} strength; at least {FEWEST_RUNGS} are "
                f'needed, as "{name} neat" and "{name} 1+4", better six down to 1+16.'
            )
            continue
        ink = table.palette.inks.get(name) or Ink(name, "", {})
        strength = np.array([1.0 / (1.0 + rung.parts) for rung in rungs])
        R = np.array([rung.reflectance for rung in rungs])
        rgb = np.array([np.interp(band_nm(), nm, row) for row in R]) @ weights
        labels = tuple(rung.name for rung in rungs)
        strips[name] = Strip(ink, labels, strength, rgb, np.zeros(len(rungs), bool))
        measured[name] = MeasuredRungs(nm, labels, R)
    if few or not strips:
        raise InputError(few or [f"{spectra.file}: holds no strip of an ink."])
    return strips, measured


def _fit(table: Table, strip: Strip, measured: MeasuredRungs, file: str) -> InkFit:
    """One ink by its own spectra, with the band that its rungs earn."""
    left = leave_one_out(table, strip, lambda some: measured.fitted(table, some))
    assert left is not None
    fitted, name = measured.fitted(table, strip), strip.ink.name
    dye = own_dye(
        f"{name}, as measured",
        own_curve(table, measured.path(table, strip), measured.nm),
        1.0,
        source="assumed; bleach wasn't measured",
    )
    visible = (band_nm() >= 400) & (band_nm() <= 700)
    usual = dye_paths(table, strip.ink).sum(axis=0) if strip.ink.contents_g_per_l else None
    of = fitted.unit_path[visible].mean()
    strength = 1.0 if usual is None else float(of / usual[visible].mean())
    factor = round(left.strength_factor, 3)
    ink = replace(
        strip.ink,
        contents_g_per_l={dye.name: 1.0},
        how="measured",
        strength_factor=factor,
        source=f"measured spectra, {file}",
    )
    rungs = rungs_of(table, strip, fitted, left)
    crowding = own_crowding(table, strip, fitted)
    unseen = {SPECTRUM: left.mean_de00}
    return InkFit(SPECTRUM, ink, (dye,), strength, factor, rungs, unseen, crowding)


def _checks(table: Table, spectra: Spectra, samples: Sequence[Sample]) -> Iterator[ReadRung]:
    """Mixes and overlays as the inks predict them, against what was measured."""
    for sample in samples:
        if sample.layers and all(ink in table.palette.inks for ink in sample.inks):
            sheet = bare_patches(table)
            for recipe in sample.layers:
                glaze(table, sheet, mix_recipe(recipe, table.palette))
            R = np.interp(band_nm(), spectra.wavelength_nm, sample.reflectance)
            seen = R @ table.light.display_weights
            predicted = triple(linear_rgb(table, sheet)[0, 0])
            law = law_of(table, sample.layers)
            yield ReadRung(sample.name, triple(seen), predicted, law=law)
