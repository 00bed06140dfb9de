"""Sheets that print at true size: PDF, SVG and PNG of one drawing."""

from __future__ import annotations

import io
import math
import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest
from pypdf import PdfReader

from glaze import __version__
from glaze.charts.paper.marks import INK, MM_PER_PT, Text, box, frame_of, segment, text_mm, wrapped
from glaze.charts.paper.page import CHECK_MM, MARGIN_MM, Page
from glaze.charts.paper.pdf import pdf_bytes
from glaze.charts.paper.plot import Frame
from glaze.charts.paper.png import page_pixels
from glaze.charts.paper.publish import write_pages
from glaze.charts.paper.readable import readable_on
from glaze.charts.paper.svg import svg_text
from glaze.charts.sheets.facts import facts_of
from glaze.errors import InputError
from glaze.patch.layers import standing_of
from glaze.patch.table import table_of

SVG = "{http://www.w3.org/2000/svg}"


def a_page(size: str = "A4", turned: bool = False) -> Page:
    page = Page(size, turned)
    page.head("Six drops", "a sheet for tests")
    page.foot("palette lifting · inks invented")
    page.caution()
    page.swatch(box(20, 40, 20, 15), (200, 30, 40), "assumed", "R", name="red neat")
    page.swatch(box(50, 40, 20, 15), None, key="Y", name="blank")
    page.text(100, 60, "5.2\u2009ml", 9, align="right", tabular=True)
    return page


@pytest.mark.parametrize(
    ("size", "wide", "high"), [("A4", 210, 297), ("A3", 297, 420), ("Letter", 215.9, 279.4)]
)
def test_pdf_pages_have_the_size_of_the_paper(size: str, wide: float, high: float) -> None:
    # ISO 216 and ANSI Y14.1 (8.5 by 11 in); a point of PDF is 1/72 in (ISO 32000)
    pages = PdfReader(io.BytesIO(pdf_bytes([a_page(size), a_page(size, turned=True)]))).pages
    upright, turned = (page.mediabox for page in pages)
    assert float(upright.width) / 72 * 25.4 == pytest.approx(wide, abs=0.01)
    assert float(upright.height) / 72 * 25.4 == pytest.approx(high, abs=0.01)
    assert float(turned.width) == float(upright.height)


def test_an_unknown_paper_size_is_refused_with_the_known_ones() -> None:
    with pytest.raises(InputError, match="Known: A3, A4, A5, Letter"):
        Page("A5½")


def test_the_check_line_is_100_mm_in_svg_and_pixels() -> None:
    page = a_page()
    found = [e for e in ET.fromstring(svg_text(page)).iter() if e.get("id") == "check-line-100-mm"]
    (x0, y0), (x1, y1) = ([float(v) for v in p.split(",")] for p in found[0].get("points").split())
    assert (x1 - x0, y1 - y0) == (pytest.approx(100.0), 0.0)
    dpi = 127.0  # five pixels a millimetre
    row = page_pixels(page, dpi)[int(y0 * 5)]
    # the line's own row: dark between its ends
    dark = np.flatnonzero(row[: 5 * 114].max(axis=-1) < 160)
    assert dark.max() - dark.min() == pytest.approx(CHECK_MM * 5, abs=2)


def test_svg_measures_are_millimetres_and_names_are_ids() -> None:
    root = ET.fromstring(svg_text(a_page("Letter")))
    assert (root.get("width"), root.get("height")) == ("215.9mm", "279.4mm")
    assert root.get("viewBox") == "0 0 215.9 279.4"
    ids = [e.get("id") for e in root.iter() if e.get("id")]
    assert "red-neat" in ids
    assert len(ids) == len(set(ids))


def test_a_plot_grows_to_the_right_and_upwards() -> None:
    """Of a frame from 10 to 110 mm across and 20 to 70 mm down the page."""
    frame = Frame(10.0, 20.0, 100.0, 50.0, (400.0, 700.0), (0.0, 1.0))
    assert frame.at(400.0, 0.0) == pytest.approx((10.0, 70.0))
    assert frame.at(700.0, 1.0) == pytest.approx((110.0, 20.0))
    assert frame.at(475.0, 0.2) == pytest.approx((35.0, 60.0))


