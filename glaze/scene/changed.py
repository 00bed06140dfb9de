"""A scene with some values changed, by the keys of its file and held to the file's own rules."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from glaze.errors import InputError, unknown
from glaze.scene.file import scene_of
from glaze.scene.records import Scene

Raw = dict[str, Any]

ASIDE = "aside"
"""In place of a key: whether a step is left out, with what is laid into it while it is wet."""


@dataclass(frozen=True)
class Change:
    """A value in place of the scene's own.

    key : of the file, as "paper" or "room.humidity_percent"; of a step, as "coats", or ASIDE
    value : as the file would have it
    step : the step's name; "" for the scene's own keys
    """

    key: str
    value: Any
    step: str = ""

    @property
    def place(self) -> str:
        """Where it is, as "shadow.coats"."""
        return f"{self.step}.{self.key}" if self.step else self.key


def raw_of(scene: Scene) -> Raw:
    """A scene by the keys of its file, without what is left at its usual value."""
    return scene.model_dump(by_alias=True, exclude_unset=True)


def with_changes(scene: Scene, changes: Iterable[Change]) -> Scene:
    """The scene with other values, its steps in the same order.

    Raises
    ------
    InputError : as the scene's file would be refused with these values in it
    """
    raw, told = raw_of(scene), []
    # what is set aside goes last, as the others are found by their places
    for change in sorted(changes, key=lambda change: change.key == ASIDE):
        told.append(f"{change.place} = {change.value}")
        if not change.step:
            _set(raw, change.key.split("."), change.value)
            continue
        number = step_number(scene, change.step)
        if change.key != ASIDE:
            raw["step"][number][change.key] = change.value
        elif change.value:
            raw["step"] = _without(raw["step"], scene, change.step)
    return scene_of(raw, scene.folder, f"With {', '.join(told)}") if told else scene


def step_number(scene: Scene, name: str) -> int:
    """The place of the one step of that name, from 0."""
    names = [step.name for step in scene.steps]
    if not names:
        raise InputError(f'No step is called "{name}": the scene has none yet.')
    if name not in names:
        raise InputError(unknown("step", name, names))
    if names.count(name) > 1:
        raise InputError(f'{names.count(name)} steps are called "{name}"; name each its own way.')
    return names.index(name)


def _set(raw: Raw, keys: list[str], value: Any) -> None:
    """Put a value where a key of tables in tables leads."""
    for key in keys[:-1]:
        inner = raw.get(key)
        raw[key] = raw = dict(inner) if isinstance(inner, dict) else {}
    raw[keys[-1]] = value


def _without(steps: list[Raw], scene: Scene, name: str) -> list[Raw]:
    keys = {step.key for step in scene.steps}
    return [
        step for step in steps if name not in (step.get("into"), *(step.get(key) for key in keys))
    ]
