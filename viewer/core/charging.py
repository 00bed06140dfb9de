"""What was laid into something wet, solved again in the background once a stroke has ended.

A passage dries as a whole, however small the stroke; so it is left as it was while the pen moves,
and only the last of several strokes is waited for.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from glaze.errors import InputError
from glaze.region.combine import Cover
from glaze.step.kind import Ground, PaintedStep, Step

from .brush import Mask
from .worker import Worker

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
        asked = self._asked
        if asked is None:
            return
        numbers, laid, ground = asked

        def job() -> dict[int, PaintedStep]:
            return {
                n: laid[n][0].settled(replace(ground, earlier=tuple(laid[:n])), laid[n][1])
                for n in numbers
            }

        def take(found: dict[int, PaintedStep]) -> None:
            if self._asked is asked:
                self._asked = None
                self._take(found)
            else:
                self._start()

        def refused(error: InputError) -> None:
            if self._asked is asked:
                self._asked = None
                self._refused(error)
            else:
                self._start()

        self.worker.do(job, take, refused)
