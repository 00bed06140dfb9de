"""A scene with all its files as bytes, to be read in another folder or on another computer."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from glaze.record.incoming import read_bytes
from glaze.scene.file import load_scene, scene_path
from glaze.scene.records import Scene
from glaze.sketch.scan import LARGEST_BYTES


@dataclass(frozen=True)
class Parcel:
    """A scene file and what it uses, by name, the scene file first."""

    files: tuple[tuple[str, bytes], ...]

    @cached_property
    def mark(self) -> str:
        """What tells it from every other."""
        told = hashlib.sha256()
        for name, content in self.files:
            told.update(f"{name} {len(content)}\n".encode())
            told.update(content)
        return told.hexdigest()

    def unpack(self, folder: Path) -> Path:
        """Write its files into an empty folder; gives the scene file."""
        for name, content in self.files:
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            (folder / name).write_bytes(content)
        return folder / self.files[0][0]


def parcel_of(path: str | Path, others: Iterable[Scene] = ()) -> Parcel:
    """The scene of a folder or file, packed.

    others : scenes of the same folder whose files go with it

    Raises
    ------
    InputError : with every mistake of the scene's file
    """
    scene, file = load_scene(path), scene_path(path)
    names = dict.fromkeys(name for one in (scene, *others) for name in files_named(one))
    files = [(name, read_bytes(scene.file(name), LARGEST_BYTES)) for name in names]
    return Parcel(((file.name, read_bytes(file)), *files))


def files_named(scene: Scene) -> list[str]:
    """Names of the files a scene uses, each once."""
    names = [scene.sketch, *(n for n in (scene.palette, scene.paper) if n.endswith(".toml"))]
    for step in scene.steps:
        if step.grade is not None:
            names.append(step.grade.picture)
        if not isinstance(step.region, str):
            names.append(step.region.mask)
    names += [region.mask for region in scene.regions.values()]
    names.append(scene.areas.numbered)
    return list(dict.fromkeys(name for name in names if name))
