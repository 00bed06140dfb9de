"""The first run on a computer: a second process compiles what the first comes to last.

Numba compiles one function at a time in a process, and a painting needs a hundred of them. While
the first process reads the sketch and finds its regions, another paints a small bare sheet with the
same bottles, in the order in which the first comes to ask: drying lines, washes, bleach, light, and
then the hand, which the first mostly has by then. What it keeps the first finds; what it is at the
first waits for (`glaze.sheet.shared_work`).
"""

from __future__ import annotations

import atexit
import pickle
import subprocess
import sys
import threading
from contextlib import suppress
from typing import Any

from glaze.painting.settle import resolve
from glaze.painting.tile import tile_numbers
from glaze.picture.cores import cores
from glaze.scene.records import WATERPROOF, Scene
from glaze.sheet.kernel import compiled_before, keeps_kernels
from glaze.sheet.rect import whole
from glaze.sheet.shared_work import KERNELS

SIDE_MM, DPI = 8.0, 100.0


def compile_aside(scene: Scene) -> subprocess.Popen[bytes] | None:
    """Start the second process, where nothing was compiled before and there is a core for it."""
    if not keeps_kernels() or compiled_before() or cores() < 2:
        return None
    # -P: no module of the current folder is run
    asked = [sys.executable, "-P", "-m", "glaze.painting.aside"]
    pipe, nowhere = subprocess.PIPE, subprocess.DEVNULL
    with suppress(OSError):  # it only saves time
        other = subprocess.Popen(asked, stdin=pipe, stdout=pipe, stderr=nowhere)
        atexit.register(_ended, other)
        assert other.stdin is not None
        assert other.stdout is not None
        lines = (line.decode("utf-8", "replace") for line in other.stdout)
        threading.Thread(target=KERNELS.listen, args=(lines,), daemon=True).start()
        with other.stdin:
            pickle.dump(scene, other.stdin)
        return other
    return None


def _ended(other: subprocess.Popen[bytes]) -> None:
    """Let the second process go with the first; what it has kept stays."""
    other.kill()
    other.wait()


def paint_small(scene: Scene) -> None:
    """Paint a small bare sheet with a scene's bottles and kinds of steps, evenly and by hand."""
    for even in (True, False):
        painting = resolve(small(scene), even=even)
        tile_numbers(painting, whole(painting.shape), 8)


def small(scene: Scene) -> Scene:
    """A bare sheet of a few millimetres, all of it covered by each of a scene's steps.

    What joins a wet passage is left out.
    """
    changes = {"region": "sheet", "graded": None}
    steps = tuple(
        step.model_copy(update={k: v for k, v in changes.items() if k in type(step).model_fields})
        for step in scene.steps
        if step.joins is None
    )
    size = {"size_mm": (SIDE_MM, SIDE_MM), "dpi": DPI}
    bare: dict[str, Any] = {"sketch": None, "line": WATERPROOF, "regions": {}, "steps": steps}
    return scene.model_copy(update=size | bare)


if __name__ == "__main__":
    KERNELS.tells = sys.stdout
    with suppress(KeyboardInterrupt, BrokenPipeError):
        paint_small(pickle.load(sys.stdin.buffer))
