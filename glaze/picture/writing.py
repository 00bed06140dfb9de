"""Files written whole, and all files of one command together or not at all.

Each file is written beside its place, flushed to the disk, and moved there when every file of the
command is ready. What a killed run left beside is cleared by the next that writes there. Nothing
the command has read is written over, nor a scene's sketch or mask, nor what glaze didn't write.
"""

from __future__ import annotations

import contextlib
import os
import re
import shutil
import signal
import stat
import threading
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import IO, Any
from uuid import uuid4

from glaze.errors import InputError
from glaze.picture.writable import command_runs, refuse_foreign, refuse_needed
from glaze.record.incoming import forget

LITTER = re.compile(r"\.[0-9a-f]{32}\.part")
Content = bytes | Iterable[bytes] | Callable[[IO[bytes]], None]

placed: list[Path] = []
"""Files put in their places since the command began."""

_thread = threading.local()


class _Batch:
    """Files that are staged beside their places, to be moved there together."""

    def __init__(self, guarded: bool) -> None:
        self.guarded = guarded
        self.staged: dict[Path, tuple[Path, IO[bytes]]] = {}
        self.folders: list[Path] = []
        self.afterwards: list[Callable[[], None]] = []

    def stage(self, path: Path, content: Content, named: bool, changed: bool) -> Path:
        """Write one file beside its place; gives where it lies until then."""
        target = Path(os.path.realpath(path))  # a link stays a link
        mode = self._refuse(path, target, named, changed)
        _clear_litter(target.parent)
        part = target.with_name(f".{uuid4().hex}.part")
        file = open(part, "xb")  # noqa: SIM115 - open until it is placed: its lock says so
        try:
            lock(file)
            if callable(content):
                content(file)
            else:
                for piece in (content,) if isinstance(content, bytes) else content:
                    file.write(piece)
            file.flush()
            os.fsync(file.fileno())
            if mode is not None:
                os.chmod(part, mode)
        except BaseException:
            with contextlib.suppress(OSError):
                file.close()
            part.unlink(missing_ok=True)
            raise
        self.staged[target] = part, file
        return part

    def _refuse(self, path: Path, target: Path, named: bool, changed: bool) -> int | None:
        """Refuse a place that has to stay as it is; gives the mode of a file that is replaced."""
        if target in self.staged:
            raise InputError(f'"{path}" would be written twice. Give each file its own name.')
        if target.is_symlink():
            raise InputError(f'"{path}" is a link that leads back to itself. Choose another name.')
        if not target.exists():
            return None
        found = target.stat().st_mode
        if not stat.S_ISREG(found):
            raise InputError(f'"{path}" is no plain file and stays as it is. Choose another name.')
        if not (found & 0o222 and os.access(target, os.W_OK)):
            raise InputError(f'"{path}" is protected from writing and stays as it is.')
        if self.guarded and not changed:
            refuse_needed(path, target)
        if (self.guarded and not changed) or not named:
            refuse_foreign(path)
        return stat.S_IMODE(found)

    def place(self) -> None:
        """Move all to their places, or none of them; a stop waits until that is done."""
        with _undisturbed():
            self._move()
            self._close()
            self.folders.clear()
            while self.afterwards:
                self.afterwards.pop()()

    def _move(self) -> None:
        kept: dict[Path, Path | None] = {}
        try:
            for target, (part, file) in self.staged.items():
                if os.name == "nt":
                    file.close()  # it can't be moved while it is open
                kept[target] = _second(target) if len(self.staged) > 1 else None
                os.replace(part, target)
                placed.append(target)
            for folder in {target.parent for target in self.staged}:
                _flush_folder(folder)
        except OSError:
            for target, second in kept.items():
                if target in placed:
                    placed.remove(target)
                    os.replace(second, target) if second else target.unlink(missing_ok=True)
            raise
        finally:
            for second in filter(None, kept.values()):
                _unlink(second)  # if that fails the next run clears it

    def drop(self) -> None:
        """Leave everything as it was."""
        for part, _file in self.staged.values():
            _unlink(part)
        self._close()
        for folder in reversed(self.folders):
            with contextlib.suppress(OSError):  # somebody else's file lies there now
                folder.rmdir()

    def _close(self) -> None:
        for _part, file in self.staged.values():
            with contextlib.suppress(OSError):  # a full disk was told already
                file.close()
        self.staged.clear()


