"""What lies on the table for a question: named outright, or taken from a scene."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from glaze.errors import InputError, unknown
from glaze.patch.studio import Studio, studio_of
from glaze.planning.recipe.hue import Hue, read_hue

if TYPE_CHECKING:
    from glaze.scene.records import Scene

PALETTE, PAPER, LIGHT = "lifting", "white cartridge", "D65"


@dataclass(frozen=True, eq=False)
class Desk:
    """A studio, the stock mixes in its wells, in words, and the scene they belong to."""

    studio: Studio
    wells: Mapping[str, str] = field(default_factory=dict)
    scene: Scene | None = None

    def hue(self, text: str) -> Hue:
        """A hue of these inks and wells from its words, or a region of the scene by its name."""
        if self.scene is not None and text.strip() in self.scene.regions:
            from glaze.planning.sheet.region_hue import region_hue

            return region_hue(self.scene, text.strip())
        try:
            return read_hue(text, self.studio, self.wells)
        except InputError:
            if self.scene is None or any(sign in text for sign in "+0123456789"):
                raise
            known = [*self.studio.palette.inks, *self.wells, *self.scene.regions]
            raise InputError(unknown("ink, well or region", text, known)) from None


def desk_of(
    scene: str | None = None,
    palette: str | None = None,
    paper: str | None = None,
    light: str | None = None,
) -> Desk:
    """The table of a scene, or the usual one; what is named outright takes precedence."""
    if scene is None:
        return Desk(studio_of(palette or PALETTE, paper or PAPER, light or LIGHT))
    from glaze.scene.file import load_scene, palette_of, paper_of

    found = load_scene(scene)
    studio = studio_of(palette or palette_of(found), paper or paper_of(found), light or found.light)
    return Desk(studio, found.wells, found)
