"""Reading a painted sheet back: synthetic sheets of known colours, seen in many ways."""

from __future__ import annotations

import numpy as np
import pytest
from PIL import Image
from swatch_painter import Painter, encode, linear_rgb, paint_page, photographed

from glaze.calibrate.scan.swatch import apart, has_dot, is_painted, read_swatches
from glaze.charts.content.swatch_layout import swatch_pages
from glaze.errors import InputError
from glaze.patch.table import table_of


def errors(read, painter):
    """CIEDE2000 of every patch read against the colour it was painted with."""
    paper = linear_rgb(painter.reflectance([]))
    return {
        name: apart(r.rgb * paper, np.maximum(painter.colour_of(r.place), 0))
        for name, r in read.readings.items()
        if r.place.kind != "grey card"
    }


def test_a_flat_scan_gives_every_patch_its_colour(scan, page, painter):
    # 8 bits, noise of 0.4 % of the signal and 1 % patchiness leave less than 1 in the darks
    found = errors(read_swatches(scan, [page]), painter)
    assert max(found.values()) < 1.0
    assert np.mean(list(found.values())) < 0.4


@pytest.mark.parametrize("quarter", [1, 2, 3])
def test_a_sheet_may_lie_any_way_round(quarter, painted, page, painter, save):
    turned = np.rot90(painted, quarter)
    found = errors(read_swatches(save(turned, f"turned{quarter}.png"), [page]), painter)
    assert max(found.values()) < 1.0


def test_a_tilted_tinted_photo_with_falling_light_is_evened_out(painted, page, painter, save):
    corners = [(225, 160), (1120, 75), (1260, 1560), (140, 1475)]
    seen = photographed(painted, corners, (1650, 1380), fall_off=0.3, tint=(1.0, 0.93, 0.8))
    read = read_swatches(save(seen, "photo.png"), [page])
    assert read.uneven > 1.3
    assert np.mean(list(errors(read, painter).values())) < 0.8
    assert max(errors(read, painter).values()) < 2.0


def test_a_photo_kept_as_jpeg_is_read(painted, page, painter, tmp_path):
    path = tmp_path / "photo.jpg"
    Image.fromarray(encode(painted)).save(path, quality=85)
    assert max(errors(read_swatches(path, [page]), painter).values()) < 1.5


def test_an_embedded_profile_is_honoured(painted, page, painter, tmp_path):
    # the same light written in the larger gamut of Display P3 (primaries of SMPTE EG 432-1,
    # white D65), with that profile: reading it as sRGB would be off by far
    colour = pytest.importorskip("colour")
    from PIL import ImageCms

    to_p3 = colour.matrix_RGB_to_RGB(
        colour.RGB_COLOURSPACES["sRGB"], colour.RGB_COLOURSPACES["Display P3"]
    )
    path = tmp_path / "p3.png"
    profile = _matrix_profile(colour.RGB_COLOURSPACES["Display P3"])
    picture = Image.fromarray(encode(painted @ np.asarray(to_p3, np.float32).T))
    picture.save(path, icc_profile=profile)
    assert ImageCms.ImageCmsProfile(str(_written(tmp_path, profile))).profile
    read = read_swatches(path, [page])
    vivid = ("Red neat", "Yellow neat", "Blue 1+8", "Black 1+2")
    found = errors(read, painter)
    assert max(found[name] for name in vivid) < 1.5
    plain = tmp_path / "plain.png"
    picture.save(plain)
    wrong = errors(read_swatches(plain, [page]), painter)
    assert wrong["Red neat"] > 2.5


def _written(folder, profile):
    path = folder / "p3.icc"
    path.write_bytes(profile)
    return path


def _matrix_profile(space):
    """A matrix profile (ICC.1:2010, 8.3.3): colorants adapted to D50, curve as sRGB's 2.4."""
    import struct

    import colour

    adapt = colour.adaptation.matrix_chromatic_adaptation_VonKries(
        [0.95047, 1.0, 1.08883], [0.9642, 1.0, 0.8249], transform="Bradford"
    )
    columns = (adapt @ space.matrix_RGB_to_XYZ).T

    def s15(value):
        return struct.pack(">i", round(value * 65536))

    def xyz(values):
        return b"XYZ \0\0\0\0" + b"".join(s15(v) for v in values)

    g = [2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045]
    curve = b"para\0\0\0\0" + struct.pack(">HH", 3, 0) + b"".join(s15(v) for v in g)
    text = b"desc\0\0\0\0" + struct.pack(">I", 5) + b"P3ish"[:4] + b"\0" + b"\0" * 78
    tags = {
        b"desc": text, b"wtpt": xyz([0.9642, 1.0, 0.8249]), b"cprt": b"text\0\0\0\0none\0",
        b"rXYZ": xyz(columns[0]), b"gXYZ": xyz(columns[1]), b"bXYZ": xyz(columns[2]),
        b"rTRC": curve, b"gTRC": curve, b"bTRC": curve,
    }  # fmt: skip
    at, table, body = 128 + 4 + 12 * len(tags), b"", b""
    for name, content in tags.items():
        content += b"\0" * (-len(content) % 4)
        table += name + struct.pack(">II", at + len(body), len(content))
        body += content
    size = at + len(body)
    head = struct.pack(">I4sI4s4s4s", size, b"\0\0\0\0", 0x02100000, b"mntr", b"RGB ", b"XYZ ")
    head += b"\0" * 12 + b"acsp" + b"\0" * 28 + s15(0.9642) + s15(1.0) + s15(0.8249)
    return head.ljust(128, b"\0") + struct.pack(">I", len(tags)) + table + body


