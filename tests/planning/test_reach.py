"""How light bleach gets a scene back: laws, limits, and the same by lifting it in the scene."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from glaze.charts.paper.marks import Text
from glaze.charts.paper.page import Page
from glaze.charts.paper.publish import write_pages
from glaze.charts.sheets.parts import Layout
from glaze.charts.sheets.reach_pictures import deepest
from glaze.charts.sheets.reach_sheet import reach_sheets
from glaze.cli.main import glaze
from glaze.errors import InputError
from glaze.painting.settle import resolve
from glaze.pipeline import linear_rgb
from glaze.planning.lift.reach import Reach, reach_of
from glaze.planning.lift.reach_map import CANT, LIFT, NO_WISH, RESERVE
from glaze.planning.lift.reach_plans import LiftPlan
from glaze.scene.file import load_scene
from tests.charts.sheet_faults import faults

PATCHES = """format = 1
palette = "resistant"
paper = "white cartridge"
size_mm = [60, 20]
dpi = 100
[region.blue]
polygon_mm = [[0, 0], [20, 0], [20, 20], [0, 20]]
[region.red]
polygon_mm = [[20, 0], [40, 0], [40, 20], [20, 20]]
want_value = 9.0
[region.bare]
polygon_mm = [[40, 0], [60, 0], [60, 20], [40, 20]]
[region."one pixel"]
ellipse_mm = { centre = [5, 5], radii = [0.1, 0.1] }
[[step]]
wash = "b"
mix = "Blue 1"
region = "blue"
edge = "none"
[[step]]
wash = "r"
mix = "Red 1"
region = "red"
edge = "none"
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    made = tmp_path_factory.mktemp("patches")
    (made / "scene.toml").write_text(PATCHES)
    return made


@pytest.fixture(scope="module")
def found(folder: Path) -> Reach:
    return reach_of(load_scene(folder), {"blue": 8.5, "bare": 9.9, "one pixel": 8.5})


def region(found: Reach, name: str):
    return next(r for r in found.regions if r.name == name)


def test_blue_is_lifted_the_resistant_red_reserved_and_whiter_than_paper_cant_be(found) -> None:
    # common practice, no source: rhodamine-type reds don't go under bleach
    assert region(found, "blue").verdict == LIFT
    assert region(found, "red").verdict == RESERVE
    assert region(found, "bare").verdict == CANT
    assert region(found, "red").ghost.endswith("pink")
    assert region(found, "red").want == 9.0  # as the scene says


def test_a_region_of_one_pixel_has_an_answer(found) -> None:
    one = region(found, "one pixel")
    assert one.verdict == LIFT
    assert np.isfinite([one.now, one.reach, one.low, one.high]).all()
    assert one.now == pytest.approx(region(found, "blue").now, abs=0.01)


BARE = """format = 1
palette = "lifting"
paper = "white cartridge"
size_mm = [20, 10]
dpi = 60
"""


@pytest.mark.parametrize(
    ("steps", "names"),
    [
        ("", ["sheet"]),
        ('[[step]]\nwash = "w"\nmix = "Blue 1"\nregion = "sheet"\n', ["sheet"]),
        (
            '[[step]]\nwash = "w"\nmix = "Blue 1"\n'
            "region = { polygon_mm = [[0, 0], [9, 0], [9, 9], [0, 9]] }\n",
            ["sheet", "w"],
        ),
    ],
)
def test_a_bare_sheet_and_steps_with_regions_of_their_own_have_an_answer(
    tmp_path: Path, steps: str, names: list[str]
) -> None:
    (tmp_path / "scene.toml").write_text(BARE + steps)
    found = reach_of(load_scene(tmp_path), {"sheet": 9.0})
    assert [r.name for r in found.regions] == names
    assert all(np.isfinite([r.now, r.reach, r.low, r.high, r.darkest]).all() for r in found.regions)
    assert not faults(reach_sheets(found, Layout(day="2026-01-02"), "bare"))


def test_reach_is_the_lightest_and_darkest_the_other_end(found) -> None:
    for one in found.regions:
        assert one.darkest < one.now <= one.reach + 1e-6
        assert one.low <= one.leaves <= one.high
        assert one.leaves <= one.reach + 1e-6
    assert (found.map.best >= found.map.now).all()
    assert (found.map.values <= found.paper_value + 0.05).all()
    assert (found.sure <= found.map.best + 1e-6).all()


def test_a_place_takes_its_band_from_one_like_it(found) -> None:
    # the map's low end against the red's own, worked out apart from it; its plans hardly differ
    red, blue = region(found, "red"), region(found, "blue")
    assert found.sure[found.covers["red"]].mean() == pytest.approx(red.low, abs=0.5)
    # the strongest plan on blue is surer than the gentlest that will do
    assert blue.low < found.sure[found.covers["blue"]].mean() < blue.reach


def test_a_neat_coat_of_black_over_bare_paper_is_the_darkest(found) -> None:
    from glaze.patch.patches import bare_patches, value
    from glaze.patch.patches import glaze as lay
    from glaze.patch.table import table_of

    table = table_of("resistant", "white cartridge")
    neat = value(table, lay(table, bare_patches(table), table.mix("Black 1"))).item()
    assert region(found, "bare").darkest == pytest.approx(neat, abs=0.02)


