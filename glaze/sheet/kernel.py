"""Kernels compiled once for a computer, and kept in the user's cache folder.

They are kept under a hash of every source a kernel can take a figure from.
"""

from __future__ import annotations

import hashlib
import pickle
import sys
from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from typing import Any

import numba
import numpy as np
from numba.core.compiler import CompileResult
from numba.core.environment import Environment, lookup_environment
from numba.core.runtime import rtsys
from numba.core.serialize import dumps
from numpy.typing import NDArray

from glaze.sheet.cache_folder import keep, kept_bytes, kept_in, source_hash
from glaze.sheet.shared_work import KERNELS

SOURCES = ("physics", "materials", "record", "sheet")
"""Rooms whose figures can end up in compiled code."""
BUILT_WITH = f"{sys.version} {numba.__version__} {np.__version__}"
KEPT = ".kernel"  # how a kept file's name ends


def kernel(**options: Any) -> Callable[[Callable[..., Any]], Any]:
    """A function compiled with numba when it is first called, without the GIL, and kept.

    options : of numba.njit, as fastmath or inline
    """

    def compiled(function: Callable[..., Any]) -> Any:
        # nothing calls a kernel from C: that way in takes an eighth of the time to compile
        made = numba.njit(**{"nogil": True, "no_cfunc_wrapper": True, **options})(function)
        if (folder := _folder()) is not None:
            made._cache = _Kept(function, folder)
        return made

    return compiled


def inner(**options: Any) -> Callable[[Callable[..., Any]], Any]:
    """A kernel that only other kernels call: the way in from Python isn't compiled."""
    return kernel(no_cpython_wrapper=True, **options)


def seen(array: NDArray[Any]) -> NDArray[Any]:
    """A view that can't be written to: kernels are compiled for each kind of array they get.

    [any unit], any shape, same shape back.
    """
    view = array.view()
    view.flags.writeable = False
    return view


def _folder() -> Path | None:
    """Where these sources' kernels are kept."""
    return kept_in("kernels", SOURCES, BUILT_WITH)


def model_hash() -> str:
    """Of all sources and tables of the model, and of what compiles them."""
    return source_hash(SOURCES, BUILT_WITH)


def keeps_kernels() -> bool:
    """Whether kernels can be kept at all."""
    return _folder() is not None


def compiled_before() -> bool:
    """Whether kernels of these sources lie on the disk already."""
    folder = _folder()
    return folder is not None and any(folder.glob(f"*{KEPT}"))


class _Unpickler(pickle.Unpickler):
    """Of a kept kernel, without the modules that its parts were compiled from.

    Numba would load each, its linear algebra among them, which takes as long as all kernels do;
    finished code takes nothing from them.
    """

    def find_class(self, module: str, name: str) -> Any:
        if (module, name) == ("numba.core.environment", "_rebuild_env"):
            return _environment
        return super().find_class(module, name)


def _environment(module: str, constants: list[Any], name: str) -> Environment:
    """The constants that finished code reads, such as what it may raise."""
    found = lookup_environment(name)
    if found is None:
        found = Environment(vars(sys.modules.get(module, sys)))
        found.consts[:] = constants
        found.env_name = name
        Environment._memo[name] = found
    return found


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
        # all that finished code needs of numba: the rest is only loaded to compile
        rtsys.initialize(context)
        file = self._file(signature, context.codegen())
        content = kept_bytes(file)
        if content is None and KERNELS.begin(file.name):
            content = kept_bytes(file)
        if content is None:
            return None
        try:
            return CompileResult._rebuild(context, *_Unpickler(BytesIO(content)).load())
        except Exception:  # whatever is wrong with a file that only saves time: compile anew
            return None

    def save_overload(self, signature: Any, compiled: Any) -> None:
        """Keep a compiled function, if there is a place and it can be kept."""
        if compiled.library.has_dynamic_globals or any(not x.can_cache for x in compiled.lifted):
            return
        file = self._file(signature, compiled.codegen)
        keep(file, dumps(compiled._reduce()))
        KERNELS.end(file.name)

    def _file(self, signature: Any, codegen: Any) -> Path:
        asked = f"{self._name} {self._of} {signature} {codegen.magic_tuple()}"
        return (
            self._folder / f"{self._name}.{hashlib.sha256(asked.encode()).hexdigest()[:24]}{KEPT}"
        )
