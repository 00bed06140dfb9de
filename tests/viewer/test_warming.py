"""Before the first stroke the model is compiled: nothing is left to do when the pen comes down.

Each run has a process of its own, as kernels once compiled stay so.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import numpy as np
from PIL import Image

COMPILED = """
import sys
from numba.core.dispatcher import Dispatcher

def compiled():
    found = {}
    for module in [m for n, m in sys.modules.items() if n.startswith(("glaze.", "viewer."))]:
        for name, kernel in vars(module).items():
            if isinstance(kernel, Dispatcher):
                found[kernel.py_func.__module__, name] = len(kernel.signatures)
    return found
"""

STROKES = """
from dataclasses import replace
from viewer.core.keep import open_bare
from viewer.core.laying import Laying
from viewer.core.warming import warm_up

sitting = open_bare((30.0, 20.0), 100.0)
sitting.finish()
if sys.argv[1] == "warm":
    warm_up(sitting.scene)
before = compiled()
laying = Laying(sitting)
for kind in ("wash", "lift", "wash", "water lift"):
    sitting.choose(None)
    sitting.hold(replace(sitting.hand, kind=kind))
    laying.press((5.0, 5.0))
    laying.move([((20.0, 15.0), 1.0)])
    laying.up()
    sitting.finish()
after = compiled()
sitting.close()
print(sum(after.values()) - sum(before.get(name, 0) for name in after))
"""

ORDER = """
from viewer.core.cards import cards_of
from viewer.core.keep import open_any
from viewer.core.sitting import Sitting
from glaze.scene.file import load_scene

sitting = open_any(sys.argv[2]) if sys.argv[1] == "opened" else Sitting(load_scene(sys.argv[2]))
before = compiled()
assert all(card.swatch for card in cards_of(sitting))
after = compiled()
sitting.close()
print(sum(after.values()) - sum(before.get(name, 0) for name in after))
"""

SCENE = """
format = 1
title = "a flag"
palette = "lifting"
paper = "white hot-pressed"
sketch = "sketch.png"

[bleach]
percent = 5.0

[region.all]
polygon_mm = [[2, 2], [18, 2], [18, 12], [2, 12]]

[[step]]
wash = "ground"
mix = "Blue 1 part + water 3 parts"
edge = "none"
region = "all"

[[step]]
lift = "bar"
region = "all"
"""


def _compiled_while(deeds: str, *given: str) -> int:
    """Kernels that are compiled, or loaded, meanwhile."""
    env = {**os.environ, "PYTHONPATH": str(Path(__file__).resolve().parents[2])}
    asked = [sys.executable, "-c", COMPILED + deeds, *given]
    done = subprocess.run(asked, capture_output=True, text=True, env=env, check=False)
    assert done.returncode == 0, done.stderr
    return int(done.stdout)


def test_after_the_warm_up_the_first_strokes_compile_nothing():
    assert _compiled_while(STROKES, "cold") > 0, "the count says nothing"
    assert _compiled_while(STROKES, "warm") == 0


NAMES = """
from glaze.materials.colour_words import load_names
from viewer.core.keep import open_bare
from viewer.core.warming import warm_up

sitting = open_bare((30.0, 20.0), 100.0)
warm_up(sitting.scene)
sitting.close()
print(load_names.cache_info().currsize)
"""


def test_the_names_of_colours_are_loaded_before_the_pointer_asks_for_one():
    assert _compiled_while(NAMES) == 1


def test_the_order_of_a_scene_that_was_opened_compiles_nothing(tmp_path):
    sketch = np.full((56, 80), 255, np.uint8)
    sketch[28, 10:70] = (
        0  # swatches are seen without it, and before the lift: no tile has compiled that
    )
    Image.fromarray(sketch).save(tmp_path / "sketch.png", dpi=(100, 100))
    (tmp_path / "scene.toml").write_text(SCENE, encoding="utf-8")
    assert _compiled_while(ORDER, "settled", str(tmp_path)) > 0, "the count says nothing"
    assert _compiled_while(ORDER, "opened", str(tmp_path)) == 0


def test_a_warm_up_that_nobody_waits_for_ends_before_its_first_stroke():
    from viewer.core.keep import open_bare
    from viewer.core.warming import warm_up

    asked = []
    sitting = open_bare((10.0, 10.0), 100.0)
    warm_up(sitting.scene, lambda: bool(asked.append(1)) or True)
    sitting.close()
    assert asked == [1]
