"""Everything that was done, by name, to take back and to do again.

A deed keeps what the draft was before and after, and the squares of painted masks that changed.
Drafts are records that never change, so keeping them costs nothing; squares are counted, and the
oldest deeds are let go when they take too much memory.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from .drafting import Draft
from .hand import Hand
from .squares import Mask, Squares, squares_of


@dataclass(frozen=True, eq=False)
class MaskChange:
    """Squares of a painted region before and after; `before` is None where it was begun."""

    region: str
    before: Squares
    after: Squares

    @classmethod
    def of(cls, region: str, before: Squares, after: Squares) -> MaskChange:
        """The squares of a region that have become others."""
        moved = [at for at in after if before[at] != after[at]]
        return cls(region, {at: before[at] for at in moved}, {at: after[at] for at in moved})

    @classmethod
    def between(cls, region: str, old: Mask, new: Mask) -> MaskChange:
        """What makes another of a region, both uint16, shape (rows, columns)."""
        return cls.of(region, squares_of(old), squares_of(new))

    @property
    def size(self) -> int:
        """Memory it takes [bytes]."""
        both = (*self.before.values(), *self.after.values())
        return sum(len(part.data) for part in both)


@dataclass(frozen=True, eq=False)
class Deed:
    """One named thing that was done.

    before, after : the draft
    masks : painted regions that changed
    chosen_before, chosen_after : which step was in hand
    hand_before : what the hand held
    merge : deeds of the same kind in a row become one; "" for a deed of its own
    """

    name: str
    before: Draft
    after: Draft
    masks: tuple[MaskChange, ...] = ()
    chosen_before: int | None = None
    chosen_after: int | None = None
    merge: str = ""
    hand_before: Hand | None = None

    @property
    def size(self) -> int:
        """Memory it takes [bytes]; a draft is counted as a kilobyte."""
        return 1024 + sum(change.size for change in self.masks)


@dataclass(eq=False)
class History:
    """Deeds in order, and how many of them hold now.

    most_bytes : when the deeds take more, the oldest are let go; the last one always stays
    """

    most_bytes: int = 256_000_000
    deeds: list[Deed] = field(default_factory=list)
    place: int = 0

    def add(self, deed: Deed) -> None:
        """A new deed: what had been taken back is gone.

        Deeds of the same `merge` in a row, as a dilution dragged along its ladder, become one.
        """
        del self.deeds[self.place :]
        last = self.deeds[-1] if self.deeds else None
        if last and deed.merge and last.merge == deed.merge and not (last.masks or deed.masks):
            deed = replace(last, name=deed.name, after=deed.after, chosen_after=deed.chosen_after)
            self.deeds.pop()
        self.deeds.append(deed)
        while len(self.deeds) > 1 and self.size > self.most_bytes:
            del self.deeds[0]
        self.place = len(self.deeds)

    def amend(self, after: Draft) -> None:
        """The last deed has led to another draft; taking it back takes that back as well."""
        if self.place:
            last = self.deeds[self.place - 1]
            self.deeds[self.place - 1] = replace(last, after=after)

    def settle(self) -> None:
        """End a run of deeds that become one: the next of its kind is a deed of its own."""
        if self.deeds and self.deeds[-1].merge:
            self.deeds[-1] = replace(self.deeds[-1], merge="")

    def back(self) -> Deed | None:
        """The deed to take back, which no longer holds; None if there is none."""
        if self.place == 0:
            return None
        self.place -= 1
        return self.deeds[self.place]

    def again(self) -> Deed | None:
        """The deed to do again; None if there is none."""
        if self.place == len(self.deeds):
            return None
        self.place += 1
        return self.deeds[self.place - 1]

    @property
    def size(self) -> int:
        """Memory all deeds take [bytes]."""
        return sum(deed.size for deed in self.deeds)

    @property
    def back_name(self) -> str | None:
        """Name of what would be taken back."""
        return self.deeds[self.place - 1].name if self.place else None

    @property
    def again_name(self) -> str | None:
        """Name of what would be done again."""
        return self.deeds[self.place].name if self.place < len(self.deeds) else None
