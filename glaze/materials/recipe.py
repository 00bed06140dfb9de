"""A recipe as it is written: drops of inks and water, `Blue 3 + Yellow 2 + water 4`."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from glaze.errors import InputError, unknown

WATER = "water"

UNITS = {"drop": "drops", "drops": "drops", "ml": "ml", "part": "parts", "parts": "parts"}


@dataclass(frozen=True)
class Recipe:
    """What goes into a mix, in one unit throughout: drops, ml, or parts by volume.

    amounts: ink or stock mix by name. water: in the same unit.
    """

    amounts: Mapping[str, float]
    water: float = 0.0
    unit: str = "drops"

    @property
    def drops(self) -> Mapping[str, float]:
        """Amount of each ink (in `unit`)."""
        return self.amounts

    @property
    def text(self) -> str:
        """The recipe as it is written: `Blue 3 + Yellow 2 + water 4`."""
        amounts = [*self.amounts.items(), *([(WATER, self.water)] if self.water else [])]
        return " + ".join(f"{name} {self._measured(amount)}" for name, amount in amounts)

    def _measured(self, amount: float) -> str:
        if self.unit == "drops":
            return f"{amount:g}"
        return f"{amount:g} {'part' if self.unit == 'parts' and amount == 1 else self.unit}"

    def times(self, factor: float) -> Recipe:
        """The same mix in another quantity."""
        amounts = {name: amount * factor for name, amount in self.amounts.items()}
        return Recipe(amounts, self.water * factor, self.unit)


def parse_recipe(text: str) -> Recipe:
    """A recipe from its line: `Blue 3 + Yellow 2 + water 4`.

    Amounts are whole drops, or all in ml or in parts by volume: `Black 1 part + water 4 parts`.
    """
    problems: list[str] = []
    amounts: dict[str, float] = {}
    units: set[str] = set()
    for piece in text.split("+"):
        found = _piece(piece.strip(), text, problems)
        if found is None:
            continue
        name, amount, unit = found
        amounts[name] = amounts.get(name, 0.0) + amount
        units.add(unit)
    if len(units) > 1:
        problems.append(
            f'"{text}": amounts are in {" and ".join(sorted(units))}; write all in one unit, '
            "drops, ml or parts."
        )
    if problems:
        raise InputError(problems)
    recipe = Recipe(
        MappingProxyType({name: amount for name, amount in amounts.items() if name != WATER}),
        amounts.get(WATER, 0.0),
        units.pop(),
    )
    check_amounts(recipe)
    return recipe


def _piece(piece: str, text: str, problems: list[str]) -> tuple[str, float, str] | None:
    """Name, amount and unit of one ingredient."""
    match = re.fullmatch(
        r"(?P<name>.*?\S)\s+(?P<amount>-?\d+(?:[.,]\d+)?)\s*(?P<unit>[a-z]*)", piece
    )
    if match is None:
        swapped = re.fullmatch(
            r"(?P<amount>-?\d+(?:[.,]\d+)?)\s*(?P<unit>drops?|ml|parts?|)\s+(?P<name>.*\S)", piece
        )
        match = swapped
    if match is None:
        what = f'"{piece}" has no amount' if piece else "there is nothing beside a +"
        problems.append(f'"{text}": {what}; write a recipe as "Blue 3 + Yellow 2 + water 4".')
        return None
    unit = UNITS.get(match["unit"] or "drops")
    if unit is None:
        problems.append(f'"{piece}": {unknown("unit", match["unit"], UNITS)}')
        return None
    name = " ".join(match["name"].split())
    name = WATER if name.lower() == WATER else name
    return name, float(match["amount"].replace(",", ".")), unit


def check_amounts(recipe: Recipe) -> None:
    """Refuse amounts nobody can measure out: below nothing, half drops, nothing at all."""
    problems = []
    every = {**recipe.amounts, WATER: recipe.water}
    for name, amount in every.items():
        if not math.isfinite(amount) or amount < 0:
            problems.append(f"{name} {amount:g}: an amount can't be below 0; leave it out instead.")
        elif recipe.unit == "drops" and amount != int(amount):
            problems.append(
                f"{name} {amount:g}: drops are whole; double the recipe, or write it in ml."
            )
        elif amount > 1e6:
            problems.append(f"{name} {amount:g}: more than anyone can count; at most 1000000.")
    if not problems and not any(every.values()):
        problems.append("A recipe of nothing: give at least one ink above 0.")
    if problems:
        raise InputError(problems)
