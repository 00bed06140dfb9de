"""What it takes to the first painted picture: commands and coordinates typed, five drawings.

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
    """Take each drawing to its first picture and count."""
    print("drawing        commands  coordinates  seconds")
    with TemporaryDirectory() as folder:
        for sketch in drawings(Path(folder)):
            home, out = sketch.with_suffix(""), sketch.with_name("out.png")
            lines = [["new", str(sketch)], ["preview", str(home), "-o", str(out)]]
            start = time.perf_counter()
            for words in lines:
                subprocess.run([sys.executable, "-m", "glaze", *words], check=True, text=True,
                               capture_output=True)  # fmt: skip
            typed = [shlex.join(words) for words in lines]
            coordinates = sum(len(NUMBER_PAIR.findall(line)) for line in typed)
            took = time.perf_counter() - start
            print(f"{sketch.stem:<14} {len(typed):8} {coordinates:12} {took:8.1f}")


if __name__ == "__main__":
    main()