def test_a_line_of_one_point_is_a_72nd_of_an_inch_wide() -> None:
    page = Page()
    page.line([(20, 20), (30, 20)], 1.0, INK, name="pen")
    root = ET.fromstring(svg_text(page))
    (pen,) = (e for e in root.iter() if e.get("id") == "pen")
    assert float(pen.get("stroke-width")) == pytest.approx(25.4 / 72, abs=5e-4)


def test_the_same_name_twice_gives_two_ids() -> None:
    page = Page()
    page.rect(20, 20, 5, 5, INK, name="7 a")
    page.rect(30, 20, 5, 5, INK, name="7 a")
    ids = [e.get("id") for e in ET.fromstring(svg_text(page)).iter() if e.get("id")]
    assert ids == ["m-7-a", "m-7-a-2"]


def test_type_is_text_in_an_embedded_face() -> None:
    reader = PdfReader(io.BytesIO(pdf_bytes([a_page()])))
    text = reader.pages[0].extract_text()
    assert "print at 100" in text
    assert "Six drops" in text
    fonts = reader.pages[0]["/Resources"]["/Font"]
    descriptors = [f.get_object().get("/FontDescriptor") for f in fonts.values()]
    embedded = [d.get_object() for d in descriptors if d is not None]
    assert embedded
    assert all("Hyperlegible" in str(d["/FontName"]) and "/FontFile2" in d for d in embedded)
    assert "@font-face" in svg_text(a_page())


def test_the_same_page_gives_the_same_bytes() -> None:
    assert pdf_bytes([a_page()]) == pdf_bytes([a_page()])
    assert svg_text(a_page()) == svg_text(a_page())


def test_nothing_stands_in_the_margin_and_the_caution_is_in_full() -> None:
    page = a_page()
    words = " ".join(mark.text for mark in page.marks if isinstance(mark, Text))
    for part in ("vinegar", "ammonia", "Gloves".lower(), "no safety authority", "not for children"):
        assert part in words.lower()
    for mark in page.marks:
        if isinstance(mark, Text):
            assert mark.x + mark.left >= MARGIN_MM
            assert mark.x + mark.left + text_mm(mark.text, mark.points, mark.face) <= page.right
            assert mark.points >= 7


def test_the_caution_stands_in_the_same_place_on_every_sheet() -> None:
    first, second = a_page(), Page("A4")
    second.head("Another sheet")
    second.foot("facts")
    second.caution()
    assert first.bottom == second.bottom


def test_text_width_agrees_with_another_reader_of_the_font() -> None:
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    from glaze.charts.paper.type import font_file

    pdfmetrics.registerFont(TTFont("ForTest", font_file("Bold")))
    told = "1 part + 4 parts water, × 3"
    other = pdfmetrics.stringWidth(told, "ForTest", 11) * MM_PER_PT
    assert text_mm(told, 11, "Bold") == pytest.approx(other, abs=0.01)


def test_tabular_figures_all_take_the_same_width() -> None:
    widths = {text_mm(f"{n}{n}.{n}", 9, tabular=True) for n in range(10)}
    assert max(widths) - min(widths) < 1e-9
    assert len({round(text_mm(str(n), 9), 3) for n in range(10)}) > 5


def test_wrapped_lines_fit_and_lose_no_word() -> None:
    told = "Bleach stays in the paper and goes on working so keep a scan"
    lines = wrapped(told, 40, 9)
    assert " ".join(lines) == told
    assert all(text_mm(line, 9) <= 40 for line in lines)
    assert len(lines) > 2


def test_a_segment_has_the_area_of_its_ring() -> None:
    # A third of a ring between 30 and 45 mm: pi (45^2 - 30^2)/3
    points = np.array(segment((100, 100), 30, 45, -20, 100))
    x, y = points.T
    area = abs(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1))) / 2
    assert area == pytest.approx(math.pi * (45**2 - 30**2) / 3, rel=1e-4)
    # it starts clockwise from the top
    assert points[0][0] < 100 < points[60][0]


