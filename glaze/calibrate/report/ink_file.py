"""Writing what was calibrated: an inks.toml and a paper.toml that scenes and commands can read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace as change
from datetime import date
from pathlib import Path
from types import MappingProxyType
from typing import Any

from glaze import __version__
from glaze.calibrate.fit.found import INSTRUMENT, SPECTRUM, Calibration, InkFit
from glaze.errors import InputError
from glaze.materials.dye import Dye
from glaze.materials.ink import Ink, Palette, load_palette, palette_names
from glaze.materials.paper import Paper, load_paper, paper_names
from glaze.picture.writable import check_place
from glaze.picture.writing import write_whole
from glaze.record.incoming import read_toml

DIGITS = 5
"""Significant digits of amounts and curves: a thousandth of what a scan can tell."""


NOTHING: Mapping[str, Any] = MappingProxyType({})


def check_new(path: Path, replace: bool) -> None:
    """Refuse a file that is there already, unless it is to be replaced; nothing is overwritten."""
    check_place(path, (".toml",), "a file of inks or paper")
    if path.exists() and not replace:
        raise InputError(
            f'"{path}" is there already and stays as it is. Choose another name, or say --replace '
            "to write over it."
        )


def write_inks(
    found: Calibration,
    path: str | Path,
    palette: str = "lifting",
    *,
    replace: bool = False,
) -> Path:
    """Write the inks as a palette of the user's own, whole or not at all, and read it back.

    Parameters
    ----------
    palette : built-in palette the file builds on, or the user's own file whose other inks and
        dyes are carried over
    """
    return _written(inks_text(found, palette), Path(path), replace)


def _written(text: str, path: Path, replace: bool) -> Path:
    """A palette's text as a file; one of ours that can't be read is our fault, and has to show."""
    check_new(path, replace)
    load_palette(write_whole(path, text.encode()))
    return path


def inks_text(found: Calibration, palette: str = "lifting") -> str:
    """The inks.toml of a calibration."""
    when, paper = date.today().isoformat(), found.paper.paper.name
    what = "spectra of" if found.paper.how == INSTRUMENT else "a scan of"
    remarks = (
        f"Inks read from {what} a painted swatch sheet, {when}, by glaze {__version__}.",
        f"Paper: {paper}. Strength holds ink, film and fibres together, so these",
        "inks are right for this paper and this hand; another paper needs another sheet.",
    )
    inks = [_table_of(fit.ink, note_of(fit)) for fit in found.inks.values()]
    dyes = [_dye_table(dye) for fit in found.inks.values() for dye in fit.dyes]
    checked = found.palette.checked.as_dict()
    return _document(remarks, palette, inks, dyes, f"Calibrated {when} on {paper} paper.", checked)


def _document(
    remarks: Sequence[str],
    palette: str,
    inks: list[dict[str, Any]],
    dyes: Sequence[dict[str, Any]] = (),
    note: str = "",
    checked: Mapping[str, Mapping[str, float]] = NOTHING,
) -> str:
    """A palette file: new inks and dyes, and what the file it builds on has besides."""
    import tomlkit

    document, kept = tomlkit.document(), _carried(palette)
    for line in remarks:
        document.add(tomlkit.comment(line))
    based_on = palette if palette in palette_names() else kept.get("based_on")
    if based_on:
        document["based_on"] = based_on
    if note:
        document["note"] = note
    if checked or "checked" in kept:
        document["checked"] = _toml_table(checked or kept["checked"])
    for name, new in (("ink", inks), ("dye", dyes)):
        names = {table["name"] for table in (*inks, *dyes)}
        tables = [*new, *(t for t in kept.get(name, []) if t.get("name") not in names)]
        if tables:
            array = tomlkit.aot()
            for table in tables:
                array.append(_toml_table(table))
            document[name] = array
    return tomlkit.dumps(document)


def _carried(palette: str) -> Mapping[str, Any]:
    """What a user's own palette file holds; nothing for a built-in one."""
    return {} if palette in palette_names() else read_toml(Path(palette))


def _toml_table(values: Mapping[str, Any]) -> Any:
    """A table of the file, with lists and inner tables on lines of their own."""
    import tomlkit

    table = tomlkit.table()
    for key, value in values.items():
        if isinstance(value, Mapping):
            inner = tomlkit.inline_table()
            inner.update(value)
            table.add(key, inner)
        else:
            table.add(key, value)
    return table


