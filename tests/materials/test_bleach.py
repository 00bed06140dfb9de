import pytest

from glaze.errors import InputError
from glaze.materials import bleach
from glaze.materials.bleach import CAUTION, CAUTION_LINE, Bleach


@pytest.mark.parametrize("percent", [0.0, -5.0, float("nan")])
def test_no_bleach_at_all_is_refused_with_what_to_do(percent):
    with pytest.raises(InputError, match="label"):
        Bleach(percent)


@pytest.mark.parametrize("percent", [9.01, 12.5, 40.0])
def test_above_household_strength_is_refused(percent):
    with pytest.raises(InputError, match="household strength"):
        Bleach(percent)


def test_all_mistakes_are_told_at_once():
    with pytest.raises(InputError) as caught:
        Bleach(40.0, ph=3.0, age_months=-1.0, storage_c=-20.0)
    assert len(caught.value.problems) == 4


def test_bleach_loses_strength_with_age_and_warmth():
    fresh, old, warm = Bleach(8.25), Bleach(8.25, age_months=6), Bleach(8.25, 11.5, 6, 30.0)
    assert fresh.mol_per_l > old.mol_per_l > warm.mol_per_l > 0.0


def test_an_unknown_tool_lists_those_there_are():
    with pytest.raises(InputError, match="brush, dip pen, swab"):
        bleach.tool_named("spray can")


@pytest.mark.parametrize("name", bleach.TOOL_NAMES)
def test_every_tool_lays_a_film_and_a_mark(name):
    tool = bleach.tool_named(name)
    assert 0.0 < tool.film_ml_per_m2 < 200.0
    assert 0.0 < tool.line_mm < 20.0


def test_a_pen_lays_less_than_a_brush_a_swab_more_and_all_less_than_a_wash():
    # common practice, no source; a wash is 100 ml/m2
    pen, brush, swab = (bleach.tool_named(t).film_ml_per_m2 for t in ("dip pen", "brush", "swab"))
    assert 0.5 * brush < pen < brush < swab < 100.0


def test_every_figure_of_a_touch_says_its_standing():
    for section in bleach.bleach_entries().values():
        for entry in section.values():
            assert entry.unit
            assert entry.source
            assert entry.how == "assumed"
            assert entry.factor > 1.0


@pytest.mark.parametrize(
    "word",
    ["acid", "vinegar", "ammonia", "alcohol", "ink bottle", "never pour", "masking fluid", "gloves",
     "eye", "synthetic", "mist", "hair-dryer", "children", "blot, rinse", "asthma", "label",
     "archival", "medical"],
)  # fmt: skip
def test_the_caution_names_each_danger(word):
    assert word in CAUTION.lower()


@pytest.mark.parametrize("word", ["sulfite", "thiosulfate", "peroxide", "neutralis", "ascorb"])
def test_the_caution_recommends_no_chemical(word):
    assert word not in (CAUTION + CAUTION_LINE).lower()


def test_the_one_line_says_the_worst_in_one_line():
    assert "\n" not in CAUTION_LINE
    for word in ("gas", "water only", "gloves", "eye", "children"):
        assert word in CAUTION_LINE


def test_a_bottle_that_says_nothing_holds_five_percent() -> None:
    # common practice, no source; by hand: 5 % by mass of 1.08 kg/l and 74.44 g/mol is 0.725 mol/l
    assert Bleach() == Bleach(5.0)
    assert Bleach().fresh_mol_per_l == pytest.approx(0.05 * 1080 / 74.44, rel=0.02)
