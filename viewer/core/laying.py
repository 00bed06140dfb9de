"""Laying what is in the hand: strokes while the pen moves, and whole shapes at once.

While the pen is down only the pixels whose film has changed are worked out, and what reaches
sideways (drying lines, creeping bleach, the paper's tooth) is left out; it is put in when the pen
goes up.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from glaze.errors import InputError
from glaze.region.grade import Share
from glaze.region.records import SHEET, Graded, PenLine, Region, RuledBand
from glaze.sheet.rect import Rect
from glaze.sheet.units import FULL
from glaze.step.kind import PaintedStep

from . import drafting
from .brush import PenPoint, Stroke
from .drafting import Draft
from .history import MaskChange
from .opened import RESERVE
from .saying import say
from .sitting import Sitting
from .squares import Mask, squares_of

Point = tuple[float, float]


class Laying:
    """Strokes and shapes on the sheet of a sitting. Points are (x, y) in mm."""

    def __init__(self, sitting: Sitting) -> None:
        self.sitting = sitting
        self.stroke: Stroke | None = None
        self._region = ""
        self._begun: tuple[Draft, int | None] | None = None
        self._steps: list[tuple[PaintedStep, Share | None]] = []

    # ---- strokes

    def press(self, point: Point, pressure: float = 1.0) -> Rect:
        """The brush comes down: on the step in hand, or on a new one."""
        sitting = self.sitting
        self._begun = sitting.draft, sitting.chosen
        if sitting.reserving:
            self._region = self._reserve()
        else:
            self._region = self._own_region()
        reserve = None if sitting.reserving else sitting.reserve
        mask = sitting.masks[self._region]
        self.stroke = Stroke(mask, sitting.hand.brush, sitting.painting.dpi, reserve)
        self._steps = self._under(mask)
        sitting.preview.begin_pixels(self._first())
        return self.move([(point, pressure)])

    def move(self, places: Sequence[tuple[Point, float]]) -> Rect:
        """The brush goes on; gives the rectangle whose picture has changed [px]."""
        stroke = self.stroke
        found = Rect(0, 0, 0, 0)
        if stroke is None:
            return found
        for point, pressure in places:
            part = stroke.go_on(self._place(point, pressure))
            if not part.empty:
                found = part if found.empty else found.union(part)
        if not found.empty:
            self._show(found)
        return found

    def up(self) -> None:
        """The brush goes up: the stroke is a deed, and what reaches sideways is settled."""
        stroke, self.stroke = self.stroke, None
        self.sitting.preview.end_pixels()
        if stroke is None or self._begun is None:
            return
        sitting, (draft, chosen) = self.sitting, self._begun
        self._begun = None
        change = MaskChange.of(self._region, *stroke.squares())
        word = say("deed.reserve") if sitting.reserving else self._word(stroke)
        sitting.mask_numbers[self._region] += 1
        sitting.record(word, draft, chosen, (change,))
        rect = stroke.rect
        if rect is not None:
            sitting.settling.settle_again(self._region, rect)

    def _word(self, stroke: Stroke) -> str:
        number = self.sitting.chosen
        name = self.sitting.scene.steps[number].name if number is not None else self._region
        return say("deed.take_back" if stroke.brush.damp else "deed.lay", name=name)

    def _place(self, point: Point, pressure: float) -> PenPoint:
        scale = self.sitting.painting.per_mm
        return PenPoint(point[1] * scale - 0.5, point[0] * scale - 0.5, pressure)

    def _show(self, rect: Rect) -> None:
        """Bring the film and the picture up to date where the mask has changed."""
        stroke = self.stroke
        assert stroke is not None
        index = rect.slices
        mask = stroke.mask[index]
        changed = np.full(mask.shape, self.sitting.reserving)
        for painted, graded in self._steps:
            found = painted.under_pen(mask, None if graded is None else graded[index])
            if found is None:
                changed[...] = True
                continue
            new, field = found
            different = _moved(field[index], new, stroke.brush.damp)
            field[index][different] = new[different]
            changed |= different
        rows, columns = np.nonzero(changed)
        self.sitting.preview.pixels(rows + rect.top, columns + rect.left, rect)
        self.sitting.preview.touch_quietly(rect)

    def _under(self, mask: Mask) -> list[tuple[PaintedStep, Share | None]]:
        """The settled steps whose film follows a mask, with the grades of graded washes."""
        sitting = self.sitting
        return [
            (painted, sitting.settling.grade(step))
            for painted, step in sitting.settling.pairs()
            if painted.coverage is mask
        ]

    def _first(self) -> int:
        """Number of the first settled step that the stroke changes."""
        steps = self.sitting.painting.steps
        changing = [painted for painted, _ in self._steps]
        return next((n for n, s in enumerate(steps) if any(s is c for c in changing)), len(steps))

    def _own_region(self) -> str:
        """The painted region of the step in hand, or of a new step."""
        sitting = self.sitting
        number = sitting.chosen
        if number is None or sitting.scene.steps[number].everywhere:
            return self._new_step()
        name, draft = sitting.paintable(number)
        sitting.begin(draft, number)
        return name

    def _new_step(self) -> str:
        sitting = self.sitting
        name = sitting.next_name()
        region = sitting.free_region(name)
        sitting.settling.new_mask(region)
        draft = drafting.with_mask(sitting.draft, region)
        draft = drafting.with_step(draft, sitting.hand.step(name, region))
        sitting.begin(draft, len(draft.scene.steps) - 1)
        return region

    def _reserve(self) -> str:
        sitting = self.sitting
        if RESERVE not in sitting.masks:
            sitting.preview.reserve = sitting.settling.new_mask(RESERVE)
        sitting.begin(drafting.with_mask(sitting.draft, RESERVE), sitting.chosen)
        return RESERVE

    # ---- whole shapes

    def fill(self, *points: Point) -> None:
        """Lay it in the areas of the sketch that enclose some points."""
        self._lay(Region(enclosed_at_mm=points), say("deed.fill", n=len(points)))

    def cut(self, points: Sequence[Point]) -> None:
        """Lay it within straight edges."""
        if len(points) < 3:
            raise InputError(say("refused.corners"))
        self._lay(Region(polygon_mm=tuple(points)), say("deed.cut"))

    def rule(self, start: Point, end: Point) -> None:
        """Lay a straight band as wide as the brush."""
        band = RuledBand(start=start, end=end, width=self.sitting.hand.brush.size_mm)
        self._lay(Region(band_mm=(band,)), say("deed.band"))

    def pen(self, points: Sequence[Point]) -> None:
        """Lay a line of even width, as a dip pen does."""
        line = PenLine(points=tuple(points), width=self.sitting.hand.brush.size_mm)
        self._lay(Region(pen_line_mm=(line,)), say("deed.pen"))

    def whole_sheet(self) -> None:
        """Lay it over the whole sheet."""
        sitting = self.sitting
        if sitting.chosen is None and sitting.reserve is None and not sitting.reserving:
            name = sitting.next_name()
            draft = drafting.with_step(sitting.draft, sitting.hand.step(name, SHEET))
            sitting.do(say("deed.lay", name=name), draft, chosen=len(draft.scene.steps) - 1)
        else:
            width, height = sitting.size_mm
            corners = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
            self._lay(Region(polygon_mm=corners), say("deed.whole"))

    def grade(self, start: Point, end: Point) -> None:
        """Let the wash in hand run out along a line: whole film at its start, none at its end.

        With no step in hand a new wash is laid so, over the whole sheet.
        """
        sitting, graded = self.sitting, Graded(from_mm=start, to_mm=end)
        number, draft = sitting.chosen, sitting.draft
        if number is None:
            step = sitting.hand.step(sitting.next_name(), SHEET)
        else:
            step = draft.scene.steps[number]
        if step.liquid != "ink":
            raise InputError(say("refused.grade"))
        if number is None:
            draft = drafting.with_step(draft, step)
            number = len(draft.scene.steps) - 1
        draft = drafting.with_changed_step(draft, number, graded=graded)
        sitting.do(say("deed.grade", name=step.name), draft, chosen=number)

    def flat(self) -> None:
        """Let the wash in hand lie flat again."""
        sitting = self.sitting
        if sitting.chosen is not None:
            draft = drafting.with_changed_step(sitting.draft, sitting.chosen, graded=None)
            sitting.do(say("deed.flat", name=sitting.scene.steps[sitting.chosen].name), draft)

    def _lay(self, region: Region, word: str) -> None:
        """Lay a shape: as a region of its own for a new step, else added to what is painted."""
        sitting = self.sitting
        damp = sitting.hand.brush.damp
        # a new step has the shape itself for its region
        if sitting.chosen is None and not sitting.reserving and not damp:
            name = sitting.next_name()
            called = sitting.free_region(name)
            if sitting.reserve is not None:
                values = {f: getattr(region, f) for f in region.model_fields_set}
                region = Region(**values, minus=(RESERVE,))
            draft = drafting.with_region(sitting.draft, called, region)
            draft = drafting.with_step(draft, sitting.hand.step(name, called))
            sitting.do(word, draft, chosen=len(draft.scene.steps) - 1)
            return
        # else it is added to the mask in hand, or taken from it, but not where it is stopped out
        shape = sitting.settling.cover(region)
        before = sitting.draft, sitting.chosen
        name = self._reserve() if sitting.reserving else self._own_region()
        mask = sitting.masks[name]
        rect = _box(shape)
        old = squares_of(mask, rect)
        part = shape[rect.slices]
        if not sitting.reserving and sitting.reserve is not None:
            part = np.minimum(part, FULL - sitting.reserve[rect.slices])
        mask[rect.slices] = sitting.hand.brush.laid(mask[rect.slices], part)
        # one deed
        sitting.mask_numbers[name] += 1
        change = MaskChange.of(name, old, squares_of(mask, rect))
        sitting.record(word, before[0], before[1], (change,))
        sitting.settling.settle_again(name, rect)


def _moved(old: Mask, new: Mask, damp: bool) -> np.ndarray:
    """Where film has changed; what dried unevenly stays until it is laid on again."""
    return np.asarray(new < old if damp else new > old)


def _box(shape: Mask) -> Rect:
    """The rectangle that holds all of a shape."""
    rows = np.flatnonzero(shape.any(axis=1))
    columns = np.flatnonzero(shape.any(axis=0))
    return Rect(int(rows[0]), int(columns[0]), int(rows[-1]) + 1, int(columns[-1]) + 1)
