"""A hand lays its films unevenly and keeps their average; a steady one lays them even."""

from __future__ import annotations

import itertools
from types import SimpleNamespace

import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image

from glaze.cli.scene_commands import preview
from glaze.errors import InputError
from glaze.painting.lay import sheet_at
from glaze.painting.settle import Painting, ground_of, regions_of, resolve
from glaze.picture.file import Picture
from glaze.pipeline import linear_rgb
from glaze.planning.looks.days import days_apart
from glaze.region.combine import Cover
from glaze.scene.file import scene_of, write_scene
from glaze.sheet.rect import Rect, whole
from glaze.sheet.unevenness import tooth
from glaze.sheet.units import FILM_UNIT, FULL

FIELD = {"polygon_mm": [[10, 10], [110, 10], [110, 70], [10, 70]]}
SHAPES = {
    "a field": FIELD,
    "a hut": {"polygon_mm": [[20, 60], [20, 30], [35, 12], [50, 30], [50, 60]]},
    "a dot": {"ellipse_mm": {"centre": [60, 40], "radii": [1.5, 1.2]}},
    "a reed": {"pen_line_mm": {"points": [[10, 70], [60, 20], [110, 15]], "width": 1.2}},
    "a glow": {"ellipse_mm": {"centre": [60, 40], "radii": [20, 12]}, "soft_mm": 6},
    "the sheet": "sheet",
}


def painted(dpi: float = 150, size=(120, 80), even: bool = False, **keys) -> Painting:
    head = {name: keys.pop(name) for name in ("seed", "manner") if name in keys}
    step = {"wash": "shade", "mix": "Blue 1 + water 3", "region": FIELD, "edge": "none"} | keys
    raw = {
        "format": 1,
        "palette": "lifting",
        "paper": "white hot-pressed",
        "size_mm": list(size),
        "dpi": dpi,
        "hand": head.get("manner", "practised"),
        "seed": head.get("seed", 1),
        "step": [step],
    }
    return resolve(scene_of(raw, "."), even=even)


def film(**keys) -> np.ndarray:
    return painted(**keys).steps[0].film / FILM_UNIT


def edge_mm(dpi: float) -> np.ndarray:
    """Where the upper edge of the field lies at each mm of its length [mm]."""
    inside = film(dpi=dpi, carried="right")[: round(30 * dpi / 25.4)]
    columns = np.rint(np.arange(15, 105) * dpi / 25.4).astype(int)
    return (np.minimum(inside, 1) < 0.5).sum(axis=0)[columns] * 25.4 / dpi


@pytest.mark.parametrize("edge", ["none", "drying line"])
@pytest.mark.parametrize("graded", [None, {"from_mm": [0, 10], "to_mm": [0, 70], "end": 0.2}])
@pytest.mark.parametrize("shape", SHAPES)
def test_the_mean_load_of_a_region_is_what_the_law_lays(shape, graded, edge):
    keys = {"region": SHAPES[shape], "edge": edge, "manner": "loose"}
    keys |= {"graded": graded} if graded else {}
    assert film(**keys).sum() == pytest.approx(film(even=True, **keys).sum(), rel=1e-3)


def test_a_steady_hand_lays_it_even():
    even = film(even=True, edge="drying line")
    assert np.array_equal(film(manner="steady", edge="drying line"), even)
    assert np.array_equal(film(hand="steady", edge="drying line"), even)
    assert not np.array_equal(film(edge="drying line"), even)


def test_a_loose_hand_leaves_twice_what_a_practised_one_does():
    # all amounts are linear in the hand's; where they are cut off, by the mean kept, a little less
    inside = slice(100, 380), slice(100, 600)
    spread = {hand: film(manner=hand)[inside].std() for hand in ("practised", "loose")}
    assert spread["loose"] / spread["practised"] == pytest.approx(2.0, rel=0.02)


def test_a_step_may_have_a_hand_of_its_own_but_not_on_a_figure():
    assert np.ptp(film(manner="steady", hand="loose")[60:300, 100:500]) > 0.05
    assert np.ptp(film(even=True, hand="loose")[100:300, 100:500]) == 0.0


def test_the_same_day_gives_the_same_bytes_and_another_day_or_step_others():
    first = film()
    assert np.array_equal(film(), first)
    assert not np.array_equal(film(seed=2), first)
    assert not np.array_equal(film(wash="another"), first)


