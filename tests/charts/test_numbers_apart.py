"""Numbers on a picture never lie on one another."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.distance import pdist

from glaze.charts.sheets.beside import LABEL_MM, apart

SIZE_MM = (60.0, 80.0)


@settings(max_examples=60, deadline=None)
@given(st.lists(st.tuples(st.floats(0, 60), st.floats(0, 80)), min_size=2, max_size=9))
def test_numbers_keep_their_distance_and_lie_on_the_picture(places) -> None:
    moved = apart(np.array(places), SIZE_MM)
    assert pdist(moved).min() > 0.8 * LABEL_MM
    assert (moved >= 0).all()
    assert (moved <= SIZE_MM).all()


def test_numbers_with_room_about_them_stay() -> None:
    places = np.array([[10.0, 10.0], [10.0, 20.0], [40.0, 70.0]])
    assert (apart(places, SIZE_MM) == places).all()
