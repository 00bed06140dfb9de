"""Which dilution of black gives a shadow: for a value, for a drop in value, and even over hues."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from glaze.errors import InputError
from glaze.materials.dilution import Dilution, dilution_of
from glaze.materials.parts_told import parts_words
from glaze.patch.band import Band, chroma_told
from glaze.patch.layers import Laid
from glaze.patch.patches import bare_patches
from glaze.patch.seen import Look, looks_of
from glaze.patch.table import Table
from glaze.patch.trust import trusted
from glaze.planning.recipe.coats import MOST_COATS, WEAKEST, coats_for, in_coats, value_under
from glaze.planning.recipe.hue import Hue, darkened, read_hue
from glaze.planning.recipe.verdict import hue_direction

NEUTRAL_CHROMA = 1.5
"""Below this Munsell chroma a wash reads as neutral beside others (common practice, no source)."""


THIN = 1.0 / 3.0
"""Up to this strength no set has a black over a colour [neat coats]."""
STRONG_CHROMA, BLACK_CHROMA = 8.0, 2.0
"""Munsell chroma: from where a colour is strong; up to where a neat dark is a black [guess]."""


@dataclass(frozen=True)
class Shadow:
    """A shadow wash on one hue.

    wanted_value : asked for
    before, after : the hue bare, and under the shadow. band : of its value under it
    chroma : of CIELAB under the shadow: the least of its band, the best guess, the most
    coats, dilution : so many coats of 1 part + n parts water, and how that is measured out
    recipe_value : value that what is measured out comes to
    reachable : whether the wanted value is had within half a step
    """

    hue: str
    ink: str
    wanted_value: float
    before: Look
    after: Look
    band: Band
    coats: int
    dilution: Dilution
    recipe_value: float
    drift: str
    chroma: tuple[float, float, float]
    reachable: bool
    note: str

    @property
    def value_before(self) -> float:
        """Value of the hue."""
        return self.before.value

    @property
    def value(self) -> float:
        """Value under the shadow."""
        return self.band.best

    @property
    def parts_water(self) -> float:
        """Of each coat's mix; infinite where no wash is needed."""
        return self.dilution.parts_water

    @property
    def parts(self) -> str:
        """Coats and parts in words."""
        return parts_words(self.parts_water, max(1, self.coats))

    def as_dict(self) -> dict[str, Any]:
        """For JSON, by the command's contract."""
        looks = ("before", "after", "dilution")
        told = {key: _rounded(part) for key, part in vars(self).items() if key not in looks}
        return told | {
            "value_before": round(self.value_before, 2),
            "munsell_before": self.before.munsell,
            "munsell": self.after.munsell,
            "value": round(self.value, 2),
            "band": self.band.as_dict(),
            "chroma": chroma_told(self.chroma),
            **self.dilution.as_dict(),
            "parts": self.parts,
        }


def _rounded(part: Any) -> Any:
    return round(part, 2) if isinstance(part, float) else part


def shadow(
    table: Table,
    hue: Hue | str,
    *,
    to_value: float | None = None,
    darker: float | None = None,
    ink: str = "Black",
) -> Shadow:
    """The dilution of a dark ink (or mix) that brings a hue down to a value, or by some steps.

    Raises
    ------
    InputError : unless one of the two is given, and for values outside 0 to 10
    """
    hue = read_hue(hue, table) if isinstance(hue, str) else hue
    sheet, wash = hue.on(table), table.mix(ink)
    if not wash.ink_ml:
        raise InputError("Water alone casts no shadow; name an ink, as --ink Black.")
    (bare,) = looks_of(table, sheet)
    before = bare.value
    wanted = _wanted(to_value, darker, before)
    thick = coats_for(table, sheet, wash, wanted)
    coats, parts_water = in_coats(thick)
    shade = (Laid(wash, coats=thick),) if thick > 0 else ()
    found = trusted(table, (*hue.layers, *shade))
    band = found.band
    (after,) = looks_of(table, darkened(table, sheet, wash, np.array([thick])))
    (neat,) = looks_of(table, darkened(table, bare_patches(table), wash, np.ones(1)))
    dilution = dilution_of(wash, parts_water)
    made = value_under(table, sheet, wash, coats / (1 + dilution.parts_given))
    note = _note(hue.text, wanted, before, band.best, coats, thick)
    return Shadow(
        hue=hue.text,
        ink=ink,
        wanted_value=wanted,
        before=bare,
        after=after,
        band=band,
        coats=coats if thick > 0 else 0,
        dilution=dilution,
        recipe_value=made,
        drift=drift_words(bare, after),
        chroma=found.chroma,
        reachable=abs(band.best - wanted) <= 0.5,
        note=f"{note} {_untold(bare, neat, thick)}".strip(),
    )


