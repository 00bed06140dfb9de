"""Renders the pictures of README and docs from scenes/, run by hand:

python docs/pictures/make_pictures.py [NAME ...]

Each is averaged in linear light to the width given and kept below 400 kB.
"""

from __future__ import annotations

import io
import sys
from pathlib import Path

from PIL import Image

from glaze.painting.settle import Painting, resolve
from glaze.pipeline import render
from glaze.scene.file import load_scene
from glaze.sheet.rect import Rect

HERE = Path(__file__).resolve().parent
SCENES = HERE.parent.parent / "scenes"
LARGEST_BYTES = 400_000
WIDTHS = {
    "lighthouse": 800,
    "huts": 1200,
    "kettle": 900,
    "beetle": 800,
    "ferry": 1200,
    "storm": 1100,
}
README_WIDTHS = range(620, 300, -40)  # PNG: the widest that stays small enough
CASES = (52.0, 88.0, 58.0, 58.0)  # the beetle's wing-cases: x, y, width, height [mm]


def painted(name: str, palette: str | None = None) -> Painting:
    """A scene worked out, on request with another palette."""
    scene = load_scene(SCENES / name)
    return resolve(scene.model_copy(update={"palette": palette}) if palette else scene)


def picture(painting: Painting, width_px: int, view: str = "picture") -> Image.Image:
    """The whole sheet, shrunk to a width; views side by side get a half of it each."""
    sheets = 2 if view == "before-after" else 1
    scale = width_px / (painting.shape[1] * sheets)
    return Image.fromarray(render(painting, view=view, scale=scale).rgb)


def detail(painting: Painting, place_mm: tuple[float, ...], width_px: int) -> Image.Image:
    """A part of the sheet, shrunk to a width."""
    x, y, width, height = (round(side * painting.dpi / 25.4) for side in place_mm)
    part = render(painting, Rect(y, x, y + height, x + width), scale=width_px / width)
    return Image.fromarray(part.rgb)


def beside(left: Image.Image, right: Image.Image, gutter_px: int = 24) -> Image.Image:
    """Two pictures on one white ground."""
    both = Image.new("RGB", (left.width + gutter_px + right.width, left.height), "white")
    both.paste(left, (0, 0))
    both.paste(right, (left.width + gutter_px, 0))
    return both


def keep_jpeg(image: Image.Image, name: str) -> None:
    """Save at the best quality that stays small enough."""
    for quality in range(92, 40, -4):
        content = io.BytesIO()
        image.save(content, "JPEG", quality=quality, optimize=True, subsampling=0)
        if content.tell() < LARGEST_BYTES:
            (HERE / name).write_bytes(content.getvalue())
            print(f"{name}: {image.width} x {image.height} px, {content.tell() // 1000} kB")
            return


def keep_png(painting: Painting, name: str) -> None:
    """Save as wide as stays small enough."""
    for width_px in README_WIDTHS:
        content = io.BytesIO()
        image = picture(painting, width_px)
        image.save(content, "PNG", optimize=True)
        if content.tell() < LARGEST_BYTES:
            (HERE / name).write_bytes(content.getvalue())
            print(f"{name}: {image.width} x {image.height} px, {content.tell() // 1000} kB")
            return


def make(name: str) -> None:
    """All pictures of one scene."""
    painting = painted(name)
    keep_jpeg(picture(painting, WIDTHS[name]), f"{name}.jpg")
    if name == "lighthouse":
        keep_png(painting, "lighthouse.png")
    if name == "huts":
        keep_jpeg(picture(painting, 1180, "before-after"), "huts_before_after.jpg")
    if name == "beetle":
        plain = detail(painting, CASES, 580)
        resistant = detail(painted(name, "resistant"), CASES, 580)
        keep_jpeg(beside(plain, resistant), "beetle_two_reds.jpg")


def main(names: list[str]) -> None:
    """Make the pictures of some scenes, or of all."""
    for name in names or WIDTHS:
        make(name)


if __name__ == "__main__":
    main(sys.argv[1:])
