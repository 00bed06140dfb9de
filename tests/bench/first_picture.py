"""What it takes to a painted picture: commands, lines and coordinates typed, for five drawings
at first sight and for one of twenty areas with a mix in each.

`python -m tests.bench.first_picture` prints a table; the drawings are made here by code.
"""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory

from PIL import Image, ImageDraw

MIXES = (
    "Red 1 + water 8",
    "Yellow 2 + Red 1 + water 12",
    "Blue 1 + water 10",
    "Black 1 + water 20",
)
NUMBER_PAIR = re.compile(r"\[\s*-?\d+(?:\.\d+)?\s*,\s*-?\d")


def drawings(folder: Path) -> list[Path]:
    """Five line drawings of 100 x 80 mm at 254 dpi, of few and of many areas."""
    made = []
    for count in (1, 2, 3, 5, 7):
        image = Image.new("L", (1000, 800), 250)
        draw = ImageDraw.Draw(image)
        for n in range(count * count):
            x, y = 60 + 880 // count * (n % count), 60 + 680 // count * (n // count)
            draw.ellipse((x, y, x + 780 // count, y + 600 // count), outline=20, width=6)
        made.append(folder / f"drawing{count * count}.png")
        image.save(made[-1], dpi=(254, 254))
    return made


def main() -> None:
    """Take each drawing to its first picture, and one of twenty areas to a mix in each; count."""
    print("drawing              commands  lines  coordinates  seconds")
    with TemporaryDirectory() as name:
        folder = Path(name)
        for sketch in drawings(folder):
            home, out = sketch.with_suffix(""), sketch.with_name("out.png")
            commands = [["new", str(sketch)], ["preview", str(home), "-o", str(out)]]
            _counted(sketch.stem, commands, [])
        sketch = drawings(folder)[3].rename(folder / "twenty.png")
        wanted = [f"{n}: {MIXES[n % len(MIXES)]}" for n in range(2, 22)]  # 1 is the paper about
        table = folder / "mixes.txt"
        table.write_text("\n".join(wanted), "utf-8")
        numbered = ["new", str(sketch), "--folder", str(folder / "numbers")]
        tinted = ["tint", str(sketch), "--table", str(table), "--folder", str(folder / "painted")]
        _counted("twenty, a mix each", [numbered, [*tinted, "-o", str(folder / "t.png")]], wanted)


def _counted(name: str, commands: list[list[str]], lines: list[str]) -> None:
    """Run commands as they are typed, and count what else is: lines of a table, places in mm."""
    start = time.perf_counter()
    for words in commands:
        command = [sys.executable, "-m", "glaze", *words]
        subprocess.run(command, check=True, text=True, capture_output=True)
    took = time.perf_counter() - start
    typed = [shlex.join(words) for words in commands] + lines
    places = sum(len(NUMBER_PAIR.findall(line)) for line in typed)
    print(f"{name:<20} {len(commands):8} {len(lines):6} {places:12} {took:8.1f}")


if __name__ == "__main__":
    main()
