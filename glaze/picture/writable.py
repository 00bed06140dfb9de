"""Places that nothing is written to: what was read, what a scene is made of, others' files."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from threading import Event
from unicodedata import normalize

from glaze.errors import InputError
from glaze.record.incoming import was_read

OURS = {
    ".png": (b"glaze:", 8192),
    ".tif": (b"glaze\0", 1_000_000),
    ".tiff": (b"glaze\0", 1_000_000),
    ".svg": (b"<!-- glaze:sheet -->", 8192),
    ".html": (b'<meta name="generator" content="glaze">', 8192),
    ".csv": (b", layered glazing and bleach lift: what bleach leaves", 8192),
    # a PDF says what made it wherever its objects happen to lie
    ".pdf": (b"/Creator (glaze: layered", -1),
}
"""What a file of ours holds, and within how many bytes from its start."""

command_runs = Event()
"""Set while a command of the painter's runs; in a script an output that is named is replaced."""


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
    if command_runs.is_set():
        refuse_foreign(path)


def refuse_foreign(path: Path) -> None:
    """Refuse to write over what no command of ours has written; an empty file holds nothing."""
    mark, within = OURS.get(path.suffix.lower(), (b"", 0))
    if mark and path.is_file() and path.stat().st_size:
        with open(path, "rb") as file:
            ours = mark in file.read(within)
        if not ours:
            raise InputError(
                f'"{path}" is there already and stays as it is: only what glaze itself wrote is '
                "replaced. Choose another name or folder."
            )


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
            name = normalize("NFC", path.absolute().relative_to(folder).as_posix())
            return path.name == scene.name or name in normalize("NFC", text)
    return False
