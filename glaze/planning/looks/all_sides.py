"""One swatch looked at from all sides: dry, wet, twice, under the shadow, lifted, kept."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from glaze.errors import InputError
from glaze.materials.bleach import CAUTION_LINE
from glaze.materials.mix import diluted
from glaze.materials.parts_told import parts_of
from glaze.patch.band import Band
from glaze.patch.layers import Laid, Layer, Lifted
from glaze.patch.patches import reflectance
from glaze.patch.seen import Look, looks_of, looks_of_xyz
from glaze.patch.table import Table
from glaze.patch.trust import trusted
from glaze.planning.looks.keeping import WALL_MLX_H_A_YEAR, faded
from glaze.planning.looks.wet import wet_reflectance
from glaze.planning.recipe.hue import Hue
from glaze.sheet.lift import Touches

SHADOW, TOUCH = "1+8", "1+4"
YEARS = 5.0


@dataclass(frozen=True)
class SwatchState:
    """The swatch in one state; the band of its value where one is known."""

    state: str
    look: Look
    band: Band | None = None

    @property
    def value_text(self) -> str:
        """Its value, with its band where there is one."""
        return self.band.text if self.band else f"value {self.look.value:.1f}"

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        band = {"band": self.band.as_dict()} if self.band else {}
        return {"state": self.state, **self.look.as_dict(), "screen": self.look.hex, **band}


@dataclass(frozen=True)
class SeenSwatch:
    """A mix, a stack of washes or a bottle in all its states, dry first."""

    hue: str
    states: tuple[SwatchState, ...]
    notes: tuple[str, ...]

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        states = [state.as_dict() for state in self.states]
        return {"hue": self.hue, "states": states, "notes": list(self.notes)}


def swatch_of(table: Table, hue: Hue, shadow: str = "Black") -> SeenSwatch:
    """A hue dry and wet, in a coat more, under a shadow wash, lifted once, and after years.

    Parameters
    ----------
    shadow : ink of the shadow wash, 1 part + 8 parts water

    Raises
    ------
    InputError : for bare paper, which has nothing to look at
    """
    if not hue.layers:
        raise InputError('Bare paper has no swatch; name an ink or a mix, as "Red 3 + Blue 2".')
    shade = Laid(diluted(table.mix(f"{shadow} 1"), parts_of(SHADOW)))
    touch = Lifted(Touches(parts_water=parts_of(TOUCH)))
    more: dict[str, tuple[Layer, ...]] = {
        "dry": (),
        "a coat more": hue.layers[-1:],
        f"under {shadow} {SHADOW}": (shade,),
        f"lifted once, {TOUCH}": (touch,),
    }
    states = [state_of(table, hue, name, layers) for name, layers in more.items()]
    sheet = hue.on(table)
    R = reflectance(table, sheet)[0] - table.paper.surface_reflectance
    (wet,) = looks_of_xyz(wet_reflectance(R) @ table.light.xyz_weights, table.light)
    (kept,) = looks_of(table, faded(table, sheet, YEARS * WALL_MLX_H_A_YEAR))
    states.insert(1, SwatchState("wet", wet))
    states.append(SwatchState(f"after {YEARS:g} years on a wall", kept))
    notes = (
        "Wet and on a wall are stated models, not measured with ink: they show the way.",
        CAUTION_LINE,
    )
    return SeenSwatch(hue.text, tuple(states), notes)


def state_of(table: Table, hue: Hue, state: str, more: tuple[Layer, ...]) -> SwatchState:
    """A hue under further layers, with the band of its value."""
    layers = (*hue.layers, *more)
    (look,) = looks_of(table, Hue(hue.text, layers).on(table))
    return SwatchState(state, look, trusted(table, layers).band)
