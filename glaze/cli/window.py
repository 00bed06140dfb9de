"""Where the window lies, and what napari calls of it.

In a checkout `viewer` stands beside `glaze`. A wheel carries it inside `glaze`, so that nothing
but `glaze` comes to lie among other people's packages. The model never imports either: the command
starts it as a program, napari asks here by name.
"""

from __future__ import annotations

import importlib
import importlib.util
from typing import Any

INSIDE = ".viewer"
PLACE = f"glaze{INSIDE}" if importlib.util.find_spec(INSIDE, "glaze") else "viewer"
"""Import name of the window's package."""


def __getattr__(name: str) -> Any:
    """What the plugin has under this name (`glaze/napari.yaml` lists them)."""
    if name.startswith("_"):
        raise AttributeError(name)
    return getattr(importlib.import_module(f"{PLACE}.plugin"), name)