def test_an_edge_wanders_by_tenths_of_a_millimetre_and_slips_now_and_then():
    found = edge_mm(300)
    assert found.mean() == pytest.approx(10.0, abs=0.15)
    assert 0.03 < found.std() < 0.25
    assert 0.15 < np.abs(found - 10.0).max() < 0.95


def test_the_same_hand_at_any_resolution():
    apart = np.abs(edge_mm(300) - edge_mm(150))
    assert apart.mean() < 0.06  # a pixel of the coarser is 0.17 mm
    assert apart.max() < 0.13


def test_a_softened_edge_is_lost_and_found_along_it():
    inside = film(carried="right", region=FIELD | {"soft_mm": 6})[: round(40 * 150 / 25.4)]
    inside = inside[:, round(20 * 150 / 25.4) : round(100 * 150 / 25.4)] / inside[-1].mean()
    wide = ((inside > 0.2) & (inside < 0.8)).sum(axis=0) * 25.4 / 150
    assert wide.min() < 0.6 * np.median(wide) < 0.6 * 4.0
    assert wide.max() > 1.25 * np.median(wide)


def test_a_wash_is_fuller_where_it_ended_and_thinner_where_it_began():
    def ends(**keys) -> tuple[float, float]:
        rows = film(size=(120, 80), **keys)[:, 100:600].mean(axis=1)
        per_mm = 150 / 25.4
        return rows[round(11 * per_mm) : round(13 * per_mm)].mean(), rows[
            round(67 * per_mm) : round(69 * per_mm)
        ].mean()

    top, bottom = ends()
    assert bottom - top > 0.05
    top, bottom = ends(carried="up")
    assert top - bottom > 0.05
    assert np.subtract(*ends(tilt_degrees=12)[::-1]) > np.subtract(*ends()[::-1]) * 1.4


def test_between_fibres_more_shows_in_a_thin_wash():
    def grain(share: float) -> float:
        graded = {"from_mm": [0, 79], "to_mm": [0, 80], "start": share, "end": share}
        here = film(graded=graded)[150:330, 150:550] / share
        fine = here[1:, 1:] - here[:-1, :-1]
        return float(fine.std())

    assert grain(0.2) > 1.4 * grain(1.0) > 0.01


