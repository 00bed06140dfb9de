"""A stranger at the real window for a few deeds, in a process of its own.

`python -m tests.reliability monkey` lets ten play, two hundred deeds each.
"""

from __future__ import annotations

import pytest

from tests.reliability.monkey import monkeys
from tests.viewer.own_process import why_not

pytestmark = pytest.mark.window


def test_a_stranger_breaks_nothing_of_the_window() -> None:
    if why := why_not():
        pytest.skip(why)
    names, faults = monkeys(first=5, deeds=60, seeds=1)
    assert not faults, "\n".join(faults)
    assert names.total() == 60
