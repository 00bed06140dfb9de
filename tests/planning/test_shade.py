"""A shadow over a region of a sketch: hues read off what lies below, dilutions tried, one written.

Areas are those of the rectangles in the scene; what a painted pixel shows is read with
colour-science from the picture that the pipeline paints.
"""

from __future__ import annotations

import json
from pathlib import Path

import colour
import numpy as np
import pytest
from click.testing import CliRunner

from glaze.charts.sheets.card import card_pages
from glaze.cli.shadow_command import shadow
from glaze.errors import InputError
from glaze.painting.settle import resolve
from glaze.pipeline import render
from glaze.planning.sheet.planner import plan_of
from glaze.planning.sheet.shade import Shade, shade_of
from glaze.scene.edited import change_step, write_changed
from glaze.scene.file import load_scene

SCENE = """# A first line that stays.
format = 1
title = "Three fields"
palette = "lifting"
paper = "white cartridge"
size_mm = [60, 40]
dpi = 76.2

[well]
dusk = "Black 1 part + water 9 parts"    # for shadows

[region.shade]
polygon_mm = [[5, 10], [50, 10], [50, 30], [5, 30]]

[[step]]
wash = "corn"
mix = "Yellow 1 part + water 3 parts"
region = { polygon_mm = [[15, 0], [30, 0], [30, 40], [15, 40]] }
edge = "none"

# In painting order.
[region.rose]
polygon_mm = [[30, 0], [60, 0], [60, 40], [30, 40]]

[[step]]
wash = "rose"
mix = 'Red 1 part + water 2 parts'   # rosy
region = "rose"
edge = "none"
"""

