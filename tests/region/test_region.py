"""Regions cover what geometry says, obey the laws of sets, and stop at the sketch's lines."""

from __future__ import annotations

import math
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from scipy.ndimage import gaussian_filter
from scipy.special import erf

from glaze.errors import InputError
from glaze.region import groups
from glaze.region.areas import Area, Areas, areas_of
from glaze.region.combine import Regions
from glaze.region.growth import grow_over
from glaze.region.leaks import Leaks
from glaze.region.outline import band, ellipse, fill, pen_line
from glaze.region.records import Graded, Region
from glaze.region.soft import soften
from glaze.scene.records import Scene
from glaze.sheet.units import FULL
from glaze.sketch.line import Sketch, blank_sketch

DPI = 254.0  # 10 pixels a mm
SHEET = blank_sketch((20, 15), DPI)


def scene(**regions: Region) -> Scene:
    return Scene(
        format=1, palette="lifting", paper="white cartridge", size_mm=(20, 15), regions=regions
    )


def over(given_: Scene, sketch: Sketch) -> Regions:
    return Regions(given_.regions, sketch, file=given_.file)


def cover(region: str | Region, given_: Scene, sketch: Sketch) -> np.ndarray:
    return over(given_, sketch).cover(region).mask


def area(found: np.ndarray) -> float:
    """Covered area in pixels."""
    return float(found.sum(dtype=np.float64)) / FULL


def shoelace(points: np.ndarray) -> float:
    x, y = points.T
    return abs(float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))) / 2


@settings(max_examples=60, deadline=None)
@given(st.integers(3, 12), st.integers(0, 2**32 - 1))
def test_a_polygon_covers_its_shoelace_area(corners: int, seed: int) -> None:
    rng = np.random.default_rng(seed)
    # round a middle by rising angle: such a polygon doesn't cross itself
    angle = 2 * np.pi * (np.arange(corners) + rng.random(corners) * 0.9) / corners
    away = rng.uniform(5, 45, corners)
    points = 50 + np.stack([np.cos(angle), np.sin(angle)], axis=1) * away[:, None]
    found = fill([points], (100, 100))
    # the area between fine lines is a trapezium but for the one that holds a corner: off there by
    # at most a line's height times the width that comes or goes within it
    assert area(found) == pytest.approx(shoelace(points), abs=corners * 100 / 64 / 16)
    np.testing.assert_array_equal(found, fill([points[::-1]], (100, 100)))


def test_edges_between_pixels_are_exact() -> None:
    found = fill([np.array([[2.0, 3.0], [7.25, 3.0], [7.25, 5.5], [2.0, 5.5]])], (8, 10))
    expected = np.zeros((8, 10))
    expected[3:5, 2:7], expected[3:5, 7] = 1, 0.25
    expected[5, 2:7], expected[5, 7] = 0.5, 0.125
    np.testing.assert_allclose(found / FULL, expected, atol=1 / FULL)


def test_an_ellipse_covers_pi_a_b() -> None:
    for turn in (0, 30, 90):
        found = fill([ellipse((50, 50), (40, 13), turn, 1.0)], (100, 100))
        assert area(found) == pytest.approx(math.pi * 40 * 13, rel=2e-4)


def test_an_ellipse_turns_clockwise_on_the_sheet() -> None:
    found = fill([ellipse((50, 50), (40, 5), 45, 1.0)], (100, 100))
    assert found[72, 72] == FULL  # y runs down, so clockwise leads from right to below
    assert found[28, 72] == 0


@pytest.mark.parametrize("direction", [0.0, 17.0, 45.0, 90.0])
def test_a_pen_line_of_0_3_mm_covers_its_length_times_its_width(direction: float) -> None:
    scale = 300 / 25.4
    turn = math.radians(direction)
    end = (3 + 12 * math.cos(turn), 3 + 12 * math.sin(turn))
    points = [(3, 3), (8, 3), end] if direction == 0 else [(3, 3), end]
    found = fill(pen_line(points, 0.3, scale), (200, 200))
    length = 12 * scale
    width = 0.3 * scale  # 3.54 pixels; a level line is good to a 64th of a pixel
    assert area(found) == pytest.approx(length * width + math.pi * width**2 / 4, rel=4e-3)


