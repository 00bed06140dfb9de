"""The colour wheel: recipes, hue order, values by another route, geometry in the PDF itself."""

from __future__ import annotations

import json
import math
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st
from pdf_content import drawn_paths
from pypdf import PdfReader

from glaze.charts.content.primaries import order_primaries
from glaze.charts.content.wheel import plan_wheel
from glaze.charts.paper.marks import Shape, Text
from glaze.charts.paper.page import Page
from glaze.charts.paper.publish import write_pages
from glaze.charts.sheets.parts import Layout, start_sheet
from glaze.charts.sheets.wheel_sheet import geometry, wheel_sheets
from glaze.cli.chart_commands import wheel as wheel_command
from glaze.errors import InputError
from glaze.materials.bleach import Bleach
from glaze.materials.dilution import dilution_of
from glaze.materials.parts_told import parts_of, parts_words
from glaze.materials.recipe import Recipe
from glaze.painting.settle import resolve
from glaze.patch.table import Table, table_of
from glaze.pipeline import linear_rgb
from glaze.scene.file import load_scene

DAY = "2026-01-02"


@pytest.fixture(scope="module")
def table() -> Table:
    return table_of("lifting", "white cartridge")


# --- recipes ---


@pytest.mark.parametrize(("segments", "drops"), [(18, 6), (36, 12), (12, 4), (6, 2), (72, 24)])
def test_equal_drops_give_recipes_that_sum_to_a_third_of_the_segments(
    table: Table, segments: int, drops: int
) -> None:
    # 18 -> 6-drop recipes, 36 -> 12-drop recipes: two primaries share a third of the segments
    plan = plan_wheel(table, segments)
    assert len(plan.segments) == segments
    assert {sum(part.drops.values()) for part in plan.segments} == {drops}
    assert [part.recipe for part in plan.segments if len(part.drops) == 1] == [
        f"Yellow {drops}",
        f"Red {drops}",
        f"Blue {drops}",
    ]


def test_an_eighteen_segment_wheel_steps_drop_by_drop(table: Table) -> None:
    # the usual wheel: 5+1, 4+2, 3+3, 2+4, 1+5 between two primaries
    between = [p.drops for p in plan_wheel(table, 18).segments[1:6]]
    assert between == [{"Yellow": 6 - k, "Red": k} for k in range(1, 6)]


@given(third=st.integers(2, 24), by=st.sampled_from(["drops", "hue"]))
@settings(max_examples=20, deadline=None)
def test_any_wheel_has_its_primaries_a_third_apart_and_no_recipe_twice(third: int, by: str) -> None:
    plan = plan_wheel(table_of("lifting", "white cartridge"), 3 * third, by)
    alone = [part.middle_degrees for part in plan.segments if len(part.drops) == 1]
    assert alone == pytest.approx([0.0, 120.0, 240.0])
    assert len({part.recipe for part in plan.segments}) == 3 * third


@pytest.mark.parametrize("by", ["drops", "hue"])
@pytest.mark.parametrize("palette", ["lifting", "resistant"])
def test_hues_go_once_round_the_wheel_in_order(palette: str, by: str) -> None:
    # CIELAB hue angle, although the wheel itself is stepped in Munsell hue
    plan = plan_wheel(table_of(palette, "white cartridge"), 36, by)
    angle = [math.atan2(part.hue.lab[2], part.hue.lab[1]) for part in plan.segments]
    turns = np.diff([*angle, angle[0]])
    turns = (turns + math.pi) % (2 * math.pi) - math.pi
    assert (turns < 0).all()
    assert turns.sum() == pytest.approx(-2 * math.pi)


def test_steps_of_hue_are_equal_to_a_quarter_of_a_step(table: Table) -> None:
    plan = plan_wheel(table, 36, "hue")
    for third in range(3):
        hue = np.unwrap(
            [plan.segments[(12 * third + k) % 36].hue.hue for k in range(13)], period=100
        )
        even = np.linspace(hue[0], hue[-1], 13)
        step = abs(even[1] - even[0])
        # whole drops may miss by a quarter of a step; the printed note says by how much
        assert np.abs(hue - even).max() <= 0.26 * step