def _table_of(ink: Ink, note: str) -> dict[str, Any]:
    """One [[ink]] with all it is known by."""
    table: dict[str, Any] = {
        "name": ink.name,
        "key": ink.key,
        "dyes_g_per_l": {name: _round(amount) for name, amount in ink.contents_g_per_l.items()},
        "how": ink.how,
        "strength_factor": ink.strength_factor,
        "drops_per_ml": ink.drops_per_ml,
        "separation": ink.separation,
        "sediment": ink.sediment,
        "bleach_class": ink.bleach_class,
        "rewet_class": ink.rewet_class,
        "light_class": ink.light_class,
        "note": note,
        "source": ink.source,
    }
    return table | ({"extra": True} if ink.extra else {})


def note_of(fit: InkFit) -> str:
    """What was found, in a sentence."""
    how = {
        "strength": f"the palette's ink at {fit.strength:.2f} times its strength",
        "dyes": f"the palette's dyes in other shares, {fit.strength:.2f} times its strength",
        "measured": f"an ink of its own colour, {fit.strength:.2f} times the palette's strength",
        SPECTRUM: "its spectrum as measured",
    }[fit.kind]
    unseen = fit.unseen_de00[fit.kind]
    return (
        f"{len(fit.rungs)} patches: {how}; a patch left out is predicted within "
        f"{unseen:.1f} CIEDE2000 on average."
    )


def write_corrected(
    palette: Palette,
    together: Mapping[str, tuple[float, float]],
    path: str | Path,
    source: str,
    *,
    replace: bool = False,
) -> Path:
    """Write inks corrected by one painting: strengths only, called estimated.

    Parameters
    ----------
    together : by ink, strength factor and its band (times or over)
    source : built-in palette, or the user's own file, that the scene names
    """
    tables = []
    for name, (times, band) in together.items():
        ink = palette.inks[name]
        contents = {dye: grams * times for dye, grams in ink.contents_g_per_l.items()}
        ink = change(
            ink, contents_g_per_l=contents, how="estimated", strength_factor=round(band, 3)
        )
        note = f"{times:.2f} times the palette's strength, by comparing one painting."
        tables.append(_table_of(ink, note))
    remark = f"Inks corrected by one painting, by glaze {__version__}."
    return _written(_document([remark], source, tables), Path(path), replace)


def _dye_table(dye: Dye) -> dict[str, Any]:
    """One [[dye]] with its curve."""
    table: dict[str, Any] = {
        "name": dye.name,
        "kind": dye.kind,
        "note": dye.note or "spectrum recovered from a swatch's colour: one of many that look so",
        "molar_mass": dye.molar_mass_g_per_mol,
        "oxidant": dye.oxidant_mol_per_mol,
        "k_ocl": {
            "value": dye.bleach.k_ocl_l_per_mol_s,
            "unit": "L/(mol s)",
            "source": dye.bleach.source,
            "how": dye.bleach.how,
            "factor": dye.bleach.factor,
        },
    }
    if dye.bleach.pka is not None:
        table["pka"] = dye.bleach.pka
    if dye.product is not None:
        table |= {"product": dye.product, "product_yield": _round(dye.product_mol_per_mol)}
    table["curve_l_per_g_cm"] = [[_round(nm), _round(value)] for nm, value in dye.curve]
    return table


def _round(value: float) -> float:
    return float(f"{value:.{DIGITS}g}")


def write_paper(found: Calibration, path: str | Path, named: str, *, replace: bool = False) -> Path:
    """Write the paper as it was found: tint, paper under bleach, surface light."""
    path = Path(path)
    check_new(path, replace)
    load_paper(write_whole(path, paper_text(found.paper.paper, named, found.paper.how).encode()))
    return path


def paper_text(paper: Paper, named: str, how: str) -> str:
    """The paper.toml of a calibration, built on the paper it was read against."""
    import tomlkit

    document = tomlkit.document()
    what = "spectra of" if how == INSTRUMENT else "a scan of"
    document.add(
        tomlkit.comment(f"Paper read from {what} a painted swatch sheet by glaze {__version__}.")
    )
    if named in paper_names():
        document["based_on"] = named
    else:
        document.update(read_toml(Path(named)))
    document["name"] = f"{paper.name} (own sheet)"
    document["note"] = {
        "named": "Its colour is that of the named paper; the scan only told what lies on it.",
        "grey card": "Its colour is told by a grey card beside it.",
        "scan": "Its colour is the scan's own, taken at its word.",
        INSTRUMENT: "Its colour is measured.",
    }[how]
    document["surface_reflectance"] = _round(paper.surface_reflectance)
    for key, curve in (
        ("reflectance", paper.curve),
        ("bleached_reflectance", paper.bleached_curve),
    ):
        document[key] = [[_round(nm), _round(min(value, 1.0))] for nm, value in curve]
    return tomlkit.dumps(document)
