"""A scene: the sketch, what lies on the table, and the steps in painting order.

These are the records of a scene file (docs/scene-file.md). They check shape, kind and range; names
of inks, papers and regions, and files, are checked by `glaze.scene.file`, which reads them.
Places on the sheet are millimetres from its upper left corner, x to the right, y down.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Annotated, Literal, Self

from pydantic import BeforeValidator, Field, PrivateAttr, model_validator

from glaze.errors import percent
from glaze.materials.bleach import HOUSEHOLD_PERCENT, Bleach
from glaze.materials.dropper import FEWEST_PER_ML, MOST_PER_ML, WATER_DROPS_PER_ML, Dropper
from glaze.materials.room import Room
from glaze.record.checks import FileName, Name, Text, Within, file_in, pair, refuse, refuse_words
from glaze.record.mistakes import Record
from glaze.region.records import Gaps, Region
from glaze.step.kind import Step
from glaze.step.kinds import OneOfTheKinds
from glaze.step.steadiness import Manner

WATERPROOF = "waterproof"  # a line that neither runs nor lifts
LEAST_PERCENT = 0.1  # below that a share is meant: 0.05 for 5 %


class RoomAir(Record):
    """The air in which the washes dry."""

    temperature_c: Annotated[float, Within(5, 40, "degrees Celsius")] = Room.temperature_c
    humidity_percent: Annotated[float, Within(0, 98, "% relative humidity")] = Room.humidity_percent
    air_m_per_s: Annotated[float, Within(0, 5, "m/s")] = Room.air_m_per_s


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


def percent_of(value: object) -> object:
    """A percentage also from words, as "5 %"; a share in its place is asked about."""
    if isinstance(value, str) and (found := re.fullmatch(r"\s*(\d+(?:[.,]\d+)?)\s*%?\s*", value)):
        value = float(found[1].replace(",", "."))
    if isinstance(value, float) and 0 < value < LEAST_PERCENT:
        raise refuse(value, f"the label's percentage; {value * 100:g} if you mean {percent(value)}")
    return value


class BleachBottle(Record):
    """The household bleach: the label's strength, how old it is and how it was kept."""

    percent: Annotated[
        float,
        Within(
            0,
            HOUSEHOLD_PERCENT,
            "% sodium hypochlorite",
            above=True,
            advice="Anything stronger is above household strength and not for a studio table: "
            "use plain household bleach and copy the percentage from its label",
        ),
        BeforeValidator(percent_of, json_schema_input_type=float | str),
    ] = Bleach.percent
    age_months: Annotated[float, Within(0, 60, "months")] = Bleach.age_months
    storage_c: Annotated[float, Within(0, 45, "degrees Celsius")] = Bleach.storage_c
    ph: Annotated[float, Within(9, 14, "pH; household bleach is 11 to 13")] = Bleach.ph


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
    hand: Manner = "practised"
    seed: Annotated[int, Within(1, 9999, "another number, another day of the same hand")] = 1
    room: RoomAir = RoomAir()
    dropper: DropperCount | None = None
    bleach: BleachBottle = BleachBottle()
    areas: Gaps = Gaps()
    wells: dict[Name, Text] = Field(default={}, alias="well")
    regions: dict[Name, Region] = Field(default={}, alias="region")
    steps: tuple[Annotated[Step, OneOfTheKinds()], ...] = Field(default=(), alias="step")

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
