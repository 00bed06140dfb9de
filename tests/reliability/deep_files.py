"""Good files of odd kinds: scenes, painted swatch sheets, photos, roughs, measured strips.

Sheets are painted by numbers (invented), scenes are those at the ends of their ranges; what is odd
about a file is what a painter's own may be: dark, blurred, of another mode, half painted, tiny.
"""

from __future__ import annotations

import contextlib
import shutil
from functools import cache
from pathlib import Path
from random import Random
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw, ImageFilter

from glaze.charts.content.swatch_coats import coats_page
from glaze.charts.content.swatch_layout import SIZES, swatch_pages, trial_pages
from glaze.errors import InputError
from glaze.painting.settle import resolve
from glaze.patch.table import table_of
from glaze.pipeline import linear_rgb
from glaze.scene.file import load_scene
from tests.calibrate.swatch_painter import NM, Painter, encode, paint_page, photographed
from tests.reliability.scenes_at_ends import INKS, scene_at_ends

PAPERS = ("white cartridge", "white hot-pressed")
SHEET_DPI = 110.0


def a_scene(random: Random, folder: Path, name: str = "scene", *, sketched: bool = False) -> Path:
    """A folder with a scene that has steps and can be painted, as a rule.

    sketched : whether it has a sketch of some size, that a photo can be laid over
    """
    how = {"sizes_mm": [(40.0, 40.0), (60.0, 45.0)], "dpis": [50.0, 100.0]} if sketched else {}
    made = folder / name
    for _ in range(12):
        shutil.rmtree(made, ignore_errors=True)
        made.mkdir()
        (made / "scene.toml").write_text(scene_at_ends(random, made, **how), encoding="utf-8")
        has = (made / "sketch.png").is_file()
        if has and (sketched or random.random() < 0.7):
            _drawn(random, made / "sketch.png")
        with contextlib.suppress(InputError):
            if resolve(load_scene(made)).steps and (has or not sketched):
                break
    return made


def _drawn(random: Random, file: Path) -> None:
    """Pen strokes into a sketch, so that a photo of it can be laid over it."""
    with Image.open(file) as opened:
        image, dpi = opened.convert("L"), opened.info["dpi"]
    pen, (wide, high) = ImageDraw.Draw(image), image.size
    for _ in range(random.choice([2, 5, 9])):
        ends = [
            (random.randrange(wide), random.randrange(high))
            for _ in range(random.choice([2, 3, 5]))
        ]
        pen.line([*ends, ends[0]], fill=random.choice([0, 20, 90]), width=1)
    image.save(file, dpi=dpi)


@cache
def painted_sheet(
    palette: str, number: int, factor: float, rungs: int = 0, inks: tuple[str, ...] = ()
) -> NDArray[np.float32]:
    """A swatch sheet as painted with inks of another strength, some of it left blank."""
    page = sheets_of(palette, inks)[number]
    painter = Painter(table_of(palette, PAPERS[0]).palette, table_of(palette, PAPERS[0]).paper,
                      dict.fromkeys(INKS, factor))  # fmt: skip
    blank = [place.name for place in page.places][:: rungs or 10**6]
    wide, high = page.size_mm if hasattr(page, "size_mm") else (210.0, 297.0)
    return paint_page(page, painter, SHEET_DPI, (wide, high), skip=blank)


@cache
def sheets_of(palette: str, inks: tuple[str, ...] = ()) -> list[Any]:
    """The pages of a swatch sheet for these inks, for the bottles of the palette if none."""
    asked = table_of(palette, PAPERS[0]), next(iter(SIZES)), list(inks)
    return [*swatch_pages(*asked), *trial_pages(*asked), coats_page(*asked)]


def seen_by(random: Random, linear: NDArray[Any]) -> NDArray[np.uint8]:
    """As a scanner or a camera gives it: straight, turned, from the side, dark, patchy."""
    rows, columns = linear.shape[:2]
    if random.random() < 0.4:
        far = random.choice([3, 30, 90])
        slip = lambda: random.randint(0, far)  # noqa: E731
        corners = [(far + slip(), far + slip()), (columns + slip(), far + slip()),
                   (columns + slip(), rows + slip()), (far + slip(), rows + slip())]  # fmt: skip
        shape = rows + 2 * far, columns + 2 * far
        tint = random.choice([(1, 1, 1), (1, 0.9, 0.6), (0.6, 0.8, 1)])
        linear = photographed(linear, corners, shape, random.choice([0, 0.2, 1]), tint)
    rng = np.random.default_rng(random.randrange(1000))
    gain, noise = (
        random.choice([0.95, 0.95, 0.95, 0.5, 0.1, 1.3]),
        random.choice([0.0, 0.004, 0.05]),
    )
    return np.rot90(encode(linear, noise, rng, gain), random.choice([0, 0, 1, 2, 3])).copy()


