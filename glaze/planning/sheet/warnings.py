"""What to say before the first wash: cockling, a line that runs, masking fluid near bleach."""

from __future__ import annotations

from collections.abc import Sequence

from glaze.painting.settle import Painting
from glaze.planning.sheet.amounts import cockles
from glaze.region.records import Region
from glaze.scene.records import Scene


def cockling(scene: Scene, painting: Painting, areas_cm2: Sequence[float]) -> str:
    """The washes that may buckle the sheet, in one warning; nothing if none does."""
    paper = painting.table.paper
    wet = [
        (number, step.film_ml_per_m2_on(painting.table))
        for number, (step, area) in enumerate(zip(scene.steps, areas_cm2, strict=True), start=1)
        if step.liquid == "ink"
        and cockles(step.film_ml_per_m2_on(painting.table), paper.weight_gsm, area)
    ]
    if not wet:
        return ""
    numbers = ", ".join(str(number) for number, _ in wet)
    most = max(film for _, film in wet)
    under = "steps" if len(wet) > 1 else "step"
    return (
        f"The sheet may cockle under {under} {numbers}: {most:g} g/m2 of water on "
        f"{paper.weight_gsm:g} gsm {paper.name} paper. Stretch or tape it, or lay less."
    )


def running_line(scene: Scene) -> list[str]:
    """A word on a line that is drawn with one of the inks."""
    return [
        f"The line is drawn with {scene.line}, which dissolves again: every wash over it lets it "
        "run, and bleach takes it. Draw it last, or with a waterproof ink."
    ]


def masking(scene: Scene) -> list[str]:
    """A word on masking fluid where something is kept bare and bleach is planned."""
    lifts = any(step.liquid == "bleach" for step in scene.steps)
    if not lifts or not any(region.minus for region in _used_regions(scene)):
        return []
    return [
        "If you keep anything bare with masking fluid: it holds ammonia. Peel it off and let the "
        "sheet dry before any bleach comes near."
    ]


def _used_regions(scene: Scene) -> list[Region]:
    """Regions of the steps, and those they are made from."""
    waiting: list[str | Region] = [step.region for step in scene.steps]
    found: list[Region] = []
    while waiting:
        region = waiting.pop()
        if isinstance(region, str):
            known = scene.regions.get(region)
            if known is None or known in found:
                continue
            region = known
        found.append(region)
        waiting += region.needs
    return found
