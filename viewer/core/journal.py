"""What is done, written down as it is done: a computer that stops loses the stroke in hand at most.

A sitting has a folder of its own: the files it was opened with, and a log to which every deed adds
what it has changed, the draft and squares of painted regions. What has been written is never
written again, so whenever the computer stops, all deeds before are there; one that was cut short
ends the log. A log that grows too long is begun anew with the sheet as it is then.
"""

from __future__ import annotations

import json
import os
import shutil
import struct
import time
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from pydantic import ValidationError

from glaze.errors import InputError
from glaze.picture.writing import write_whole
from glaze.region.records import Region
from glaze.scene.records import Scene
from glaze.sketch.scan import grey, read_scan
from viewer.core.brush import Mask, Squares, put_back, squares_of
from viewer.core.drafting import Draft, without_regions
from viewer.core.keep import mask_png
from viewer.core.sitting import Sitting

NOTE, THUMB, SAVED = "sitting.json", "thumb.png", "saved"
HEAD = struct.Struct("<II")
"""Before each deed: its length, and its check sum."""
LONGEST = 256_000_000
"""A log that is longer is begun anew [bytes]."""


def journal_home() -> Path:
    """Where sittings are kept on this machine; GLAZE_RECOVERY names another place."""
    from platformdirs import user_state_path

    named = os.environ.get("GLAZE_RECOVERY")
    return Path(named) if named else user_state_path("glaze") / "recovery"


class Journal:
    """Writes down one sitting until it is closed.

    folder : one that was left behind, to go on with; a new one if not given
    """

    def __init__(
        self, sitting: Sitting, home: Path | None = None, folder: Path | None = None
    ) -> None:
        self.sitting = sitting
        self.folder = folder or (home or journal_home()) / f"{os.getpid()}-{time.time_ns()}"
        self.seen = False
        self._log: Path | None = None
        self._draft: Draft | None = None
        self._known = set(sitting.masks)
        self._failed = False
        sitting.done.connect(self.write)

    def write(self, changes: Mapping[str, Squares]) -> None:
        """Write a deed down: the draft as it is, and squares of painted regions as they are."""
        try:
            if self._log is None:
                self._begin()
            length = self._add(self._entry(changes))
            (self.folder / SAVED).unlink(missing_ok=True)
            if length > LONGEST:
                self._known, self._draft = set(), None
                self._next_log()
            self.seen, self._failed = False, False
        except (OSError, InputError) as error:
            # the next deed tries again, with all there is
            self._known, self._draft, self._log = set(), None, None
            if not self._failed:
                self.sitting.told.emit(
                    f"What you do can't be kept against a crash in {self.folder.parent} ({error}); "
                    "save the scene yourself."
                )
            self._failed = True

    def _begin(self) -> None:
        """The folder, the files the sitting was opened with, and the first log."""
        self.folder.mkdir(parents=True, exist_ok=True)
        for name, data in self.sitting.files.items():
            if not (self.folder / name).exists():
                (self.folder / name).parent.mkdir(parents=True, exist_ok=True)
                write_whole(self.folder / name, data)
        home = self.sitting.home
        note = {
            "pid": os.getpid(),
            "started": _started(os.getpid()),
            "title": self.sitting.scene.title,
            "home": str(home.resolve()) if home else None,
        }
        write_whole(self.folder / NOTE, json.dumps(note).encode())
        self._next_log()

    def _next_log(self) -> None:
        """Another log, begun with what the last one is needed for; then that one can go."""
        old = _logs(self.folder)
        number = 1 + max((int(file.stem) for file in old), default=0)
        self._log = self.folder / f"{number}.log"
        if old:
            self._add(self._entry({}))
        for file in old:
            file.unlink()

    def _add(self, entry: bytes) -> int:
        """Add to the log, past Python's own buffers; gives its length then."""
        assert self._log is not None
        with self._log.open("ab", buffering=0) as log:
            log.write(entry)
            return log.tell()

    def _entry(self, changes: Mapping[str, Squares]) -> bytes:
        draft, masks = self.sitting.draft, self.sitting.masks
        squares = dict(changes)
        for name in masks.keys() - self._known:
            squares[name] = {at: s for at, s in squares_of(masks[name]).items() if s.any()}
        head: dict[str, Any] = {"masks": [], "shape": self.sitting.painting.shape}
        if draft != self._draft:
            scene = draft.scene.model_dump(mode="json", by_alias=True, exclude_defaults=True)
            head |= {"scene": scene, "aside": sorted(draft.aside)}
        packed = []
        for name, parts in squares.items():
            for (top, left), square in parts.items():
                packed.append(zlib.compress(square.tobytes(), 1))
                head["masks"].append([name, top, left, *square.shape, len(packed[-1])])
            head["masks"].append([name])
        self._draft, self._known = draft, set(masks)
        body = json.dumps(head).encode() + b"\n" + b"".join(packed)
        return HEAD.pack(len(body), zlib.crc32(body)) + body

    def saved(self) -> None:
        """All that is written down has been saved: nothing needs to be recovered."""
        if self._log is not None and not self.sitting.changed:
            (self.folder / SAVED).touch()

    def show(self) -> None:
        """Keep a small picture of the sheet, for the list of what was left behind."""
        from PIL import Image

        picture = Image.fromarray(self.sitting.preview.pyramid.levels[-1].copy())
        picture.thumbnail((160, 160))
        try:
            picture.save(self.folder / THUMB)
            self.seen = True
        except OSError:
            pass  # the list does without it

    @property
    def due(self) -> bool:
        """Whether something was written down since the sheet's small picture was kept."""
        return self._log is not None and not self.seen

    def close(self) -> None:
        """The sitting ends as its painter wants it: nothing needs to be recovered."""
        self.sitting.done.disconnect(self.write)
        self._log = None
        shutil.rmtree(self.folder, ignore_errors=True)


