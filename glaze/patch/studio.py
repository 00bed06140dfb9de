"""Inks, paper and light together: what any mix, glaze or lift looks like on a patch of paper.

`glaze.pipeline` paints whole sheets with the same constants; the planning functions and charts
ask for patches. A patch is a `Sheet` of one row, one column for each case, so that thousands of
recipes are laid at once.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from glaze.materials.bleach import Bleach
from glaze.materials.dye import Dye, colourants
from glaze.materials.ink import Palette, load_palette
from glaze.materials.mix import Mix, mix_recipe
from glaze.materials.paper import Paper, load_paper
from glaze.physics.absorption import SQUARE_METRE_TO_PATH, path, stack_reflectance
from glaze.physics.colour import lab_from_xyz, munsell_value
from glaze.physics.fluorescence import emission_photons
from glaze.physics.fluorescence import glow as glow_of_dyes
from glaze.picture.light import Light, band_nm, load_glow, load_light
from glaze.sheet.lift import chemistry_of, lift, touch_of
from glaze.sheet.state import Sheet, bare_sheet
from glaze.sheet.wash import lay, work_out

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Studio:
    """What lies on the table, and the constants that follow from it.

    Attributes
    ----------
    palette, paper, light : as loaded
    dyes : the columns of every sheet: all dyes of the palette, then what bleach makes of them
    neon : whether fluorescent dyes give light back; reflectance proper never passes 1
    """

    palette: Palette
    paper: Paper
    light: Light
    dyes: tuple[Dye, ...] = field(repr=False)
    neon: bool = False

    @cached_property
    def absorptivity_l_per_g_cm(self) -> Array:
        """Of each colourant in each band [L/(g cm)], shape (colourants, bands)."""
        curves = [dye.absorptivity_l_per_g_cm(band_nm()) for dye in self.dyes]
        return np.array(curves).reshape(len(self.dyes), band_nm().size)  # also without any ink

    @cached_property
    def path_m2_per_g(self) -> Array:
        """Path A of 1 g/m2 of each colourant [-], shape (colourants, bands)."""
        return path(self.absorptivity_l_per_g_cm * SQUARE_METRE_TO_PATH, self.paper.path_gain)

    @cached_property
    def paper_reflectance(self) -> Array:
        """Bare paper [-], shape (bands,)."""
        return self.paper.reflectance(band_nm())

    @cached_property
    def bleached_gain(self) -> Array:
        """What full bleaching adds to the paper's reflectance [-], shape (bands,)."""
        return self.paper.bleached_reflectance(band_nm()) - self.paper_reflectance

    @cached_property
    def glow(self) -> StudioGlow | None:
        """What the studio's fluorescent dyes need to glow; None where none does, or it is off."""
        if not self.neon or not any(dye.fluorescence for dye in self.dyes):
            return None
        return _glow_of(self)

    def mix(self, recipe: str) -> Mix:
        """A mix of this palette's inks, from a recipe in words such as "Blue 3 + water 4"."""
        return mix_recipe(recipe, self.palette)


@dataclass(frozen=True, eq=False)
class StudioGlow:
    """Constants of the glow, by colourant; 0 for those that don't.

    Attributes
    ----------
    quantum_yield : photons sent out per photon stopped [-], shape (colourants,)
    mol_per_g : [mol/g], shape (colourants,)
    photon_weights : photons of the light in each band, shape (bands,)
    emission_xyz : XYZ of a photon through each band, shape (colourants, bands, 3)
    """

    quantum_yield: Array
    mol_per_g: Array
    photon_weights: Array
    emission_xyz: Array


def _glow_of(studio: Studio) -> StudioGlow:
    """The constants of a studio's glow under its light."""
    light = load_glow(studio.light.name)
    count, bands = len(studio.dyes), band_nm().size
    yields, mol_per_g = np.zeros(count), np.zeros(count)
    emission = np.zeros((count, bands, 3))
    for j, dye in enumerate(studio.dyes):
        found = dye.fluorescence
        if found is not None and found.quantum_yield > 0.0:
            yields[j] = found.quantum_yield
            mol_per_g[j] = 1.0 / dye.molar_mass_g_per_mol
            spread = emission_photons(
                band_nm(), found.emission_peak_nm, found.emission_width_per_cm
            )
            emission[j] = light.photon_xyz(spread)
    return StudioGlow(yields, mol_per_g, light.photon_weights, emission)


def studio_of(
    palette: str | Palette, paper: str | Paper, light: str | Light = "D65", *, neon: bool = False
) -> Studio:
    """A studio from names (or files) of a palette, a paper and a light."""
    palette = load_palette(palette) if isinstance(palette, str) else palette
    paper = load_paper(paper) if isinstance(paper, str) else paper
    light = load_light(light) if isinstance(light, str) else light
    used = [name for ink in palette.inks.values() for name in ink.contents_g_per_l]
    return Studio(palette, paper, light, colourants(used, palette.dyes), neon)