def test_fibres_lie_every_way_and_on_no_lattice():
    fibres = tooth((768, 768), 300) / 127
    assert fibres.mean() == pytest.approx(0.0, abs=0.02)
    power = np.abs(np.fft.rfft2(fibres)) ** 2
    v, u = np.meshgrid(np.fft.fftfreq(768), np.fft.rfftfreq(768), indexing="ij")
    way, far = np.degrees(np.arctan2(v, u)) % 90, np.hypot(u, v)
    felt = (far > 0.02) & (far < 0.2)
    sectors = [power[felt & (way // 15 == n)].mean() for n in range(6)]
    assert max(sectors) / min(sectors) < 1.35
    # a lattice would show as one wave that carries much of the whole
    assert power[felt].max() < 3e-3 * power[felt].sum()


def test_strokes_of_a_graded_wash_show_as_bands_across_its_grade():
    sheet = film(graded={"from_mm": [0, 10], "to_mm": [0, 70], "end": 0.3}, region="sheet")
    even = film(
        graded={"from_mm": [0, 10], "to_mm": [0, 70], "end": 0.3}, region="sheet", even=True
    )
    bands = (sheet / even)[100:380, 60:640]
    along, across = bands.mean(axis=1), bands.mean(axis=0)
    along, across = along - np.convolve(along, np.ones(80) / 80, "same"), across - across.mean()
    assert along[60:-60].std() > 0.008
    assert along[60:-60].std() > 1.5 * across[60:-60].std() * (280 / 580) ** 0.5


def test_a_drying_line_is_broken_in_places_and_of_uneven_width():
    free = film(dpi=300, carried="right", edge="none")
    rim = film(dpi=300, carried="right", edge="drying line") - free
    side = np.clip(rim[110:150, 200:1250], 0, None)  # across the upper edge
    gain, width = side.max(axis=0), side.sum(axis=0) / np.maximum(side.max(axis=0), 0.05)
    assert 0.3 < gain.mean() < 0.65
    assert 0.02 < (gain < 0.12).mean() < 0.35
    lies = gain > 0.3
    assert width[lies].std() > 0.12 * width[lies].mean()


@pytest.mark.parametrize(
    ("keys", "found", "allowed"),
    [
        ({"manner": "shaky"}, "shaky", "practised"),
        ({"hand": "shaky"}, "shaky", "practised"),
        ({"seed": 0}, "0", "another day of the same hand"),
        ({"carried": "sideways"}, "sideways", "down"),
        ({"tilt_degrees": 61}, "61", "degrees of the board"),
    ],
)
def test_a_hand_there_is_not_is_told_in_words(keys, found, allowed):
    with pytest.raises(InputError) as told:
        painted(**keys)
    assert found in str(told.value)
    assert allowed in str(told.value)


def test_a_region_painted_with_a_brush_keeps_its_edge():
    scene = scene_of(
        {
            "format": 1,
            "palette": "lifting",
            "paper": "white hot-pressed",
            "size_mm": [60, 40],
            "dpi": 150,
            "region": {"stroke": {"polygon_mm": [[10, 10], [50, 10], [50, 30]]}},
            "step": [{"wash": "a", "mix": "Blue 1", "region": "stroke", "edge": "none"}],
        },
        ".",
    )
    mask = np.zeros((236, 354), np.uint16)
    mask[60:180, 60:300] = 65535
    for by_brush in (True, False):
        cover = Cover(mask, "brushed", painted=by_brush)
        film = resolve(scene, painted={"stroke": cover}).steps[0].film
        assert np.array_equal(film > 0, mask > 0) == by_brush


# ---- lifts


def lifted(step: dict, dpi: float = 300, hand: str = "practised", even: bool = False) -> Painting:
    raw = {
        "format": 1,
        "palette": "lifting",
        "paper": "white hot-pressed",
        "size_mm": [60, 40],
        "dpi": dpi,
        "hand": hand,
        "step": [
            {"wash": "ground", "mix": "Blue 1 + water 1", "region": "sheet", "hand": "steady"},
            step,
        ],
    }
    return resolve(scene_of(raw, "."), even=even)


def dots(**keys) -> np.ndarray:
    """Dose over eight dots of 2 mm, each in a square of 4 mm."""
    ellipses = [{"centre": [8 + 6 * n, 20], "radii": [1, 1]} for n in range(8)]
    step = {"lift": "dots", "region": {"ellipse_mm": ellipses}, "tool": "dip pen"}
    painted = lifted(step, **keys).steps[1]
    field, side = painted.film / painted.UNIT, 300 / 25.4
    rows = slice(round(18 * side), round(22 * side))
    return np.array(
        [field[rows, round((6 + 6 * n) * side) :][:, : round(4 * side)] for n in range(8)]
    )


def test_dots_of_bleach_are_never_alike_and_hold_the_bleach_of_even_ones():
    by_hand, even = dots(), dots(even=True)
    assert by_hand.sum() == pytest.approx(even.sum(), rel=2e-3)
    each = by_hand.sum(axis=(1, 2)) / even.sum(axis=(1, 2))
    assert each.std() > 0.02
    assert 0.6 < each.min() < each.max() < 1.5
    pairs = itertools.combinations(by_hand, 2)
    apart = [np.abs(a - b).mean() / even[0].mean() for a, b in pairs]
    assert min(apart) > 0.1
    assert np.abs(even[0] - even[4]).mean() / even[0].mean() < 0.06  # but for where pixels fall


def test_bleach_stands_higher_in_the_middle_of_a_mark_and_runs_out_along_the_fibres():
    by_hand, even = dots(), dots(even=True)
    assert (by_hand[:, 20:27, 20:27] / even[:, 20:27, 20:27]).mean() > 1.1
    edge = (even > 0.2) & (even < 0.6)
    assert (by_hand / np.maximum(even, 1e-3))[edge].std() > 0.2


@pytest.mark.parametrize("width", [0.4, 0.6, 1.0])
def test_a_pen_line_of_bleach_is_as_wide_as_said(width):
    region = {"pen_line_mm": {"points": [[5, 20], [55, 20]], "width": width}}
    step = {"lift": "hair", "region": region, "tool": "dip pen", "parts_water": 9}
    painted = lifted(step)
    light = linear_rgb(painted)[..., 0]
    across = light[:, 120:600].mean(axis=1)
    across = (across - across[:100].mean()) / (across.max() - across[:100].mean())
    seen = (across > 0.5).sum() * 25.4 / 300
    assert seen == pytest.approx(width, abs=0.2)


def test_a_water_lift_drives_some_of_what_it_loosens_to_its_rim():
    region = {"ellipse_mm": {"centre": [30, 20], "radii": [12, 9]}}
    step = {"water_lift": "cloud", "region": region, "minutes": 4}
    ground = lifted(step, even=True).until(1)
    laid = sheet_at(ground, whole(ground.shape)).load_g_per_m2.sum(axis=2)
    y, x = np.indices(laid.shape) * 25.4 / 300
    out = np.hypot((x - 30) / 12, (y - 20) / 9)
    found = {}
    for even in (False, True):
        painted = lifted(step, even=even)
        found[even] = sheet_at(painted, whole(laid.shape)).load_g_per_m2.sum(axis=2) / laid
    assert found[False][out < 0.9].mean() == pytest.approx(found[True][out < 0.9].mean(), rel=0.05)
    assert found[False][(out > 1.02) & (out < 1.05)].mean() > 1.01
    assert np.quantile(found[False][(out > 1.02) & (out < 1.05)], 0.95) > 1.04
    assert found[True].max() < 1.001


@pytest.mark.parametrize("kind", ["lift", "water_lift"])
def test_a_lift_settled_again_in_a_rectangle_equals_the_whole(kind):
    step = {kind: "mark", "region": {"ellipse_mm": {"centre": [30, 20], "radii": [12, 9]}}}
    scene = lifted(step, dpi=120)
    mask = np.zeros(scene.shape, np.uint16)
    mask[60:130, 90:200] = 65535
    raw = {"format": 1, "palette": "lifting", "paper": "white hot-pressed", "size_mm": [60, 40]}
    raw |= {"dpi": 120, "region": {"m": step["region"]}, "step": [step | {"region": "m"}]}
    made = scene_of(raw, ".")
    settled = resolve(made, painted={"m": Cover(mask, ("painted", 1, 0))})
    mask[90:110, 120:150] = 20000
    anew = resolve(made, painted={"m": Cover(mask.copy(), ("painted", 2, 0))})
    one, other = settled.steps[0], anew.steps[0]
    one.again(ground_of(settled, regions_of(made), made), Rect(90, 120, 110, 150))
    for name in one.ARRAYS:
        assert np.array_equal(getattr(one, name), getattr(other, name)), name


# ---- several days


def test_what_differs_between_days_is_named_where_it_differs():
    rows, columns = 60, 90
    half = {"left": (0, 45), "right": (45, 90)}
    steps = []
    for name, (start, end) in half.items():
        field = np.zeros((rows, columns), np.uint16)
        field[:, start:end] = FULL
        steps.append(SimpleNamespace(name=name, coverage=field))
    painting = SimpleNamespace(shape=(rows, columns), steps=steps)
    one = np.full((rows, columns, 3), 120, np.uint8)
    other = one.copy()
    other[:, 50:80] = 60
    told = days_apart(
        [Picture(one, 100), Picture(other, 100), Picture(one, 100)], painting, None, 4
    )
    assert told[0][0] == "day 4"
    assert 'most unlike day 4 in "right"' in told[1][1]
    assert told[2] == ["day 6", "hardly to be told from day 4"]


def test_a_contact_sheet_shows_as_many_days_of_the_hand(tmp_path):
    step = {"wash": "a", "mix": "Blue 1 + water 2", "region": FIELD}
    raw = {"format": 1, "palette": "lifting", "paper": "white hot-pressed", "dpi": 100}
    scene = scene_of(raw | {"size_mm": [120, 80], "step": [step]}, tmp_path)
    write_scene(scene)
    told = CliRunner().invoke(
        preview, [str(tmp_path), "-o", str(tmp_path / "days.png"), "--hands", "4"]
    )
    assert told.exit_code == 0, told.output
    assert "days 1, 2, 3, 4" in told.output
    sheet = np.asarray(Image.open(tmp_path / "days.png")).astype(int)
    rows, columns = 157, 236  # half of 315 and 472, a gutter between; each has words under it
    below = (sheet.shape[0] - 4) // 2
    words = sheet[rows:below, :columns]
    assert words.min() < 100 < words.mean()
    days = [
        sheet[top : top + rows, left : left + columns]
        for top in (0, sheet.shape[0] - below)
        for left in (0, sheet.shape[1] - columns)
    ]
    one, *others = days
    for other in others:
        assert np.abs(one - other).max() >= 1
        assert np.abs(one.mean(axis=(0, 1)) - other.mean(axis=(0, 1))).max() < 0.6
    write_scene(scene.model_copy(update={"hand": "steady"}))
    told = CliRunner().invoke(
        preview, [str(tmp_path), "-o", str(tmp_path / "d.png"), "--hands", "4"]
    )
    assert told.exit_code != 0
    assert "steady" in str(told.output) + str(told.exception)
