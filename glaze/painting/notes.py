"""What a painter should know of a scene before it is painted, in sentences."""

from __future__ import annotations

from glaze.patch.table import Table
from glaze.region.combine import Regions
from glaze.region.records import Region
from glaze.scene.records import Scene

SPREAD = 1.2
"""A line lifts wider than it is drawn by so many times the creep: half its height, read off sheets
of pen lines of 0.4, 1 and 2 mm on two papers (1.1 to 1.3)."""


def notes_of(scene: Scene, regions: Regions, table: Table) -> tuple[str, ...]:
    """What was noticed about a scene's sketch, its regions and its steps."""
    return (
        *regions.sketch.notes,
        *regions.notes(_own_regions(scene)),
        *_namesakes(scene),
        *_thin_lifts(scene, table),
    )


def _own_regions(scene: Scene) -> dict[str, Region]:
    """Regions that steps have for themselves, by what they are called."""
    own = ((f'step "{s.name}"', s.region) for s in scene.steps)
    return {name: region for name, region in own if isinstance(region, Region)}


def _thin_lifts(scene: Scene, table: Table) -> list[str]:
    """A sentence for every lift along a pen line that is thinner than what it creeps to."""
    creep, told = table.paper.creep_mm, []
    for step in scene.steps:
        region = scene.regions.get(step.region) if isinstance(step.region, str) else step.region
        widths = [line.width for line in region.pen_line_mm] if region else []
        if step.liquid == "bleach" and widths and min(widths) < 2 * creep:
            thin = min(widths)
            told.append(
                f'step "{step.name}": a pen line drawn {thin:g} mm wide lifts about '
                f"{thin + SPREAD * creep:.1f} mm, as bleach creeps about {creep:g} mm into this "
                "paper (assumed, within a factor of 2): draw it thinner than it is to be."
            )
    return told


def _namesakes(scene: Scene) -> list[str]:
    """A sentence for every name that several steps have."""
    names = [step.name for step in scene.steps]
    return [
        f'{names.count(name)} steps are called "{name}": plans and messages can\'t tell them apart.'
        for name in dict.fromkeys(names)
        if names.count(name) > 1
    ]
