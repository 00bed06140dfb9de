"""All pictures of README and docs: python docs/pictures/make.py [KIND ...] [--check]

Kinds: scenes, sheets, card, ways, calibration, bench_page (wants Chromium), window (wants a
display, or `xvfb-run -a -s "-screen 0 1600x1100x24"`); without one all are made. `--check` writes
nothing, names each picture that the code would make otherwise now, and ends with 1 if there is one.
"""

from __future__ import annotations

import importlib
import io
import sys
from pathlib import Path

import numpy as np
from PIL import Image

HERE = Path(__file__).resolve().parent
KINDS = ("scenes", "sheets", "card", "ways", "calibration", "bench_page", "window")
MEAN_LEVELS = 2.0
"""How far two decoded pictures may lie apart in the mean; JPEG's own rounding is about 1."""


def content(image: Image.Image, colours: int | None = None) -> bytes:
    """A picture as PNG, with few colours where that keeps the file small."""
    kept = io.BytesIO()
    made = image.quantize(colours, dither=Image.Dither.NONE) if colours else image
    made.save(kept, "PNG", optimize=True)
    return kept.getvalue()


def apart(one: Image.Image, other: Image.Image) -> float:
    """Mean difference of two pictures of one size [levels of 255]; 255 where sizes differ."""
    if one.size != other.size:
        return 255.0
    a, b = (np.asarray(picture.convert("RGB"), float) for picture in (one, other))
    return float(np.abs(a - b).mean())


def is_stale(name: str, made: bytes) -> bool:
    """Whether the picture kept under a name isn't the one that was made now."""
    if not (HERE / name).exists():
        return True
    with Image.open(HERE / name) as kept:
        return apart(kept, Image.open(io.BytesIO(made))) > MEAN_LEVELS


def main(arguments: list[str]) -> int:
    """Make or check; 1 if a picture is stale."""
    checked = "--check" in arguments
    kinds = [kind for kind in arguments if kind != "--check"] or list(KINDS)
    stale = 0
    for kind in kinds:
        for name, made in importlib.import_module(f"of_{kind}").pictures():
            if not checked:
                (HERE / name).write_bytes(made)
                print(f"{name}: {len(made) // 1000} kB", flush=True)
            elif is_stale(name, made):
                stale += 1
                print(f"{name} isn't what the code makes now", flush=True)
    return int(stale > 0)


if __name__ == "__main__":
    if unknown := set(sys.argv[1:]) - {*KINDS, "--check"}:
        sys.exit(f"{', '.join(sorted(unknown))}: the kinds are {', '.join(KINDS)}")
    sys.exit(main(sys.argv[1:]))
