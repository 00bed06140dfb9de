"""Values as TOML text, lists and tables within one line each.

A picture carries its scene as text, and this is all there is to that: the library that keeps
comments in files takes as long over it as the picture takes to be written.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

BARE = re.compile(r"[A-Za-z0-9_-]+")


def toml_lines(values: Mapping[str, Any]) -> str:
    """Keys and values, a line each; what is None isn't written."""
    return "".join(f"{part}\n" for part in _pairs(values))


def toml_key(key: str) -> str:
    """A key, in quotes if it needs them."""
    return key if BARE.fullmatch(key) else _string(key)


def toml_value(value: Any) -> str:
    """A value within one line."""
    if isinstance(value, str):
        return _string(value)
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, Mapping):
        return f"{{{', '.join(_pairs(value))}}}"
    if isinstance(value, list | tuple):
        return f"[{', '.join(map(toml_value, value))}]"
    return str(value)


def _pairs(values: Mapping[str, Any]) -> list[str]:
    return [f"{toml_key(k)} = {toml_value(v)}" for k, v in values.items() if v is not None]


def _string(text: str) -> str:
    # a string of JSON is one of TOML, but for the one control character that JSON lets stand
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
