"""What a measured sample is, by its name: paper, a rung, a mix or washes over each other.

Names are those of the swatch sheet ("Blue 1+4", "Blue with Red", "Black over Blue", "bare paper"),
or say their dilutions themselves ("Black 1+6 over Blue neat", "Blue + Red 1+1").
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glaze.charts.content.swatch_layout import OVER_PARTS, SECONDARY_PARTS, volumes
from glaze.errors import InputError
from glaze.record.spectra import Spectra

Array = NDArray[np.float64]

PAPER = ("paper", "bare paper", "bare", "bare sheet")
MOST_PARTS = 100.0

DILUTION = re.compile(r"(.*?)\s*(?:\b(neat)|(?<![\w.])1\s*\+\s*(\d+(?:[.,]\d+)?))\s*$", re.I)


@dataclass(frozen=True, eq=False)
class Sample:
    """One thing that was measured, repeated readings averaged.

    ink, parts : of a rung: its ink, and the parts of water to one of it; else "" and 0
    layers, inks : of what nothing is fitted to: recipes, the lowest first, and all their inks
    reflectance : [-], shape (bands,)
    """

    name: str
    reflectance: Array
    ink: str = ""
    parts: float = 0.0
    layers: tuple[str, ...] = ()
    inks: tuple[str, ...] = ()


def samples_of(spectra: Spectra) -> tuple[Array, tuple[Sample, ...]]:
    """Bare paper [-], shape (bands,), and every other sample of a file.

    Raises
    ------
    InputError : with every name that says nothing, each with its line
    """
    bare: list[Array] = []
    found: dict[str, list[Sample]] = {}
    problems = []
    for name, line, R in zip(spectra.names, spectra.lines, spectra.reflectance, strict=True):
        plain = " ".join(name.split())
        if plain.lower() in PAPER:
            bare.append(R)
            continue
        try:
            sample = _sample(plain, R)
        except InputError as error:
            problems += [f"{spectra.file}: line {line}: {told}" for told in error.problems]
        else:
            found.setdefault(sample.name.lower(), []).append(sample)
    if not bare:
        problems.append(
            f'{spectra.file}: no sample is called "paper"; measure the bare sheet beside the '
            "patches: everything is read against it."
        )
    if problems:
        raise InputError(problems)
    return np.mean(bare, axis=0), tuple(_averaged(found))


def _averaged(found: dict[str, list[Sample]]) -> Iterator[Sample]:
    for same in found.values():
        yield replace(same[0], reflectance=np.mean([s.reflectance for s in same], axis=0))


def _sample(name: str, R: Array) -> Sample:
    """A sample by its name, which isn't paper's."""
    washes = re.split(r"\s+over\s+", name, flags=re.I)
    below = OVER_PARTS if len(washes) > 1 else None
    each = [_wash(wash, below if n == 0 else SECONDARY_PARTS if below else None)
            for n, wash in enumerate(washes)]  # fmt: skip
    if len(each) == 1 and len(each[0][0]) == 1:
        (ink,), parts = each[0]
        return Sample(name, R, ink, parts)
    layers = tuple(volumes(inks, parts) for inks, parts in reversed(each))
    return Sample(name, R, layers=layers, inks=tuple(ink for inks, _ in each for ink in inks))


def _wash(text: str, usual: float | None) -> tuple[list[str], float]:
    """Inks of a wash and its parts of water; `usual` where the sheet says them."""
    match = DILUTION.fullmatch(text)
    inks = (match[1] if match else text).strip()
    names = [one.strip() for one in re.split(r"\s+(?:with|and)\s+|\s*\+\s*", inks, flags=re.I)]
    if match:
        parts = 0.0 if match[2] else float(match[3].replace(",", "."))
    elif usual is not None or len(names) > 1:
        parts = SECONDARY_PARTS if usual is None else usual
    else:
        raise InputError(
            f'"{text}" doesn\'t say its water; write "{text} neat" or "{text} 1+4" (parts of ink '
            'and water), "paper" for the bare sheet, "Blue with Red", "Black 1+4 over Blue 1+1".'
        )
    if not all(names) or any(sign in name for name in names for sign in ",;:"):
        raise InputError(f'"{text}" names no ink; write as "Blue 1+4", without , ; or :.')
    if parts > MOST_PARTS:
        raise InputError(f'"{text}" has {parts:g} parts of water; allowed: up to {MOST_PARTS:g}.')
    return names, parts
