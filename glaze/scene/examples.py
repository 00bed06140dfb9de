"""The scenes that come with glaze, to look at and to start from."""

from __future__ import annotations

from pathlib import Path

from glaze.errors import InputError, unknown
from glaze.picture.writing import make_folder, together, write_whole

TAKEN = (".toml", ".png")
"""What a scene is made of; the script that drew a sketch stays behind."""


def scenes_folder() -> Path:
    """Where the scenes lie: inside an installed package, beside it in a checkout."""
    package = Path(__file__).resolve().parent.parent
    inside = package / "scenes"
    return inside if inside.is_dir() else package.parent / "scenes"


def example_names() -> tuple[str, ...]:
    """Names of the scenes that come with glaze."""
    return tuple(sorted(path.parent.name for path in scenes_folder().glob("*/scene.toml")))


def copy_example(name: str, folder: Path | None = None) -> Path:
    """Copy a scene to a new folder (of its own name if none is given); nothing is overwritten."""
    if name not in example_names():
        raise InputError(unknown("scene", name, example_names()))
    target = folder if folder is not None else Path(name)
    with together():
        if target.is_dir() or not target.exists():
            make_folder(target)
        if not target.is_dir() or any(target.iterdir()):
            raise InputError(
                f'"{target}" is already there. Name a new folder; nothing is overwritten.'
            )
        for file in sorted((scenes_folder() / name).iterdir()):
            if file.suffix in TAKEN:
                write_whole(target / file.name, file.read_bytes())
    return target
