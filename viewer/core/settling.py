"""The sheet kept settled: after each change only what it touches is worked out again.

The one room of the desk that knows what is kept between two paintings. What takes long goes to one
worker and comes back when it is polled; listeners are told through the signals.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray
from psygnal import Signal

from glaze.errors import InputError
from glaze.painting.memory import NotSettledError, Settled
from glaze.painting.settle import PaintedStep, Painting, Settler, resolve
from glaze.region.combine import Kept, cover
from glaze.scene.records import Region, Scene, Step, Wash
from glaze.sheet.rect import Rect
from glaze.sketch.line import Sketch
from viewer.core.brush import Mask, Squares, put_back
from viewer.core.differences import changed_tiles
from viewer.core.drafting import Draft
from viewer.core.worker import Worker

Measured = TypeVar("Measured")


class Settling:
    """One sheet and all that lies on it.

    draft : what it follows
    painting : the draft settled; the one before while a longer change is still worked out
    masks : painted regions by name; they change in place, the sketch file never does
    mask_numbers : grows with each change of a mask
    """

    adopted = Signal(object)
    """There is another painting; the corners of the tiles that differ, None for all."""
    reached = Signal(object)
    """The same painting has changed within these rectangles."""
    refused = Signal(object, object)
    """What is wrong with the draft that was followed, and the draft before it."""

    def __init__(self, draft: Draft) -> None:
        self.draft = draft
        self.masks: dict[str, Mask] = {}
        self.mask_numbers: dict[str, int] = {}
        self._settled = Settled()
        self._measured: dict[int, tuple[object, Any]] = {}
        self.worker = Worker()
        self._wanted = 0
        self._waiting: list[tuple[Mask, Rect]] = []
        self._later = False
        self.painting = resolve(draft.laid, settled=self._settled)
        self._find_masks()

    def _find_masks(self) -> None:
        """Regions that are nothing but a picture go on being painted where they were left."""
        for name, region in self.draft.scene.regions.items():
            if region.mask and not (region.needs or region.soft_mm):
                mask = self._settled.kept.covers[name]
                mask.flags.writeable = True
                self.masks[name], self.mask_numbers[name] = mask, 0

    # ---- what there is

    @property
    def sketch(self) -> Sketch:
        """The sketch, cleaned of its paper."""
        assert self._settled.sketch is not None
        return self._settled.sketch

    def pairs(self) -> list[tuple[PaintedStep, Step]]:
        """The steps as they are settled, each with its record."""
        steps = self.draft.laid.steps
        first = self._before_steps
        return list(zip(self.painting.steps[first:], steps, strict=True)) if first >= 0 else []

    @property
    def _before_steps(self) -> int:
        """Settled steps that come before the draft's: the sketch's own line may be one."""
        return len(self.painting.steps) - len(self.draft.laid.steps)

    def painted_step(self, number: int) -> PaintedStep | None:
        """A step as it is settled; None if it is set aside or not settled yet."""
        place = self.draft.place(number)
        if place is None:
            return None
        place += self._before_steps
        found = self.painting.steps[place] if 0 <= place < len(self.painting.steps) else None
        return found if found and found.name == self.draft.scene.steps[number].name else None

    def cover(self, region: str | Region) -> Mask:
        """Coverage of a region."""
        return self._settled.cover(region, self.draft.scene, self.sketch)

    def shape(self, region: Region) -> Mask:
        """Coverage of a shape that is added to a painted region and not kept."""
        return cover(region, self.draft.scene, self.sketch, self._settled.kept)

    def grade(self, step: Step) -> NDArray[np.float32] | None:
        """Film of a graded wash as a share; None for anything else."""
        if not isinstance(step, Wash):
            return None
        return self._settled.grade(step.graded, self.draft.scene, self.sketch)

    def measured(self, field: NDArray[Any], measure: Callable[[], Measured]) -> Measured:
        """What is measured on a settled field, once until the field changes."""
        known = self._measured.get(id(field))
        if known is None or known[0] is not field:
            # the field is held, so its id stays its own
            self._measured[id(field)] = known = field, measure()
        found: Measured = known[1]
        return found

    # ---- another draft

    def follow(self, draft: Draft) -> None:
        """Follow a draft: settle it at once if nothing takes long, else in the background.

        Raises
        ------
        InputError : what is wrong with it; the draft before is followed on
        """
        old, self.draft = self.draft, draft
        self._forget_changed(old.scene, draft.scene)
        self._wanted += 1
        try:
            painting = self._without_work(draft)
        except InputError:
            self.draft = old
            raise
        if painting is None:
            self._settle_later(old, self._wanted)
        else:
            self._later = False
            self._adopt(painting)

    def tried(self, draft: Draft) -> Painting | None:
        """What a draft would be; None if it can't be painted or takes long to work out."""
        try:
            return self._without_work(draft)
        except InputError:
            return None

    def even(self) -> Painting:
        """The draft laid perfectly even, painted regions as they are now."""
        kept = Kept(dict(self.masks))
        return resolve(self.draft.laid, even=True, settled=Settled(self.sketch, kept))

    def _without_work(self, draft: Draft) -> Painting | None:
        """The painting of a draft from what is kept; None if something is missing."""
        self._settled.closed = True
        try:
            return resolve(draft.laid, settled=self._settled)
        except NotSettledError:
            return None
        finally:
            self._settled.closed = False

    def _forget_changed(self, old: Scene, new: Scene) -> None:
        if old.sketch != new.sketch or old.dpi != new.dpi or old.size_mm != new.size_mm:
            self._settled = Settled()
            self._own_masks()
            return
        if old.paper != new.paper:
            self._settled.fields.clear()
        every = {**old.regions, **new.regions}
        names = {n for n in every if old.regions.get(n) != new.regions.get(n)}
        self._settled.forget(names - self.masks.keys(), every)
        self._own_masks()

    def _own_masks(self) -> None:
        """Painted regions are known by their arrays, not by their files."""
        self._settled.kept.covers.update(self.masks)

    def _settle_later(self, old: Draft, number: int) -> None:
        settled, scene = self._settled.copy(), self.draft.laid
        self._later = True

        def take(painting: Painting) -> None:
            if number != self._wanted:
                return
            self._later = False
            self._keep_from(settled)
            self._adopt(painting)

        def fail(error: Exception) -> None:
            if not isinstance(error, InputError):
                raise error
            if number == self._wanted:
                self._later = False
                self.refused.emit(error, old)

        self.worker.do(lambda: resolve(scene, settled=settled), take, fail)

    def _keep_from(self, settled: Settled) -> None:
        """Keep what was settled meanwhile."""
        for name in ("own", "grades", "fields"):
            getattr(self._settled, name).update(getattr(settled, name))
        self._settled.kept.covers.update(settled.kept.covers)
        self._settled.kept.areas.update(settled.kept.areas)
        self._own_masks()

    def _adopt(self, painting: Painting) -> None:
        tiles = changed_tiles(self.painting, painting)
        self.painting = painting
        if len(self._measured) > 200:
            self._measured.clear()
        self._prune()
        # strokes that ended while the painting was being settled
        waiting, self._waiting = self._waiting, []
        for mask, rect in waiting:
            self._settle_mask(mask, rect)
        self.adopted.emit(tiles)

    def _prune(self) -> None:
        """Let fields go that no step uses any more, once there are many of them."""
        if len(self._settled.fields) <= 2 * len(self.painting.steps) + 12:
            return
        used = {id(getattr(s, n, None)) for s in self.painting.steps for n in ("thickness", "dose")}
        self._settled.fields = {
            key: value
            for key, value in self._settled.fields.items()
            if id(value[1][0] if isinstance(value[1], tuple) else value[1]) in used
        }

    # ---- painted regions

    def new_mask(self, name: str, copy_of: Mask | None = None) -> Mask:
        """A painted region: bare, or beginning as another region is."""
        mask = np.zeros(self.painting.shape, np.uint16) if copy_of is None else copy_of.copy()
        self.masks[name] = mask
        self.mask_numbers[name] = 0
        self._settled.kept.covers[name] = mask
        if copy_of is not None:
            self._copy_fields(copy_of, mask)
        return mask

    def _copy_fields(self, old: Mask, new: Mask) -> None:
        """What follows from a coverage follows from its copy; arrays are copied as well."""
        for key, (_, value) in list(self._settled.fields.items()):
            if key[0] == id(old):
                parts = value if isinstance(value, tuple) else (value,)
                copies = tuple(None if part is None else part.copy() for part in parts)
                made = copies if isinstance(value, tuple) else copies[0]
                self._settled.fields[id(new), *key[1:]] = new, made

    def put_back(self, region: str, squares: Squares) -> Rect:
        """Put squares of a painted region back as they were; gives the rectangle they fill."""
        rect = put_back(self.masks[region], squares)
        self.mask_numbers[region] += 1
        return rect

    def forget_mask(self, region: str) -> None:
        """Nothing that followed from a painted region holds any more."""
        mask = self.masks[region]
        fields = self._settled.fields
        self._settled.fields = {k: v for k, v in fields.items() if k[0] != id(mask)}
        self._settled.forget({region}, self.draft.scene.regions)
        self._settled.kept.covers[region] = mask

    def settle_again(self, region: str, rect: Rect) -> None:
        """A painted region has changed within a rectangle: settle what lies on it again."""
        made_from = self._settled.forget({region}, self.draft.scene.regions) - {region}
        mask = self.masks[region]
        self._settled.kept.covers[region] = mask
        if made_from:
            self.follow(self.draft)
        elif self._later:
            self._waiting.append((mask, rect))
        else:
            self._settle_mask(mask, rect)

    def _settle_mask(self, mask: Mask, rect: Rect) -> None:
        table = self.painting.table
        settler = Settler(self.draft.laid, table, self.sketch, settled=self._settled)
        jobs = [
            (painted, step)
            for painted, step in self.pairs()
            if getattr(painted, "coverage", None) is mask
        ]

        def job() -> list[Rect]:
            return [settler.again(painted, step, rect) for painted, step in jobs] or [rect]

        def take(rects: list[Rect]) -> None:
            self._measured.clear()
            self.reached.emit(rects)

        self.worker.do(job, take)
