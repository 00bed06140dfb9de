"""The order's cards: a swatch is made anew only where something has changed below it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from viewer.core import cards
from viewer.core.drafting import with_changed_step
from viewer.core.keep import open_bare
from viewer.core.laying import Laying


@pytest.fixture
def sitting():
    """Three washes over one another, each painted in its own region."""
    sitting = open_bare((30.0, 20.0), 100.0)
    for mix in ("Yellow 1 + water 4", "Red 1 + water 4", "Blue 1 + water 4"):
        sitting.choose(None)
        sitting.hold(replace(sitting.hand, kind="wash", mix=mix))
        _stroke(sitting, 5.0)
    yield sitting
    sitting.close()


def _stroke(sitting, down):
    laying = Laying(sitting)
    laying.press((5.0, down))
    laying.move([((25.0, down), 1.0)])
    laying.up()
    sitting.finish()


def _swatches(sitting):
    return [card.swatch for card in cards.cards_of(sitting)]


def _made(sitting, monkeypatch):
    """How many swatches are made for the order as it is now; they are those made from nothing."""
    made, render = [], cards.render
    monkeypatch.setattr(cards, "render", lambda *given: (made.append(1), render(*given))[1])
    found, count = _swatches(sitting), len(made)
    cards._SWATCHES.clear()
    assert found == _swatches(sitting)
    monkeypatch.undo()
    return count


def test_what_stays_as_it_lay_keeps_its_swatch(sitting, monkeypatch):
    _swatches(sitting)
    assert _made(sitting, monkeypatch) == 0


@pytest.mark.parametrize(("number", "anew"), [(2, 1), (1, 2), (0, 3)])
def test_a_stroke_on_a_step_makes_its_own_anew_and_those_above(sitting, monkeypatch, number, anew):
    before = _swatches(sitting)
    sitting.choose(number)
    for _ in range(3):
        _stroke(sitting, 5.2)
    assert _made(sitting, monkeypatch) == anew
    assert len(before) == 3


@pytest.mark.parametrize(("number", "ink"), [(2, "Blue"), (0, "Yellow")])
def test_another_dilution_makes_them_anew(sitting, monkeypatch, number, ink):
    before = _swatches(sitting)
    sitting.do("mix", with_changed_step(sitting.draft, number, mix=f"{ink} 1 + water 9"))
    sitting.finish()
    assert _made(sitting, monkeypatch) >= 3 - number
    assert _swatches(sitting)[number] != before[number]