def test_frames_tell_measured_estimated_and_assumed_apart() -> None:
    frames = [frame_of(word) for word in ("measured", "estimated", "assumed")]
    assert len({(f.points_wide, f.dotted) for f in frames}) == 3
    assert [f.dotted for f in frames] == [False, False, True]
    with pytest.raises(ValueError, match="standing"):
        frame_of("sure")


def test_a_blank_swatch_has_only_an_outline() -> None:
    page = Page()
    page.swatch(box(20, 20, 10, 10), None, name="blank")
    assert page.marks[0].fill is None
    assert page.marks[0].frame.points_wide == 0.25


def test_key_letters_can_be_read_on_their_swatch() -> None:
    # WCAG 2.1, contrast ratio (L1 + 0.05)/(L2 + 0.05); 3 is asked of large type and signs
    def luminance(colour: tuple[int, int, int]) -> float:
        lin = [(c / 255 + 0.055) ** 2.4 / 1.055**2.4 if c > 10 else c / 255 / 12.92 for c in colour]
        return 0.2126 * lin[0] + 0.7152 * lin[1] + 0.0722 * lin[2]

    def contrast(a: tuple[int, int, int], b: tuple[int, int, int]) -> float:
        lighter, darker = sorted((luminance(a), luminance(b)), reverse=True)
        return (lighter + 0.05) / (darker + 0.05)

    grid = [(r, g, b) for r in range(0, 256, 51) for g in range(0, 256, 51) for b in (0, 128, 255)]
    assert min(contrast(colour, readable_on(colour)) for colour in grid) > 3
    assert contrast(INK, (255, 255, 255)) > 7


def test_every_sheet_says_what_its_colours_rest_on() -> None:
    table = table_of("lifting", "white cartridge")
    facts = facts_of(table, "2026-11-25")
    for word in (
        "lifting",
        "white cartridge",
        "D65",
        "2026-11-25",
        "invented",
        f"glaze {__version__}",
    ):
        assert word in facts
    assert standing_of(table) == "assumed"


def test_files_of_every_kind_are_written_whole(tmp_path) -> None:
    pages = [a_page(), a_page()]
    assert [p.name for p in write_pages(pages, tmp_path / "card.pdf")] == ["card.pdf"]
    assert [p.name for p in write_pages(pages, tmp_path / "c.svg")] == ["c.svg", "c-2.svg"]
    write_pages(pages[:1], tmp_path / "c.png", dpi=40)
    from PIL import Image

    with Image.open(tmp_path / "c.png") as picture:
        assert picture.size == (round(210 / 25.4 * 40), round(297 / 25.4 * 40))
        assert picture.info["dpi"][0] == pytest.approx(40, abs=0.1)
    assert sorted(p.suffix for p in tmp_path.iterdir()) == [".pdf", ".png", ".svg", ".svg"]


def test_other_endings_and_places_are_refused(tmp_path) -> None:
    with pytest.raises(InputError, match=r"\.pdf, \.svg or \.png"):
        write_pages([a_page()], tmp_path / "card.doc")
    with pytest.raises(InputError, match="There is no folder"):
        write_pages([a_page()], tmp_path / "nowhere" / "card.pdf")
    # A3 at 1200 dpi is 14031 x 19843 = 278 million pixels; twice as fine would be 1.1 thousand
    with pytest.raises(InputError, match="2401 dpi: give 20 to 1200 pixels an inch"):
        write_pages([a_page()], tmp_path / "card.png", dpi=2401)
    assert not list(tmp_path.iterdir())


def test_colours_reach_the_page_as_given() -> None:
    page = Page()
    page.rect(20, 20, 20, 20, (200, 30, 40))
    assert tuple(page_pixels(page, 50)[59, 59]) == (200, 30, 40)
    assert 'fill="#c81e28"' in svg_text(page)
    content = PdfReader(io.BytesIO(pdf_bytes([page]))).pages[0].get_contents().get_data().decode()
    found = re.search(r"(\.\d+) (\.\d+) (\.\d+) rg", content)
    assert found is not None
    assert [round(float(v) * 255) for v in found.groups()] == [200, 30, 40]
