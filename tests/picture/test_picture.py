"""Pictures: encoding, scale and files."""

from __future__ import annotations

import errno
import hashlib
import json
import os

import numpy as np
import pytest
import tifffile
from PIL import Image

from glaze.errors import InputError
from glaze.picture.file import (
    Picture,
    check_path,
    encode,
    picture_from_linear,
    srgb_profile,
    write_picture,
)
from glaze.picture.resized import averaged, reduce, rows_under

LINEAR = np.random.default_rng(1).uniform(0, 1, (300, 41, 3))
SCENE = 'title = "Prüfung"\n[[wash]]\nmix = "Blue 3 + water 4"\n'


def test_strips_of_a_smaller_picture_are_parts_of_the_whole():
    shape = 71, 17
    whole = averaged(LINEAR, shape)
    for start in range(0, 71, 9):
        strip = range(start, min(start + 9, 71))
        top, bottom = rows_under(strip, 300, 71)
        part = averaged(LINEAR[top:bottom], shape, strip, 300)
        np.testing.assert_array_equal(part, whole[strip.start : strip.stop])


def test_signals_go_to_the_nearest_step():
    # 0.5 of full signal is 127.5 of 255; linear 0.2141 is signal 0.50006 [IEC 61966-2-1]
    linear = np.array([[[0.0, 1.0, 0.2141]], [[-0.1, 1.2, 0.5]]])
    assert encode(linear, 8).tolist() == [[[0, 255, 128]], [[0, 255, 188]]]
    assert encode(linear, 16)[1, 0].tolist() == [0, 65535, 48192]  # 0.735357 x 65535


def test_colours_out_of_reach_are_counted():
    linear = np.full((4, 5, 3), 0.5)
    linear[0, :2] = [1.4, 0.2, -0.1]
    picture = picture_from_linear(linear, 300, "A", bits=16)
    assert picture.mapped_share == pytest.approx(2 / 20)
    assert picture.light == "A"
    assert picture.rgb.dtype == np.uint16


def test_size_follows_from_dpi():
    assert Picture(np.zeros((600, 300, 3), np.uint8), 300).size_mm == pytest.approx((25.4, 50.8))


@pytest.mark.parametrize("scale", [0.5, 0.37, 0.9, 0.01])
def test_a_smaller_picture_keeps_the_mean_light(scale):
    small = reduce(LINEAR, scale)
    assert small.shape == (max(1, round(300 * scale)), max(1, round(41 * scale)), 3)
    assert small.mean() == pytest.approx(LINEAR.mean(), rel=1e-12)


def test_half_scale_is_the_mean_of_four_pixels():
    image = LINEAR[:, :40]
    by_hand = (image[::2, ::2] + image[1::2, ::2] + image[::2, 1::2] + image[1::2, 1::2]) / 4
    np.testing.assert_allclose(reduce(image, 0.5), by_hand, atol=1e-14)


def test_any_scale_agrees_with_a_general_library():
    # Pillow's box filter is an area mean too, for whole-number reductions in float
    image = LINEAR[:240, :36, 0].astype(np.float32)
    pillow = np.asarray(Image.fromarray(image).resize((12, 80), Image.Resampling.BOX))
    np.testing.assert_allclose(reduce(image[..., None], 1 / 3)[..., 0], pillow, atol=1e-5)


@pytest.mark.parametrize("scale", [0, -1, 1.5])
def test_a_scale_out_of_range_is_refused(scale):
    with pytest.raises(InputError, match=r"allowed: 0\.001 to 1"):
        reduce(LINEAR, scale)


@pytest.mark.parametrize("suffix", [".png", ".tif", ".tiff"])
def test_eight_bit_pictures_come_back_in_a_general_library(tmp_path, suffix):
    picture = Picture(encode(LINEAR), 300)
    path = tmp_path / f"hut{suffix}"
    write_picture(picture, path, SCENE)
    with Image.open(path) as read:
        assert np.array_equal(np.asarray(read), picture.rgb)
        # PNG counts pixels a metre, so 300 dpi is 11811 / 39.37
        np.testing.assert_allclose([float(d) for d in read.info["dpi"]], 300, atol=0.01)
        assert read.info["icc_profile"] == srgb_profile()


