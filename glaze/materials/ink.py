"""Bottles of ink: named dyes in water, and the palettes they stand in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import Any

from glaze.errors import InputError, unknown
from glaze.materials.checked import NOTHING_CHECKED, Checked, read_checked
from glaze.materials.dropper import INK_DROPS_PER_ML, Dropper
from glaze.materials.dye import Dye, check_products, colourants, load_dyes, read_dye
from glaze.materials.entries import TABLES, Reader, tell
from glaze.materials.notebook import html_table
from glaze.record.incoming import is_there, read_toml

PALETTES = TABLES / "palettes"

CLASSES = {
    "separation": ("none", "slight", "strong", "unknown"),
    "sediment": ("no", "yes", "unknown"),
    "bleach_class": ("lifts", "partly", "resists", "unknown"),
    "rewet_class": ("none", "slight", "strong", "unknown"),
    "light_class": ("fleeting", "poor", "fair", "good", "unknown"),
}
HOW_INK = ("invented", "estimated", "measured")


@dataclass(frozen=True)
class Ink:
    """One bottle.

    contents_g_per_l: dye by name [g/L].
    drops_per_ml: with a medicine dropper; ink drops are smaller than water drops.
    separation: whether a drop on wet paper splits into its dyes. sediment: whether it settles.
    bleach_class, rewet_class, light_class: what bleach, water and light do to it, in words.
    how: invented (by dyes), estimated (from one colour reading) or measured (from swatches).
    strength_factor: uncertainty of the strength, times or divided by.
    extra: an additional bottle, not one of the palette's own four.
    """

    name: str
    key: str
    contents_g_per_l: Mapping[str, float]
    drops_per_ml: float = INK_DROPS_PER_ML
    separation: str = "unknown"
    sediment: str = "unknown"
    bleach_class: str = "unknown"
    rewet_class: str = "unknown"
    light_class: str = "unknown"
    how: str = "estimated"
    strength_factor: float = 3.0
    extra: bool = False
    note: str = ""
    source: str = ""


@dataclass(frozen=True)
class Palette:
    """The bottles on the table, and the dyes in them with all that bleach makes of these.

    dropper : what their drops, and those of water, are counted with
    checked : what a painted sheet of one's own held, nothing without one
    """

    name: str
    inks: Mapping[str, Ink]
    dyes: Mapping[str, Dye] = field(repr=False)
    note: str = ""
    dropper: Dropper = field(default_factory=Dropper)
    checked: Checked = NOTHING_CHECKED

    def counted_with(self, dropper: Dropper) -> Palette:
        """The same bottles under another dropper; what it gives of ink goes before their own."""
        own = dropper.ink_drops_per_ml
        inks = {
            name: ink if own is None else replace(ink, drops_per_ml=own)
            for name, ink in self.inks.items()
        }
        return replace(self, inks=MappingProxyType(inks), dropper=dropper)

    @property
    def bottles(self) -> tuple[Ink, ...]:
        """The palette's own bottles, without the extra ones."""
        return tuple(ink for ink in self.inks.values() if not ink.extra)

    def ink(self, name: str) -> Ink:
        """The ink of that name (capitals don't matter) or of that key letter."""
        found = find_name(name, self.inks)
        if found is None:
            found = next((ink.name for ink in self.inks.values() if ink.key == name.strip()), None)
        if found is None:
            raise InputError(unknown("ink", name, self.inks))
        return self.inks[found]

    def colourants(self, ink_names: tuple[str, ...] | None = None) -> tuple[Dye, ...]:
        """Columns of a sheet painted with these inks (all of them by default)."""
        chosen = [self.inks[name] for name in (ink_names or tuple(self.inks))]
        return colourants([dye for ink in chosen for dye in ink.contents_g_per_l], self.dyes)

    def _repr_html_(self) -> str:
        """The bottles as a table, for notebooks."""
        rows = (
            [
                *(ink.key, ink.name, contents_text(ink.contents_g_per_l), ink.how),
                f"times or over {ink.strength_factor:g}",
            ]
            for ink in self.inks.values()
        )
        heads = ("Key", "Ink", "Dyes [g/L]", "How known", "Strength known")
        return html_table(f"Palette {self.name}. {self.note}", heads, rows)


