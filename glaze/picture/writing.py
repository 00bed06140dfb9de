"""Files written whole: a reader finds the old one or the new one, never half of either."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path
from uuid import uuid4

from glaze.errors import InputError


def write_whole(path: Path, content: bytes | Iterable[bytes]) -> None:
    """Write a file completely or not at all: beside its place first, then moved there.

    Parameters
    ----------
    content : all of it, or its pieces in order
    """
    beside = path.with_name(f".{uuid4().hex}.part")  # short, and no thread's is another's
    try:
        try:
            with open(beside, "xb") as file:
                for piece in (content,) if isinstance(content, bytes) else content:
                    file.write(piece)
            os.replace(beside, path)
        finally:
            beside.unlink(missing_ok=True)
    except OSError as error:
        raise InputError(
            f'"{path}" can\'t be written ({error.strerror or error}). Choose a folder you may '
            "write to, with room on the disk."
        ) from error
