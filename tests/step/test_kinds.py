"""Another kind of step takes one module and one registration: a toy one is painted, planned, read.

The toy stands here in full; DEVELOPERS.md tells the same in words.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import ClassVar, Self

import numpy as np
import pytest
from pydantic import Field
from small_scenes import write_sketch

from glaze.errors import InputError
from glaze.painting.settle import resolve
from glaze.patch.layers import Laid, Layer
from glaze.patch.table import Table
from glaze.pipeline import render
from glaze.planning.sheet.planner import plan_of
from glaze.planning.sheet.step_bands import step_bands
from glaze.record.checks import Name, Text
from glaze.region.cover import Cover
from glaze.region.records import Where
from glaze.scene.file import load_scene, schema_text, write_scene
from glaze.scene.records import Scene
from glaze.sheet.lift import Touches
from glaze.sheet.rect import Rect
from glaze.sheet.state import Sheet
from glaze.sheet.units import FULL
from glaze.sheet.wash import LaidWash, lay, work_out
from glaze.step.ground import Ground
from glaze.step.kind import Liquid, PaintedStep, Step
from glaze.step.kinds import KINDS
from glaze.step.timing import Minutes
from viewer.core.keep import open_any
from viewer.core.spot import read_at

DRAGGED = 0.3
"""Share of a wash's film that a nearly dry brush leaves."""


class DryBrush(Step):
    """A nearly dry brush dragged over a region: a third of a wash, dry at once."""

    key: ClassVar[str] = "dry_brush"
    kind: ClassVar[str] = "dry brush"
    liquid: ClassVar[Liquid] = "ink"

    name: Name = Field(alias="dry_brush")
    mix: Text
    region: Where
    note: Text | None = None

    @property
    def recipe(self) -> str:
        return self.mix

    def film_ml_per_m2_on(self, table: Table) -> float:
        return DRAGGED * table.paper.film_ml_per_m2

    def settled(self, ground: Ground, cover: Cover) -> PaintedStep:
        table = ground.table
        film = self.film_ml_per_m2_on(table)
        laid = work_out(table.mix(self.mix), 1, film, table.paper, table.dyes)
        return DraggedBrush(self, cover.mask, ("dry brush", cover.key), laid)

    def layer(self, table: Table, share: float) -> Layer:
        return Laid(table.mix(self.mix), 1, self.film_ml_per_m2_on(table), share)

    def minutes_for(self, area_cm2: float, table: Table) -> Minutes:
        return Minutes(1.0, 0.0, 1.0)

    def amount_words(self, table: Table) -> tuple[str, str]:
        return self.mix, "a nearly dry brush"

    def reason(self, below, met) -> str:
        return "Last, so that nothing wet goes over it."


@dataclass(frozen=True, eq=False)
class DraggedBrush(PaintedStep):
    wash: LaidWash

    def lay(self, table: Table, sheet: Sheet, rect: Rect, stirred_dpi: float | None = None) -> None:
        lay(sheet, self.wash, self.coverage[rect.slices] / np.float32(FULL))

    def on_patch(self, share: float) -> Self:
        return replace(self, coverage=np.full((1, 1), round(share * FULL), np.uint16))


@pytest.fixture
def with_toy() -> Iterator[None]:
    """The toy among the kinds, and out again."""
    KINDS.append(DryBrush)
    Scene.model_rebuild(force=True)
    yield
    KINDS.remove(DryBrush)
    Scene.model_rebuild(force=True)


TEXT = """\
format = 1
palette = "lifting"
paper = "white cartridge"
sketch = "sketch.png"
dpi = 100

[region.left]
polygon_mm = [[3, 3], [20, 3], [20, 28], [3, 28]]

[[step]]
wash = "ground"
mix = "Yellow 1 + water 4"
region = "left"

[[step]]
dry_brush = "stubble"
mix = "Black 1"
region = { ellipse_mm = { centre = [12, 15], radii = [5, 6] } }
"""


@pytest.fixture
def folder(tmp_path):
    write_sketch(tmp_path / "sketch.png")
    (tmp_path / "scene.toml").write_text(TEXT, encoding="utf-8")
    return tmp_path


def test_a_step_of_no_kind_is_told_with_all_kinds(folder):
    with pytest.raises(
        InputError, match=r"wash = ..., charge = ..., lift = ..., water_lift = ..., rinse"
    ) as refused:
        load_scene(folder)
    assert "dry_brush" in str(refused.value)


@pytest.mark.usefixtures("with_toy")
def test_a_new_kind_is_read_written_and_in_the_schema(folder):
    scene = load_scene(folder)
    assert isinstance(scene.steps[1], DryBrush)
    assert load_scene(write_scene(scene)) == scene
    assert '"dry_brush"' in schema_text()
    (folder / "scene.toml").write_text(TEXT.replace('"Black 1"', "3"), encoding="utf-8")
    with pytest.raises(InputError, match=r"step\[2\]\.mix: 3 found"):
        load_scene(folder)


@pytest.mark.usefixtures("with_toy")
def test_a_new_kind_is_painted_and_seen_in_every_view(folder):
    painting = resolve(load_scene(folder), even=True)
    at = tuple(int(mm * 100 / 25.4) for mm in (15, 12))
    before, after = (render(painting.until(n)).rgb[at].astype(int) for n in (1, 2))
    assert after.sum() < before.sum() - 60
    for view in ("before-after", "unlifted", "stacked-stirred", "value"):
        assert render(painting, view=view, scale=0.5).rgb.size


@pytest.mark.usefixtures("with_toy")
def test_a_new_kind_is_planned_with_its_own_words_and_band(folder):
    scene = load_scene(folder)
    plan = plan_of(scene)
    step = plan.steps[1]
    assert step.kind == "dry brush"
    assert step.reason == "Last, so that nothing wet goes over it."
    assert step.minutes.dry == 1.0
    assert step.amount is not None
    assert step.waits_for == (1,)
    dark = step_bands(scene, plan.painting)[1].after.band
    assert dark.low < dark.best < plan.steps[0].value.best - 0.5


@pytest.mark.usefixtures("with_toy")
def test_a_new_kind_is_read_under_the_pointer(folder):
    sitting = open_any(folder)
    try:
        sitting.finish()
        at = tuple(int(mm * 100 / 25.4) for mm in (15, 12))
        found = read_at(sitting.painting, Touches(), *at)
    finally:
        sitting.close()
    assert [one.name for one in found.steps] == ["ground", "stubble"]
    assert found.steps[1].value < found.steps[0].value - 0.5