# ---- what was left behind


@dataclass(frozen=True)
class Left:
    """A sitting that ended without being closed.

    home : where its scene is saved, if it ever was
    kept_at : when the last deed was written down [s since 1970]
    """

    folder: Path
    title: str
    home: Path | None
    kept_at: float

    def discard(self) -> None:
        """Delete it for good."""
        shutil.rmtree(self.folder, ignore_errors=True)


def left_behind(home: Path | None = None) -> list[Left]:
    """Sittings that ended without being closed, the latest first."""
    found = []
    for note in (home or journal_home()).glob(f"*/{NOTE}"):
        try:
            said = json.loads(note.read_text(encoding="utf-8"))
            alive = _started(int(said["pid"])) == said["started"]
            kept_at = max(file.stat().st_mtime for file in _logs(note.parent))
        except (OSError, ValueError, KeyError, TypeError):
            continue
        if not alive and not (note.parent / SAVED).exists():
            place = Path(said["home"]) if said.get("home") else None
            found.append(Left(note.parent, str(said.get("title", "")), place, kept_at))
    return sorted(found, key=lambda left: -left.kept_at)


def recover(left: Left) -> Sitting:
    """Open a sitting that was left behind, as it was after its last deed.

    Its painted regions are written into its folder, which serves on as the scene's folder and as
    its journal's. It counts as changed until it is saved.

    Raises
    ------
    InputError : it can't be opened any more
    """
    draft, masks = replayed(left.folder)
    bare = {name for name, mask in masks.items() if not mask.any()}
    for name, region in draft.scene.regions.items():
        if region.mask and name in masks and name not in bare:
            (left.folder / region.mask).parent.mkdir(parents=True, exist_ok=True)
            write_whole(left.folder / region.mask, mask_png(masks[name]))
    draft = without_regions(draft, bare)
    sitting = Sitting(draft.scene.in_folder(left.folder), draft.aside, left.home)
    sitting.saved_draft = None
    return sitting


def replayed(folder: Path) -> tuple[Draft, dict[str, Mask]]:
    """The draft and the painted regions after the last whole deed of a folder's log."""
    draft: Draft | None
    masks: dict[str, Mask]
    draft, masks = None, {}
    for head, packed in _deeds(folder):
        if "scene" in head:
            try:
                scene = Scene.model_validate(head["scene"], by_alias=True, by_name=False)
            except ValidationError:
                raise InputError(f'"{folder}" was kept by another version of glaze.') from None
            draft = Draft(scene.in_folder(folder), frozenset(head["aside"]))
        if draft is None:
            break
        squares: dict[str, dict[tuple[int, int], Mask]] = {}
        at = 0
        for name, *place in head["masks"]:
            parts = squares.setdefault(name, {})
            if place:
                top, left, rows, columns, size = place
                raw = zlib.decompress(packed[at : at + size])
                parts[top, left] = np.frombuffer(raw, np.uint16).reshape(rows, columns)
                at += size
        for name, parts in squares.items():
            if name not in masks:
                masks[name] = _at_first(folder, draft.scene.regions.get(name), head["shape"])
            put_back(masks[name], parts)
    if draft is None:
        raise InputError(f'In "{folder}" no deed was written down whole.')
    return draft, masks


def _at_first(folder: Path, region: Region | None, shape: tuple[int, int]) -> Mask:
    """A painted region before the first deed on it: as its picture has it, or bare."""
    file = None if region is None or not region.mask else folder / region.mask
    if file is not None and file.is_file():
        return grey(read_scan(file))
    return np.zeros(shape, np.uint16)


def _deeds(folder: Path) -> Iterator[tuple[dict[str, Any], bytes]]:
    """The whole deeds of the newest log that has any; each is what it says and its squares."""
    for file in sorted(_logs(folder), key=lambda f: -int(f.stem)):
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


def _logs(folder: Path) -> list[Path]:
    return [file for file in folder.glob("*.log") if file.stem.isdigit()]


def _started(pid: int) -> float | None:
    """When a process started; None if there is none, so that a number used again isn't taken."""
    import psutil

    try:
        return round(psutil.Process(pid).create_time(), 1)
    except psutil.Error:
        return None
