"""What a kind of step is: a record of the scene file, and the same settled over a sheet.

Each kind stands in one module of this package, as a `Step` that the file's words are read into and
a `PaintedStep` that holds what it brings to each pixel; `glaze.step.kinds` lists them. Painting,
plans, patches and the window ask a step what these two classes promise and never what it is, so
that another kind needs nothing else anywhere (DEVELOPERS.md shows one).
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Annotated, Any, ClassVar, Literal, Self

import numpy as np
from numpy.typing import NDArray

from glaze.errors import InputError
from glaze.patch.layers import Layer
from glaze.patch.table import Table
from glaze.record.checks import Within
from glaze.record.mistakes import Record
from glaze.region.cover import Cover
from glaze.region.grade import Share
from glaze.region.records import Graded, Region
from glaze.sheet.memory import Key
from glaze.sheet.rect import Rect
from glaze.sheet.state import Sheet
from glaze.sheet.units import FULL, Mask
from glaze.sheet.wash import LaidWash
from glaze.step.ground import Ground
from glaze.step.timing import Minutes

Liquid = Literal["ink", "bleach", "water"]
Film = Annotated[float, Within(0, 1000, "ml/m2", above=True)]
Tilt = Annotated[float, Within(0, 60, "degrees of the board, its foot the low side")]
Waiting = Annotated[float, Within(0, 1440, "minutes", above=True)]

COVERED = 0.25
"""From this share of a full film or dose on, a step counts as lying somewhere."""


class Step(Record):
    """A step as the scene file writes it.

    Class attributes
    ----------------
    key : the key that names it in the file
    kind : what it is, in a painter's words
    liquid : what the brush is loaded with
    everywhere : whether it is done to the whole sheet and shows nowhere by itself
    """

    key: ClassVar[str]
    kind: ClassVar[str]
    liquid: ClassVar[Liquid]
    everywhere: ClassVar[bool] = False

    if TYPE_CHECKING:  # each kind has them in the order in which its file is written
        name: str
        region: str | Region
        note: str | None

    @property
    def recipe(self) -> str:
        """The mix in words; "" where no ink is laid."""
        return ""

    @property
    def times(self) -> int:
        """Coats or touches."""
        return 1

    @property
    def grade(self) -> Graded | None:
        """How its film runs from full to thin; None where it is flat."""
        return None

    @property
    def laid_with(self) -> str:
        """Name of the tool."""
        return "brush"

    @property
    def bleach_parts_water(self) -> float | None:
        """Parts of water to one of bleach; None where no bleach is laid."""
        return None

    @property
    def dries_with_a_line(self) -> bool:
        """Whether dye gathers at its edge."""
        return False

    @property
    def joins(self) -> str | None:
        """The earlier step that it is laid into while that is wet; None if on what is dry."""
        return None

    @property
    def joined_after_minutes(self) -> float:
        """How long after that it is laid [min]."""
        return 0.0

    @property
    def blotted_after_minutes(self) -> float | None:
        """How long each touch stands before it is blotted [min]; None where nothing is blotted."""
        return None

    @property
    def rinsed_at_once(self) -> bool:
        """Whether it is rinsed after its last blot."""
        return False

    @property
    def leaves_bleach(self) -> bool:
        """Whether active bleach stays in the paper after it."""
        return False

    @abstractmethod
    def film_ml_per_m2_on(self, table: Table) -> float:
        """Liquid that it lays at a time [ml/m2]."""

    @abstractmethod
    def settled(self, ground: Ground, cover: Cover) -> PaintedStep:
        """What it brings to each pixel of a sheet."""

    @abstractmethod
    def layer(self, table: Table, share: float) -> Layer:
        """It as a layer of a patch, where so much of its film or dose lies."""

    @abstractmethod
    def minutes_for(self, area_cm2: float, table: Table) -> Minutes:
        """How long it takes, and until it is dry."""

    @abstractmethod
    def amount_words(self, table: Table) -> tuple[str, str]:
        """What is laid, and in which strength and how often."""

    def reason(self, below: Sequence[str], met: bool) -> str:
        """Why it stands where it does, by the names of what lies below and whether it meets
        neighbours; "" leaves that to the plan."""
        return ""


@dataclass(frozen=True, eq=False)
class PaintedStep(ABC):
    """A step settled over a sheet, as uint16 fields of shape (rows, columns).

    Attributes
    ----------
    step : as the scene has it
    coverage : its region, FULL = inside
    key : all that its film was made from
    """

    step: Step
    coverage: Mask
    key: Key

    ARRAYS: ClassVar[tuple[str, ...]] = ("coverage",)
    """Names of its fields."""
    UNIT: ClassVar[int] = FULL
    """What a full film or dose is in `film`."""

    def __post_init__(self) -> None:
        """Refuse shares in floats, and other whole numbers, that would paint nothing."""
        for name in self.ARRAYS:
            field = getattr(self, name)
            grade = name == "graded"  # the one field of shares
            if field is not None and not grade and field.dtype not in (np.uint16, np.int16):
                raise InputError(
                    f'"{self.name}": its {name} is {field.dtype.name}; fields of steps are of '
                    f"16 bits, {self.UNIT} for a full film. Shares from 0 to 1: "
                    f"np.rint({self.UNIT} * shares).astype(np.uint16)."
                )

    @property
    def name(self) -> str:
        """Its name in the scene."""
        return self.step.name

    @property
    def film(self) -> Mask:
        """What lies at each pixel, `UNIT` = its full film or dose."""
        return self.coverage

    @property
    def spread(self) -> Mask:
        """Where it is wet, FULL = wholly."""
        return self.coverage

    @property
    def touched(self) -> Mask:
        """Where the sheet isn't the same after it; not 0 there."""
        return self.film

    @property
    def flat_wash(self) -> LaidWash | None:
        """The wash it is if it is nothing but a film of one, so that a sheet of such steps can be
        laid and seen in one go; None otherwise."""
        return None

    @property
    def kept(self) -> Any:
        """What the memory keeps of it under its key; None if it is only its coverage."""
        return None

    def even_shares(self, index: tuple[Any, Any]) -> NDArray[np.float64]:
        """Share of its full film or dose [-] at some pixels as if it were laid perfectly even.

        Shape as numpy indexes a field.
        """
        return np.asarray(self.film[index] / self.UNIT)

    def lies(self) -> NDArray[np.bool_]:
        """Where enough of it lies to count."""
        return self.film >= COVERED * self.UNIT

    @abstractmethod
    def lay(self, table: Table, sheet: Sheet, rect: Rect, stirred_dpi: float | None = None) -> None:
        """Lay it on a tile, in place.

        stirred_dpi : dots per inch if it stirs up what is loose below; None if nothing moves
        """

    def made_ready(self) -> Self:
        """It, with all worked out that takes long."""
        return self

    def taking_up(self, below: PaintedStep) -> Self | None:
        """It laid in place of both, if it takes up all that the layer below it laid."""
        return None

    def taken(self, index: tuple[Any, Any]) -> Self:
        """It at some pixels, chosen as numpy indexes an array."""
        fields = {name: getattr(self, name) for name in self.ARRAYS}
        some: dict[str, Any] = {
            name: np.ascontiguousarray(field[index])
            for name, field in fields.items()
            if field is not None
        }
        return replace(self, **some)

    @abstractmethod
    def on_patch(self, share: float) -> Self:
        """It on a patch of one pixel, with so much of its film or dose."""

    def films(self, rect: Rect) -> list[tuple[LaidWash, Any, Any]]:
        """What lies of it on a tile, the lowest first, as `glaze.sheet.wash.lay` takes it.

        The wash, its thickness [-] and what its drying line moves [-].
        """
        return []

    def again(self, ground: Ground, rect: Rect) -> Rect:
        """Bring its fields up to date, in place, where its coverage has changed within a
        rectangle; gives the rectangle that reached."""
        return rect

    def under_pen(self, mask: Mask, graded: Share | None) -> tuple[Mask, Mask] | None:
        """A film as it follows the pen before it is settled, and the field it goes to.

        None where the coverage under the pen is all there is to it.
        """
        return None

    def fresh(self) -> Self:
        """It while it is still wet: what an earlier bleach left has not worked on it yet."""
        return self

    def mixed_from(self, table: Table) -> Self:
        """The same step mixed from another table's bottles."""
        return self

    def loose_share(self, table: Table) -> float:
        """Share of its colour that dissolves again."""
        return 0.0
