"""Before the first stroke the model is compiled: nothing is left to do when the pen comes down.

Each run has a process of its own, as kernels once compiled stay so.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

STROKES = """
import sys
from dataclasses import replace
from numba.core.dispatcher import Dispatcher
from viewer.core.keep import open_bare
from viewer.core.laying import Laying
from viewer.core.warming import warm_up

def compiled():
    found = {}
    for module in [m for n, m in sys.modules.items() if n.startswith(("glaze.", "viewer."))]:
        for name, kernel in vars(module).items():
            if isinstance(kernel, Dispatcher):
                found[kernel.py_func.__module__, name] = len(kernel.signatures)
    return found

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


def _compiled_by_strokes(how: str) -> int:
    """Kernels that are compiled, or loaded, while the first strokes are laid."""
    env = {**os.environ, "PYTHONPATH": str(Path(__file__).resolve().parents[2])}
    done = subprocess.run(
        [sys.executable, "-c", STROKES, how], capture_output=True, text=True, env=env, check=False
    )
    assert done.returncode == 0, done.stderr
    return int(done.stdout)


def test_after_the_warm_up_the_first_strokes_compile_nothing():
    assert _compiled_by_strokes("cold") > 0, "the count says nothing"
    assert _compiled_by_strokes("warm") == 0


def test_a_warm_up_that_nobody_waits_for_ends_before_its_first_stroke():
    from viewer.core.keep import open_bare
    from viewer.core.warming import warm_up

    asked = []
    sitting = open_bare((10.0, 10.0), 100.0)
    warm_up(sitting.scene, lambda: bool(asked.append(1)) or True)
    sitting.close()
    assert asked == [1]
