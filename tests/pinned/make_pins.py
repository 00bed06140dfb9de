"""Makes the pinned pictures anew, once what changed has been looked at: make_pins.py [NAME ...]"""

from __future__ import annotations

import sys
from pathlib import Path

from PIL import Image

from glaze.painting.settle import resolve
from glaze.pipeline import render
from glaze.scene.examples import example_names, scenes_folder
from glaze.scene.file import load_scene

HERE = Path(__file__).resolve().parent


def main(names: list[str]) -> None:
    """Pin some scenes, or all."""
    for name in names or example_names():
        small = render(resolve(load_scene(scenes_folder() / name)), scale=0.05).rgb
        Image.fromarray(small).save(HERE / f"{name}.png", optimize=True)


if __name__ == "__main__":
    main(sys.argv[1:])
