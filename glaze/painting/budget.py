"""What a painting will take of the machine, worked out before the work.

The bytes a pixel were measured on sheets of 139 million pixels with up to 26 steps: about 8 for the
sheet itself, 3.3 for each step over all of it and 1.8 for each region.
"""

from __future__ import annotations

import os
import shutil
from pathlib import Path

from glaze.errors import InputError
from glaze.scene.records import Scene

SHEET_BYTES, STEP_BYTES, REGION_BYTES = 8.0, 3.3, 1.8
DISK_BYTES, DISK_STEP_BYTES = 24.0, 4.0
"""Bytes a pixel on disk: of the line, areas, tooth, what is being settled and the picture itself,
twice; and of each step."""
LARGE_FROM = 2.0e9
"""What takes more memory [bytes] is painted on disk where that can be done."""
LARGE_BYTES, LARGE_AT_LEAST = 10.0, 1.5e9
"""Bytes a pixel of memory while a sketch is read and its areas are found, and at any size."""
LEFT_FREE = 0.9  # share of the machine's memory that one painting may take


def is_large(scene: Scene, pixels: int) -> bool:
    """Whether a scene over so many pixels is better painted on disk."""
    return needed_bytes(scene, pixels) > LARGE_FROM


def needed_bytes(scene: Scene, pixels: int) -> float:
    """Memory that a scene over so many pixels takes at most, as measured [bytes]."""
    each = STEP_BYTES * len(scene.steps) + REGION_BYTES * _regions(scene)
    return pixels * (SHEET_BYTES + each)


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


def check_disk(scene: Scene, pixels: int, dpi: float, folder: Path) -> None:
    """Refuse what a folder's disk has no room for, or what memory can't read, and say what would.

    Raises
    ------
    InputError : with what is needed, what there is, and a dpi that goes
    """
    rows = (
        ("on the disk", needed_disk_bytes(scene, pixels), shutil.disk_usage(folder).free),
        ("of memory", pixels * LARGE_BYTES + LARGE_AT_LEAST, machine_bytes() * LEFT_FREE),
    )
    for where, needed, there in rows:
        if needed > there:
            fits = int(dpi * (there / needed) ** 0.5)
            raise InputError(
                f"This picture of {pixels / 1e6:.0f} million pixels needs about "
                f"{needed / 1e9:.1f} GB {where}; there are {there / 1e9:.1f}. Give it a place "
                f"with more room, or a lower dpi: {fits} fits."
            )


def needed_disk_bytes(scene: Scene, pixels: int) -> float:
    """What a scene over so many pixels takes on disk at most, until it is painted [bytes]."""
    return pixels * (DISK_BYTES + DISK_STEP_BYTES * len(scene.steps) + 2.0 * _regions(scene))


def _regions(scene: Scene) -> int:
    return len(scene.regions) + sum(not isinstance(step.region, str) for step in scene.steps)


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