def test_a_pen_line_agrees_with_the_distance_to_its_points() -> None:
    # second way: 20 x 20 places in each pixel, inside when nearer than half the width
    path = np.array([[5.0, 6.0], [30.3, 9.1], [12.2, 33.7], [28.0, 30.0]])
    fine = (np.arange(40 * 20) + 0.5) / 20
    x, y = np.meshgrid(fine, fine)
    near = np.full(x.shape, np.inf)
    for (ax, ay), (bx, by) in pairwise(path):
        t = ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / ((bx - ax) ** 2 + (by - ay) ** 2)
        t = np.clip(t, 0, 1)
        near = np.minimum(near, np.hypot(x - ax - t * (bx - ax), y - ay - t * (by - ay)))
    literal = (near < 1.75).reshape(40, 20, 40, 20).mean(axis=(1, 3))
    found = fill(pen_line(path, 3.5, 1.0), (40, 40)) / FULL
    # 400 places are good to about 1/20 of an edge pixel
    assert np.abs(found - literal).max() < 0.05


def test_a_line_that_crosses_itself_leaves_no_hole() -> None:
    found = fill(pen_line([(5, 5), (25, 25), (25, 5), (5, 25)], 4, 1.0), (30, 30))
    assert found[15, 15] == FULL


def test_what_lies_off_the_sheet_is_cut_off() -> None:
    found = fill([ellipse((0, 0), (20, 20), 0, 1.0)], (50, 50))
    assert area(found) == pytest.approx(math.pi * 400 / 4, rel=1e-3)
    assert area(fill([band((-50, 10), (200, 10), 4, 1.0)], (50, 50))) == pytest.approx(200)
    assert not fill([band((60, 10), (200, 10), 4, 1.0)], (50, 50)).any()
    assert not fill([np.array([[0.0, -5], [9, -5], [9, -1]])], (50, 50)).any()


def test_a_full_sheet_is_full_everywhere() -> None:
    assert np.all(cover("sheet", scene(), SHEET) == FULL)
    whole = Region(polygon_mm=[(-1, -1), (21, -1), (21, 16), (-1, 16)])
    assert np.all(cover(whole, scene(), SHEET) == FULL)


places = st.tuples(st.floats(2, 18), st.floats(2, 13))
ovals = st.builds(
    lambda at, radii, turn, soft: Region(
        ellipse_mm={"centre": at, "radii": radii, "turn_degrees": turn}, soft_mm=soft
    ),
    places,
    st.tuples(st.floats(0.5, 8), st.floats(0.5, 8)),
    st.floats(-180, 180),
    st.sampled_from([0.0, 0.5, 2.0]),
)


@settings(max_examples=30, deadline=None)
@given(ovals, ovals)
def test_combined_regions_obey_the_laws_of_sets(a: Region, b: Region) -> None:
    given_ = scene(
        a=a,
        b=b,
        both=Region(union=["a", "b"]),
        turned=Region(union=["b", "a"]),
        twice=Region(union=["a", "a"]),
        kept=Region(union=["a"], inside=["a"]),
        less=Region(union=["both"], minus=["b"]),
        all_less=Region(union=["sheet"], minus=["a"]),
    )
    regions = over(given_, SHEET)
    found = {n: regions.cover(n).mask for n in ("a", "b", "both", "turned", "twice", "kept")}
    np.testing.assert_array_equal(found["both"], found["turned"])
    np.testing.assert_array_equal(found["a"], found["twice"])
    np.testing.assert_array_equal(found["a"], found["kept"])
    assert np.all(found["both"] >= found["a"])
    if np.any(found["both"] > found["b"]):
        less = regions.cover("less").mask
        np.testing.assert_array_equal(less.astype(int) + found["b"], found["both"])
    rest = regions.cover("all_less").mask.astype(int)
    assert np.all(rest + found["a"] == FULL)


def test_a_soft_edge_never_creeps_over_a_reserve() -> None:
    reserve = Region(band_mm={"from": (10, 0), "to": (10, 15), "width": 2})
    sun = Region(ellipse_mm={"centre": (6, 7), "radii": (4, 4)}, soft_mm=3, minus=["tower"])
    given_ = scene(tower=reserve, sun=sun)
    tower, glow = cover("tower", given_, SHEET), cover("sun", given_, SHEET)
    assert not glow[tower == FULL].any()
    assert glow[75, 115] > 0  # beyond it the feather goes on


