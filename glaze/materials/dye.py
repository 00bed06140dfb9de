"""Dyes, pigments and bleach products: their absorption, and how bleach and water move them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glaze.errors import InputError, unknown
from glaze.materials.entries import TABLES, Entry, Reader, rising, tell
from glaze.physics.spectrum import gaussian_sum
from glaze.record.incoming import read_toml

KINDS = ("dye", "pigment", "product", "measured")

Band = tuple[float, float, float]


@dataclass(frozen=True)
class Rate:
    """How fast hypochlorite takes a colourant: second-order rate constants at 25 C.

    how, factor, source: standing of `k_ocl_l_per_mol_s`, which rules at bleach pH; factor is
    the uncertainty, times or divided by.
    pka: of the -OH group of an azo dye, which then goes slower in strong alkali; None for others.
    """

    k_ocl_l_per_mol_s: float
    k_hocl_l_per_mol_s: float | None
    ea_ocl_kj_per_mol: float
    ea_hocl_kj_per_mol: float
    how: str
    factor: float
    source: str
    pka: float | None = None


@dataclass(frozen=True)
class Fluorescence:
    """Light a dye gives back: shown where a table is `neon`, else left out of the pictures."""

    emission_peak_nm: float
    emission_width_per_cm: float
    quantum_yield: float
    medium: str
    how: str


@dataclass(frozen=True)
class Dye:
    """One colourant: a dye, a pigment, what bleach leaves of a dye, or a measured ink.

    bands: (centre [nm], standard deviation [1/cm], height), summing to 1 at the visible peak.
    curve: (wavelength [nm], absorptivity [L/(g cm)]) instead of bands, kind "measured" only.
    fit_residual: rms of the fitted bands as a share of the peak; None where bands are assumed.
    product: the colourant that bleach turns it into, None for a colourless one.
    loose_fraction: share that re-dissolves under a later wash, 0 to 1.
    mobility: how readily it travels with the water, 0 to 1 (fringe, separation).
    retardation: Rf, how far it runs in wet paper of what the water runs; its mobility if unknown.
    light_fastness: blue wool class, 1 (fleeting) to 8.
    entries: the table's figures with unit, source and standing, by key.
    """

    name: str
    kind: str
    molar_mass_g_per_mol: float
    peak_absorptivity_l_per_g_cm: float
    bands: tuple[Band, ...]
    bleach: Rate
    oxidant_mol_per_mol: float
    product: str | None = None
    product_mol_per_mol: float = 1.0
    loose_fraction: float = 0.5
    mobility: float = 0.5
    retardation: float = 0.5
    light_fastness: float = 3.0
    fluorescence: Fluorescence | None = None
    fit_residual: float | None = None
    curve: tuple[tuple[float, float], ...] = ()
    ci_number: str = ""
    other_name: str = ""
    colour: str = ""
    formula: str = ""
    note: str = ""
    entries: Mapping[str, Entry] = field(default_factory=dict, compare=False, repr=False)

    def __post_init__(self) -> None:
        if not rising(self.curve):
            raise InputError(
                f'"{self.name}": the wavelengths of its curve have to rise from row to row; turn '
                "the rows round, or sort them."
            )

    def absorptivity_l_per_g_cm(self, wavelength_nm: ArrayLike) -> NDArray[np.float64]:
        """Decadic absorptivity [L/(g cm)] at each wavelength [nm], shape (wavelengths,).

        A measured curve is interpolated, and held at its ends outside its range.
        """
        wavelength_nm = np.atleast_1d(np.asarray(wavelength_nm, dtype=float))
        if self.curve:
            at_nm, value = np.array(self.curve).T
            return np.interp(wavelength_nm, at_nm, value)
        centres_nm, widths_per_cm, heights = np.array(self.bands).T
        shape = gaussian_sum(wavelength_nm, centres_nm, widths_per_cm, heights)
        return self.peak_absorptivity_l_per_g_cm * shape

    @cached_property
    def mean_absorptivity_l_per_g_cm(self) -> float:
        """Mean absorptivity [L/(g cm)] over 400 to 700 nm: the dye's share in crowding."""
        return float(self.absorptivity_l_per_g_cm(np.arange(400.0, 701.0)).mean())

    @property
    def sources(self) -> tuple[str, ...]:
        """Keys of the sources of its figures."""
        return tuple(sorted({entry.source for entry in self.entries.values() if entry.source}))


@lru_cache(maxsize=1)
def _built_in() -> dict[str, Dye]:
    """The built-in dyes and products, read once."""
    table = read_toml(TABLES / "dyes.toml")
    fitted = read_toml(TABLES / "dye_bands.toml")
    problems: list[str] = []
    table.pop("sources")
    dyes = {}
    for name, facts in table.items():
        reader = Reader(facts | fitted.get(name, {}), f'dyes.toml: "{name}"', problems, strict=True)
        dyes[name] = read_dye(name, reader)
    tell(problems)
    return dyes


def load_dyes() -> dict[str, Dye]:
    """The built-in dyes, pigments and bleach products, by Colour Index generic name."""
    return dict(_built_in())


