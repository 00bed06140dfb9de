"""Roughs given to the program: five scenes' previews, ten drawings coloured by hand, photographs.

    python -m tests.accuracy.rough [--write] [NAME ...]

A scene's preview is given back without its steps, regions and wells; it has as many steps as the
scene, and as many wells as the scene has mixes. Drawings and photographs have 25 steps and 8 wells.
Told of each: mean CIEDE2000 over the sheet off the line, the share within 6, the bound of free
colours, what the plan of the steps minds (strong drags, washes that hardly show), and processor
seconds. --write puts the rows into docs/rough.md.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from glaze.errors import percent
from glaze.painting.settle import resolve
from glaze.pipeline import render
from glaze.planning.rough.propose import EFFORTS, Proposal, propose
from glaze.planning.sheet.planner import plan_of
from glaze.scene.file import load_scene
from glaze.scene.records import Scene
from glaze.scene.starter import sketch_scene
from glaze.sheet.units import FULL
from tests.accuracy.drawings import DRAWINGS
from tests.accuracy.hand_coloured import draw_and_colour
from tests.accuracy.photographs import PHOTOGRAPHS, traced

SCENES = Path(__file__).parents[2] / "scenes"
PAGE = SCENES.parent / "docs" / "rough.md"
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
    elsewhere as there isn't counted as one. One that is laid in two goes, of one mix and dilution,
    is one. None where a scene has no such well.
    """
    scene = load_scene(SCENES / name)
    painting = resolve(scene, even=True)
    taken = [n for n, step in enumerate(scene.steps) if (step.recipe or "").startswith("shadow")]
    if not taken:
        return None
    shadow = np.any([painting.steps[n].coverage > FULL // 2 for n in taken], axis=0)
    shares = []
    mixes = [getattr(step, "mix", None) for step in found.scene.steps]
    for mix in dict.fromkeys(mixes):
        goes = [s for s, own in zip(found.painting.steps, mixes, strict=True) if own == mix]
        lies = np.any([step.coverage > FULL // 2 for step in goes], axis=0)
        inside = float(lies[shadow].mean())
        shares.append(inside if inside > lies[~shadow].mean() else 0.0)
    return max(shares)


def minded(found: Proposal) -> int:
    """How many strong drags and hidden washes the plan of a proposal tells of."""
    plan = plan_of(found.scene, found.painting)
    drags = [one for one in plan.risks if one.kind == "re-wet" and one.level == "strong"]
    return len(drags) + len(plan.mistakes)


def row_of(name: str, folder: Path) -> str:
    """A row of the page's tables."""
    if name in (*DRAWINGS, *PHOTOGRAPHS):
        sketch, rough = (draw_and_colour if name in DRAWINGS else traced)(name, folder)
        found = propose(sketch_scene(sketch), rough, wells=8, steps=EFFORTS["high"])
        last = f"{found.mean / found.bound:.2f}"
    else:
        found = given_back(name, folder)
        under = one_shadow(name, found)
        last = "" if under is None else percent(under)
    cells = (
        name,
        str(len(found.scene.steps)),
        str(len(found.scene.wells)),
        f"{found.mean:.2f}",
        f"{100 * found.within(6):.1f} %",
        f"{found.bound:.2f}",
        last,
        str(minded(found)),
    )
    return f"| {' | '.join(cells)} |"


def main(names: list[str]) -> None:
    """A row for each, told and, where it is asked for, put into the page."""
    write = "--write" in names
    wanted = [name for name in names if name != "--write"] or [*NAMES, *DRAWINGS, *PHOTOGRAPHS]
    lines = PAGE.read_text().splitlines()
    with tempfile.TemporaryDirectory() as folder:
        for name in wanted:
            began = time.process_time()
            row = row_of(name, Path(folder))
            print(row, f"{time.process_time() - began:.0f} s", flush=True)
            lines = [row if line.startswith(f"| {name} |") else line for line in lines]
    if write:
        PAGE.write_text("\n".join(lines) + "\n")


if __name__ == "__main__":
    main(sys.argv[1:])
