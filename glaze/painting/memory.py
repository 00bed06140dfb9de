"""What has been settled for a scene, kept to be used again when the scene changes a little."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from glaze.painting.film import Mask
from glaze.region.combine import Kept, cover, grade, regions_of
from glaze.scene.records import Graded, Region, Scene
from glaze.sketch.line import Sketch


@dataclass(eq=False)
class Settled:
    """What has been settled for a scene, to be used again when it changes a little.

    A viewer hands the same one to every `resolve`; what no longer holds has to be forgotten.

    Parameters
    ----------
    sketch : once it has been read
    kept : coverage of named regions; regions under the brush may be put there beforehand
    own : coverage of the regions that steps have for themselves
    grades : films of graded washes, as a share
    fields : what washes and lifts bring, by what it follows from
    closed : whether anything new may be worked out; if not, NotSettledError is raised
    """

    sketch: Sketch | None = None
    kept: Kept = field(default_factory=Kept)
    own: dict[Region, Mask] = field(default_factory=dict)
    grades: dict[Graded, NDArray[np.float32]] = field(default_factory=dict)
    fields: dict[tuple[Any, ...], tuple[Mask, Any]] = field(default_factory=dict)
    closed: bool = False

    def copy(self) -> Settled:
        """A copy whose lists are its own; the arrays are shared."""
        kept = Kept(dict(self.kept.covers), dict(self.kept.areas), list(self.kept.notes))
        lists = dict(self.own), dict(self.grades), dict(self.fields)
        return Settled(self.sketch, kept, *lists, self.closed)

    def cover(self, region: str | Region, scene: Scene, sketch: Sketch) -> Mask:
        """Coverage of a region, worked out once."""
        if isinstance(region, str):
            if region not in self.kept.covers:
                self._may_work()
            return cover(region, scene, sketch, self.kept)
        if region not in self.own:
            self._may_work()
            self.own[region] = cover(region, scene, sketch, self.kept)
        return self.own[region]

    def cover_all(self, scene: Scene, sketch: Sketch) -> None:
        """Coverage of every named region, all mistakes told at once."""
        if not scene.regions.keys() <= self.kept.covers.keys():
            self._may_work()
        regions_of(scene, sketch, self.kept)

    def grade(
        self, graded: Graded | None, scene: Scene, sketch: Sketch
    ) -> NDArray[np.float32] | None:
        """Film of a graded wash as a share of its full film; None for a flat one."""
        if graded is None:
            return None
        if graded not in self.grades:
            self._may_work()
            self.grades[graded] = grade(graded, scene, sketch)
        return self.grades[graded]

    def once(self, coverage: Mask, key: tuple[Any, ...], make: Callable[[], Any]) -> Any:
        """What follows from a coverage and a key; the coverage is held, so its id stays its own."""
        place = (id(coverage), *key)
        if place not in self.fields:
            if coverage.any():
                self._may_work()
            self.fields[place] = coverage, make()
        return self.fields[place][1]

    def forget(self, names: set[str], regions: Mapping[str, Region]) -> set[str]:
        """Drop regions that have changed and all that are made from them; gives their names."""
        stale = set(names)
        while more := {n for n, r in regions.items() if stale & set(r.needs)} - stale:
            stale |= more
        gone = [self.kept.covers.pop(name) for name in stale if name in self.kept.covers]
        gone += [self.own.pop(r) for r in list(self.own) if stale & set(r.needs)]
        numbers = {id(coverage) for coverage in gone}
        self.fields = {k: v for k, v in self.fields.items() if k[0] not in numbers}
        return stale

    def _may_work(self) -> None:
        if self.closed:
            raise NotSettledError


class NotSettledError(Exception):
    """Something would have to be worked out that takes long."""
