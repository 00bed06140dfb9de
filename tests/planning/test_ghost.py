"""Ghosts in words: the ends of the stated thresholds, and what painters call them."""

from __future__ import annotations

import pytest

from glaze.planning.lift.ghost import ghost_words

PAPER = (94.0, -0.7, 3.5)
CREAM = (90.0, 1.0, 14.0)
BLACK = (33.0, 0.0, 3.0)


@pytest.mark.parametrize(
    ("after", "before", "words"),
    [
        # common practice, no source: what painters report of each
        ((94.0, -0.7, 3.6), BLACK, "paper"),
        ((92.5, -1.0, 8.5), BLACK, "near paper"),
        ((88.0, -1.0, 32.0), BLACK, "pale gold"),
        ((62.0, 55.0, -25.0), (55.0, 62.0, 25.0), "deep cool pink"),
        ((33.3, 0.1, 3.0), BLACK, "stays"),
        ((62.0, 0.0, 0.0), BLACK, "grey"),
        ((36.0, 0.0, 0.5), (20.0, 0.0, 2.0), "dark grey"),
        ((63.0, -12.0, -38.0), (50.0, -5.0, -50.0), "paler blue"),
    ],
)
def test_a_ghost_is_called_what_a_painter_would_call_it(after, before, words) -> None:
    assert ghost_words(after, before, PAPER) == words


def test_cream_left_on_cream_paper_is_paper() -> None:
    assert ghost_words(CREAM, BLACK, CREAM) == "paper"
    assert ghost_words(CREAM, BLACK, PAPER) != "paper"


def test_on_cream_paper_the_eye_takes_the_sheet_for_white() -> None:
    # a neutral filter on the sheet: XYZ falls by one factor, so CIELAB keeps the paper's tint in
    # proportion to the cube root (CIE 15)
    share = 0.3 ** (1 / 3)
    veiled = (116 * share * (CREAM[0] + 16) / 116 - 16, share * CREAM[1], share * CREAM[2])
    assert ghost_words(veiled, BLACK, CREAM) == "grey"
    assert ghost_words(veiled, BLACK, PAPER) != "grey"
