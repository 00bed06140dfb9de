"""A scene: the sketch, what lies on the table, and the steps in painting order.

These are the records of a scene file (docs/scene-file.md). They check shape, kind and range; names
of inks, papers and regions, and files, are checked by `glaze.scene.file`, which reads them.
Places on the sheet are millimetres from its upper left corner, x to the right, y down.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any, Literal, Self

from pydantic import (
    BeforeValidator,
    Discriminator,
    Field,
    PrivateAttr,
    StrictBool,
    Tag,
    model_validator,
)

from glaze.materials.dropper import FEWEST_PER_ML, MOST_PER_ML, WATER_DROPS_PER_ML, Dropper
from glaze.scene.checks import (
    FileName,
    Length,
    Name,
    Point,
    Text,
    Within,
    file_in,
    one_of,
    pair,
    refuse_words,
    several,
    several_points,
)
from glaze.scene.mistakes import Record

SHEET = "sheet"  # the name of the region that is the whole sheet
WATERPROOF = "waterproof"  # a line that neither runs nor lifts
HOUSEHOLD_PERCENT = 9.0  # strongest household bleach sold (CDC: 5 to 9 %)


class Ellipse(Record):
    """An ellipse: centre and the two radii [mm], turned clockwise by an angle."""

    centre: Point
    radii: Annotated[
        tuple[float, float], pair(0.01, 5000, "[radius across, radius down] in mm, 0.01 to 5000")
    ]
    turn_degrees: Annotated[float, Within(-360, 360, "degrees")] = 0.0


class Band(Record):
    """A straight strip with square ends, as a ruler and a flat brush give it."""

    start: Point = Field(alias="from")
    end: Point = Field(alias="to")
    width: Length


class PenLine(Record):
    """A line through points with round ends, as a pen gives it."""

    points: Annotated[tuple[Point, ...], Field(min_length=2, max_length=5000)]
    width: Length


SHAPES = ("enclosed_at_mm", "polygon_mm", "ellipse_mm", "band_mm", "pen_line_mm", "mask", "union")


class Region(Record):
    """A part of the sheet: one shape, softened, kept inside others, less others.

    The order is fixed: the shape, then `soft_mm`, then `inside`, then `minus`, so that a soft edge
    never creeps over a reserve.
    """

    enclosed_at_mm: Annotated[
        tuple[Point, ...],
        Field(min_length=1, max_length=200),
        BeforeValidator(several_points, json_schema_input_type=Point | list[Point]),
    ] = ()
    gap_mm: Annotated[float, Within(0, 20, "mm")] = 0.5
    polygon_mm: Annotated[tuple[Point, ...], Field(min_length=3, max_length=5000)] = ()
    ellipse_mm: Annotated[
        tuple[Ellipse, ...],
        Field(min_length=1, max_length=500),
        BeforeValidator(several, json_schema_input_type=Ellipse | list[Ellipse]),
    ] = ()
    band_mm: Annotated[
        tuple[Band, ...],
        Field(min_length=1, max_length=500),
        BeforeValidator(several, json_schema_input_type=Band | list[Band]),
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


Film = Annotated[float, Within(0, 1000, "ml/m2", above=True)]
Minutes = Annotated[float, Within(0, 1440, "minutes", above=True)]


class Wash(Record):
    """Ink laid over a region with a wet brush, and left to dry."""

    name: Name = Field(alias="wash")
    mix: Text
    region: Where
    coats: Annotated[int, Within(1, 20, "coats")] = 1
    film_ml_per_m2: Film = 100.0
    graded: Graded | None = None
    edge: Annotated[
        Literal["drying line", "soft", "none"], one_of("drying line", "soft", "none")
    ] = "drying line"
    note: Text | None = None


class Lift(Record):
    """Bleach laid over a region, blotted after some minutes, once or several times."""

    name: Name = Field(alias="lift")
    region: Where
    parts_water: Annotated[float, Within(0, 1000, "parts of water to 1 part of bleach")] = 0.0
    touches: Annotated[int, Within(1, 20, "touches")] = 1
    minutes: Minutes = 1.0
    tool: Annotated[Literal["brush", "dip pen", "swab"], one_of("brush", "dip pen", "swab")] = (
        "brush"
    )
    film_ml_per_m2: Film | None = None
    rinse: StrictBool = False
    note: Text | None = None


class WaterLift(Record):
    """Clean water laid over a region, left to loosen the ink, and blotted."""

    name: Name = Field(alias="water_lift")
    region: Where
    minutes: Minutes = 2.0
    note: Text | None = None


class Rinse(Record):
    """Blot, clean water, blot: takes away the bleach that is still active."""

    name: Name = Field(alias="rinse")
    region: Where = SHEET
    note: Text | None = None


def _step_kind(value: Any) -> str | None:
    """The kind of a step is the one key that names it; a lift may say `rinse` of itself."""
    if isinstance(value, Record):
        return f"~{type(value).__name__}"
    kinds = {"wash": "~Wash", "lift": "~Lift", "water_lift": "~WaterLift"}
    found = [kind for kind in kinds if isinstance(value, dict) and kind in value]
    if not found and isinstance(value, dict) and "rinse" in value:
        return "~Rinse"
    return kinds[found[0]] if len(found) == 1 else None


Step = Annotated[
    Annotated[Wash, Tag("~Wash")]
    | Annotated[Lift, Tag("~Lift")]
    | Annotated[WaterLift, Tag("~WaterLift")]
    | Annotated[Rinse, Tag("~Rinse")],
    Discriminator(_step_kind),
]


class RoomAir(Record):
    """The air in which the washes dry."""

    temperature_c: Annotated[float, Within(5, 40, "degrees Celsius")] = 20.0
    humidity_percent: Annotated[float, Within(0, 98, "% relative humidity")] = 50.0
    air_m_per_s: Annotated[float, Within(0, 5, "m/s")] = 0.0


class DropperCount(Record):
    """The painter's dropper, counted out once: drops that fill a millilitre.

    Of ink: for every bottle, before what its own file says; of water, and of bleach.
    """

    ink_drops_per_ml: (
        Annotated[float, Within(FEWEST_PER_ML, MOST_PER_ML, "drops of ink to the ml")] | None
    ) = None
    water_drops_per_ml: Annotated[
        float, Within(FEWEST_PER_ML, MOST_PER_ML, "drops of water to the ml")
    ] = WATER_DROPS_PER_ML


class BleachBottle(Record):
    """The household bleach: the label's strength, how old it is and how it was kept."""

    percent: Annotated[
        float,
        Within(
            0,
            HOUSEHOLD_PERCENT,
            "% sodium hypochlorite",
            above=True,
            advice="Anything stronger is above household strength and not for a table table: "
            "use plain household bleach and copy the percentage from its label",
        ),
    ] = 5.0
    age_months: Annotated[float, Within(0, 60, "months")] = 0.0
    storage_c: Annotated[float, Within(0, 45, "degrees Celsius")] = 20.0
    ph: Annotated[float, Within(9, 14, "pH; household bleach is 11 to 13")] = 11.5


