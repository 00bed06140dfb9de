"""Modules loaded without Qt's reading of their sources.

Qt's Python puts a way to load modules before Python's own, for scripts that ask it for other
spellings of its names. It reads the source of every module that is loaded, whoever's it is, keeps
all of it, and looks into modules that are half loaded. Nothing here asks for other spellings.
"""

from __future__ import annotations

import builtins

OWN = "__orig_import__"
"""Where Qt's Python keeps Python's way."""


def load_plainly() -> None:
    """Load modules in Python's way again, once Qt is there.

    0.2 s and 50 MB less for the window, and two threads may load what loads one another.
    """
    builtins.__import__ = getattr(builtins, OWN, builtins.__import__)
