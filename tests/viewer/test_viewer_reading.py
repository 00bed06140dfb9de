"""What lies under the pointer, and what stands in the order."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from small_scenes import LIFTED

from glaze.errors import InputError
from glaze.patch.cases import Cases
from glaze.patch.patches import glaze
from glaze.planning.recipe.thinned import diluted_text
from glaze.planning.sheet.planner import plan_of
from glaze.sheet.lift import Touches
from glaze.step.timing import spoken
from viewer.core import cards
from viewer.core.cards import cards_of, extent_of, ladder_of
from viewer.core.hand import amount_text, parts_of
from viewer.core.keep import open_any
from viewer.core.spot import read_at


@pytest.fixture
def sitting(scene_folder):
    found = open_any(scene_folder(LIFTED))
    found.finish()
    yield found
    found.close()


def _read(sitting, x_mm, y_mm, **touches):
    per_mm = sitting.painting.dpi / 25.4
    where = round(y_mm * per_mm), round(x_mm * per_mm)
    return read_at(sitting.painting, Touches(**touches), *where)


def test_it_tells_wash_by_wash_what_lies_there(sitting):
    assert [s.name for s in _read(sitting, 6, 6).steps] == ["yellow"]
    everything = [step.name for step in _read(sitting, 18, 16).steps]
    assert everything == ["yellow", "shadow", "light", "over it"]
    assert _read(sitting, 38, 30).steps == ()


def test_the_thin_end_of_a_graded_wash_is_told_with_its_share(sitting):
    # evenly from whole film at 14 mm to a fifth of it at 34 mm: 1 - 0.8 x 19/20 at 33 mm
    thin = _read(sitting, 33, 16).steps[0]
    assert thin.share == pytest.approx(0.24, abs=0.06)  # the paper's tooth
    assert thin.words.startswith(f"shadow, {thin.share:.0%} of its film")


def test_the_band_is_of_the_film_that_is_told_also_on_a_drying_line(sitting):
    """Yellow's left edge stands at 4 mm: more than a film on its line, and no more inside."""
    line, inside = _read(sitting, 4.1, 10), _read(sitting, 10, 10)
    for reading in (line, inside):
        (told,), (yellow, _) = reading.steps, reading.layers
        assert yellow.share == pytest.approx(told.share)
    assert line.steps[0].share > 1.2
    assert line.steps[0].share > inside.steps[0].share + 0.2


def test_washes_darken_and_a_lift_lightens(sitting):
    yellow, shadow, light = (step.value for step in _read(sitting, 18, 16).steps[:3])
    assert shadow < yellow
    assert light > shadow


def test_its_value_is_that_of_the_picture(sitting):
    # Munsell value of the pixel's own luminance (ASTM D1535), D65 picture, 8 bits: to 0.05
    reading = _read(sitting, 10, 12)
    per_mm = sitting.painting.dpi / 25.4
    rgb = sitting.preview.pyramid.levels[0][round(12 * per_mm), round(10 * per_mm)] / 255
    linear = np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)
    Y = 100 * linear @ [0.2126, 0.7152, 0.0722]
    value = 10 * np.sqrt(Y / 100)  # close to Munsell's near the middle: within 0.4
    assert reading.value == pytest.approx(value, abs=0.5)
    assert str(round(reading.value, 1)) in reading.notation


def test_what_bleach_leaves_is_called_as_on_a_lift_chart(sitting):
    assert _read(sitting, 38, 30).bleached_words == "paper"
    assert _read(sitting, 6, 6, minutes=10).bleached_words in ("paper", "near paper")


def test_bleach_leaves_it_lighter_and_more_bleach_lighter_still(sitting):
    weak, strong = _read(sitting, 30, 20, parts_water=50), _read(sitting, 30, 20)
    assert weak.value <= weak.bleached_value + 1e-6
    assert weak.bleached_value <= strong.bleached_value
    after = strong.bands[1]
    assert after.low <= strong.bleached_value == after.best <= after.high


