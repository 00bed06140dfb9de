"""Numbers of areas kept for a sketch that was drawn on: found ones stay, new ones count on."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image, ImageDraw

from glaze.cli.areas_command import areas
from glaze.painting.settle import regions_of
from glaze.region.numbered import read_kept
from glaze.scene.file import load_scene
from glaze.scene.starter import start_scene

DPI = 100
RINGS = {"large": (90, 100, 70), "middle": (260, 90, 50), "small": (250, 220, 30)}


def draw(path: Path, *rings: tuple[int, int, int], shift: int = 0) -> None:
    """Rings of a middle and a radius in pixels on a sheet of about 90 x 70 mm."""
    sheet = Image.new("L", (360, 280), 255)
    pen = ImageDraw.Draw(sheet)
    for x, y, r in rings:
        pen.ellipse((x - r + shift, y - r, x + r + shift, y + r), outline=0, width=3)
    sheet.save(path, dpi=(DPI, DPI))


@pytest.fixture
def scene(tmp_path: Path) -> Path:
    draw(tmp_path / "rings.png", *RINGS.values())
    start_scene(tmp_path / "rings.png", tmp_path / "rings")
    return tmp_path / "rings"


def number_at(scene: Path, x: int, y: int) -> int:
    """The number that a place of the sketch [px] goes by in the file that keeps them."""
    found = regions_of(load_scene(scene))
    now = {area: kept for kept, area in (found.numbers() or {}).items()}
    return now[found.areas().at((x * 25.4 / DPI, y * 25.4 / DPI))]


def run(scene: Path, *words: str):
    return CliRunner().invoke(areas, [str(scene), *words], catch_exceptions=False)


def test_found_areas_keep_their_numbers_and_new_ones_count_on(scene: Path) -> None:
    before = {name: number_at(scene, x, y) for name, (x, y, _) in RINGS.items()}
    old = (scene / "areas.json").read_bytes()
    # the middle ring is rubbed out, all is moved by a quarter of a cm, and one is drawn anew
    new = (80, 235, 24)
    draw(scene / "rings.png", RINGS["large"], RINGS["small"], new, shift=10)
    told = json.loads(run(scene, "--renumber", "--json").stdout)
    assert number_at(scene, 100, 100) == before["large"]
    assert number_at(scene, 260, 220) == before["small"]
    assert number_at(scene, 90, 235) == max(before.values()) + 1
    assert told["lost"] == [before["middle"]]
    assert told["new"] == [max(before.values()) + 1]
    assert Path(told["kept"]).read_bytes() == old


def test_a_region_whose_area_is_gone_is_named(scene: Path) -> None:
    gone = number_at(scene, *RINGS["middle"][:2])
    draw(scene / "rings.png", RINGS["large"], RINGS["small"])
    told = run(scene, "--renumber").stdout
    assert f"names area {gone}, which is gone" in told
    assert "3 areas keep their numbers; new: 0." in told
    assert "Write numbered" not in told


def test_a_scene_without_kept_numbers_is_told_how_to_take_them(tmp_path: Path) -> None:
    draw(tmp_path / "rings.png", *RINGS.values())
    (tmp_path / "scene.toml").write_text(
        'format = 1\npalette = "lifting"\npaper = "white cartridge"\nsketch = "rings.png"\n'
    )
    told = run(tmp_path, "--renumber").stdout
    assert 'Write numbered = "areas.json" into [areas].' in " ".join(told.split())
    assert len(read_kept(tmp_path / "areas.json")) == 4


def test_a_damaged_file_is_numbered_anew_as_its_message_says(scene: Path) -> None:
    (scene / "areas.json").write_text("[]")
    told = run(scene, "--renumber").stdout
    assert "0 areas keep their numbers; new: 4." in told
    assert [area.number for area in read_kept(scene / "areas.json")] == [1, 2, 3, 4]
    assert (scene / "areas before 1.json").read_text() == "[]"
    # as it was drawn: from the largest on
    assert np.argsort([number_at(scene, x, y) for x, y, _ in RINGS.values()]).tolist() == [0, 1, 2]