def test_of_four_bottles_the_three_most_evenly_apart_make_the_wheel(
    table: Table, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Hues 5, 25, 30 and 70 of a hundred: without 25 the gaps are 25, 40 and 35, so 25 at least;
    without 30 they are 20, 45 and 35; with 25 and 30 both, 5."""
    hues = {"Red": (5.0, 4.0), "Yellow": (30.0, 8.0), "Neon Pink": (25.0, 6.0), "Blue": (70.0, 4.0)}
    looks = {name: SimpleNamespace(hue=h, value=v) for name, (h, v) in hues.items()}
    monkeypatch.setattr("glaze.charts.content.primaries.hued_inks", lambda *_: looks)
    assert order_primaries(table) == ("Yellow", "Red", "Blue")


def test_equal_drops_are_not_equal_hues(table: Table) -> None:
    # red overpowers yellow (common practice, no source): the first drop turns the hue the most
    hue = [part.hue.hue for part in plan_wheel(table, 18).segments[:7]]
    assert hue[0] - hue[1] > 2 * (hue[5] - hue[6])


def test_a_strong_ink_comes_from_a_stock_mix_that_is_written_down(table: Table) -> None:
    plan = plan_wheel(table, 36, "hue")
    assert plan.stocks["Red in Yellow"] == {"Yellow": 11, "Red": 1}
    first = plan.segments[1]
    assert set(first.drops) == {"Yellow", "Red in Yellow"}
    page = _texts(wheel_sheets(plan, Layout(day=DAY))[1:])
    assert "yr stock mix Red in Yellow: Yellow 11 + Red 1 drops, stirred." in page


# --- values by another route ---


def test_values_agree_with_the_painted_scene(tmp_path: Path, table: Table) -> None:
    # the same washes painted by the compiled chain on a sheet of pixels; Y from linear sRGB
    # (IEC 61966-2-1) and value from Y by colour-science's own ASTM D1535
    from colour.notation import munsell_value_ASTMD1535

    plan = plan_wheel(table, 18, inner="1+8")
    for part in (plan.segments[0], plan.segments[3], plan.segments[9]):
        for shadow, patch in ((False, part.hue), (True, part.shadowed)):
            Y = _painted_luminance(tmp_path, part.recipe, shadow)
            assert patch is not None
            assert patch.value == pytest.approx(float(munsell_value_ASTMD1535(100 * Y)), abs=0.02)


def _painted_luminance(folder: Path, recipe: str, shadow: bool) -> float:
    wash = '[[step]]\nwash = "{}"\nmix = "{}"\nregion = "sheet"\nedge = "none"\n'
    text = (
        'format = 1\npalette = "lifting"\npaper = "white cartridge"\n'
        "size_mm = [20, 20]\ndpi = 100\n" + wash.format("hue", recipe)
    )
    if shadow:
        text += wash.format("shadow", "Black 1 ml + water 8 ml")
    file = folder / "scene.toml"
    file.write_text(text, encoding="utf-8")
    painting = resolve(load_scene(file), even=True)
    middle = linear_rgb(painting)[30:50, 30:50].reshape(-1, 3).mean(axis=0)
    return float(middle @ [0.2126, 0.7152, 0.0722])


def test_the_shadow_wash_costs_yellow_most_and_violet_least(table: Table) -> None:
    # trade: one dilution costs yellow about three value steps and purple one and a half or less
    # (arithmetic on home values, no source); here the order is what is held
    drops = [part.value_drop for part in plan_wheel(table, 18).segments]
    assert drops.index(max(drops)) == 0
    assert 7 <= drops.index(min(drops)) <= 11


def test_a_stronger_bottle_lifts_further(table: Table) -> None:
    weak, strong = (
        plan_wheel(replace(table, bleach=Bleach(percent)), 12, bleach="1+19")
        for percent in (1.0, 8.0)
    )
    for a, b in zip(weak.segments, strong.segments, strict=True):
        assert a.ghost is not None
        assert b.ghost is not None
        assert a.ghost.value <= b.ghost.value
    with pytest.raises(InputError, match="above household strength"):
        plan_wheel(replace(table, bleach=Bleach(12.0)), 12, bleach="1+4")


def test_bleach_leaves_paler_ghosts_all_round(table: Table) -> None:
    for part in plan_wheel(table, 12, bleach="neat").segments:
        assert part.ghost is not None
        assert part.ghost.value > part.hue.value
        assert part.ghost.chroma < part.hue.chroma


# --- geometry in the PDF ---


@pytest.mark.parametrize("segments", [18, 36])
def test_segments_lie_in_the_pdf_where_they_should(
    tmp_path: Path, table: Table, segments: int
) -> None:
    file = tmp_path / "wheel.pdf"
    write_pages(wheel_sheets(plan_wheel(table, segments), Layout(day=DAY), 150.0), file)
    shapes = [d for d in drawn_paths(file) if d.fill is not None and len(d.points) > 10]
    assert len(shapes) == 2 * segments
    corners = np.concatenate([d.points for d in shapes])
    centre = (corners.max(axis=0) + corners.min(axis=0)) / 2
    # the wheel stands in the middle of 210 mm
    assert centre[0] == pytest.approx(105.0, abs=0.05)
    radii = np.hypot(*(corners - centre).T)
    # 150 mm across; hue ring 30 %, gap 1.2 mm, shadow ring 22 % of the radius
    assert np.unique(radii.round(1)) == pytest.approx([34.8, 51.3, 52.5, 75.0], abs=0.1)
    first = shapes[0].points - centre
    turned = np.degrees(np.arctan2(first[:, 0], -first[:, 1]))
    assert (turned.min(), turned.max()) == pytest.approx(
        (-180 / segments, 180 / segments), abs=0.05
    )


def test_segments_of_the_svg_are_named_and_in_millimetres(tmp_path: Path, table: Table) -> None:
    file = tmp_path / "wheel.svg"
    write_pages(wheel_sheets(plan_wheel(table, 18), Layout(day=DAY), 150.0)[:1], file)
    parts = {e.get("id"): e for e in ET.parse(file).getroot().iter()}
    points = [[float(v) for v in p.split(",")] for p in parts["hue-1"].get("points").split()]
    radii = np.hypot(*(np.array(points) - [105.0, _middle(parts)]).T)
    # 75 mm to the outer edge, 30 % of it to the inner one
    assert radii.max() == pytest.approx(75.0, abs=0.01)
    assert radii.min() == pytest.approx(52.5, abs=0.01)


def _middle(parts) -> float:
    ys = [
        float(p.split(",")[1])
        for name, part in parts.items()
        if (name or "").startswith("hue-")
        for p in part.get("points").split()
    ]
    # segments 1 and 10 are centred on the top and the bottom of the wheel
    return (min(ys) + max(ys)) / 2


def test_half_and_half_leaves_the_right_half_of_each_segment_to_paint(table: Table) -> None:
    page = wheel_sheets(plan_wheel(table, 18), Layout(mode="half", day=DAY))[0]
    printed = {m.name: m for m in page.marks if isinstance(m, Shape)}
    whole, half = printed["hue-1-blank"].points, printed["hue-1"].points
    assert whole[0] == half[0]
    middle = (page.left + page.right) / 2
    assert max(x for x, _ in half) == pytest.approx(middle, abs=0.01)
    assert max(x for x, _ in whole) > middle + 5


def test_a_blank_wheel_has_no_colour_on_it(tmp_path: Path, table: Table) -> None:
    file = tmp_path / "blank.pdf"
    write_pages(wheel_sheets(plan_wheel(table, 18), Layout(mode="blank", day=DAY)), file)
    assert not [d for d in drawn_paths(file) if d.fill is not None]


def test_labels_stay_on_the_page_and_clear_of_each_other(table: Table) -> None:
    from glaze.charts.paper.marks import bounds

    for segments in (18, 36):
        page = wheel_sheets(plan_wheel(table, segments, "hue"), Layout("Letter", day=DAY))[0]
        labels = [bounds(m) for m in page.marks if m.name.startswith("recipe-")]
        assert len(labels) == segments
        for k, (left, top, right, bottom) in enumerate(labels):
            assert page.left <= left < right <= page.right
            for other in labels[k + 1 :]:
                apart = (
                    other[0] >= right or other[2] <= left or other[1] >= bottom or other[3] <= top
                )
                assert apart


@pytest.mark.parametrize("by", ["drops", "hue"])
def test_every_recipe_is_on_the_key_page_and_in_the_pdfs_text(
    tmp_path: Path, table: Table, by: str
) -> None:
    plan = plan_wheel(table, 36, by)
    file = tmp_path / "wheel.pdf"
    write_pages(wheel_sheets(plan, Layout(day=DAY)), file)
    key = PdfReader(file).pages[1].extract_text()
    for part in plan.segments:
        multiples = (Recipe(part.drops).times(times).text for times in range(1, 9))
        assert any(told in key for told in multiples), part.recipe


def test_the_key_s_drops_make_what_both_painted_rings_take(table: Table) -> None:
    plan = plan_wheel(table, 18)
    _, key = wheel_sheets(plan, Layout(day=DAY))
    place = geometry(plan, page_before(plan))
    outer, inner = place.rings[0].outer, place.rings[1].inner
    # pi (R2 - r2) / 18 at 100 ml/m2, with 1.4 for spare
    need = 3.14159265 * (outer**2 - inner**2) / 18 * 1e-6 * 100 * 1.4
    told = [m.text for m in key.marks if isinstance(m, Text)]
    assert any(f"take about {need:.2f} ml" in text for text in told)
    rows = [text for text in told if re.fullmatch(r"[A-Z]\w+ \d+( \+ [A-Z]\w+ \d+)?", text)]
    assert len(rows) == 18
    for row in rows:
        drops = sum(int(count) for count in re.findall(r" (\d+)", row))
        assert drops / 35 >= need * 0.999  # 35 drops of ink to the ml


def page_before(plan) -> Page:
    """The page that a wheel is drawn on, with its head and foot."""
    return start_sheet(plan.table, Layout(day=DAY), "x", "y", small=True)


def test_a_turned_page_with_bleach_keeps_the_wheel_s_size(table: Table) -> None:
    across = []
    for bleach in (None, "1+4"):
        plan = plan_wheel(table, 18, bleach=bleach)
        page = start_sheet(table, Layout(turned=True, day=DAY), "x", "y", bleach=bool(bleach))
        across.append(2 * geometry(plan, page).radius)
    assert across[1] >= across[0] - 4.0  # the line on bleach takes a line


def test_many_segments_on_a_small_sheet_are_refused(table: Table) -> None:
    with pytest.raises(InputError, match="fewer segments"):
        wheel_sheets(plan_wheel(table, 72), Layout(day=DAY), 60.0)
    assert wheel_sheets(plan_wheel(table, 72), Layout(day=DAY))


def test_json_holds_recipes_colours_and_values(tmp_path: Path) -> None:
    words = ["-o", str(tmp_path / "w.pdf"), "--segments", "6", "--bleach", "1+4", "--json"]
    told = json.loads(CliRunner().invoke(wheel_command, words, catch_exceptions=False).stdout)
    assert [part["recipe"] for part in told["segments"]][:2] == ["Yellow 2", "Yellow 1 + Red 1"]
    for part in told["segments"]:
        for ring in ("hue", "shadow", "lifted", "shadow_lifted"):
            assert {"value", "munsell", "words", "screen"} == part[ring].keys()
        assert part["shadow"]["value"] < part["hue"]["value"] < part["lifted"]["value"]


def test_the_caution_stands_only_where_bleach_is_planned(table: Table) -> None:
    with_ring = wheel_sheets(plan_wheel(table, 12, bleach="1+4"), Layout(day=DAY))
    without = wheel_sheets(plan_wheel(table, 12), Layout(day=DAY))
    assert "poisonous gas" in _texts(with_ring[:1])
    assert "gloves" in _texts(with_ring[1:])
    assert "poisonous" not in _texts(without)


def _texts(pages) -> str:
    return " ".join(" ".join(m.text.split()) for p in pages for m in p.marks if isinstance(m, Text))


# --- what is refused ---


@pytest.mark.parametrize("segments", [7, 0, -3, 3, 75, 20])
def test_a_number_that_three_primaries_cannot_share_is_refused(table: Table, segments: int) -> None:
    with pytest.raises(InputError, match=rf"{segments} segments.*divide by 3, from 6 to 72"):
        plan_wheel(table, segments)


@pytest.mark.parametrize(
    ("names", "told"),
    [
        (["Blue", "Red"], "three different primaries; 2 given"),
        (["Blue", "Red", "Red"], "2 given"),
        (["Blue", "Red", "Black"], "without a hue: Black"),
        (["Blue", "Red", "Green"], 'No ink is called "Green"'),
    ],
)
def test_primaries_that_make_no_wheel_are_refused(
    table: Table, names: list[str], told: str
) -> None:
    with pytest.raises(InputError, match=told):
        plan_wheel(table, 18, primaries=names)


def test_an_ink_that_is_water_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "inks.toml"
    file.write_text(
        'based_on = "lifting"\n[[ink]]\nname = "Weak"\n'
        'dyes_g_per_l = { "Acid Yellow 23" = 0.001 }\n',
        encoding="utf-8",
    )
    table = table_of(str(file), "white cartridge")
    with pytest.raises(InputError, match=r'"Weak" is as good as water on white cartridge paper'):
        plan_wheel(table, 18, primaries=["Blue", "Red", "Weak"])


def test_a_wheel_wider_than_the_page_is_refused_with_what_fits(table: Table) -> None:
    plan = plan_wheel(table, 18)
    with pytest.raises(InputError, match=r"300 mm across doesn't fit A4 upright.*60 to 1\d\d mm"):
        wheel_sheets(plan, Layout(day=DAY), 300.0)
    assert wheel_sheets(plan, Layout("A3", day=DAY), 250.0)


@pytest.mark.parametrize("text", ["8", "2+8", "1:8", "1+x", "1+500", ""])
def test_a_dilution_is_written_one_plus_n(text: str) -> None:
    with pytest.raises(InputError):
        parts_of(text)


def test_dilutions_are_said_in_full() -> None:
    assert [parts_words(parts_of(t)) for t in ("neat", "1+1", "1 + 8", "1+2.5")] == [
        "neat",
        "1 part + 1 part water",
        "1 part + 8 parts water",
        "1 part + 2.5 parts water",
    ]


def test_counted_drops_allow_for_the_smaller_drops_of_ink(table: Table) -> None:
    # 3 ink drops at 35 to the ml are 0.0857 ml; four times that of water is 0.343 ml = 6.9 drops
    # of 20 to the ml (USP 32 <1101>)
    assert dilution_of(table.mix("Black 1"), 4).drops == ({"Black": 3, "water": 7},)
