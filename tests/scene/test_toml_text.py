"""Values written as TOML are those that Python's own reader finds in it."""

from __future__ import annotations

import tomllib

from hypothesis import example, given
from hypothesis import strategies as st

from glaze.record.toml_text import toml_lines

TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
PLAIN = st.booleans() | st.integers(-(2**63), 2**63 - 1) | TEXT
PLAIN |= st.floats(allow_nan=False)
VALUES = st.recursive(
    PLAIN, lambda part: st.lists(part, max_size=4) | st.dictionaries(TEXT, part, max_size=4)
)


@given(st.dictionaries(TEXT, VALUES, max_size=5))
@example({"": '"\\\n\t\x00\x1f\x7f', "a b": {"é": [1e-320, 1e22, -0.0, float("inf")]}})
def test_a_reader_finds_what_was_written(values):
    assert tomllib.loads(toml_lines(values)) == values


def test_what_is_none_is_left_out_and_each_value_keeps_to_its_line():
    found = toml_lines({"a": None, "b": {"c": None, "d": ("x\ny", 1)}, "e-f": True})
    assert found == 'b = {d = ["x\\ny", 1]}\ne-f = true\n'