def contents_text(contents_g_per_l: Mapping[str, float]) -> str:
    """Dyes of a liquid in words, as "Acid Blue 9 1.2, Acid Red 52 0.3" [g/L]."""
    return ", ".join(f"{dye} {grams:.3g}" for dye, grams in contents_g_per_l.items())


def find_name(name: str, known: Mapping[str, Any]) -> str | None:
    """The known name that differs at most in capitals and spaces, or None."""
    if name in known:
        return name
    plain = " ".join(name.lower().split())
    return next((k for k in known if " ".join(k.lower().split()) == plain), None)


def joined(palette: Palette, other: Palette) -> Palette:
    """The bottles of both palettes; the other's are told apart by its name where names are alike.

    Raises
    ------
    InputError : where both have a dye of their own under one name
    """
    ours = load_dyes()
    twice = [
        n
        for n in other.dyes
        if n not in ours and other.dyes[n] != palette.dyes.get(n, other.dyes[n])
    ]
    if twice:
        raise InputError(
            f'Both "{palette.name}" and "{other.name}" describe the dye "{twice[0]}"; call one '
            "otherwise."
        )
    inks = dict(palette.inks)
    for name, ink in other.inks.items():
        own = name if name not in inks else f"{name} ({other.name})"
        if name not in inks or inks[name] != ink:
            inks[own] = replace(ink, name=own, key="?")
    dyes = MappingProxyType({**other.dyes, **palette.dyes})
    return replace(palette, inks=MappingProxyType(inks), dyes=dyes)


def palette_names() -> tuple[str, ...]:
    """Names of the built-in palettes."""
    return tuple(sorted(path.stem for path in PALETTES.glob("*.toml")))


def load_palette(name_or_path: str | Path) -> Palette:
    """A built-in palette by name, or the user's own from a TOML file.

    A file adds inks by dye and g/L, and may build on a palette (`based_on`); an ink of the same
    name takes the place of the palette's. All that is wrong with the file is told at once.
    """
    name = str(name_or_path)
    if name in palette_names():
        return _built_in(name)
    path = Path(name_or_path)
    if path.suffix == ".toml" or is_there(path):
        return _read(path, strict=False)
    problem = unknown("palette", name, palette_names())
    raise InputError(f"{problem} Or give the path of your own file, as inks.toml.")


@lru_cache(maxsize=8)
def _built_in(name: str) -> Palette:
    return _read(PALETTES / f"{name}.toml", strict=True)


def _read(path: Path, strict: bool) -> Palette:
    """The palette of one file."""
    problems: list[str] = []
    reader = Reader(read_toml(path), path.name, problems, strict)
    base = _base(reader, path)
    dyes = dict(base.dyes) if base else load_dyes()
    inks = dict(base.inks) if base else {}
    for table in reader.tables("dye"):
        dye = _own_dye(Reader(table, path.name, problems))
        dyes[dye.name] = dye
    check_products(dyes, problems)
    own = [_ink(Reader(t, path.name, problems, strict), dyes) for t in reader.tables("ink")]
    for ink in own:
        if sum(other.name == ink.name for other in own) > 1:
            reader.wrong(f'two inks are called "{ink.name}"; give each its own name.')
        inks[ink.name] = ink
    inks = _with_keys(inks, own, reader)
    note = reader.text("note", "")
    checked = read_checked(reader)
    if not inks and not problems:
        reader.wrong("has no ink; write each as [[ink]] with a name and its dyes.")
    reader.finish()
    tell(list(dict.fromkeys(problems)))
    all_inks, all_dyes = MappingProxyType(inks), MappingProxyType(dyes)
    return Palette(path.stem, all_inks, all_dyes, note, Dropper(), checked)


