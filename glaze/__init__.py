"""glaze: layered glazing and bleach lift, computed before the brush touches the sheet.

The front door for scripts and notebooks; docs/python.md shows it at work. Everything here is loaded
when it is first asked for. To read how it works, begin with `glaze.pipeline`: the whole flow on one
page.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from glaze.errors import InputError
    from glaze.materials.bleach import CAUTION, Bleach
    from glaze.materials.dilution import dilution_of
    from glaze.materials.dropper import Dropper
    from glaze.materials.ink import load_palette, palette_names
    from glaze.materials.mix import diluted
    from glaze.materials.paper import load_paper, paper_names
    from glaze.materials.room import Room
    from glaze.painting.settle import resolve
    from glaze.patch.scrap import Scrap
    from glaze.patch.table import table_of
    from glaze.picture.file import Picture
    from glaze.pipeline import paint, render
    from glaze.planning.lift.reach import reach_of
    from glaze.planning.recipe.match import match_colour
    from glaze.planning.recipe.shadow import shadow
    from glaze.planning.sheet.planner import plan_of
    from glaze.scene.file import load_scene, write_scene

__version__ = "1.0.0"
__all__ = [
    "CAUTION",
    "Bleach",
    "Dropper",
    "InputError",
    "Picture",
    "Room",
    "Scrap",
    "__version__",
    "diluted",
    "dilution_of",
    "load_palette",
    "load_paper",
    "load_scene",
    "match_colour",
    "paint",
    "palette_names",
    "paper_names",
    "plan_of",
    "reach_of",
    "render",
    "resolve",
    "shadow",
    "table_of",
    "write_scene",
]

_ROOMS = {
    "errors": ("InputError",),
    "materials.bleach": ("CAUTION", "Bleach"),
    "materials.dilution": ("dilution_of",),
    "materials.dropper": ("Dropper",),
    "materials.ink": ("load_palette", "palette_names"),
    "materials.mix": ("diluted",),
    "materials.paper": ("load_paper", "paper_names"),
    "materials.room": ("Room",),
    "painting.settle": ("resolve",),
    "patch.scrap": ("Scrap",),
    "patch.table": ("table_of",),
    "picture.file": ("Picture",),
    "pipeline": ("paint", "render"),
    "planning.lift.reach": ("reach_of",),
    "planning.recipe.match": ("match_colour",),
    "planning.recipe.shadow": ("shadow",),
    "planning.sheet.planner": ("plan_of",),
    "scene.file": ("load_scene", "write_scene"),
}
"""Where each name lives."""


def __dir__() -> list[str]:
    return sorted([*__all__, *(name for name in globals() if name.startswith("__"))])


if not TYPE_CHECKING:  # a type checker knows the names, and tells those that aren't there

    def __getattr__(name: str) -> Any:
        """A name of the front door, loaded when it is first asked for."""
        for room, names in _ROOMS.items():
            if name in names:
                found = globals()[name] = getattr(import_module(f"{__name__}.{room}"), name)
                return found
        raise AttributeError(f"glaze has no {name!r}; it has {', '.join(__all__)}")
