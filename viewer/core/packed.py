"""What is packed: painted regions as pictures, and a scene's folder as a .zip from anywhere."""

from __future__ import annotations

import atexit
import io
import lzma
import os
import re
import shutil
import tempfile
import zipfile
import zlib
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.scene.file import FILE

from .saying import say

LARGEST_ZIP = 2_000_000_000  # [bytes] unpacked; A3 at 600 dpi with twenty masks is half of it
LEAST_ZIP, MOST_TIMES = 300_000_000, 20  # allowed at least, and times the packed file
NOT_A_ZIP = (EOFError, NotImplementedError, RuntimeError, ValueError, LookupError)


def unpack(path: Path, folder: Path) -> None:
    """Unpack a scene's .zip into an empty folder; refuses what isn't one.

    Raises
    ------
    InputError : it is damaged, too large, or holds files that would land elsewhere
    """
    try:
        with zipfile.ZipFile(path) as packed:
            entries = [entry for entry in packed.infolist() if not entry.is_dir()]
            _check_entries(path, entries)
            top = _top(entries)
            for entry in (entry for entry in entries if entry.filename.startswith(top)):
                target = folder / entry.filename[len(top) :]
                target.parent.mkdir(parents=True, exist_ok=True)
                target.write_bytes(packed.read(entry))
    except (zipfile.BadZipFile, zlib.error, lzma.LZMAError, *NOT_A_ZIP):
        raise InputError(say("refused.not_a_zip", name=path.name)) from None
    except OSError as error:
        raise InputError(say("refused.not_opened", path=path, why=error.strerror)) from None


def _check_entries(path: Path, entries: list[zipfile.ZipInfo]) -> None:
    for entry in entries:
        parts = entry.filename.replace("\\", "/").split("/")
        if ".." in parts or entry.filename.startswith(("/", "\\")) or ":" in entry.filename:
            raise InputError(say("refused.elsewhere_in_zip", name=path.name))
    most = min(LARGEST_ZIP, max(LEAST_ZIP, MOST_TIMES * path.stat().st_size))
    if sum(entry.file_size for entry in entries) > most:
        raise InputError(say("refused.large_zip", name=path.name, most=most // 10**6))


def _top(entries: list[zipfile.ZipInfo]) -> str:
    """The folder in which the scene lies within the .zip; "" where it lies at the top."""
    found = [entry.filename for entry in entries if entry.filename.split("/")[-1] == FILE]
    found.sort(key=len)
    return found[0][: -len(FILE)] if found else ""


def folder_till_the_end() -> Path:
    """An empty folder that goes when the program ends; `clear_folders` has it if that is killed."""
    whose = f"glaze-{os.getpid()}-{started(os.getpid())}-"
    folder = Path(tempfile.mkdtemp(prefix=whose))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    return folder


def clear_folders() -> None:
    """Delete such folders of programs that were killed; journals have copies of their own."""
    for folder in Path(tempfile.gettempdir()).glob("glaze-*-*-*"):
        named = re.fullmatch(r"glaze-(\d+)-(\d+\.\d)-\w+", folder.name)
        if named and started(int(named[1])) != float(named[2]):
            shutil.rmtree(folder, ignore_errors=True)


def started(pid: int) -> float | None:
    """When a process started [s since 1970]; None if there is none.

    A process is known by both, as its number is used again after its end.
    """
    import psutil

    try:
        return round(psutil.Process(pid).create_time(), 1)
    except psutil.Error:
        return None


def mask_png(mask: NDArray[np.uint16]) -> bytes:
    """A mask as a 16-bit grey PNG, white = the whole film."""
    from PIL import Image

    content = io.BytesIO()
    Image.fromarray(mask).save(content, "PNG", compress_level=1)
    return content.getvalue()
