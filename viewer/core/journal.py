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
import time
import zlib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from glaze.errors import InputError

from .drafting import Draft
from .keep import write_file
from .packed import started
from .recovery import HEAD, NOTE, SAVED, THUMB, journal_home, logs_in
from .saying import say
from .sitting import Sitting
from .squares import Squares, squares_of
from .versions import LIST, version_files

LONGEST = 256_000_000
"""A log that is longer is begun anew [bytes]."""


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
        sitting.versions_changed.connect(self._keep_versions)

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
                place = self.folder.parent
                self.sitting.told.emit(say("rescue.not_kept", place=place, why=error))
            self._failed = True

    def _keep_versions(self) -> None:
        """Versions stand in the folder as they do in a scene's."""
        self.write({})
        if self._log is not None:
            for name, data in version_files(self.sitting.versions):
                if name == LIST or not (self.folder / name).exists():
                    write_file(self.folder / name, data)

    def _begin(self) -> None:
        """The folder, the files the sitting was opened with, and the first log."""
        self.folder.mkdir(parents=True, exist_ok=True)
        for name, data in (*self.sitting.files.items(), *version_files(self.sitting.versions)):
            if not (self.folder / name).exists():
                write_file(self.folder / name, data)
        self._write_note()
        self._next_log()

    def _write_note(self) -> None:
        """Whose it is, and where its scene is saved."""
        home, stamp = self.sitting.home, self.sitting.home_stamp
        note = {
            "pid": os.getpid(),
            "started": started(os.getpid()),
            "title": self.sitting.scene.title,
            "home": str(home.resolve()) if home else None,
            "stamp": stamp,
        }
        write_file(self.folder / NOTE, json.dumps(note).encode())

    def _next_log(self) -> None:
        """Another log, begun with what the last one is needed for; then that one can go."""
        old = logs_in(self.folder)
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
        squares, begun = dict(changes), masks.keys() - self._known
        for name in begun:
            squares[name] = {at: s for at, s in squares_of(masks[name]).items() if not s.bare}
        head: dict[str, Any] = {"masks": [], "shape": self.sitting.painting.shape}
        head["begun"] = sorted(begun)
        if draft != self._draft:
            scene = draft.scene.model_dump(mode="json", by_alias=True, exclude_defaults=True)
            head |= {"scene": scene, "aside": sorted(draft.aside)}
        packed = []
        for name, parts in squares.items():
            for (top, left), square in parts.items():
                packed.append(square.data)
                head["masks"].append([name, top, left, *square.shape, len(square.data)])
            head["masks"].append([name])
        self._draft, self._known = draft, set(masks)
        body = json.dumps(head).encode() + b"\n" + b"".join(packed)
        return HEAD.pack(len(body), zlib.crc32(body)) + body

    def saved(self) -> None:
        """All that is written down has been saved: nothing needs to be recovered."""
        if self._log is not None:
            self._write_note()
            if not self.sitting.changed:
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
        self.sitting.versions_changed.disconnect(self._keep_versions)
        self._log = None
        shutil.rmtree(self.folder, ignore_errors=True)
