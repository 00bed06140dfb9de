"""What the painter holds: the mix or the bleach that the next step will be, and how it is laid."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from glaze.errors import InputError
from glaze.materials.mix import with_amount
from glaze.materials.recipe import WATER, Recipe, parse_recipe
from glaze.patch.table import Table
from glaze.step.kind import Step
from glaze.step.lift_step import Lift
from glaze.step.wash_step import Wash
from glaze.step.water_step import WaterLift

from .brush import Brush
from .saying import say

KINDS: dict[str, type[Step]] = {"wash": Wash, "lift": Lift, "water lift": WaterLift}
"""What a hand can lay."""

FIELDS = {
    "wash": {key: key for key in ("mix", "coats", "edge")},
    "lift": {key: key for key in ("parts_water", "touches", "minutes", "tool", "rinse")},
    "water lift": {"minutes": "water_minutes"},
}
"""A step's figures and where the hand has them."""

LADDER = (0, 1, 2, 4, 8, 16)
"""Rungs of the ladder strip: parts of water to 1 part."""


@dataclass(frozen=True)
class Hand:
    """What is in the hand.

    kind : "wash", "lift" (bleach) or "water lift"
    mix : recipe line of a wash
    wash, lift, water_lift : their other figures, as in a scene
    brush : what lays it
    """

    kind: str = "wash"
    mix: str = "Blue 1 part + water 8 parts"
    coats: int = 1
    edge: str = "drying line"
    parts_water: float = 4.0
    touches: int = 1
    minutes: float = 1.0
    tool: str = "brush"
    rinse: bool = False
    water_minutes: float = 2.0
    brush: Brush = field(default_factory=Brush)

    def step(self, name: str, region: str) -> Step:
        """The step that it lays."""
        values = {key: getattr(self, own) for key, own in FIELDS[self.kind].items()}
        return KINDS[self.kind](name=name, region=region, **values)

    def taking(self, step: Step) -> Hand:
        """The same hand with what a step was laid with."""
        if step.kind not in FIELDS:
            return self
        values: dict[str, Any] = {own: getattr(step, k) for k, own in FIELDS[step.kind].items()}
        return replace(self, kind=step.kind, **values)

    def relaid(self, step: Step) -> dict[str, Any]:
        """What a step's figures become when it is laid with this hand; empty for another kind."""
        if step.kind != self.kind:
            return {}
        return {key: getattr(self, own) for key, own in FIELDS[self.kind].items()}

    def called(self, wells: Mapping[str, str]) -> str:
        """What a step is called that it lays: after its mix or well, or what it is."""
        if self.kind != "wash":
            return say(f"step.{self.kind}")
        names = list(amounts_of(self.mix)[0])
        if len(names) == 1 and names[0] in wells:
            return names[0]
        return say("step.wash", inks="-".join(names[:3]).lower()) if names else say("step.water")


def amount_text(text: str, name: str, amount: float) -> str:
    """The recipe line with another amount of one ingredient; none of it takes it out."""
    recipe = parse_recipe(with_amount(text))
    amount = max(0.0, float(round(amount) if recipe.unit == "drops" else round(amount, 2)))
    if name == WATER:
        return Recipe(dict(recipe.amounts), amount, recipe.unit).text
    amounts = {**recipe.amounts, name: amount}
    amounts = {key: value for key, value in amounts.items() if value > 0}
    if not amounts:
        raise InputError(say("mix.one_drop"))
    return Recipe(amounts, recipe.water, recipe.unit).text


def amounts_of(text: str) -> tuple[dict[str, float], float, str]:
    """Ingredients, water and unit of a recipe line."""
    recipe = parse_recipe(with_amount(text))
    return dict(recipe.amounts), recipe.water, recipe.unit


def parts_of(text: str, table: Table) -> float:
    """n of "1 part + n parts water": to a part of the well or ink named, or of the inks mixed."""
    recipe = parse_recipe(with_amount(text))
    if len(recipe.amounts) == 1 and recipe.unit != "drops":
        return recipe.water / next(iter(recipe.amounts.values()))
    return table.mix(recipe.text).parts_water
