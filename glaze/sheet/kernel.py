"""Kernels compiled once for a computer, and kept in the user's cache folder.

They are kept under a hash of every source a kernel can take a figure from, so an edited constant
never goes on painting with the old physics. What is kept carries its checksum: whatever is short,
damaged or can't be read is compiled anew, and where nothing can be written nothing is kept.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
import pickle
import shutil
import sys
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any
from uuid import uuid4

import numba
import numpy as np
from numba.core.compiler import CompileResult
from numba.core.serialize import dumps

SOURCES = ("physics", "materials", "record", "sheet")
"""Rooms whose figures can end up in compiled code."""

VERSIONS = 5
KEPT, CHECK = ".kernel", 32  # how a kept file's name ends; bytes of checksum it begins with


def kernel(**options: Any) -> Callable[[Callable[..., Any]], Any]:
    """A function compiled with numba when it is first called, without the GIL, and kept.

    options : of numba.njit, as fastmath or inline
    """

    def compiled(function: Callable[..., Any]) -> Any:
        made = numba.njit(nogil=True, **options)(function)
        if (folder := kept_in()) is not None:
            made._cache = _Kept(function, folder)
        return made

    return compiled


@cache
def kept_in() -> Path | None:
    """The folder these sources' kernels are kept in, or None where none can be written."""
    from platformdirs import user_cache_path

    try:
        folder = user_cache_path("glaze") / "kernels" / model_hash()
        if not folder.is_dir():
            folder.mkdir(parents=True)
            _clear_older(folder.parent)
        trial = folder / f"{uuid4().hex}.trial"
        trial.touch()
        trial.unlink()
    except (OSError, RuntimeError):  # no home, no right, no room
        return None
    return folder


def _clear_older(home: Path) -> None:
    """Leave the newest few versions' kernels; what is in use is at most compiled once more."""
    versions = sorted(home.iterdir(), key=lambda folder: folder.stat().st_mtime)
    for folder in versions[:-VERSIONS]:
        shutil.rmtree(folder, ignore_errors=True)


def model_hash() -> str:
    """Of all sources and tables of the model, and of what compiles them."""
    house = Path(__file__).resolve().parent.parent
    found = hashlib.sha256(f"{sys.version} {numba.__version__} {np.__version__}".encode())
    for room in SOURCES:
        for file in sorted((house / room).rglob("*")):
            if file.suffix in (".py", ".toml", ".csv"):
                found.update(f"{file.relative_to(house)} {file.stat().st_size}\n".encode())
                found.update(file.read_bytes())
    return found.hexdigest()[:24]


def compiled_before() -> bool:
    """Whether kernels of these sources lie on the disk already."""
    folder = kept_in()
    return folder is not None and any(folder.glob(f"*{KEPT}"))


class _Kept:
    """What numba asks of a cache, of one function: a file a signature, or nothing at all."""

    def __init__(self, function: Callable[..., Any], folder: Path) -> None:
        source = Path(function.__code__.co_filename)
        self._name = f"{source.stem}.{function.__name__}"
        self._of = hashlib.sha256(source.read_bytes()).hexdigest()
        self._folder = folder

    @property
    def cache_path(self) -> str:
        return str(self._folder)

    def load_overload(self, signature: Any, context: Any) -> Any:
        """The compiled function, or None where it isn't kept whole."""
        context.refresh()
        try:
            content = self._file(signature, context.codegen()).read_bytes()
            check, content = content[:CHECK], content[CHECK:]
            if hashlib.sha256(content).digest() != check:
                return None
            return CompileResult._rebuild(context, *pickle.loads(content))
        except Exception:  # whatever is wrong with a file that only saves time: compile anew
            return None

    def save_overload(self, signature: Any, compiled: Any) -> None:
        """Keep a compiled function, if there is a place and it can be kept."""
        if compiled.library.has_dynamic_globals or any(not x.can_cache for x in compiled.lifted):
            return
        content = dumps(compiled._reduce())
        file = self._file(signature, compiled.codegen)
        beside = file.with_suffix(f".{uuid4().hex[:12]}")
        with contextlib.suppress(OSError):
            try:
                beside.write_bytes(hashlib.sha256(content).digest() + content)
                os.replace(beside, file)
            finally:
                beside.unlink(missing_ok=True)

    def _file(self, signature: Any, codegen: Any) -> Path:
        asked = f"{self._name} {self._of} {signature} {codegen.magic_tuple()}"
        return (
            self._folder / f"{self._name}.{hashlib.sha256(asked.encode()).hexdigest()[:24]}{KEPT}"
        )
