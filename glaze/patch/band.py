"""A predicted value with its band: what is told, and what is promised.

`glaze.patch.trust` works them out.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from glaze.physics.uncertainty import LEVEL

STANDINGS = ("measured", "estimated", "assumed")
"""From the surest to the least sure."""

HALF_STEP = 0.5
"""What painters ask of a value [value steps]."""


@dataclass(frozen=True)
class Band:
    """A Munsell value and the band it lies in 9 times of 10.

    standing : measured, estimated or assumed, the least of what it rests on
    """

    low: float
    best: float
    high: float
    standing: str

    @property
    def text(self) -> str:
        """As "value 5.2 (3.9 to 6.8, assumed)"."""
        return f"value {self.best:.1f} ({self.low:.1f} to {self.high:.1f}, {self.standing})"

    @property
    def half_width(self) -> float:
        """How far the value may be off, to the worse side [value steps]."""
        return max(self.best - self.low, self.high - self.best)

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        low, high = round(self.low, 2), round(self.high, 2)
        return {"low": low, "high": high, "level": LEVEL, "standing": self.standing}


@dataclass(frozen=True)
class Cause:
    """What one figure that isn't sure does to the value, at either end [value steps]."""

    words: str
    standing: str
    less: float
    more: float

    @property
    def size(self) -> float:
        """The greater of both changes."""
        return max(abs(self.less), abs(self.more))


@dataclass(frozen=True)
class Trusted:
    """A predicted colour and how far to trust it.

    band : its value
    lab : CIELAB under the table's light; `de00` holds its error 9 times of 10 [CIEDE2000]
    chroma : of CIELAB: the least of its band, the best guess, the most; 0 is grey
    causes : what the band comes from, the greatest first
    """

    band: Band
    lab: tuple[float, float, float]
    de00: float
    chroma: tuple[float, float, float]
    causes: tuple[Cause, ...]

    @property
    def promise(self) -> str:
        """What may be relied on, in a sentence."""
        return promise(self.band.standing, self.band.half_width)

    def as_dict(self) -> dict[str, Any]:
        """For JSON."""
        return {
            "value": round(self.band.best, 2),
            "band": self.band.as_dict(),
            "lab": [round(part, 2) for part in self.lab],
            "de00": round(self.de00, 1),
            "chroma": chroma_told(self.chroma),
            "mostly_from": [cause.words for cause in self.causes[:3]],
        }


def chroma_told(chroma: tuple[float, float, float]) -> dict[str, float]:
    """Low, best and high of a CIELAB chroma, for JSON."""
    return {key: round(c, 1) for key, c in zip(("low", "best", "high"), chroma, strict=True)}


def promise(standing: str, half_width: float | None = None) -> str:
    """What a value of that standing may be relied on for, in a sentence.

    Half a value step is promised only from swatches of one's own, and only where the band is as
    narrow as that; it isn't for washes thinned beyond the strip, or under bleach.
    """
    if standing == "assumed":
        return (
            "Figures nobody has measured are in it: this shows how things go, not how far. Paint "
            "swatches of your own bottles, and try on them what you plan, before you rely on half "
            "a value step."
        )
    if standing == "estimated":
        return "Some figures are estimated: paint a dilution strip to make the band narrower."
    if half_width is not None and half_width > HALF_STEP:
        return (
            f"From your own swatches, yet it may be off by {half_width:.1f} value steps; try this "
            "one on a scrap before you rely on it."
        )
    return "From your own swatches; half a value step may be relied on."


def promise_of(bands: Iterable[Band]) -> str:
    """What several values together may be relied on for: as the least sure of them."""
    bands = tuple(bands)
    standing = max((band.standing for band in bands), key=STANDINGS.index, default="assumed")
    return promise(standing, max((band.half_width for band in bands), default=None))