def saved_as(random: Random, values: NDArray[np.uint8], file: Path) -> str:
    """A picture in one of the modes and kinds that there are, perhaps blurred; its place."""
    image = Image.fromarray(values)
    if random.random() < 0.2:
        image = image.filter(ImageFilter.GaussianBlur(random.choice([1, 4])))
    mode = random.choice([*["RGB"] * 40, "L", "RGBA", "P", "CMYK", "1", "LA", "I;16"])
    kind = random.choice([".png", ".jpg", ".tif"])
    if mode == "I;16":
        image, kind = (
            Image.fromarray(np.asarray(image.convert("L")).astype(np.uint16) * 257),
            ".tif",
        )
    else:
        image = image.convert(mode)
    if kind == ".jpg" and mode in ("RGBA", "P", "LA"):
        kind = ".png"
    if kind == ".png" and mode == "CMYK":
        kind = ".tif"
    file = file.with_suffix(kind)
    image.save(file, **random.choice([{}, {"dpi": (SHEET_DPI, SHEET_DPI)}, {"dpi": (72, 72)}]))
    return str(file)


def some_colours(random: Random, folder: Path, name: str, over: Path | None = None) -> str:
    """A picture of few or many colours, of any size and shape, or of a sketch's shape."""
    rows, columns = random.choice([(1, 1), (40, 33), (64, 200), (157, 157), (300, 225), (600, 450)])
    if over is not None and over.is_file():
        with Image.open(over) as sketch:
            rows = max(rows, 33)
            columns = max(1, rows * sketch.size[0] // sketch.size[1])
    rng = np.random.default_rng(random.randrange(1000))
    cells = random.choice([1, 2, 5, 40])
    few = rng.integers(0, 256, (cells, cells, 3), np.uint8)
    if random.random() < 0.3:
        few[:] = random.choice([0, 255, 128])
    down, across = np.arange(rows) * cells // rows, np.arange(columns) * cells // columns
    values = few[down][:, across].astype(float) + rng.normal(
        0, random.choice([0, 3, 40]), (rows, columns, 1)
    )
    return saved_as(random, np.clip(values, 0, 255).astype(np.uint8), folder / name)


def photo_of(random: Random, scene: Path, file: Path) -> str:
    """A scene painted by another hand with inks a little off, a few times as fine, photographed."""
    try:
        painted = np.clip(linear_rgb(resolve(load_scene(scene))), 0, 1)
    except InputError:
        return some_colours(random, file.parent, file.name)
    times = random.choice([1, 3, 9])
    painted = painted.repeat(times, 0).repeat(times, 1) ** random.choice([1.0, 0.8, 1.3])
    return saved_as(random, seen_by(random, painted), file)


def measured(random: Random, folder: Path) -> str:
    """Measured strips as CGATS.17 or CSV: few or many bands, noise, rungs left out or twice."""
    table = table_of("lifting", PAPERS[0])
    strong = {ink: random.choice([1.0, 0.01, 30.0]) for ink in INKS}
    painter = Painter(table.palette, table.paper, strong)
    rows = [("paper", painter.reflectance([]))]
    for ink in random.sample(INKS, random.randint(1, 4)):
        count = random.choice([1, *[2, 3, 4, 5, 6] * 4])
        for parts in random.sample([0, 1, 2, 4, 8, 16, 99], count):
            name = f"{ink} 1+{parts}" if parts else f"{ink} neat"
            rung = name, painter.reflectance([({ink: 1.0}, 1 / (1 + parts))])
            rows += [rung] * random.choice([1, 1, 2])
    if random.random() < 0.5:
        over = [({"Blue": 1.0}, 0.5), ({"Black": 1.0}, 0.2)]
        rows.append(("Black over Blue", painter.reflectance(over)))
    every = random.choice([NM[::2], NM[4:71:2], NM, NM[::4]])
    rng, spread = np.random.default_rng(random.randrange(99)), random.choice([0, 0.01, 0.3])
    noise = rng.normal(1, spread, (len(rows), every.size))
    times = random.choice([1.0, 1.0, 100.0])
    told = [
        (name, [f"{value:.5f}" for value in times * np.interp(every, NM, R) * by])
        for (name, R), by in zip(rows, noise, strict=True)
    ]
    if random.random() < 0.5:
        columns = " ".join(f"SPECTRAL_NM{at:g}" for at in every)
        lines = ["CGATS.17", f"NUMBER_OF_FIELDS {1 + every.size}", "BEGIN_DATA_FORMAT"]
        lines += [f"SAMPLE_NAME {columns}", "END_DATA_FORMAT", f"NUMBER_OF_SETS {len(told)}"]
        lines += ["BEGIN_DATA", *(f'"{name}" {" ".join(R)}' for name, R in told), "END_DATA"]
    else:
        lines = [",".join(["name", *(f"{at:g}" for at in every)])]
        lines += [",".join([name, *R]) for name, R in told]
    file = folder / ("measured.txt" if lines[0] == "CGATS.17" else "measured.csv")
    file.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return str(file)
