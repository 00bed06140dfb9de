"""What lies on the table: bottles, dropper, wells, paper, bleach, the room's air and the light.

One record for whatever is asked of it, and the constants that follow: `glaze.pipeline` paints whole
sheets with them, `glaze.patch` uniform patches.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cache, cached_property

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glaze.materials.bleach import Bleach
from glaze.materials.dropper import Dropper
from glaze.materials.dye import Dye, colourants
from glaze.materials.ink import Ink, Palette, load_palette
from glaze.materials.mix import Mix, mix_line, mix_wells
from glaze.materials.own_spectrum import with_measured_ink
from glaze.materials.paper import Paper, load_paper
from glaze.materials.room import Room
from glaze.physics.absorption import SQUARE_METRE_TO_PATH, path
from glaze.physics.fluorescence import emission_photons
from glaze.physics.spectrum import REFERENCE_NM
from glaze.picture.light import Light, band_nm, in_bands, load_glow, load_light
from glaze.sheet.wash import VISIBLE_NM

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Table:
    """What lies on the table, and the constants that follow from it.

    A scene, a command and a script all work on this one record.

    Attributes
    ----------
    palette, paper, light : as loaded
    dyes : the columns of every sheet: the dyes in use, then what bleach makes of them
    bleach : the bottle of household bleach
    room : its air
    wells : stock mixes by name, for recipes to take from
    neon : whether fluorescent dyes give light back; reflectance proper never passes 1
    """

    palette: Palette
    paper: Paper
    light: Light
    dyes: tuple[Dye, ...] = field(repr=False)
    bleach: Bleach = field(default_factory=Bleach)
    room: Room = field(default_factory=Room)
    wells: Mapping[str, Mix] = field(default_factory=dict)
    neon: bool = False

    @property
    def dropper(self) -> Dropper:
        """What drops of its bottles, and of water, are counted with."""
        return self.palette.dropper

    def contents_g_per_l(self, liquids: Iterable[Ink | Mix]) -> Array:
        """What liquids hold of each colourant [g/L], shape (liquids, colourants)."""
        rows = [[one.contents_g_per_l.get(dye.name, 0.0) for dye in self.dyes] for one in liquids]
        return np.array(rows).reshape(len(rows), len(self.dyes))

    @cached_property
    def absorptivity_l_per_g_cm(self) -> Array:
        """Of each colourant in each band [L/(g cm)], shape (colourants, bands)."""
        nm = band_nm()
        curves = [
            _fitted(dye.curve) if dye.curve else dye.absorptivity_l_per_g_cm(nm)
            for dye in self.dyes
        ]
        return np.array(curves).reshape(len(self.dyes), nm.size)  # also without any ink

    @cached_property
    def visible_path_m2_per_g(self) -> Array:
        """The same path where a wash's crowding is weighed, shape (colourants, wavelengths).

        [m2/g].
        """
        curves = [dye.absorptivity_l_per_g_cm(VISIBLE_NM) for dye in self.dyes]
        absorptivity = np.array(curves).reshape(len(self.dyes), VISIBLE_NM.size)
        return path(absorptivity * SQUARE_METRE_TO_PATH, self.paper.path_gain)

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
    def glow(self) -> TableGlow | None:
        """What the table's fluorescent dyes need to glow; None where none does, or it is off."""
        if not self.neon or not any(dye.fluorescence for dye in self.dyes):
            return None
        return _glow_of(self)

    def mix(self, recipe: str) -> Mix:
        """A mix of these bottles and wells, from words such as "Blue 3 + water 4" or "dusk"."""
        return mix_line(recipe, self.palette, self.wells)

    def with_ink(
        self,
        name: str,
        wavelength_nm: ArrayLike,
        reflectance: ArrayLike,
        *,
        bare: ArrayLike | None = None,
        parts_water: float = 0.0,
    ) -> Table:
        """The table with one bottle more, from the measured spectrum of its swatch.

        Parameters
        ----------
        wavelength_nm : [nm], shape (wavelengths,), rising
        reflectance : of one coat on this paper, dry [-], same shape, 0 to 1
        bare : reflectance of the bare sheet beside it [-], same shape; the paper's own if None
        parts_water : n of "1 part ink + n parts water" that was painted
        """
        swatch = (wavelength_nm, reflectance, self.paper, bare, parts_water)
        palette = with_measured_ink(self.palette, name, *swatch)
        return replace(self, palette=palette, dyes=dyes_in_use(palette))

    def only(self, mixes: Iterable[Mix]) -> Table:
        """The same table, its sheets with columns for the dyes of these mixes alone."""
        used = (name for mix in mixes for name in mix.contents_g_per_l)
        return self.with_columns(colourants(used, self.palette.dyes))

    def with_columns(self, dyes: Sequence[Dye]) -> Table:
        """The same table, its sheets with columns for these colourants alone."""
        found, place = replace(self, dyes=tuple(dyes)), {d.name: i for i, d in enumerate(self.dyes)}
        if all(dye.name in place for dye in dyes):
            # curves are worked out once for the whole table
            at = [place[dye.name] for dye in dyes]
            for name in ("absorptivity_l_per_g_cm", "visible_path_m2_per_g", "path_m2_per_g"):
                vars(found)[name] = getattr(self, name)[at]
            for name in ("paper_reflectance", "bleached_gain"):
                vars(found)[name] = getattr(self, name)
        return found