def test_several_shapes_of_one_kind_unite() -> None:
    dots = [{"centre": (x, 5), "radii": (1, 1)} for x in (4, 8, 12)]
    found = cover(Region(ellipse_mm=dots), scene(), SHEET)
    assert area(found) == pytest.approx(3 * math.pi * 100, rel=1e-3)


def test_a_feathered_edge_follows_the_error_function() -> None:
    half = np.zeros((40, 400), np.uint16)
    half[:, :200] = FULL
    for width in (9.0, 30.0, 120.0):
        found = soften(half, width) / FULL
        expected = 0.5 - 0.5 * erf((np.arange(400) + 0.5 - 200) / (width / 3 * math.sqrt(2)))
        # a Gaussian cut at three sigmas leaves out 0.27 %
        assert np.abs(found[20] - expected).max() < 0.005


def test_broad_feathers_on_coarse_pixels_agree_with_fine_ones() -> None:
    spot = fill([ellipse((150, 120), (60, 35), 20, 1.0)], (250, 300))
    found = soften(spot, 90.0) / FULL
    fine = gaussian_filter(spot / FULL, 30.0, mode="nearest", truncate=6)
    assert np.abs(found - fine).max() < 0.006


def test_a_feather_keeps_a_full_sheet_full() -> None:
    assert np.all(soften(np.full((50, 70), FULL, np.uint16), 25.0) == FULL)


def room(gap_px: int = 0, wall_px: int = 4) -> Sketch:
    """A square room of 80 pixels, with a gap in the middle of its right wall."""
    line = np.ones((150, 200), np.float32)
    line[30 : 110 + 2 * wall_px, 40 : 120 + 2 * wall_px] = 0.05
    line[30 + wall_px : 110 + wall_px, 40 + wall_px : 120 + wall_px] = 1
    if gap_px:
        middle = 70 + wall_px
        line[
            middle - gap_px // 2 : middle - gap_px // 2 + gap_px, 120 + wall_px : 120 + 2 * wall_px
        ] = 1
    return Sketch(line, DPI)


INSIDE = (8.0, 7.0)
OUTSIDE = (1.0, 1.0)


def test_a_closed_room_is_filled_to_the_middle_of_its_walls() -> None:
    made = over(scene(), room()).cover(Region(enclosed_at_mm=[INSIDE], gap_mm=0.5))
    found = made.mask
    assert np.all(found[35:113, 45:123] == FULL)  # to the very corners
    assert area(found) == pytest.approx(84**2, rel=0.01)  # 80 pixels and half a wall each side
    assert made.notes == ()


def test_washes_of_neighbouring_areas_meet_under_the_line() -> None:
    inside = cover(Region(enclosed_at_mm=[INSIDE]), scene(), room())
    outside = cover(Region(enclosed_at_mm=[OUTSIDE]), scene(), room())
    together = inside.astype(int) + outside
    assert np.abs(together - FULL).max() <= 1


def test_regions_that_no_line_parts_are_told() -> None:
    one, other = Region(enclosed_at_mm=[INSIDE]), Region(enclosed_at_mm=[(9.0, 8.0)])
    notes = over(scene(wall=one, door=other), room()).notes()
    assert len(notes) == 1
    assert '"wall" and "door" share an area: no line parts [8, 7] from [9, 8]' in notes[0]
    # lines between them, the same point again, or a part of an area are no mistake
    part = Region(enclosed_at_mm=[(9.0, 8.0)], inside=["wall"])
    for fine in (Region(enclosed_at_mm=[OUTSIDE]), one, part):
        assert over(scene(wall=one, door=fine), room()).notes() == ()


def test_a_gap_narrower_than_gap_mm_is_closed_and_nothing_leaks() -> None:
    # 6 pixels are 0.6 mm
    found = cover(Region(enclosed_at_mm=[INSIDE], gap_mm=0.8), scene(), room(gap_px=6))
    assert area(found) == pytest.approx(84**2, rel=0.02)
    assert not found[:, 135:].any()
    assert np.all(found[40:100, 50:115] == FULL)


