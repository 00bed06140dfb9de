"""What the value of a lifted patch is most sensitive to: writes the table of docs/lift.md.

Run `python docs/lift_sensitivity.py`. Each figure is moved up and down by the factor that its
table gives as its uncertainty (temperature: 5 degrees), everything else held; the change of the
Munsell value that the lift reaches is printed for three lifts.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from pathlib import Path

import numpy as np

from glaze.materials.bleach import Bleach, bleach_entries
from glaze.materials.room import Room
from glaze.patch.layers import doubt_entries
from glaze.patch.patches import bare_patches, glaze, value
from glaze.patch.table import Table, table_of
from glaze.sheet.lift import Chemistry, Touch, Touches, chemistry_of, lift, touch_of

PAGE = Path(__file__).with_name("lift.md")
START, END = "<!-- sensitivity table -->", "<!-- end of the table -->"
LIFTS = (
    ("neat on Black", "Black 1", Touches(parts_water=0.0)),
    ("1 + 9 on Black", "Black 1", Touches(parts_water=9.0)),
    ("1 + 19 on Blue", "Blue 1", Touches(parts_water=19.0)),
)
EACH = 1.0 + 1e-9
"""Stands for a factor that differs from colourant to colourant."""


@dataclass(frozen=True)
class Turn:
    """One figure moved: by `factor`, through a change of the chemistry, the touch or the plan."""

    name: str
    factor: float
    chemistry: Callable[[Chemistry, float], Chemistry] = field(default=lambda c, f: c)
    touch: Callable[[Touch, float], Touch] = field(default=lambda t, f: t)
    warmer_c: float = 0.0
    percent: float = 1.0
    ph: float = 0.0


def rates_of_dyes(table: Table, products: bool) -> np.ndarray:
    """Factor of uncertainty of each rate; 1 for those that aren't asked for."""
    return np.array(
        [dye.bleach.factor if (dye.kind == "product") == products else 1.0 for dye in table.dyes]
    )


def turns(table: Table) -> list[Turn]:
    """All figures that a lift rests on, with the factor of their table."""
    guesses = doubt_entries()["lift"]
    touch, paper = bleach_entries()["touch"], table.paper.entries
    dyes, products = rates_of_dyes(table, False), rates_of_dyes(table, True)

    def faster(each: np.ndarray) -> Callable[[Chemistry, float], Chemistry]:
        # the factor of each colourant, up or down
        return lambda c, f: replace(c, k_l_per_mol_s=c.k_l_per_mol_s * each ** np.sign(np.log(f)))

    return [
        Turn("rates of the dyes", EACH, faster(dyes)),
        Turn("rates of the products", EACH, faster(products)),
        Turn("mol of bleach a mol of dye uses, n", 1.5,
             lambda c, f: replace(c, oxidant_mol_per_mol=c.oxidant_mol_per_mol * f)),
        Turn("mol of product from a mol of dye", 2.0,
             lambda c, f: replace(c, product_mol_per_mol=c.product_mol_per_mol * f)),
        Turn("what the fibres can use up", paper["fibre_mol_per_m2"].factor,
             lambda c, f: replace(c, fibre_mol_per_m2=c.fibre_mol_per_m2 * f)),
        Turn("how fast the fibres use it", paper["fibre_rate_l_per_mol_s"].factor,
             lambda c, f: replace(c, fibre_rate_l_per_mol_s=c.fibre_rate_l_per_mol_s * f)),
        Turn("film of the touch", bleach_entries()["brush"]["film"].factor,
             touch=lambda t, f: replace(t, dose_mol_per_m2=t.dose_mol_per_m2 * f,
                                        film_l_per_m2=t.film_l_per_m2 * f)),
        Turn("minutes to blotting", guesses["minutes"].value,
             touch=lambda t, f: replace(t, seconds=t.seconds * f)),
        Turn("depth of the inked fibres", touch["inked_depth"].factor,
             touch=lambda t, f: replace(t, lag_seconds=t.lag_seconds * f**2)),
        Turn("moisture the paper keeps", paper["residual_ml_per_m2"].factor,
             touch=lambda t, f: replace(t, residual_l_per_m2=t.residual_l_per_m2 * f)),
        Turn("evaporation", 2.0, touch=lambda t, f: replace(
            t, evaporation_l_per_m2_s=t.evaporation_l_per_m2_s * f)),
        Turn("strongest it dries to", touch["cap"].factor,
             touch=lambda t, f: replace(t, cap_mol_per_l=t.cap_mol_per_l * f)),
        Turn("strength in the bottle", guesses["bottle"].value, percent=guesses["bottle"].value),
        Turn("how alkaline the bottle is", 1.0, ph=guesses["alkali"].value),
        Turn("room, 5 degrees warmer or cooler", 1.0, warmer_c=5.0),
    ]  # fmt: skip


def reached(table: Table, recipe: str, plan: Touches, turn: Turn | None, up: bool) -> float:
    """Munsell value after the lift with one figure turned up or down."""
    sign = 1.0 if up else -1.0
    turn = turn or Turn("nothing", 1.0)
    factor = turn.factor**sign
    room = Room(20.0 + sign * turn.warmer_c)
    bottle = Bleach(5.0 * turn.percent**sign, Bleach().ph + sign * turn.ph)
    chemistry = chemistry_of(
        table.dyes, table.paper, room.temperature_c, bottle.diluted_ph(plan.parts_water)
    )
    touch = touch_of(plan, bottle, room, table.paper)
    sheet = glaze(table, bare_patches(table), table.mix(recipe))
    ones = np.ones(sheet.shape, np.float32)
    lift(sheet, ones, turn.touch(touch, factor), turn.chemistry(chemistry, factor))
    return float(value(table, sheet).item())


def table() -> str:
    """The table as Markdown, most telling figure first."""
    table = table_of("lifting", "white cartridge")
    plain = [reached(table, recipe, plan, None, True) for _, recipe, plan in LIFTS]
    rows = []
    for turn in turns(table):
        moved = [
            [reached(table, recipe, plan, turn, up) - before for up in (True, False)]
            for (_, recipe, plan), before in zip(LIFTS, plain, strict=True)
        ]
        by = "5 C" if turn.warmer_c else f"x {turn.factor:g}"
        by = f"{turn.ph:g} pH" if turn.ph else by
        by = "each its own" if turn.factor == EACH else by
        cells = [f"{up:+.2f} / {down:+.2f}" for up, down in moved]
        rows.append((float(np.abs(moved).max()), f"| {turn.name} | {by} | {' | '.join(cells)} |"))
    head = ["| figure | moved by | " + " | ".join(name for name, _, _ in LIFTS) + " |"]
    head += ["|---|---|" + "---|" * len(LIFTS)]
    head += ["| value reached | | " + " | ".join(f"{v:.2f}" for v in plain) + " |"]
    return "\n".join([*head, *(row for _, row in sorted(rows, reverse=True))])


def main() -> None:
    """Put the table into the page, between its marks."""
    before, rest = PAGE.read_text(encoding="utf-8").split(START)
    after = rest.split(END)[1]
    PAGE.write_text(f"{before}{START}\n{table()}\n{END}{after}", encoding="utf-8")


if __name__ == "__main__":
    main()
