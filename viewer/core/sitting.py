"""A sitting: what is open, what has changed, and what has to be worked out again.

Everything the window can do is a method here. What takes long goes to one worker and comes back
in `tick`, which the window calls many times a second; `finish` waits for all of it. Listeners are
told through the signals, never asked.
"""

from __future__ import annotations

from pathlib import Path
from zlib import crc32

import numpy as np
from numpy.typing import NDArray
from psygnal import Signal

from glaze.errors import InputError
from glaze.painting.memory import NotSettledError, Settled
from glaze.painting.settle import PaintedStep, Painting, Settler, resolve
from glaze.patch.table import Table, table_of_scene
from glaze.scene.records import Region, Scene, Step, Wash
from glaze.sheet.rect import Rect
from glaze.sketch.line import Sketch
from viewer.core import drafting
from viewer.core.brush import Mask, put_back
from viewer.core.differences import changed_tiles
from viewer.core.drafting import Draft
from viewer.core.hand import Hand
from viewer.core.history import Deed, History, MaskChange
from viewer.core.preview import Preview
from viewer.core.views import View
from viewer.core.worker import Worker

RESERVE = "painted reserve"
"""The region that the reserve brush paints: washes and lifts laid later stay out of it."""

KEEP = -1


class Sitting:
    """One scene on the table.

    draft : the scene, with all its steps, and what is set aside
    home : the folder or .zip it is saved to; None if it has none yet
    masks : painted regions by name; they change in place, the sketch file never does
    chosen : number of the step in hand, None if the next stroke begins a new one
    measured : what has been measured on settled fields, by their id, until one of them changes
    """

    told = Signal(str)
    draft_changed = Signal()
    chosen_changed = Signal()
    hand_changed = Signal()
    picture_changed = Signal(object)
    view_changed = Signal()
    painted = Signal()

    def __init__(self, scene: Scene, aside: frozenset[int] = frozenset(), home: Path | None = None):
        self.draft = Draft(scene, aside)
        self.home = home
        self.masks: dict[str, Mask] = {}
        self.mask_numbers: dict[str, int] = {}
        self.history = History()
        self.chosen: int | None = None
        self.hand = Hand(mix=_first_mix(scene))
        self.reserving = False
        self.saved_draft: Draft | None = self.draft
        self.saved_masks: dict[str, int] = {}
        self.settled = Settled()
        self.measured: dict[int, tuple[object, object]] = {}
        self.worker = Worker()
        self._wanted = 0
        self._waiting: list[tuple[Mask, Rect]] = []
        self._settling = False
        self._table: tuple[Scene, Table] | None = None
        self.painting = resolve(self.draft.laid, settled=self.settled)
        self.preview = Preview(self.painting)
        self.preview.coarse_everywhere()
        self._find_masks()

    def _find_masks(self) -> None:
        """Regions that are nothing but a picture go on being painted where they were left."""
        for name, region in self.scene.regions.items():
            if region.mask and not (region.needs or region.soft_mm):
                mask = self.settled.kept.covers[name]
                mask.flags.writeable = True
                self.masks[name], self.mask_numbers[name] = mask, 0
        self.saved_masks = dict(self.mask_numbers)

    # ---- what is open

    @property
    def scene(self) -> Scene:
        """The scene with all its steps."""
        return self.draft.scene

    @property
    def table(self) -> Table:
        """The bottles, wells and paper of the scene."""
        scene = self.draft.scene
        if self._table is None or not _same_table(self._table[0], scene):
            self._table = scene, table_of_scene(scene)
        return self._table[1]

    @property
    def changed(self) -> bool:
        """Whether anything has changed since it was saved."""
        return self.draft != self.saved_draft or self.mask_numbers != self.saved_masks

    def saved(self, home: Path, draft: Draft, numbers: dict[str, int]) -> None:
        """It has been saved as it was with a draft and numbers of its masks."""
        self.home, self.saved_draft, self.saved_masks = home, draft, numbers

    def move_to(self, folder: Path) -> None:
        """Read the scene's files from another folder, which holds the same, from now on."""
        self.draft = Draft(self.scene.in_folder(folder), self.draft.aside)
        self.history = History()

    def painted_step(self, number: int) -> PaintedStep | None:
        """A step as it is settled; None if it is set aside or not settled yet."""
        place = self.draft.place(number)
        if place is None:
            return None
        # the sketch's own line may be a step before all others
        place += len(self.painting.steps) - len(self.draft.laid.steps)
        found = self.painting.steps[place] if 0 <= place < len(self.painting.steps) else None
        return found if found and found.name == self.scene.steps[number].name else None

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
        deed = Deed(name, before, draft, masks, self.chosen, chosen, merge)
        self._go_to(draft)
        self.history.add(deed)
        self._choose(chosen)
        self.draft_changed.emit()

    def begin(self, draft: Draft, chosen: int | None) -> None:
        """Follow a draft that a stroke or shape needs before it can be laid; `record` names it."""
        if draft != self.draft:
            self._go_to(draft)
        self._choose(chosen)

    def record(
        self, name: str, before: Draft, chosen: int | None, masks: tuple[MaskChange, ...]
    ) -> None:
        """Name what has been done since a draft, so that it can be taken back."""
        self.history.add(Deed(name, before, self.draft, masks, chosen, self.chosen))
        self.draft_changed.emit()

    def next_name(self) -> str:
        """A name for a new step, of what it is laid with."""
        if self.hand.kind != "wash":
            wanted = self.hand.kind
        else:
            lone = self.hand.mix.split("+")[0].rstrip(" 0123456789").removesuffix(" part")
            wanted = lone.strip(" 0123456789") or "wash"
            wanted = wanted if wanted in self.scene.wells else f"{wanted.lower()} wash"
        return drafting.free_name(wanted, {step.name for step in self.scene.steps})

    def grade_of(self, step: Step) -> NDArray[np.float32] | None:
        """Film of a graded wash as a share; None for anything else."""
        if not isinstance(step, Wash):
            return None
        return self.settled.grade(step.graded, self.scene, self.sketch)

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height of the sheet [mm]."""
        return self.sketch.size_mm

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
            mask = self.masks[change.region]
            rect = put_back(mask, dict(getattr(change, when)))
            self.mask_numbers[change.region] += 1
            if same:
                self.settle_again(change.region, rect)
            else:
                self.settled.fields = {
                    k: v for k, v in self.settled.fields.items() if k[0] != id(mask)
                }
                self.settled.forget({change.region}, self.scene.regions)
                self.settled.kept.covers[change.region] = mask
        if not same:
            self._go_to(draft)
        self._choose(chosen)
        self.draft_changed.emit()

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

    # ---- painting it again

    def _go_to(self, draft: Draft) -> None:
        """Follow a new draft: settle it at once if nothing takes long, else in the background."""
        old, self.draft = self.draft, draft
        self._forget_changed(old.scene, draft.scene)
        self._wanted += 1
        self.settled.closed = True
        try:
            painting = resolve(draft.laid, settled=self.settled)
        except NotSettledError:
            self._settle_later(old, self._wanted)
        except InputError:
            self.draft = old
            raise
        else:
            self._settling = False
            self._adopt(painting)
        finally:
            self.settled.closed = False

    def _forget_changed(self, old: Scene, new: Scene) -> None:
        if old.sketch != new.sketch or old.dpi != new.dpi or old.size_mm != new.size_mm:
            self.settled = Settled()
            self._own_masks()
            return
        if old.paper != new.paper:
            self.settled.fields.clear()
        every = {**old.regions, **new.regions}
        names = {n for n in every if old.regions.get(n) != new.regions.get(n)}
        self.settled.forget(names - self.masks.keys(), every)
        self._own_masks()

    def _own_masks(self) -> None:
        """Painted regions are known by their arrays, not by their files."""
        for name, mask in self.masks.items():
            self.settled.kept.covers[name] = mask

    def _settle_later(self, old: Draft, number: int) -> None:
        settled, scene = self.settled.copy(), self.draft.laid
        settled.closed = False
        self._settling = True

        def take(painting: Painting) -> None:
            if number != self._wanted:
                return
            self._settling = False
            for name in ("own", "grades", "fields"):
                getattr(self.settled, name).update(getattr(settled, name))
            self.settled.kept.covers.update(settled.kept.covers)
            self.settled.kept.areas.update(settled.kept.areas)
            self._own_masks()
            self._adopt(painting)

        def fail(error: Exception) -> None:
            if not isinstance(error, InputError):
                raise error
            if number != self._wanted:
                return
            self._settling = False
            self.told.emit(" ".join(error.problems))
            if self.draft != old:
                # it can't be painted: as if it hadn't been done
                self.history.back()
                self._go_to(old)
                self._choose(self.chosen)
                self.draft_changed.emit()

        self.worker.do(lambda: resolve(scene, settled=settled), take, fail)

    def _adopt(self, painting: Painting) -> None:
        tiles = changed_tiles(self.painting, painting)
        if self.painting.shape != painting.shape:
            self.preview.close()
            self.preview = Preview(painting, self.preview.view)
            self.preview.coarse_everywhere()
        self.painting = painting
        if len(self.measured) > 200:
            self.measured.clear()
        rects = self.preview.show(painting, tiles=tiles)
        self._prune()
        # strokes that ended while the painting was being settled
        waiting, self._waiting = self._waiting, []
        for mask, rect in waiting:
            self._settle_mask(mask, rect)
        self.picture_changed.emit(rects)
        self.painted.emit()

    def _prune(self) -> None:
        """Let fields go that no step uses any more, once there are many of them."""
        if len(self.settled.fields) <= 2 * len(self.painting.steps) + 12:
            return
        used = {id(getattr(s, n, None)) for s in self.painting.steps for n in ("thickness", "dose")}
        self.settled.fields = {
            key: value
            for key, value in self.settled.fields.items()
            if id(value[1][0] if isinstance(value[1], tuple) else value[1]) in used
        }

    # ---- painted regions

    def settle_again(self, region: str, rect: Rect) -> None:
        """A painted region has changed within a rectangle: settle what lies on it again."""
        made_from = self.settled.forget({region}, self.scene.regions) - {region}
        mask = self.masks[region]
        self.settled.kept.covers[region] = mask
        if made_from:
            self._go_to(self.draft)
        elif self._settling:
            self._waiting.append((mask, rect))
        else:
            self._settle_mask(mask, rect)

    def _settle_mask(self, mask: Mask, rect: Rect) -> None:
        painting = self.painting
        settler = Settler(self.draft.laid, painting.table, self.sketch, settled=self.settled)
        jobs = [
            (painted, step)
            for painted, step in self.pairs()
            if getattr(painted, "coverage", None) is mask
        ]

        def job() -> list[Rect]:
            return [settler.again(painted, step, rect) for painted, step in jobs] or [rect]

        def take(reached: list[Rect]) -> None:
            self.measured.clear()
            for part in reached:
                self.preview.touch(part)
            self.painted.emit()

        self.worker.do(job, take)

    @property
    def sketch(self) -> Sketch:
        """The sketch, cleaned of its paper."""
        assert self.settled.sketch is not None
        return self.settled.sketch

    def pairs(self) -> list[tuple[PaintedStep, Step]]:
        """The steps as they are settled, each with its record."""
        steps = self.draft.laid.steps
        first = len(self.painting.steps) - len(steps)
        return list(zip(self.painting.steps[first:], steps, strict=True)) if first >= 0 else []

    def new_mask(self, name: str, copy_of: Mask | None = None) -> Mask:
        """A painted region: bare, or beginning as another region is."""
        mask = np.zeros(self.painting.shape, np.uint16) if copy_of is None else copy_of.copy()
        self.masks[name] = mask
        self.mask_numbers[name] = 0
        self.settled.kept.covers[name] = mask
        if copy_of is not None:
            self._copy_fields(copy_of, mask)
        return mask

    def _copy_fields(self, old: Mask, new: Mask) -> None:
        """What follows from a coverage follows from its copy; arrays are copied as well."""
        for key, (_, value) in list(self.settled.fields.items()):
            if key[0] == id(old):
                parts = value if isinstance(value, tuple) else (value,)
                copies = tuple(None if part is None else part.copy() for part in parts)
                made = copies if isinstance(value, tuple) else copies[0]
                self.settled.fields[id(new), *key[1:]] = new, made

    def paintable(self, number: int) -> tuple[str, Draft]:
        """A painted region that a step has for itself, and the draft in which it has it."""
        step = self.scene.steps[number]
        draft = drafting.with_step_laid(self.draft, number, True)
        if isinstance(step.region, str) and self._is_its_own(step.region):
            return step.region, draft
        name = drafting.free_name(step.name, {**self.scene.regions, **self.masks})
        painted = self.painted_step(number)
        coverage = getattr(painted, "coverage", None)
        if coverage is None:
            coverage = self.settled.cover(step.region, self.scene, self.sketch)
        self.new_mask(name, coverage)
        return name, drafting.with_changed_step(self.with_mask(draft, name), number, region=name)

    def _is_its_own(self, region: str) -> bool:
        """Whether a region is painted and serves one step only."""
        needed = {name for other in self.scene.regions.values() for name in other.needs}
        users = sum(step.region == region for step in self.scene.steps)
        return region in self.masks and users == 1 and region not in needed

    def with_mask(self, draft: Draft, name: str) -> Draft:
        """The draft with a painted region in it, whose picture is written when it is saved."""
        if name in draft.scene.regions:
            return draft
        return drafting.with_region(draft, name, Region(mask=mask_file(name)))

    # ---- looking

    def look(self, view: View) -> None:
        """Look at the sheet in another way."""
        if view == self.preview.view:
            return
        self.preview.reserve = self.masks.get(RESERVE)
        rects = self.preview.show(self.painting, view)
        self.view_changed.emit()
        self.picture_changed.emit(rects)

    # ---- time

    def tick(self, seconds: float = 0.02) -> None:
        """Take in what has been worked out meanwhile."""
        self.worker.poll()
        changed = self.preview.collect(seconds)
        if changed:
            self.picture_changed.emit(changed)

    @property
    def busy(self) -> bool:
        """Whether anything is still being worked out."""
        return self.worker.busy or self.preview.busy

    def finish(self) -> None:
        """Wait until everything is worked out."""
        while self.busy:
            self.worker.finish()
            self.preview.finish()

    def close(self) -> None:
        """Let the threads go."""
        self.worker.close()
        self.preview.close()


def mask_file(region: str) -> str:
    """Name of the picture of a painted region in the scene's folder."""
    plain = "".join(c if c.isalnum() or c in "-_" else "-" for c in region.lower())
    # two regions whose plain names agree must not share a file
    return f"masks/{plain[:40]}-{crc32(region.encode()):08x}.png"


def _same_table(a: Scene, b: Scene) -> bool:
    """Whether two scenes lay out the same things."""
    keys = ("palette", "paper", "light", "wells", "room", "bleach", "folder")
    return all(getattr(a, key) == getattr(b, key) for key in keys)


def _first_mix(scene: Scene) -> str:
    """What the brush holds at the start: the first well, or the first bottle thinned."""
    if scene.wells:
        return next(iter(scene.wells))
    return "Blue 1 part + water 8 parts"
