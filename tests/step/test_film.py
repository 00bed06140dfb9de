"""A wash that ends under a drawn line dries with its rim in sight beside the line."""

from __future__ import annotations

import numpy as np
import pytest

from glaze.patch.table import table_of
from glaze.sheet.units import FILM_UNIT, FULL
from glaze.sheet.wash import work_out
from glaze.step.film import add_drying_line, film_of

DPI = 300


def dried(line: np.ndarray | None, edge: int = 100) -> np.ndarray:
    """Film along a row of a wash that begins at a column, 1 = its own film."""
    cover = np.zeros((60, 300), np.uint16)
    cover[:, edge:] = FULL
    table = table_of("lifting", "white hot-pressed")
    laid = work_out(table.mix("Blue 1"), 1, 100.0, table.paper, table.dyes)
    film = film_of(cover, None)
    add_drying_line(cover, film, None, laid, 0.5, 0.45, DPI, line)
    assert film.sum(dtype=float) == pytest.approx(
        cover.sum(dtype=float) / FULL * FILM_UNIT, rel=1e-3
    )
    return film[30] / FILM_UNIT


def drawn(start: int, stop: int) -> np.ndarray:
    line = np.ones((60, 300), np.float32)
    line[:, start:stop] = 0.02
    return line


def test_the_dark_rim_lies_beside_the_line_and_not_under_it() -> None:
    free, under = dried(None), dried(drawn(96, 105))
    gain = free[100]
    assert gain > 1.2
    assert under[105] == pytest.approx(gain, abs=0.1)  # the first pixel in sight
    assert under[105] > 1.2
    assert under[100:103].max() < 1.05  # hidden: as laid


def test_a_line_within_a_wash_is_no_edge() -> None:
    np.testing.assert_array_equal(dried(drawn(200, 206)), dried(None))


def test_a_wash_that_ends_in_a_broad_black_dries_at_its_border() -> None:
    assert dried(drawn(60, 111))[111] > 1.2
