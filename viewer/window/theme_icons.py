"""napari's icons in the colour of a theme, written once for a computer.

For each theme that it knows napari writes 159 small pictures into its cache folder, whenever it is
loaded: 0.12 s for its own two and the wall's.
"""

from __future__ import annotations

import sys
from contextlib import suppress
from importlib.metadata import version
from pathlib import Path

STAMP = "glaze-made-for.txt"
"""Tells for which napari and which colours the pictures beside it were made."""


def write_icons_once() -> None:
    """Write the icons of a theme only if they aren't there as they are to be; before napari's
    themes are loaded."""
    from napari.resources import _icons as icons

    write = icons.build_theme_svgs

    def write_once(theme: str, source: str) -> str:
        folder = Path(icons._theme_path(theme))
        wanted = f"{version('napari')} {sys.modules['napari.utils.theme']._themes[theme]!r}"
        with suppress(OSError, UnicodeDecodeError):
            if (folder / STAMP).read_text(encoding="utf-8") == wanted:
                return str(folder)
        made = write(theme, source)
        with suppress(OSError):
            (folder / STAMP).write_text(wanted, encoding="utf-8")
        return made

    icons.build_theme_svgs = write_once
