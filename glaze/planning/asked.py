"""What a question is asked of: the table named outright or laid out by a scene, and the scene."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from glaze.errors import InputError, unknown
from glaze.materials.dropper import parse_dropper
from glaze.patch.table import Table, table_of
from glaze.planning.recipe.hue import Hue, read_hue

if TYPE_CHECKING:
    from glaze.scene.records import Scene

PALETTE, PAPER, LIGHT = "lifting", "white cartridge", "D65"


@dataclass(frozen=True, eq=False)
class Asked:
    """A table, and the scene that laid it out if one did."""

    table: Table
    scene: Scene | None = None

    def hue(self, text: str) -> Hue:
        """A hue of these inks and wells from its words, or a region of the scene by its name."""
        if self.scene is not None and text.strip() in self.scene.regions:
            from glaze.planning.sheet.region_hue import region_hue

            return region_hue(self.scene, text.strip())
        try:
            return read_hue(text, self.table)
        except InputError:
            if self.scene is None or any(sign in text for sign in "+0123456789"):
                raise
            known = [*self.table.palette.inks, *self.table.wells, *self.scene.regions]
            raise InputError(unknown("ink, well or region", text, known)) from None


def asked_of(
    scene: str | None = None,
    palette: str | None = None,
    paper: str | None = None,
    light: str | None = None,
    dropper: str | None = None,
) -> Asked:
    """The table of a scene, or the usual one; what is named outright takes precedence."""
    counted = parse_dropper(dropper) if dropper else None
    if scene is None:
        table = table_of(palette or PALETTE, paper or PAPER, light or LIGHT, dropper=counted)
        return Asked(table)
    from glaze.scene.file import load_scene
    from glaze.scene.laid_out import table_of_scene

    found = load_scene(scene)
    return Asked(table_of_scene(found, palette, paper, light, counted), found)
