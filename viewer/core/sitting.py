"""A sitting: what is open, what is in the hand, and every deed by name.

Everything the window can do is a method here. What takes long comes back in `tick`, which the
window calls many times a second; `finish` waits for all of it. Listeners are told through the
signals, never asked.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from psygnal import Signal

from glaze.errors import InputError
from glaze.scene.called import free_name
from glaze.scene.records import Scene
from glaze.sheet.rect import Rect
from glaze.step.charge_step import NotWetError
from glaze.step.kind import Step

from . import drafting
from .charging import waits_words
from .drafting import Draft
from .hand import Hand
from .history import Deed, History, MaskChange
from .opened import RESERVE, Opened
from .preview import Preview
from .saying import problems
from .squares import Corner
from .views import View

KEEP = -1


class Sitting(Opened):
    """One scene on the table.

    chosen : number of the step in hand, None if the next stroke begins a new one
    preview : the picture, worked out while it is painted
    """

    told = Signal(str)
    done = Signal(object)
    """Something was done or taken back; squares of painted regions as they are now, by region."""
    draft_changed = Signal()
    chosen_changed = Signal()
    hand_changed = Signal()
    picture_changed = Signal(object)
    view_changed = Signal()
    painted = Signal()
    versions_changed = Signal()

    def __init__(self, scene: Scene, aside: frozenset[int] = frozenset(), home: Path | None = None):
        super().__init__(scene, aside, home)
        self.history = History()
        self.chosen: int | None = None
        self.hand = Hand(mix=_first_mix(scene))
        self.reserving = False
        self._masks_at_first = len(self.masks)
        self.preview = Preview(self.painting)
        self.preview.coarse_everywhere()
        self.settling.adopted.connect(self._adopt)
        self.settling.reached.connect(self._reached)
        self.settling.refused.connect(self._refused)

    # ---- deeds

    def do(
        self,
        name: str,
        draft: Draft,
        masks: tuple[MaskChange, ...] = (),
        chosen: int | None = KEEP,
        merge: str = "",
    ) -> None:
        """Do something that has a name and can be taken back.

        Raises
        ------
        InputError : what is wrong with it; nothing is changed
        """
        before, chosen = self.draft, self.chosen if chosen == KEEP else chosen
        # what lost its last step goes with it
        left = self.scene.regions.keys() & self.unneeded(draft) - self.unneeded(before)
        draft = drafting.without_regions(draft, left)
        deed = Deed(name, before, draft, masks, self.chosen, chosen, merge, self.hand)
        self.settling.follow(draft)
        self.history.add(deed)
        self._let_go()
        self._choose(chosen)
        self._was_done(masks, "after")

    def begin(self, draft: Draft, chosen: int | None) -> None:
        """Follow a draft that a stroke or shape needs before it can be laid; `record` names it."""
        if draft != self.draft:
            self.settling.follow(draft)
        self._choose(chosen)

    def record(
        self, name: str, before: Draft, chosen: int | None, masks: tuple[MaskChange, ...]
    ) -> None:
        """Name what has been done since a draft, so that it can be taken back."""
        deed = Deed(name, before, self.draft, masks, chosen, self.chosen, hand_before=self.hand)
        self.history.add(deed)
        self._let_go()
        self._was_done(masks, "after")

    def _let_go(self) -> None:
        """Pack painted regions that only deeds bring back; let go of those that none can."""
        self.settling.rest()
        if len(self.masks) <= 2 * self._masks_at_first + 8:
            return
        drafts = [draft for deed in self.history.deeds for draft in (deed.before, deed.after)]
        drafts += [draft for draft in (self.draft, self.saved_draft) if draft is not None]
        needed = {RESERVE}.union(*(draft.scene.regions for draft in drafts))
        self.settling.forget(self.masks.keys() - needed)
        self._masks_at_first = len(self.masks)

    def _was_done(self, masks: tuple[MaskChange, ...], when: str) -> None:
        self.draft_changed.emit()
        self.done.emit({change.region: getattr(change, when) for change in masks})

    def next_name(self) -> str:
        """A name for a new step, of what it is laid with."""
        called = self.hand.called(self.scene.wells)
        return free_name(called, {s.name for s in self.scene.steps})

    def renamed(self, step: Step, hand: Hand) -> str:
        """The name of a step laid with another hand, where it was named after its mix; else ""."""
        wells = self.scene.wells
        before, after = self.hand.taking(step).called(wells), hand.called(wells)
        if before == after or step.name.rstrip(" 0123456789") != before:
            return ""
        return free_name(after, {s.name for s in self.scene.steps if s is not step})

    def take_back(self) -> str | None:
        """Take the last deed back; gives its name."""
        deed = self.history.back()
        if deed is not None:
            self._put(deed.before, deed.chosen_before, deed, "before")
        return deed.name if deed else None

    def do_again(self) -> str | None:
        """Do again what was taken back; gives its name."""
        deed = self.history.again()
        if deed is not None:
            self._put(deed.after, deed.chosen_after, deed, "after")
        return deed.name if deed else None

    def _put(self, draft: Draft, chosen: int | None, deed: Deed, when: str) -> None:
        same = draft == self.draft
        for change in deed.masks:
            rect = self.settling.put_back(change.region, getattr(change, when))
            if same:
                self.settling.settle_again(change.region, rect)
        if not same:
            self.settling.follow(draft)
        self._choose(chosen)
        # the hand holds what the step in hand is laid with now, or what it held before the deed
        hand = self.hand
        if self.chosen is not None:
            hand = hand.taking(self.scene.steps[self.chosen])
        elif when == "before" and deed.hand_before is not None:
            hand = replace(deed.hand_before, brush=hand.brush)
        self.hold(hand)
        self._was_done(deed.masks, when)

    def _choose(self, number: int | None) -> None:
        if number is not None and not 0 <= number < len(self.scene.steps):
            number = None
        if number != self.chosen:
            self.chosen = number
            self.chosen_changed.emit()

    def choose(self, number: int | None) -> None:
        """Take a step in hand, or none: the next stroke then begins a new step."""
        self.history.settle()
        self._choose(number)
        if self.chosen is not None:
            self.hold(self.hand.taking(self.scene.steps[self.chosen]))

    def hold(self, hand: Hand) -> None:
        """Take something else in the hand."""
        if hand != self.hand:
            self.hand = hand
            self.hand_changed.emit()

    # ---- what follows from it

    def _adopt(self, tiles: set[Corner] | None) -> None:
        """Show another painting."""
        if self.preview.painting.shape != self.painting.shape:
            self.preview.close()
            # no version has that size
            view = replace(self.preview.view, left=None, right=None)
            self.preview = Preview(self.painting, view)
            self.preview.coarse_everywhere()
        rects = self.preview.show(self.painting, tiles=tiles)
        self.picture_changed.emit(rects)
        self.painted.emit()

    def _reached(self, rects: list[Rect]) -> None:
        for rect in rects:
            self.preview.touch(rect)
        self.painted.emit()

    def _refused(self, error: InputError, good: Draft) -> None:
        """It can't be painted: as if it hadn't been done, nor what was done on it meanwhile."""
        if isinstance(error, NotWetError):
            self._set_aside(error)
            return
        self.told.emit(problems(error))
        undone = []
        while self.draft != good and (deed := self.history.back()) is not None:
            undone.append(deed)
            for change in deed.masks:
                self.settling.put_back(change.region, change.before)
            if deed.before == good:
                self.settling.follow(good)
        for deed in undone:
            self._choose(deed.chosen_before)
            self._was_done(deed.masks, "before")

    def _set_aside(self, error: NotWetError) -> None:
        """A charge can't be laid any more: it waits, and what was painted stays."""
        self.told.emit(waits_words(error))
        draft = drafting.without_charge(self.draft, error.charge)
        self.history.amend(draft)
        self.settling.follow(draft)
        self._was_done((), "after")

    # ---- painted regions

    def free_region(self, name: str) -> str:
        """A name like this one that no region has, nor had while a deed can bring it back."""
        return free_name(name, {*self.scene.regions, *self.masks})

    def paintable(self, number: int) -> tuple[str, Draft]:
        """A painted region that a step has for itself, and the draft in which it has it."""
        step = self.scene.steps[number]
        draft = drafting.with_step_laid(self.draft, number, True)
        if isinstance(step.region, str) and self._is_its_own(step.region):
            return step.region, draft
        name = self.free_region(step.name)
        painted = self.settling.painted_step(number)
        coverage = self.settling.cover(step.region) if painted is None else painted.coverage
        self.settling.new_mask(name, coverage, painted)
        draft = drafting.with_mask(draft, name)
        return name, drafting.with_changed_step(draft, number, region=name)

    def _is_its_own(self, region: str) -> bool:
        """Whether a region is painted and serves one step only."""
        needed = {name for other in self.scene.regions.values() for name in other.needs}
        users = sum(step.region == region for step in self.scene.steps)
        return self.is_painted(region) and users == 1 and region not in needed

    # ---- looking

    def look(self, view: View) -> None:
        """Look at the sheet in another way."""
        if view == self.preview.view:
            return
        self.preview.reserve = self.reserve
        rects = self.preview.show(self.painting, view)
        self.view_changed.emit()
        self.picture_changed.emit(rects)

    # ---- time

    def tick(self, seconds: float = 0.02) -> None:
        """Take in what has been worked out meanwhile."""
        self.settling.work.poll()
        changed = self.preview.collect(seconds)
        if changed:
            self.picture_changed.emit(changed)

    @property
    def busy(self) -> bool:
        """Whether anything is still being worked out."""
        return self.settling.work.busy or self.preview.busy

    def finish(self) -> None:
        """Wait until everything is worked out."""
        while self.busy:
            self.settling.work.finish()
            self.preview.finish()

    def close(self) -> None:
        """Let the threads go."""
        self.settling.work.close()
        self.preview.close()


def _first_mix(scene: Scene) -> str:
    """What the brush holds at the start: the first well, or the first bottle thinned."""
    if scene.wells:
        return next(iter(scene.wells))
    return "Blue 1 part + water 8 parts"
