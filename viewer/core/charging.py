"""What was laid into something wet, solved again in the background once a stroke has ended.

A passage dries as a whole, however small the stroke; so it is left as it was while the pen moves,
and only the last of several strokes is waited for. It is solved in coarse cells first, which shows
where it goes, and then as the saved scene has it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from glaze.errors import InputError
from glaze.painting.settle import Painting, lasting
from glaze.region.combine import Cover
from glaze.step.charge_step import NotWetError
from glaze.step.ground import Ground
from glaze.step.kind import PaintedStep, Step

from .drafting import Draft, without_charge
from .saying import problems, say
from .squares import Mask
from .worker import Worker

COARSE_MM = 1.5
"""Cells of the first look: nine times fewer, and fewer steps of time."""

Laid = Sequence[tuple[Step, Cover]]
"""The steps of a draft, each with where it lies."""


def soaked(steps: Sequence[PaintedStep], mask: Mask) -> list[int]:
    """Numbers of the steps that were laid into something wet of which a painted region is part."""
    first: dict[str, int] = {}
    homes = []
    for number, painted in enumerate(steps):
        into = painted.step.joins
        homes.append(number if into is None else first.get(into, number))
        first[painted.name] = homes[-1]
    wet = {home for home, painted in zip(homes, steps, strict=True) if painted.coverage is mask}
    return [
        number
        for number, (home, painted) in enumerate(zip(homes, steps, strict=True))
        if painted.step.joins is not None and home in wet
    ]


def waits_words(error: NotWetError) -> str:
    """Why a charge can't be laid any more, and that it isn't lost."""
    return say("waiting.charge", why=problems(error), name=error.charge)


def as_far_as_wet(draft: Draft, paint: Callable[[Draft], Painting]) -> tuple[Draft, Painting, str]:
    """A draft painted, without charges that can't be laid: those are set aside, in words."""
    words: list[str] = []
    while True:
        try:
            return draft, paint(draft), "   ".join(words)
        except NotWetError as error:
            words.append(waits_words(error))
            draft = without_charge(draft, error.charge)


class Charging:
    """Settles steps again, the latest that was asked for; earlier ones are let go.

    take : gets the steps that were settled, by number
    refused : gets what is wrong
    """

    def __init__(
        self,
        take: Callable[[dict[int, PaintedStep]], None],
        refused: Callable[[InputError], None],
    ) -> None:
        self.worker = Worker()
        self._take, self._refused = take, refused
        self._asked: tuple[list[int], Laid, Ground] | None = None

    def ask(self, numbers: list[int], laid: Laid, ground: Ground) -> None:
        """Settle some of a draft's steps again."""
        waiting = self.worker.busy
        self._asked = numbers, laid, ground
        if not waiting:
            self._start()

    def let_go(self) -> None:
        """Another draft is settled as a whole: nothing of this one is wanted any more."""
        self._asked = None

    def _start(self) -> None:
        if self._asked is not None:
            self._settle(self._asked, coarse=True)

    def _settle(self, asked: tuple[list[int], Laid, Ground], coarse: bool) -> None:
        """In coarse cells, and then again in those of the scene."""

        def take(found: dict[int, PaintedStep]) -> None:
            if self._asked is not asked:
                self._start()
                return
            self._take(found)
            if coarse:
                self._settle(asked, coarse=False)
            else:
                self._asked = None

        def refused(error: InputError) -> None:
            if self._asked is not asked:
                self._start()
            else:
                self._asked = None
                self._refused(error)

        self.worker.do(lambda: _settled(*asked, coarse), take, refused)


def _settled(
    numbers: list[int], laid: Laid, ground: Ground, coarse: bool
) -> dict[int, PaintedStep]:
    """Some steps settled, with all worked out that is laid."""
    if coarse:
        ground = replace(ground, cell_mm=COARSE_MM)
    found = {
        n: laid[n][0].settled(replace(ground, earlier=tuple(laid[:n])), laid[n][1]) for n in numbers
    }
    for painted in lasting(list(found.values())):
        painted.made_ready()
    return found
