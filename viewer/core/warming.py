"""The model made ready for this computer before the first stroke asks for it.

Kernels are compiled where they are first used and then kept on the disk. Here a sheet of a few
millimetres is painted with every kind of step, by strokes as in the window and on the same paper
with the same bottles, so that nothing is left to compile when the pen comes down, and a place of it
is read, which loads the names of colours.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from glaze.scene.records import Scene
from glaze.sheet.lift import Touches

from .brush import Brush
from .hand import Hand
from .laying import Laying
from .sitting import Sitting
from .spot import read_at

SIDE_MM, DPI = 16.0, 100.0
STROKES = ("wash", "lift", "water lift", "wash")
"""A wash on bare paper, bleach and water on the wash, a wash on what they left."""


def warm_up(scene: Scene, stop: Callable[[], bool] = lambda: False) -> None:
    """Paint a small sheet with the bottles and the paper of a scene.

    stop : asked before each stroke; whether nobody waits for it any more
    """
    small = Scene(
        format=1,
        palette=scene.palette,
        paper=scene.paper,
        bleach=scene.bleach,
        size_mm=(SIDE_MM, SIDE_MM),
        dpi=DPI,
    )
    sitting = Sitting(small.in_folder(scene.folder))
    try:
        mix = f"{next(iter(sitting.table.palette.inks))} 1 part + water 8 parts"
        hand = Hand(mix=mix, brush=Brush(size_mm=2.0))
        laying = Laying(sitting)
        for kind in STROKES:
            if stop():
                return
            sitting.choose(None)
            sitting.hold(replace(hand, kind=kind))
            laying.press((1.0, 3.0))
            laying.move([((5.0, 3.0), 1.0)])
            laying.up()
            sitting.finish()
        read_at(sitting.painting, Touches(), 1, 1)
    finally:
        sitting.close()
