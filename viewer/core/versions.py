"""Versions of a scene: named, kept in its folder, gone on from, and never written over.

A version is a scene file of its own beside scene.toml, so that `glaze preview` paints it; pictures
of its painted regions are named after what is in them, so that versions share what is alike.
`versions.json` says which came from which.
"""

from __future__ import annotations

import io
import json
import time
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any
from zlib import crc32

import numpy as np
from PIL import Image

from glaze.errors import InputError
from glaze.painting.settle import Painting
from glaze.region.combine import Cover
from glaze.region.records import Region
from glaze.scene.file import load_scene, scene_text

from . import drafting
from .drafting import Draft, changed
from .history import MaskChange
from .opened import Version
from .packed import mask_png
from .saying import say
from .sitting import Sitting
from .squares import Mask

LIST = "versions.json"
THUMB_PX = 320
LONGEST_NAME = 60


def keep_version(sitting: Sitting, name: str) -> Version:
    """Keep the sheet as it is now under a name.

    Raises
    ------
    InputError : it has no name, or another version has it
    """
    name = name.strip()
    taken = [version.name for version in sitting.versions]
    if not name or len(name) > LONGEST_NAME:
        raise InputError(say("versions.long_name", most=LONGEST_NAME))
    if name.lower() in (other.lower() for other in taken):
        raise InputError(say("versions.taken", name=name))
    draft, masks = sitting.lean, {}
    regions = dict(draft.scene.regions)
    for region in [region for region in regions if sitting.is_painted(region)]:
        data = mask_png(sitting.masks[region])
        regions[region] = Region(mask=drafting.mask_file(region, data))
        masks[region] = data
    scene = changed(draft.scene, regions=regions)
    draft = Draft(scene, draft.aside)
    text = scene_text(draft.laid)
    file = f"version-{drafting.plain(name)}-{crc32(text.encode()):08x}.toml"
    made = Version(name, sitting.stands_on, time.time(), file, draft, masks, _thumb(sitting))
    sitting.versions = (*sitting.versions, made)
    sitting.stands_on = name
    sitting.versions_changed.emit()
    return made


def _thumb(sitting: Sitting) -> bytes:
    """A small picture of the sheet as it is."""
    content = io.BytesIO()
    small = Image.fromarray(sitting.preview.pyramid.levels[-1].copy())
    small.thumbnail((THUMB_PX, THUMB_PX))
    small.save(content, "PNG")
    return content.getvalue()


def go_on_from(sitting: Sitting, version: Version) -> None:
    """Lay the sheet as a version has it: one deed, which can be taken back."""
    before, changes = (sitting.draft, sitting.chosen), []
    regions = dict(version.draft.scene.regions)
    for region, mask in masks_of(version, sitting.painting.shape).items():
        regions[region] = Region(mask=drafting.mask_file(region))
        if region not in sitting.masks:
            sitting.settling.new_mask(region)
        change = MaskChange.between(region, sitting.masks[region], mask)
        changes.append((change, sitting.settling.put_back(region, change.after)))
    draft = Draft(changed(version.draft.scene, regions=regions), version.draft.aside)
    if draft == sitting.draft:
        for change, rect in changes:
            sitting.settling.settle_again(change.region, rect)
    sitting.begin(draft, None)
    sitting.record(say("deed.go_on", name=version.name), *before, tuple(c for c, _ in changes))
    sitting.stands_on = version.name
    sitting.versions_changed.emit()


def masks_of(version: Version, shape: tuple[int, int]) -> dict[str, Mask]:
    """Painted regions of a version, each of the sheet's shape (rows, columns)."""
    found = {}
    for region, data in version.masks.items():
        mask = np.asarray(Image.open(io.BytesIO(data))).astype(np.uint16)
        if mask.shape != shape:
            raise InputError(say("versions.painted_size", name=version.name))
        found[region] = mask
    return found


def painting_of(sitting: Sitting, version: Version) -> Painting:
    """A version settled, however long that takes.

    Raises
    ------
    InputError : it is of another size than the sheet, or can't be painted any more
    """
    masks = masks_of(version, sitting.painting.shape)
    files = {region: version.draft.scene.regions[region].mask for region in masks}
    painted = {
        region: Cover(mask, ("version", files[region]), painted=True)
        for region, mask in masks.items()
    }
    found = sitting.settling.worked_out(version.draft, painted=painted)
    if found.shape != sitting.painting.shape:
        raise InputError(say("versions.other_size", name=version.name))
    return found


def in_branches(versions: Sequence[Version]) -> list[tuple[Version, int]]:
    """Each version below the one it was made from, and on which branch it lies.

    What goes straight on stays on its branch; what came from an older version begins another.
    """
    found: list[tuple[Version, int]] = []

    def add(after: str, branch: int) -> None:
        made = [version for version in versions if version.after == after]
        # the first goes straight on, and stands last so that its own line isn't broken
        for n, version in reversed(list(enumerate(made))):
            found.append((version, branch + (n > 0)))
            add(version.name, branch + (n > 0))

    add("", 0)
    lost = [version for version in versions if all(version is not one for one, _ in found)]
    return found + [(version, 0) for version in lost]


# ---- in the scene's folder


def version_files(versions: Sequence[Version]) -> Iterator[tuple[str, bytes]]:
    """Names and contents of all files of some versions, their list last."""
    if not versions:
        return
    told = []
    pictures = {
        str(version.draft.scene.regions[region].mask): data
        for version in versions
        for region, data in version.masks.items()
    }
    yield from pictures.items()
    for version in versions:
        yield _thumb_file(version.file), version.thumb
        yield version.file, scene_text(version.draft.laid).encode("utf-8", "replace")
        told.append(
            {
                "name": version.name,
                "after": version.after,
                "kept_at": round(version.kept_at, 1),
                "file": version.file,
                "aside": drafting.aside_told(version.draft),
            }
        )
    yield LIST, (json.dumps(told, ensure_ascii=False, indent=1) + "\n").encode()


def read_versions(folder: Path) -> tuple[Version, ...]:
    """The versions in a scene's folder; those that can't be read any more are left out."""
    try:
        told = json.loads((folder / LIST).read_text(encoding="utf-8"))
    except (OSError, ValueError, RecursionError):
        return ()
    found = []
    for one in told if isinstance(told, list) else ():
        try:
            found.append(_read(folder, one))
        except (OSError, ValueError, KeyError, TypeError, InputError):
            continue  # what is gone or damaged isn't offered; its files stay as they are
    return tuple(found)


def _read(folder: Path, told: dict[str, Any]) -> Version:
    file = str(told["file"])
    if Path(file).name != file:
        raise ValueError(file)
    scene = load_scene(folder / file)
    draft = drafting.with_aside(scene, told.get("aside", ()))
    painted = {name: region for name, region in scene.regions.items() if region.mask}
    masks = {name: scene.file(str(r.mask)).read_bytes() for name, r in painted.items()}
    thumb = folder / _thumb_file(file)
    return Version(
        *(str(told["name"]), str(told.get("after", "")), float(str(told["kept_at"])), file),
        *(draft, masks, thumb.read_bytes() if thumb.is_file() else b""),
    )


def _thumb_file(file: str) -> str:
    return str(Path(file).with_suffix(".png"))