def _base(reader: Reader, path: Path) -> Palette | None:
    name = reader.text("based_on", "")
    if not name:
        return None
    if name in palette_names() and name != path.stem:
        return _built_in(name)
    reader.wrong(f"based_on: {unknown('palette', name, palette_names())}")
    return None


def _own_dye(reader: Reader) -> Dye:
    name = reader.text("name")
    reader.place = f'{reader.place}: dye "{name}"'
    dye = read_dye(name, reader)
    reader.finish()
    return dye


def _ink(reader: Reader, dyes: Mapping[str, Dye]) -> Ink:
    """One [[ink]] of a file."""
    name = reader.text("name").strip()
    reader.place = f'{reader.place}: ink "{name}"'
    if any(sign in name for sign in "+,;:") or name.lower() == "water":
        reader.wrong('the name may not be "water" or hold + , ; or : (recipes are written so).')
    classes = {key: reader.choice(key, words, "unknown") for key, words in CLASSES.items()}
    how = reader.choice("how", HOW_INK, "estimated")
    ink = Ink(
        name=name,
        key=reader.text("key", ""),
        contents_g_per_l=MappingProxyType(_contents(reader, dyes)),
        drops_per_ml=reader.number("drops_per_ml", 5, 100, INK_DROPS_PER_ML),
        how=how,
        strength_factor=reader.number("strength_factor", 1, 10, Ink.strength_factor),
        extra=reader.flag("extra", False),
        note=reader.text("note", ""),
        source=reader.text("source", ""),
        **classes,
    )
    reader.finish()
    return ink


def _contents(reader: Reader, dyes: Mapping[str, Dye]) -> dict[str, float]:
    """Dye by name [g/L]; an entry with its standing in the built-in palettes."""
    table = reader.mapping("dyes_g_per_l")
    if "value" in table:
        inner = Reader(table, f"{reader.place}: dyes_g_per_l", reader.problems, reader.strict)
        entry = inner.mapping("value")
        inner.text("unit"), inner.text("source"), inner.text("how")
        inner.finish()
        table = entry
    elif reader.strict:
        reader.wrong("dyes_g_per_l has to say value, unit, source and how.")
    contents = {}
    amounts = Reader(table, f"{reader.place}: dyes_g_per_l", reader.problems)
    for name in table:
        known = find_name(name, dyes)
        amount = amounts.number(name, 0, 100)
        if known is None:
            amounts.wrong(unknown("dye", name, [d for d in dyes if dyes[d].kind != "product"]))
        elif dyes[known].kind == "product":
            amounts.wrong(f'"{name}" is what bleach leaves; it doesn\'t come in bottles.')
        else:
            contents[known] = amount
    if not table:
        reader.wrong('"dyes_g_per_l" is missing; write { "Acid Blue 9" = 1.2 } in g/L.')
    elif contents and not any(contents.values()):
        reader.wrong("holds no dye at all; at least one has to be above 0 g/L.")
    return contents


def _with_keys(inks: dict[str, Ink], own: list[Ink], reader: Reader) -> dict[str, Ink]:
    """Every ink with a key letter of its own; missing ones are chosen from the name."""
    taken: dict[str, str] = {}
    for ink in inks.values():
        if ink.key and ink.key in taken and ink in own:
            reader.wrong(f'"{ink.name}" and "{taken[ink.key]}" have the same key "{ink.key}".')
        if ink.key and not (len(ink.key) == 1 and ink.key.isupper()):
            reader.wrong(f'ink "{ink.name}": key is "{ink.key}"; it is one capital letter.')
        if ink.key:
            taken[ink.key] = ink.name
    for name, ink in inks.items():
        if not ink.key:
            letters = [c for c in f"{name.upper()}ABCDEFGHIJKLMNOPQRSTUVWXYZ" if c.isalpha()]
            key = next((c for c in letters if c not in taken), "?")
            taken[key] = name
            inks[name] = replace(ink, key=key)
    return inks
