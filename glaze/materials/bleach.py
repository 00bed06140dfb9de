"""The bottle of household bleach, the tools that lay it, and the caution that goes with it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from glaze.errors import InputError, unknown
from glaze.materials.entries import Entry, sections_of, tell
from glaze.physics import rates

HOUSEHOLD_PERCENT = 9.0
"""Strongest bleach [% NaOCl by mass] sold for households (CDC: 5 to 9 %); more is refused."""

CAUTION_LINE = (
    "Bleach burns, and gives off poisonous gas when mixed: plain bleach and water only, window "
    "open, gloves, eye protection, not for children alone."
)

CAUTION = (
    "Bleach burns skin and eyes. Mixed with the wrong thing it gives off a poisonous gas.\n"
    "Use plain, unscented household bleach and clean water, nothing else. No acid (vinegar, "
    "lemon, descaler), no ammonia, no alcohol, no other cleaner.\n"
    "Some inks are acids too, iron-gall inks among them: never put bleach into an ink bottle or "
    "an ink well, never put ink into the bleach dish, and never pour leftovers back.\n"
    "Masking fluid is latex in ammonia: peel it off and let the sheet dry before any bleach.\n"
    "Open a window. Wear gloves and eye protection. Put a few millilitres into a labelled dish "
    "that nobody drinks from, away from the water pot; mix it fresh each time.\n"
    "Use a synthetic brush or a dip pen (hair dissolves). Make no mist, don't point the brush "
    "with your lips, don't dry wet bleach with a hair-dryer.\n"
    "To stop it: blot, rinse with clean water, blot. Nothing else.\n"
    "On skin: rinse with water at once. In the eyes or swallowed: rinse with water at once and "
    "get medical help. A choking smell: go out into fresh air.\n"
    "Not for children alone. If you have asthma, leave this to somebody else.\n"
    "What stays in the paper goes on working: a bleached sheet isn't archival, so keep a scan.\n"
    "The bottle's label and your local rules come first; this program is no safety authority."
)


@dataclass(frozen=True)
class Bleach:
    """A bottle of household bleach.

    Attributes
    ----------
    percent : sodium hypochlorite by mass when it was filled [%], above 0, up to 9
    ph : of the bottle [-]
    age_months : since it was filled [months]
    storage_c : temperature at which it stood [deg C]
    """

    percent: float = 5.0
    ph: float = 11.5
    age_months: float = 0.0
    storage_c: float = 20.0

    def __post_init__(self) -> None:
        tell(_problems(self))

    @property
    def fresh_mol_per_l(self) -> float:
        """Hypochlorite in the bottle as it was sold [mol/L]."""
        return float(rates.mol_per_l(self.percent))

    @property
    def mol_per_l(self) -> float:
        """Hypochlorite in the bottle today [mol/L]."""
        return rates.kept_mol_per_l(self.fresh_mol_per_l, self.age_months, self.storage_c)

    def diluted_mol_per_l(self, parts_water: float) -> float:
        """Hypochlorite in "1 part + n parts water" of it [mol/L]."""
        return float(rates.diluted(self.mol_per_l, parts_water))

    def diluted_ph(self, parts_water: float) -> float:
        """pH of "1 part + n parts water" of it."""
        return float(rates.diluted_ph(self.ph, self.mol_per_l, parts_water))


def _problems(bleach: Bleach) -> list[str]:
    """All that is wrong with a bottle, in the painter's words."""
    found = []
    if not bleach.percent > 0.0:
        found.append(
            f"The bleach is given as {bleach.percent:g} %: that is no bleach at all. Copy the "
            f"percentage of sodium hypochlorite from the label, above 0 and up to "
            f"{HOUSEHOLD_PERCENT:g} %."
        )
    elif not bleach.percent <= HOUSEHOLD_PERCENT:
        found.append(
            f"The bleach is given as {bleach.percent:g} %: above household strength "
            f"({HOUSEHOLD_PERCENT:g} %) and not for a studio table. Use plain household bleach "
            "and copy the percentage from its label."
        )
    for what, value, low, high in (
        ("pH of the bleach", bleach.ph, 9.0, 14.0),
        ("age of the bleach in months", bleach.age_months, 0.0, 60.0),
        ("temperature at which the bleach stood", bleach.storage_c, 0.0, 45.0),
    ):
        if not low <= value <= high:
            found.append(f"The {what} is {value:g}; it may be {low:g} to {high:g}.")
    return found


@dataclass(frozen=True)
class Tool:
    """What lays the bleach: the film it leaves [ml/m2] and the width of its mark [mm]."""

    name: str
    film_ml_per_m2: float
    line_mm: float


@dataclass(frozen=True)
class TouchHabits:
    """How a touch goes when the scene says nothing else (`tables/bleach.toml`)."""

    cap_mol_per_l: float
    kept_when_blotted: float
    kept_when_rinsed: float
    inked_depth_mm: float
    loosening_minutes: float
    water_blotted: float
    water_rinsed: float


TOOL_NAMES = ("brush", "dip pen", "swab")


@cache
def bleach_entries() -> dict[str, dict[str, Entry]]:
    """The whole table with the standing of each figure, by section and name."""
    return sections_of("bleach.toml")


def touch_habits() -> TouchHabits:
    """The figures of a touch from the table."""
    table = bleach_entries()
    touch, water = table["touch"], table["water"]
    return TouchHabits(
        cap_mol_per_l=touch["cap"].value,
        kept_when_blotted=touch["kept_when_blotted"].value,
        kept_when_rinsed=touch["kept_when_rinsed"].value,
        inked_depth_mm=touch["inked_depth"].value,
        loosening_minutes=water["loosening"].value,
        water_blotted=water["blotted"].value,
        water_rinsed=water["rinsed"].value,
    )


def tool_named(name: str) -> Tool:
    """The tool of that name, or an InputError that lists those there are."""
    if name not in TOOL_NAMES:
        raise InputError(unknown("tool for bleach", name, TOOL_NAMES))
    section = bleach_entries()[name]
    return Tool(name, section["film"].value, section["line"].value)
