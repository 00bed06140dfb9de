"""The lift chart: its cells, the same by painting a scene, its file of figures, its look."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import numpy as np
import pytest
from pdf_content import drawn_paths
from pypdf import PdfReader

from glaze.charts.content.lift_curve import lift_curve, plan_curves
from glaze.charts.content.lift_rows import LiftCell, LiftChart, csv_text, plan_lift
from glaze.charts.paper.marks import Shape, Text, bounds
from glaze.charts.paper.publish import write_pages
from glaze.charts.sheets.lift_sheet import lift_chart
from glaze.charts.sheets.parts import Layout
from glaze.errors import InputError
from glaze.materials.bleach import CAUTION
from glaze.painting.settle import resolve
from glaze.patch.patches import bare_patches
from glaze.patch.patches import value as value_of
from glaze.patch.table import table_of
from glaze.physics.colour import luminance_of_value, munsell_value
from glaze.pipeline import linear_rgb
from glaze.scene.file import load_scene

DAY = Layout(day="2026-01-02")


@pytest.fixture(scope="module")
def chart() -> LiftChart:
    return plan_lift(table_of("lifting", "white cartridge"))


def cell(chart: LiftChart, recipe: str, parts: float, touches: int, shadow=False) -> LiftCell:
    row = next(r for r in chart.rows if r.recipe == recipe and r.shadowed == shadow)
    return next(c for c in row.cells if (c.parts_water, c.touches) == (parts, touches))


def test_every_bottle_and_secondary_stands_plain_and_under_the_shadow(chart: LiftChart) -> None:
    plain = [row.recipe for row in chart.rows if not row.shadowed]
    assert plain[:4] == ["Blue 1", "Red 1", "Yellow 1", "Black 1"]
    mixed = [{word for word in recipe.split() if word.isalpha()} for recipe in plain[4:]]
    assert mixed == [{"Yellow", "Red"}, {"Red", "Blue"}, {"Blue", "Yellow"}]
    assert [row.recipe for row in chart.rows if row.shadowed] == plain
    assert {len(row.cells) for row in chart.rows} == {12}


def test_ghosts_are_what_painters_report(chart: LiftChart) -> None:
    # common practice, no source: blue and yellow come back, dense black leaves gold, thin bleach
    # leaves black red-violet on its way
    assert cell(chart, "Blue 1", 0, 1).ghost in ("paper", "near paper")
    assert "gold" in cell(chart, "Black 1", 4, 2).ghost
    assert cell(chart, "Black 1", 9, 1).ghost.split()[-1] in ("red", "purple")
    resistant = plan_lift(table_of("resistant", "white cartridge"), ["neat"], 1, None)
    assert cell(resistant, "Red 1", 0, 1).ghost.split()[-1] in ("pink", "red-purple")


def test_carbon_stays(chart: LiftChart) -> None:
    extras = plan_lift(chart.table, ["neat"], 3, None, extras=True)
    assert {cell(extras, "Pigment Black 1", 0, n).ghost for n in (1, 2, 3)} == {"stays"}


def test_each_touch_is_at_least_as_light_and_never_past_bleached_paper(chart: LiftChart) -> None:
    paper = bare_patches(chart.table, 2)
    paper.bleached[0, 1] = 1.0
    lightest = float(value_of(chart.table, paper).max())
    for row in chart.rows:
        values = np.array([c.after.value for c in row.cells]).reshape(4, 3)
        assert (np.diff(values, axis=1) > -0.02).all()
        assert values.max() <= lightest + 0.01
        # a sheet may be lighter than the paper's figure, which is known to 3 %
        sheet = munsell_value(1.03 * luminance_of_value(lightest))
        assert all(c.low <= c.after.value <= c.high <= sheet + 0.01 for c in row.cells)


def test_second_touch_gives_less_than_the_first_where_bleach_is_strong(chart: LiftChart) -> None:
    for recipe in ("Blue 1", "Black 1", "Red 1"):
        row = next(r for r in chart.rows if r.recipe == recipe and not r.shadowed)
        one, two, three = (cell(chart, recipe, 4, n).after.value for n in (1, 2, 3))
        assert one - row.home.value > two - one >= three - two - 0.05


@pytest.mark.parametrize(("recipe", "parts", "touches"), [("Black 1", 9, 2), ("Blue 1", 19, 1)])
def test_a_cell_agrees_with_the_painted_scene(
    tmp_path: Path, chart: LiftChart, recipe: str, parts: int, touches: int
) -> None:
    # the same lift painted by the compiled chain; value from Y by colour-science's ASTM D1535
    from colour.notation import munsell_value_ASTMD1535

    (tmp_path / "scene.toml").write_text(
        f"""format = 1
