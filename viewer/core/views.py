"""Ways of looking at the sheet, each a function from a rectangle to 8-bit picture numbers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glaze.painting.settle import Painting
from glaze.physics.flow import MM_PER_INCH
from glaze.physics.seeing import as_seen_by, evened_reach, values_only
from glaze.picture.file import picture_from_linear
from glaze.picture.light import load_light
from glaze.pipeline import FEW_VALUES, GRAIN_MM, linear_rgb, render
from glaze.sheet.rect import Rect

Picture8 = NDArray[np.uint8]

WAYS = (
    *("as it will look", "values only", "five values", "three values"),
    *("without bleach", "all stirred", "bare sketch", "reserve"),
)
"""Ways of looking, by their keys in the window's words."""

GREYS = {"values only": "value", "five values": "five-values", "three values": "three-values"}
"""Ways that are grey to every eye, and what `glaze preview --view` calls them."""

VISIONS = None, "protan", "deutan", "tritan"
"""Keys of `glaze.physics.seeing.COLOUR_VISIONS`; None for all colours."""


@dataclass(frozen=True, eq=False)
class Kept:
    """A version that is looked at in place of the sheet."""

    name: str
    painting: Painting


NOW = "the sheet now"
"""What `compared` names the sheet that isn't kept as a version."""


@dataclass(frozen=True)
class View:
    """How the sheet is looked at.

    way : one of WAYS
    light : name of a light other than the scene's, or None
    vision : a key of `glaze.physics.seeing.COLOUR_VISIONS`, or None
    split : share of the sheet's width that shows the bare sketch, from the left; 0 for none
    other : what stands left of the split line, one of WAYS
    left, right : versions on either side of the line; None for the sheet as it is
    """

    way: str = "as it will look"
    light: str | None = None
    vision: str | None = None
    split: float = 0.0
    other: str = "bare sketch"
    left: Kept | None = None
    right: Kept | None = None

    @property
    def compared(self) -> tuple[str, str] | None:
        """What stands left and right of the line, where versions are compared."""
        if self.left is None and self.right is None:
            return None
        left, right = (NOW if kept is None else kept.name for kept in (self.left, self.right))
        return left, right

    def reach_px(self, dpi: float) -> int:
        """How far a pixel is seen in those beside it [px]: a plan of few values is evened out."""
        ways = self.way, self.other if self.split else ""
        evened = any(GREYS.get(way) in FEW_VALUES for way in ways)
        return evened_reach(GRAIN_MM * dpi / MM_PER_INCH) if evened else 0

    @property
    def follows_pen(self) -> bool:
        """Whether all that is shown is the sheet, pixel by pixel as the pen moves over it."""
        return self.local and not self.split and self.right is None

    def taken(self, take: Callable[[Painting], Painting]) -> View:
        """The same view of some pixels, which `take` takes of a painting."""
        some = (k and replace(k, painting=take(k.painting)) for k in (self.left, self.right))
        left, right = some
        return replace(self, left=left, right=right)

    @property
    def plain(self) -> bool:
        """Whether it is the picture that `glaze preview` writes."""
        return self == View()

    @property
    def local(self) -> bool:
        """Whether every pixel can be had alone: stirring looks sideways."""
        return "all stirred" not in (self.way, self.other if self.split else "")


def seen(
    painting: Painting, view: View, rect: Rect, reserve: NDArray[np.uint16] | None = None
) -> Picture8:
    """A rectangle of the sheet as the view shows it, shape (rows, columns, 3)."""
    edge = round(painting.shape[1] * view.split)
    # versions are compared in the way in which the sheet is looked at
    other = view.other if view.compared is None else view.way
    before = painting if view.left is None else view.left.painting
    now = painting if view.right is None else view.right.painting
    if edge <= rect.left:
        return _way(now, view, view.way, rect, reserve)
    if edge >= rect.right:
        return _way(before, view, other, rect, reserve)
    left = Rect(rect.top, rect.left, rect.bottom, edge)
    right = Rect(rect.top, edge, rect.bottom, rect.right)
    parts = (
        _way(before, view, other, left, reserve),
        _way(now, view, view.way, right, reserve),
    )
    return np.concatenate(parts, axis=1)


def _way(
    painting: Painting, view: View, way: str, rect: Rect, reserve: NDArray[np.uint16] | None
) -> Picture8:
    if way == "bare sketch":
        painting = painting.until(0)
    elif way == "without bleach":
        painting = painting.unlifted()
    painting = under(painting, view.light)
    if way not in ("reserve", "all stirred"):
        shown = GREYS.get(way) or view.vision or "picture"
        return np.asarray(render(painting, rect, view=shown).rgb)
    linear: NDArray[np.floating] = linear_rgb(painting, rect, stirred=way == "all stirred")
    if way == "reserve":
        linear = _stopped_out(linear, rect, reserve)
    if view.vision is not None:
        linear = as_seen_by(np.clip(linear, 0, 1), view.vision)
    return np.asarray(picture_from_linear(linear, painting.dpi).rgb)


def _stopped_out(
    linear: NDArray[np.floating], rect: Rect, reserve: NDArray[np.uint16] | None
) -> NDArray[np.float64]:
    """The picture pale, what is reserved dark."""
    pale = 0.35 * values_only(linear) + 0.6
    if reserve is None:
        return pale
    share = (reserve[rect.slices] / 65535)[..., None]
    return np.asarray(pale * (1 - 0.85 * share))


def under(painting: Painting, light: str | None) -> Painting:
    """The painting seen under another light."""
    if light is None or light == painting.table.light.name:
        return painting
    return replace(painting, table=replace(painting.table, light=load_light(light)))
