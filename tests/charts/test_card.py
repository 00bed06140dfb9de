"""The recipe card of a scene."""

from __future__ import annotations

import io
import re
import xml.etree.ElementTree as ET
from functools import cache
from pathlib import Path
from types import SimpleNamespace

import pytest
from pypdf import PdfReader

from glaze.charts.content.card_words import area_words, recipe_lines, shortened
from glaze.charts.paper.marks import Image, Shape, Text, text_mm
from glaze.charts.paper.page import MARGIN_MM, Page
from glaze.charts.paper.pdf import pdf_bytes
from glaze.charts.paper.svg import svg_text
from glaze.charts.sheets.card import card_pages
from glaze.charts.sheets.parts import fitted
from glaze.planning.sheet.plan import Plan
from glaze.planning.sheet.planner import plan_of
from glaze.scene.file import read_text, scene_of
from tests.charts.sheet_faults import faults

DAY = "2026-11-25"
SCENE = """
format = 1
title = "Pears on a sill"
palette = "lifting"
paper = "white cartridge"
size_mm = [60, 40]
dpi = 101.6
[well]
"green of the pears" = "Yellow 6 + Blue 1 + water 7"
[region.left]
polygon_mm = [[0, 0], [30, 0], [30, 40], [0, 40]]
[[step]]
wash = "pears"
mix = "green of the pears"
region = "left"
[[step]]
wash = "their shadow, whose name is too long for the column it stands in on a card"
mix = "Black 3 + water 9"
region = { polygon_mm = [[10, 10], [40, 10], [40, 30], [10, 30]] }
"""
LIFT = """
[[step]]
lift = "highlight"
region = { ellipse_mm = { centre = [10, 10], radii = [4, 4] } }
"""


@cache
def plan(steps: str = LIFT) -> Plan:
    return plan_of(scene_of(read_text(SCENE + steps), Path(".")))


@cache
def pages(size: str = "A4", steps: str = LIFT) -> tuple[Page, ...]:
    return tuple(card_pages(plan(steps), size, DAY))


def texts(found: tuple[Page, ...]) -> str:
    return " ".join(m.text for page in found for m in page.marks if isinstance(m, Text))


@pytest.mark.parametrize("size", ["A4", "Letter", "A3"])
def test_every_page_is_fit_to_print(size: str) -> None:
    assert not faults(pages(size))


def test_every_step_has_its_number_tick_box_and_name() -> None:
    told = texts(pages())
    boxes = [m for p in pages() for m in p.marks if isinstance(m, Shape) and m.name[:4] == "tick"]
    assert [box.name for box in boxes] == ["tick 1", "tick 2", "tick 3"]
    assert "pears" in told
    assert "highlight (bleach lift)" in told
    assert "…" in told  # the long name is cut, not squeezed
    assert "Black 3 + water 9" in told
    assert "1 part +" in told


def test_swatches_are_framed_by_their_standing() -> None:
    found = [
        m
        for p in pages()
        for m in p.marks
        if isinstance(m, Shape) and re.fullmatch(r"step \d+", m.name)
    ]
    assert len(found) == 3
    assert all(m.frame is not None and m.frame.dotted for m in found)  # invented inks: assumed


def test_bleach_brings_the_caution_in_full_and_its_line_beside_the_step() -> None:
    with_bleach, without = texts(pages()), texts(pages(steps=""))
    assert "Bleach: read this first" in with_bleach
    assert "vinegar" in with_bleach
    assert "poisonous gas when mixed" in with_bleach
    assert "Bleach" not in without
    frames = [m for m in pages()[0].marks if isinstance(m, Shape) and m.name == "caution"]
    assert len(frames) == 1


def test_every_page_has_its_check_line_facts_and_number() -> None:
    count = len(pages())
    for number, page in enumerate(pages(), start=1):
        told = texts((page,))
        for words in ("print at 100", "lifting", DAY, "invented", f"page {number} of {count}"):
            assert words in told
        assert any(getattr(m, "name", "") == "check-line-100-mm" for m in page.marks)