def test_a_gap_wider_than_gap_mm_leaks_and_says_so() -> None:
    regions = over(scene(hut=Region(enclosed_at_mm=INSIDE, gap_mm=0.3)), room(gap_px=6))
    assert regions.cover("hut").mask[0, 0] == FULL
    assert 'region "hut"' in regions.notes()[0]
    assert "gap of 0.6 mm at [12.6, 7.4]" in regions.notes()[0]


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 12), st.integers(1, 6))
def test_a_leak_happens_exactly_when_the_gap_is_wider_than_told(gap_px: int, wall_px: int) -> None:
    told_px = 7
    hut = Region(enclosed_at_mm=INSIDE, gap_mm=told_px / 10)
    notes = over(scene(hut=hut), room(gap_px, wall_px)).notes()
    # pixels are whole: one to either side of the limit may go either way
    if gap_px <= told_px - 1:
        assert notes == ()
    if gap_px >= told_px + 2:
        assert notes != ()


@pytest.mark.parametrize(
    ("point", "gap", "said"),
    [((4.1, 7.0), 0.5, "on a line"), ((25, 3), 0.5, "off the sheet"), ((4.3, 7.0), 20, "4.4, 7")],
)
def test_a_point_that_means_no_area_is_refused(
    point: tuple[float, float], gap: float, said: str
) -> None:
    closed = room()
    with pytest.raises(InputError, match=said):
        cover(Region(enclosed_at_mm=[point], gap_mm=gap), scene(), closed)


def test_several_points_take_several_areas() -> None:
    both = cover(Region(enclosed_at_mm=[INSIDE, OUTSIDE]), scene(), room())
    assert np.all(both >= FULL - 1)


def test_areas_grow_at_one_pace_and_meet_in_the_middle() -> None:
    number = np.zeros((1, 9), np.int32)
    number[0, 0], number[0, 8] = 1, 2
    grow_over(number, 0, 20)
    assert number.tolist() == [[1, 1, 1, 1, 1, 2, 2, 2, 2]]


def test_what_grows_from_a_point_is_nearly_round() -> None:
    number = np.zeros((61, 61), np.int32)
    number[30, 30] = 1
    grow_over(number, 0, 20)
    y, x = np.mgrid[-30:31, -30:31]
    away = np.hypot(x, y)
    # an octagon with sides 20 off: its corners are 8 % further off than its sides (1/cos 22.5)
    assert not number[away > 20 * 1.09 + 1].any()
    assert number[away < 19].all()


def picture(folder: Path, values: np.ndarray, name: str = "mask.png") -> Scene:
    Image.fromarray(values).save(folder / name)
    return scene(mist=Region(mask=name)).in_folder(folder)


def test_a_drawn_mask_gives_its_own_values(tmp_path: Path) -> None:
    values = np.random.default_rng(1).integers(0, 65536, SHEET.shape, dtype=np.uint16)
    np.testing.assert_array_equal(cover("mist", picture(tmp_path, values), SHEET), values)
    eight = (values >> 8).astype(np.uint8)
    found = cover("mist", picture(tmp_path, eight), SHEET)
    np.testing.assert_array_equal(found, eight * np.uint16(257))


def test_a_mask_of_another_size_is_refused_with_both_sizes(tmp_path: Path) -> None:
    given_ = picture(tmp_path, np.zeros((10, 12), np.uint8))
    with pytest.raises(InputError, match=r"12 x 10 pixels; allowed: 200 x 150") as refused:
        cover("mist", given_, SHEET)
    assert 'region "mist"' in str(refused.value)


def test_an_empty_region_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="empty"):
        cover("mist", picture(tmp_path, np.zeros(SHEET.shape, np.uint8)), SHEET)
    far = Region(ellipse_mm={"centre": (300, 300), "radii": (2, 2)})
    with pytest.raises(InputError, match=r"region .far. is empty"):
        cover("far", scene(far=far), SHEET)


def test_all_that_is_wrong_with_regions_is_told_at_once() -> None:
    far = Region(ellipse_mm={"centre": (300, 300), "radii": (2, 2)})
    given_ = scene(far=far, round=Region(union=["round"]), lost=Region(union=["nobody"]), also=far)
    with pytest.raises(InputError) as refused:
        over(given_, SHEET).all()
    assert len(refused.value.problems) == 4


def test_all_gives_every_region_and_its_notes() -> None:
    leaking = Region(enclosed_at_mm=INSIDE, gap_mm=0.3)
    given_ = scene(hut=leaking, all=Region(enclosed_at_mm=OUTSIDE))
    regions = over(given_, room(gap_px=6))
    found, notes = regions.all(), regions.notes()
    assert list(found) == ["hut", "all"]
    assert len(notes) == 2
    assert 'region "hut"' in notes[0]
    assert '"hut" and "all" share an area' in notes[1]


