"""The same question at every door: 100 patches of random washes, lifts and water, one band each.

What a patch holds is written twice: as layers, and as steps of a scene. Every door that tells of it
has to tell the same low, best and high within 0.05 value steps.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from glaze.charts.content.lift_rows import plan_lift
from glaze.cli.main import glaze
from glaze.painting.settle import Painting, resolve
from glaze.patch.band import Trusted
from glaze.patch.layers import Laid, Layer, Lifted, Watered
from glaze.patch.table import Table, table_of
from glaze.patch.trust import bands_of, trusted
from glaze.planning.lift.reach import reach_of
from glaze.planning.sheet.step_bands import step_bands
from glaze.scene.file import load_scene
from glaze.scene.laid_out import table_of_scene
from glaze.scene.records import Scene
from glaze.sheet.lift import Touches
from viewer.core.spot import read_at

SAME = 0.05
CASES, A_SCENE, SIDE_MM, DPI = 100, 20, 8, 50

OWN_INKS = """
based_on = "lifting"
[[ink]]
name = "Moss"
key = "M"
dyes_g_per_l = { "Acid Blue 9" = 0.5, "Acid Yellow 23" = 2.0 }
drops_per_ml = 33
separation = "none"
"""
"""A painter's own bottle beside the palette's; invented."""


@dataclass(frozen=True)
class Sheet:
    """A scene whose regions each hold one case, and the same cases as layers."""

    folder: Path
    scene: Scene
    painting: Painting
    cases: tuple[tuple[Layer, ...], ...]
    names: tuple[tuple[str, ...], ...]

    @cached_property
    def asked(self) -> list[list[Trusted]]:
        """Each case asked as layers alone, after its first, its second ... and its last."""
        table = self.painting.table
        return [
            [trusted(table, layers[: n + 1]) for n in range(len(layers))] for layers in self.cases
        ]


def random_case(rng: np.random.Generator, table: Table) -> tuple[list[Layer], list[str]]:
    """One to three washes, and then perhaps bleach, water and a last wash."""
    layers: list[Layer] = []
    steps: list[str] = []

    def wash() -> None:
        some = rng.choice(list(table.palette.inks), rng.integers(1, 3), replace=False)
        water = int(rng.integers(0, 9))
        mix = " + ".join(
            [f"{name} 1 part" for name in some] + [f"water {water} parts"] * (water > 0)
        )
        layers.append(Laid(table.mix(mix)))
        steps.append(f'mix = "{mix}"\nedge = "none"')

    for _ in range(rng.integers(1, 4)):
        wash()
    if rng.random() < 0.6:
        parts, touches = float(rng.integers(0, 20)), int(rng.integers(1, 3))
        layers.append(Lifted(Touches(parts, touches)))
        steps.append(f"parts_water = {parts:g}\ntouches = {touches}")
        if rng.random() < 0.4:
            layers.append(Watered(2.0))
            steps.append("minutes = 2.0")
        if rng.random() < 0.4:
            wash()
    return layers, steps


def written(folder: Path, seed: int) -> Sheet:
    """A scene of some cases, side by side."""
    rng, table = np.random.default_rng(seed), _table(folder)
    text = ["format = 1", 'palette = "own.toml"', 'paper = "white cartridge"']
    text += [f"size_mm = [{A_SCENE * SIDE_MM}, {SIDE_MM}]", f"dpi = {DPI}"]
    regions, done, cases, names = [], [], [], []
    kinds = {Laid: "wash", Lifted: "lift", Watered: "water_lift"}
    for n in range(A_SCENE):
        x, y = n * SIDE_MM, SIDE_MM
        corners = [[x, 0], [x + SIDE_MM, 0], [x + SIDE_MM, y], [x, y]]
        regions += [f"[region.r{n}]", f"polygon_mm = {corners}"]
        layers, steps = random_case(rng, table)
        cases.append(tuple(layers))
        names.append(tuple(f"{n} {i}" for i in range(len(layers))))
        for layer, step, name in zip(layers, steps, names[-1], strict=True):
            done += ["[[step]]", f'{kinds[type(layer)]} = "{name}"', f'region = "r{n}"', step]
    (folder / "scene.toml").write_text("\n".join([*text, *regions, *done]))
    scene = load_scene(folder)
    return Sheet(folder, scene, resolve(scene, even=True), tuple(cases), tuple(names))


def _table(folder: Path) -> Table:
    (folder / "own.toml").write_text(OWN_INKS)
    start = 'format = 1\npalette = "own.toml"\npaper = "white cartridge"\n'
    (folder / "scene.toml").write_text(start + "size_mm = [10, 10]\n")
    return table_of_scene(load_scene(folder))


@pytest.fixture(scope="module", params=range(CASES // A_SCENE))
def sheet(request, tmp_path_factory) -> Sheet:
    return written(tmp_path_factory.mktemp("doors"), request.param)


def ends(band) -> tuple[float, float, float]:
    return band.low, band.best, band.high


def near(found) -> object:
    return pytest.approx(found, abs=SAME)


def test_many_at_once_are_as_one(sheet) -> None:
    table = sheet.painting.table
    for asked, (band,) in zip(sheet.asked, bands_of(table, sheet.cases), strict=True):
        alone = asked[-1].band
        assert ends(band) == near(ends(alone))
        assert band.standing == alone.standing


def test_the_preview_tells_each_step_as_its_layers(sheet) -> None:
    bands = {found.name: found.after for found in step_bands(sheet.scene, sheet.painting)}
    for asked, names in zip(sheet.asked, sheet.names, strict=True):
        for alone, name in zip(asked, names, strict=True):
            assert ends(bands[name].band) == near(ends(alone.band))


def test_the_window_reads_under_the_pointer_what_the_layers_say(sheet) -> None:
    dish = Touches(parts_water=9.0)
    bleached = bands_of(sheet.painting.table, [[*case, Lifted(dish)] for case in sheet.cases])
    for n, (lifted,) in enumerate(bleached):
        at = round((n + 0.5) * SIDE_MM / 25.4 * DPI)
        now, after = read_at(sheet.painting, dish, SIDE_MM, at).bands
        assert ends(now) == near(ends(sheet.asked[n][-1].band))
        assert ends(after) == near(ends(lifted))


def test_reach_tells_each_region_as_its_washes_under_that_plan(sheet) -> None:
    found = {
        region.name: region
        for region in reach_of(sheet.scene, strengths=(0.0, 9.0), touches=2).regions
    }
    regions = [found[f"r{n}"] for n in range(len(sheet.cases))]
    # water after bleach would water the unbleached sheet too; the plan lies over all of it
    lifted = [
        [layer for layer in layers if not isinstance(layer, Lifted)]
        + [Lifted(Touches(region.plan.parts_water, region.plan.touches))]
        for layers, region in zip(sheet.cases, regions, strict=True)
    ]
    for region, (asked,) in zip(regions, bands_of(sheet.painting.table, lifted), strict=True):
        assert (region.low, region.leaves, region.high) == near(ends(asked))


def test_the_lift_chart_tells_each_colour_as_its_layers() -> None:
    table = table_of("lifting", "white cartridge")
    chart = plan_lift(table, shadow=None)
    for row in chart.rows:
        for cell in row.cells:
            lift = Lifted(Touches(cell.parts_water, cell.touches))
            asked = trusted(table, [Laid(table.mix(row.recipe)), lift]).band
            assert (cell.low, cell.after.value, cell.high) == near(ends(asked))


@pytest.mark.parametrize("sheet", [0], indirect=True)
def test_json_tells_the_same_and_where_it_is_read(sheet, tmp_path) -> None:
    run = CliRunner().invoke(glaze, ["plan", str(sheet.folder), "--json"])
    told = {step["name"]: step for step in json.loads(run.stdout)["steps"]}
    for asked, names in zip(sheet.asked, sheet.names, strict=True):
        step = told[names[-1]]
        alone = ends(asked[-1].band)
        assert (step["band"]["low"], step["value"], step["band"]["high"]) == near(alone)
        assert step["read"] == "where the step lies fullest"
    out = str(tmp_path / "reach.png")
    run = CliRunner().invoke(glaze, ["reach", str(sheet.folder), "-o", out, "--json"])
    told = json.loads(run.stdout)["regions"]
    assert {region["read"] for region in told} == {"the middle of a region's places"}
