"""Regions under the brush: each a mask that changes in place, known by a token that says how often.

What was made from a region is kept by its token; once the region has changed, it is of another.
"""

from __future__ import annotations

from collections.abc import Set
from itertools import count
from typing import Any

from glaze.painting.settle import regions_of
from glaze.region.combine import Cover
from glaze.scene.records import Scene
from glaze.sheet.memory import Key, Memory
from glaze.sheet.units import Mask
from glaze.step.kind import PaintedStep

from .squares import Masks

Token = tuple[str, int, int]
"""What a painted region is known by, and how often it has changed."""


class PaintedRegions:
    """Painted regions by name; they change in place, the sketch file never does.

    numbers : grows with each change of a mask
    """

    def __init__(self) -> None:
        self.masks = Masks()
        self.numbers: dict[str, int] = {}
        self._serials: dict[str, int] = {}
        self._serial = count()

    def add(self, name: str, mask: Mask) -> None:
        """Another region, or a new one of a name."""
        self.masks[name], self.numbers[name] = mask, 0
        self._serials[name] = next(self._serial)

    def find(self, scene: Scene, memory: Memory) -> None:
        """Regions that are nothing but a picture go on being painted where they were left."""
        regions = regions_of(scene, memory)
        for name, region in scene.regions.items():
            if region.mask and not (region.needs or region.soft_mm):
                self.add(name, regions.cover(name).mask.copy())

    def forget(self, names: Set[str]) -> None:
        """Let go of some regions for good."""
        for name in names:
            del self.masks[name], self.numbers[name], self._serials[name]

    def token(self, name: str) -> Token:
        """What a region is known by as it is now."""
        return "painted", self._serials[name], self.numbers[name]

    def covers(self, scene: Scene) -> dict[str, Cover]:
        """Those of a scene as they are now; not where it has a shape of that name."""
        names = [name for name, r in scene.regions.items() if r.mask and name in self.masks]
        return {n: Cover(self.masks[n], self.token(n), painted=True) for n in names}


def with_token(key: Key, token: Token) -> Key:
    """A key as it is once a painted region has changed."""
    if not isinstance(key, tuple):
        return key
    if key[:2] == token[:2]:
        return token
    return tuple(with_token(part, token) for part in key)


def renew(memory: Memory, step: PaintedStep, token: Token) -> None:
    """What a step's fields were made from is now the painted region as it is."""
    if step.kept is None:
        return
    key = with_token(step.key, token)
    old = [k for k in list(memory.kept) if k != key and with_token(k, token) == key]
    memory.renewed(old, key, step.kept)


def copied(thing: Any) -> Any:
    """A field, or several, whose arrays are their own."""
    if isinstance(thing, tuple):
        return tuple(copied(part) for part in thing)
    return None if thing is None else thing.copy()
