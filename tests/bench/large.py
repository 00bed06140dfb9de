"""Large pictures: processor time and peak memory for each million pixels, A4 to A0.

`python -m tests.bench.large A4 A3 A2 A0` paints made-up sheets of 6 and of 26 steps at 300 dpi on
disk (A2@600 is another resolution) and prints the rows of docs/benchmarks.md. A0 takes minutes.
"""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory

from PIL import Image, ImageDraw

from tests.bench.__main__ import command_line

SHEETS_MM = {
    "A6": (105, 148),
    "A4": (210, 297),
    "A3": (297, 420),
    "A2": (420, 594),
    "A1": (594, 841),
    "A0": (841, 1189),
}
INKS = ("Red", "Blue", "Yellow", "Black")

PAINT = """
import sys
from pathlib import Path
from glaze.painting.large import paint_large
from glaze.scene.file import load_scene
painting, written = paint_large(load_scene(sys.argv[1]), Path(sys.argv[2]))
assert written.shape == painting.shape
"""


def sketch(path: Path, size_mm: tuple[int, int], dpi: int) -> None:
    """Twelve shapes in pen lines of 0.8 mm, invented, in proportion to the sheet."""
    wide, high = (round(side / 25.4 * dpi) for side in size_mm)
    image = Image.new("L", (wide, high), 255)
    draw, pen = ImageDraw.Draw(image), max(2, round(0.8 / 25.4 * dpi))
    for n in range(12):
        x, y = wide * (0.1 + 0.28 * (n % 3)), high * (0.08 + 0.22 * (n // 3))
        box = (x, y, x + 0.2 * wide, y + 0.17 * high)
        (draw.ellipse if n % 2 else draw.rectangle)(box, outline=20, width=pen)
    image.save(path, dpi=(dpi, dpi))


def scene_text(size_mm: tuple[int, int], steps: int) -> str:
    """Washes over all of the sheet, over areas and soft shapes, lifts among them, all by hand."""
    wide, high = size_mm
    lines = [
        "format = 1",
        'title = "Many steps on a large sheet (invented)"',
        'palette = "lifting"',
        'paper = "white cartridge"',
        'sketch = "sketch.png"',
    ]
    for n in range(12):
        at = wide * (0.2 + 0.28 * (n % 3)), high * (0.16 + 0.22 * (n // 3))
        lines += [f"[region.shape{n}]", f"enclosed_at_mm = [{at[0]:.1f}, {at[1]:.1f}]"]
    for n in range(6):
        corners = [
            [wide * x, high * y]
            for x, y in ((0.1 * n, 0.2), (0.4 + 0.1 * n, 0.3), (0.2 + 0.1 * n, 0.9))
        ]
        lines += [f"[region.soft{n}]", f"polygon_mm = {corners}", "soft_mm = 6"]
    for n in range(steps):
        ink, name = INKS[n % 4], f"step {n}"
        kind = n % 6
        lines.append("[[step]]")
        if kind == 4:
            lines += [f'lift = "{name}"', f'region = "soft{n // 6}"', "parts_water = 4"]
        elif kind == 5:
            lines += [f'water_lift = "{name}"', f'region = "shape{n % 12}"']
        else:
            region = ("sheet", f"shape{n % 12}", f"soft{n % 6}", "sheet")[kind]
            lines += [f'wash = "{name}"', f'mix = "{ink} 1 + water {12 + n}"']
            lines += [f'region = "{region}"']
            if kind == 3:
                lines += [f"graded = {{ from_mm = [0, 0], to_mm = [0, {high}] }}"]
    return "\n".join(lines) + "\n"


def made(folder: Path, size_mm: tuple[int, int], dpi: int, steps: int) -> Path:
    """A scene's folder."""
    folder.mkdir()
    sketch(folder / "sketch.png", size_mm, dpi)
    (folder / "scene.toml").write_text(scene_text(size_mm, steps), "utf-8")
    return folder


def main() -> None:
    """Paint each sheet that is asked for, and tell what it took."""
    print("| sheet | million pixels | steps | processor | s a million pixels | peak memory |")
    print("|---|---|---|---|---|---|")
    for asked in sys.argv[1:] or ["A4"]:
        sheet, _, dpi = asked.partition("@")
        for steps in (6, 26):
            with TemporaryDirectory() as name:
                size_mm, home = SHEETS_MM[sheet], Path(name) / "scene"
                made(home, size_mm, int(dpi or 300), steps)
                wide, high = (round(side / 25.4 * int(dpi or 300)) for side in size_mm)
                out = Path(name) / "large.tif"
                seconds, megabytes = command_line("-c", PAINT, str(home), str(out))
                pixels = wide * high / 1e6
                print(
                    f"| {sheet} at {dpi or 300} dpi | {pixels:.1f} | {steps} | {seconds:.0f} s "
                    f"| {seconds / pixels:.2f} | {megabytes:.0f} MB |",
                    flush=True,
                )


if __name__ == "__main__":
    main()
