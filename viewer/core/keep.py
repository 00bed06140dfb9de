"""Opening and saving: a scene is one folder, or that folder as a .zip, and opens alike anywhere.

In it are scene.toml, the sketch byte for byte, 16-bit pictures of painted regions, and inks and
papers of its own. Every file is written beside its place and moved there when complete,
scene.toml last. A sketch is only ever read.
"""

from __future__ import annotations

import io
import json
import tempfile
import zipfile
from collections.abc import Iterator
from pathlib import Path

from PIL import Image

from glaze.errors import InputError
from glaze.picture.writing import make_folder, together, write_whole
from glaze.scene.examples import example_names, scenes_folder
from glaze.scene.file import FILE, load_scene, scene_text
from glaze.scene.parcel import files_named
from glaze.scene.records import Scene
from glaze.sketch.line import NO_REAL_DPI

from .cards import cards_of
from .drafting import Draft, aside_told, with_aside
from .last_seen import PICTURES, keep_picture, stamp
from .packed import folder_till_the_end, mask_png, unpack
from .saying import say
from .sitting import Sitting
from .versions import read_versions, version_files

ASIDE = "aside.json"
PALETTE, PAPER = "lifting", "white hot-pressed"
"""What a new sheet starts with."""
SEEN_PX = 2000
"""Longer side of the picture by which a scene is seen at once at its next opening."""


class SizeWantedError(InputError):
    """A picture doesn't say how large its sheet is."""


def open_any(
    path: str | Path, size_mm: tuple[float, float] | None = None, unpack_to: Path | None = None
) -> Sitting:
    """A scene folder, its scene.toml, a .zip of it, or the picture of a sketch.

    Parameters
    ----------
    size_mm : width and height of a sketch that doesn't say how large it is
    unpack_to : an empty folder for what is in a .zip; a new temporary one if not given

    Raises
    ------
    InputError : what is wrong with it
    """
    path = Path(path)
    if path.suffix.lower() == ".zip":
        folder = unpack_to or folder_till_the_end()
        unpack(path, folder)
        return _sitting(folder, path)
    if path.suffix.lower() in PICTURES:
        return open_sketch(path, size_mm)
    # another file beside a scene isn't that scene
    folder = path.parent if path.name == FILE else path
    return _sitting(folder, folder)


def first_sitting(path: Path | None) -> Sitting:
    """What is open at the start: what was asked for, or the lighthouse."""
    if path is not None:
        return open_any(path)
    if "lighthouse" not in example_names():
        return open_bare()
    return open_any(scenes_folder() / "lighthouse")


def _sitting(folder: Path, home: Path) -> Sitting:
    draft = read_draft(folder)
    # the scenes that come with glaze stay as they are: what is made of one is saved elsewhere
    example = home.resolve().is_relative_to(scenes_folder().resolve())
    sitting = Sitting(draft.scene, draft.aside, None if example else home)
    sitting.home_stamp = None if example else stamp(home)
    sitting.take_versions(read_versions(folder))
    sitting.saved_versions = sitting.versions
    return with_order(sitting)


def with_order(sitting: Sitting) -> Sitting:
    """A sitting whose order was looked through here, by whoever reads it in the background.

    What its swatches need of the model is compiled then, and the window doesn't stand still for it.
    """
    cards_of(sitting)
    return sitting


def read_draft(folder: Path) -> Draft:
    """The scene of a folder with all its steps, and the numbers of those set aside."""
    scene = load_scene(folder)
    file = folder / ASIDE
    if not file.is_file():
        return Draft(scene)
    try:
        return with_aside(scene, json.loads(file.read_text(encoding="utf-8")))
    except (ValueError, TypeError, ArithmeticError, RecursionError, InputError):
        # what was set aside is no part of the picture: the scene opens without it
        return Draft(scene)


def open_sketch(path: Path, size_mm: tuple[float, float] | None = None) -> Sitting:
    """A new sheet with a sketch on it; nothing is written until it is saved."""
    if not path.is_file():
        raise InputError(say("refused.no_picture", path=path))
    scene = Scene(
        format=1,
        title=path.stem or say("area.untitled"),
        palette=PALETTE,
        paper=PAPER,
        sketch=path.name,
        size_mm=size_mm,
    )
    try:
        sitting = Sitting(scene.in_folder(path.parent))
    except InputError as error:
        if size_mm is None and "size_mm" in str(error):
            raise SizeWantedError(error.problems) from None
        raise
    dpi = sitting.painting.dpi
    if size_mm is None and round(dpi) in NO_REAL_DPI:
        sitting.close()
        raise SizeWantedError(say("refused.dpi", name=path.name, dpi=f"{dpi:g}"))
    return sitting


