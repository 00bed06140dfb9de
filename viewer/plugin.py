"""What napari finds of glaze: a reader, a writer, sample scenes, and the desk as a widget."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from glaze.errors import InputError
from glaze.scene.examples import scenes_folder
from viewer.core.keep import can_open, open_any, save
from viewer.core.napari_layers import LayerData, as_objects, layers_of, sitting_from_layers

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


def lighthouse() -> list[LayerData]:
    """A banded tower, one shadow wash down it, and a beam that bleach takes out of the sky."""
    return layers_at(scenes_folder() / "lighthouse")


def kettle() -> list[LayerData]:
    """A brass kettle under three shadows."""
    return layers_at(scenes_folder() / "kettle")


def beetle() -> list[LayerData]:
    """A beetle on a leaf: the same bleach, two ghosts."""
    return layers_at(scenes_folder() / "beetle")


def ferry() -> list[LayerData]:
    """A ferry in night rain, its lights lifted by one, two and three touches."""
    return layers_at(scenes_folder() / "ferry")


def huts() -> list[LayerData]:
    """Six hues under one shadow wash."""
    return layers_at(scenes_folder() / "huts")


def __getattr__(name: str) -> Any:
    """The widget needs Qt, so it is loaded only when napari asks for it."""
    if name == "DeskWidget":
        from viewer.window.plugin_widget import DeskWidget

        return DeskWidget
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
