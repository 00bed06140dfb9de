"""Regions as a scene file writes them: shapes in mm, masks, areas of the sketch, and grades.

Places on the sheet are millimetres from its upper left corner, x to the right, y down.
"""

from __future__ import annotations

from typing import Annotated, Any, Self

from pydantic import BeforeValidator, Discriminator, Field, Tag, model_validator

from glaze.record.checks import (
    FileName,
    Length,
    Name,
    Point,
    Within,
    pair,
    refuse_words,
    several,
    several_numbers,
    several_points,
)
from glaze.record.mistakes import Record

SHEET = "sheet"
"""The name of the region that is the whole sheet."""


class Ellipse(Record):
    """An ellipse: centre and the two radii [mm], turned clockwise by an angle."""

    centre: Point
    radii: Annotated[
        tuple[float, float], pair(0.01, 5000, "[radius across, radius down] in mm, 0.01 to 5000")
    ]
    turn_degrees: Annotated[float, Within(-360, 360, "degrees")] = 0.0


class RuledBand(Record):
    """A straight strip with square ends, as a ruler and a flat brush give it."""

    start: Point = Field(alias="from")
    end: Point = Field(alias="to")
    width: Length


class PenLine(Record):
    """A line through points with round ends, as a pen gives it."""

    points: Annotated[tuple[Point, ...], Field(min_length=2, max_length=5000)]
    width: Length


class Gaps(Record):
    """How the sketch's lines close to areas: gaps closed or left open, and where numbers are kept.

    `open_at_mm` lies on or beside joins that are refused; `numbered` is the file that keeps the
    areas' numbers, so that they are found again when the sketch changes.
    """

    gap_mm: Annotated[float, Within(0, 20, "mm")] = 0.5
    open_at_mm: Annotated[
        tuple[Point, ...],
        Field(max_length=500),
        BeforeValidator(several_points, json_schema_input_type=Point | list[Point]),
    ] = ()
    numbered: FileName | None = None


SHAPES = (
    "area",
    "enclosed_at_mm",
    "polygon_mm",
    "ellipse_mm",
    "band_mm",
    "pen_line_mm",
    "mask",
    "union",
)


class Region(Record):
    """A part of the sheet: one shape, softened, kept inside others, less others.

    The order is fixed: the shape, then `soft_mm`, then `inside`, then `minus`, so that a soft edge
    never creeps over a reserve.
    """

    area: Annotated[
        tuple[Annotated[int, Within(1, 1_000_000, "the number of an area")], ...],
        Field(min_length=1, max_length=2000),
        BeforeValidator(several_numbers, json_schema_input_type=int | list[int]),
    ] = ()
    enclosed_at_mm: Annotated[
        tuple[Point, ...],
        Field(min_length=1, max_length=200),
        BeforeValidator(several_points, json_schema_input_type=Point | list[Point]),
    ] = ()
    gap_mm: Annotated[float, Within(0, 20, "mm")] | None = None
    polygon_mm: Annotated[tuple[Point, ...], Field(min_length=3, max_length=5000)] = ()
    ellipse_mm: Annotated[
        tuple[Ellipse, ...],
        Field(min_length=1, max_length=500),
        BeforeValidator(several, json_schema_input_type=Ellipse | list[Ellipse]),
    ] = ()
    band_mm: Annotated[
        tuple[RuledBand, ...],
        Field(min_length=1, max_length=500),
        BeforeValidator(several, json_schema_input_type=RuledBand | list[RuledBand]),
    ] = ()
    pen_line_mm: Annotated[
        tuple[PenLine, ...],
        Field(min_length=1, max_length=2000),
        BeforeValidator(several, json_schema_input_type=PenLine | list[PenLine]),
    ] = ()
    mask: FileName | None = None
    union: tuple[Name, ...] = ()
    inside: tuple[Name, ...] = ()
    minus: tuple[Name, ...] = ()
    soft_mm: Annotated[float, Within(0, 50, "mm")] = 0.0
    want_value: Annotated[float, Within(0, 10, "in Munsell value, 0 black to 10 white")] | None = (
        None
    )

    @model_validator(mode="after")
    def _one_shape(self) -> Self:
        given = [shape for shape in SHAPES if getattr(self, shape)]
        if len(given) != 1:
            found = " and ".join(given) or "no shape"
            raise refuse_words(found, "exactly one of " + ", ".join(SHAPES))
        if "gap_mm" in self.model_fields_set and not self.enclosed_at_mm:
            raise refuse_words("gap_mm", "gap_mm only beside enclosed_at_mm; take it out")
        return self

    @property
    def needs(self) -> tuple[str, ...]:
        """Names of the regions this one is made from."""
        return self.union + self.inside + self.minus


def _region_kind(value: Any) -> str:
    return "~Region" if isinstance(value, dict | Region) else "~name"


Where = Annotated[
    Annotated[Name, Tag("~name")] | Annotated[Region, Tag("~Region")],
    Discriminator(_region_kind),
]


class Graded(Record):
    """A wash that runs from one strength to another, along a line or as a grey picture says."""

    from_mm: Point | None = None
    to_mm: Point | None = None
    start: Annotated[float, Within(0, 1, "of the film")] = 1.0
    end: Annotated[float, Within(0, 1, "of the film")] = 0.0
    picture: FileName | None = None

    @model_validator(mode="after")
    def _line_or_picture(self) -> Self:
        line = self.from_mm is not None and self.to_mm is not None
        some_line = self.from_mm is not None or self.to_mm is not None
        if line == (self.picture is not None) or some_line != line:
            raise refuse_words(
                ", ".join(sorted(self.model_fields_set)) or "nothing",
                "from_mm together with to_mm, or picture alone",
            )
        if line and self.from_mm == self.to_mm:
            raise refuse_words("the same point twice", "from_mm and to_mm apart from each other")
        return self
