"""Makes the plan of a scene, step by step."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from glaze.materials.bleach import CAUTION_LINE
from glaze.materials.mix import FEWEST_INK_DROPS
from glaze.materials.recipe import WATER
from glaze.painting.settle import Painting, resolve
from glaze.patch.band import Band
from glaze.physics.colour import D65_XYZ, adaptation, lab_from_xyz, xyz_from_lab
from glaze.planning.lift.ghost import ghost_words
from glaze.planning.recipe.verdict import paper_value
from glaze.planning.recipe.wanted import daylight_weights
from glaze.planning.sheet.amounts import (
    Amount,
    amount_of,
    laid_ml,
    wash_amount,
)
from glaze.planning.sheet.crossed import glazed_by
from glaze.planning.sheet.layout import layout_of
from glaze.planning.sheet.order import meetings, order_choices, risks
from glaze.planning.sheet.place import Place, coarse, place_at
from glaze.planning.sheet.plan import Plan, PlannedStep, region_words
from glaze.planning.sheet.reasons import mistakes, reasons
from glaze.planning.sheet.stack import Stack, own_values, stack_of
from glaze.planning.sheet.step_bands import Pixel, StepBand, step_bands
from glaze.planning.sheet.values import (
    Reserve,
    merging,
    reserve_of,
    value_plan,
)
from glaze.planning.sheet.warnings import cockling, masking, running_line
from glaze.planning.sheet.wet_words import wet_words
from glaze.scene.records import Scene
from glaze.sheet.units import FULL
from glaze.step.kind import Step
from glaze.step.timing import (
    Minutes,
    earliest_starts,
)


def plan_of(scene: Scene, painting: Painting | None = None) -> Plan:
    """The plan of a scene; hand in its painting, laid even, if it is at hand."""
    painting = painting or resolve(scene, even=True)
    return _Planner(scene, painting).plan()


class _Planner:
    """Puts a plan together, step by step."""

    def __init__(self, scene: Scene, painting: Painting) -> None:
        self.scene, self.whole = scene, painting
        # the plan is of the steps; a line drawn with an ink is told apart
        self.painting = replace(painting, drawn=None)
        self.runs = painting.drawn is not None
        self.table = painting.table
        self.small = coarse(self.painting)
        self.layout = layout_of(self.small)
        self.paper_value = paper_value(painting.table)
        self.white = painting.table.paper_reflectance @ daylight_weights(painting.table.light)
        self.bands = step_bands(scene, painting)
        self.areas_cm2 = [self._area_cm2(n) for n in range(len(scene.steps))]

    def plan(self) -> Plan:
        """All of it."""
        over, beside = meetings(self.small)
        own = own_values(self.small)
        told = reasons(self.painting, own, over, beside)
        minutes = [
            step.minutes_for(area, self.table)
            for step, area in zip(self.scene.steps, self.areas_cm2, strict=True)
        ]
        starts = earliest_starts(minutes, beside)
        steps = tuple(
            replace(
                self._step(n, step, minutes[n], starts[n], told[n]),
                waits_for=tuple(k + 1 for k in range(n) if beside[n, k]),
            )
            for n, step in enumerate(self.scene.steps)
        )
        return Plan(
            scene=self.scene,
            painting=self.whole,
            layout=self.layout,
            steps=steps,
            wells=self._wells(steps),
            choices=order_choices(self.small, self.layout, over),
            risks=risks(self.small, self.layout, over, beside),
            cockling=cockling(self.scene, self.painting, self.areas_cm2),
            mistakes=(
                *mistakes(self.painting, own, over),
                *(running_line(self.scene) if self.runs else ()),
                *masking(self.scene),
                *wet_words(self.scene, self.table, self.areas_cm2),
            ),
            values=value_plan(self.layout),
            merging=merging(self.layout),
            reserves=self._reserves(),
        )

    def _area_cm2(self, n: int) -> float:
        """Area a step wets; soft edges count by their share."""
        shares = float(self.painting.steps[n].spread.sum(dtype=np.float64)) / FULL
        return shares * (2.54 / self.painting.dpi) ** 2

    def _step(
        self, n: int, step: Step, minutes: Minutes, starts: float, reason: str
    ) -> PlannedStep:
        amount = self._amount(n, step)
        band, xyz, ghost = self._look(n)
        return PlannedStep(
            number=n + 1,
            name=step.name,
            kind=step.kind,
            mix=step.recipe,
            region=region_words(step.region),
            coats=step.times,
            amount=amount,
            minutes=minutes,
            starts=starts,
            reason=reason,
            warnings=self._warnings(step, amount),
            value=band,
            xyz=xyz,
            ghost=ghost,
            tool=step.laid_with,
            note=step.note or "",
            glazed=glazed_by(self.painting, n, self.small),
        )

    def _amount(self, n: int, step: Step) -> Amount | None:
        film = step.film_ml_per_m2_on(self.table)
        ml = laid_ml(self.painting.steps[n].film, film, step.times, self.painting.dpi)
        return amount_of(step, self.table, self.areas_cm2[n], ml)

    def _warnings(self, step: Step, amount: Amount | None) -> tuple[str, ...]:
        told = []
        if step.recipe:
            mix = self.table.mix(step.recipe)
            told += list(mix.notes) if _few_drops(amount) else []
            split = [i for i in mix.ink_ml if self.table.palette.inks[i].separation == "strong"]
            if split and step.dries_with_a_line:
                told.append(f"{' and '.join(split)} splits at the edge: expect a coloured fringe.")
        if step.liquid == "bleach":
            told.append(CAUTION_LINE)
            fixed = [i for i in self.table.palette.inks if self._resists(i)]
            if fixed:
                told.append(f"{' and '.join(fixed)} resists bleach and stays.")
        return tuple(line for line in told if line)

    def _resists(self, ink: str) -> bool:
        """Whether an ink of the scene's washes resists bleach."""
        recipes = [step.recipe for step in self.scene.steps if step.recipe]
        used = any(ink in self.table.mix(recipe).ink_ml for recipe in recipes)
        return used and self.table.palette.inks[ink].bleach_class == "resists"

    def _look(self, n: int) -> tuple[Band | None, tuple[float, float, float], str]:
        """Where a step lies fullest, just after it: value and band, colour, what bleach leaves."""
        step, seen = self.scene.steps[n], self.bands[n]
        white = self.painting.table.light.white_xyz
        # as it looks by daylight, to be printed beside the others
        xyz = xyz_from_lab(seen.after.lab, white) @ adaptation(white, D65_XYZ).T
        x, y, z = (float(part) for part in xyz)
        band = None if step.everywhere else seen.after.band
        ghost = self._ghost(n, seen) if step.liquid == "bleach" else ""
        return band, (x, y, z), ghost

    def _ghost(self, n: int, seen: StepBand) -> str:
        """What a lift leaves where it lies fullest, in words."""
        x, y = seen.place_mm
        pixel: Pixel = (int(y * self.painting.per_mm), int(x * self.painting.per_mm))
        after = self._until(place_at(self.painting, *pixel), n)
        before = after.until(len(after.steps) - 1)
        return ghost_words(after.lab(), before.lab(), lab_from_xyz(self.white, D65_XYZ))

    def _until(self, place: Place, number: int) -> Stack:
        """A place's stack up to and with a step."""
        stack = stack_of(self.painting, place, also=number)
        wanted = self.painting.steps[number]
        count = next(n for n, (step, _) in enumerate(stack.steps, start=1) if step is wanted)
        return stack.until(count)

    def _wells(self, steps: tuple[PlannedStep, ...]) -> dict[str, Amount]:
        """Stock mixes in whole drops for all the washes that take them."""
        wanted: dict[str, float] = {}
        for amount in (step.amount for step in steps):
            if amount is not None and amount.well:
                wanted[amount.well] = wanted.get(amount.well, 0.0) + amount.of_well_ml
        return {
            well: wash_amount(self.table.wells[well], 0.0, ml, self.table.palette, spare=1.0)
            for well, ml in wanted.items()
        }

    def _reserves(self) -> tuple[Reserve, ...]:
        """Where bleach can't bring the paper back."""
        told = []
        for place in self.layout.places:
            lifts = [n for n in place.steps if self.painting.steps[n].step.liquid == "bleach"]
            # what is painted over the lift is no longer bleach's doing
            if not lifts or self.painting.steps[place.steps[-1]].step.liquid == "ink":
                continue
            before = self._until(place, lifts[0])
            unlifted = before.until(len(before.steps) - 1).lab()
            ghost = ghost_words(
                lab_from_xyz(place.xyz, D65_XYZ), unlifted, lab_from_xyz(self.white, D65_XYZ)
            )
            told.append(reserve_of(place, self.paper_value, ghost))
        return tuple(found for found in told if found is not None)


def _few_drops(amount: Amount | None) -> bool:
    """Whether even the amount to mix holds so little ink that a drop more would show."""
    if amount is None or amount.well:
        return False
    return 0 < sum(k for name, k in amount.drops.items() if name != WATER) < FEWEST_INK_DROPS