def test_what_is_kept_inside_two_places_that_hardly_meet_is_told() -> None:
    """Two halves of the sheet share a strip of 0.1 mm: 1 of 200 columns of the shape."""
    left = Region(polygon_mm=[(0, 0), (10.1, 0), (10.1, 15), (0, 15)])
    right = Region(polygon_mm=[(10, 0), (20, 0), (20, 15), (10, 15)])
    sheet = [(0, 0), (20, 0), (20, 15), (0, 15)]
    shade = Region(polygon_mm=sheet, inside=["left", "right"])
    half = Region(polygon_mm=sheet, inside=["left"])
    notes = over(scene(left=left, right=right, shade=shade, half=half), SHEET).notes()
    assert len(notes) == 1
    assert notes[0].startswith('region "shade": next to nothing of it lies inside "left" and')
    assert 'union = ["left", "right"]' in notes[0]


def test_overlapping_regions_are_no_mistake() -> None:
    one = Region(ellipse_mm={"centre": (8, 8), "radii": (4, 4)})
    regions = over(scene(a=one, b=one), SHEET)
    found = regions.all()
    np.testing.assert_array_equal(found["a"].mask, found["b"].mask)
    assert regions.notes() == ()


def test_a_grade_runs_smoothly_along_its_line() -> None:
    given_ = Graded(from_mm=(0, 5), to_mm=(0, 10), start=0.8, end=0.2)
    film, _ = over(scene(), SHEET).grade(given_)
    film = np.asarray(film)
    assert film.dtype == np.float32
    assert film[:50] == pytest.approx(0.8, abs=1e-3)
    assert film[100:] == pytest.approx(0.2, abs=1e-3)
    assert film[74:76, 3].mean() == pytest.approx(0.5, abs=1e-4)
    assert np.all(np.diff(film[:, 0]) <= 0)
    assert np.all(film == film[:, :1])  # alike across the line


def test_a_grade_follows_a_drawn_picture(tmp_path: Path) -> None:
    values = np.random.default_rng(1).integers(0, 65536, SHEET.shape, dtype=np.uint16)
    given_ = picture(tmp_path, values, "grade.png")
    film, _ = over(given_, SHEET).grade(Graded(picture="grade.png"))
    np.testing.assert_allclose(film, values / FULL, atol=1e-6)


def test_a_grade_eases_in_and_out_as_the_cubic_does() -> None:
    # 3t^2 - 2t^3 at 1/8, 1/4, 1/2: 11/256, 5/32, 1/2; from all of the film down to a fifth
    graded = Graded(from_mm=(10, 0), to_mm=(50, 0), start=1.0, end=0.2)
    sketch = Sketch(np.ones((4, 600), np.float32), 254.0)  # 0.1 mm pixels
    film, _ = Regions({}, sketch).grade(graded)
    at = {mm: film[0, round(mm * 10)] for mm in (5, 10, 15, 20, 30, 49.9, 55)}
    assert [at[5], at[10]] == pytest.approx([1.0, 1.0], abs=1e-4)
    assert at[15] == pytest.approx(1 - 0.8 * 11 / 256, abs=0.001)
    assert at[20] == pytest.approx(1 - 0.8 * 5 / 32, abs=0.002)
    assert at[30] == pytest.approx(0.6, abs=0.002)
    assert at[55] == pytest.approx(0.2, abs=1e-4)


def test_a_grade_is_the_same_however_it_is_asked_for_and_holds_no_sheet() -> None:
    graded = Graded(from_mm=(10, 3), to_mm=(50, 40), start=0.9, end=0.1)
    film, _ = Regions({}, Sketch(np.ones((500, 600), np.float32), 254.0)).grade(graded)
    whole = np.asarray(film)
    assert whole.shape == (500, 600)
    places = np.random.default_rng(3).integers(0, 500, (2, 40))
    some = np.zeros(whole.shape, bool)
    some[tuple(places)] = True
    for index in (
        np.s_[100:300, 50:60],
        np.ix_(np.arange(0, 500, 7), np.arange(3, 600, 11)),
        tuple(places),
        (7, 9),
        np.s_[3, 10:20],
        some,
    ):
        np.testing.assert_array_equal(np.asarray(film[index]), whole[index])
    assert sum(getattr(part, "nbytes", 0) for part in vars(film).values()) < whole.nbytes / 100