def test_the_order_is_a_recipe_card(sitting):
    cards = cards_of(sitting)
    assert [(c.number, c.name, c.kind) for c in cards] == [
        (1, "yellow", "wash"),
        (2, "shadow", "wash"),
        (3, "light", "lift"),
        (4, "over it", "wash"),
    ]
    # 16 x 24 mm
    extent = extent_of(sitting, sitting.settling.painted_step(0))
    assert extent.wet_cm2 == pytest.approx(1.6 * 2.4, rel=0.03)
    assert extent.film_cm2 == pytest.approx(1.6 * 2.4, rel=0.03)
    assert "1 part bleach + 4 parts water" in cards[2].amounts
    # 100 ml/m2 at 20 C and 50 %: 153 g/(m2 h), ASHRAE's rule for open water; half as long again
    # until it is bone dry, as the plan has it (assumed), and about a minute to lay it
    assert cards[0].minutes == pytest.approx(1.5 * 100 / 153 * 60, abs=4)


def test_the_order_and_the_plan_say_one_amount_and_one_time(sitting):
    plan = plan_of(sitting.draft.laid)
    for card, planned in zip(cards_of(sitting), plan.steps, strict=True):
        assert card.ml == (None if planned.amount is None else pytest.approx(planned.amount.mix_ml))
        assert spoken(card.minutes) == spoken(planned.minutes.all)


def test_a_swatch_shows_the_sheet_after_that_step(sitting):
    yellow = cards_of(sitting)[0].swatch
    assert yellow[2] < yellow[0]
    assert yellow[2] < yellow[1]


@pytest.mark.parametrize("n", [0, 1, 2, 4, 8, 16])
@pytest.mark.parametrize("mix", ["Blue 12 + Red 5", "Black", "Blue 2 ml + Yellow 1 ml"])
def test_a_rung_of_the_ladder_has_the_parts_it_says(sitting, mix, n):
    text = diluted_text(mix, n, sitting.table)
    assert parts_of(text, sitting.table) == pytest.approx(n, abs=0.11)


def test_the_ladder_gets_lighter_downward(sitting):
    values = [rung.value for rung in ladder_of(sitting, "Black")]
    assert values == sorted(values)
    assert values[-1] - values[0] > 2


def test_a_recipe_line_can_be_changed_number_by_number(sitting):
    assert amount_text("Blue 3 + Yellow 2 + water 4", "Yellow", 5) == "Blue 3 + Yellow 5 + water 4"
    assert amount_text("Blue 3 + Yellow 2", "Yellow", 0) == "Blue 3"
    assert amount_text("Blue 3", "water", 7) == "Blue 3 + water 7"
    assert amount_text("Blue 3", "Red", 1) == "Blue 3 + Red 1"
    with pytest.raises(InputError):
        amount_text("Blue 3", "Blue", 0)


def test_a_place_is_told_with_the_band_of_all_that_isnt_sure(sitting):
    reading = _read(sitting, 18, 16)
    band = reading.bands[0]
    assert band.low < reading.value < band.high
    assert band.best == reading.value
    # invented bottles: no half step may be promised
    assert band.standing == "assumed"
    assert band.half_width > 0.5
    assert "assumed" in band.text
    paper = _read(sitting, 38, 30)
    assert paper.bands[0].half_width < 0.3


def test_bands_are_worked_out_where_they_are_asked_for_and_both_at_once(sitting, monkeypatch):
    laid = []
    figures = Cases.figures
    monkeypatch.setattr(Cases, "figures", lambda cases: laid.append(cases) or figures(cases))
    reading = _read(sitting, 18, 16)
    assert len(reading.steps) == 4
    assert not laid
    assert reading.bands == reading.bands
    assert len(laid) == 1


def test_the_ladder_is_laid_once_while_water_is_dragged(sitting, monkeypatch):
    laid = []
    monkeypatch.setattr(cards, "glaze", lambda *given: laid.append(given) or glaze(*given))
    first, *others = [ladder_of(sitting, f"Black 2 + Red 1 + water {n}") for n in range(9, 29)]
    assert all(rungs == first for rungs in others)
    assert len(laid) == len(first)


def test_a_hidden_step_isnt_in_the_band(sitting):
    painting, per_mm = sitting.painting, sitting.painting.dpi / 25.4
    where = round(16 * per_mm), round(18 * per_mm)
    fewer = tuple(step for step in painting.steps if step.name != "shadow")
    hidden = read_at(replace(painting, steps=fewer), Touches(), *where)
    whole = read_at(painting, Touches(), *where)
    assert [step.name for step in hidden.steps] == ["yellow", "light", "over it"]
    # without the shadow's black there is less to be unsure of, and the place is lighter
    assert hidden.bands[0].low > whole.bands[0].low + 0.3
