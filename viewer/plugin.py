"""What napari finds of glaze: a reader, a writer, sample scenes, and the desk as a widget."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import Any

from glaze.errors import InputError
from glaze.scene.examples import scenes_folder

from .core.keep import can_open, open_any, save
from .core.napari_layers import LayerData, as_objects, layers_of, sitting_from_layers

Reader = Callable[[Any], list[LayerData]]


def reader_of(path: str | Sequence[str]) -> Reader | None:
    """A reader for a scene or a sketch; None for what is neither."""
    if not isinstance(path, str):
        return None
    return read if can_open(Path(path)) else None


def read(path: Any) -> list[LayerData]:
    """The layers of a scene: sketch, picture, and one hidden mask for each step."""
    try:
        return layers_at(Path(path))
    except InputError as error:
        raise ValueError("\n".join(error.problems)) from None


def layers_at(path: Path) -> list[LayerData]:
    """The layers of the scene or sketch at a path."""
    sitting = open_any(path)
    try:
        sitting.finish()
        return layers_of(sitting)
    finally:
        sitting.close()


def write_scene(path: str, data: list[LayerData]) -> list[str]:
    """Save the scene that layers were read from, with what was painted on their masks."""
    try:
        sitting = sitting_from_layers(as_objects(data))
    except InputError as error:
        raise ValueError("\n".join(error.problems)) from None
    try:
        save(sitting, Path(path))
    finally:
        sitting.close()
    return [path]


def sample(name: str) -> list[LayerData]:
    """The layers of a scene that comes with glaze."""
    return layers_at(scenes_folder() / name)


lighthouse, kettle, beetle, ferry, huts, storm = (
    partial(sample, name) for name in ("lighthouse", "kettle", "beetle", "ferry", "huts", "storm")
)


def __getattr__(name: str) -> Any:
    """The widget needs Qt, so it is loaded only when napari asks for it."""
    if name == "DeskWidget":
        from .window.plugin_widget import DeskWidget

        return DeskWidget
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