def test_png_of_16_bits_keeps_every_step(tmp_path):
    picture = Picture(encode(LINEAR, 16), 600)
    write_picture(picture, tmp_path / "hut.png", SCENE)
    rows = decode_png(tmp_path / "hut.png")
    assert np.array_equal(rows, picture.rgb)


@pytest.mark.parametrize("rows", [1, 255, 256, 257, 700])
def test_png_of_several_groups_of_rows_is_one_stream_with_its_check(tmp_path, rows):
    # zlib itself checks Adler's sum over all rows in `decode_png`
    rgb = np.random.default_rng(rows).integers(0, 65536, (rows, 9, 3)).astype(np.uint16)
    write_picture(Picture(rgb, 300), tmp_path / "hut.png", SCENE)
    assert np.array_equal(decode_png(tmp_path / "hut.png"), rgb)


def decode_png(path) -> np.ndarray:
    """A literal reading of a 16-bit PNG, row by row: second way to the same pixels."""
    import struct
    import zlib

    whole, at, packed = path.read_bytes(), 8, b""
    while at < len(whole):
        (length,) = struct.unpack(">I", whole[at : at + 4])
        kind, content = whole[at + 4 : at + 8], whole[at + 8 : at + 8 + length]
        (check,) = struct.unpack(">I", whole[at + 8 + length : at + 12 + length])
        assert zlib.crc32(kind + content) == check
        if kind == b"IHDR":
            columns, rows, bits, colours = struct.unpack(">IIBB", content[:10])
            assert (bits, colours) == (16, 2)
        packed += content if kind == b"IDAT" else b""
        at += 12 + length
    flat = np.frombuffer(zlib.decompress(packed), np.uint8).reshape(rows, 1 + columns * 6)
    assert (flat[:, 0] == 2).all()
    lines = np.cumsum(flat[:, 1:], axis=0, dtype=np.uint8)
    return lines.reshape(rows, columns, 3, 2).astype(np.uint16) @ np.array([256, 1], np.uint16)


def test_tiff_of_16_bits_keeps_every_step_dpi_and_scene(tmp_path):
    picture = Picture(encode(LINEAR, 16), 300)
    write_picture(picture, tmp_path / "hut.tif", SCENE)
    with tifffile.TiffFile(tmp_path / "hut.tif") as read:
        tags = read.pages[0].tags
        assert np.array_equal(read.asarray(), picture.rgb)
        assert tags["XResolution"].value == (300, 1)
        assert tags["ResolutionUnit"].value == 2  # inches [TIFF 6.0]
        assert tags["ImageDescription"].value == SCENE.rstrip()  # the reader drops the line end
        assert not {"DateTime", "HostComputer"} & {tag.name for tag in tags}
        assert tags["Software"].value == "glaze"  # by it our own are known, which may be replaced


def test_linear_pictures_are_encoded_when_written(tmp_path):
    write_picture(Picture(LINEAR, 300), tmp_path / "a.png")
    write_picture(Picture(LINEAR, 300), tmp_path / "a.tif")
    with Image.open(tmp_path / "a.png") as read:
        assert np.array_equal(np.asarray(read), encode(LINEAR, 8))
    assert np.array_equal(tifffile.imread(tmp_path / "a.tif"), encode(LINEAR, 16))


def test_the_scene_travels_in_the_picture(tmp_path):
    picture = Picture(encode(LINEAR), 300)
    write_picture(picture, tmp_path / "a.png", SCENE)
    write_picture(picture, tmp_path / "b.png", {"scene": SCENE, "inks": {"Blue": 3}})
    with Image.open(tmp_path / "a.png") as read:
        assert read.text == {"glaze:scene": SCENE}
    with Image.open(tmp_path / "b.png") as read:
        assert read.text["glaze:scene"] == SCENE
        assert json.loads(read.text["glaze:inks"]) == {"Blue": 3}