@contextlib.contextmanager
def together(*, command: bool = False) -> Iterator[None]:
    """All files written within, in this thread, are put in their places at its end or not at all.

    command : a command of the painter's: what it read is not written over
    """
    if getattr(_thread, "batch", None) is not None:
        yield
        return
    if command:
        forget()
        placed.clear()
        command_runs.set()
    batch = _thread.batch = _Batch(command)
    try:
        yield
        batch.place()
    finally:
        _thread.batch = None
        if command:
            command_runs.clear()
        batch.drop()


def place_all() -> None:
    """Put what was written so far in its places, so that it can be told."""
    if (batch := getattr(_thread, "batch", None)) is not None:
        with _told(next(iter(batch.staged), Path())):
            batch.place()


def once_placed(then: Callable[[], None]) -> None:
    """Do something once what was written so far is in its places; not at all if it never is."""
    batch = getattr(_thread, "batch", None)
    then() if batch is None else batch.afterwards.append(then)


def write_whole(
    path: Path,
    content: Content,
    *,
    named: bool = True,
    changed: bool = False,
) -> Path:
    """Write a file completely or not at all.

    Parameters
    ----------
    content : all of it, its pieces in order, or what writes it into a file
    named : whether it was asked for by this name; else what is there and isn't ours is left alone,
        as all of that is by a command
    changed : whether it is the painter's, and changed on their word (`scene.edited.write_changed`)

    Returns
    -------
    path : where it can be read at once, which is beside its place until all are put there
    """
    with _told(path), together():
        part: Path = _thread.batch.stage(path, content, named, changed)
    return part if part.exists() else path


def make_folder(folder: Path) -> None:
    """Make a folder, and those it lies in; what is written together takes them back if it fails."""
    made = []
    try:
        for one in (folder, *folder.parents):
            if one.exists():
                break
            made.append(one)
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise InputError(f'The folder "{folder}" can\'t be made ({error.strerror}).') from None
    if (batch := getattr(_thread, "batch", None)) is not None:
        batch.folders += reversed(made)
    _clear_litter(folder)


def _unlink(file: Path) -> None:
    with contextlib.suppress(OSError):
        file.unlink(missing_ok=True)


def _second(target: Path) -> Path | None:
    """A second name of the file that is about to be replaced, or a copy where links can't be."""
    if not target.exists():
        return None
    second = target.with_name(f".{uuid4().hex}.part")
    try:
        os.link(target, second)
    except OSError:
        shutil.copy2(target, second)
    return second


def _clear_litter(folder: Path) -> None:
    """Take away what killed runs left beside their places; a living run's file is locked."""
    with contextlib.suppress(OSError):
        for file in folder.iterdir():
            if LITTER.fullmatch(file.name):
                with contextlib.suppress(OSError), open(file, "rb") as left:
                    lock(left)
                    file.unlink()


def lock(file: IO[bytes]) -> None:
    """Hold a file while it is open; an OSError if another holds it."""
    if os.name == "posix":
        import fcntl

        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)


def _flush_folder(folder: Path) -> None:
    """Let the names in a folder outlast a loss of power, where the system can do that."""
    with contextlib.suppress(OSError):
        opened = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(opened)
        finally:
            os.close(opened)


@contextlib.contextmanager
def _undisturbed() -> Iterator[None]:
    """Ctrl-C and the like wait until all files are in their places."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return
    stops: list[Any] = []
    kinds = signal.SIGINT, signal.SIGTERM
    before = {kind: signal.signal(kind, lambda *stop: stops.append(stop)) for kind in kinds}
    try:
        yield
    finally:
        for kind, handler in before.items():
            signal.signal(kind, handler if handler is not None else signal.SIG_DFL)
    if stops:
        raise KeyboardInterrupt


@contextlib.contextmanager
def _told(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise InputError(
            f'"{path}" can\'t be written ({error.strerror or error}). Choose a folder you may '
            "write to, with room on the disk."
        ) from error
