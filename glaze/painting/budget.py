"""What a painting will take of the machine, worked out before the work.

The bytes a pixel were measured on sheets of 139 million pixels with up to 26 steps: about 8 for the
sheet itself, 3.3 for each step over all of it and 1.8 for each region.
"""

from __future__ import annotations

import os
from pathlib import Path

from glaze.errors import InputError
from glaze.scene.records import Scene

SHEET_BYTES, STEP_BYTES, REGION_BYTES = 8.0, 3.3, 1.8
LEFT_FREE = 0.9  # share of the machine's memory that one painting may take


def needed_bytes(scene: Scene, pixels: int) -> float:
    """Memory that a scene over so many pixels takes at most, as measured [bytes]."""
    regions = len(scene.regions) + sum(not isinstance(step.region, str) for step in scene.steps)
    return pixels * (SHEET_BYTES + STEP_BYTES * len(scene.steps) + REGION_BYTES * regions)


def check_memory(scene: Scene, pixels: int, dpi: float) -> None:
    """Refuse what this machine has no memory for, and say at what dpi it has.

    Raises
    ------
    InputError : with what is needed, what there is, and a dpi that goes
    """
    needed, there = needed_bytes(scene, pixels), machine_bytes() * LEFT_FREE
    if needed <= there:
        return
    fits = int(dpi * (there / needed) ** 0.5)
    raise InputError(
        f"This sheet needs about {needed / 1e9:.0f} GB of memory ({pixels / 1e6:.0f} million "
        f"pixels, {len(scene.steps)} steps, {len(scene.regions)} regions); there are "
        f"{there / 1e9:.1f} GB. "
        f"At {fits} dpi it needs {needed * (fits / dpi) ** 2 / 1e9:.1f}: scale the sketch down."
    )


def machine_bytes() -> float:
    """Memory of this machine, or what a container leaves of it [bytes]; endless if it won't say."""
    try:
        there = float(os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES"))
    except (AttributeError, OSError, ValueError):
        return float("inf")
    try:
        return min(there, float(Path("/sys/fs/cgroup/memory.max").read_text()))
    except (OSError, ValueError):
        return there
