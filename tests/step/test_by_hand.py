"""A hand lays its films unevenly and keeps their average; a steady one lays them even."""

from __future__ import annotations

import numpy as np
import pytest

from glaze.errors import InputError
from glaze.painting.settle import Painting, resolve
from glaze.region.combine import Cover
from glaze.scene.file import scene_of
from glaze.sheet.unevenness import tooth
from glaze.sheet.units import FILM_UNIT

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