SHADOW = """
[[step]]
wash = "shade"
mix = "dusk"    # too weak?
region = "shade"    # all of it
edge = "none"

# The end.
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "scene.toml").write_text(SCENE + SHADOW)
    return tmp_path


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> Shade:
    folder = tmp_path_factory.mktemp("shade")
    (folder / "scene.toml").write_text(SCENE + SHADOW)
    return shade_of(load_scene(folder), "shade", 2.0)


def test_the_hues_below_are_read_off_the_sheet_with_their_areas(found: Shade) -> None:
    areas = {one.hue.text: one.mm2 for one in found.crossed}
    assert list(areas) == ["rose", "corn", "bare paper"]
    assert [areas[name] for name in areas] == pytest.approx([400, 300, 200], rel=0.05)
    assert not found.new


def test_the_picture_is_as_much_darker_as_each_dilution_is_told_to_make_it(found: Shade) -> None:
    for n, trial in enumerate(found.trials):
        seen = []
        for painting in (found.laid(None), found.laid(trial)):
            linear = colour.cctf_decoding(render(painting, bits=16).rgb / 65535.0)
            seen.append(linear @ colour.RGB_COLOURSPACES["sRGB"].matrix_RGB_to_XYZ[1])
        for one, look, band in zip(found.crossed, found.before, trial.bands, strict=True):
            row, column = one.pixel
            here = slice(row - 4, row + 5), slice(column - 4, column + 5)
            before, after = (
                float(colour.munsell_value(100 * np.mean(Y[here]), "ASTM D1535")) for Y in seen
            )
            # tooth and brush make it uneven, which a mean over 9 pixels doesn't quite take out
            assert before - after == pytest.approx(look.value - band.best, abs=0.15), (n, one.hue)


def test_of_three_dilutions_the_one_that_misses_least_is_named(found: Shade) -> None:
    area = np.array([one.mm2 for one in found.crossed])
    before = np.array([look.value for look in found.before])
    drops = np.array([before - [band.best for band in trial.bands] for trial in found.trials])
    miss = np.sqrt((drops - 2.0) ** 2 @ area / area.sum())
    assert found.fits == int(np.argmin(miss))
    assert [trial.miss for trial in found.trials] == pytest.approx(list(miss), abs=1e-3)
    # from the palest on, each plainly darker than the one before
    assert (np.diff(drops, axis=0) > 0.1).all()


def test_writing_changes_one_line_and_keeps_the_file_as_it_was(folder: Path) -> None:
    told = CliRunner().invoke(
        shadow, [str(folder), "--region", "shade", "--darker", "2", "--write", "--json"]
    )
    answer = json.loads(told.stdout)
    old, new = (SCENE + SHADOW).splitlines(), (folder / "scene.toml").read_text().splitlines()
    assert len(old) == len(new)
    changed = [(a, b) for a, b in zip(old, new, strict=True) if a != b]
    mix = answer["dilutions"][answer["fits_most"] - 1]["mix"]
    assert changed == [('mix = "dusk"    # too weak?', f'mix = "{mix}"    # too weak?')]
    assert Path(answer["kept"]).read_text() == SCENE + SHADOW
    assert load_scene(folder).steps[-1].recipe == mix


def test_a_region_without_a_shadow_gets_one_as_the_last_step(tmp_path: Path) -> None:
    (tmp_path / "scene.toml").write_text(SCENE)
    run = [str(tmp_path), "--region", "shade", "--darker", "1.5"]
    assert CliRunner().invoke(shadow, run).exit_code == 0
    assert (tmp_path / "scene.toml").read_text() == SCENE  # asked only
    assert CliRunner().invoke(shadow, [*run, "--write", "--take", "3"]).exit_code == 0
    text = (tmp_path / "scene.toml").read_text()
    assert text.startswith(SCENE)
    last = load_scene(tmp_path).steps[-1]
    assert (last.name, last.region) == ("shadow on shade", "shade")
    # rose lies in its region on bare paper: it is the colour there, not the shadow
    assert shade_of(load_scene(tmp_path), "rose", 1.0).new


def test_nothing_is_written_over_what_was_saved_meanwhile(folder: Path) -> None:
    scene = load_scene(folder)
    other = (SCENE + SHADOW).replace("water 3 parts", "water 4 parts")
    (folder / "scene.toml").write_text(other)
    with pytest.raises(InputError, match="saved meanwhile"):
        change_step(folder, scene, 2, {"mix": "Black 1 part + water 5 parts"})
    assert (folder / "scene.toml").read_text() == other


@pytest.mark.parametrize("mix", ['"""dusk"""', '"""\ndusk"""'])
def test_a_scene_that_cant_be_changed_in_one_place_is_left_alone(folder: Path, mix: str) -> None:
    text = (SCENE + SHADOW).replace('"dusk"', mix)
    (folder / "scene.toml").write_text(text)
    with pytest.raises(InputError, match="by hand: mix"):
        change_step(folder, load_scene(folder), 2, {"mix": "Black 1 part + water 5 parts"})
    assert (folder / "scene.toml").read_text() == text
    assert [file.name for file in folder.iterdir()] == ["scene.toml"]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["--region", "shade"], "--darker"),
        (["--region", "shade", "--darker", "0"], "more than 0"),
        (["--region", "shadee", "--darker", "2"], "shade"),
        (["--region", "shade", "--darker", "2", "--paper", "cream cartridge"], "leave out --paper"),
        (["--region", "shade", "--darker", "2", "--take", "2"], "--write"),
        (["--darker", "2", "-o", "strip.png"], "--region"),
    ],
)
def test_what_doesnt_go_is_told(folder: Path, words: list[str], told: str) -> None:
    found = CliRunner().invoke(shadow, [str(folder), *words])
    assert isinstance(found.exception, InputError)
    assert told in str(found.exception)


def test_the_card_has_two_swatches_for_each_hue_that_a_shadow_crosses(folder: Path) -> None:
    plan = plan_of(load_scene(folder))
    names = [
        mark.name for page in card_pages(plan, day="2026-01-01") for mark in page.marks if mark.name
    ]
    pairs = [name for name in names if " hue " in name]
    assert pairs == [f"step 3 hue {n} {k}" for n in (1, 2, 3) for k in (1, 2)]
    crosses = plan.as_dict()["steps"][2]["crosses"]
    assert [one["hue"] for one in crosses] == ["rose", "corn", "bare paper"]
    assert all(one["after"]["value"] < one["before"]["value"] for one in crosses)
    assert "crosses" not in plan.as_dict()["steps"][1]


def test_the_strip_shows_each_hue_as_it_is_and_under_three_dilutions(
    folder: Path, looked_over
) -> None:
    strip = folder / "strip.svg"
    run = [str(folder), "--region", "shade", "--darker", "2", "-o", str(strip)]
    assert CliRunner().invoke(shadow, run).exit_code == 0
    assert strip.read_text().count("<image") == 3 * 4


def test_the_sheet_below_is_the_scenes_own(found: Shade) -> None:
    own = render(resolve(found.scene).until(2))
    assert (render(found.laid(None)).rgb == own.rgb).all()


def test_a_scene_changed_a_thousand_times_is_still_kept(tmp_path: Path) -> None:
    for n in range(1, 1000):
        (tmp_path / f"scene before {n}.toml").touch()
    file = tmp_path / "scene.toml"
    file.write_bytes(b"old")
    kept = write_changed(file, b"new", b"old")
    assert kept.name == "scene before 1000.toml"
    assert kept.read_bytes() == b"old"
