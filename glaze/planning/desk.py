"""What lies on the table for a question: named outright, or taken from a scene."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from glaze.materials.mix import Mix, mix_wells
from glaze.planning.hue import Hue, read_hue
from glaze.studio import Studio, studio_of

PALETTE, PAPER, LIGHT = "lifting", "white cartridge", "D65"


@dataclass(frozen=True, eq=False)
class Desk:
    """A studio and the stock mixes in its wells."""

    studio: Studio
    wells: Mapping[str, Mix]

    def hue(self, text: str) -> Hue:
        """A hue of these inks and wells, from its words."""
        return read_hue(text, self.studio, self.wells)


def desk_of(
    scene: str | None = None,
    palette: str | None = None,
    paper: str | None = None,
    light: str | None = None,
) -> Desk:
    """The table of a scene, or the usual one; what is named outright takes precedence."""
    if scene is None:
        return Desk(studio_of(palette or PALETTE, paper or PAPER, light or LIGHT), {})
    from glaze.scene_file import load_scene, palette_of, paper_of

    found = load_scene(scene)
    studio = studio_of(palette or palette_of(found), paper or paper_of(found), light or found.light)
    return Desk(studio, mix_wells(found.wells, studio.palette))
