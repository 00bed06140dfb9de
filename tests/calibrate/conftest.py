"""A painted swatch sheet, synthetic, made once for all tests that read one."""

from __future__ import annotations

import pytest
from PIL import Image
from swatch_painter import FACTORS, Painter, encode, paint_page

from glaze.charts.content.swatch_layout import swatch_pages
from glaze.patch.table import table_of


@pytest.fixture(scope="session")
def table():
    return table_of("lifting", "white cartridge")


@pytest.fixture(scope="session")
def page(table):
    return swatch_pages(table)[0]


@pytest.fixture(scope="session")
def painter(table):
    return Painter(table.palette, table.paper, FACTORS)


@pytest.fixture(scope="session")
def painted(page, painter):
    """The page painted at 120 dpi, linear RGB."""
    return paint_page(page, painter, dpi=120)


@pytest.fixture(scope="session")
def save(tmp_path_factory):
    """Write linear light as a scan and give its path."""
    folder = tmp_path_factory.mktemp("scans")

    def write(linear, name, **how):
        path = folder / name
        Image.fromarray(encode(linear, **how)).save(path, dpi=(120, 120), compress_level=1)
        return path

    return write


@pytest.fixture(scope="session")
def scan(painted, save):
    return save(painted, "scan.png")
