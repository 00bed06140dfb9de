"""The sheet kept settled: after each change only what it touches is worked out again.

The one room of the desk that knows what is kept between two paintings. What takes long goes to one
worker and comes back when it is polled; listeners are told through the signals.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, TypeVar
from weakref import ref

import numpy as np
from numpy.typing import NDArray
from psygnal import Signal

from glaze.errors import InputError
from glaze.painting.settle import Painting, ground_of, regions_of, resolve
from glaze.region.areas import Areas
from glaze.region.combine import Regions
from glaze.region.cover import Cover
from glaze.region.grade import Share
from glaze.region.records import Region
from glaze.sheet.memory import Key, Memory, NotSettledError
from glaze.sheet.rect import Rect
from glaze.sketch.line import Sketch
from glaze.step.charge_step import NotWetError
from glaze.step.kind import PaintedStep, Step

from .charging import Charging, as_far_as_wet, soaked
from .differences import changed_tiles
from .drafting import Draft
from .painted import PaintedRegions, copied, renew
from .squares import Mask, Squares, put_back
from .worker import Worker, Workers

Measured = TypeVar("Measured")

SHEETS_KEPT = 3
"""What so many of the last sheets were made from is kept: a deed is often taken back at once."""


class Settling:
    """One sheet and all that lies on it.

    draft : what it follows
    painting : the draft settled; the one before while a longer change is still worked out
    memory : what was settled, kept for the next painting and for whoever works one out
    masks : painted regions by name; they change in place, the sketch file never does
    mask_numbers : grows with each change of a mask
    left_out : which charges it had to set aside to begin with, and why; "" if none
    """

    adopted = Signal(object)
    """There is another painting; the corners of the tiles that differ, None for all."""
    reached = Signal(object)
    """The same painting has changed within these rectangles."""
    refused = Signal(object, object)
    """What is wrong with the draft that was followed, and the last that could be painted."""

    def __init__(self, draft: Draft) -> None:
        self.draft = draft
        self._under_brush = PaintedRegions()
        self.masks, self.mask_numbers = self._under_brush.masks, self._under_brush.numbers
        self.forget, self.covers = self._under_brush.forget, self._under_brush.covers
        self.memory = Memory()
        self._lately: list[list[Key]] = []
        self._measured: dict[int, tuple[ref[Any], Any]] = {}
        self.worker = Worker()
        self.charging = Charging(self._charged, lambda error: self.refused.emit(error, self.draft))
        self.work = Workers(self.worker, self.charging.worker)
        self._wanted = 0
        self._waiting: list[tuple[str, Rect]] = []
        self._later = False
        self._under_brush.find(draft.scene, self.memory)
        self.draft, self.painting, self.left_out = as_far_as_wet(draft, self.worked_out)
        self._good = self.draft

    @property
    def _regions(self) -> Regions:
        scene = self.draft.scene
        return regions_of(scene, self.memory, self.covers(scene))

    # ---- what there is

    @property
    def sketch(self) -> Sketch:
        """The sketch, cleaned of its paper."""
        return self._regions.sketch

    def pairs(self) -> list[tuple[PaintedStep, Step]]:
        """The steps as they are settled, each with its record."""
        steps = self.draft.laid.steps
        alike = len(self.painting.steps) == len(steps)
        return list(zip(self.painting.steps, steps, strict=True)) if alike else []

    def painted_step(self, number: int) -> PaintedStep | None:
        """A step as it is settled; None if it is set aside or not settled yet."""
        place = self.draft.place(number)
        if place is None:
            return None
        found = self.painting.steps[place] if 0 <= place < len(self.painting.steps) else None
        return found if found and found.name == self.draft.scene.steps[number].name else None

    def cover(self, region: str | Region) -> Mask:
        """Coverage of a region."""
        return self._regions.cover(region).mask

    def look_for_areas(self, take: Callable[[Areas], None]) -> None:
        """Look in the background for the areas that the sketch's lines enclose."""
        regions = self._regions

        def job() -> Areas:
            areas = regions.areas()
            _ = areas.listed  # worked out once, and here
            return areas

        self.worker.do(job, take)

    def areas(self) -> Areas:
        """Those areas, however long it takes to find them."""
        return regions_of(self.draft.scene, self.memory).areas()

    def grade(self, step: Step) -> Share | None:
        """Film of a graded wash as a share; None for anything else."""
        return None if step.grade is None else self._regions.grade(step.grade)[0]

    def measured(self, field: NDArray[Any], measure: Callable[[], Measured]) -> Measured:
        """What is measured on a settled field, once until the field changes."""
        known = self._measured.get(id(field))
        if known is None or known[0]() is not field:
            # not held: a field of the whole sheet would stay long after its step
            self._measured[id(field)] = known = ref(field), measure()
        found: Measured = known[1]
        return found

    # ---- another draft

    def follow(self, draft: Draft) -> None:
        """Follow a draft: settle it at once if nothing takes long, else in the background.

        Raises
        ------
        InputError : what is wrong with it; the draft before is followed on
        """
        self.charging.let_go()
        old, self.draft = self.draft, draft
        self._wanted += 1
        try:
            painting = self._without_work(draft)
        except InputError:
            self.draft = old
            raise
        if painting is None:
            self._settle_later(self._wanted)
        else:
            self._later, self._good = False, draft
            self._adopt(painting)

    def tried(self, draft: Draft) -> Painting | None:
        """What a draft would be; None if it can't be painted or takes long to work out."""
        try:
            return self._without_work(draft)
        except InputError:
            return None

    def worked_out(
        self, draft: Draft, even: bool = False, painted: Mapping[str, Cover] | None = None
    ) -> Painting:
        """A draft settled, however long that takes.

        even : laid perfectly even, without the paper's tooth and the brush's patches
        painted : coverage of its painted regions; as they are now if not given
        """
        painted = self.covers(draft.scene) if painted is None else painted
        return resolve(draft.laid, even=even, memory=self.memory, painted=painted)

    def _without_work(self, draft: Draft) -> Painting | None:
        """The painting of a draft from what is kept; None if something is missing, or must wait."""
        try:
            painted = self.covers(draft.scene)
            return resolve(draft.laid, memory=self.memory.closed(), painted=painted)
        except (NotSettledError, NotWetError):
            return None

    def _settle_later(self, number: int) -> None:
        scene, painted = self.draft.laid, self.covers(self.draft.scene)
        self._later = True

        def take(painting: Painting) -> None:
            if number != self._wanted:
                return
            self._later, self._good = False, self.draft
            self._adopt(painting)

        def refused(error: InputError) -> None:
            if number == self._wanted:
                self._later = False
                self.refused.emit(error, self._good)

        self.worker.do(lambda: resolve(scene, memory=self.memory, painted=painted), take, refused)

    def _adopt(self, painting: Painting) -> None:
        tiles = changed_tiles(self.painting, painting)
        self.painting = painting
        if len(self._measured) > 200:
            self._measured.clear()
        self._prune()
        # strokes that ended while the painting was being settled
        waiting, self._waiting = self._waiting, []
        for region, rect in waiting:
            if region in self.masks:
                self._settle_mask(region, rect)
        self.adopted.emit(tiles)

    def _prune(self) -> None:
        """Let go of what none of the last sheets was made from."""
        made_from = [*(step.key for step in self.painting.steps), *self._regions.made_from()]
        self._lately = [*self._lately[1 - SHEETS_KEPT :], made_from]
        self.memory.only_for(key for keys in self._lately for key in keys)

    # ---- painted regions

    def new_mask(
        self, name: str, copy_of: Mask | None = None, step: PaintedStep | None = None
    ) -> Mask:
        """A painted region: bare, or beginning as another region is.

        step : the one that is going to lie there instead of on the other
        """
        mask = np.zeros(self.painting.shape, np.uint16) if copy_of is None else copy_of.copy()
        self._under_brush.add(name, mask)
        if step is not None and step.step.joins is None and isinstance(step.key, tuple):
            # what follows from a coverage follows from its copy; arrays are copied as well
            self.memory.copied(step.key, self._under_brush.token(name), copied)
        return mask

    def rest(self) -> None:
        """Pack painted regions that the draft hasn't, until a deed brings them back."""
        self.masks.rest(but=self.draft.scene.regions.keys())

    def put_back(self, region: str, squares: Squares) -> Rect:
        """Put squares of a painted region back as they were; gives the rectangle they fill."""
        rect = put_back(self.masks[region], squares)
        self.mask_numbers[region] += 1
        return rect

    def settle_again(self, region: str, rect: Rect) -> None:
        """A painted region has changed within a rectangle: settle what lies on it again."""
        if any(region in other.needs for other in self.draft.scene.regions.values()):
            self.follow(self.draft)
        elif self._later:
            self._waiting.append((region, rect))
        else:
            self._settle_mask(region, rect)

    def _settle_mask(self, region: str, rect: Rect) -> None:
        mask, token = self.masks[region], self._under_brush.token(region)
        ground = ground_of(self.painting, self._regions, self.draft.scene)
        jobs = [step for step in self.painting.steps if step.coverage is mask]

        def job() -> list[Rect]:
            reached = []
            for step in jobs:
                reached.append(step.again(ground, rect))
                renew(self.memory, step, token)
            return reached or [rect]

        def take(rects: list[Rect]) -> None:
            for step in jobs:
                self._measured.pop(id(step.film), None)
            self.reached.emit(rects)
            self._charge_again(mask)

        self.worker.do(job, take)

    def _charge_again(self, mask: Mask) -> None:
        """What was charged into a painted region dries anew, with all that is wet together."""
        numbers = [] if self._later else soaked(self.painting.steps, mask)
        if numbers:
            regions = self._regions
            laid = [(step, regions.cover(step.region)) for step in self.draft.laid.steps]
            self.charging.ask(numbers, laid, ground_of(self.painting, regions, self.draft.scene))

    def _charged(self, found: dict[int, PaintedStep]) -> None:
        steps = (found.get(n, step) for n, step in enumerate(self.painting.steps))
        self._adopt(replace(self.painting, steps=tuple(steps)))
