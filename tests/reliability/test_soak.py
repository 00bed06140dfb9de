"""Some hundred deeds leave no more behind than a few: a soak in small, which sees a leak.

`python -m tests.reliability soak` does ten thousand.
"""

from __future__ import annotations

from tests.reliability.soak import slope, soak
from viewer.core.sitting import Sitting

DEEDS, MOST_MASKS = 500, 50


def test_what_is_kept_stays_flat_over_many_deeds() -> None:
    counted = soak(DEEDS, every=100)
    assert max(one.masks for one in counted) <= MOST_MASKS
    assert slope(counted, "objects") < 10_000
    assert counted[-1].history_mb <= 1.1
    assert counted[-1].journal_mb <= 2


def test_a_soak_sees_painted_regions_that_are_never_let_go(monkeypatch) -> None:
    monkeypatch.setattr(Sitting, "_let_go", lambda self: None)
    assert soak(DEEDS, every=100)[-1].masks > MOST_MASKS
