"""Places that nothing is written to: what a command has read, and what a scene is made of."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from glaze.errors import InputError
from glaze.record.incoming import was_read


def check_place(path: Path, suffixes: Sequence[str], what: str) -> None:
    """Refuse a name or a folder that something can't be written to, before the work is done."""
    if path.suffix.lower() not in suffixes:
        ends = f"{', '.join(suffixes[:-1])} or {suffixes[-1]}" if suffixes[1:] else suffixes[0]
        raise InputError(f'"{path.name}": {what} is written as {ends}; end the name in that.')
    if not path.parent.is_dir():
        raise InputError(f'There is no folder "{path.parent}" for {what}. Make it first.')
    if path.is_dir():
        raise InputError(f'"{path}" is a folder. Give {what} a name of its own.')
    refuse_needed(path, path)


def refuse_needed(path: Path, target: Path) -> None:
    """Refuse to write over what the command read, or what a scene is made of."""
    if was_read(target):
        raise InputError(
            f'"{path}" is read by this command and never written over. Choose another name.'
        )
    if _belongs_to_a_scene(target):
        raise InputError(
            f'"{path}" belongs to the scene it lies in and is never overwritten. Choose another '
            "name or folder."
        )


def _belongs_to_a_scene(path: Path) -> bool:
    """Whether a scene file in its folder, or in one that holds that, names the file."""
    if not path.is_file():
        return False
    for folder in path.absolute().parents:
        scene = folder / "scene.toml"
        if scene.is_file():
            text = scene.read_text(encoding="utf-8", errors="replace")
            return path.name == scene.name or path.absolute().relative_to(folder).as_posix() in text
    return False
