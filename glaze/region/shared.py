"""Regions that lie in one area of the sketch, though no word of theirs says so."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from itertools import combinations

from glaze.region.areas import Areas
from glaze.region.records import Region

Places = dict[int, list[str]]  # by the number of an area, what a region says that it is in it


def shared_words(
    named: Mapping[str, Region],
    areas: Callable[[float | None], Areas],
    now: Mapping[int, int],
) -> Iterator[str]:
    """A sentence for each two regions that share an area and don't seem to mean it.

    Parameters
    ----------
    named : regions by name; parts of others, and what others are taken from, aren't asked
    areas : gives those of the sketch for a region's own `gap_mm` [mm], of shape (rows, columns)
    now : number of the area of each number that regions use, an index from 1 each
    """
    whole = {name: one for name, one in named.items()
             if (one.area or one.enclosed_at_mm) and not one.needs}  # fmt: skip
    for (name, one), (other, two) in combinations(whole.items(), 2):
        found = areas(one.gap_mm)
        own, theirs = _places(one, found, now), _places(two, found, now)
        shared = own.keys() & theirs.keys()
        if not shared or _meant(own, theirs):
            continue
        first = min(shared)
        a, b = own[first][0], theirs[first][0]
        between = f"both have {a}" if a == b else f"no line parts {a} from {b}"
        hint = "take it out of one" if a == b else "a line has a gap"
        yield (
            f'"{name}" and "{other}" share an area: {between}. If they are meant to differ, {hint}.'
        )


def _places(region: Region, areas: Areas, now: Mapping[int, int]) -> Places:
    found: Places = {}
    for point in region.enclosed_at_mm:
        found.setdefault(areas.at(point), []).append(f"[{point[0]:g}, {point[1]:g}]")
    for number in region.area:
        if number in now:
            found.setdefault(now[number], []).append(f"area {number}")
    return found


def _meant(own: Places, theirs: Places) -> bool:
    """Whether it seems meant: a part of an area, or another wash of it, may start from the same
    point, and all areas of one region may be among those of another."""
    mine, others = (
        {word for words in places.values() for word in words} for places in (own, theirs)
    )
    points = {word for word in mine & others if word.startswith("[")}
    numbers = any(word.startswith("area") for word in mine | others)
    return bool(points) or (numbers and (mine <= others or others <= mine))
