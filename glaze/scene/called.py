"""Names that are free yet, for steps, wells, regions and the files of masks."""

from __future__ import annotations

from collections.abc import Iterable

from glaze.region.records import SHEET


def free_name(wanted: str, taken: Iterable[str], between: str = " ") -> str:
    """The wanted name, or the first of "name 2", "name 3" ... that isn't taken."""
    known = {name.lower() for name in taken} | {SHEET}
    name, number = wanted, 2
    while name.lower() in known:
        name, number = f"{wanted}{between}{number}", number + 1
    return name
