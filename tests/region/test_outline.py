"""Outlines of shapes: the box that holds them."""

import numpy as np

from glaze.region.outline import bounds


def test_an_outline_clipped_away_to_nothing_covers_nothing() -> None:
    none = np.empty((0, 4))
    assert bounds([none], (30, 40)).empty
    some = np.array([[2.0, 3.0, 9.0, 8.0], [9.0, 8.0, 2.0, 3.0]])
    assert bounds([none, some], (30, 40)) == bounds([some], (30, 40))
