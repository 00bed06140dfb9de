"""A stranger plays in the real window, drawn by number; after each deed all must still hold.

`python -m tests.reliability.monkey SEED DEEDS FOLDER` plays one, in a process of its own, and
prints what was done and what was wrong; `python -m tests.reliability monkey` plays several.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tempfile
import traceback
from collections import Counter
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from functools import partial
from pathlib import Path

import numpy as np
from PIL import Image

from tests.reliability.sitting_kills import make_scene
from tests.small_scenes import BENCH, write_sketch
from tests.viewer.at_work import own_places

SCREEN = "xvfb-run", "-a", "-s", "-screen 0 2000x1300x24"
AT_ONCE = 10
"""So many play at once: a window waits more than it works."""
ERRORS = "errors.txt"
EVERY = 50
"""So often all is taken back and done again, saved and opened again, and looked at."""


def make_things(folder: Path) -> None:
    """A scene, and files that can be opened or not; made up."""
    from viewer.core.keep import open_any, save

    make_scene(folder)
    sketch = folder / "sketch.png"
    write_sketch(sketch)
    Image.open(sketch).save(folder / "no size.png")
    Image.open(sketch).convert("RGB").save(folder / "photo.jpg", dpi=(72, 72))
    Image.new("L", (236, 190), 255).save(folder / "white.png")
    Image.fromarray(np.eye(5, dtype=np.uint8) * 255).save(folder / "small.png")
    (folder / "broken.png").write_bytes(sketch.read_bytes()[:200])
    (folder / "broken.zip").write_bytes(b"PK\x03\x04 and no more")
    (folder / "notes.txt").write_text("Buy paper.\n")
    other = make_scene(folder / "other", BENCH.replace("a <glow>", "a lamp"))
    sitting = open_any(other)
    save(sitting, folder / "packed.zip")
    sitting.close()


def play(seed: int, deeds: int, folder: Path, tell: Callable[[str], None]) -> dict[str, int]:
    """Play so many deeds and tell what is wrong; how often each was done."""
    from tests.reliability.strange_deeds import Stranger
    from viewer.window.language import speak_as_asked

    make_things(folder)
    speak_as_asked()
    stranger = Stranger(folder, seed)
    holds, done = stranger.holds, list[str]()

    def tried(do: Callable[[], object]) -> None:
        before = len(stranger.hand.faults)
        try:
            do()
        except Exception:
            stranger.hand.faults.append(traceback.format_exc())
        for fault in stranger.hand.faults[before:]:
            tell(f"seed {seed}, deed {len(done)}, after {', '.join(done[-4:])}: {fault}")

    def deed() -> None:
        done.append(stranger.do_one())
        holds.after_a_deed()

    holds.begin()
    for n in range(1, deeds + 1):
        tried(deed)
        if n % EVERY == 0 or n == deeds:
            tried(holds.after_many)
    tried(lambda: holds.at_the_end(folder))
    stranger.settle_boxes()
    stranger.close()
    return stranger.names


def monkeys(first: int, deeds: int, seeds: int) -> tuple[Counter[str], list[str]]:
    """Several strangers, each in a process of its own; how often each deed was done, and faults."""
    names, faults = Counter[str](), list[str]()
    with ThreadPoolExecutor(AT_ONCE) as pool:
        played = pool.map(partial(_played, deeds), range(first, first + seeds))
        for seed, (done, told) in enumerate(played, first):
            names.update(done)
            faults += told
            print(f"seed {seed}: {sum(done.values())} deeds", *told, sep="\n", flush=True)
    return names, faults


def _played(deeds: int, seed: int) -> tuple[dict[str, int], list[str]]:
    """What one did, and what was wrong, on a screen of its own where there is one to be had."""
    with tempfile.TemporaryDirectory(prefix="stranger-") as place:
        asked = [sys.executable, "-m", __name__, str(seed), str(deeds), place]
        screen = SCREEN if shutil.which(SCREEN[0]) else ()
        run = subprocess.run([*screen, *asked], stdout=subprocess.PIPE, text=True, check=False)
        errors = Path(place) / ERRORS
        written = errors.read_text(errors="replace") if errors.is_file() else ""
    # what a chart or a library prints meanwhile is nothing of ours
    told = [json.loads(line) for line in run.stdout.splitlines() if line.startswith(('"', "{"))]
    if told and isinstance(told[-1], dict):
        return told[-1], told[:-1]
    return {}, [*told, f"seed {seed}: the window ended with {run.returncode}: {written[-4000:]}"]


def main() -> None:
    seed, deeds, folder = int(sys.argv[1]), int(sys.argv[2]), Path(sys.argv[3])
    own_places(folder)
    names = play(seed, deeds, folder, lambda fault: print(json.dumps(fault), flush=True))
    print(json.dumps(names), flush=True)
    os._exit(0)  # what napari leaves running isn't waited for


if __name__ == "__main__":
    main()