def test_the_small_picture_keeps_the_sheets_shape() -> None:
    picture = next(m for m in pages()[0].marks if isinstance(m, Image))
    assert picture.width / picture.height == pytest.approx(60 / 40, rel=0.01)
    assert fitted(60, 40, 86, 96) == pytest.approx((86, 86 * 40 / 60))


def test_the_card_is_the_same_every_time_and_its_text_can_be_searched() -> None:
    first, second = pdf_bytes(pages()), pdf_bytes(card_pages(plan(), "A4", DAY))
    assert first == second
    told = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(first)).pages)
    assert "Pears on a sill" in told
    assert "green of the pears" in told
    ET.fromstring(svg_text(pages()[0]))


def test_a_card_without_steps_still_prints() -> None:
    bare = scene_of(
        read_text(
            'format = 1\npalette = "lifting"\npaper = "white cartridge"\nsize_mm = [60, 40]\n'
        ),
        Path("."),
    )
    assert pdf_bytes(card_pages(plan_of(bare), "A4", DAY))


def test_small_areas_are_told_in_square_millimetres() -> None:
    assert area_words(12.4) == "12\u2009cm²"
    assert area_words(0.34) == "34\u2009mm²"
    assert area_words(0.0001) == "1\u2009mm²"


def test_two_coats_are_told_and_one_is_not() -> None:
    amount = SimpleNamespace(ready=False, text="3 drops of Blue", parts="neat")
    step = SimpleNamespace(amount=amount, kind="wash", coats=2, tool="")
    assert recipe_lines(step, 200.0) == ["3 drops of Blue; neat, 2 coats"]
    step.coats = 1
    assert recipe_lines(step, 200.0) == ["3 drops of Blue; neat"]


def test_long_names_are_cut_to_their_column() -> None:
    cut = shortened("a name that goes on and on", 20.0, 10)
    assert cut.endswith("…")
    assert text_mm(cut, 10, "Bold") <= 20.0
    assert shortened("short", 20.0, 10) == "short"


def test_both_orders_stand_side_by_side_where_they_differ() -> None:
    shadow = """
[[step]]
wash = "over it all"
mix = "Neon Pink 3"
region = "left"
"""
    found = plan(shadow)
    choices = [choice for choice in found.choices if not choice.keep]
    drawn = [
        m
        for page in pages(steps=shadow)
        for m in page.marks
        if isinstance(m, Shape) and m.name.startswith("order")
    ]
    assert choices
    assert len(drawn) == 2 * min(len(choices), 5)
    assert drawn[0].fill != drawn[1].fill


NAMES = [f"{a}{b}" for a in "abcdef" for b in "vwxyz"]


def crowded() -> Plan:
    """Thirty wells, a recipe of eight inks, and names in letters the typeface doesn't have."""
    inks = ("Blue", "Red", "Yellow", "Black", "Neon Pink", "Pigment Black", "Separating Blue")
    wells = "".join(f'"well {NAMES[n]}" = "Blue {n + 1} + water {n + 2}"\n' for n in range(30))
    steps = "".join(
        f'[[step]]\nwash = "wash {name}"\nmix = "well {name}"\nregion = "left"\n' for name in NAMES
    )
    many = " + ".join(f"{ink} 11" for ink in (*inks, "Separating Black"))
    steps += f'[[step]]\nwash = "港の夜 <&> ☂"\nmix = "{many} + water 50"\nregion = "left"\n'
    text = SCENE.split("[region.left]")[0] + wells + "[region.left]"
    text += SCENE.split("[region.left]")[1].split("[[step]]")[0] + steps
    return plan_of(scene_of(read_text(text), Path(".")))


def test_a_crowded_card_loses_nothing_and_stays_on_its_pages() -> None:
    found = tuple(card_pages(crowded(), "A4", DAY))
    told = texts(found)
    for n in range(30):
        assert f"from the well well {NAMES[n]};" in told
    assert "Separating Black 11" in told
    for page in found:
        foot = page.height - MARGIN_MM
        marks = [m for m in page.marks if isinstance(m, Text)]
        assert max(m.y for m in marks) <= foot + 1e-6
        assert all(
            m.x + m.left + text_mm(m.text, m.points, m.face) <= page.right + 1 for m in marks
        )
    assert pdf_bytes(found)
    ET.fromstring(svg_text(found[-1]))
