"""A charge into what is wet: its two limits, its dye, and what can't be done, told."""

from __future__ import annotations

import numpy as np
import pytest

from glaze.errors import InputError
from glaze.painting.lay import sheet_at
from glaze.painting.settle import resolve
from glaze.patch.patches import lab
from glaze.physics.colour import delta_e_2000
from glaze.pipeline import render
from glaze.planning.sheet.planner import plan_of
from glaze.scene.file import load_scene, schema_text
from glaze.sheet.flowing import CELL_MM
from glaze.sheet.lift import Touches
from glaze.sheet.rect import Rect, whole
from glaze.step.passage import cell_starts
from viewer.core.spot import read_at

HEAD = """\
format = 1
palette = "lifting"
paper = "white hot-pressed"
size_mm = [30, 24]
dpi = 100
"""
ALL = "{ polygon_mm = [[4, 4], [26, 4], [26, 20], [4, 20]] }"
DROP = "{ ellipse_mm = { centre = [15, 12], radii = [4, 3] } }"


def step(kind, name, mix, region=ALL, more=""):
    return f'[[step]]\n{kind} = "{name}"\nmix = "{mix}"\nregion = {region}\n{more}\n'


YELLOW = step("wash", "ground", "Yellow 1 + water 4")


def charge(mix="Black 1 + water 3", region=DROP, minutes=2.0, more="", into="ground", name="dark"):
    return step("charge", name, mix, region, f'into = "{into}"\nminutes = {minutes}\n{more}')


def scene(folder, *steps):
    (folder / "scene.toml").write_text(HEAD + "".join(steps), encoding="utf-8")
    return load_scene(folder)


def painted(folder, *steps):
    return resolve(scene(folder, *steps), even=True)


