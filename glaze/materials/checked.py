"""What a painted sheet of one's own held: how far off readings were that nothing was fitted to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from glaze.materials.entries import Reader

WEAKEST = 1.0 / 17.0
"""Of the strips of a swatch sheet: they go from 1 + 16 to neat."""


@dataclass(frozen=True)
class Off:
    """How far off, standard deviations: Munsell value [steps], colour [CIEDE2000], CIELAB chroma.

    For a colour well off the paper; a tint that hardly shows can be off by less.
    """

    value: float = 0.0
    colour: float = 0.0
    chroma: float = 0.0


NO_ERROR, AS_USUAL = Off(), Off(1.0, 1.0, 1.0)


@dataclass(frozen=True)
class Checked:
    """What a calibration found of its own error.

    one_ink : washes of one ink, each predicted from the others of its strip, strength aside
    more_inks : mixes and shadow washes, predicted from the strips
    scanner : what the scanner may be off all over the sheet, which its patches can't tell
    overlay_times : the law's error of washes over each other, times that of the tables, as mixes of
        what is usual and what these patches say
    weakest : strength [neat coats] of the thinnest wash of every strip
    """

    one_ink: Off = NO_ERROR
    more_inks: Off = NO_ERROR
    scanner: Off = NO_ERROR
    overlay_times: Off = AS_USUAL
    weakest: float = WEAKEST

    @property
    def known(self) -> bool:
        """Whether there was a sheet."""
        return self != NOTHING_CHECKED

    def as_dict(self) -> dict[str, Any]:
        """For files and JSON."""
        found = {key: getattr(self, key) for key in KEYS}
        rows = {key: {n: _short(v) for n, v in asdict(off).items()} for key, off in found.items()}
        return rows | {"weakest": _short(self.weakest)}


KEYS = ("one_ink", "more_inks", "scanner", "overlay_times")
NOTHING_CHECKED = Checked()


def _short(value: float) -> float:
    return float(f"{value:.3g}")


def read_checked(reader: Reader) -> Checked:
    """The [checked] of a palette file; nothing where there is none."""
    if "checked" not in reader.table:
        return NOTHING_CHECKED
    found = {}
    table = reader.mapping("checked")
    inner = Reader(table, f"{reader.place}: checked", reader.problems)
    for key in KEYS:
        row: Mapping[str, object] = inner.mapping(key) if key in table else {}
        each = Reader(row, f"{reader.place}: checked: {key}", reader.problems)
        usual = asdict(getattr(NOTHING_CHECKED, key))
        found[key] = Off(*(each.number(name, 0.0, 100.0, value) for name, value in usual.items()))
        each.finish()
    weakest = inner.number("weakest", 1e-3, 1.0, WEAKEST)
    inner.finish()
    return Checked(**found, weakest=weakest)
