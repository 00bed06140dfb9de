"""A shadow that falls over many hues is found as one wash, on drawings with a known shadow.

Two roughs of our own, coloured by script and not by the law that paints: each colour is chosen by
eye, its fill is uneven and its shade darker by a factor of its own; where the shadow lies is known.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageDraw

from glaze.painting.settle import regions_of
from glaze.planning.rough.laid import lay_rough
from glaze.planning.rough.pieces import pieces_of
from glaze.planning.rough.propose import Proposal, propose
from glaze.planning.rough.shadows import shadows_of
from glaze.planning.rough.trials import Bottles
from glaze.scene.laid_out import table_of_scene
from glaze.scene.starter import sketch_scene
from glaze.sheet.units import FULL
from tests.accuracy.hand_coloured import light_of, signal_of
from tests.planning.rough.conftest import DPI, PER_MM

Mask = np.ndarray
SIZE = tuple(round(side * PER_MM) for side in (120.0, 90.0))
HUES = ("#e8a090", "#f0d878", "#98c0dc", "#bca8d0", "#a8cc98", "#e8c8a8", "#f0b070", "#d890a8")


def _fence(pen: ImageDraw.ImageDraw, fill: Callable[[int], object], outline: object) -> None:
    """Sixteen boards in two rows, beside one another."""
    for n in range(16):
        x, y = 8 + 13 * (n % 8), 12 + 36 * (n // 8)
        box = [round(v * PER_MM) for v in (x, y, x + 12, y + 32)]
        pen.rectangle(box, fill(n), outline, 3)


def _table(pen: ImageDraw.ImageDraw, fill: Callable[[int], object], outline: object) -> None:
    """Six plates on a table's cloth."""
    width, height = SIZE
    pen.rectangle([0, round(0.2 * height), width, height], fill(5), outline, 3)
    for n in range(6):
        x, y, r = 22 + 38 * (n % 3), 36 + 32 * (n // 3), 13
        pen.ellipse([round(v * PER_MM) for v in (x - r, y - r, x + r, y + r)], fill(n), outline, 3)


def _across(x: Mask, y: Mask) -> Mask:
    """A band that falls aslant over the fence, as a roof's shadow does."""
    return (y > 20 + 0.25 * x) & (y < 44 + 0.25 * x) & (x > 8) & (x < 112)


def _under(x: Mask, y: Mask) -> Mask:
    """A shadow over the left of the table, as a person's at a window."""
    return (x < 40 + 8 * np.sin(y / 9.0)) & (y > 18)


SCENES = {
    "fence": (_fence, _across, (0.42, 0.42, 0.44)),
    "table": (_table, _under, (0.5, 0.46, 0.5)),
}


def _drawn(kind: str, home: Path) -> Mask:
    """The sketch and the rough of a drawing, written; gives where its shadow lies."""
    draw, falls, leaves = SCENES[kind]
    sketch = Image.new("L", SIZE, 255)
    draw(ImageDraw.Draw(sketch), lambda _n: 255, 0)
    sketch.save(home / "sketch.png", dpi=(DPI, DPI))
    chance = np.random.default_rng(7)
    colours = chance.permutation(len(HUES))
    rough = Image.new("RGB", SIZE, "#f6f4ee")
    draw(ImageDraw.Draw(rough), lambda n: HUES[colours[n % len(HUES)]], None)
    light = lights_of(np.asarray(rough))
    y, x = np.indices(light.shape[:2]) / PER_MM
    shadow = falls(x, y)
    coarse = Image.fromarray(chance.normal(1.0, 0.06, (12, 16)).astype(np.float32))
    uneven = np.asarray(coarse.resize(SIZE, Image.Resampling.BICUBIC))[..., None]
    shade = np.where(shadow[..., None], np.array(leaves), 1.0)
    light = light * uneven * shade * chance.normal(1.0, 0.015, light.shape)
    light *= np.asarray(sketch)[..., None] / 255
    Image.fromarray(signal_of(light)).save(home / "rough.png")
    # only what a colour lies under is a shadow on something
    return np.asarray(shadow & (np.asarray(rough) != np.array([246, 244, 238])).any(axis=-1))


def lights_of(rgb: np.ndarray) -> np.ndarray:
    table = np.array([light_of(f"#{n:02x}0000")[0] for n in range(256)])
    return np.asarray(table[rgb])


def _under_one(found: Proposal, shadow: Mask) -> float:
    """Share of a shadow that lies under the wash that lies on most of it, and on less elsewhere."""
    shares = [0.0]
    for step in found.painting.steps:
        lies = step.coverage > FULL // 2
        inside = float(lies[shadow].mean())
        shares.append(inside if inside > lies[~shadow].mean() else 0.0)
    return max(shares)


@pytest.mark.parametrize("kind", SCENES)
def test_a_shadow_over_many_hues_is_one_wash_on_four_fifths_of_it(kind, tmp_path):
    shadow = _drawn(kind, tmp_path)
    scene = sketch_scene(tmp_path / "sketch.png")
    found = propose(scene, tmp_path / "rough.png", wells=8, steps=12)
    assert _under_one(found, shadow) >= 0.8
    assert found.mean < 4.0
    assert any("shadow" in step.name for step in found.scene.steps)


def test_a_fainter_shadow_is_the_same_wash_let_down_and_a_lone_one_stays_alone(tmp_path):
    """The fence with a second band that leaves 70 % of the light where the first leaves 42 %."""
    deep = _drawn("fence", tmp_path)
    rough = np.asarray(Image.open(tmp_path / "rough.png"))
    scene = sketch_scene(tmp_path / "sketch.png")
    areas, table = regions_of(scene).areas(), table_of_scene(scene)
    bottles = Bottles(table)
    assert len(shadows_of(lay_rough(tmp_path / "rough.png", areas, table), bottles)) == 1
    y, x = np.indices(rough.shape[:2]) / PER_MM
    faint = (y > 62) & (y < 74) & (x > 20) & (x < 100) & ~_across(x, y)
    light = lights_of(rough)
    light[faint] *= (0.7, 0.7, 0.71)
    Image.fromarray(signal_of(light)).save(tmp_path / "rough.png")
    laid = lay_rough(tmp_path / "rough.png", areas, table)
    one, other = shadows_of(laid, bottles)
    # weaker, of the same bottles: by Beer's law the light left goes as ln 0.42 to ln 0.70, 2.4
    assert 1.8 < one.mix.sum() / other.mix.sum() < 5.0
    assert other.mix / other.mix.sum() == pytest.approx(one.mix / one.mix.sum())
    step = round(laid.mm * areas.per_mm)
    rows, columns = laid.number.shape
    grid = slice(step // 2, rows * step, step), slice(step // 2, columns * step, step)
    boards = (areas.number > 0) & (areas.number != areas.number[2, 2])
    # of the seven boards that the faint one crosses one is taken for a wash of its own
    for shadow, falls, share in ((one, deep, 0.8), (other, faint, 0.75)):
        there = np.flatnonzero((falls & boards)[grid].ravel() & laid.seen.ravel())
        assert np.isin(there, shadow.at).mean() > share


def test_a_wall_left_and_right_of_its_door_is_two_tones_and_no_grade(tmp_path):
    """One area whose two tones lie apart: the gap between them is no run of colours."""
    width = SIZE[0]
    sketch = Image.new("L", SIZE, 255)
    pen = ImageDraw.Draw(sketch)
    wall, door = [round(v * PER_MM) for v in (10, 10, 110, 80)], [width * 0.4, 0, width * 0.6, 0]
    pen.rectangle(wall, 255, 0, 3)
    door[1], door[3] = round(25 * PER_MM), wall[3]
    pen.rectangle(door, 255, 0, 3)
    sketch.save(tmp_path / "sketch.png", dpi=(DPI, DPI))
    rough = Image.new("RGB", SIZE, "#f6f4ee")
    pen = ImageDraw.Draw(rough)
    pen.rectangle(wall, "#e8b090")
    pen.rectangle([wall[0], wall[1], width // 2, wall[3]], "#8a6450")
    pen.rectangle(door, "#88a8c8")
    ink = np.asarray(sketch)[..., None] / 255
    Image.fromarray(np.rint(np.asarray(rough) * ink).astype(np.uint8)).save(tmp_path / "rough.png")
    scene = sketch_scene(tmp_path / "sketch.png")
    laid = lay_rough(tmp_path / "rough.png", regions_of(scene).areas(), table_of_scene(scene))
    of_wall = [piece for piece in pieces_of(laid) if piece.mm2 > 500]
    assert len(of_wall) >= 2
    assert not any(piece.runs for piece in of_wall)
    # two tones and a door are three colours: a fourth wash would gain what no eye sees
    found = propose(scene, tmp_path / "rough.png", wells=6, steps=12)
    assert 2 <= len(found.scene.steps) <= 3
    assert found.mean < 1.0


def test_what_lies_close_to_a_line_is_read(tmp_path):
    """Boards of 4 mm between lines: most of each is read, not a strip in its middle."""
    sketch = Image.new("L", SIZE, 255)
    pen = ImageDraw.Draw(sketch)
    for n in range(20):
        pen.rectangle([round(v * PER_MM) for v in (10 + 4 * n, 10, 14 + 4 * n, 80)], 255, 0, 3)
    sketch.save(tmp_path / "sketch.png", dpi=(DPI, DPI))
    rough = Image.new("RGB", SIZE, "#f6f4ee")
    pen = ImageDraw.Draw(rough)
    for n in range(20):
        box = [round(v * PER_MM) for v in (10 + 4 * n, 10, 14 + 4 * n, 80)]
        pen.rectangle(box, HUES[n % 8], "black", 3)
    rough.save(tmp_path / "rough.png")
    scene = sketch_scene(tmp_path / "sketch.png")
    laid = lay_rough(tmp_path / "rough.png", regions_of(scene).areas(), table_of_scene(scene))
    rows, columns = (slice(round(a / laid.mm), round(b / laid.mm)) for a, b in ((15, 75), (12, 88)))
    # margins of a whole sample each side, 0.5 mm, left 0.36 to be read
    assert laid.seen[rows, columns].mean() > 0.45
