"""Pictures are read upright, at their own depth, in linear light - or refused in plain words."""

from __future__ import annotations

import struct
import zlib
from pathlib import Path

import numpy as np
import pytest
import tifffile
from PIL import Image, ImageOps

from glaze.errors import InputError
from glaze.sketch.scan import read_scan, turn_upright
from glaze.sketch.scan_values import grey, luminance

RNG = np.random.default_rng(5)
NOISE = RNG.integers(0, 65536, (40, 40, 3), dtype=np.uint16)


def png_bytes(values: np.ndarray, colour_type: int, more: bytes = b"") -> bytes:
    """A 16-bit PNG after the PNG specification (W3C 2003), unfiltered."""
    rows, columns = values.shape[:2]
    lines = b"".join(b"\0" + line.astype(">u2").tobytes() for line in values)
    head = struct.pack(">IIBBBBB", columns, rows, 16, colour_type, 0, 0, 0)
    return _png([(b"IHDR", head), (b"IDAT", zlib.compress(lines))], more)


def _png(chunks: list[tuple[bytes, bytes]], more: bytes = b"") -> bytes:
    body = b"".join(
        struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        for kind, data in [*chunks, (b"IEND", b"")]
    )
    return b"\x89PNG\r\n\x1a\n" + body + more


def profile_bytes(space: bytes, gamma: float) -> bytes:
    """A minimal ICC profile (ICC.1:2001) of sRGB's colorants, or grey, with a plain gamma."""

    def curve() -> bytes:
        return b"curv" + struct.pack(">IIH", 0, 1, round(gamma * 256)) + b"\0\0"

    def xyz(*v: float) -> bytes:
        return b"XYZ " + struct.pack(">I3i", 0, *(round(part * 65536) for part in v))

    text = b"text\0\0\0\0none\0"
    desc = b"desc" + struct.pack(">II", 0, 5) + b"made\0" + bytes(78)
    tags = {b"desc": desc, b"cprt": text, b"wtpt": xyz(0.9642, 1.0, 0.8249)}
    if space == b"GRAY":
        tags[b"kTRC"] = curve()
    else:
        # sRGB primaries adapted to D50, as in the sRGB profile of the ICC
        tags |= {b"rXYZ": xyz(0.4361, 0.2225, 0.0139), b"gXYZ": xyz(0.3851, 0.7169, 0.0971)}
        tags |= {b"bXYZ": xyz(0.1431, 0.0606, 0.7141)}
        tags |= {b"rTRC": curve(), b"gTRC": curve(), b"bTRC": curve()}
    table, body, start = b"", b"", 128 + 4 + 12 * len(tags)
    for name, data in tags.items():
        padded = data + bytes(-len(data) % 4)
        table += name + struct.pack(">II", start + len(body), len(data))
        body += padded
    head = struct.pack(
        ">I4sI4s4s4s", start + len(body), b"\0\0\0\0", 0x02100000, b"mntr", space, b"XYZ "
    )
    head += struct.pack(">6H", 2024, 1, 1, 0, 0, 0) + b"acsp" + bytes(28)
    head += struct.pack(">3i", round(0.9642 * 65536), 65536, round(0.8249 * 65536))
    head = head.ljust(128, b"\0")
    return head + struct.pack(">I", len(tags)) + table + body


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_picture_is_turned_as_pillow_turns_it(orientation: int, tmp_path: Path) -> None:
    image = Image.fromarray(RNG.integers(0, 256, (5, 3), dtype=np.uint8))
    exif = Image.Exif()
    exif[0x0112] = orientation
    path = tmp_path / "turned.png"
    image.save(path, exif=exif, dpi=(300, 600))
    with Image.open(path) as again:
        expected = np.asarray(ImageOps.exif_transpose(again))
    scan = read_scan(path)
    np.testing.assert_array_equal(scan.values, expected)
    np.testing.assert_array_equal(turn_upright(np.asarray(image), orientation), expected)
    across, down = (300, 600) if orientation < 5 else (600, 300)
    assert scan.dpi == pytest.approx((across, down), rel=1e-4)


@pytest.mark.parametrize("orientation", [1, 3, 6, 8])
def test_a_16_bit_colour_tiff_keeps_all_its_bits_upright(orientation: int, tmp_path: Path) -> None:
    values = RNG.integers(0, 65536, (7, 4, 3), dtype=np.uint16)
    path = tmp_path / "deep.tif"
    tifffile.imwrite(
        path,
        values,
        photometric="rgb",
        resolution=(300, 300),
        resolutionunit=2,
        extratags=[(274, 3, 1, orientation, True)],
        metadata=None,
    )
    expected = {1: values, 3: values[::-1, ::-1], 6: np.rot90(values, -1), 8: np.rot90(values)}
    scan = read_scan(path)
    np.testing.assert_array_equal(scan.values, expected[orientation])
    assert scan.dpi == (300, 300)


