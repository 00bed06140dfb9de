"""A wash that ends under a drawn line dries with its rim in sight beside the line."""

from __future__ import annotations

import numpy as np
import pytest

from glaze.patch.table import table_of
from glaze.sheet.rect import whole
from glaze.sheet.units import FILM_UNIT, FULL
from glaze.sheet.wash import drying_line, work_out
from glaze.step.by_hand import Drying
from glaze.step.film import WetFilm, add_drying_line, film_of, under_line_px

F = np.float32
DPI = 300


def dried(line: np.ndarray | None, edge: int = 100) -> np.ndarray:
    """Film along a row of a wash that begins at a column, 1 = its own film."""
    cover = np.zeros((60, 300), np.uint16)
    cover[:, edge:] = FULL
    table = table_of("lifting", "white hot-pressed")
    laid = work_out(table.mix("Blue 1"), 1, 100.0, table.paper, table.dyes)
    film = film_of(cover, None)
    wet = WetFilm(cover, film.copy(), whole(cover.shape))
    add_drying_line(film, wet, None, laid.mean_mobility, 0.5, 0.45, DPI, line)
    assert film.sum(dtype=float) == pytest.approx(
        cover.sum(dtype=float) / FULL * FILM_UNIT, rel=1e-3
    )
    return film[30] / FILM_UNIT


def between(nodes: np.ndarray) -> np.ndarray:
    """A field at the middles of its nodes, in the order in which the compiled one reads it."""
    half = F(0.5)
    upper = nodes[:-1, :-1] + (nodes[:-1, 1:] - nodes[:-1, :-1]) * half
    lower = nodes[1:, :-1] + (nodes[1:, 1:] - nodes[1:, :-1]) * half
    return upper + (lower - upper) * half


def drawn(start: int, stop: int) -> np.ndarray:
    line = np.ones((60, 300), np.float32)
    line[:, start:stop] = 0.02
    return line


def test_the_dark_rim_lies_beside_the_line_and_not_under_it() -> None:
    free, under = dried(None), dried(drawn(96, 105))
    gain = free[100]
    assert gain > 1.2
    assert under[105] == pytest.approx(gain, abs=0.01)  # the first pixel in sight
    assert under[105] > 1.2
    assert under[100:103].max() < 1.05  # hidden: as laid


def test_a_line_within_a_wash_is_no_edge() -> None:
    np.testing.assert_array_equal(dried(drawn(200, 206)), dried(None))


def test_a_wash_that_ends_in_a_broad_black_dries_at_its_border() -> None:
    assert dried(drawn(60, 111))[111] > 1.2


@pytest.mark.parametrize("by_hand", [False, True])
@pytest.mark.parametrize("drawn_over", [False, True])
def test_the_compiled_drying_line_is_the_plain_one_bit_for_bit(
    drawn_over: bool, by_hand: bool
) -> None:
    # plain: the same law in numpy over all of it at once, what lies under the edge's line left out
    from scipy.ndimage import gaussian_filter, minimum_filter

    rng = np.random.default_rng(5)
    blots = gaussian_filter(rng.normal(size=(700, 600)), 25) > 0.004
    soft = gaussian_filter(blots.astype(float), rng.uniform(0, 3))
    cover = np.rint(soft * FULL).astype(np.uint16)
    line = None
    if drawn_over:
        line = np.clip(gaussian_filter(rng.normal(size=cover.shape), 3) * 9, 0, 1).astype(F)
    table = table_of("lifting", "white hot-pressed")
    laid = work_out(table.mix("Blue 1 + Red 1"), 1, 100.0, table.paper, table.dyes)
    film = (film_of(cover, None) * rng.uniform(0.4, 1.3, cover.shape)).astype(np.uint16)
    found, rim = film.copy(), np.zeros(cover.shape, np.int16)
    # nodes at the corners of pixels, read at their middles
    gain, share = (rng.uniform(0, most, (702, 602)).astype(F) for most in (2.4, 0.9))
    drying = Drying(gain, share, (0, 0), 1.0, (0, 0)) if by_hand else None
    wet = WetFilm(cover, film, whole(cover.shape), drying)
    add_drying_line(found, wet, rim, laid.mean_mobility, 0.5, 0.45, DPI, line)
    ends = cover * F(1 / FULL)
    if line is not None:
        near = minimum_filter(ends, 2 * under_line_px(DPI) + 1, mode="nearest") < 0.5
        ends = np.where(near, ends * line, ends)
    uneven = (between(gain)[:700, :600], between(share)[:700, :600]) if by_hand else None
    moved = drying_line(ends, film * F(1 / FILM_UNIT), 0.5, 0.45, DPI, uneven)
    plain = np.clip(np.rint(film + moved * F(laid.mean_mobility * FILM_UNIT)), 0, FULL)
    assert (moved != 0).mean() > 0.2
    np.testing.assert_array_equal(found, plain)
    np.testing.assert_array_equal(rim, np.clip(np.rint(moved * FILM_UNIT), -FILM_UNIT, 32767))