def test_the_same_lift_painted_in_the_scene_leaves_the_same_value(folder: Path, found) -> None:
    # value from Y by colour-science's own ASTM D1535
    from colour.notation import munsell_value_ASTMD1535

    plan = LiftPlan(9.0, 2)
    painted = folder.parent / "painted"
    painted.mkdir()
    lift = '[[step]]\nlift = "l"\nregion = "sheet"\nparts_water = 9\ntouches = 2\n'
    (painted / "scene.toml").write_text(PATCHES + lift)
    rgb = linear_rgb(resolve(load_scene(painted), even=True))
    Y = rgb[10:-10, 10:60].reshape(-1, 3) @ np.array([0.2126, 0.7152, 0.0722])
    wanted = float(munsell_value_ASTMD1535(100 * float(np.median(Y))))
    values = found.map.values[found.plans.index(plan)]
    rows, columns = values.shape
    here = values[rows // 4 : -rows // 4, columns // 12 : columns // 4]
    assert float(np.median(here)) == pytest.approx(wanted, abs=0.03)


def test_the_named_plan_is_the_gentlest_that_does(found) -> None:
    blue = region(found, "blue")
    assert blue.low >= 8.5 - 0.25
    weaker = [p for p in found.plans if p.bleach_used < blue.plan.bleach_used]
    assert weaker  # it isn't simply the first of the list


def test_a_grey_picture_of_wishes_is_wanted_as_light_as_it_looks(tmp_path: Path, folder) -> None:
    from PIL import Image

    from glaze.cli.reach_command import _values_of

    grey = np.zeros((20, 60), np.uint8)
    grey[:, 20:40] = 119  # sRGB 119 is Y = 0.184: value 4.9 to 5.0 (ASTM D1535 has 0.1977 for 5)
    Image.fromarray(grey).save(tmp_path / "wish.png")
    values = _values_of(str(tmp_path / "wish.png"))
    assert np.isnan(values[:, :20]).all()
    assert values[0, 30] == pytest.approx(4.85, abs=0.1)
    found = reach_of(load_scene(folder), {}, values)
    columns = found.want.shape[1]
    assert (found.verdict[:, columns // 2] != NO_WISH).all()


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (["--want", "moon=8"], 'No region is called "moon"'),
        (["--want", "blue=12"], "0 \\(black\\) to 10 \\(white\\)"),
        (["--want", "blue"], "write a region and a value"),
        (["--touches", "0"], "0 touches"),
        (["--strengths", "1:4"], "write a dilution as 1\\+8"),
        (["--want-picture", "none.png"], "can't be read as a picture"),
    ],
)
def test_what_cant_be_asked_is_said_and_nothing_written(folder, tmp_path, arguments, told) -> None:
    output = tmp_path / "reach.pdf"
    with pytest.raises(InputError, match=told):
        CliRunner().invoke(
            glaze,
            ["reach", str(folder), "-o", str(output), *arguments],
            catch_exceptions=False,
            standalone_mode=False,
        )
    assert not output.exists()


@pytest.mark.parametrize("command", ["reach", "floor"])
def test_the_command_writes_a_sheet_and_one_json_object(
    folder, tmp_path, command, looked_over
) -> None:
    output = tmp_path / "reach.png"
    arguments = [command, str(folder), "-o", str(output), "--want", "blue=8.5", "--json"]
    result = CliRunner().invoke(glaze, arguments, catch_exceptions=False)
    told = json.loads(result.stdout)
    assert {region["standing"] for region in told["regions"]} == {"assumed"}
    assert output.exists()
    assert {r["name"]: r["verdict"] for r in told["regions"]}["blue"] == "lift"
    assert "poisonous gas" in told["caution"]


def test_the_sheet_carries_the_caution_and_a_hatched_map_in_greys(found, tmp_path) -> None:
    from pypdf import PdfReader

    from glaze.charts.paper.marks import Image, Text
    from glaze.materials.bleach import CAUTION

    (page,) = reach_sheets(found, Layout(day="2026-01-02"), "patches")
    maps = [m.rgb8 for m in page.marks if isinstance(m, Image) and m.name == "picture-2"]
    assert (np.ptp(maps[0], axis=-1) == 0).all()
    letters = {m.text for m in page.marks if isinstance(m, Text) and m.name.startswith("letter")}
    assert letters == {"L", "R", "X"}
    (file,) = write_pages([page], tmp_path / "reach.pdf")
    text = " ".join(PdfReader(file).pages[0].extract_text().split())
    assert " ".join(CAUTION.split()) in text


def test_rows_too_many_stand_closer_rather_than_on_a_page_of_their_own(found) -> None:
    """4.6 mm a row where there is room; down to 4.1 before a second page begins."""

    def pages_of(rows: int) -> list[Page]:
        regions = (list(found.regions) * rows)[:rows]
        return reach_sheets(replace(found, regions=regions), Layout(), "a scene")

    def step_mm(page: Page) -> float:
        at = {m.text: m.y for m in page.marks if isinstance(m, Text) and m.x < page.left + 6}
        return at["9"] - at["8"]

    fullest = next(n for n in range(15, 60) if len(pages_of(n + 1)) == 2)
    assert step_mm(pages_of(12)[0]) == pytest.approx(4.6)
    assert 4.1 <= step_mm(pages_of(fullest)[0]) < 4.3


def test_the_deepest_place_of_a_disc_is_its_middle() -> None:
    i, j = np.indices((41, 61))
    row, column, depth = deepest((i - 20) ** 2 + (j - 40) ** 2 < 100)
    assert (row * 41, column * 61) == pytest.approx((20.5, 40.5))
    assert depth * 41 == pytest.approx(10.0)