@cache
def _fitted(curve: tuple[tuple[float, float], ...]) -> Array:
    """A measured curve's values in the bands [L/(g cm)], shape (bands,)."""
    at_nm, value = np.array(curve).T
    if np.isin(band_nm(), at_nm).all():
        return np.interp(band_nm(), at_nm, value)  # recovered band by band from a colour
    return in_bands(np.interp(REFERENCE_NM, at_nm, value))


@dataclass(frozen=True, eq=False)
class TableGlow:
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


def _glow_of(table: Table) -> TableGlow:
    """The constants of a table's glow under its light."""
    light = load_glow(table.light.name)
    count, bands = len(table.dyes), band_nm().size
    yields, mol_per_g = np.zeros(count), np.zeros(count)
    emission = np.zeros((count, bands, 3))
    for j, dye in enumerate(table.dyes):
        found = dye.fluorescence
        if found is not None and found.quantum_yield > 0.0:
            yields[j] = found.quantum_yield
            mol_per_g[j] = 1.0 / dye.molar_mass_g_per_mol
            spread = emission_photons(
                band_nm(), found.emission_peak_nm, found.emission_width_per_cm
            )
            emission[j] = light.photon_xyz(spread)
    return TableGlow(yields, mol_per_g, light.photon_weights, emission)


def dyes_in_use(palette: Palette) -> tuple[Dye, ...]:
    """The dyes of all bottles, then what bleach makes of them: the columns of a sheet."""
    used = [name for ink in palette.inks.values() for name in ink.contents_g_per_l]
    return colourants(used, palette.dyes)


def table_of(
    palette: str | Palette,
    paper: str | Paper,
    light: str | Light = "D65",
    *,
    wells: Mapping[str, str] | None = None,
    bleach: Bleach | None = None,
    room: Room | None = None,
    dropper: Dropper | None = None,
    neon: bool = False,
) -> Table:
    """A table from names (or files) of a palette, a paper and a light.

    Parameters
    ----------
    wells : stock mixes as recipes in words, by name
    bleach, room : plain 5 % bleach, and an ordinary room, if None
    dropper : goes before the bottles' own drops to the ml; the palette's own if None
    """
    palette = load_palette(palette) if isinstance(palette, str) else palette
    palette = palette.counted_with(dropper) if dropper else palette
    paper = load_paper(paper) if isinstance(paper, str) else paper
    light = load_light(light) if isinstance(light, str) else light
    return Table(
        *(palette, paper, light, dyes_in_use(palette)),
        *(bleach or Bleach(), room or Room(), mix_wells(wells or {}, palette), neon),
    )
