"""The pictures of README and docs from scenes/: averaged in linear light to the width given, kept
below 400 kB.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
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
THIRD_PX = 400  # each of the three at the top of the README
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


def beside(*pictures: Image.Image, gutter_px: int = 24) -> Image.Image:
    """Pictures of one height on one white ground."""
    wide = sum(each.width for each in pictures) + gutter_px * (len(pictures) - 1)
    ground, left = Image.new("RGB", (wide, pictures[0].height), "white"), 0
    for each in pictures:
        ground.paste(each, (left, 0))
        left += each.width + gutter_px
    return ground


def in_three(painting: Painting) -> Image.Image:
    """The sketch, its washes, and what bleach took out of them."""
    whole = picture(painting, THIRD_PX)
    both = picture(painting, 2 * THIRD_PX, "before-after")
    sketch = both.crop((0, 0, whole.width, both.height)).resize(whole.size)
    return beside(sketch, picture(painting, THIRD_PX, "unlifted"), whole, gutter_px=16)


def small_jpeg(image: Image.Image) -> bytes:
    """A picture as JPEG at the best quality that stays small enough."""
    for quality in range(92, 40, -4):
        kept = io.BytesIO()
        image.save(kept, "JPEG", quality=quality, optimize=True, subsampling=0)
        if kept.tell() < LARGEST_BYTES:
            break
    return kept.getvalue()


def pictures() -> Iterator[tuple[str, bytes]]:
    """Name and content of each."""
    for name, width_px in WIDTHS.items():
        painting = painted(name)
        yield f"{name}.jpg", small_jpeg(picture(painting, width_px))
        if name == "lighthouse":
            yield "lighthouse_in_three.jpg", small_jpeg(in_three(painting))
        if name == "huts":
            both = picture(painting, 1180, "before-after")
            yield "huts_before_after.jpg", small_jpeg(both)
        if name == "beetle":
            reds = (detail(each, CASES, 580) for each in (painting, painted(name, "resistant")))
            yield "beetle_two_reds.jpg", small_jpeg(beside(*reds))