def middle(painting):
    sheet = sheet_at(painting, whole(painting.shape))
    rows, columns = (slice(n // 2 - 3, n // 2 + 3) for n in painting.shape)
    return lab(painting.table, sheet)[rows, columns].reshape(-1, 3).mean(axis=0)


def test_charged_at_once_all_over_it_is_the_stirred_mix(tmp_path):
    into = painted(tmp_path, YELLOW, charge("Blue 1 + water 4", ALL, 0.0))
    film = "film_ml_per_m2 = 200"
    mixed = painted(tmp_path, step("wash", "mixed", "Yellow 1 + Blue 1 + water 8", ALL, film))
    assert delta_e_2000(middle(into), middle(mixed)) < 0.1


def test_charged_when_all_but_dry_it_is_the_glaze(tmp_path):
    blue = charge("Blue 1 + water 4", ALL, 38.0)
    glazed = painted(tmp_path, YELLOW, step("wash", "over", "Blue 1 + water 4"))
    near = delta_e_2000(middle(painted(tmp_path, YELLOW, blue)), middle(glazed))
    wet = charge("Blue 1 + water 4", ALL, 1.0)
    far = delta_e_2000(middle(painted(tmp_path, YELLOW, wet)), middle(glazed))
    assert near < 0.25
    assert far > 4 * near


@pytest.mark.parametrize("minutes", [0.0, 12.0, 30.0])
def test_no_dye_is_lost_or_won(tmp_path, minutes):
    painting = painted(tmp_path, YELLOW, charge(minutes=minutes))
    found = sheet_at(painting, whole(painting.shape)).load_g_per_m2.sum(axis=(0, 1), dtype=float)
    laid = painting.until(1), painted(tmp_path, step("wash", "d", "Black 1 + water 3", DROP))
    sums = {}
    for one in laid:
        sheet = sheet_at(one, whole(one.shape)).load_g_per_m2.sum(axis=(0, 1), dtype=float)
        for dye, grams in zip(one.table.dyes, sheet, strict=True):
            sums[dye.name] = sums.get(dye.name, 0.0) + grams
    expected = [sums[dye.name] for dye in painting.table.dyes]
    # a drying line and 16 bits round each wash
    assert found == pytest.approx(expected, rel=2e-3)


def test_a_drop_spreads_softly_and_stays_within_the_wash(tmp_path):
    painting = painted(tmp_path, YELLOW, charge(minutes=1.0, more="film_ml_per_m2 = 200"))
    black = painting.steps[1]
    before, after = (sheet_at(painting.until(n), whole(painting.shape)) for n in (1, 2))
    outside = black.outline == 0
    assert np.array_equal(after.load_g_per_m2[outside], before.load_g_per_m2[outside])
    row = (after.load_g_per_m2 - before.load_g_per_m2)[painting.shape[0] // 2].max(axis=1)
    dry = painted(tmp_path, YELLOW, charge(minutes=38.0, more="film_ml_per_m2 = 200"))
    sheets = [sheet_at(dry.until(n), whole(dry.shape)).load_g_per_m2 for n in (1, 2)]
    dry_row = (sheets[1] - sheets[0])[dry.shape[0] // 2].max(axis=1)

    def soft_mm(values):
        shares = values / values.max()
        return ((shares > 0.1) & (shares < 0.9)).sum() * 25.4 / 100 / 2

    assert soft_mm(row) > 1.5
    assert soft_mm(row) > soft_mm(dry_row)


def test_two_washes_laid_edge_to_edge_meet(tmp_path):
    """At 127 dpi a cell is 2.5 px and the border of the two lies on one: neither covers a part."""
    left = "{ polygon_mm = [[4, 4], [15, 4], [15, 20], [4, 20]] }"
    right = "{ polygon_mm = [[15, 4], [26, 4], [26, 20], [15, 20]] }"
    steps = step("wash", "ground", "Yellow 1 + water 4", left), charge(region=right, minutes=1.0)
    text = HEAD.replace("dpi = 100", "dpi = 127") + "".join(steps)
    (tmp_path / "scene.toml").write_text(text, encoding="utf-8")
    painting = resolve(load_scene(tmp_path), even=True)
    dye = sheet_at(painting, whole(painting.shape)).load_g_per_m2[60]
    yellow = dye[:, [d.name for d in painting.table.dyes].index("Acid Yellow 23")]
    at = round(15.5 * 127 / 25.4)
    assert yellow[at] > 0.05 * yellow.max()  # beyond the border


def test_water_in_a_damp_wash_leaves_a_pale_middle_with_a_dark_edge(tmp_path):
    """A bloom: common practice, no source."""
    more = "film_ml_per_m2 = 200"
    painting = painted(tmp_path, YELLOW, charge("water 1", minutes=13.0, more=more))
    dye = [sheet_at(painting.until(n), whole(painting.shape)).load_g_per_m2 for n in (1, 2)]
    row = painting.shape[0] // 2
    change = (dye[1] - dye[0])[row].sum(axis=1) / dye[0][row].sum(axis=1).max()
    assert change[painting.shape[1] // 2] < -0.05
    assert change.max() > 0.05


def test_charges_add_up_and_each_is_seen_by_itself(tmp_path):
    two = painted(
        tmp_path,
        YELLOW,
        charge(minutes=1.0),
        charge(
            "Red 1 + water 2", "{ ellipse_mm = { centre = [9, 8], radii = [2, 2] } }", 3.0
        ).replace('"dark"', '"warm"'),
    )
    one = painted(tmp_path, YELLOW, charge(minutes=1.0))
    assert np.array_equal(render(two.until(2)).rgb, render(one).rgb)
    changed = (render(two).rgb != render(one).rgb).any(axis=-1)
    assert changed.any()
    assert not changed[two.steps[2].outline == 0].any()


def test_a_rectangle_and_single_pixels_are_those_of_the_whole(tmp_path):
    painting = painted(tmp_path, YELLOW, charge())
    all_of_it, part = render(painting).rgb, Rect(20, 30, 60, 90)
    assert np.array_equal(render(painting, part).rgb, all_of_it[part.slices])
    some = painting.taken((slice(5, None, 7), slice(3, None, 7)))
    assert np.array_equal(render(some).rgb, all_of_it[5::7, 3::7])


def test_plan_pointer_and_schema_know_it(tmp_path):
    made = scene(tmp_path, YELLOW, charge())
    plan = plan_of(made)
    assert plan.steps[1].kind == "charge"
    assert plan.steps[1].reason == 'Into "ground" while that is wet.'
    at = tuple(int(mm * 100 / 25.4) for mm in (12, 15))
    found = read_at(resolve(made), Touches(), *at)
    assert [one.name for one in found.steps] == ["ground", "dark"]
    assert found.steps[1].value < found.steps[0].value - 0.5
    assert '"charge"' in schema_text()


def test_a_hand_leaves_every_sum_as_the_law_has_it(tmp_path):
    made = scene(tmp_path, YELLOW, charge(minutes=1.0))
    sums = []
    for even in (True, False):
        painting = resolve(made, even=even)
        dye = sheet_at(painting, whole(painting.shape)).load_g_per_m2
        sums.append((dye.sum(axis=(0, 1), dtype=float), dye))
    assert sums[1][0] == pytest.approx(sums[0][0], rel=1e-3)
    assert np.abs(sums[1][1] - sums[0][1]).max() > 0.1 * sums[0][1].max()


def test_the_plan_tells_of_blooms_dyes_that_part_and_time_to_charge(tmp_path):
    soft = plan_of(scene(tmp_path, YELLOW, charge(minutes=1.0, more="film_ml_per_m2 = 60")))
    told = " ".join(soft.mistakes)
    assert '"ground" takes a charge softly while it shines' in told
    assert '"dark" parts where it runs: ' in told
    assert "bloom, a paler middle" not in told
    late = plan_of(scene(tmp_path, YELLOW, charge("water 1", minutes=15.0)))
    assert "bloom, a paler middle" in " ".join(late.mistakes)


def test_the_plan_tells_of_a_wash_that_dries_before_its_end(tmp_path):
    head = HEAD.replace("[30, 24]", "[420, 297]").replace("dpi = 100", "dpi = 25")
    for film, words in ((40, True), (400, False)):
        text = head + step("wash", "sky", "Blue 1 + water 8", '"sheet"', f"film_ml_per_m2 = {film}")
        (tmp_path / "scene.toml").write_text(text, encoding="utf-8")
        told = " ".join(plan_of(load_scene(tmp_path)).mistakes)
        assert ("its first edge dries" in told) is words


@pytest.mark.parametrize(
    ("steps", "told"),
    [
        ((charge(), YELLOW), r"into: .*ground.* comes later"),
        ((YELLOW, charge(into="grund")), r'into: .*"grund"'),
        ((YELLOW, charge(minutes=45.0)), r"when that is dry: its film of 100 ml/m2 lasts 39 min"),
        ((YELLOW, charge(minutes=-1.0)), r"minutes: -1.* found; allowed: a number, 0 to 1440"),
        ((YELLOW, charge(more="tilt_degrees = 75")), r"tilt_degrees: 75 found; .*0 to 60"),
        ((YELLOW, charge(more="film_ml_per_m2 = 5000")), r"film_ml_per_m2: 5000 found"),
        (
            (YELLOW, charge(region="{ ellipse_mm = { centre = [2, 2], radii = [0.5, 0.5] } }")),
            r"nowhere comes near it",
        ),
        (
            (YELLOW, charge(region="{ ellipse_mm = { centre = [15, 12], radii = [0.1, 0.1] } }")),
            r"smaller than the 0.5 mm squares",
        ),
        (
            (YELLOW, charge(minutes=3.0), charge(minutes=1.0, name="late")),
            r"charged 1 min after the wash, but comes after",
        ),
        (
            (YELLOW, step("wash", "between", "Red 1 + water 4"), charge()),
            r'"between" is done over the same place in between',
        ),
    ],
)
def test_what_cannot_be_is_told(tmp_path, steps, told):
    with pytest.raises(InputError, match=told):
        resolve(scene(tmp_path, *steps))


@pytest.mark.parametrize("dpi", [20.0, 55.0, 60.0, 72.0, 150.0])
def test_no_cell_is_empty_whatever_the_resolution(dpi):
    for pixels in range(1, 400):
        cell_px = max(CELL_MM * dpi / 25.4, 1.0)
        starts = cell_starts(pixels, cell_px)
        assert starts[0] == 0
        assert (np.diff([*starts, pixels]) >= 1).all()


@pytest.mark.parametrize("dpi", ["60", "71.3"])
def test_a_charge_is_painted_to_the_edge_at_any_resolution(tmp_path, dpi):
    whole_sheet = '"sheet"'
    steps = step("wash", "ground", "Yellow 1 + water 4", whole_sheet), charge()
    text = HEAD.replace("dpi = 100", f"dpi = {dpi}") + "".join(steps)
    (tmp_path / "scene.toml").write_text(text, encoding="utf-8")
    painting = resolve(load_scene(tmp_path), even=True)
    dye = sheet_at(painting, whole(painting.shape)).load_g_per_m2.sum(axis=-1)
    corners = dye[[0, 0, -1, -1], [0, -1, 0, -1]]
    assert corners == pytest.approx(np.full(4, corners[0]), rel=0.02)