def read_dye(name: str, reader: Reader) -> Dye:
    """One dye of a table; what is wrong with it goes to the reader's list of problems.

    In a user's file only the absorption and the bleach rate matter; the rest has a default.
    """
    entries: dict[str, Entry] = {}

    def number(key: str, low: float, high: float, default: float | None = None) -> float:
        entries[key] = reader.entry(key, low, high, default)
        return float(entries[key].value)

    kind = reader.choice("kind", KINDS, None if reader.strict else "measured")
    bands, curve = _absorption(reader, kind, entries)
    mobility = number("mobility", 0, 1, 0.5)
    product = reader.raw("product")
    return Dye(
        name=name,
        kind=kind,
        molar_mass_g_per_mol=number("molar_mass", 1, 5000, 500),
        peak_absorptivity_l_per_g_cm=_peak(reader, curve, number),
        bands=bands,
        curve=curve,
        bleach=_rate(reader, number, entries),
        oxidant_mol_per_mol=number("oxidant", 0, 50, 2),
        product=product,
        product_mol_per_mol=number("product_yield", 0, 4, 1) if product else 1.0,
        loose_fraction=number("loose_fraction", 0, 1, 0.5),
        mobility=mobility,
        retardation=number("rf", 0, 1) if "rf" in reader.table else mobility,
        light_fastness=number("light_fastness", 1, 8, 3),
        fluorescence=_fluorescence(reader, number, entries),
        fit_residual=number("residual", 0, 0.1) if "residual" in reader.table else None,
        ci_number=reader.text("ci_number", ""),
        other_name=reader.text("other_name", ""),
        colour=reader.text("colour", ""),
        formula=reader.text("formula", ""),
        note=_note(reader),
        entries=entries,
    )


def _absorption(
    reader: Reader, kind: str, entries: dict[str, Entry]
) -> tuple[tuple[Band, ...], tuple[tuple[float, float], ...]]:
    """Bands, or for a measured ink its curve."""
    for key, columns in (("bands", 3), ("curve_l_per_g_cm", 2)):
        entry = reader.curve(key, columns)
        if entry is not None:
            entries[key] = entry
    bands, curve = entries.get("bands"), entries.get("curve_l_per_g_cm")
    if (bands is None) == (curve is None):
        reader.wrong('needs either "bands" (rows of nm, 1/cm, height) or "curve_l_per_g_cm".')
    if curve is not None and not rising(curve.value):
        reader.wrong("curve_l_per_g_cm: the wavelengths have to rise from row to row.")
        return (), ((400.0, 1.0),)  # told; until then any will do
    if bands is not None and any(c < 100 or w <= 0 for c, w, _ in bands.value):
        reader.wrong("bands: a centre is a wavelength in nm, a width is above 0.")
    return (bands.value if bands else ()), (curve.value if curve else ())


def _peak(reader: Reader, curve: tuple[tuple[float, float], ...], number: Any) -> float:
    if curve:
        return max(value for _, value in curve)
    return float(number("peak_absorptivity", 0, 1000))


def _rate(reader: Reader, number: Any, entries: dict[str, Entry]) -> Rate:
    k_ocl = number("k_ocl", 0, 1e4, 1.0)
    entry = entries["k_ocl"]
    return Rate(
        k_ocl_l_per_mol_s=k_ocl,
        k_hocl_l_per_mol_s=number("k_hocl", 0, 1e6, 14 * k_ocl),  # the ratio of amaranth, 12-19
        ea_ocl_kj_per_mol=number("ea_ocl", 0, 200, 35),
        ea_hocl_kj_per_mol=number("ea_hocl", 0, 200, 27),
        how=entry.how,
        factor=entry.factor,
        source=entry.source,
        pka=number("pka", 5, 14) if "pka" in reader.table else None,
    )


def _fluorescence(reader: Reader, number: Any, entries: dict[str, Entry]) -> Fluorescence | None:
    medium = reader.text("medium", "")
    if "quantum_yield" not in reader.table:
        return None
    return Fluorescence(
        quantum_yield=number("quantum_yield", 0, 1),
        emission_peak_nm=number("emission_peak", 300, 900),
        emission_width_per_cm=number("emission_width", 50, 5000),
        medium=medium,
        how=entries["quantum_yield"].how,
    )


def _note(reader: Reader) -> str:
    # the curve's name is for the reader of the table only
    reader.raw("curve")
    return reader.text("note", "")


def colourants(names: Iterable[str], dyes: Mapping[str, Dye]) -> tuple[Dye, ...]:
    """The dyes named and all that bleach can turn them into, each once.

    Dyes come in the order given, their products after them: the columns of a sheet.
    """
    found = list(dict.fromkeys(names))
    for name in found:  # grows while products are met
        product = dyes[name].product
        if product is not None and product not in found:
            found.append(product)
    return tuple(dyes[name] for name in found)


def check_products(dyes: Mapping[str, Dye], problems: list[str]) -> None:
    """Note products that aren't in the table, and chains of products that come back."""
    for dye in dyes.values():
        seen, name = {dye.name}, dye.product
        while name is not None:
            if name not in dyes:
                problems.append(f'"{dye.name}": product: {unknown("colourant", name, dyes)}')
                break
            if name in seen:
                problems.append(f'"{dye.name}": its bleach products lead back to "{name}".')
                break
            seen.add(name)
            name = dyes[name].product
