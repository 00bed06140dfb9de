"""The figures of the material tables as they stand in the files, read without the product."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

TABLES = Path(__file__).parents[2] / "glaze" / "materials" / "tables"


@cache
def table(name: str) -> dict[str, Any]:
    """A TOML table."""
    return tomllib.loads((TABLES / f"{name}.toml").read_text(encoding="utf-8"))


def figure(name: str, entry: str, key: str, otherwise: Any = None) -> Any:
    """The value of one figure."""
    found = table(name)[entry].get(key)
    return otherwise if found is None else found["value"]


def dye(name: str) -> dict[str, Any]:
    """All figures of a dye: its own and those of its fitted bands."""
    facts = table("dyes")[name] | table("dye_bands").get(name, {})
    return {k: v["value"] if isinstance(v, dict) else v for k, v in facts.items()}


def ink(palette: str, name: str) -> dict[str, Any]:
    """All figures of a bottle."""
    (facts,) = (ink for ink in table(f"palettes/{palette}")["ink"] if ink["name"] == name)
    return {k: v["value"] if isinstance(v, dict) else v for k, v in facts.items()}


def ink_names(palette: str) -> list[str]:
    """Bottles of a palette that builds on no other."""
    return [ink["name"] for ink in table(f"palettes/{palette}")["ink"]]


def paper(name: str) -> dict[str, Any]:
    """All figures of a paper."""
    return {k: v["value"] if isinstance(v, dict) else v for k, v in table("papers")[name].items()}


def paper_names() -> list[str]:
    """All papers."""
    return [name for name in table("papers") if name != "sources"]
