"""From one's own drawing to a painted picture: areas by number, first washes, no coordinate."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image, ImageDraw

from glaze.charts.sheets.areas_sheet import areas_sheet
from glaze.cli.main import glaze
from glaze.errors import InputError
from glaze.region.areas import areas_of
from glaze.region.groups import groups_of, neighbours, parted
from glaze.scene.examples import copy_example
from glaze.scene.file import load_scene
from glaze.sketch.line import read_sketch

DPI = 127  # 5 px to the mm


@pytest.fixture
def drawing(tmp_path: Path) -> Path:
    """A horizon, a house with a door, and six grapes that nearly touch; 100 x 80 mm."""
    image = Image.new("L", (500, 400), 250)
    draw = ImageDraw.Draw(image)
    draw.line([(0, 250), (500, 240)], 20, 4)
    draw.rectangle((100, 100, 220, 248), outline=20, width=4)
    draw.rectangle((140, 180, 180, 248), outline=20, width=4)
    for n in range(6):
        x, y = 280 + 62 * (n % 3), 270 + 62 * (n // 3)
        draw.ellipse((x, y, x + 58, y + 58), outline=20, width=4)
    image.save(tmp_path / "farm.png", dpi=(DPI, DPI))
    return tmp_path / "farm.png"


def run(*words: object) -> str:
    done = CliRunner().invoke(glaze, [str(word) for word in words], catch_exceptions=False)
    assert done.exit_code == 0, done.output
    return done.output


def test_two_commands_and_no_coordinate_give_a_painted_picture(drawing: Path) -> None:
    told = run("new", drawing)
    assert "The sheet is 100 x 80 mm, at 127 dpi: " in told
    home, out = drawing.with_suffix(""), drawing.with_name("out.png")
    assert sorted(f.name for f in home.iterdir()) == [
        *("areas.json", "areas.png", "farm.png", "scene.toml"),
    ]
    run("preview", home, "-o", out)
    rgb = np.asarray(Image.open(out).convert("RGB")).astype(int)
    bare = rgb.min(axis=2) > 225
    # the house's wall, its door, the sky and the ground all have a colour of their own
    places = {"wall": (120, 110), "door": (210, 160), "sky": (40, 400), "ground": (380, 40)}
    seen = {name: tuple(rgb[at]) for name, at in places.items()}
    assert not any(bare[at] for at in places.values())
    assert min(
        np.abs(np.subtract(seen[a], seen[b])).max() for a in seen for b in seen if a < b
    ) > 12  # fmt: skip
    steps = load_scene(home).steps
    assert any(step.name.count(",") == 5 for step in steps)  # the six grapes in one go


def test_an_example_is_copied_to_a_new_or_empty_folder_and_never_over_anything(
    tmp_path: Path,
) -> None:
    (tmp_path / "empty").mkdir()
    for name in ("new", "empty"):
        run("example", "kettle", tmp_path / name)
        assert load_scene(tmp_path / name).steps
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "scene.toml").write_text("mine")
    with pytest.raises(InputError, match="already there"):
        copy_example("kettle", tmp_path / "mine")
    assert [f.read_text() for f in (tmp_path / "mine").iterdir()] == ["mine"]


def test_areas_of_a_kind_are_one_group_and_neighbours_differ_in_colour(drawing: Path) -> None:
    areas = areas_of(read_sketch(drawing), 4.0)
    groups = groups_of(areas)
    at = {name: areas.at(mm) for name, mm in {"sky": (80, 8), "ground": (8, 76)}.items()}
    grapes = {areas.at(((309 + 62 * (n % 3)) / 5, (299 + 62 * (n // 3)) / 5)) for n in range(6)}
    assert set(next(g for g in groups if grapes & set(g))) == grapes
    assert (at["sky"],) in groups  # what runs to the edge is a wash of its own
    assert (at["ground"],) in groups
    colours = dict(zip(groups, parted(areas, groups, 7), strict=True))
    home = {number: group for group in groups for number in group}
    for one, other in neighbours(areas):
        if one in home and other in home and home[one] != home[other]:
            assert colours[home[one]] != colours[home[other]]


def test_a_sketch_is_tinted_in_one_command_by_number(drawing: Path, tmp_path: Path) -> None:
    areas = areas_of(read_sketch(drawing), 4.0)
    wall, sky = areas.at((22, 24)), areas.at((80, 8))
    table = tmp_path / "washes.txt"
    table.write_text(f"# the sky\n{sky}: Blue 1 + water 12\n")
    out = tmp_path / "out.png"
    run("tint", drawing, f"{wall}: Red 1 + water 8", "--table", table, "-o", out)
    rgb = np.asarray(Image.open(out).convert("RGB")).astype(int)
    assert rgb[120, 110, 0] > rgb[120, 110, 2] > 0  # red wall
    assert rgb[40, 400, 2] > rgb[40, 400, 0] + 20  # blue sky
    assert rgb[380, 40].min() > 225  # the ground stays bare
    assert [s.recipe for s in load_scene(drawing.with_suffix("")).steps] == [
        *("Red 1 + water 8", "Blue 1 + water 12"),
    ]


@pytest.mark.parametrize(
    ("wash", "told"),
    [
        ("99: Red 1", "There is no area 99"),
        ("red", "write areas and their mix"),
        ("1: Rde 1", 'Did you mean "Red"'),
    ],
)
def test_a_wash_that_cant_be_is_told(drawing: Path, tmp_path: Path, wash: str, told: str) -> None:
    with pytest.raises(InputError, match=told):
        run("tint", drawing, wash, "-o", tmp_path / "out.png")
    assert not (tmp_path / "out.png").exists()


def test_which_area_is_where_is_answered_in_mm_and_in_pixels(drawing: Path, tmp_path: Path) -> None:
    run("new", drawing)
    home = drawing.with_suffix("")
    found = json.loads(run("areas", home, "--json"))
    assert len(found["areas"]) >= 9
    largest = max(found["areas"], key=lambda area: area["mm2"])
    by_mm = json.loads(run("areas", home, "--at", "80,8", "--json"))
    assert by_mm == json.loads(run("areas", home, "--pixel", "400,40", "--json"))
    assert by_mm["area"] == largest["called"]
    run("areas", home, "--names", "-o", tmp_path / "named.png")
    with Image.open(tmp_path / "named.png") as drawn:
        assert drawn.size[0] > 500
    with pytest.raises(InputError, match="lies on a line"):
        run("areas", home, "--at", f"{100 / 5},30")


def test_the_sheet_of_areas_prints_at_true_size_and_lists_what_is_too_small(drawing: Path) -> None:
    areas = areas_of(read_sketch(drawing), 4.0)
    labels = {area.number: str(area.number) for area in areas.listed}
    rgb, dpi = areas_sheet(areas, labels)
    plain, _ = areas_sheet(areas, {})
    changed = (rgb != plain).any(axis=2)
    edge = round(9.0 * dpi / 25.4)
    for area in areas.listed[:3]:
        x, y = (edge + round(mm * dpi / 25.4) for mm in area.at_mm)
        assert changed[y - 8 : y + 9, x - 8 : x + 9].any()
    tiny = min(areas.listed, key=lambda area: area.mm2)
    if tiny.mm2 < 6:
        assert changed[:, edge + 500 :].any()


def test_a_column_stands_beside_the_areas_only_where_something_is_listed(drawing: Path) -> None:
    """Else the sketch has 9 mm of figures or air at each side."""
    areas = areas_of(read_sketch(drawing), 4.0)
    numbered, dpi = areas_sheet(areas, {area.number: "1" for area in areas.listed})
    listed, _ = areas_sheet(areas, {area.number: "a name too long" * 9 for area in areas.listed})
    wide_mm = areas.sketch.size_mm[0]
    assert numbered.shape[1] * 25.4 / dpi == pytest.approx(wide_mm + 2 * 9.0, abs=1.0)
    assert listed.shape[1] > numbered.shape[1]
