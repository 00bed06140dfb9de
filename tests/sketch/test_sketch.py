"""A line comes off its paper: shade, tint, uneven light and noise go, the line stays."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from glaze.errors import InputError
from glaze.sketch.cleaned import clean_line
from glaze.sketch.line import blank_sketch, read_sketch

DPI = 150.0
ROWS, COLUMNS = 620, 874  # A6 across, at 150 dpi


def drawing() -> np.ndarray:
    """Transmittance of a grid of lines 2 pixels wide, a solid black block and a grey one."""
    line = np.ones((ROWS, COLUMNS), np.float32)
    for at in range(40, ROWS, 90):
        line[at : at + 2] = 0.1
    for at in range(40, COLUMNS, 110):
        line[:, at : at + 2] = 0.1
    line[200:380, 150:400] = 0.05  # 30 x 42 mm, far wider than the scale of the paper's light
    line[420:540, 600:800] = 0.5
    return line


def fall_off(middle: tuple[float, float] = (0.4, 0.45), strength: float = 1.4) -> np.ndarray:
    """The cos^4 law of a lens, off centre: corners at about half the light."""
    y, x = np.mgrid[0:ROWS, 0:COLUMNS].astype(np.float32)
    away = ((x - middle[0] * COLUMNS) ** 2 + (y - middle[1] * ROWS) ** 2) / COLUMNS**2
    return 1 / (1 + strength * away / 2) ** 2


def lamp() -> np.ndarray:
    """A lamp from the left: light falls by a third across the sheet."""
    return np.repeat(np.linspace(1, 0.67, COLUMNS, dtype=np.float32)[None], ROWS, axis=0)


@pytest.mark.parametrize(
    "light", [fall_off(), lamp(), fall_off() * lamp()], ids=["lens", "lamp", "both"]
)
@pytest.mark.parametrize("noise", [0.0, 0.01])
def test_a_photographed_drawing_comes_out_as_it_was_drawn(light: np.ndarray, noise: float) -> None:
    line = drawing()
    grain = np.random.default_rng(3).normal(1, noise, line.shape)
    photo = (0.72 * light * line * grain).astype(np.float32)
    found = clean_line(photo, DPI)
    assert found.dtype == np.float32
    paper = line == 1
    # 0.1 %: four sigmas leave 1 in 16000 of normal noise, and some for the fit
    assert np.mean(found[paper] == 1) > 0.999
    # what a painter sees: grey within 4 %, lines and blacks within 2 % of full scale
    assert abs(found[line == np.float32(0.5)].mean() - 0.5) < 0.02
    assert abs(found[line == np.float32(0.05)].mean() - 0.05) < 0.02
    assert abs(found[line == np.float32(0.1)].mean() - 0.1) < 0.02


@pytest.mark.parametrize(("dpi", "block_px"), [(76.2, 6), (152.4, 12)])
def test_a_pale_stain_gives_way_by_the_scale_of_the_papers_light(dpi: float, block_px: int) -> None:
    # closed form: a bell of s mm blurred by a bell of t mm keeps s^2 / (s^2 + t^2) of its height
    # on a plane. The paper's light is even at t = 10 mm, so a stain of s = 10 mm leaves half of
    # its darkness, and the 0.02 that keeps bare drawing from dividing by nothing a little more:
    # 0.12 (1 - 0.5 / 1.02) = 0.0612, or 1 - exp(-0.0612) = 0.0593 of the light. Of that goes
    # least^2 / d = 0.006^2 / 0.0593 = 0.0006, and 0.0587 stays. At t = 11 mm it would be 0.0640.
    mm = 2.0 * (np.arange(151) - 75)  # middles of blocks of 2 mm, each even within
    bell = np.exp(-(mm**2) / (2 * 10.0**2))
    stain = 0.7 * np.exp(-0.12 * bell[:, None] * bell)
    line = clean_line(np.kron(stain, np.ones((block_px, block_px))).astype(np.float32), dpi)
    middle = 75 * block_px + block_px // 2
    assert 1 - line[middle, middle] == pytest.approx(0.0587, rel=0.02)


def test_the_papers_tint_goes_too(tmp_path: Path) -> None:
    cream = np.array([243, 228, 196], np.uint8)
    picture = np.broadcast_to(cream, (300, 400, 3)).copy()
    picture[100:102] = 20
    Image.fromarray(picture).save(tmp_path / "cream.png", dpi=(150, 150))
    sketch = read_sketch(tmp_path / "cream.png")
    assert np.all(np.delete(sketch.line, [100, 101], axis=0) == 1)
    # linear light by IEC 61966-2-1: code 20 is 0.00700; cream has Y = 0.7871 (colour-science)
    assert sketch.line[100:102] == pytest.approx(0.00700 / 0.7871, rel=0.02)


def test_a_clean_digital_line_is_left_as_it_is(tmp_path: Path) -> None:
    codes = np.full((200, 300), 255, np.uint8)
    codes[50:53, :] = 0
    codes[80:83, :] = 188  # 50.3 % of linear light, IEC 61966-2-1
    Image.fromarray(codes).save(tmp_path / "line.png", dpi=(300, 300))
    line = read_sketch(tmp_path / "line.png").line
    assert line[51, 10] == pytest.approx(0, abs=1e-4)
    assert line[81, 10] == pytest.approx(0.5029, abs=1e-3)
    assert line[0, 0] == 1


@settings(max_examples=25, deadline=None)
@given(
    st.integers(1, 40),
    st.integers(1, 40),
    st.floats(20, 600),
    st.integers(0, 2**32 - 1),
)
def test_any_picture_gives_a_line_between_0_and_1(
    rows: int, columns: int, dpi: float, seed: int
) -> None:
    bright = np.random.default_rng(seed).random((rows, columns), np.float32)
    line = clean_line(bright, dpi)
    assert line.shape == (rows, columns)
    assert np.all((line >= 0) & (line <= 1))


def test_a_black_picture_stays_readable() -> None:
    line = clean_line(np.zeros((50, 60), np.float32), 300)
    assert np.all(np.isfinite(line))


@pytest.fixture
def page(tmp_path: Path) -> Path:
    """A small picture that doesn't say how large it is."""
    path = tmp_path / "page.png"
    Image.fromarray(np.full((200, 300), 250, np.uint8)).save(path)
    return path


