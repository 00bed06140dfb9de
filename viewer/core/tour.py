"""The first tour: three steps on the lighthouse, each ended by doing it."""

from __future__ import annotations

from dataclasses import dataclass

from viewer.core.sitting import Sitting

STEPS = (
    "1 of 3   Take a well on the table, or put drops of a bottle into the mix.",
    "2 of 3   Paint with it on the sheet, or take \u201cenclosed area\u201d and click in the sea.",
    "3 of 3   Choose \u201cbleach lift\u201d and draw a beam from the lantern across the sky.",
)
DONE = "That is all there is to it: ink, order, bleach. Hold B to see the bare sketch."


@dataclass
class Tour:
    """Where the tour stands; it follows what is done."""

    sitting: Sitting
    step: int = 0

    def __post_init__(self) -> None:
        self._mix = self.sitting.hand.mix
        self._count = len(self.sitting.scene.steps)

    @property
    def hint(self) -> str:
        """The one hint to show now; "" when the tour is over."""
        if self.step < len(STEPS):
            return STEPS[self.step]
        return DONE if self.step == len(STEPS) else ""

    def look(self) -> bool:
        """See whether the step that is asked for has been done; whether the hint changed."""
        before, laid = self.step, self.sitting.scene.steps[self._count :]
        if self.step == 0 and self.sitting.hand.mix != self._mix:
            self.step = 1
        if self.step <= 1 and any(step.liquid == "ink" for step in laid):
            self.step = 2
        if self.step == 2 and any(step.liquid == "bleach" for step in laid):
            self.step = 3
        return self.step != before

    def end(self) -> None:
        """No more hints."""
        self.step = len(STEPS) + 1