class Scene(Record):
    """All that a scene file says, and the folder it says it in."""

    format: Literal[1]
    title: Text = "Untitled"
    palette: FileName
    paper: FileName
    sketch: FileName | None = None
    dpi: Annotated[float, Within(20, 2400, "dots per inch")] | None = None
    size_mm: (
        Annotated[tuple[float, float], pair(5, 2000, "[width, height] in mm, 5 to 2000")] | None
    ) = None
    line: Name = WATERPROOF
    light: Name = "D65"
    room: RoomAir = RoomAir()
    dropper: DropperCount | None = None
    bleach: BleachBottle = BleachBottle()
    wells: dict[Name, Text] = Field(default={}, alias="well")
    regions: dict[Name, Region] = Field(default={}, alias="region")
    steps: tuple[Step, ...] = Field(default=(), alias="step")

    _folder: Path = PrivateAttr(default=Path("."))

    @model_validator(mode="after")
    def _size_is_known_once(self) -> Self:
        if self.sketch is None and self.size_mm is None:
            raise refuse_words(
                "neither sketch nor size_mm", "a sketch, or size_mm for a bare sheet"
            )
        if self.sketch is not None and self.size_mm is not None and self.dpi is not None:
            raise refuse_words("both dpi and size_mm", "one of them beside a sketch; take one out")
        return self

    @property
    def folder(self) -> Path:
        """The folder whose files the scene may use."""
        return self._folder

    def in_folder(self, folder: str | Path) -> Self:
        """The same scene, at home in a folder."""
        moved = self.model_copy()
        moved._folder = Path(folder)
        return moved

    def counted_with(self, dropper: Dropper) -> Self:
        """The same scene, its drops counted with another dropper."""
        count = DropperCount.model_validate(vars(dropper))
        return self.model_copy(update={"dropper": count})

    def file(self, name: str) -> Path:
        """The path of a file of this scene; refuses what leaves its folder or isn't there."""
        return file_in(self._folder, name)