def bare_patches(studio: Studio, count: int = 1) -> Sheet:
    """Bare paper, one patch for each case, shape (1, count)."""
    return bare_sheet(1, count, len(studio.dyes))


def glaze(
    studio: Studio,
    sheet: Sheet,
    mixes: Mix | Sequence[Mix],
    coats: float = 1,
    film_ml_per_m2: float | None = None,
) -> Sheet:
    """Lay a wash on dry patches, in place; one mix for all of them or one for each.

    The film is the paper's own unless it is given [ml/m2].
    """
    film = studio.paper.film_ml_per_m2 if film_ml_per_m2 is None else film_ml_per_m2
    if isinstance(mixes, Mix):
        wash = work_out(mixes, coats, film, studio.paper, studio.dyes)
        lay(sheet, wash, np.ones(sheet.shape, np.float32))
        return sheet
    for case, mix in enumerate(mixes):
        only = np.zeros(sheet.shape, np.float32)
        only[0, case] = 1
        lay(sheet, work_out(mix, coats, film, studio.paper, studio.dyes), only)
    return sheet


@dataclass(frozen=True)
class Touches:
    """How bleach is laid: the words of a scene's lift, and the air it works in.

    Attributes
    ----------
    parts_water : n of "1 part bleach + n parts water"
    touches : how many times, each with fresh bleach
    minutes : from laying to blotting
    film_ml_per_m2 : the tool's own film if None
    """

    parts_water: float = 0.0
    touches: int = 1
    minutes: float = 1.0
    tool: str = "brush"
    film_ml_per_m2: float | None = None
    rinse: bool = False
    temperature_c: float = 20.0
    humidity_percent: float = 50.0
    air_m_per_s: float = 0.0


def bleach_patches(
    studio: Studio, sheet: Sheet, touches: Touches, bleach: Bleach | None = None
) -> Sheet:
    """Lift dry patches with a full film of bleach, in place."""
    bleach = bleach or Bleach()
    chemistry = chemistry_of(
        studio.dyes, studio.paper, touches.temperature_c, bleach.diluted_ph(touches.parts_water)
    )
    lift(
        sheet,
        np.ones(sheet.shape, np.float32),
        touch_of(touches, bleach, touches, studio.paper),
        chemistry,
    )
    return sheet


def reflectance(studio: Studio, sheet: Sheet) -> Array:
    """Reflectance of the patches [-], shape (rows, columns, bands)."""
    A = sheet.optical_g_per_m2.astype(float) @ studio.path_m2_per_g
    Rp = studio.paper_reflectance + sheet.bleached[..., None] * studio.bleached_gain
    return stack_reflectance(A, Rp, studio.paper.surface_reflectance, studio.paper.path_spread)


def xyz(studio: Studio, sheet: Sheet) -> Array:
    """XYZ of the patches under the studio's light, Y = 1 for the perfect diffuser."""
    seen = reflectance(studio, sheet) @ studio.light.xyz_weights
    return seen if studio.glow is None else seen + glow_xyz(studio, sheet)


def glow_xyz(studio: Studio, sheet: Sheet) -> Array:
    """XYZ that the glow of fluorescent dyes adds; nothing if the studio's `neon` is off."""
    if studio.glow is None:
        return np.zeros((*sheet.shape, 3))
    return glow_of_dyes(
        sheet.optical_g_per_m2.astype(float),
        sheet.load_g_per_m2.astype(float) @ studio.glow.mol_per_g,
        studio.path_m2_per_g,
        studio.glow.quantum_yield,
        studio.paper_reflectance + sheet.bleached[..., None] * studio.bleached_gain,
        studio.paper.surface_reflectance,
        studio.paper.path_spread,
        studio.glow.photon_weights,
        studio.glow.emission_xyz,
    )


def lab(studio: Studio, sheet: Sheet) -> Array:
    """CIELAB of the patches under the studio's light, against the perfect diffuser."""
    return lab_from_xyz(xyz(studio, sheet), studio.light.white_xyz)


def value(studio: Studio, sheet: Sheet) -> Array:
    """Munsell value of the patches, 0 black to 10 white, shape (rows, columns)."""
    return munsell_value(xyz(studio, sheet)[..., 1])


def linear_rgb(studio: Studio, sheet: Sheet) -> Array:
    """Linear sRGB of the patches as a D65 screen shows them, not limited to 0 to 1."""
    seen = reflectance(studio, sheet) @ studio.light.display_weights
    if studio.glow is None:
        return seen
    return seen + glow_xyz(studio, sheet) @ studio.light.display_matrix