def _untold(hue: Look, neat: Look, thick: float) -> str:
    """What to know of a thin black over a strong colour, which no measured set tells of."""
    if not 0.0 < thick <= THIN or hue.chroma < STRONG_CHROMA or neat.chroma > BLACK_CHROMA:
        return ""
    return (
        "Nobody has measured so thin a black over so strong a colour: whether it stays clean or "
        "greys like a film, a painted scrap tells."
    )


def _wanted(to_value: float | None, darker: float | None, before: float) -> float:
    if (to_value is None) == (darker is None):
        raise InputError(
            "Say either the value the shadow is to have (--value 5) or by how many steps it is to "
            "be darker (--darker 2)."
        )
    if to_value is not None:
        if not 0 <= to_value <= 10:
            raise InputError(f"Value {to_value:g}: it goes from 0 (black) to 10 (white).")
        return to_value
    assert darker is not None
    check_darker(darker)
    return before - darker


def check_darker(steps: float) -> None:
    """Refuse a number of value steps that nothing can get darker by."""
    if not 0 < steps <= 10:
        raise InputError(f"{steps:g} steps darker: give more than 0, up to 10 value steps.")


def _note(hue: str, wanted: float, before: float, got: float, coats: int, thick: float) -> str:
    """What the painter should know: lighter than the hue, more than one wash, out of reach."""
    if thick == 0.0:
        if wanted > before + 0.05:
            return (
                f"A shadow can't lighten: {hue} is value {before:.1f} already, darker than the "
                f"wanted {wanted:.1f}. Nearest: no wash at all."
            )
        return "It has that value already."
    if got > wanted + 0.05:
        return (
            f"Out of reach: {MOST_COATS} neat coats bring {hue} from value {before:.1f} to "
            f"{got:.1f}, and further ones hardly darken it. Nearest: those {MOST_COATS}."
        )
    if thick < WEAKEST:
        return "So thin that it hardly shows: leave it out, or ask for a greater drop in value."
    if coats > 1:
        return "Can't be had in one wash; let each coat dry before the next."
    return ""


def drift_words(before: Look, after: Look) -> str:
    """What a wash does to hue and chroma: "turns towards green, chroma 11 to 5"."""
    c0, c1 = before.chroma, after.chroma
    told = []
    turn = (after.hue - before.hue + 50.0) % 100.0 - 50.0
    if c0 >= NEUTRAL_CHROMA and c1 >= 0.5 and abs(turn) >= 2.5:
        told.append(f"hue turns {hue_direction(before.hue, turn)}")
    if abs(c0 - c1) >= 0.5:
        told.append(f"chroma {c0:.0f} to {c1:.0f}")
    if c1 < NEUTRAL_CHROMA <= c0:
        told.append("reads as neutral")
    return ", ".join(told) or "hue and chroma stay"


@dataclass(frozen=True)
class EvenShadows:
    """The same drop in value over several hues, and what one wash over all would do.

    shadows : a dilution for each hue
    coats_for_all, one_for_all : a single wash, the middle of those
    drops_with_one : the drop [value steps] it gives on each hue
    """

    steps: float
    shadows: tuple[Shadow, ...]
    coats_for_all: int
    one_for_all: Dilution
    drops_with_one: tuple[float, ...]
    note: str

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "darker": self.steps,
            "shadows": [one.as_dict() for one in self.shadows],
            "one_wash_for_all": {
                "coats": self.coats_for_all,
                **self.one_for_all.as_dict(),
                "darker": {
                    one.hue: round(drop, 2)
                    for one, drop in zip(self.shadows, self.drops_with_one, strict=True)
                },
            },
            "note": self.note,
        }


def even_shadows(
    table: Table, hues: Sequence[Hue], steps: float, ink: str = "Black"
) -> EvenShadows:
    """A dilution for each hue, so that all get darker by the same number of value steps."""
    if not hues:
        raise InputError("Name at least one hue, as Yellow or paper.")
    shadows = tuple(shadow(table, hue, darker=steps, ink=ink) for hue in hues)
    had = [s for s in shadows if s.reachable and math.isfinite(s.parts_water)] or list(shadows)
    strength = float(np.median([s.coats / (1 + s.parts_water) for s in had]))
    drops, wash = [], table.mix(ink)
    for hue, one in zip(hues, shadows, strict=True):
        drops.append(one.value_before - value_under(table, hue.on(table), wash, strength))
    out = [s.hue for s in shadows if not s.reachable]
    note = f"Not to be had on {', '.join(out)}: too dark already." if out else ""
    coats, parts = in_coats(strength)
    one_wash = dilution_of(wash, parts)
    if len(hues) > 1:
        each = ", ".join(f"{h.text} by {drop:.1f}" for h, drop in zip(hues, drops, strict=True))
        how = f"{parts_words(parts, coats)} ({one_wash.text})"
        note = f"One wash for all, {how}, would darken {each} steps. {note}".strip()
    return EvenShadows(steps, shadows, coats, one_wash, tuple(drops), note)