palette = "lifting"
paper = "white cartridge"
size_mm = [6, 6]
dpi = 100
[[step]]
wash = "w"
mix = "{recipe}"
region = "sheet"
[[step]]
lift = "l"
region = "sheet"
parts_water = {parts}
touches = {touches}
"""
    )
    rgb = linear_rgb(resolve(load_scene(tmp_path), even=True))[8:-8, 8:-8]
    Y = float(np.median(rgb @ np.array([0.2126, 0.7152, 0.0722])))  # IEC 61966-2-1
    found = cell(chart, recipe, parts, touches).after.value
    assert found == pytest.approx(float(munsell_value_ASTMD1535(100 * Y)), abs=0.03)


def test_the_csv_says_what_the_chart_says(chart: LiftChart) -> None:
    lines = csv_text(chart).splitlines()
    comments = [line for line in lines if line.startswith("#")]
    assert any("poisonous gas" in line for line in comments)
    rows = list(csv.DictReader(io.StringIO("\n".join(lines[len(comments) :]))))
    assert len(rows) == 14 * 12
    one = next(
        r
        for r in rows
        if (r["recipe"], r["shadow_wash"], r["bleach"], r["touches"])
        == ("Black 1", "", "1 + 9", "1")
    )
    same = cell(chart, "Black 1", 9, 1)
    assert float(one["value_after"]) == pytest.approx(same.after.value, abs=0.005)
    assert float(one["value_low"]) <= float(one["value_after"]) <= float(one["value_high"])
    assert (one["ghost"], one["standing"]) == (same.ghost, "assumed")
    assert rows[-1]["shadow_wash"].startswith("Black, 1 part + 8 parts water")


def test_the_pdf_is_a4_turned_with_the_whole_caution_on_every_page(
    tmp_path: Path, chart: LiftChart
) -> None:
    (file,) = write_pages(lift_chart(chart, DAY), tmp_path / "lift.pdf")
    pages = PdfReader(file).pages
    assert len(pages) == 2
    for page in pages:
        assert float(page.mediabox.width) / 72 * 25.4 == pytest.approx(297, abs=0.01)
        text = " ".join(page.extract_text().split())
        assert " ".join(CAUTION.split()) in text


def test_the_swatches_in_the_pdf_have_the_predicted_colours(
    tmp_path: Path, chart: LiftChart
) -> None:
    (file,) = write_pages(lift_chart(chart, DAY), tmp_path / "lift.pdf")
    fills = {p.fill for p in drawn_paths(file) if p.fill is not None}
    for recipe, parts in (("Black 1", 4.0), ("Red 1", 19.0)):
        wanted = np.array(cell(chart, recipe, parts, 1).after.rgb8) / 255
        assert min(np.abs(np.array(f) - wanted).max() for f in fills) < 0.005


@pytest.mark.parametrize("size", ["A4", "A3", "Letter"])
def test_nothing_leaves_the_margins_and_no_words_overlap(chart: LiftChart, size: str) -> None:
    for page in lift_chart(chart, Layout(size, day="2026-01-02")):
        for mark in page.marks:
            left, top, right, bottom = bounds(mark)
            assert left >= page.left - 1.1
            assert right <= page.right + 1.1
            assert top >= 11.0
            assert bottom <= page.height - 11.0
        texts = [bounds(m) for m in page.marks if isinstance(m, Text) and "ghost" in m.name]
        for i, one in enumerate(texts):
            for other in texts[i + 1 :]:
                apart = one[2] <= other[0] or other[2] <= one[0]
                assert apart or one[3] <= other[1] or other[3] <= one[1]


def test_a_blank_chart_leaves_every_cell_to_paint(chart: LiftChart) -> None:
    (page, _) = lift_chart(chart, Layout(mode="blank", day="2026-01-02"))
    names = {m.name for m in page.marks if isinstance(m, Shape)}
    assert "cell-0-0-blank" in names
    assert "cell-0-0" not in names


def test_as_many_bottles_as_there_are_go_over_to_more_pages(chart: LiftChart) -> None:
    many = plan_lift(chart.table, ["neat", "1+9"], 2, "1+8", extras=True)
    pages = lift_chart(many, DAY)
    texts = [m.text for p in pages for m in p.marks if isinstance(m, Text)]
    assert len(pages) == 4
    assert all(texts.count(row.recipe) == 2 for row in many.rows)


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ({"touches": 0}, "0 touches"),
        ({"touches": 9}, "9 touches"),
        ({"strengths": []}, "0 strengths"),
        ({"strengths": ["1:4"]}, "write a dilution as 1\\+8"),
        ({"shadow": "thin"}, "write a dilution"),
    ],
)
def test_what_cant_be_charted_is_said(chart: LiftChart, wrong, told: str) -> None:
    with pytest.raises(InputError, match=told):
        plan_lift(chart.table, **wrong)


# --- the curve over time ---


def test_the_curve_starts_at_the_dry_wash_and_ends_at_its_ghost() -> None:
    table = table_of("lifting", "white cartridge")
    curves = plan_curves(table, "Black 1 + water 4", ["neat", "1+19"])
    for curve in curves.curves:
        # nothing before bleach is in the fibres: depth^2/(6 D) of 0.1 mm is 4 s (Daynes)
        assert curve.values[0] == pytest.approx(curves.home.value, abs=1e-6)
        assert (np.diff(curve.values) > -0.03).all()
        at = np.interp(curve.times_s, curve.band_times_s, curve.low)
        assert (at <= curve.values + 0.35).all()
    neat, weak = (curve.values for curve in curves.curves)
    assert (neat >= weak - 1e-9).all()


def test_half_of_a_thin_blue_goes_in_its_half_life() -> None:
    # in excess the dye halves in ln 2/(k c): Acid Blue 9, k = 0.50 L/(mol s) at 25 C with
    # 35 kJ/mol, in bleach of 0.721/20 mol/L at 20 C: 48 s after the lag of 4 s
    table = table_of("lifting", "white cartridge")
    curves = plan_curves(table, "Blue 1 + water 60", ["1+19"])
    (curve,) = curves.curves
    b = np.array([patch.lab[2] for patch in curve.patches])
    half = 0.5 * (b[0] + curves.paper.lab[2])
    seconds = float(np.interp(half, b, curve.times_s))
    assert seconds == pytest.approx(52.0, rel=0.2)  # Acid Blue 93 beside it is faster


def test_the_curve_is_drawn_with_the_caution(tmp_path: Path) -> None:
    curves = plan_curves(table_of("lifting", "white cartridge"), "Red 1", ["neat"])
    (file,) = write_pages(lift_curve(curves, Layout(turned=True)), tmp_path / "curve.pdf")
    text = " ".join(PdfReader(file).pages[0].extract_text().split())
    assert " ".join(CAUTION.split()) in text
    assert "1 min" in text


def test_five_curves_are_too_many() -> None:
    with pytest.raises(InputError, match="5 strengths"):
        plan_curves(table_of("lifting", "white cartridge"), "Red 1", ["neat"] * 5)
