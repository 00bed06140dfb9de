"""Papers: their own colour before and after bleach, and how ink sits in them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path

import numpy as np
from numpy.typing import ArrayLike, NDArray

from glaze.errors import InputError, unknown
from glaze.materials.entries import TABLES, Entry, Reader, rising, tell
from glaze.record.incoming import is_there, read_toml

SURFACES = {
    "matte absorbent": (1.0, 0.03),
    "hard-sized": (1.5, 0.02),
    "coated": (2.0, 0.0),
}
"""path_spread k [-] and surface reflectance s [-]: scored on measured overprints and washes
(docs/accuracy.md); hard-sized is interpolated."""

Curve = tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Paper:
    """One sort of paper.

    surface: matte absorbent, hard-sized or coated.
    path_spread, surface_reflectance: k and s of the law of absorption.
    path_gain: how often light crosses the
    ink on its way (assumed).
    film_ml_per_m2: the film a wash lays that makes one neat coat, the unit of crowding.
    rim_mm: width of a drying line. creep_mm: how far a bleach touch spreads past its mark.
    mixing_mm: how far re-dissolved ink travels within a new wash.
    fibre_mol_per_m2, fibre_rate_l_per_mol_s: hypochlorite the fibres can use up, and how fast.
    residual_ml_per_m2: water left when the sheet feels dry.
    tint_rate_l_per_mol_s: how fast bleach takes the paper's own tint or brightener.
    """

    name: str
    surface: str
    path_spread: float
    surface_reflectance: float
    path_gain: float
    curve: Curve
    bleached_curve: Curve
    film_ml_per_m2: float
    weight_gsm: float
    thickness_mm: float
    rim_mm: float
    creep_mm: float
    mixing_mm: float
    fibre_mol_per_m2: float
    fibre_rate_l_per_mol_s: float
    tint_rate_l_per_mol_s: float
    residual_ml_per_m2: float
    note: str = ""
    entries: Mapping[str, Entry] = field(default_factory=dict, compare=False, repr=False)

    def __post_init__(self) -> None:
        if not (rising(self.curve) and rising(self.bleached_curve)):
            raise InputError(
                f'"{self.name}": the wavelengths of a paper\'s curves have to rise from row to '
                "row; turn the rows round, or sort them."
            )

    def reflectance(self, wavelength_nm: ArrayLike) -> NDArray[np.float64]:
        """Reflectance of the bare paper [-] at each wavelength [nm], held at the table's ends.

        Same shape.
        """
        return _at(self.curve, wavelength_nm)

    def bleached_reflectance(self, wavelength_nm: ArrayLike) -> NDArray[np.float64]:
        """Reflectance [-] once bleach has done to the paper all it does.

        Same shape as the wavelengths [nm].
        """
        return _at(self.bleached_curve, wavelength_nm)


def _at(curve: Curve, wavelength_nm: ArrayLike) -> NDArray[np.float64]:
    at_nm, value = np.array(curve).T
    return np.interp(np.asarray(wavelength_nm, dtype=float), at_nm, value)


@lru_cache(maxsize=1)
def _built_in() -> dict[str, Paper]:
    table = read_toml(TABLES / "papers.toml")
    table.pop("sources")
    problems: list[str] = []
    papers = {
        name: _paper(name, Reader(facts, f'papers.toml: "{name}"', problems, strict=True), None)
        for name, facts in table.items()
    }
    tell(problems)
    return papers


def paper_names() -> tuple[str, ...]:
    """Names of the built-in papers."""
    return tuple(_built_in())


def load_paper(name_or_path: str | Path) -> Paper:
    """A built-in paper by name, or the user's own from a TOML file.

    A file may build on a built-in paper (`based_on`) and change single figures of it.
    """
    name = str(name_or_path)
    if name in _built_in():
        return _built_in()[name]
    path = Path(name_or_path)
    if path.suffix == ".toml" or is_there(path):
        return _own(path)
    problem = unknown("paper", name, paper_names())
    raise InputError(f"{problem} Or give the path of your own file, as paper.toml.")


def _own(path: Path) -> Paper:
    problems: list[str] = []
    reader = Reader(read_toml(path), path.name, problems)
    name = reader.text("based_on", "white cartridge")
    base = _built_in().get(name)
    if base is None:
        reader.wrong(f"based_on: {unknown('paper', name, paper_names())}")
        base = _built_in()["white cartridge"]
    paper = _paper(reader.text("name", path.stem), reader, base)
    tell(problems)
    return paper


def _paper(name: str, reader: Reader, base: Paper | None) -> Paper:
    """One paper of a table; figures a user's file leaves out are those of `base`."""
    entries: dict[str, Entry] = {}

    def number(key: str, low: float, high: float, default: float | None = None) -> float:
        if base is not None:
            default = getattr(base, key) if default is None else default
        entries[key] = reader.entry(key, low, high, default)
        return float(entries[key].value)

    surface = reader.choice("surface", SURFACES, base.surface if base else None)
    path_spread, surface_reflectance = SURFACES[surface]
    if base is not None and surface == base.surface:
        path_spread, surface_reflectance = base.path_spread, base.surface_reflectance
    curve = _curve(reader, "reflectance", entries) or (base.curve if base else ())
    bleached = _curve(reader, "bleached_reflectance", entries)
    if not bleached:
        bleached = base.bleached_curve if base and curve == base.curve else curve
    paper = Paper(
        name=name,
        surface=surface,
        path_spread=number("path_spread", 0.5, 20, path_spread),
        surface_reflectance=number("surface_reflectance", 0, 0.2, surface_reflectance),
        path_gain=number("path_gain", 1, 20),
        curve=curve,
        bleached_curve=bleached,
        film_ml_per_m2=number("film_ml_per_m2", 10, 500),
        weight_gsm=number("weight_gsm", 30, 1000),
        thickness_mm=number("thickness_mm", 0.03, 2),
        rim_mm=number("rim_mm", 0, 5),
        creep_mm=number("creep_mm", 0, 5),
        mixing_mm=number("mixing_mm", 0, 20),
        fibre_mol_per_m2=number("fibre_mol_per_m2", 0, 1),
        fibre_rate_l_per_mol_s=number("fibre_rate_l_per_mol_s", 0, 10),
        tint_rate_l_per_mol_s=number("tint_rate_l_per_mol_s", 0, 10),
        residual_ml_per_m2=number("residual_ml_per_m2", 0, 100),
        note=reader.text("note", ""),
        entries=entries,
    )
    for key, rows in (("reflectance", curve), ("bleached_reflectance", bleached)):
        if any(value <= paper.surface_reflectance for _, value in rows):
            reader.wrong(
                f"{key}: nowhere may the paper be as dark as the light its surface returns, "
                f"{paper.surface_reflectance:g}."
            )
    reader.finish()
    return paper


def _curve(reader: Reader, key: str, entries: dict[str, Entry]) -> Curve:
    """Rows of wavelength [nm] and reflectance, checked; empty where the key isn't there."""
    entry = reader.curve(key, 2)
    if entry is None:
        if reader.strict:
            reader.wrong(f'"{key}" is missing.')
        return ()
    entries[key] = entry
    rows: Curve = entry.value
    if not rising(rows):
        reader.wrong(f"{key}: the wavelengths have to rise from row to row.")
    for wavelength_nm, value in rows:
        if not 0 < value <= 1:
            reader.wrong(
                f"{key}: {value:g} at {wavelength_nm:g} nm; a reflectance lies between 0 and 1 "
                "(per cent figures: divide by 100)."
            )
    return rows if rising(rows) else ()
