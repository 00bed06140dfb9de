"""Five photographs in the public domain as roughs of what a hand would trace from them.

They come with scikit-image and Matplotlib: nothing of them is kept here. Lines are drawn round what
Felzenszwalb's segmentation holds together; the rough is the photograph itself. How each was given
free stands in those libraries' own pages: a cat and a cup (CC0 by Stefan van der Walt and Rachel
Michetti), an astronaut (NASA), a rocket (SpaceX), a portrait (United States Navy).
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import skimage.data
from matplotlib.cbook import get_sample_data
from numpy.typing import NDArray
from PIL import Image
from scipy.ndimage import binary_dilation
from skimage.segmentation import felzenszwalb, find_boundaries

DPI = 120
LONGER_MM = 180.0
LEAST_MM2 = 60.0
"""What is smaller isn't drawn."""

PHOTOGRAPHS: dict[str, Callable[[], NDArray[np.uint8]]] = {
    "cat": skimage.data.chelsea,
    "cup": skimage.data.coffee,
    "astronaut": skimage.data.astronaut,
    "rocket": skimage.data.rocket,
    "portrait": lambda: np.asarray(Image.open(get_sample_data("grace_hopper.jpg"))),
}


def traced(name: str, folder: Path) -> tuple[Path, Path]:
    """A line drawing of a photograph, and the photograph of the same size, as PNG files."""
    photo = Image.fromarray(PHOTOGRAPHS[name]()).convert("RGB")
    size = LONGER_MM * DPI / 25.4 / max(photo.size)
    photo = photo.resize((round(photo.width * size), round(photo.height * size)))
    least = round(LEAST_MM2 * (DPI / 25.4) ** 2)
    held = felzenszwalb(np.asarray(photo), scale=250, sigma=3.0, min_size=least)
    lines = binary_dilation(find_boundaries(held, mode="inner"))
    paths = folder / f"{name}_sketch.png", folder / f"{name}_rough.png"
    Image.fromarray(np.where(lines, 0, 255).astype(np.uint8)).save(paths[0], dpi=(DPI, DPI))
    photo.save(paths[1])
    return paths
