"""Hints one at a time, each ended by doing it: the first tour, and ten things to try."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from glaze.scene.examples import scenes_folder

from .sitting import Sitting


@dataclass(frozen=True)
class Hint:
    """What to do, and whether it has been done."""

    words: str
    is_done: Callable[[Tour], bool]


@dataclass
class Tour:
    """Where the hints stand; they follow what is done, in whatever order.

    step : the hint that is shown; as many as there are once all is done, one more for no hint
    done : those that have been done
    """

    sitting: Sitting
    hints: tuple[Hint, ...] = ()
    end_words: str = ""
    step: int = 0
    done: set[int] = field(default_factory=set)

    def __post_init__(self) -> None:
        if not self.hints:
            self.hints, self.end_words = FIRST, DONE
        self._mix = self.sitting.hand.mix
        self._count = len(self.sitting.scene.steps)

    @property
    def hint(self) -> str:
        """The one hint to show now; "" when the tour is over."""
        count = len(self.hints)
        if self.step >= count:
            return self.end_words if self.step == count else ""
        mark = " (done)" if self.step in self.done else ""
        return f"{self.step + 1} of {count}{mark}   {self.hints[self.step].words}"

    @property
    def is_over(self) -> bool:
        """Whether all has been done."""
        return self.step == len(self.hints)

    def look(self) -> bool:
        """See what has been done meanwhile, and go on from it; whether the hint changed."""
        before = self.hint
        self.done |= {n for n, hint in enumerate(self.hints) if hint.is_done(self)}
        if self.step in self.done:
            after = (*range(self.step, len(self.hints)), *range(self.step))
            self.step = next((n for n in after if n not in self.done), len(self.hints))
        return self.hint != before

    def turn(self, by: int) -> None:
        """Show another hint, done or not."""
        self.step = (min(self.step, len(self.hints) - 1) + by) % len(self.hints)

    def end(self) -> None:
        """No more hints."""
        self.step = len(self.hints) + 1

    # ---- what can be seen of what was done

    def laid(self, liquid: str) -> int:
        """How many steps were laid since it began with ink, bleach or water."""
        return sum(step.liquid == liquid for step in self.sitting.scene.steps[self._count :])

    @property
    def mixed(self) -> bool:
        """Whether another mix was taken in the hand."""
        return self.sitting.hand.mix != self._mix

    def did(self, *words: str) -> bool:
        """Whether a deed that holds has one of these words in its name."""
        history = self.sitting.history
        names = [deed.name for deed in history.deeds[: history.place]]
        return any(word in name for name in names for word in words)


FIRST = (
    Hint(
        "Take a well on the table, or put drops of a bottle into the mix.",
        lambda tour: tour.mixed or tour.laid("ink") > 0,
    ),
    Hint(
        "Paint with it on the sheet, or take \u201cenclosed area\u201d and click in the sea.",
        lambda tour: tour.laid("ink") > 0,
    ),
    Hint(
        "Choose \u201cbleach lift\u201d and draw a beam from the lantern across the sky.",
        lambda tour: tour.laid("bleach") > 0,
    ),
)
DONE = "That is all there is to it: ink, order, bleach. Hold B to see the bare sketch."

TEN = (
    Hint(
        "Click Yellow, take \u201cenclosed area\u201d (3) and fill a hut; a drag fills several "
        "boards.",
        lambda tour: any(r.enclosed_at_mm for r in tour.sitting.scene.regions.values()),
    ),
    Hint(
        "Glaze: click Blue, turn it to 1 + 8 on the ladder, and lay it over some of the yellow.",
        lambda tour: tour.laid("ink") > 1,
    ),
    Hint(
        "While a step is wet, what you turn on the table changes it: drag its parts of water.",
        lambda tour: tour.did("dilution of ", "mix of ", "coats of "),
    ),
    Hint(
        "\u201cGraded\u201d (6): drag down the sky; the wash is full where you begin and runs out.",
        lambda tour: any(step.grade for step in tour.sitting.scene.steps),
    ),
    Hint(
        "Stop out: press \u201creserve\u201d (R), paint over a gull, press it again, and lay a "
        "wash there.",
        lambda tour: tour.sitting.reserve is not None and bool(tour.sitting.reserve.any()),
    ),
    Hint(
        "Let it dry (D), hold bleach (L), and brush a light along a roof; read the caution first.",
        lambda tour: tour.laid("bleach") > 0,
    ),
    Hint(
        "Drag value 4 from the scale beside the sheet onto a wall, and take one of three shadows.",
        lambda tour: tour.did("to value "),
    ),
    Hint(
        "Drag a step up or down in the order; a line says what that changes.",
        lambda tour: tour.did(" earlier", " later"),
    ),
    Hint(
        "Look in \u201cthree values\u201d: does the picture still read? Then look as it will "
        "look again.",
        lambda tour: tour.sitting.preview.view.way in ("three values", "five values"),
    ),
    Hint(
        "Keep a version (V), change a wash, keep another, and mark one left, one right of "
        "the line.",
        lambda tour: tour.sitting.preview.view.compared is not None,
    ),
)
TEN_DONE = "You have tried all ten. The same waits on a sketch of your own."


def sketch_to_try() -> Path:
    """The bare sketch on which ten things are tried."""
    return scenes_folder() / "huts" / "sketch.png"
