"""The five scenes' own previews given back as roughs, without their steps, regions and wells.

    python -m tests.accuracy.rough [SCENE ...]

Each has as many steps as its scene, and as many wells as its scene has mixes. Told of each: mean
CIEDE2000 over the sheet off the line, the share within 6, the free bound, and processor seconds.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from glaze.painting.settle import resolve
from glaze.pipeline import render
from glaze.planning.rough.propose import Proposal, propose
from glaze.scene.file import load_scene
from glaze.scene.records import Scene
from glaze.sheet.units import FULL

SCENES = Path(__file__).parents[2] / "scenes"
NAMES = ("lighthouse", "huts", "kettle", "beetle", "ferry")
SCALE = 0.5
"""A rough is coarser than the sheet."""


def mixes_of(scene: Scene) -> int:
    """How many stock mixes a scene's washes are taken from."""
    recipes = {step.recipe for step in scene.steps if step.recipe}
    return len({recipe.split(" 1 part +")[0] for recipe in recipes})


def given_back(name: str, folder: Path) -> Proposal:
    """A scene's preview as a rough of its bare sketch."""
    scene = load_scene(SCENES / name)
    render(resolve(scene), scale=SCALE).save(folder / f"{name}.png")
    bare = scene.model_copy(update={"regions": {}, "steps": (), "wells": {}})
    return propose(
        bare.in_folder(scene.folder),
        folder / f"{name}.png",
        wells=mixes_of(scene),
        steps=len(scene.steps),
    )


def one_shadow(name: str, found: Proposal) -> float | None:
    """Share of the scene's own main shadow wash that lies under one wash of the proposal.

    The scene's is its longest run of washes from the well "shadow"; a wash that lies as much
    elsewhere as there isn't counted as one. None where a scene has no such well.
    """
    scene = load_scene(SCENES / name)
    painting = resolve(scene, even=True)
    taken = [n for n, step in enumerate(scene.steps) if (step.recipe or "").startswith("shadow")]
    if not taken:
        return None
    shadow = np.any([painting.steps[n].coverage > FULL // 2 for n in taken], axis=0)
    shares = []
    for step in found.painting.steps:
        lies = step.coverage > FULL // 2
        inside = float(lies[shadow].mean())
        shares.append(inside if inside > lies[~shadow].mean() else 0.0)
    return max(shares)


def main(names: list[str]) -> None:
    """A line for each scene."""
    print("scene         steps  wells   mean  within 6   free  CPU s  one shadow")
    with tempfile.TemporaryDirectory() as folder:
        for name in names or NAMES:
            began = time.process_time()
            found = given_back(name, Path(folder))
            steps, wells = len(found.scene.steps), len(found.scene.wells)
            took = time.process_time() - began
            under = one_shadow(name, found)
            print(
                f"{name:12}{steps:7}{wells:7}{found.mean:7.2f}{found.within(6):10.1%}"
                f"{found.bound:7.2f}{took:7.0f}{'-' if under is None else f'{under:.0%}':>12}",
                flush=True,
            )


if __name__ == "__main__":
    main(sys.argv[1:])