def test_areas_reach_a_millimetre_below_a_broad_black() -> None:
    # a black 8 mm wide parts the sheet: either side ends 1 mm under it, to within a pixel of 0.1 mm
    line = np.ones((100, 400), np.float32)
    line[:, 160:240] = 0.0
    areas = areas_of(Sketch(line, 254.0), 0.5)
    left, right = (areas.number == areas.at((x, 5.0)) for x in (5.0, 35.0))
    assert left.sum(axis=1) / 10 == pytest.approx(np.full(100, 17.0), abs=0.15)
    assert right.sum(axis=1) / 10 == pytest.approx(np.full(100, 17.0), abs=0.15)


@pytest.mark.parametrize(("transmits", "walls"), [(0.70, True), (0.80, False)])
def test_a_line_darker_than_a_quarter_is_a_wall(transmits: float, walls: bool) -> None:
    line = np.ones((100, 400), np.float32)
    line[:, 195:205] = transmits
    areas = areas_of(Sketch(line, 254.0), 0.5)
    assert (areas.at((5.0, 5.0)) != areas.at((35.0, 5.0))) == walls


def test_three_regions_unite() -> None:
    named = {
        name: Region(polygon_mm=((x, 0), (x + 5, 0), (x + 5, 5), (x, 5)))
        for name, x in (("a", 0), ("b", 10), ("c", 20))
    }
    named["all"] = Region(union=("a", "b", "c"))
    mask = Regions(named, Sketch(np.ones((100, 300), np.float32), 254.0)).cover("all").mask
    assert mask.sum() / 65535 == pytest.approx(3 * 50 * 50)  # 5 mm are 50 pixels


def test_what_is_kept_inside_another_is_only_what_both_cover() -> None:
    # by hand: two squares of 10 mm, one 4 mm right of and 5 mm below the other, share 6 x 5 mm
    square = [(0, 0), (10, 0), (10, 10), (0, 10)]
    given_ = scene(
        one=Region(polygon_mm=[(x + 5, y) for x, y in square], inside=["other"]),
        other=Region(polygon_mm=[(x + 9, y + 5) for x, y in square]),
    )
    made = cover("one", given_, SHEET)
    assert area(made) == pytest.approx(60 * 50)
    assert np.all(made[50:100, 90:150] == FULL)


def test_a_quarter_of_a_square_millimetre_is_an_area_and_less_is_a_speck() -> None:
    # 10 pixels a mm: 10 x 10 are 1 mm2, 5 x 5 are 0.25, 4 x 6 are 0.24
    number = np.zeros((40, 60), np.int32)
    number[2:12, 2:12], number[2:7, 20:25], number[2:6, 40:46] = 1, 2, 3
    listed = Areas(number, (), Leaks((), number, (), 10.0), Sketch(SHEET.line, DPI), 0.5).listed
    assert [(one.number, one.mm2) for one in listed] == [(1, 1.0), (2, 0.25)]


def boxed(number: int, box: tuple[float, float, float, float], mm2: float = 100.0) -> Area:
    return Area(number, box[:2], box[:2], mm2, box)


def test_areas_are_near_alike_and_at_the_edge_by_their_boxes() -> None:
    # 3 mm of air between two boxes side by side; corner to corner the longer way counts
    one = boxed(1, (5, 5, 15, 15))
    assert groups._apart_mm(one, boxed(2, (18, 7, 28, 17))) == 3.0
    assert groups._apart_mm(boxed(2, (18, 20, 28, 30)), one) == 5.0
    assert groups._apart_mm(one, boxed(2, (10, 10, 20, 20))) == 0.0
    # nearer to the edge than a millimetre
    assert [groups.at_edge(boxed(1, box), (40, 30)) for box in (
        (1, 1, 39, 29), (0.9, 5, 9, 9), (5, 0.9, 9, 9), (5, 5, 39.1, 9), (5, 5, 9, 29.1),
    )] == [False, True, True, True, True]  # fmt: skip
    assert groups.alike(one, boxed(2, (20, 5, 30, 15), 100.0))
    assert not groups.alike(one, boxed(2, (20, 5, 30, 15), 100.0 * groups.SIZE_RATIO * 1.01))
    assert not groups.alike(one, boxed(2, (20, 5, 20 + 10 * groups.SHAPE_RATIO * 1.01, 15)))