def test_paint_that_runs_into_gaps_does_not_count_as_light(page, painter, painted, save):
    spoilt = painted.copy()
    per_mm = 120 / 25.4
    for place in page.places[:9]:  # nine patches painted 3 mm over their right edge
        x = slice(*(round(v * per_mm) for v in (place.x + place.width, place.x + place.width + 3)))
        y = slice(*(round(v * per_mm) for v in (place.y, place.y + place.height)))
        spoilt[y, x] = painter.colour_of(place)
    found = errors(read_swatches(save(spoilt, "spoilt.png"), [page]), painter)
    assert max(found.values()) < 1.2


def test_bleach_dots_are_told_from_patches_without_one(page, painter, save):
    paper = linear_rgb(painter.reflectance([]))
    dots = {"Blue neat": paper * 0.95, "Black 1+4": np.array([0.8, 0.66, 0.4])}
    sheet = paint_page(page, painter, dpi=100, dots=dots)
    read = read_swatches(save(sheet, "dots.png"), [page])
    assert {name for name, r in read.readings.items() if has_dot(r)} == set(dots)
    seen = read.readings["Black 1+4"].dot_rgb * paper
    assert apart(seen, dots["Black 1+4"]) < 1.0


def test_unpainted_patches_read_as_paper(page, painter, save):
    sheet = paint_page(page, painter, dpi=100, skip={"Red neat", "Blue 1+16"})
    read = read_swatches(save(sheet, "holes.png"), [page])
    bare = {name for name, r in read.readings.items() if not is_painted(r)}
    assert bare >= {"Red neat", "Blue 1+16", "bare paper"}
    assert "Red 1+1" not in bare


def test_patchy_washes_are_named(page, painter, save):
    read = read_swatches(save(paint_page(page, painter, dpi=100, noise=0.25), "p.png"), [page])
    assert any("Uneven patches" in note and "Red 1+1" in note for note in read.notes)


def test_a_burnt_out_scan_is_told(painted, page, save):
    read = read_swatches(save(painted, "burnt.png", gain=1.3), [page])
    assert any("automatic correction" in note for note in read.notes)