@pytest.mark.parametrize(("colour_type", "channels"), [(2, 3), (6, 4)])
def test_a_16_bit_colour_png_keeps_all_its_bits(
    colour_type: int, channels: int, tmp_path: Path
) -> None:
    values = RNG.integers(0, 65536, (9, 6, channels), dtype=np.uint16)
    path = tmp_path / "deep.png"
    path.write_bytes(png_bytes(values, colour_type))
    scan = read_scan(path)
    np.testing.assert_array_equal(scan.values, values[..., :3])
    if channels == 4:
        np.testing.assert_array_equal(scan.opacity, values[..., 3])


@pytest.mark.parametrize("name", ["deep.png", "deep.tif"])
def test_16_bit_grey_is_kept(name: str, tmp_path: Path) -> None:
    values = RNG.integers(0, 65536, (8, 5), dtype=np.uint16)
    Image.fromarray(values).save(tmp_path / name)
    np.testing.assert_array_equal(grey(read_scan(tmp_path / name)), values)


def test_8_bit_masks_fill_the_16_bit_range(tmp_path: Path) -> None:
    values = np.arange(256, dtype=np.uint8).reshape(16, 16)
    Image.fromarray(values).save(tmp_path / "m.png")
    Image.fromarray(values).convert("RGB").save(tmp_path / "rgb.png")
    for name in ("m.png", "rgb.png"):
        np.testing.assert_array_equal(grey(read_scan(tmp_path / name)), values * np.uint16(257))


def test_a_see_through_picture_shows_white_paper(tmp_path: Path) -> None:
    values = np.zeros((2, 2, 4), np.uint8)
    values[0, 0, 3] = 255
    Image.fromarray(values).save(tmp_path / "ink.png")
    bright, _ = luminance(read_scan(tmp_path / "ink.png"))
    np.testing.assert_allclose(bright, [[0, 1], [1, 1]], atol=1e-6)
    # a mask says how much: what isn't there is nothing
    assert grey(read_scan(tmp_path / "ink.png")).max() == 0


def test_opacity_of_16_bits_is_a_share_of_65535(tmp_path: Path) -> None:
    # by hand: 13107 of 65535 is a fifth, and a fifth of 50000 over black is 10000
    values = np.full((1, 1, 4), 50000, np.uint16)
    values[..., 3] = 13107
    (tmp_path / "fifth.png").write_bytes(png_bytes(values, 6))
    assert grey(read_scan(tmp_path / "fifth.png"))[0, 0] == 10000


def test_palette_and_bitmap_pictures_are_read(tmp_path: Path) -> None:
    image = Image.fromarray(np.array([[0, 255], [255, 0]], np.uint8))
    image.convert("1").save(tmp_path / "bits.tif", compression="group4")
    image.convert("P").save(tmp_path / "few.png")
    image.convert("CMYK").save(tmp_path / "press.tif")
    for name in ("bits.tif", "few.png", "press.tif"):
        bright, _ = luminance(read_scan(tmp_path / name))
        np.testing.assert_allclose(bright, [[0, 1], [1, 0]], atol=1e-6)


def test_without_a_profile_values_are_srgb(tmp_path: Path) -> None:
    # IEC 61966-2-1: code 188 of 255 is 50.3 % of linear light, code 10 is 0.304 %
    Image.fromarray(np.array([[188, 10]], np.uint8)).save(tmp_path / "s.png")
    bright, _ = luminance(read_scan(tmp_path / "s.png"))
    np.testing.assert_allclose(bright, [[0.5029, 0.003035]], rtol=1e-3)


