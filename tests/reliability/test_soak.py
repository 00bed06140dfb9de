"""Some hundred deeds leave no more behind than a few: a soak in small, which sees a leak.

`python -m tests.reliability soak` does ten thousand.
"""

from __future__ import annotations

import gc
from pathlib import Path
from weakref import ref

from tests.reliability import soak as soaking
from tests.reliability.sitting_kills import make_scene
from tests.reliability.soak import slope, soak
from viewer.core import drafting
from viewer.core.cards import cards_of
from viewer.core.keep import open_any
from viewer.core.sitting import Sitting

DEEDS, MOST_MASKS = 240, 20
BOUND = 400_000
"""Of the history and of the journal [bytes], so that both are full halfway."""


def test_what_is_kept_stays_flat_over_many_deeds(monkeypatch) -> None:
    for bound in ("KEPT_BYTES", "LOG_BYTES"):
        monkeypatch.setattr(soaking, bound, BOUND)
    counted = soak(DEEDS, every=40)
    assert max(one.masks for one in counted) <= MOST_MASKS
    assert slope(counted, "objects") < 10_000
    assert 0.5 * BOUND <= 1e6 * counted[-1].history_mb <= 1.1 * BOUND
    assert 1e6 * counted[-1].journal_mb <= 2 * BOUND


def test_a_soak_sees_painted_regions_that_are_never_let_go(monkeypatch) -> None:
    monkeypatch.setattr(Sitting, "_let_go", lambda self: None)
    assert soak(DEEDS, every=40)[-1].masks > MOST_MASKS


def test_a_field_goes_with_its_step_though_it_was_measured(tmp_path: Path) -> None:
    """Of A4 at 300 dpi a field takes 17 MB; measures of 200 of them were kept."""
    sitting = open_any(make_scene(tmp_path))
    cards_of(sitting)
    films = [ref(step.film) for step in sitting.painting.steps]
    sitting.do("out", drafting.Draft(drafting.changed(sitting.scene, steps=())))
    sitting.finish()
    sitting.settling.memory.only_for([])
    gc.collect()
    assert all(film() is None for film in films)
    sitting.close()