@pytest.mark.parametrize("suffix", [".png", ".tif"])
def test_the_same_scene_gives_the_same_bytes(tmp_path, suffix, monkeypatch):
    picture = Picture(encode(LINEAR, 16), 300)
    write_picture(picture, tmp_path / f"a{suffix}", SCENE)
    # a profile made at another time differs in its date alone
    srgb = srgb_profile()
    assert srgb[24:36] == bytes([7, 208, 0, 1, 0, 1, 0, 0, 0, 0, 0, 0])  # 1 January 2000
    write_picture(picture, tmp_path / f"b{suffix}", SCENE)
    assert (tmp_path / f"a{suffix}").read_bytes() == (tmp_path / f"b{suffix}").read_bytes()


def test_the_profile_is_whole_and_its_identifier_is_none_or_true():
    # ICC.1:2022, 7.2.2: size; 7.2.9: signature; 7.2.18: MD5 with three fields left zero, or zero
    profile = srgb_profile()
    assert int.from_bytes(profile[:4], "big") == len(profile)
    assert profile[36:40] == b"acsp"
    summed = bytearray(profile)
    for field in (slice(44, 48), slice(64, 68), slice(84, 100)):
        summed[field] = bytes(field.stop - field.start)
    assert profile[84:100] in (bytes(16), hashlib.md5(summed, usedforsecurity=False).digest())


def test_an_ending_in_capitals_says_the_same_kind_of_file(tmp_path):
    for name, kind in (("HUT.PNG", "PNG"), ("hut.Tif", "TIFF")):
        write_picture(Picture(encode(LINEAR), 300), tmp_path / name)
        with Image.open(tmp_path / name) as read:
            assert read.format == kind


def test_an_existing_picture_is_replaced_and_nothing_else_is_left(tmp_path):
    path = tmp_path / "hut.png"
    path.write_bytes(b"old")
    write_picture(Picture(encode(LINEAR), 300), path)
    assert path.read_bytes()[:4] == b"\x89PNG"
    assert [p.name for p in tmp_path.iterdir()] == ["hut.png"]


def test_a_place_that_refuses_keeps_the_old_picture(tmp_path, monkeypatch):
    path = tmp_path / "hut.png"
    path.write_bytes(b"old")

    def refuse(*_: object) -> None:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

    monkeypatch.setattr(os, "replace", refuse)
    with pytest.raises(
        InputError, match=r"can't be written \(Permission denied\).*Choose a folder"
    ):
        write_picture(Picture(encode(LINEAR), 300), path)
    assert [p.read_bytes() for p in tmp_path.iterdir()] == [b"old"]


def test_names_and_places_that_cannot_be_used_are_refused_in_words(tmp_path):
    with pytest.raises(InputError, match=r'"hut.jpg".*written as \.png, \.tif or \.tiff'):
        check_path(tmp_path / "hut.jpg")
    with pytest.raises(InputError, match="There is no folder"):
        check_path(tmp_path / "nowhere" / "hut.png")
    (tmp_path / "folder.png").mkdir()
    with pytest.raises(InputError, match="is a folder"):
        check_path(tmp_path / "folder.png")


def test_the_sketch_is_never_overwritten(tmp_path):
    sketch = tmp_path / "sketch.png"
    sketch.write_bytes(b"line")
    with pytest.raises(InputError, match="is the sketch, which is never overwritten"):
        write_picture(Picture(encode(LINEAR), 300), tmp_path / "." / "sketch.png", protect=sketch)
    (tmp_path / "link.png").symlink_to(sketch)
    for also in (tmp_path / "link.png", tmp_path / ".." / tmp_path.name / "sketch.png"):
        with pytest.raises(InputError, match="is the sketch, which is never overwritten"):
            check_path(also, sketch)
    assert sketch.read_bytes() == b"line"
