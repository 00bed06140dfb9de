"""Ghosts in words: the ends of the stated thresholds, and what painters call them."""

from __future__ import annotations

import pytest

from glaze.planning.lift.ghost import ghost_words, hue_name

PAPER = (94.0, -0.7, 3.5)
BLACK = (33.0, 0.0, 3.0)


@pytest.mark.parametrize(
    ("after", "before", "words"),
    [
        # common practice, no source: what painters report of each
        ((94.0, -0.7, 3.6), BLACK, "paper"),
        ((92.5, -1.0, 8.5), BLACK, "near paper"),
        ((84.0, 4.0, 36.0), BLACK, "gold"),
        ((91.0, -1.0, 18.0), BLACK, "pale gold"),
        ((52.0, 18.0, 2.0), BLACK, "purple"),
        ((62.0, 55.0, -25.0), (55.0, 62.0, 25.0), "pink"),
        ((33.3, 0.1, 3.0), BLACK, "stays"),
        ((62.0, 0.0, 3.5), BLACK, "grey"),
        ((36.0, 1.0, 4.0), (20.0, 0.0, 2.0), "dark grey"),
        ((63.0, -12.0, -38.0), (50.0, -5.0, -50.0), "paler blue"),
    ],
)
def test_a_ghost_is_called_what_a_painter_would_call_it(after, before, words) -> None:
    assert ghost_words(after, before, PAPER) == words


def test_cream_left_on_cream_paper_is_paper() -> None:
    cream = (90.0, 1.0, 14.0)
    assert ghost_words(cream, BLACK, cream) == "paper"
    assert ghost_words(cream, BLACK, PAPER) != "paper"


@pytest.mark.parametrize("hue", range(0, 360, 3))
def test_every_hue_has_a_name_light_and_dark(hue: int) -> None:
    assert hue_name(hue, 70.0)
    assert hue_name(hue, 30.0)


def test_unique_hues_have_their_names() -> None:
    # CIELAB hue angles of the unique hues, rounded: red 25, yellow 90, green 160, blue 240
    # (Kuehni, Color Res. Appl. 29 (2004) 158, from memory)
    assert [hue_name(h, 50.0, 60.0) for h in (25, 160, 240)] == ["red", "green", "blue"]
    assert hue_name(92.0, 85.0, 80.0) == "yellow"