def open_bare(size_mm: tuple[float, float] = (148.0, 210.0), dpi: float = 300.0) -> Sitting:
    """A bare sheet, A5 if nothing else is said."""
    scene = Scene(format=1, palette=PALETTE, paper=PAPER, size_mm=size_mm, dpi=dpi)
    return Sitting(scene.in_folder(Path(tempfile.gettempdir())))


class ChangedElsewhereError(InputError):
    """The saved scene isn't as this sitting left it: somebody else has saved it meanwhile."""


def save(sitting: Sitting, target: Path, over: bool = False) -> None:
    """Save a sitting as a folder, or as a .zip if the name ends so.

    over : also over a scene that somebody else has saved there meanwhile

    Raises
    ------
    ChangedElsewhereError : somebody has, and `over` isn't said
    """
    target = Path(target)
    same = sitting.home is not None and target.resolve() == sitting.home.resolve()
    if same and not over and changed_elsewhere(sitting):
        raise ChangedElsewhereError(say("refused.elsewhere", name=target.name))
    # what is painted while the files are written counts as changed afterwards
    draft, numbers, versions = sitting.draft, dict(sitting.mask_numbers), sitting.versions
    files = scene_files(sitting)
    if target.suffix.lower() == ".zip":
        content = io.BytesIO()
        with zipfile.ZipFile(content, "w", zipfile.ZIP_DEFLATED) as packed:
            for name, data in files:
                packed.writestr(name, data)
        write_whole(target, content.getvalue())
    else:
        with together():
            stay = {sitting.scene.sketch, *(version.file for version in versions)}
            for name, data in files:
                if name not in stay or not (same and (target / name).exists()):
                    write_file(target / name, data, only_new=name in stay)
    sitting.saved(target, draft, numbers, versions)
    sitting.home_stamp = stamp(target)


def leave(sitting: Sitting) -> None:
    """End a sitting; how it looks is kept for its next opening, if it is saved like that."""
    preview, home = sitting.preview, sitting.home
    if home is not None and preview.view.plain and not (sitting.changed or preview.stale):
        levels = preview.pyramid.levels
        small = next((level for level in levels if max(level.shape) <= SEEN_PX), levels[-1])
        keep_picture(home, lambda file: Image.fromarray(small).save(file, compress_level=1))
    sitting.close()


def free_place(home: Path) -> Path:
    """A place beside a saved scene where nothing lies yet."""
    number = 2
    while (found := home.with_name(f"{home.stem} {number}{home.suffix}")).exists():
        number += 1
    return found


def changed_elsewhere(sitting: Sitting) -> bool:
    """Whether the saved scene isn't as this sitting has opened or saved it."""
    now = None if sitting.home is None else stamp(sitting.home)
    return now is not None and now != sitting.home_stamp


def write_file(file: Path, data: bytes, only_new: bool = False) -> None:
    """Write a file whole; a sketch that is there already is left alone."""
    if only_new and file.exists():
        if file.read_bytes() != data:
            raise InputError(say("refused.there_already", file=file))
        return
    make_folder(file.parent)
    write_whole(file, data)


def scene_files(sitting: Sitting) -> Iterator[tuple[str, bytes]]:
    """Names and contents of all files of a scene, scene.toml last."""
    draft = sitting.lean
    scene = draft.scene
    painted = {
        region.mask: name for name, region in scene.regions.items() if sitting.is_painted(name)
    }
    for name in files_named(scene):
        if name in painted:
            yield name, mask_png(sitting.masks[painted[name]])
        else:
            yield name, sitting.files.get(name) or scene.file(name).read_bytes()
    yield from version_files(sitting.versions)
    yield from draft_files(draft)


def draft_files(draft: Draft) -> Iterator[tuple[str, bytes]]:
    """What is set aside, and the scene file."""
    yield ASIDE, (json.dumps(aside_told(draft), ensure_ascii=False, indent=1) + "\n").encode()
    yield FILE, scene_text(draft.laid).encode("utf-8", "replace")


def can_open(path: Path) -> bool:
    """Whether a path looks like a scene or a sketch."""
    is_scene = path.name == FILE or (path / FILE).is_file() or path.suffix.lower() == ".zip"
    return is_scene or path.suffix.lower() in PICTURES
