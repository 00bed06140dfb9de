"""Hints one at a time, each ended by doing it: the first tour, and ten things to try."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from glaze.scene.examples import scenes_folder

from .saying import say, spoken_words
from .sitting import Sitting


@dataclass(frozen=True)
class Hint:
    """What to do, by its key in the window's words, and whether it has been done."""

    key: str
    is_done: Callable[[Tour], bool]


@dataclass
class Tour:
    """Where the hints stand; they follow what is done, in whatever order.

    step : the hint that is shown; as many as there are once all is done, one more for no hint
    done : those that have been done
    """

    sitting: Sitting
    hints: tuple[Hint, ...] = ()
    end_key: str = ""
    step: int = 0
    done: set[int] = field(default_factory=set)

    def __post_init__(self) -> None:
        if not self.hints:
            self.hints, self.end_key = FIRST, FIRST_END
        self._mix = self.sitting.hand.mix
        self._count = len(self.sitting.scene.steps)

    @property
    def hint(self) -> str:
        """The one hint to show now; "" when the tour is over."""
        count = len(self.hints)
        if self.step >= count:
            return say(f"tour.{self.end_key}") if self.step == count else ""
        mark = say("tour.done") if self.step in self.done else ""
        words = say(f"tour.{self.hints[self.step].key}")
        return say("tour.place", step=self.step + 1, count=count, mark=mark, words=words)

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

    def did(self, *keys: str) -> bool:
        """Whether a deed that holds has one of these names, by their keys."""
        history, words = self.sitting.history, spoken_words()
        names = [deed.name for deed in history.deeds[: history.place]]
        return any(words.is_told(f"deed.{key}", name) for name in names for key in keys)


FIRST = (
    Hint("first_mix", lambda tour: tour.mixed or tour.laid("ink") > 0),
    Hint("first_lay", lambda tour: tour.laid("ink") > 0),
    Hint("first_lift", lambda tour: tour.laid("bleach") > 0),
)
FIRST_END = "first_end"

TEN = (
    Hint(
        "ten_fill",
        lambda tour: any(r.enclosed_at_mm for r in tour.sitting.scene.regions.values()),
    ),
    Hint("ten_glaze", lambda tour: tour.laid("ink") > 1),
    Hint("ten_wet", lambda tour: tour.did("dilution", "mix", "coats")),
    Hint("ten_graded", lambda tour: any(step.grade for step in tour.sitting.scene.steps)),
    Hint(
        "ten_reserve",
        lambda tour: tour.sitting.reserve is not None and bool(tour.sitting.reserve.any()),
    ),
    Hint("ten_lift", lambda tour: tour.laid("bleach") > 0),
    Hint("ten_value", lambda tour: tour.did("to_value")),
    Hint("ten_order", lambda tour: tour.did("earlier", "later")),
    Hint(
        "ten_look",
        lambda tour: tour.sitting.preview.view.way in ("three values", "five values"),
    ),
    Hint("ten_versions", lambda tour: tour.sitting.preview.view.compared is not None),
)
TEN_END = "ten_end"


def sketch_to_try() -> Path:
    """The bare sketch on which ten things are tried."""
    return scenes_folder() / "huts" / "sketch.png"