class TestWhatCantBeRead:
    def test_a_picture_of_something_else(self, page, tmp_path):
        rng = np.random.default_rng(5)
        path = tmp_path / "cat.png"
        Image.fromarray(rng.integers(0, 255, (900, 700, 3), dtype=np.uint8)).save(path)
        with pytest.raises(InputError, match=r"No corner mark .* something else"):
            read_swatches(path, [page])

    def test_the_printed_lesson_page_without_marks(self, page, tmp_path):
        from glaze.charts.paper.page import Page
        from glaze.charts.paper.png import page_pixels

        other = Page()
        other.head("Oo0 o O: rings and dots in type")
        other.foot("facts")
        path = tmp_path / "other.png"
        Image.fromarray(page_pixels(other, 150)).save(path)
        with pytest.raises(InputError, match="something else"):
            read_swatches(path, [page])

    def test_half_a_sheet(self, painted, page, save):
        half = painted[: painted.shape[0] // 2]
        with pytest.raises(InputError, match="Only 2 of the 4 corner marks"):
            read_swatches(save(half, "half.png"), [page])

    def test_a_cropped_corner(self, painted, page, save):
        cut = painted[:, : painted.shape[1] - 90]
        with pytest.raises(InputError, match=r"Only 2 of the 4 corner marks.*cut off"):
            read_swatches(save(cut, "cut.png"), [page])

    def test_a_sheet_for_other_inks(self, scan, table):
        other = swatch_pages(table, inks=["Blue", "Black"])
        with pytest.raises(InputError, match="printed for other inks than Blue, Black"):
            read_swatches(scan, other)

    def test_fifty_dpi(self, painter, page, save):
        small = paint_page(page, painter, dpi=50)
        with pytest.raises(InputError, match=r"dpi"):
            read_swatches(save(small, "small.png"), [page])

    def test_seventy_dpi_is_told_with_its_figure(self, painter, page, save):
        small = paint_page(page, painter, dpi=75)
        with pytest.raises(InputError, match=r"only 75 dpi .* at least 89"):
            read_swatches(save(small, "small75.png"), [page])

    def test_the_dark(self, painted, page, save):
        with pytest.raises(InputError, match="too dark: bare paper stands at"):
            read_swatches(save(painted, "dim.png", gain=0.08, noise=0.001), [page])

    def test_light_that_falls_off_too_far(self, painted, page, save):
        ramp = np.linspace(1.0, 0.12, painted.shape[1])[None, :, None] ** 1.3
        with pytest.raises(InputError, match=r"differs .* times over the page"):
            read_swatches(save(painted * ramp, "ramp.png"), [page])

    def test_a_grey_scan(self, painted, page, tmp_path):
        path = tmp_path / "grey.png"
        Image.fromarray(encode(painted)).convert("L").save(path)
        with pytest.raises(InputError, match="grey picture"):
            read_swatches(path, [page])

    def test_a_covered_code(self, painted, page, save):
        covered = painted.copy()
        y = round(float(page.cells[0, 1]) * 120 / 25.4)
        covered[y - 12 : y + 12, 300:700] = 0.5
        with pytest.raises(InputError, match="code between the upper two can't be read"):
            read_swatches(save(covered, "covered.png"), [page])

    def test_a_missing_file(self, page, tmp_path):
        with pytest.raises(InputError, match="no picture"):
            read_swatches(tmp_path / "none.png", [page])


def test_the_page_is_told_by_its_code_among_all_pages(table, save):
    inks = ["Blue", "Red", "Yellow", "Black", "Separating Blue", "Neon Pink"]
    pages = swatch_pages(table, inks=inks)
    assert [p.inks for p in pages] == [tuple(inks[:4]), tuple(inks[4:])]
    painter = Painter(table.palette, table.paper, {})
    path = save(paint_page(pages[1], painter, dpi=100), "two.png")
    assert read_swatches(path, pages).page.number == 2


def test_the_size_of_the_page_is_told_by_its_code(table, painter, save):
    letter = swatch_pages(table, "Letter")
    sheet = paint_page(letter[0], painter, dpi=100, size_mm=(215.9, 279.4))
    found = read_swatches(save(sheet, "letter.png"), [*swatch_pages(table), *letter])
    assert found.page.size == "Letter"


def test_papers_of_another_tint_are_read_against_themselves(page, save):
    cream = table_of("lifting", "cream cartridge")
    painter = Painter(cream.palette, cream.paper, {})
    path = save(paint_page(page, painter, dpi=100), "cream.png")
    assert max(errors(read_swatches(path, [page]), painter).values()) < 1.2


@pytest.mark.parametrize("size", ["A4", "Letter"])
def test_the_sheet_as_it_is_really_printed_is_found_and_read_as_bare(table, size, tmp_path):
    # type, outlines, dotted rings and the framed caution included
    from glaze.charts.paper.png import page_pixels
    from glaze.charts.sheets.swatches import swatch_sheet

    pixels = page_pixels(swatch_sheet(table, size, day="2026-01-01")[0], 120)
    path = tmp_path / "print.png"
    Image.fromarray((pixels * 0.93).astype(np.uint8)).save(path)
    pages = [page for each in ("A4", "Letter") for page in swatch_pages(table, each)]
    read = read_swatches(path, pages)
    assert read.page.size == size
    assert not [name for name, r in read.readings.items() if is_painted(r) or has_dot(r)]
    assert read.uneven == pytest.approx(1.0, abs=0.01)


def test_two_scans_may_show_two_pages(table, save):
    from glaze.calibrate.fit.own_inks import calibrate

    inks = ["Blue", "Red", "Yellow", "Black", "Neon Pink"]
    pages = swatch_pages(table, inks=inks)
    factors = {"Blue": 1.3, "Neon Pink": 0.7}
    painter = Painter(table.palette, table.paper, factors)
    scans = [save(paint_page(p, painter, dpi=100), f"page{p.number}.png") for p in pages]
    read = [read_swatches(scan, pages) for scan in scans]
    found = calibrate(read, table, kind="strength")
    assert set(found.inks) == set(inks)
    for name, factor in factors.items():
        assert found.inks[name].strength == pytest.approx(factor, rel=0.03)
