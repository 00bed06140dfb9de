"""What a crash leaves behind: while somebody paints, the sitting is kept in a folder of its own.

The folder is a scene like any other. Pictures of masks get a new name each time they change and
scene.toml, written last, names the ones that belong together, so whenever the machine stops the
folder opens as it was after the last stroke that was kept.
"""

from __future__ import annotations

import json
import os
import shutil
import time
from dataclasses import dataclass
from pathlib import Path

from glaze.picture.writing import write_whole
from glaze.region.records import Region
from glaze.scene.file import FILE
from viewer.core.drafting import Draft, changed
from viewer.core.keep import draft_files, files_named, lean, mask_png, read_draft
from viewer.core.sitting import Sitting

NOTE = "sitting.json"
KEPT = "kept"
"""Folder of the pictures of painted regions."""


def recovery_home() -> Path:
    """Where sittings are kept on this machine; GLAZE_RECOVERY names another place."""
    from platformdirs import user_state_path

    named = os.environ.get("GLAZE_RECOVERY")
    return Path(named) if named else user_state_path("glaze") / "recovery"


class Recovery:
    """Keeps one sitting in a folder until it is closed in peace."""

    def __init__(self, sitting: Sitting, home: Path | None = None) -> None:
        self.sitting = sitting
        self.folder = (home or recovery_home()) / f"{os.getpid()}-{time.time_ns()}"
        self._kept: tuple[Draft, dict[str, int]] | None = None
        self._masks: dict[str, tuple[int, str]] = {}

    @property
    def due(self) -> bool:
        """Whether anything has changed since it was last kept."""
        now = self.sitting.draft, dict(self.sitting.mask_numbers)
        return self.sitting.changed and now != self._kept

    def keep(self) -> None:
        """Keep the sitting as it is now. Safe to call from a worker's thread."""
        sitting, draft = self.sitting, self.sitting.draft
        numbers = dict(sitting.mask_numbers)
        (self.folder / KEPT).mkdir(parents=True, exist_ok=True)
        if self._kept is None:
            self._write_note()
        lean_draft = lean(sitting)
        regions = dict(lean_draft.scene.regions)
        for name in [name for name in regions if name in sitting.masks]:
            regions[name] = Region(mask=self._mask(name, numbers[name]))
        scene = changed(lean_draft.scene, regions=regions)
        for name in files_named(scene):
            if not (self.folder / name).exists():
                (self.folder / name).parent.mkdir(parents=True, exist_ok=True)
                write_whole(self.folder / name, draft.scene.file(name).read_bytes())
        for name, content in draft_files(Draft(scene, lean_draft.aside)):
            write_whole(self.folder / name, content)
        self._kept = draft, numbers
        self._drop_old()

    def _mask(self, region: str, number: int) -> str:
        """Write the picture of a painted region if it has changed; gives its name."""
        before = self._masks.get(region)
        if before and before[0] == number:
            return before[1]
        place = list(self.sitting.masks).index(region)
        name = f"{KEPT}/{place}-{number}-{time.time_ns()}.png"
        write_whole(self.folder / name, mask_png(self.sitting.masks[region]))
        self._masks[region] = number, name
        return name

    def _drop_old(self) -> None:
        """Pictures that scene.toml no longer names."""
        named = {name for _, name in self._masks.values()}
        for file in (self.folder / KEPT).glob("*.png"):
            if f"{KEPT}/{file.name}" not in named:
                file.unlink(missing_ok=True)

    def _write_note(self) -> None:
        home = self.sitting.home
        note = {
            "pid": os.getpid(),
            "started": _started(os.getpid()),
            "title": self.sitting.scene.title,
            "home": str(home.resolve()) if home else None,
        }
        write_whole(self.folder / NOTE, json.dumps(note).encode())

    def close(self) -> None:
        """The sitting ends in peace: nothing needs to be recovered."""
        shutil.rmtree(self.folder, ignore_errors=True)


@dataclass(frozen=True)
class Left:
    """A sitting that ended without being closed."""

    folder: Path
    title: str
    home: Path | None
    kept_at: float

    def discard(self) -> None:
        """Let it go for good."""
        shutil.rmtree(self.folder, ignore_errors=True)


def left_behind(home: Path | None = None) -> list[Left]:
    """Sittings that a crash left behind, the latest first."""
    found = []
    for note in (home or recovery_home()).glob(f"*/{NOTE}"):
        try:
            said = json.loads(note.read_text(encoding="utf-8"))
            alive = _started(int(said["pid"])) == said["started"]
            kept_at = (note.parent / FILE).stat().st_mtime
        except (OSError, ValueError, KeyError, TypeError):
            continue
        if not alive:
            place = Path(said["home"]) if said.get("home") else None
            found.append(Left(note.parent, str(said.get("title", "")), place, kept_at))
    return sorted(found, key=lambda left: -left.kept_at)


def recover(left: Left) -> Sitting:
    """Open a sitting that was left behind; it counts as changed until it is saved."""
    scene, aside = read_draft(left.folder)
    sitting = Sitting(scene, aside, left.home)
    sitting.saved_draft = None
    return sitting


def _started(pid: int) -> float | None:
    """When a process started; None if there is none, so that a number used again isn't taken."""
    import psutil

    try:
        return round(psutil.Process(pid).create_time(), 1)
    except psutil.Error:
        return None