def test_a_picture_without_dpi_asks_for_it(page: Path) -> None:
    with pytest.raises(InputError, match=r"how large it is on paper\. Give dpi"):
        read_sketch(page)


def test_the_size_of_the_sheet_gives_the_dpi(page: Path) -> None:
    # 300 pixels over 50.8 mm = 2 inches
    sketch = read_sketch(page, size_mm=(50.8, 200 * 25.4 / 150))
    assert sketch.dpi == 150
    assert sketch.size_mm == pytest.approx((50.8, 33.8667), rel=1e-4)


def test_a_size_of_another_shape_is_refused(page: Path) -> None:
    with pytest.raises(InputError, match="differ in shape"):
        read_sketch(page, size_mm=(50, 50))


def test_the_painters_dpi_overrides_the_pictures(tmp_path: Path) -> None:
    path = tmp_path / "said.png"
    Image.fromarray(np.full((20, 30), 250, np.uint8)).save(path, dpi=(72, 72))
    assert read_sketch(path, dpi=300).dpi == 300
    assert read_sketch(path, dpi=300).notes == ()
    # who says 72 dpi himself isn't told that nobody knows
    assert read_sketch(path, dpi=72).notes == ()
    # what cameras write when they don't know is taken, but said
    assert "72 dpi" in read_sketch(path).notes[0]


@pytest.mark.parametrize(
    ("dpi", "said"), [((5.5, 5.5), "1382 x 922 mm"), ((300, 150), "across but")]
)
def test_a_wrong_dpi_is_refused(dpi: tuple[float, float], said: str, tmp_path: Path) -> None:
    path = tmp_path / "wrong.png"
    Image.fromarray(np.full((200, 300), 250, np.uint8)).save(path, dpi=dpi)
    with pytest.raises(InputError, match=said):
        read_sketch(path)


def test_the_picture_itself_is_never_written(page: Path) -> None:
    before = page.read_bytes(), page.stat().st_mtime_ns
    read_sketch(page, dpi=150)
    assert (page.read_bytes(), page.stat().st_mtime_ns) == before


def test_a_bare_sheet_has_its_size_and_no_line() -> None:
    sheet = blank_sketch((210, 297), 300)
    assert sheet.shape == (3508, 2480)  # A4 at 300 dpi
    assert sheet.line.min() == 1
    with pytest.raises(InputError, match="lower dpi"):
        blank_sketch((1189, 1189), 2400)
    # by hand: 2000 mm at 400 dpi are 31496 pixels, over 30000 a side; all its 5 million are few
    with pytest.raises(InputError, match="31496 x 157"):
        blank_sketch((2000, 10), 400)
