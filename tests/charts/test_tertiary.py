"""The lesson on tertiaries: its curves, its words and its answers."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
from pdf_content import drawn_paths
from pypdf import PdfReader

from glaze.charts.content.tertiary import CURVE_NM, GlazeCurve, Lesson, answers, plan_lesson, why
from glaze.charts.paper.marks import Line, Shape, Text, text_mm
from glaze.charts.paper.publish import write_pages
from glaze.charts.sheets.parts import Layout
from glaze.charts.sheets.tertiary_sheet import lesson_sheets
from glaze.errors import InputError
from glaze.materials.mix import diluted
from glaze.materials.parts_told import parts_of
from glaze.patch.patches import bare_patches, glaze, value
from glaze.patch.table import Table, table_of

DAY = "2026-01-02"


@pytest.fixture(scope="module")
def table() -> Table:
    return table_of("lifting", "white cartridge")


@pytest.fixture(scope="module")
def lesson(table: Table) -> Lesson:
    return plan_lesson(table)


def test_tertiary_is_defined_where_it_is_first_used(lesson: Lesson) -> None:
    for page in lesson_sheets(lesson, Layout(day=DAY))[:1]:
        told = [m.text for m in page.marks if isinstance(m, Text)]
        first = next(k for k, text in enumerate(told) if "ertiar" in text)
        assert told[first : first + 2] == [
            "Tertiaries",
            "A tertiary here is a secondary (two primaries mixed) under a black glaze.",
        ]


def test_curves_give_the_printed_values_by_the_cie_sum(lesson: Lesson) -> None:
    # Y = sum R ybar S / sum ybar S at 5 nm with colour-science's own tables (CIE 15), and value by
    # colour-science's ASTM D1535; 400 to 700 nm leaves out 0.1 % of ybar
    import warnings

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour

    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    ybar = np.interp(CURVE_NM, observer.wavelengths, observer.values[:, 1])
    power = colour.SDS_ILLUMINANTS["D65"]
    weight = ybar * np.interp(CURVE_NM, power.wavelengths, power.values)
    for curve, patch in zip(lesson.curves, lesson.patches, strict=True):
        Y = float(curve.reflectance @ weight / weight.sum())
        expected = float(colour.notation.munsell_value_ASTMD1535(100 * Y))
        assert patch.value == pytest.approx(expected, abs=0.02)


def test_the_glaze_sends_back_less_than_either_wash_everywhere(lesson: Lesson) -> None:
    hue, shadow, glazed = (curve.reflectance for curve in lesson.curves)
    assert (glazed <= np.minimum(hue, shadow) + 1e-9).all()
    assert (hue <= lesson.paper.reflectance + 1e-9).all()


def test_a_black_glaze_over_orange_is_brown_and_keeps_red_on_top(lesson: Lesson) -> None:
    # trade: brown is a dark orange (common practice, no source)
    assert lesson.patches[2].words.endswith("brown")
    told = " ".join(why(lesson))
    assert "Red is still the most" in told
    assert f"value falls from {lesson.patches[0].value:.1f}" in told


def test_percentages_in_words_are_those_of_the_plot(lesson: Lesson) -> None:
    red = (CURVE_NM >= 580) & (CURVE_NM <= 700)
    share = 100 * lesson.curves[0].reflectance[red].mean()
    assert f"sends back {share:.0f} % of the red light" in why(lesson)[0]


def test_orange_light_is_none_of_the_green() -> None:
    # light of 590 to 640 nm looks yellow to red, none of it green (common practice, no source)
    orange = GlazeCurve("a filter", ((CURVE_NM >= 590) & (CURVE_NM <= 640)).astype(float))
    assert orange.shares["green"] == orange.shares["blue"] == 0.0
    # 11 of the red third's 25 points, every 5 nm from 580 to 700
    assert orange.shares["red"] == pytest.approx(11 / 25)


def test_answers_name_the_hue_that_loses_most(table: Table, lesson: Lesson) -> None:
    # laid again by hand, one by one
    drops = {}
    for task in lesson.tasks:
        sheet = glaze(table, bare_patches(table), table.mix(task.recipe))
        before = float(value(table, sheet)[0, 0])
        glaze(table, sheet, table.mix("Black 1 ml + water 4 ml"))
        drops[task.recipe] = before - float(value(table, sheet)[0, 0])
    told = answers(lesson)[0]
    most, least = max(drops, key=drops.__getitem__), min(drops, key=drops.__getitem__)
    assert told.startswith(f"{most} loses most light, {drops[most]:.1f}")
    assert f"{least} least, {drops[least]:.1f}" in told


def test_dilutions_for_an_equal_drop_darken_every_hue_by_one_step(
    table: Table, lesson: Lesson
) -> None:
    told = answers(lesson)[3]
    found = re.findall(r"field (\d): 1 part \+ ([\d.]+) parts? water", told)
    assert found
    for number, words in found:
        sheet = glaze(table, bare_patches(table), table.mix(lesson.tasks[int(number) - 1].recipe))
        before = float(value(table, sheet)[0, 0])
        glaze(table, sheet, diluted(table.mix("Black 1"), parts_of(f"1+{words}")))
        assert before - float(value(table, sheet)[0, 0]) == pytest.approx(1.0, abs=0.03)


def test_answers_stand_on_a_page_of_their_own(lesson: Lesson) -> None:
    lesson_page, exercise, key = lesson_sheets(lesson, Layout(day=DAY))
    filled = [m.name for m in exercise.marks if isinstance(m, Shape) and m.fill is not None]
    assert filled == [f"grey-{value}" for value in range(1, 10)]
    assert sum(m.name.startswith("task-") for m in key.marks) == 12
    assert {m.name for m in lesson_page.marks if m.name.startswith("curve-")} == {
        "curve-paper",
        "curve-the-secondary",
        "curve-the-shadow-wash",
        "curve-the-glaze",
    }


def test_greys_of_the_value_strip_have_the_values_they_say(lesson: Lesson) -> None:
    # Y of sRGB greys (IEC 61966-2-1) and colour-science's own ASTM D1535
    from colour.notation import munsell_value_ASTMD1535

    exercise = lesson_sheets(lesson, Layout(day=DAY))[1]
    for mark in exercise.marks:
        if isinstance(mark, Shape) and mark.name.startswith("grey-"):
            signal = mark.fill[0] / 255
            Y = ((signal + 0.055) / 1.055) ** 2.4
            # 8-bit signals: a step is 0.04 of value at most above value 1
            expected = float(mark.name.removeprefix("grey-"))
            assert float(munsell_value_ASTMD1535(100 * Y)) == pytest.approx(expected, abs=0.04)


def test_curves_part_in_black_and_white(lesson: Lesson) -> None:
    page = lesson_sheets(lesson, Layout(day=DAY))[0]
    pens = [
        (m.points_wide, m.dotted, m.dash)
        for m in page.marks
        if isinstance(m, Line) and m.name.startswith("curve-")
    ]
    assert len(set(pens)) == 4
    # two solid lines, dots and strokes: told apart by more than their width
    assert {(dotted, dash > 0) for _, dotted, dash in pens} == {(0, 0), (1, 0), (1, 1)}


@pytest.mark.parametrize("secondary", [None, "Blue 3 + Red 2", "Blue 4 + Yellow 2"])
@pytest.mark.parametrize("palette", ["lifting", "resistant"])
def test_every_curve_s_name_stands_nearer_to_it_than_to_any_other(
    palette: str, secondary: str | None
) -> None:
    lesson = plan_lesson(table_of(palette, "white cartridge"), secondary)
    page = lesson_sheets(lesson, Layout(day=DAY))[0]
    lines = {
        mark.name.removeprefix("curve-").replace("-", " "): np.array(mark.points)
        for mark in page.marks
        if isinstance(mark, Line) and mark.name.startswith("curve-")
    }
    lines["bare paper"] = lines.pop("paper")
    told = {m.text: m for m in page.marks if isinstance(m, Text) and m.text in lines}
    assert set(told) == set(lines)
    for name, mark in told.items():
        half = text_mm(name, mark.points) / 2
        along = [(mark.x + share * half, mark.y - 1.2) for share in np.linspace(-1, 1, 9)]
        away = {
            other: min(np.hypot(*(line - place).T).min() for place in along)
            for other, line in lines.items()
        }
        assert min(away, key=away.__getitem__) == name, away


def test_the_plot_lies_in_the_pdf_to_scale(tmp_path: Path, lesson: Lesson) -> None:
    file = tmp_path / "lesson.pdf"
    write_pages(lesson_sheets(lesson, Layout(day=DAY)), file)
    curves = [d.points for d in drawn_paths(file) if d.fill is None and len(d.points) == 61]
    assert len(curves) == 4
    # 61 points 5 nm apart over 300 nm; the plot is 170 mm wide: 0.567 mm a nanometre
    steps = np.diff(curves[1][:, 0])
    assert steps == pytest.approx(np.full(60, 170 / 60), abs=0.01)
    # heights in mm are reflectances by one scale
    heights = np.concatenate([c[:, 1] for c in curves])
    shares = np.concatenate(
        [lesson.paper.reflectance, *(curve.reflectance for curve in lesson.curves)]
    )
    slope, _ = np.polyfit(shares, heights, 1)
    assert np.abs(heights - np.polyval(np.polyfit(shares, heights, 1), shares)).max() < 0.01
    assert 60 < -slope < 115


@pytest.mark.parametrize("size", ["A4", "A3", "Letter"])
def test_the_lesson_prints_on_every_sheet_size(tmp_path: Path, lesson: Lesson, size: str) -> None:
    file = tmp_path / "lesson.pdf"
    write_pages(lesson_sheets(lesson, Layout(size, day=DAY)), file)
    assert len(PdfReader(file).pages) == 3
    for page in lesson_sheets(lesson, Layout(size, day=DAY)):
        lowest = max(m.y for m in page.marks if isinstance(m, Text) and not m.name)
        assert lowest <= page.bottom + 0.5


def test_a_single_ink_is_no_secondary(table: Table) -> None:
    with pytest.raises(InputError, match='"Red 3" is one ink: a secondary is mixed from two'):
        plan_lesson(table, "Red 3")
    with pytest.raises(InputError, match="as good as water"):
        plan_lesson(table, "Red 1 + Blue 1 + water 9000")