@pytest.mark.parametrize("deep", [False, True])
@pytest.mark.parametrize("space", [b"GRAY", b"RGB "])
def test_an_embedded_profile_is_honoured(deep: bool, space: bytes, tmp_path: Path) -> None:
    ramp = np.linspace(0, 255, 52).astype(np.uint8)[None]
    values = ramp if space == b"GRAY" else np.stack([ramp, ramp[:, ::-1], ramp], axis=2)
    path = tmp_path / "gamma.tif"
    icc = profile_bytes(space, 1.0)
    if deep:
        photometric = "minisblack" if space == b"GRAY" else "rgb"
        wide = values.astype(np.uint16) * 257
        tifffile.imwrite(path, wide, photometric=photometric, iccprofile=icc, metadata=None)
    else:
        Image.fromarray(values).save(path, icc_profile=icc)
    # gamma 1 makes the codes linear light; luminance by the colorants' Y
    linear = values / 255
    expected = linear if space == b"GRAY" else linear @ [0.2225, 0.7169, 0.0606]
    bright, notes = luminance(read_scan(path))
    assert notes == ()
    np.testing.assert_allclose(bright, expected, atol=0.006)  # one 8-bit step of sRGB is 0.009


def test_a_broken_profile_is_told_and_passed_over(tmp_path: Path) -> None:
    image = Image.fromarray(np.full((2, 2), 255, np.uint8))
    image.save(tmp_path / "odd.png", icc_profile=b"no profile at all")
    bright, notes = luminance(read_scan(tmp_path / "odd.png"))
    assert "profile" in notes[0]
    np.testing.assert_allclose(bright, 1)


def _huge(columns: int, rows: int) -> bytes:
    return _png([(b"IHDR", struct.pack(">IIBBBBB", columns, rows, 8, 0, 0, 0, 0)), (b"IDAT", b"")])


@pytest.mark.parametrize("kind", ["GIF", "WebP", "HEIC", "PDF"])
def test_a_picture_of_another_kind_is_called_by_its_kind(tmp_path: Path, kind: str) -> None:
    """Written by Pillow; of a phone's HEIC the head alone (ISO/IEC 23008-12: its brand "heic")."""
    file = tmp_path / "sketch.png"
    if kind == "HEIC":
        file.write_bytes(b"\x00\x00\x00\x18ftypheic" + bytes(20))
    else:
        Image.new("RGB", (40, 40), "#ddccbb").save(file, kind.upper())
    with pytest.raises(InputError, match=f'"sketch.png" is a {kind} file; PNG, JPEG and TIFF'):
        read_scan(file)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (_huge(60_000, 40), "60000 x 40 pixels"),
        (_huge(13_000, 13_000), "13000 x 13000 pixels"),
        (_huge(100_000, 100_000), "million"),
        (b"", "damaged"),
        (b"not a picture", "damaged"),
        (png_bytes(NOISE, 2)[:2000], "damaged"),
    ],
    ids=["wide", "large", "bomb", "empty", "text", "cut"],
)
def test_what_cannot_be_read_is_refused_in_one_line(
    content: bytes, said: str, tmp_path: Path
) -> None:
    path = tmp_path / "odd.png"
    path.write_bytes(content)
    limit = Image.MAX_IMAGE_PIXELS
    with pytest.raises(InputError) as refused:
        read_scan(path)
    assert said in str(refused.value)
    assert len(refused.value.problems) == 1
    assert limit == Image.MAX_IMAGE_PIXELS
    assert path.read_bytes() == content


def test_a_picture_cut_short_is_refused_wherever_it_is_cut(tmp_path: Path) -> None:
    whole = tmp_path / "whole.jpg"
    Image.fromarray(RNG.integers(0, 256, (64, 64), dtype=np.uint8)).save(whole, dpi=(300, 300))
    content, path = whole.read_bytes(), tmp_path / "cut.jpg"
    for length in range(0, len(content) - 2, 97):
        path.write_bytes(content[:length])
        with pytest.raises(InputError, match="damaged"):
            read_scan(path)


def test_a_missing_picture_is_named(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"no picture .pear\.png"):
        read_scan(tmp_path / "pear.png")


def test_a_photo_that_says_no_dpi_has_none(tmp_path: Path) -> None:
    # Pillow gives such a photo 72 dpi of its own (its JPEG plug-in, from 3.4 on)
    exif = Image.Exif()
    exif[0x0112] = 6
    photo = tmp_path / "photo.jpg"
    Image.new("RGB", (40, 30), "white").save(photo, exif=exif)
    with Image.open(photo) as image:
        assert image.info["dpi"] == (72, 72)
    assert read_scan(photo).dpi is None


def test_a_dpi_that_is_there_one_way_only_is_none(tmp_path: Path) -> None:
    values = np.zeros((4, 4), np.uint8)
    for resolution, said in (((300, 1), None), ((1, 300), None), ((300, 150), (300, 150))):
        tifffile.imwrite(tmp_path / "a.tif", values, resolution=resolution, resolutionunit=2)
        assert read_scan(tmp_path / "a.tif").dpi == said
