"""Sittings that ended without being closed: found, and opened as they were after the last deed."""

from __future__ import annotations

import json
import os
import shutil
import struct
import zlib
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import Any

import numpy as np
from pydantic import ValidationError

from glaze.errors import InputError
from glaze.region.records import Region
from glaze.scene.records import Scene
from glaze.sketch.scan import read_scan
from glaze.sketch.scan_values import grey

from .drafting import Draft, without_regions
from .keep import with_order, write_file
from .packed import clear_folders, mask_png, started
from .saying import say
from .sitting import Sitting
from .squares import Corner, Mask, Square, put_back
from .versions import read_versions

NOTE, THUMB, SAVED = "sitting.json", "thumb.png", "saved"
HEAD = struct.Struct("<II")
"""Before each deed: its length, and its check sum."""


def journal_home() -> Path:
    """Where sittings are kept on this machine; GLAZE_RECOVERY names another place."""
    from platformdirs import user_state_path

    named = os.environ.get("GLAZE_RECOVERY")
    return Path(named) if named else user_state_path("glaze") / "recovery"


@dataclass(frozen=True)
class Left:
    """A sitting that ended without being closed.

    home : where its scene is saved, if it ever was; stamp : what that was like then
    kept_at : when the last deed was written down [s since 1970]
    """

    folder: Path
    title: str
    home: Path | None
    kept_at: float
    stamp: tuple[int, int] | None = None

    def discard(self) -> None:
        """Delete it for good."""
        shutil.rmtree(self.folder, ignore_errors=True)


def left_behind(home: Path | None = None) -> list[Left]:
    """Sittings that ended without being closed, the latest first."""
    found = []
    for note in (home or journal_home()).glob(f"*/{NOTE}"):
        try:
            said = json.loads(note.read_text(encoding="utf-8"))
            kept_at = max(file.stat().st_mtime for file in logs_in(note.parent))
            wanted = not (_goes_on(note.parent) or (note.parent / SAVED).exists())
        except (OSError, ValueError, KeyError, TypeError):
            continue
        if wanted:
            place = Path(said["home"]) if said.get("home") else None
            stamp = said.get("stamp")
            stamp = (int(stamp[0]), int(stamp[1])) if stamp else None
            found.append(Left(note.parent, str(said.get("title", "")), place, kept_at, stamp))
    return sorted(found, key=lambda left: -left.kept_at)


def _goes_on(folder: Path) -> bool:
    """Whether the window that writes a sitting down is still there."""
    note = folder / NOTE
    if note.exists():
        said = json.loads(note.read_text(encoding="utf-8"))
        return bool(started(int(said["pid"])) == said["started"])
    pid, begun_ns = folder.name.split("-")
    since = started(int(pid))  # a number used again is that of a later process
    return since is not None and since <= int(begun_ns) / 1e9 + 1


def clear_away(home: Path | None = None) -> None:
    """Delete what windows that were killed left and nobody needs.

    Copies of files that were open, and sittings that were saved or in which nothing was done yet;
    one that can't be read stays.
    """
    for folder in (home or journal_home()).glob("*-*"):
        with suppress(OSError, ValueError, KeyError, TypeError):
            if ((folder / SAVED).exists() or not logs_in(folder)) and not _goes_on(folder):
                shutil.rmtree(folder, ignore_errors=True)
    clear_folders()


def recover(left: Left) -> Sitting:
    """Open a sitting that was left behind, as it was after its last deed that can be painted.

    Its painted regions are written into its folder, which serves on as the scene's folder and as
    its journal's. It counts as changed until it is saved.

    Raises
    ------
    InputError : it can't be opened any more
    """
    pictures = {file: file.read_bytes() for file in left.folder.glob("masks/*.png")}
    deeds = sum(1 for _ in _deeds(left.folder))
    while True:
        draft, masks = replayed(left.folder, deeds)
        try:
            return _opened(left, draft, masks)
        except InputError:
            # the last was written down while it was worked out, and would have been refused
            for file, data in pictures.items():
                write_file(file, data)
            deeds -= 1
            if deeds == 0:
                raise


def _opened(left: Left, draft: Draft, masks: dict[str, Mask]) -> Sitting:
    bare = {name for name, mask in masks.items() if not mask.any()}
    for name, region in draft.scene.regions.items():
        if region.mask and name in masks and name not in bare:
            write_file(left.folder / region.mask, mask_png(masks[name]))
    draft = without_regions(draft, bare)
    sitting = Sitting(draft.scene.in_folder(left.folder), draft.aside, left.home)
    sitting.saved_draft, sitting.home_stamp = None, left.stamp
    sitting.take_versions(read_versions(left.folder))
    return with_order(sitting)


def replayed(folder: Path, most: int | None = None) -> tuple[Draft, dict[str, Mask]]:
    """The draft and the painted regions after the last whole deed of a folder's log.

    most : only after so many deeds
    """
    draft: Draft | None
    masks: dict[str, Mask]
    draft, masks = None, {}
    for head, packed in islice(_deeds(folder), most):
        if "scene" in head:
            try:
                scene = Scene.model_validate(head["scene"], by_alias=True, by_name=False)
            except ValidationError:
                raise InputError(say("rescue.other_version", place=folder)) from None
            draft = Draft(scene.in_folder(folder), frozenset(head["aside"]))
        if draft is None:
            break
        # what lay in a file of that name before is none of a region begun anew
        masks |= {name: np.zeros(head["shape"], np.uint16) for name in head.get("begun", ())}
        squares: dict[str, dict[Corner, Square]] = {}
        at = 0
        for name, *place in head["masks"]:
            parts = squares.setdefault(name, {})
            if place:
                top, left, rows, columns, size = place
                parts[top, left] = Square((rows, columns), packed[at : at + size])
                at += size
        for name, parts in squares.items():
            if name not in masks:
                masks[name] = _at_first(folder, draft.scene.regions.get(name), head["shape"])
            put_back(masks[name], parts)
    if draft is None:
        raise InputError(say("rescue.none_whole", place=folder))
    return draft, masks


def _at_first(folder: Path, region: Region | None, shape: tuple[int, int]) -> Mask:
    """A painted region before the first deed on it: as its picture has it, or bare."""
    file = None if region is None or not region.mask else folder / region.mask
    if file is not None and file.is_file():
        return grey(read_scan(file))
    return np.zeros(shape, np.uint16)


def _deeds(folder: Path) -> Iterator[tuple[dict[str, Any], bytes]]:
    """The whole deeds of the newest log that has any; each is what it says and its squares."""
    for file in sorted(logs_in(folder), key=lambda f: -int(f.stem)):
        raw, at = file.read_bytes(), 0
        while at + HEAD.size <= len(raw):
            length, check = HEAD.unpack_from(raw, at)
            body = raw[at + HEAD.size : at + HEAD.size + length]
            if len(body) < length or zlib.crc32(body) != check:
                break
            head, packed = body.split(b"\n", 1)
            yield json.loads(head), packed
            at += HEAD.size + length
        if at:
            return


def logs_in(folder: Path) -> list[Path]:
    """The logs of a folder, in no order."""
    return [file for file in folder.glob("*.log") if file.stem.isdigit()]
